/* The one arrow that mends a procedure. */
#ifndef VET_REPAIR_H
#define VET_REPAIR_H

#include "vet/vet.h"

/* `after: [first]` for step `then`. */
struct vet_mend {
    int8_t first, then; /* steps; first -1: no single arrow mends it */
    bool all;           /* with it nothing is found any more */
};

/* The arrow that takes FOUND away and brings nothing new; to the last step that starts on
 * FOUND's way, or where that does not mend all, to one before it that does.  Of several
 * the one that leaves the least else that is found, then the one that rules out the
 * fewest orders.  BEFORE is what was found without it. */
struct vet_mend vet_repair(const struct rig *rig, const struct vet_report *before,
                           const struct vet_found *found,
                           const struct vet_limits *limits);

#endif
