/* Two slips at once. */
#include "vet/slip_try.h"

/* Ignoring a need lets nothing new happen; no cue at all is several slips. */
static bool goes_into_pairs(const struct slip *slip)
{
    return slip_is_single(slip) && slip->kind != SLIP_NEED;
}

/* SLIP changes nothing where STEP is left out. */
static bool falls_away(const struct slip *slip, int step)
{
    switch (slip->kind) {
    case SLIP_AFTER:
        return slip->step == step || slip->other == step;
    case SLIP_WAIT:
        return slip->step == step;
    default:
        return false;
    }
}

/* The two are not two: one makes nothing of the other, or both are of one part. */
static bool are_one(const struct slip *a, const struct slip *b)
{
    if (a->kind == SLIP_BEGIN && b->kind == SLIP_BEGIN)
        return a->step == b->step;
    return (a->kind == SLIP_OMIT && falls_away(b, a->step)) ||
           (b->kind == SLIP_OMIT && falls_away(a, b->step));
}

/* Makes both in the changed rig; false where one arrow that is taken away still follows
 * from the others: then the other slip alone is tried already. */
static bool make_both(struct slip_try *try, const struct slip *a, const struct slip *b)
{
    changed_copy(try->rig, try->changed);
    changed_slip(try->changed, try->rig, a);
    changed_slip(try->changed, try->rig, b);
    return !slip_try_implied(try, a) && !slip_try_implied(try, b);
}

static void note_pair(const struct slip *a, const struct slip *b, const struct slip *both,
                      struct slip_pairs *out)
{
    for (int i = 0; i < RULES_MAX / 64; i++)
        out->breaks[i] |= both->breaks[i];
    if (a->outcome == VET_BROKEN || b->outcome == VET_BROKEN ||
        both->outcome != VET_BROKEN)
        return; /* one of them is enough, or not even two */
    out->hurting++;
    if (out->count < SLIP_PAIRS_MAX)
        out->at[out->count++] = (struct slip_pair){*a, *b, both->finding, both->signal};
}

static void try_pair(struct slip_try *try, const struct slip *a, const struct slip *b,
                     struct slip_pairs *out)
{
    if (!goes_into_pairs(a) || !goes_into_pairs(b) || are_one(a, b) ||
        slip_try_stopped(try))
        return;
    out->tried++;
    struct slip both = {0};
    if (!make_both(try, a, b))
        return;
    slip_try_search(try, &both);
    note_pair(a, b, &both, out);
    out->states = try->states;
}

void vet_pairs(const struct rig *rig, const struct slips *slips,
               const struct vet_limits *limits, struct slip_pairs *out)
{
    struct arena *arena = arena_new();
    struct slip_try try;
    slip_try_start(&try, rig, limits, arena);
    *out = (struct slip_pairs){0};
    for (int i = 0; i < slips->count && !try.stopped; i++)
        for (int j = 0; j < i; j++)
            try_pair(&try, &slips->at[j], &slips->at[i], out);
    out->cut = try.cut;
    arena_free(arena);
}
