/* One changed rig tried: what comes of a slip, or of two. */
#ifndef VET_SLIP_TRY_H
#define VET_SLIP_TRY_H

#include "vet/changed.h"

/* Room to try one slip after another of RIG in; lives in ARENA. */
struct slip_try {
    const struct rig *rig; /* as it is without slips */
    const struct vet_limits *limits;
    struct changed *changed;
    struct vet_report *report;
    uint64_t states; /* searched so far */
    bool cut;        /* not all was found: stopped, or more than a report keeps */
    bool stopped;
};

void slip_try_start(struct slip_try *try, const struct rig *rig,
                    const struct vet_limits *limits, struct arena *arena);

/* True when the user wants it to stop: what is not tried yet stays undecided. */
bool slip_try_stopped(struct slip_try *try);

/* Searches the changed rig as it stands; what is found goes to OUT, whose kind, step and
 * other are kept. */
void slip_try_search(struct slip_try *try, struct slip *out);

/* The arrow that SLIP (a SLIP_AFTER that is made in the changed rig) takes away follows
 * from the other arrows and the cards: without it nothing new can happen. */
bool slip_try_implied(const struct slip_try *try, const struct slip *slip);

/* The changed rig is wrong before anybody moves: as begin is written first, or in every
 * begin that hurts. */
bool slip_try_seen(struct slip_try *try);

/* No order of the changed rig is one: its arrows and cards contradict each other. */
bool slip_try_barred(const struct slip_try *try);

#endif
