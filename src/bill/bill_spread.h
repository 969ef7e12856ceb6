/* How long a bill takes when each step takes as long as it happens to: the half of all
 * times, and what nine in ten stay under. */
#ifndef BILL_BILL_SPREAD_H
#define BILL_BILL_SPREAD_H

#include "bill/bill.h"

struct bill_spread {
    int32_t median_ms, nine_ms; /* half of all times, nine in ten, are no longer */
    int32_t slow_ms;            /* every step slow */
    int plays;                  /* of those asked for, those that came to the end */
};

/* Plays BILL so often, each time with other durations: each step between its best and its
 * slow time, its usual one the likeliest (the beta distribution of PERT, whose mean is a
 * sixth of best, four times usual and slow; Malcolm, Roseboom, Clark and Fazar,
 * Operations Research 7, 1959, from memory).  A step that is new to its hand lies about
 * its slow time, and as far beyond.  Hands, orders and waits are as in the bill; walking
 * takes what it takes there.  The same SEED gives the same figures everywhere.  False
 * where no play came to the end. */
bool bill_find_spread(const struct bill *bill, const struct procedure *procedure,
                      const struct crew *crew, const struct bill_wish *wish, int plays,
                      uint64_t seed, struct bill_spread *out);

#endif
