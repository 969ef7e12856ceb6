/* The groups of blocks of a sweep, by number.  All of them side by side where there is
 * room; otherwise those alone that have a cell in them, in the order they were made. */
#ifndef VET_SWEEP_STORE_H
#define VET_SWEEP_STORE_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct store {
    struct arena *arena;
    size_t words;       /* of a group */
    uint64_t groups;    /* there can be */
    uint64_t *all;      /* side by side; NULL: one by one */
    uint64_t **made;    /* one by one, in the order they were made */
    uint64_t *numbers;  /* of those */
    size_t count, most; /* how many are made and may be */
    uint32_t *table;    /* to find them by number: place + 1 */
    size_t room;
};

/* A store of GROUPS groups of WORDS words in BYTES of memory or less. */
void store_start(struct store *store, uint64_t groups, size_t words, uint64_t bytes,
                 struct arena *arena);

/* Group NUMBER, made (all 0) where it is not there; NULL where there is no more room. */
uint64_t *store_group(struct store *store, uint64_t number);

/* Group NUMBER; NULL where it is not there. */
const uint64_t *store_find(const struct store *store, uint64_t number);

/* The group at PLACE in the order of visiting, its number to NUMBER; NULL behind the
 * last. Groups made on the way are behind those there were. */
uint64_t *store_visit(struct store *store, uint64_t place, uint64_t *number);

#endif
