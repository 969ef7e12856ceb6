/* What a run says afterwards: splits by step against the plan, and what went wrong.
 * Pure; made from a run, holds no pointers into it. */
#ifndef DEBRIEF_DEBRIEF_H
#define DEBRIEF_DEBRIEF_H

#include "run/run.h"

struct debrief_split {
    uint8_t step;
    int64_t begun_ms, made_ms; /* since the go, holds left out; -1: not made or untimed */
    int64_t split_ms;          /* made minus the mark that enabled it; -1: none */
    int64_t plan_begun_ms, plan_made_ms;
    uint8_t flags; /* enum run_step_flag */
    bool skipped;
    bool counts; /* fit for statistics */
};

struct debrief {
    enum run_outcome outcome;
    int64_t total_ms, held_ms, plan_ms; /* total without holds; -1 before the go */
    bool timed;  /* the total is a time: every step has one, and no gap was reckoned */
    int untimed; /* steps without one, skipped ones among them */
    int dangers; /* what was broken, each danger once */
    char against[RUN_TEXT_MAX]; /* what it was started on purpose against; empty: nothing
                                 */
    int split_count, breaches, unclear, skipped, notes, overruled;
    struct debrief_split splits[STEPS_MAX]; /* in the bill's order */
};

/* RUN may still be live: then the splits so far, NOW_MS being since its opening. */
void debrief_make(const struct run *run, int64_t now_ms, struct debrief *out);

/* The run was done as it should be: at its goal, no breach, no rule broken. */
bool debrief_clean(const struct debrief *debrief);

#endif
