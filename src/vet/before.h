/* What must come before what at any speed of any hand: the arrows, the cards and what
 * follows from the two.  Waits are left out: they depend on the rig. */
#ifndef VET_BEFORE_H
#define VET_BEFORE_H

#include "rig/rig.h"

struct before {
    step_set finished[STEPS_MAX]; /* finished before the step starts */
    step_set begun[STEPS_MAX];    /* begun before the step starts */
};

/* From the procedure's own begin; a step left out (skipped) stands before nothing. */
void before_fill(const struct rig *rig, struct before *out);

/* Some step must come before itself: the order contradicts itself. */
bool before_goes_round(const struct before *before, int step_count);

#endif
