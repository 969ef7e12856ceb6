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

/* Milliseconds rounded up to the grid. */
int32_t bill_grid(double ms);

/* Metres in decimetres, to the nearest. */
int32_t bill_dm(double metres);

/* How well HAND knows ROLE. */
enum grade bill_grade(const struct procedure *procedure, const struct crew *crew,
                      int hand, int role);

/* ROLE is new to HAND, who takes the slow time: also one who was told to wear a role that
 * the crew file does not know of them. */
bool bill_is_new(const struct procedure *procedure, const struct crew *crew,
                 const struct bill_wish *wish, int hand, int role);

/* HAND can hold what is left to hold in ROLE in the wind of the procedure; also where it
 * is not said how much it holds. */
bool bill_can_hold(const struct procedure *procedure, const struct crew *crew, int hand,
                   int role);

/* HAND may be given ROLE: aboard, strong enough, wished for or not ruled out, and knows
 * it. */
bool bill_may_wear(const struct procedure *procedure, const struct crew *crew,
                   const struct bill_wish *wish, int hand, int role);

/* Where a hand who wears WEARS stands at the go: where it holds a line, or at its first
 * role's place. */
uint8_t bill_home(const struct procedure *procedure, role_set wears);

/* How long STEP takes: the usual time, or where it is new to one of its hands the slow
 * one. */
int32_t bill_takes_ms(const struct procedure *procedure, const struct bill_wish *wish,
                      int step, bool is_new);

/* What a grade lacks to be sure; a new role weighs three able ones. */
int bill_lacks(enum grade grade);

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

/* Makes the play of LANES hands (NULL: anybody) who wear WEARS; RIG is where it goes.
 * False where a joint step has two roles of one hand. */
bool play_make(const struct procedure *procedure, const struct crew *crew,
               const struct bill_wish *wish, const role_set *wears, const int *hands,
               int lanes, struct rig *rig, struct play *out);

/* The bill of what was played. */
void play_bill(const struct played *played, const struct bill_wish *wish,
               const role_set *wears, const int *hands, int lanes, const struct rig *rig,
               struct bill *out);

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

/* Fills in BILL, whose hands and roles are given, with the events of ORDER on the clock;
 * false where the rig does not allow them so. */
bool play_order(const struct procedure *procedure, const struct crew *crew,
                const struct bill_wish *wish, const struct play_event *order, int count,
                struct bill *bill);

/* The shortest bill, among the shortest that of the best known roles, and among those
 * that in which the busiest hand has least to do.  CONFLICTS: how much work it may take.
 * `proved` and `least_ms` of OUT are set.  BILL_NONE: there is none, proved. */
enum bill_verdict exact_make(const struct procedure *procedure, const struct crew *crew,
                             const struct bill_wish *wish, int64_t conflicts,
                             struct bill *out);

/* The fewest roles that these hands cannot do all of: without any one of them the others
 * could be done.  Empty where that is not known. */
role_set exact_clash(const struct procedure *procedure, const struct crew *crew,
                     const struct bill_wish *wish);

#endif
