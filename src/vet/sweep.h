/* The state of a sweep, for the files that ask the cells, make the pass
 * and tell the ways.
 */
#ifndef VET_SWEEP_H
#define VET_SWEEP_H

#include "vet/engines.h"
#include "vet/finds.h"
#include "vet/sweep_plan.h"
#include "vet/sweep_store.h"

/* The nearest cell where something is found. */
struct spot {
    int length; /* events until then; 0 with `is`: at the begin */
    bool is;
    uint64_t group;
    int plane, cell, moment;
};

/* An event that may happen in some cells of the group in hand. */
struct open_event {
    int event;
    struct block cells;
    const bool *planes;
    const uint16_t *to_plane; /* NULL: it stays in its plane */
    uint64_t stride;          /* of its chain: in groups, or in cells where inner */
    uint8_t chain;
    bool inner;
};

struct sweep {
    const struct lattice *lattice;
    const struct plan *plan;
    const struct vet_limits *limits;
    struct store store;
    struct vet_report *out;
    struct spot *spots;     /* by finding, then the stall, then the wrong end */
    uint8_t at[EVENTS_MAX]; /* the outer counters of the group in hand */
    int level;              /* their sum */
    int open_count;
    struct open_event open[EVENTS_MAX];
    int16_t open_of[EVENTS_MAX]; /* number in `open` + 1; 0: it may not happen */
    bool cut_off;
};

/* The cells of the group in hand where WHERE holds, planes aside; false where there are
 * none. */
bool sweep_cells(const struct sweep *sweep, const struct where *where,
                 struct block *cells);

/* The nearest way to SPOT, told from cell to cell backwards, each event as the rig allows
 * it. */
void sweep_tell(const struct sweep *sweep, const struct spot *spot, struct find *find);

#endif
