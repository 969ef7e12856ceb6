/* A bill changed by hand: one step put earlier or later on the card of its hand. */
#ifndef BILL_BILL_MOVE_H
#define BILL_BILL_MOVE_H

#include "bill/bill.h"

/* Puts STEP one place earlier (LATER: later) on the card of LANE; the other cards keep
 * their order.  OUT is BILL so changed, looked through like any other; `proved` where it
 * is still as short as can be.  False where that cannot be, with the reason in WHY in the
 * crew's words; OUT is then not set. */
bool bill_move(const struct bill *bill, const struct procedure *procedure,
               const struct crew *crew, const struct bill_wish *wish, int lane, int step,
               bool later, struct bill *out, struct text *why);

#endif
