/* Pins: hands who must wear a role because somebody said so.  What they cost against the
 * bill in which nobody is pinned, and which of them leave no bill. */
#ifndef BILL_BILL_PINS_H
#define BILL_BILL_PINS_H

#include "bill/bill.h"

struct pins {
    enum bill_verdict free_verdict; /* with nobody pinned */
    struct bill free;               /* where one is found */
    role_set clash; /* the fewest pinned roles that leave no bill; none where they do */
    struct bill_why why; /* of the clash: two roles of one hand, where it is that */
};

/* The pinned roles of WISH. */
role_set bill_pinned(const struct bill_wish *wish);

/* Asks what the pins of WISH do; VERDICT is that of the bill made with them. */
void bill_ask_pins(const struct procedure *procedure, const struct crew *crew,
                   const struct bill_wish *wish, enum bill_verdict verdict,
                   struct pins *out);

#endif
