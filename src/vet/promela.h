/* The rig as a model for the general-purpose model checker spin: one process that takes
 * one start or finish at a time, so its states and transitions are those of vet_search.
 * Rules about parts and steps and needs are assertions; hands, places and gear are left
 * out (they change no state). */
#ifndef VET_PROMELA_H
#define VET_PROMELA_H

#include "vet/vet.h"

/* Appends the model of RIG from its own start; false where lines are handed over, which
 * the model does not know. */
bool vet_promela(const struct rig *rig, struct text *out);

#endif
