/* The pace: the best finished drill of the same procedure in the logbook, by step.  What
 * a run is measured against beside its plan. */
#ifndef SCREENS_PACE_H
#define SCREENS_PACE_H

#include "logbook/logbook.h"

struct pace {
    int64_t total_ms;           /* -1: there is none yet */
    int64_t made_ms[STEPS_MAX]; /* since the go, by today's step numbers; -1: none */
};

/* Finds the pace for PROCEDURE among clean finished drills with a time for every step
 * (LOGBOOK NULL: none). */
void pace_find(struct logbook *logbook, const struct procedure *procedure,
               struct pace *out);

#endif
