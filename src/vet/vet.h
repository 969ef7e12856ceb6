/* Vet: does any order the cards allow, at any speed of any hand, break a rule, leave
 * somebody waiting for ever or end somewhere else than the goal?  The plain reference
 * search: breadth first over every interleaving of starts and finishes, each state once,
 * so the way shown is a shortest one.  Every event raises the number of events done by
 * one, so a state is met at one level only and one level is enough to know the next.
 *
 * What is proved is the rig given: one hand a role, or the merged cards of a bill.
 * Memory comes from an arena; nothing else is kept. */
#ifndef VET_VET_H
#define VET_VET_H

#include "base/arena.h"
#include "base/text.h"
#include "rig/rig.h"

enum vet_verdict {
    VET_SAFE,      /* every order, no finding, no stall, always at the goal */
    VET_BROKEN,    /* some order breaks a rule, a need, the hands or the places */
    VET_STALL,     /* some order leaves steps that can never start */
    VET_WRONG_END, /* some order ends away from the goal */
    VET_UNDECIDED  /* the limit was reached: nothing is claimed */
};

/* What the checker says; see vet/checker.h. */
enum vet_checked {
    VET_UNCHECKED, /* nothing to check: undecided, or too many states to keep */
    VET_CHECKED,   /* every way was followed again, or the proof looked through */
    VET_REFUSED    /* it does not hold: our mistake, and nothing is claimed */
};

/* The start or the finish of a step. */
struct vet_event {
    uint8_t step;
    bool finish;
};

enum { VET_WAY_MAX = 2 * STEPS_MAX, VET_FOUND_MAX = 32, VET_BEGINS_MAX = 20000 };

/* One thing found, with a shortest way to it. */
struct vet_found {
    enum vet_verdict kind;  /* VET_BROKEN, VET_STALL or VET_WRONG_END */
    struct finding finding; /* of VET_BROKEN */
    struct rig_state begin; /* where the way begins */
    struct vet_event way[VET_WAY_MAX];
    uint8_t way_count;
};

struct vet_report {
    enum vet_verdict verdict; /* the worst of what was found */
    enum vet_checked checked;
    uint64_t states, transitions, begins;
    double orders; /* ways from a begin to an end, in all */
    struct vet_found found[VET_FOUND_MAX];
    uint8_t found_count;
    bool cut_off; /* a limit was reached: there may be more to find */
};

struct vet_limits {
    uint64_t states; /* at most this many states are kept; 0: the usual limit */
    /* asked now and then; true stops the search (undecided); NULL: never */
    bool (*stop)(void *payload);
    void *payload;
    /* asked of every state that vet_search looks at; true stops it; NULL: never */
    bool (*each)(void *payload, const struct rig_state *state);
    void *each_payload;
    bool past_wrong; /* vet_search passes over begins where something is wrong at once */
    uint64_t bytes;  /* of memory for a sweep; 0: the usual limit */
    bool first_only; /* the first thing found, a nearest one, is enough */
    struct vet_certificate *certificate; /* written where it is safe; NULL: not wanted */
};

/* Searches from every state that the procedure's begin allows (from the rig's own start
 * where ONE_BEGIN). */
void vet_search(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
                struct vet_report *out);

/* Proves RIG as vet_fully does (vet/engines.h) and has what comes of it checked. */
void vet_prove(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
               struct vet_report *out);

/* One hand a role: the rig of the whole card.  False where a joint step needs two hands
 * of one role. */
bool vet_rig_of_roles(const struct procedure *procedure, bool pilot, struct rig *out);

const char *vet_verdict_name(enum vet_verdict verdict); /* "safe", "broken" ... */

#endif
