/* A certificate: what a verdict of safe rests on, for the checker, which does not trust
 * the engine that wrote it.  Plain data in an arena of the caller's. */
#ifndef VET_CERTIFICATE_H
#define VET_CERTIFICATE_H

#include "base/arena.h"
#include "rig/rig.h"

enum vet_ground {
    VET_GROUND_NONE,  /* no certificate was given */
    VET_GROUND_STATES /* every state that can be met */
};

/* The caller sets arena and most, the engine the rest. */
struct vet_certificate {
    struct arena *arena;
    uint64_t most; /* where there are more states no certificate is given */
    enum vet_ground ground;
    /* Of VET_GROUND_STATES: records of SIZE bytes, one a state.  begun and done, 8 bytes
     * each as they lie in memory; one byte for each of `parts`; tender, taker and tending
     * for each of `lines`.  All else is in every state as it is at the start. */
    uint8_t part_count, line_count, parts[PARTS_MAX], lines[PARTS_MAX];
    size_t size, count;
    uint8_t *states;
};

#endif
