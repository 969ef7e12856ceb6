/* The trail: every rise of a side, newest last, and the way back. */
#include "bill/kernel_parts.h"

/* The newest entry went beyond the other bound of its variable: its reason and that bound
 * cannot both be.  A root fact needs no reason. */
static void why_contradiction(struct kernel *kernel)
{
    int32_t e = kernel->trail_count - 1, other = kernel->trail[e].side ^ 1;
    kernel->why_count = 0;
    if (kernel->levels == 0)
        return;
    kernel_explain(kernel, e, 1 - kernel->value[other]);
    kernel_why(kernel, (struct kernel_literal){other, kernel->value[other]});
}

bool kernel_set(struct kernel *kernel, struct kernel_literal literal,
                struct kernel_reason reason)
{
    int32_t side = literal.side, old = kernel->value[side];
    if (old >= literal.bound)
        return true;
    kernel->trail = kernel_more_room(kernel, kernel->trail, kernel->trail_count,
                                     &kernel->trail_room, sizeof *kernel->trail);
    kernel->trail[kernel->trail_count] = (struct kernel_entry){
        side, old, literal.bound, kernel->head[side], kernel->levels, reason};
    kernel->head[side] = kernel->trail_count++;
    kernel->value[side] = literal.bound;
    if (literal.bound + kernel->value[side ^ 1] <= 0)
        return true;
    why_contradiction(kernel);
    return false;
}

void kernel_decide(struct kernel *kernel, struct kernel_literal literal)
{
    if (kernel->levels == kernel->level_room) {
        int32_t room = kernel->level_room;
        kernel->level_start =
            kernel_more_room(kernel, kernel->level_start, kernel->levels,
                             &kernel->level_room, sizeof *kernel->level_start);
        kernel->level_taken =
            kernel_more_room(kernel, kernel->level_taken, kernel->levels, &room,
                             sizeof *kernel->level_taken);
    }
    kernel->level_taken[kernel->levels] = kernel->taken_count;
    kernel->level_start[kernel->levels++] = kernel->trail_count;
    bool sound =
        kernel_set(kernel, literal, (struct kernel_reason){.kind = REASON_DECISION});
    assert(sound);
    (void)sound;
}

void kernel_back_to(struct kernel *kernel, int32_t level)
{
    if (kernel->levels <= level)
        return;
    int32_t keep = kernel->level_start[level];
    for (int32_t e = kernel->trail_count - 1; e >= keep; e--) {
        const struct kernel_entry *entry = &kernel->trail[e];
        kernel->value[entry->side] = entry->old;
        kernel->head[entry->side] = entry->previous;
    }
    kernel->trail_count = keep;
    if (kernel->propagated > keep)
        kernel->propagated = keep;
    kernel->levels = level;
    kernel_put_back(kernel, level);
}

void kernel_settle_root(struct kernel *kernel)
{
    assert(kernel->levels == 0 && kernel->propagated == kernel->trail_count);
    for (int32_t e = 0; e < kernel->trail_count; e++) {
        int32_t side = kernel->trail[e].side;
        kernel->root[side] = kernel->value[side];
        kernel->head[side] = -1;
    }
    kernel->trail_count = kernel->propagated = 0;
}

int32_t kernel_entry_of(const struct kernel *kernel, struct kernel_literal literal)
{
    int32_t e = kernel->head[literal.side];
    while (kernel->trail[e].old >= literal.bound)
        e = kernel->trail[e].previous;
    return e;
}

int32_t kernel_entry_before(const struct kernel *kernel, struct kernel_literal literal,
                            int32_t before)
{
    if (kernel->root[literal.side] >= literal.bound)
        return -1;
    int32_t e = kernel->head[literal.side];
    while (e >= before)
        e = kernel->trail[e].previous;
    if (e < 0 || kernel->trail[e].new < literal.bound)
        return -2;
    while (kernel->trail[e].old >= literal.bound)
        e = kernel->trail[e].previous;
    return e;
}
