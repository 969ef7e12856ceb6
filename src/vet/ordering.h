/* What order decides of a lattice, for those who go on from there. */
#ifndef VET_ORDERING_H
#define VET_ORDERING_H

#include "vet/finds.h"
#include "vet/lattice.h"

/* Decides what follows from the order of events: what is found goes to FINDS, OPEN is set
 * for each clause that is left.  False where some wait can be missed: then everything is
 * left, stalls and the end as well. */
bool order_decide(const struct lattice *lattice, struct arena *arena, struct finds *finds,
                  bool *open);

#endif
