/* Explanations, made only when conflict analysis asks, and no stronger than it needs. */
#include "bill/kernel_parts.h"

void kernel_why(struct kernel *kernel, struct kernel_literal literal)
{
    kernel->why = kernel_more_room(kernel, kernel->why, kernel->why_count,
                                   &kernel->why_room, sizeof *kernel->why);
    kernel->why[kernel->why_count++] = literal;
}

static void explain_clause(struct kernel *kernel, int32_t clause)
{
    const struct kernel_clause *from = kernel_clause_at(kernel, clause);
    for (int32_t i = 1; i < from->count; i++)
        kernel_why(kernel, kernel_not(from->literal[i]));
}

static void explain_edge(struct kernel *kernel, const struct kernel_edge *edge,
                         int32_t side, int32_t bound)
{
    int32_t from = side == 2 * edge->to ? 2 * edge->from : 2 * edge->to + 1;
    kernel_why(kernel, (struct kernel_literal){from, bound - edge->distance});
    kernel_why(kernel, edge->guard);
}

/* The value of SIDE before entry BEFORE. */
static int32_t value_before(const struct kernel *kernel, int32_t side, int32_t before)
{
    int32_t e = kernel->head[side];
    while (e >= before)
        e = kernel->trail[e].previous;
    return e < 0 ? kernel->root[side] : kernel->trail[e].new;
}

/* The lower bound of one end and the upper bound of the other left no room. */
static void explain_guard(struct kernel *kernel, const struct kernel_edge *edge,
                          int32_t before)
{
    int32_t from = 2 * edge->from, to = 2 * edge->to + 1;
    int32_t bound = value_before(kernel, from, before);
    kernel_why(kernel, (struct kernel_literal){from, bound});
    kernel_why(kernel, (struct kernel_literal){to, 1 - edge->distance - bound});
}

/* Everyone else's demand at the moment leaves no room for the task. */
static bool explain_at(struct kernel *kernel, const struct kernel_constraint *from,
                       int32_t item, int32_t moment, int32_t before)
{
    return kernel_capacity_explain(kernel, from, moment, item,
                                   from->capacity - from->tasks[item].demand, before);
}

/* The task is at the moment by its one end: so the other end must be beyond it.  Tries
 * the moment that the weaker bound asks for before the one that was used. */
static void explain_push(struct kernel *kernel, int32_t entry, int32_t bound)
{
    const struct kernel_entry *at = &kernel->trail[entry];
    const struct kernel_constraint *from = &kernel->constraints[at->reason.which];
    int32_t item = at->reason.item, moment = at->reason.point;
    const struct kernel_task *task = &from->tasks[item];
    bool is_start = at->side == 2 * task->start;
    int32_t weaker = is_start ? bound + task->start_delay - 1 : task->end_delay - bound;
    if (explain_at(kernel, from, item, weaker, entry))
        moment = weaker;
    else
        explain_at(kernel, from, item, moment, entry);
    kernel_why(kernel, task->guard);
    kernel_why(kernel, is_start
                           ? kernel_at_least(task->end, moment + 1 - task->end_delay)
                           : kernel_at_most(task->start, moment - task->start_delay));
}

static void explain_left_out(struct kernel *kernel, int32_t entry)
{
    const struct kernel_reason *reason = &kernel->trail[entry].reason;
    const struct kernel_constraint *from = &kernel->constraints[reason->which];
    const struct kernel_task *task = &from->tasks[reason->item];
    int32_t moment = reason->point;
    explain_at(kernel, from, reason->item, moment, entry);
    kernel_why(kernel, kernel_at_most(task->start, moment - task->start_delay));
    kernel_why(kernel, kernel_at_least(task->end, moment + 1 - task->end_delay));
}

void kernel_explain(struct kernel *kernel, int32_t entry, int32_t bound)
{
    const struct kernel_entry *at = &kernel->trail[entry];
    switch ((enum kernel_reason_kind)at->reason.kind) {
    case REASON_CLAUSE:
        explain_clause(kernel, at->reason.which);
        break;
    case REASON_EDGE:
        explain_edge(kernel, &kernel->edges[at->reason.which], at->side, bound);
        break;
    case REASON_GUARD:
        explain_guard(kernel, &kernel->edges[at->reason.which], entry);
        break;
    case REASON_CAPACITY:
        explain_push(kernel, entry, bound);
        break;
    case REASON_LEFT_OUT:
        explain_left_out(kernel, entry);
        break;
    case REASON_SUM:
        kernel_sum_explain(kernel, &kernel->constraints[at->reason.which],
                           at->reason.item, bound, entry);
        break;
    case REASON_DECISION:
        assert(!"a decision has no reason");
    }
}
