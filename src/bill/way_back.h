/* What going wrong may cost: of the mishaps that can happen on the way of a bill the one
 * whose recovery takes these hands longest. */
#ifndef BILL_WAY_BACK_H
#define BILL_WAY_BACK_H

#include "bill/bill_spread.h"
#include "load/library.h"

struct way_back {
    int mishap;                        /* of the procedure's rig; -1: none can happen */
    const struct procedure *procedure; /* the recovery; NULL: none is known */
    struct bill_spread spread;         /* of the recovery */
    int mishap_count;                  /* that can happen on the way */
    int unknown_count;                 /* of them, those no recovery fits */
    int unmanned_count; /* and those whose recovery these hands have no bill for */
};

/* Looks at each state BILL passes through and each mishap that can happen there; of the
 * recoveries that fit then the nearest counts.  Mishaps whose names begin with WITHOUT
 * are left out (NULL: none): a person overboard ends every manoeuvre and is reckoned on
 * its own.  Everything found lives in ARENA. */
void bill_find_way_back(const struct library *library, const struct bill *bill,
                        const struct procedure *procedure, const struct crew *crew,
                        const struct bill_wish *wish, const char *without,
                        struct arena *arena, struct way_back *out);

#endif
