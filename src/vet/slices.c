/* Slices: what is too large to sweep as a whole is swept for one finding at a time, over
 * those events alone that have to do with it.  A run of the others can be left out or
 * added anywhere, so a slice shows the same (Mittal, Sen and Garg 2007, abstract). */
#include "vet/engines.h"

#include "vet/ordering.h"

#include <string.h>

static void add_writers(const struct lattice *l, const struct bounds *bounds,
                        struct event_set *events)
{
    for (int i = 0; i < bounds->count; i++) {
        const struct variable *v = &l->variables[bounds->at[i].variable];
        for (int w = 0; w < v->count; w++)
            events_add(events, v->writers[w].event);
    }
}

static void add_steps(const struct lattice *l, step_set steps, struct event_set *events)
{
    for (int e = 0; e < EVENTS_MAX; e++)
        if (steps >> e / 2 & 1 && events_have(&l->todo, e))
            events_add(events, e);
}

static void add_clause(const struct lattice *l, const struct lattice_clause *clause,
                       struct event_set *events)
{
    events_join(events, &clause->in);
    events_join(events, &clause->out);
    if (clause->moment >= 0)
        events_add(events, clause->moment);
    add_steps(l, clause->idle, events);
    add_writers(l, &clause->bounds, events);
}

/* Adds what decides when EVENTS may happen, and what decides that, and so on.  Other
 * steps of the same hands need not be there: left out they keep nobody busy. */
static void close_slice(const struct lattice *l, struct event_set *events)
{
    for (int before = 0; before != events_count(events);) {
        before = events_count(events);
        for (int e = 0; e < EVENTS_MAX; e++) {
            if (!events_have(events, e))
                continue;
            events_join(events, &l->arrows[e]);
            if (e % 2 == 0)
                add_writers(l, &l->waits[e / 2], events);
        }
    }
}

/* The lattice of EVENTS and of the clauses for FINDING. */
static struct lattice *cut_slice(const struct lattice *whole,
                                 const struct event_set *events,
                                 const struct finding *finding, struct arena *arena)
{
    struct lattice *l = arena_alloc(arena, sizeof *l);
    *l = *whole;
    l->todo.word[0] &= events->word[0];
    l->todo.word[1] &= events->word[1];
    l->goal.count = 0;
    lattice_close(l);
    l->variables =
        arena_alloc(arena, (size_t)whole->variable_count * sizeof *l->variables);
    for (int i = 0; i < whole->variable_count; i++) {
        struct variable *v = &l->variables[i];
        *v = whole->variables[i];
        v->writers = arena_alloc(arena, v->count * sizeof *v->writers);
        memcpy(v->writers, whole->variables[i].writers, v->count * sizeof *v->writers);
        lattice_sort_writers(l, v);
    }
    l->clauses = arena_alloc(arena, (size_t)whole->clause_count * sizeof *l->clauses);
    l->clause_count = 0;
    for (int i = 0; i < whole->clause_count; i++)
        if (finding_same(&whole->clauses[i].finding, finding))
            l->clauses[l->clause_count++] = whole->clauses[i];
    return l;
}

/* Keeps what a slice was cut for; its stalls and its end are not those of the whole. */
static void keep_found(const struct vet_report *slice, struct finds *finds,
                       struct arena *arena)
{
    for (int i = 0; i < slice->found_count; i++) {
        const struct vet_found *found = &slice->found[i];
        struct find *find = found->kind == VET_BROKEN
                                ? finds_better(finds, VET_BROKEN, &found->finding,
                                               found->way_count, arena)
                                : NULL;
        if (!find)
            continue;
        find->length = find->way_count = found->way_count;
        find->begin = found->begin;
        memcpy(find->way, found->way, found->way_count * sizeof find->way[0]);
    }
}

/* Sweeps the slice of the first open clause and closes all of its finding; false where it
 * does not fit. */
static bool sweep_slice(const struct lattice *whole, const struct vet_limits *limits,
                        bool *open, int first, struct finds *finds, struct arena *arena)
{
    const struct finding *finding = &whole->clauses[first].finding;
    struct event_set events = {{0, 0}};
    for (int i = first; i < whole->clause_count; i++)
        if (finding_same(&whole->clauses[i].finding, finding)) {
            add_clause(whole, &whole->clauses[i], &events);
            open[i] = false;
        }
    close_slice(whole, &events);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    lattice_sweep(cut_slice(whole, &events, finding, arena), limits, report);
    keep_found(report, finds, arena);
    return !report->cut_off;
}

void lattice_slices(const struct lattice *lattice, const struct vet_limits *limits,
                    struct vet_report *out)
{
    struct arena *arena = arena_new();
    struct finds *finds = arena_alloc(arena, sizeof *finds);
    bool *open = arena_alloc(arena, (size_t)lattice->clause_count + 1);
    bool decided = order_decide(lattice, arena, finds, open);
    for (int i = 0; i < lattice->clause_count; i++)
        if (open[i])
            decided &= sweep_slice(lattice, limits, open, i, finds, arena);
    *out = (struct vet_report){.begins = lattice->begins};
    finds_report(finds, out);
    out->cut_off = !decided;
    if (!decided && !out->found_count)
        out->verdict = VET_UNDECIDED;
    arena_free(arena);
}

void vet_slices(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
                struct vet_report *out)
{
    struct arena *arena = arena_new();
    const struct lattice *lattice = lattice_make(rig, one_begin, arena);
    *out = (struct vet_report){.verdict = VET_UNDECIDED};
    if (lattice)
        lattice_slices(lattice, limits, out);
    arena_free(arena);
}
