/* Shared by the files of bill/: playing a rig with given durations, and the search for an
 * order of events when the plain play gets stuck.  Times are tenths of a second, kept in
 * milliseconds and rounded up. */
#ifndef BILL_INTERNAL_H
#define BILL_INTERNAL_H

#include "base/arena.h"
#include "bill/bill.h"

enum { GRID_MS = 100 };

/* What a play needs beside the rig. */
struct play {
    const struct rig *rig;
    int32_t takes_ms[STEPS_MAX];
    int32_t
        rest_ms[STEPS_MAX]; /* longest way from the step's start to the end: priority */
    double pace_m_s[LANES_MAX];
    uint8_t home[LANES_MAX]; /* station where the lane stands at the go */
    bool begins_wrong;       /* begins from a state that may break a rule already */
};

/* How a play ended. */
struct played {
    bool ended; /* every step done, goal reached, nothing broken */
    struct bill_slot slots[STEPS_MAX];
    int slot_count;
    int32_t total_ms;
    struct finding stuck_on; /* what kept a ready step from starting; only if... */
    int stuck_step;          /* ...this is a step, not -1 */
};

/* Priorities from the durations (longest remaining path over after and card order). */
void play_prepare(struct play *play);

/* Walking time between two stations for LANE, on the grid. */
int32_t play_walk_ms(const struct play *play, int lane, int from, int to);

/* Starting STEP now breaks nothing that is not broken already (a recovery may begin in a
 * state that breaks a rule); OUT gets the first new finding where it does. */
bool play_may_start(const struct rig *rig, const struct rig_state *state, int step,
                    struct finding *out);
bool play_may_finish(const struct rig *rig, const struct rig_state *state, int step);

/* Nothing is wrong before anybody moves, or it may be. */
bool play_begins_right(const struct play *play);

/* Plays greedily by priority, in time. */
void play_greedy(const struct play *play, struct played *out);

/* One event of an order: the start or the finish of a step. */
struct play_event {
    uint8_t step;
    bool finish;
};

enum play_search { PLAY_FOUND, PLAY_NO_ORDER, PLAY_CUT_OFF };

/* Looks for any order of events that reaches the goal and breaks nothing, through every
 * state at most once; NODES counts down and cuts it off at 0. */
enum play_search play_search(const struct play *play, struct arena *arena,
                             uint32_t *nodes, struct play_event order[2 * STEPS_MAX],
                             int *count);

/* Puts an order of events on the clock: each as early as the order allows. */
void play_time(const struct play *play, const struct play_event *order, int count,
               struct played *out);

#endif
