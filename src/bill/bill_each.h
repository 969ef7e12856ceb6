/* Each step on its own: a procedure in which a role is shared out among hands.  What was
 * one role is there as several of the same name, so that everything that makes, checks,
 * proves and shows bills works as before.
 *
 * Kept together are: the helm, a role marked `one-hand` and one whose card has no order
 * of its own; and of any other role the steps between taking a line in hand and letting
 * it go.  The card's order still binds: a step comes after the one before it on the card,
 * whoever did that. */
#ifndef BILL_BILL_EACH_H
#define BILL_BILL_EACH_H

#include "base/arena.h"
#include "bill/bill.h"

/* PROCEDURE with its roles shared out, in ARENA; it borrows from PROCEDURE.  Where more
 * than ROLES_MAX would come of it the last roles stay whole. */
const struct procedure *bill_share_out(const struct procedure *procedure,
                                       struct arena *arena);

/* The two are one role, shared out. */
bool bill_are_kin(const struct procedure *procedure, int role, int other);

/* The first of ROLE's kin: who has none is its own. */
int bill_first_kin(const struct procedure *procedure, int role);

/* Some role is shared out. */
bool bill_is_shared_out(const struct procedure *procedure);

/* The hands of BILL that have ROLE or some of its kin. */
int bill_count_hands(const struct bill *bill, const struct procedure *procedure,
                     int role);

/* How often in BILL a role goes from one hand to another: of each role the hands that
 * have it, less one. */
int bill_role_changes(const struct bill *bill, const struct procedure *procedure);

#endif
