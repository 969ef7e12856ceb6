#include "vet/repair.h"

#include "vet/changed.h"
#include "vet/engines.h"

enum { QUICK_STATES = 20000 };

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
    return after->verdict == VET_UNDECIDED || after->cut_off;
}

/* One procedure in the making: arrows are tried in it one after another. */
struct mending {
    const struct rig *rig;
    const struct vet_report *before;
    const struct vet_found *found;
    const struct vet_limits *limits;
    struct changed *changed;
    struct vet_report *after;
    int least;   /* found with the best arrow so far */
    double most; /* orders it leaves */
    struct vet_mend best;
};

static void draw(struct mending *m, int first, int then)
{
    changed_copy(m->rig, m->changed);
    m->changed->steps[then].after |= (step_set)1 << first;
}

static void try_arrow(struct mending *m, int first, int then)
{
    struct vet_report *after = m->after;
    draw(m, first, then);
    vet_fully(&m->changed->rig, m->limits, false, after);
    if (has(after, m->found) || brings_new(m->before, after) ||
        after->found_count > m->least)
        return;
    if (after->found_count && after->orders <= 0)
        return; /* it comes to no end at all: something else is missing */
    if (after->found_count == m->least && after->orders <= m->most)
        return;
    m->least = after->found_count;
    m->most = after->orders;
    m->best = (struct vet_mend){(int8_t)first, (int8_t)then, !m->least};
}

/* With that arrow nothing is found any more, as far as a short look tells. */
static bool looks_safe(struct mending *m, int first, int then)
{
    struct vet_limits quick = *m->limits;
    quick.states = QUICK_STATES;
    draw(m, first, then);
    vet_quickly(&m->changed->rig, &quick, false, m->after);
    return m->after->verdict == VET_SAFE;
}

/* What starts on the way, backwards: number FROM and before; -1: none. */
static int start_before(const struct vet_found *found, int from)
{
    while (from >= 0 && found->way[from].finish)
        from--;
    return from;
}

static step_set done_before(const struct vet_found *found, int event)
{
    step_set done = found->begin.done;
    for (int i = 0; i < event; i++)
        if (found->way[i].finish)
            done |= (step_set)1 << found->way[i].step;
    return done;
}

/* Arrows to the step that starts at EVENT of the way, from what was not done by then. */
static void try_start(struct mending *m, int event, bool look_first)
{
    int then = m->found->way[event].step;
    step_set done = done_before(m->found, event);
    for (int first = 0; first < m->rig->procedure->step_count; first++)
        if (first != then && !(done >> first & 1) &&
            (!look_first || looks_safe(m, first, then)))
            try_arrow(m, first, then);
}

struct vet_mend vet_repair(const struct rig *rig, const struct vet_report *before,
                           const struct vet_found *found, const struct vet_limits *limits)
{
    struct arena *arena = arena_new();
    struct mending m = {.rig = rig,
                        .before = before,
                        .found = found,
                        .limits = limits,
                        .changed = arena_alloc(arena, sizeof *m.changed),
                        .after = arena_alloc(arena, sizeof *m.after),
                        .least = VET_FOUND_MAX,
                        .best = {.first = -1, .then = -1}};
    int event = start_before(found, found->way_count - 1);
    if (event >= 0)
        try_start(&m, event, false);
    while (!m.best.all && (event = start_before(found, event - 1)) >= 0)
        try_start(&m, event, true);
    arena_free(arena);
    return m.best;
}
