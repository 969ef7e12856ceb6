/* What a call has to reckon with: how long the manoeuvre takes these hands, what going
 * wrong may cost, and when the stand-by is answered. */
#ifndef BILL_CALL_TIMES_H
#define BILL_CALL_TIMES_H

#include "bill/way_back.h"
#include "forces/call.h"

struct call_times {
    struct bill_spread spread;
    struct way_back back;
    int32_t
        stand_by_ms; /* planned from the begin until it is answered; -1: there is none */
};

/* Plays BILL a thousand times and looks for the slowest way back; a person overboard ends
 * every manoeuvre and is no failure of one.  False where no play came to the end. */
bool bill_find_call_times(const struct library *library, const struct bill *bill,
                          const struct procedure *procedure, const struct crew *crew,
                          const struct bill_wish *wish, struct arena *arena,
                          struct call_times *out);

/* Fills in the times of NOW: from the go, which is when the stand-by is answered; without
 * one the stand-by is said ten seconds before. */
void bill_fill_call(const struct call_times *times, struct call_now *now);

#endif
