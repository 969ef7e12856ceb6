/* The rig as a model for the general-purpose model checker spin: one process that chooses
 * the begin, looks at it, and then takes one start or finish at a time, so its states and
 * transitions are those of a search and the choosing, which the model counts.  It knows
 * what rig.h knows: who tends, takes over and lets go, and as assertions rules, needs,
 * hands, places, gear, the helm and lines taken out of a hand.
 *
 *   spin -a              and pan -E: no assertion fails where no way breaks anything
 *   spin -a -DENDS=1     and pan -A: no dead end where nobody waits for ever
 *   spin -a -DENDS=1 -DRULES=0    and pan -E: none fails where every end is the goal */
#ifndef VET_PROMELA_H
#define VET_PROMELA_H

#include "vet/vet.h"

/* Appends the model of RIG, from every state that its procedure's begin allows (from the
 * rig's own start where ONE_BEGIN). */
void vet_promela(const struct rig *rig, bool one_begin, struct text *out);

/* Appends ` && (0 || p1 == 2 ...)` for each of CONDITIONS. */
void promela_conditions(const struct rig *rig, const struct conditions *conditions,
                        struct text *out);

/* The definitions that the assertions need, and those of every state: `rules()`. */
void promela_state_rules(const struct rig *rig, struct text *out);

/* The assertions on starting (finishing) STEP, in the state before. */
void promela_start_rules(const struct rig *rig, int step, struct text *out);
void promela_finish_rules(const struct rig *rig, int step, struct text *out);

#endif
