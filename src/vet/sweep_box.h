/* The box of a sweep: the events of a lattice laid out as few chains as the arrows allow
 * (Dilworth: as many as can be unordered at once), a counter each.  The counters of some
 * chains, the inner ones, number the cells of a block, one bit a cell; those of the
 * others, the outer ones, number the groups of blocks. */
#ifndef VET_SWEEP_BOX_H
#define VET_SWEEP_BOX_H

#include "vet/lattice.h"

/* Tests make it small, so that small procedures have many groups. */
#ifndef FOREGUY_BLOCK_WORDS
#define FOREGUY_BLOCK_WORDS 8
#endif

enum { BLOCK_WORDS_MAX = FOREGUY_BLOCK_WORDS, CELLS_MAX = 64 * BLOCK_WORDS_MAX };

/* One bit a cell; the words behind those in use are 0. */
struct block {
    uint64_t word[BLOCK_WORDS_MAX];
};

struct chain {
    bool inner;
    uint8_t length;
    uint8_t events[EVENTS_MAX];
    uint64_t stride; /* of an inner chain in cells, of an outer one in groups */
};

struct box {
    const struct lattice *lattice;
    int chain_count;
    struct chain chains[EVENTS_MAX];
    uint8_t chain_of[EVENTS_MAX];
    uint8_t place_of[EVENTS_MAX]; /* how far the chain's counter is with the event */
    int cells, words;             /* of a block */
    uint64_t groups;
    struct block full; /* all cells */
    struct block
        done[EVENTS_MAX]; /* of an inner event: the cells where it has happened */
    struct block next[EVENTS_MAX]; /* and those where it is the next of its chain */
    struct block *levels;          /* the cells whose counters sum up to 0, 1, ... */
    int level_count;
};

/* Lays out LATTICE; false where there are more groups than can be numbered. */
bool box_make(const struct lattice *lattice, struct arena *arena, struct box *out);

/* The counter of an inner CHAIN in CELL. */
int box_counter(const struct chain *chain, int cell);

static inline void block_and(struct block *block, const struct block *other, int words)
{
    for (int w = 0; w < words; w++)
        block->word[w] &= other->word[w];
}

static inline void block_drop(struct block *block, const struct block *other, int words)
{
    for (int w = 0; w < words; w++)
        block->word[w] &= ~other->word[w];
}

static inline void block_or(struct block *block, const struct block *other, int words)
{
    for (int w = 0; w < words; w++)
        block->word[w] |= other->word[w];
}

static inline bool block_any(const struct block *block, int words)
{
    uint64_t any = 0;
    for (int w = 0; w < words; w++)
        any |= block->word[w];
    return any;
}

/* BLOCK moved up by CELLS. */
static inline struct block block_up(const struct block *block, int cells, int words)
{
    struct block up = {{0}};
    int by = cells >> 6, bits = cells & 63;
    for (int w = words - 1; w >= by; w--) {
        up.word[w] = block->word[w - by] << bits;
        if (bits && w > by)
            up.word[w] |= block->word[w - by - 1] >> (64 - bits);
    }
    return up;
}

#endif
