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

/* Moves the watch of literal 1, which is false, to one that is not; false where there
 * is none. */
static bool find_watch(struct kernel *kernel, int32_t at, struct kernel_clause *clause)
{
    for (int32_t i = 2; i < clause->count; i++) {
        struct kernel_literal other = clause->literal[i];
        if (kernel_is_false(kernel, other))
            continue;
        clause->literal[i] = clause->literal[1];
        clause->literal[1] = other;
        struct kernel_watches *to = &kernel->watches[other.side ^ 1];
        to->item =
            kernel_more_room(kernel, to->item, to->count, &to->room, sizeof *to->item);
        to->item[to->count++] =
            (struct kernel_watch){1 - other.bound, at, clause->literal[0]};
        return true;
    }
    return false;
}

static void why_clause_fails(struct kernel *kernel, const struct kernel_clause *clause)
{
    kernel->why_count = 0;
    for (int32_t i = 0; i < clause->count; i++)
        kernel_why(kernel, kernel_not(clause->literal[i]));
}

enum watch_fate { WATCH_STAYS, WATCH_LEAVES, WATCH_CONFLICT };

/* The watched literal has just become false. */
static enum watch_fate visit_clause(struct kernel *kernel, int32_t side,
                                    struct kernel_watch *watch)
{
    struct kernel_clause *clause = kernel_clause_at(kernel, watch->clause);
    struct kernel_literal gone = {side ^ 1, 1 - watch->trigger};
    if (clause->literal[0].side == gone.side) {
        clause->literal[0] = clause->literal[1];
        clause->literal[1] = gone;
    }
    struct kernel_literal first = clause->literal[0];
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

static bool visit_clauses(struct kernel *kernel, int32_t side, int32_t old, int32_t new)
{
    struct kernel_watches *watches = &kernel->watches[side];
    int32_t kept = 0, i = 0;
    bool sound = true;
    while (i < watches->count && sound) {
        struct kernel_watch *watch = &watches->item[i++];
        if (watch->trigger <= old || watch->trigger > new ||
            kernel_is_true(kernel, watch->blocker)) {
            watches->item[kept++] = *watch;
            continue;
        }
        enum watch_fate fate = visit_clause(kernel, side, watch);
        if (fate != WATCH_LEAVES)
            watches->item[kept++] = *watch;
        sound = fate != WATCH_CONFLICT;
    }
    while (i < watches->count)
        watches->item[kept++] = watches->item[i++];
    watches->count = kept;
    return sound;
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
    for (int32_t i = 0; i < arcs->count; i++) {
        const struct kernel_arc *arc = &arcs->item[i];
        if (!follow(kernel, new, arc->to, arc->distance, arc->edge, arc->guard))
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
        } else {
            return true;
        }
    }
    clear_queue(kernel);
    return false;
}
