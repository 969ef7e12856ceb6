/* Weighted sums of true literals, bounded by a variable. */
#include "bill/kernel_parts.h"

bool kernel_sum_propagate(struct kernel *kernel, int32_t constraint)
{
    const struct kernel_constraint *sum = &kernel->constraints[constraint];
    struct kernel_reason reason = {.kind = REASON_SUM, .which = constraint, .item = -1};
    int32_t total = 0;
    for (int32_t i = 0; i < sum->count; i++)
        if (kernel_is_true(kernel, sum->terms[i].literal))
            total += sum->terms[i].weight;
    if (!kernel_set(kernel, kernel_at_least(sum->limit, total - sum->more), reason))
        return false;
    int32_t room = kernel_highest(kernel, sum->limit) + sum->more - total;
    for (int32_t i = 0; i < sum->count; i++) {
        const struct kernel_term *term = &sum->terms[i];
        if (term->weight <= room || kernel_is_true(kernel, term->literal))
            continue;
        reason.item = (int16_t)i;
        if (!kernel_set(kernel, kernel_not(term->literal), reason))
            return false;
    }
    return true;
}

/* Adds true literals, oldest first as listed, until they weigh ENOUGH; gives their
 * weight. */
static int32_t explain_weight(struct kernel *kernel, const struct kernel_constraint *sum,
                              int32_t enough, int32_t before)
{
    int32_t weight = 0;
    for (int32_t i = 0; i < sum->count && weight < enough; i++) {
        const struct kernel_term *term = &sum->terms[i];
        if (term->weight == 0 || kernel_entry_before(kernel, term->literal, before) == -2)
            continue;
        kernel_why(kernel, term->literal);
        weight += term->weight;
    }
    assert(weight >= enough);
    return weight;
}

void kernel_sum_explain(struct kernel *kernel, const struct kernel_constraint *from,
                        int32_t item, int32_t bound, int32_t before)
{
    if (item < 0) {
        explain_weight(kernel, from, bound + from->more, before);
        return;
    }
    int32_t e = kernel->head[2 * from->limit + 1];
    while (e >= before)
        e = kernel->trail[e].previous;
    int32_t highest = -(e < 0 ? kernel->root[2 * from->limit + 1] : kernel->trail[e].new);
    int32_t own = from->terms[item].weight;
    int32_t weight = explain_weight(kernel, from, highest + from->more - own + 1, before);
    kernel_why(kernel, kernel_at_most(from->limit, weight + own - from->more - 1));
}
