/* The engines of vet.  vet_search is the plain reference, these two are faster where they
 * decide at all; all three agree, and tests hold that. */
#ifndef VET_ENGINES_H
#define VET_ENGINES_H

#include "vet/lattice.h"

typedef void vet_engine(const struct rig *rig, const struct vet_limits *limits,
                        bool one_begin, struct vet_report *out);

/* Decides without a search: waits become arrows between events, and what can be found is
 * decided by the smallest set of events that opens it (conjunctive predicates on a
 * partial order: Garg and Waldecker 1994, from memory).  VET_UNDECIDED where a wait can
 * be missed, or where what must be known does not follow from the order of events.
 * States, transitions and orders are not counted (0). */
vet_engine vet_order;

/* Visits every cell of a box of counters once, one exact bit a cell, a block of cells at
 * a time.  States and transitions are those of vet_search; orders are not counted (0).
 * VET_UNDECIDED where it does not fit. */
vet_engine vet_sweep;

/* The same for a lattice that is made already. */
void lattice_order(const struct lattice *lattice, struct vet_report *out);
void lattice_sweep(const struct lattice *lattice, const struct vet_limits *limits,
                   struct vet_report *out);

/* Order, and a sweep for each thing to be found that order leaves, over those events
 * alone that have to do with it.  VET_UNDECIDED where a wait can be missed and nothing
 * else was found: stalls are not seen by parts.  Nothing is counted. */
vet_engine vet_slices;
void lattice_slices(const struct lattice *lattice, const struct vet_limits *limits,
                    struct vet_report *out);

/* The verdict by the quickest engine that decides: order, then sweep, then the search.
 * States and transitions are 0 where none was visited; orders are not counted. */
vet_engine vet_quickly;

/* The same with states and orders counted where that takes no more than a moment or there
 * is no other way: what order decides is searched for its numbers, the rest is searched,
 * else swept, else taken in slices. */
vet_engine vet_fully;

#endif
