/* What follows from each rise: through clauses, edges, then capacities and sums. */
#include "bill/kernel_parts.h"

void kernel_queue_constraint(struct kernel *kernel, int32_t constraint)
{
    if (kernel->constraints[constraint].queued)
        return;
    kernel->constraints[constraint].queued = true;
    kernel->queue[kernel->queue_count++] = constraint;
}

static void clear_queue(struct kernel *kernel)
{
    while (kernel->queue_count)
        kernel->constraints[kernel->queue[--kernel->queue_count]].queued = false;
}

static void why_clause_fails(struct kernel *kernel, const struct kernel_clause *clause)
{
    kernel->why_count = 0;
    for (int32_t i = 0; i < clause->count; i++)
        kernel_why(kernel, kernel_not(clause->literal[i]));
}

/* Moves the watch of literal 1, which is false, to one that is not; false where there
 * is none. */
static bool find_watch(struct kernel *kernel, int32_t at, struct kernel_clause *clause)
{
    const int32_t *value = kernel->value;
    int32_t count = clause->count;
    for (int32_t i = 2; i < count; i++) {
        struct kernel_literal other = clause->literal[i];
        if (value[other.side ^ 1] + other.bound > 0)
            continue;
        clause->literal[i] = clause->literal[1];
        clause->literal[1] = other;
        kernel_watch_literal(kernel, at, other, clause->literal[0]);
        return true;
    }
    return false;
}

enum watch_fate { WATCH_STAYS, WATCH_LEAVES, WATCH_CONFLICT };

/* The watched literal has just become false. */
static enum watch_fate visit_clause(struct kernel *kernel, int32_t side,
                                    struct kernel_watch *watch)
{
    struct kernel_clause *clause = kernel_clause_at(kernel, watch->clause);
    struct kernel_literal first = clause->literal[0];
    if (first.side == (side ^ 1)) {
        struct kernel_literal gone = first;
        first = clause->literal[0] = clause->literal[1];
        clause->literal[1] = gone;
    }
    watch->blocker = first;
    if (kernel_is_true(kernel, first))
        return WATCH_STAYS;
    if (find_watch(kernel, watch->clause, clause))
        return WATCH_LEAVES;
    if (kernel_is_false(kernel, first)) {
        why_clause_fails(kernel, clause);
        return WATCH_CONFLICT;
    }
    kernel_set(kernel, first,
               (struct kernel_reason){.kind = REASON_CLAUSE, .which = watch->clause});
    return WATCH_STAYS;
}

/* Copies the watches that stay downwards as it goes. */
static bool visit_bucket(struct kernel *kernel, struct kernel_bucket *bucket,
                         int32_t side, int32_t old, int32_t new)
{
    const int32_t *value = kernel->value;
    struct kernel_watch *keep = bucket->item, *end = keep + bucket->count;
    bool sound = true;
    for (struct kernel_watch *at = keep; at < end; at++) {
        struct kernel_watch watch = *at;
        if (sound && watch.trigger > old &&
            watch.trigger <= new &&value[watch.blocker.side] < watch.blocker.bound) {
            enum watch_fate fate = visit_clause(kernel, side, &watch);
            if (fate == WATCH_LEAVES)
                continue;
            sound = fate != WATCH_CONFLICT;
        }
        *keep++ = watch;
    }
    bucket->count = (int32_t)(keep - bucket->item);
    return sound;
}

static bool visit_clauses(struct kernel *kernel, int32_t side, int32_t old, int32_t new)
{
    const struct kernel_watches *watches = &kernel->watches[side];
    if (!watches->buckets)
        return true;
    int32_t last = (new - watches->lowest - 1) >> watches->shift;
    last = last < watches->buckets ? last : watches->buckets - 1;
    for (int32_t b = (old - watches->lowest) >> watches->shift; b <= last; b++)
        if (watches->bucket[b].count &&
            !visit_bucket(kernel, &watches->bucket[b], side, old, new))
            return false;
    return true;
}

/* Follows one direction of an edge. */
static bool follow(struct kernel *kernel, int32_t value, int32_t to, int32_t distance,
                   int32_t edge, struct kernel_literal guard)
{
    struct kernel_literal next = {to, value + distance};
    if (kernel_is_true(kernel, next))
        return true;
    if (kernel_is_true(kernel, guard))
        return kernel_set(kernel, next,
                          (struct kernel_reason){.kind = REASON_EDGE, .which = edge});
    if (!kernel_is_false(kernel, next))
        return true;
    return kernel_set(kernel, kernel_not(guard),
                      (struct kernel_reason){.kind = REASON_GUARD, .which = edge});
}

bool kernel_push_edge(struct kernel *kernel, int32_t edge)
{
    const struct kernel_edge *at = &kernel->edges[edge];
    int32_t from = 2 * at->from, to = 2 * at->to;
    return follow(kernel, kernel->value[from], to, at->distance, edge, at->guard) &&
           follow(kernel, kernel->value[to + 1], from + 1, at->distance, edge, at->guard);
}

static bool visit_arcs(struct kernel *kernel, int32_t side, int32_t new)
{
    const struct kernel_arcs *arcs = &kernel->arcs[side];
    const int32_t *value = kernel->value;
    for (int32_t i = 0; i < arcs->count; i++) {
        const struct kernel_arc *arc = &arcs->item[i];
        if (value[arc->to] < new + arc->distance &&
            !follow(kernel, new, arc->to, arc->distance, arc->edge, arc->guard))
            return false;
    }
    return true;
}

static bool visit_opens(struct kernel *kernel, int32_t side, int32_t old, int32_t new)
{
    const struct kernel_wakes *opens = &kernel->opens[side];
    for (int32_t i = 0; i < opens->count; i++)
        if (opens->item[i].bound > old && opens->item[i].bound <= new &&
            !kernel_push_edge(kernel, opens->item[i].which))
            return false;
    return true;
}

static void visit_wakes(struct kernel *kernel, int32_t side, int32_t old, int32_t new)
{
    const struct kernel_wakes *wakes = &kernel->wakes[side];
    for (int32_t i = 0; i < wakes->count; i++) {
        int32_t bound = wakes->item[i].bound;
        if (bound == WAKE_ALWAYS || (bound > old && bound <= new))
            kernel_queue_constraint(kernel, wakes->item[i].which);
    }
}

static bool visit(struct kernel *kernel, int32_t e)
{
    struct kernel_entry entry = kernel->trail[e];
    visit_wakes(kernel, entry.side, entry.old, entry.new);
    return visit_clauses(kernel, entry.side, entry.old, entry.new) &&
           visit_arcs(kernel, entry.side, entry.new) &&
           visit_opens(kernel, entry.side, entry.old, entry.new);
}

static bool run_constraint(struct kernel *kernel, int32_t constraint)
{
    kernel->constraints[constraint].queued = false;
    if (kernel->constraints[constraint].terms)
        return kernel_sum_propagate(kernel, constraint);
    return kernel_capacity_propagate(kernel, constraint);
}

bool kernel_propagate(struct kernel *kernel)
{
    bool sound = true;
    while (sound) {
        if (kernel->propagated < kernel->trail_count) {
            kernel->figures.bounds++;
            sound = visit(kernel, kernel->propagated++);
        } else if (kernel->queue_count) {
            sound = run_constraint(kernel, kernel->queue[--kernel->queue_count]);
        } else if (kernel_energy_fits(kernel)) {
            return true;
        } else {
            sound = false;
        }
    }
    clear_queue(kernel);
    return false;
}
