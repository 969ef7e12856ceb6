#include "bill/bill_pins.h"

role_set bill_pinned(const struct bill_wish *wish)
{
    role_set pinned = 0;
    for (int role = 0; role < ROLES_MAX; role++)
        pinned |= (role_set)((wish->hand_of_role[role] >= 0) << role);
    return pinned;
}

static struct bill_wish only(const struct bill_wish *wish, role_set pinned)
{
    struct bill_wish less = *wish;
    for (int role = 0; role < ROLES_MAX; role++)
        if (!(pinned >> role & 1))
            less.hand_of_role[role] = -1;
    return less;
}

/* One pin after the other is taken off: what still leaves no bill without it did not need
 * it. */
static role_set find_clash(const struct procedure *procedure, const struct crew *crew,
                           const struct bill_wish *wish, struct bill *bill)
{
    role_set clash = bill_pinned(wish);
    for (int role = 0; role < ROLES_MAX; role++) {
        role_set without = (role_set)(clash & ~(1u << role));
        struct bill_wish less = only(wish, without);
        if (without != clash && bill_try(procedure, crew, &less, bill) == BILL_NONE)
            clash = without;
    }
    return clash;
}

void bill_ask_pins(const struct procedure *procedure, const struct crew *crew,
                   const struct bill_wish *wish, enum bill_verdict verdict,
                   struct pins *out)
{
    *out = (struct pins){0};
    struct bill_wish free = only(wish, 0);
    out->free_verdict = bill_try(procedure, crew, &free, &out->free);
    if (verdict != BILL_NONE || out->free_verdict != BILL_FOUND)
        return;
    struct bill bill;
    out->clash = find_clash(procedure, crew, wish, &bill);
    struct bill_wish least = only(wish, out->clash);
    bill_make(procedure, crew, &least, &bill, &out->why);
}
