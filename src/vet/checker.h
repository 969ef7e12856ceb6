/* The second look: what an engine says is checked by code it has no part in.  Only the
 * rig's own functions and plain data are used here, so a mistake of an engine and one of
 * the checker would have to match to let a wrong proof through. */
#ifndef VET_CHECKER_H
#define VET_CHECKER_H

#include "vet/certificate.h"
#include "vet/vet.h"

/* Follows the way of FOUND through the rig, event by event, and looks whether it is one:
 * it begins where the procedure may begin, each event is allowed where it stands, and
 * what was found is really there at the end. */
bool vet_replay(const struct rig *rig, const struct vet_found *found);

/* Looks whether CERTIFICATE proves RIG safe from every state its begin allows (from its
 * own start where ONE_BEGIN): the states hold each of these and each state that an event
 * leads to from one of them; nothing is wrong in any or at an event; nobody waits for
 * ever; and it ends at the goal only. */
bool vet_accepts(const struct rig *rig, bool one_begin,
                 const struct vet_certificate *certificate);

/* Checks all of REPORT and says so in it.  What does not hold is our mistake, not the
 * file's: it is refused, and then nothing is claimed. */
void vet_check(const struct rig *rig, bool one_begin,
               const struct vet_certificate *certificate, struct vet_report *report);

#endif
