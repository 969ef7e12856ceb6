/* The rig as a model for the general-purpose model checker spin: one process that chooses
 * the begin and then takes one start or finish at a time, so its states and transitions
 * are those of a search and the choosing, which the model counts.  It knows what rig.h
 * knows: who tends, takes over and lets go, and as assertions rules, needs, hands,
 * places, gear, the helm and lines taken out of a hand.
 *
 *   spin -o2 -a             pan -E    an assertion fails where some way breaks something
 *   spin -o2 -a -DRULES=0   pan -E    states and transitions
 *        ... -DENDS=1       pan -A    a dead end where somebody waits for ever
 *        ... -DENDS=1       pan -E    an assertion fails where some end is not the goal
 */
#ifndef VET_PROMELA_H
#define VET_PROMELA_H

#include "vet/vet.h"

/* Appends the model of RIG, from every state that its procedure's begin allows (from the
 * rig's own start where ONE_BEGIN). */
void vet_promela(const struct rig *rig, bool one_begin, struct text *out);

/* Appends ` && (0 || p1 == 2 ...)` for each of CONDITIONS. */
void promela_conditions(const struct rig *rig, const struct conditions *conditions,
                        struct text *out);

/* The definitions that the assertions need: whose hand is on which line. */
void promela_holds(const struct rig *rig, struct text *out);

/* A move for each thing that can be wrong in a state, which asserts that it is not so;
 * it can be taken only there, and so changes no number of states. */
void promela_rules(const struct rig *rig, struct text *out);

/* Notes in `m` what is wrong with starting (finishing) STEP, in the state before. */
void promela_at_start(const struct rig *rig, int step, struct text *out);
void promela_at_finish(const struct rig *rig, int step, struct text *out);

#endif
