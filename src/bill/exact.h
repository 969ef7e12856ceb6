/* The crew's problem stated for the kernel: who wears which role and when each step
 * starts and ends, so that the manoeuvre takes the least time there is.  Times are on the
 * grid of internal.h; an event is a start or a finish as in vet/event_set.h.
 *
 * Stated is: the arrows of the file and of its waits, a hand's one step at a time and its
 * walks between them, how long each hand takes, lines in the hand, places, the helm, gear
 * and every rule that the arrows leave open.  What is found is played through the rig
 * before anybody sees it. */
#ifndef BILL_EXACT_H
#define BILL_EXACT_H

#include "bill/internal.h"
#include "bill/kernel.h"
#include "vet/turned.h"

/* A line in the hand of a role between two events (-1: from the begin, to the end); with
 * two roles the line stays with the one hand that wears both. */
struct hold {
    uint8_t line;
    role_set roles;
    int from, to;
    const struct tending *tending;
    int unless; /* -1, or a role that has it already where one hand wears that too */
};

enum { HOLDS_MAX = 4 * STEPS_MAX, PACES_MAX = 8 };

struct exact {
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill_wish *wish;
    struct arena *arena;
    struct kernel *kernel;
    struct rig *rig;       /* one hand a role */
    struct turned *turned; /* its events */
    int role_count;
    uint8_t roles[ROLES_MAX];              /* that need a hand */
    struct kernel_literal duty[ROLES_MAX]; /* somebody wears the role */
    int32_t wears[ROLES_MAX][HANDS_MAX];   /* switch; KERNEL_ZERO: never */
    int32_t same[ROLES_MAX][ROLES_MAX];    /* switch: one hand wears both */
    int32_t is_new[ROLES_MAX];             /* switch: the role is new to its hand */
    int pace_count;
    double paces[PACES_MAX];             /* m/s */
    int32_t paced[ROLES_MAX][PACES_MAX]; /* switch: its hand walks at that pace */
    int32_t start[STEPS_MAX], end[STEPS_MAX];
    int32_t place[EVENTS_MAX];               /* in the order of all events */
    int32_t earlier[EVENTS_MAX][EVENTS_MAX]; /* switch: the first is not the later one */
    int hold_count;
    struct hold holds[HOLDS_MAX];
    int32_t total, changes, lacking, busiest,
        way;         /* what is at its least, in this order */
    int32_t excused; /* switch: some hand may have too much to do at the begin; 0: none */
    int32_t strict;  /* switch: what no order tells counts as if it were; 0: nothing */
    bool is_strict;  /* it is on: without it, what was found could not be played */
    bool is_excused; /* it is on: it cannot be otherwise */
    bool begins_wrong; /* whoever wears what */
    bool unplayable;   /* what was found last the rig does not have so */
    struct bill_progress progress;
    bool hurried; /* whoever waits takes the best so far */
    bool whole;   /* everything is stated: what the kernel proves is proved */
};

/* States the problem: BILL_FOUND.  BILL_UNDECIDED where the rig is not of the kind that
 * can be stated, BILL_NONE where it is plain that there is no bill. */
enum bill_verdict exact_state(struct exact *exact);

/* Parts of it, in this order. */
void exact_state_hands(struct exact *exact);     /* who wears what */
void exact_state_times(struct exact *exact);     /* how long, what before what */
void exact_state_walks(struct exact *exact);     /* one step at a time, and the ways */
void exact_state_conflicts(struct exact *exact); /* what must never be at one moment */

static inline int32_t exact_ticks(double ms)
{
    return bill_grid(ms) / GRID_MS;
}

/* The variable that is the time of EVENT. */
int32_t exact_time(const struct exact *exact, int event);

/* A is not later than B, and where both are at one time A is first. */
struct kernel_literal exact_before(struct exact *exact, int a, int b);

/* Of a joint step the first of its roles has the lines. */
static inline int exact_first_role(const struct step *step)
{
    return __builtin_ctz(step->roles);
}

/* One hand wears both roles. */
struct kernel_literal exact_same(const struct exact *exact, int role, int other);

/* A clause in the making. */
struct clause_of {
    int count;
    bool holds; /* something in it is always true */
    struct kernel_literal literals[256];
};

void clause_add(struct clause_of *clause, struct kernel_literal literal);
void clause_close(struct exact *exact, const struct clause_of *clause);

/* The literal is never true. */
bool exact_is_never(struct kernel_literal literal);

/* Where a hand who wears ROLE and nothing before it stands at the go. */
int exact_home_of_role(const struct exact *exact, int role);

/* What must be false where the hand of ROLE has its home by role HOME: that it wears that
 * and no role that says more. */
struct clause_of exact_not_from(struct exact *exact, int role, int home);

/* States how far all walk, in decimetres; false where that is not asked. */
bool exact_state_way(struct exact *exact);

/* A switch that is on wherever all of LITERALS are true. */
struct kernel_literal exact_all(struct exact *exact,
                                const struct kernel_literal *literals, int count);

#endif
