/* The station bill: who wears which role and when each step is done.  Made by playing the
 * rig, so a bill never stalls and breaks no rule on its way.  Refers to hands and steps
 * by index; borrows procedure and crew. */
#ifndef BILL_BILL_H
#define BILL_BILL_H

#include "base/text.h"
#include "base/units.h"
#include "model/crew.h"
#include "rig/rig.h"

struct bill_slot {
    uint8_t step;
    int32_t start_ms, end_ms; /* since the go */
};

/* What is proved of a bill besides its time; each claim is among the bills that are as
 * good in all before it. */
enum bill_claim {
    BILL_FEWEST_CHANGES = 1, /* of roles from hand to hand, where they are shared out */
    BILL_BEST_KNOWN = 2,     /* the hands lack least to be sure of their roles */
    BILL_LEAST_BUSY = 4,     /* the busiest hand has least to do */
    BILL_LEAST_WAY = 8       /* all together walk least */
};

struct bill {
    uint8_t lane_count, slot_count;
    bool pilot;
    uint8_t hand[LANES_MAX]; /* index into the crew's hands */
    role_set wears[LANES_MAX];
    struct bill_slot slots[STEPS_MAX]; /* in the order in which they start */
    int32_t total_ms;
    bool proved;            /* no bill of these hands is shorter */
    int32_t least_ms;       /* none is shorter than this */
    uint8_t settled;        /* set of enum bill_claim: what else is proved of it */
    bool from_state;        /* begins from START, not from the procedure's begin */
    struct rig_state start; /* its tenders are lanes of this bill */
};

enum bill_verdict {
    BILL_FOUND,
    BILL_NONE,     /* the whole search found none */
    BILL_UNDECIDED /* the search was cut off */
};

/* Why there is no bill, for bill_explain. */
struct bill_why {
    role_set nobody; /* roles nobody aboard knows */
    role_set
        too_weak;   /* roles in which those who know them cannot hold what is to hold */
    role_set apart; /* roles of which no two can share a hand: a lower bound */
    uint8_t needed; /* hands the roles in apart ask for */
    role_set too_much; /* the fewest roles that these hands cannot do all of; empty: not
                          known */
    bool pilot;        /* it needs an autopilot that steers */
    uint8_t aboard, most;         /* hands there are, and that were asked for (0: all) */
    uint32_t plays;               /* ways tried */
    role_set clash;               /* two roles that cannot share a hand, and... */
    struct finding clash_finding; /* ...why not */
    int8_t clash_step;            /* -1: they wait for each other */
    bool clash_asked;             /* the wish asks one hand to wear both */
};

/* How far the search for a bill is. */
struct bill_progress {
    uint64_t conflicts; /* dead ends so far */
    int32_t found_ms;   /* the shortest bill so far; 0: none */
};

/* Whoever waits for a bill.  The search goes on in slices; after each STOP is asked, and
 * where it says true the best so far is taken. */
struct bill_patience {
    bool (*stop)(void *payload, const struct bill_progress *progress);
    void *payload;
};

/* Settings of the search. */
struct bill_wish {
    bool pilot;
    bool any_will_do; /* it is only asked whether there is one: it may be long, or unsafe
                         where somebody is slow */
    int8_t hand_of_role[ROLES_MAX];       /* the hand who must wear the role; -1: free */
    uint8_t hands_most;                   /* of those aboard; 0: as many as there are */
    int32_t usual_ms[STEPS_MAX];          /* as measured; 0: as the file says */
    uint32_t plays_max;                   /* the bound; 0: the usual one */
    int64_t conflicts_max;                /* of the proof; 0: the usual one */
    const struct bill_patience *patience; /* NULL: it lasts to the end */
    const struct rig_state *start; /* begin here, as rig_start_from; NULL: at the begin */
};

void bill_wish_start(struct bill_wish *wish);

enum bill_verdict bill_make(const struct procedure *procedure, const struct crew *crew,
                            const struct bill_wish *wish, struct bill *out,
                            struct bill_why *why);

/* The same without the reasons why not: quicker where there is none. */
enum bill_verdict bill_try(const struct procedure *procedure, const struct crew *crew,
                           const struct bill_wish *wish, struct bill *out);

/* The bill can be done so: hands who may, times long enough, ways walked, and played
 * through the rig nothing is broken on the way to the goal.  Own code: it has no part in
 * finding a bill. */
bool bill_holds(const struct bill *bill, const struct procedure *procedure,
                const struct crew *crew, const struct bill_wish *wish);

/* The rig of the bill, one merged card a hand. */
void bill_rig(const struct bill *bill, const struct procedure *procedure,
              struct rig *out);

/* The planned slot of STEP. */
const struct bill_slot *bill_slot_of(const struct bill *bill, int step);

/* The missing thing in the crew's words. */
void bill_explain(enum bill_verdict verdict, const struct bill_why *why,
                  const struct procedure *procedure, enum units units, struct text *out);

/* Why the two roles of the clash cannot be one person: "Bow, Pit in one person, at
 * "trip": ...". */
void bill_explain_clash(const struct bill_why *why, const struct procedure *procedure,
                        struct text *out);

/* What a finding says, in the crew's words; HANDS may be NULL (lanes are then roles). */
void bill_say_finding(const struct finding *finding, const struct rig *rig,
                      const struct bill *bill, const struct crew *crew, struct text *out);

/* "starboard guy slack" or "course turning or dead downwind". */
void bill_say_condition(const struct rig_plan *plan, const struct condition *condition,
                        struct text *out);

/* The bill as stored text, and back; false where it does not fit procedure and crew. */
void bill_write(const struct bill *bill, const struct procedure *procedure,
                const struct crew *crew, struct text *out);
bool bill_read(const char *text, const struct procedure *procedure,
               const struct crew *crew, struct bill *out);

#endif
