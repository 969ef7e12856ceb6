/* Mirror: on the other board a procedure is mostly the same with port and starboard
 * changed over.  Where that is proved, a proof for one board is one for both: parts,
 * values, stations, roles and gear of one go to those of the other one to one, each on
 * the other side, and all that vet reads (steps, arrows, waits, needs, effects, tending,
 * begin, goal, checks, rules) goes with them.  Words and times may differ. */
#ifndef VET_MIRROR_H
#define VET_MIRROR_H

#include "base/text.h"
#include "model/procedure.h"

/* ONE and OTHER are mirror images, as said above.  Where they are not, what breaks it is
 * added to WHY: "the halyard winch is fixed to starboard". */
bool vet_mirrors(const struct procedure *one, const struct procedure *other,
                 struct text *why);

#endif
