#include "vet/engines.h"

/* Beyond this the search, which asks the limits of its own, is as quick as any. */
enum { QUICK_BYTES = 64 * 1024 * 1024 };

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

void vet_fully(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
               struct vet_report *out)
{
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
