#include "vet/engines.h"

/* Beyond this the search, which asks the limits of its own, is as quick as any. */
enum { QUICK_BYTES = 64 * 1024 * 1024, COUNTED_STATES = 300000 };

void vet_quickly(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
                 struct vet_report *out)
{
    struct arena *arena = arena_new();
    const struct lattice *lattice = lattice_make(rig, one_begin, arena);
    struct vet_limits quick = *limits;
    quick.bytes = quick.bytes ? quick.bytes : QUICK_BYTES;
    *out = (struct vet_report){.verdict = VET_UNDECIDED};
    if (lattice)
        lattice_order(lattice, out);
    if (lattice && out->verdict == VET_UNDECIDED)
        lattice_sweep(lattice, &quick, out);
    if (out->verdict == VET_UNDECIDED)
        vet_search(rig, limits, one_begin, out);
    arena_free(arena);
}

/* What order decides is searched for its numbers alone, and no longer than a moment. */
static bool search_ordered(const struct rig *rig, const struct vet_limits *limits,
                           bool one_begin, struct vet_report *out)
{
    struct arena *arena = arena_new();
    struct vet_report *searched = arena_alloc(arena, sizeof *searched);
    struct vet_limits few = *limits;
    if (!few.states || few.states > COUNTED_STATES)
        few.states = COUNTED_STATES;
    vet_order(rig, limits, one_begin, out);
    bool ordered = out->verdict != VET_UNDECIDED;
    if (ordered)
        vet_search(rig, &few, one_begin, searched);
    if (ordered && !searched->cut_off)
        *out = *searched;
    arena_free(arena);
    return ordered;
}

void vet_fully(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
               struct vet_report *out)
{
    if (search_ordered(rig, limits, one_begin, out))
        return;
    vet_search(rig, limits, one_begin, out);
    const uint64_t searched = out->states;
    struct vet_limits more = *limits;
    more.states = 0;
    if (out->verdict == VET_UNDECIDED)
        vet_sweep(rig, &more, one_begin, out);
    if (out->verdict == VET_UNDECIDED)
        vet_slices(rig, &more, one_begin, out);
    if (out->verdict == VET_UNDECIDED && out->states < searched)
        out->states = searched;
}
