/* The one arrow that mends a procedure. */
#include "vet/changed.h"
#include "vet/engines.h"

static bool has(const struct vet_report *report, const struct vet_found *wanted)
{
    for (int i = 0; i < report->found_count; i++) {
        const struct vet_found *found = &report->found[i];
        if (found->kind == wanted->kind &&
            finding_same(&found->finding, &wanted->finding))
            return true;
    }
    return false;
}

static bool brings_new(const struct vet_report *before, const struct vet_report *after)
{
    for (int i = 0; i < after->found_count; i++)
        if (!has(before, &after->found[i]))
            return true;
    return after->verdict == VET_UNDECIDED;
}

/* The last step that starts on the way: the move that does it. */
static int last_start(const struct vet_found *found)
{
    for (int i = found->way_count - 1; i >= 0; i--)
        if (!found->way[i].finish)
            return found->way[i].step;
    return -1;
}

static step_set done_on_the_way(const struct vet_found *found)
{
    step_set done = found->begin.done;
    for (int i = 0; i < found->way_count; i++)
        if (found->way[i].finish)
            done |= (step_set)1 << found->way[i].step;
    return done;
}

int vet_repair(const struct rig *rig, const struct vet_found *found,
               const struct vet_limits *limits, int *at_step)
{
    struct arena *arena = arena_new();
    struct changed *changed = arena_alloc(arena, sizeof *changed);
    struct vet_report *before = arena_alloc(arena, sizeof *before);
    struct vet_report *after = arena_alloc(arena, sizeof *after);
    int step = last_start(found), best = -1;
    double most = 0;
    vet_fully(rig, limits, false, before);
    step_set done = done_on_the_way(found);
    for (int w = 0; step >= 0 && w < rig->procedure->step_count; w++) {
        if (w == step || done >> w & 1)
            continue;
        changed_copy(rig, changed);
        changed->steps[step].after |= (step_set)1 << w;
        vet_fully(&changed->rig, limits, false, after);
        if (has(after, found) || brings_new(before, after))
            continue;
        if (best >= 0 && after->orders <= most)
            continue;
        most = after->orders; /* the arrow that takes away the fewest orders */
        best = w;
    }
    arena_free(arena);
    *at_step = step;
    return best;
}
