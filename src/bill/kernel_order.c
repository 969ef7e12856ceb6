/* What to decide next: the literal that was most in conflicts lately, towards the best
 * solution known; or the earliest start that is open. */
#include "bill/kernel_parts.h"

static const double ACTIVITY_MAX = 1e100, DECAY = 0.95;

static bool is_before(const struct kernel *kernel, int32_t one, int32_t two)
{
    double a = kernel->slots[one].activity, b = kernel->slots[two].activity;
    return a != b ? a > b : one < two;
}

static void place(struct kernel *kernel, int32_t at, int32_t slot)
{
    kernel->heap[at] = slot;
    kernel->slots[slot].place = at;
}

static void rise(struct kernel *kernel, int32_t at)
{
    int32_t slot = kernel->heap[at];
    while (at > 0 && is_before(kernel, slot, kernel->heap[(at - 1) / 2])) {
        place(kernel, at, kernel->heap[(at - 1) / 2]);
        at = (at - 1) / 2;
    }
    place(kernel, at, slot);
}

static void sink(struct kernel *kernel, int32_t at)
{
    int32_t slot = kernel->heap[at];
    for (;;) {
        int32_t child = 2 * at + 1;
        if (child >= kernel->heap_count)
            break;
        if (child + 1 < kernel->heap_count &&
            is_before(kernel, kernel->heap[child + 1], kernel->heap[child]))
            child++;
        if (!is_before(kernel, kernel->heap[child], slot))
            break;
        place(kernel, at, kernel->heap[child]);
        at = child;
    }
    place(kernel, at, slot);
}

static void insert(struct kernel *kernel, int32_t slot)
{
    kernel->heap = kernel_more_room(kernel, kernel->heap, kernel->heap_count,
                                    &kernel->heap_room, sizeof *kernel->heap);
    kernel->heap[kernel->heap_count] = slot;
    rise(kernel, kernel->heap_count++);
}

static void take_first(struct kernel *kernel)
{
    int32_t slot = kernel->heap[0];
    kernel->slots[slot].place = -1;
    kernel->heap_count--;
    if (kernel->heap_count) {
        kernel->heap[0] = kernel->heap[kernel->heap_count];
        sink(kernel, 0);
    }
    kernel->taken = kernel_more_room(kernel, kernel->taken, kernel->taken_count,
                                     &kernel->taken_room, sizeof *kernel->taken);
    kernel->taken[kernel->taken_count++] = slot;
}

void kernel_put_back(struct kernel *kernel, int32_t level)
{
    while (kernel->taken_count > kernel->level_taken[level]) {
        int32_t slot = kernel->taken[--kernel->taken_count];
        if (kernel->slots[slot].place < 0)
            insert(kernel, slot);
    }
}

/* The slot of [variable <= value]; -1 where that is settled at the root. */
static int32_t slot_of(struct kernel *kernel, int32_t variable, int32_t value)
{
    int32_t lowest = kernel->root[2 * variable];
    int32_t highest = -kernel->root[2 * variable + 1];
    if (value < lowest || value >= highest)
        return -1;
    struct kernel_slots_of *of = &kernel->slots_of[variable];
    if (!of->slot) {
        of->lowest = lowest;
        of->slot =
            arena_alloc(kernel->arena, (size_t)(highest - lowest) * sizeof *of->slot);
    }
    int32_t *slot = &of->slot[value - of->lowest];
    if (*slot == 0) {
        kernel->slots = kernel_more_room(kernel, kernel->slots, kernel->slot_count,
                                         &kernel->slot_room, sizeof *kernel->slots);
        kernel->slots[kernel->slot_count] = (struct kernel_slot){0, variable, value, -1};
        insert(kernel, kernel->slot_count);
        *slot = ++kernel->slot_count;
    }
    return *slot - 1;
}

static void rescale(struct kernel *kernel)
{
    for (int32_t i = 0; i < kernel->slot_count; i++)
        kernel->slots[i].activity /= ACTIVITY_MAX;
    kernel->slot_step /= ACTIVITY_MAX;
}

void kernel_bump_literal(struct kernel *kernel, struct kernel_literal literal)
{
    int32_t value = literal.side & 1 ? -literal.bound : literal.bound - 1;
    int32_t slot = slot_of(kernel, literal.side / 2, value);
    if (slot < 0)
        return;
    kernel->slots[slot].activity += kernel->slot_step;
    if (kernel->slots[slot].activity > ACTIVITY_MAX)
        rescale(kernel);
    if (kernel->slots[slot].place >= 0)
        rise(kernel, kernel->slots[slot].place);
}

void kernel_decay(struct kernel *kernel)
{
    kernel->slot_step /= DECAY;
}

static bool is_open(const struct kernel *kernel, int32_t variable)
{
    return kernel_lowest(kernel, variable) < kernel_highest(kernel, variable);
}

/* [variable <= value] or its opposite, whichever the phase says. */
static struct kernel_literal by_phase(const struct kernel *kernel, int32_t variable,
                                      int32_t value)
{
    if (kernel->phase[variable] <= value)
        return kernel_at_most(variable, value);
    return kernel_at_least(variable, value + 1);
}

static bool choose_by_activity(struct kernel *kernel, struct kernel_literal *out)
{
    while (kernel->heap_count) {
        const struct kernel_slot *slot = &kernel->slots[kernel->heap[0]];
        if (kernel_lowest(kernel, slot->variable) <= slot->value &&
            kernel_highest(kernel, slot->variable) > slot->value) {
            *out = by_phase(kernel, slot->variable, slot->value);
            return true;
        }
        take_first(kernel);
    }
    return false;
}

/* The first literal after the start that is open; false where none is. */
static bool then_of(const struct kernel *kernel, const struct kernel_start *start,
                    struct kernel_literal *out)
{
    for (int32_t i = 0; i < start->count; i++)
        if (!kernel_is_true(kernel, start->then[i]) &&
            !kernel_is_false(kernel, start->then[i])) {
            *out = start->then[i];
            return true;
        }
    return false;
}

static bool choose_by_start(const struct kernel *kernel, struct kernel_literal *out)
{
    bool found = false;
    int32_t earliest = INT32_MAX, tightest = INT32_MAX;
    for (int32_t i = 0; i < kernel->start_count; i++) {
        const struct kernel_start *start = &kernel->starts[i];
        int32_t lowest = kernel_lowest(kernel, start->variable);
        int32_t highest = kernel_highest(kernel, start->variable);
        if (lowest > earliest || (lowest == earliest && highest >= tightest))
            continue;
        struct kernel_literal next = kernel_at_most(start->variable, lowest);
        if (lowest == highest && !then_of(kernel, start, &next))
            continue;
        earliest = lowest;
        tightest = highest;
        *out = next;
        found = true;
    }
    return found;
}

static bool choose_any(const struct kernel *kernel, struct kernel_literal *out)
{
    for (int32_t v = 0; v < kernel->variables; v++)
        if (is_open(kernel, v)) {
            int32_t lowest = kernel_lowest(kernel, v);
            int32_t highest = kernel_highest(kernel, v), want = kernel->phase[v];
            want = want < lowest ? lowest : want;
            *out = want < highest ? kernel_at_most(v, want) : kernel_at_least(v, highest);
            return true;
        }
    return false;
}

bool kernel_choose(struct kernel *kernel, struct kernel_literal *out)
{
    if (!kernel->by_start && choose_by_activity(kernel, out))
        return true;
    return choose_by_start(kernel, out) || choose_any(kernel, out);
}
