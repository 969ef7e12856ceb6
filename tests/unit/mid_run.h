/* States in the middle of a manoeuvre, for bills that begin there. */
#ifndef UNIT_MID_RUN_H
#define UNIT_MID_RUN_H

#include "bill/internal.h"
#include "shipped.h"
#include "vet/vet.h"

/* Some allowed moves of a hand a role; now and then a mark where nothing was ready, a
 * running step whose hand is lost, a step left out. */
static inline bool mid_run_walk(const struct procedure *procedure, bool pilot,
                                unsigned *seed, struct rig_state *out)
{
    struct rig rig;
    if (!vet_rig_of_roles(procedure, pilot, &rig))
        return false;
    rig_start(&rig, out);
    unsigned steps = procedure->step_count;
    bool marks = shipped_random(seed) % 4 == 0;
    for (unsigned moves = 1 + shipped_random(seed) % (2 * steps); moves > 0; moves--) {
        int s = (int)(shipped_random(seed) % steps);
        if (rig_may_end(&rig, out) >> s & 1)
            rig_end(&rig, out, s);
        else if (rig_ready(&rig, out) >> s & 1)
            rig_begin(&rig, out, s);
        else if (marks && shipped_random(seed) % 4 == 0 && !(out->done >> s & 1))
            rig_end(&rig, out, s);
    }
    int s = (int)(shipped_random(seed) % steps);
    if (rig_running(out) >> s & 1)
        out->begun &= ~((step_set)1 << s); /* its hand is lost: it is begun again */
    else if (!(out->begun >> s & 1) && shipped_random(seed) % 4 == 0)
        rig_skip(out, s);
    return true;
}

#endif
