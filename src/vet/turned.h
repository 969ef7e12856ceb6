/* A lattice whose waits have become arrows as far as they are arrows: a wait that holds
 * behind one writer of its part and never again fails means that this writer comes
 * before. Each arrow added is one that every run keeps. */
#ifndef VET_TURNED_H
#define VET_TURNED_H

#include "vet/lattice.h"

/* A wait that is met by some of the begin's values and not by others. */
struct split {
    int variable; /* -1: none */
    value_set met;
};

struct turned {
    struct lattice l; /* a copy whose arrows grew and whose writers are sorted */
    bool missed;      /* some wait is no arrow: its chance can close, or nobody can say */
    struct split split;               /* some wait depends on the begin */
    value_set *behind[VARIABLES_MAX]; /* values before and behind each writer */
};

/* The values each variable may have at the begin. */
void lattice_first(const struct lattice *lattice, value_set first[VARIABLES_MAX]);

/* Turns the waits of LATTICE, begun with FIRST. */
void turn_waits(const struct lattice *lattice, const value_set first[VARIABLES_MAX],
                struct arena *arena, struct turned *out);

#endif
