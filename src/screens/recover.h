/* The way on from a live run: which procedures fit the state the rig is in, and a bill
 * for the hands who are there, beginning from that state.  Pure but for the arena. */
#ifndef SCREENS_RECOVER_H
#define SCREENS_RECOVER_H

#include "load/library.h"
#include "run/run.h"

enum { OFFERS_MAX = 32 };

/* One procedure for the state. */
struct offer {
    const struct procedure *procedure;
    int turned;             /* the option that is not as settled for this run; -1: none */
    struct rig_state state; /* the rig's state in this procedure's parts */
    int off;                /* parts that do not fit its begin; 0: it fits */
    int first_off;          /* one of them; -1 */
    int breadth; /* how many states its begin allows, in values: less is nearer */
};

struct offers {
    struct offer at[OFFERS_MAX];
    int count;
};

/* The procedures of the run's rig for its state after MISHAP (-1: none): those that fit
 * first, recoveries before others, the nearest first; then those that do not fit.  One
 * that fits is offered with each of its options turned as well.  Loaded into the arena
 * for the board the rig says. */
void recover_offers(const struct library *library, const struct run *run, int mishap,
                    struct arena *arena, struct offers *out);

/* A bill for OFFER by the hands of CREW who are aboard; lines stay with the hands who
 * hold them where that is possible (false in *KEPT where not). */
enum bill_verdict recover_bill(const struct offer *offer, const struct run *run,
                               const struct crew *crew, struct bill *out,
                               struct bill_why *why, bool *kept);

/* The same procedure from where it is, without the hand of LANE; CREW must not have that
 * hand aboard.  The others keep their roles where that is possible. */
enum bill_verdict recover_without(const struct run *run, int lane,
                                  const struct crew *crew, struct bill *out,
                                  struct bill_why *why);

#endif
