/* Stating a problem to the kernel. */
#include "bill/kernel_parts.h"

#include <string.h>

enum { RUN_CONFLICTS = 250, LEARNED_MAX = 2000, ENERGY_AFTER = 200 };

void *kernel_double_room(struct kernel *kernel, void *items, int32_t count, int32_t *room,
                         size_t size)
{
    assert(*room < INT32_MAX / 2);
    *room = *room ? 2 * *room : 8;
    void *more = arena_alloc(kernel->arena, (size_t)*room * size);
    if (count)
        memcpy(more, items, (size_t)count * size);
    return more;
}

struct kernel *kernel_new(struct arena *arena, const struct kernel_options *options)
{
    struct kernel *kernel = arena_alloc(arena, sizeof *kernel);
    kernel->arena = arena;
    if (options)
        kernel->options = *options;
    if (kernel->options.run_conflicts <= 0)
        kernel->options.run_conflicts = RUN_CONFLICTS;
    if (kernel->options.energy_after <= 0)
        kernel->options.energy_after = ENERGY_AFTER;
    kernel->learned_max =
        kernel->options.learned_max > 0 ? kernel->options.learned_max : LEARNED_MAX;
    kernel->clause_step = 1;
    kernel->slot_step = 1;
    int32_t zero = kernel_integer(kernel, 0, 0);
    assert(zero == KERNEL_ZERO);
    (void)zero;
    return kernel;
}

/* What was answered holds no more; what was learned does. */
static void reopen(struct kernel *kernel)
{
    kernel_back_to(kernel, 0);
    kernel->running = kernel->has_best = kernel->answered = false;
    kernel->lower = -KERNEL_BOUND_MAX;
    kernel->core_count = 0;
}

static bool fits(int64_t number)
{
    return number >= -KERNEL_BOUND_MAX && number <= KERNEL_BOUND_MAX;
}

/* A root fact: a contradiction refutes the problem. */
static void state(struct kernel *kernel, struct kernel_literal literal)
{
    assert(kernel->levels == 0);
    if (!kernel_set(kernel, literal, (struct kernel_reason){.kind = REASON_DECISION}))
        kernel->refuted = true;
}

static void more_sides(struct kernel *kernel)
{
    int32_t count = 2 * kernel->variables, room = kernel->side_room;
    if (count < room)
        return;
    int32_t rooms[7] = {room, room, room, room, room, room, room};
    kernel->value =
        kernel_more_room(kernel, kernel->value, count, &rooms[0], sizeof *kernel->value);
    kernel->root =
        kernel_more_room(kernel, kernel->root, count, &rooms[1], sizeof *kernel->root);
    kernel->head =
        kernel_more_room(kernel, kernel->head, count, &rooms[2], sizeof *kernel->head);
    kernel->watches = kernel_more_room(kernel, kernel->watches, count, &rooms[3],
                                       sizeof *kernel->watches);
    kernel->arcs =
        kernel_more_room(kernel, kernel->arcs, count, &rooms[4], sizeof *kernel->arcs);
    kernel->opens =
        kernel_more_room(kernel, kernel->opens, count, &rooms[5], sizeof *kernel->opens);
    kernel->wakes =
        kernel_more_room(kernel, kernel->wakes, count, &rooms[6], sizeof *kernel->wakes);
    kernel->side_room = rooms[0];
    int32_t half = kernel->side_room / 2, used = kernel->variables;
    int32_t of_room[3] = {room / 2, room / 2, room / 2};
    kernel->slots_of = kernel_more_room(kernel, kernel->slots_of, used, &of_room[0],
                                        sizeof *kernel->slots_of);
    kernel->phase =
        kernel_more_room(kernel, kernel->phase, used, &of_room[1], sizeof *kernel->phase);
    kernel->best =
        kernel_more_room(kernel, kernel->best, used, &of_room[2], sizeof *kernel->best);
    assert(of_room[0] >= half);
}

int32_t kernel_integer(struct kernel *kernel, int32_t lowest, int32_t highest)
{
    assert(fits(lowest) && fits(highest));
    reopen(kernel);
    more_sides(kernel);
    int32_t variable = kernel->variables++, side = 2 * variable;
    kernel->value[side] = kernel->root[side] = lowest;
    kernel->value[side + 1] = kernel->root[side + 1] = -highest;
    kernel->head[side] = kernel->head[side + 1] = -1;
    kernel->phase[variable] = lowest;
    if (lowest > highest)
        kernel->refuted = true;
    return variable;
}

int32_t kernel_switch(struct kernel *kernel)
{
    return kernel_integer(kernel, 0, 1);
}

/* Adds LITERAL to the clause being made, so that each side is there once; true where the
 * clause is always true. */
static bool add_to_clause(struct kernel *kernel, struct kernel_literal literal)
{
    if (kernel_is_true(kernel, literal))
        return true;
    if (kernel_is_false(kernel, literal))
        return false;
    for (int32_t i = 0; i < kernel->lesson_count; i++) {
        struct kernel_literal *have = &kernel->lesson[i];
        if (have->side == (literal.side ^ 1) && have->bound + literal.bound <= 1)
            return true;
        if (have->side == literal.side) {
            have->bound = have->bound < literal.bound ? have->bound : literal.bound;
            return false;
        }
    }
    kernel->lesson = kernel_more_room(kernel, kernel->lesson, kernel->lesson_count,
                                      &kernel->lesson_room, sizeof *kernel->lesson);
    kernel->lesson[kernel->lesson_count++] = literal;
    return false;
}

/* Merging may have made a pair that is always true after it was looked at. */
static bool is_tautology(const struct kernel *kernel)
{
    for (int32_t i = 0; i < kernel->lesson_count; i++)
        for (int32_t j = 0; j < i; j++)
            if (kernel->lesson[i].side == (kernel->lesson[j].side ^ 1) &&
                kernel->lesson[i].bound + kernel->lesson[j].bound <= 1)
                return true;
    return false;
}

void kernel_clause(struct kernel *kernel, const struct kernel_literal *literals,
                   int32_t count)
{
    reopen(kernel);
    kernel->lesson_count = 0;
    for (int32_t i = 0; i < count; i++)
        if (add_to_clause(kernel, literals[i]))
            return;
    if (is_tautology(kernel))
        return;
    if (kernel->lesson_count == 0)
        kernel->refuted = true;
    else if (kernel->lesson_count == 1)
        state(kernel, kernel->lesson[0]);
    else
        kernel_store_clause(kernel, kernel->lesson, kernel->lesson_count, 0);
}

static void add_arc(struct kernel *kernel, int32_t from_side, int32_t to_side,
                    const struct kernel_edge *edge)
{
    struct kernel_arcs *arcs = &kernel->arcs[from_side];
    arcs->item = kernel_more_room(kernel, arcs->item, arcs->count, &arcs->room,
                                  sizeof *arcs->item);
    arcs->item[arcs->count++] =
        (struct kernel_arc){to_side, edge->distance, kernel->edge_count, edge->guard};
}

static void add_wake(struct kernel *kernel, struct kernel_wakes *wakes, int32_t bound,
                     int32_t which)
{
    wakes->item = kernel_more_room(kernel, wakes->item, wakes->count, &wakes->room,
                                   sizeof *wakes->item);
    wakes->item[wakes->count++] = (struct kernel_wake){bound, which};
}

void kernel_edge(struct kernel *kernel, struct kernel_literal guard, int32_t from,
                 int32_t to, int32_t distance)
{
    assert(fits(distance));
    reopen(kernel);
    if (from == to) {
        struct kernel_literal not_guard = kernel_not(guard);
        if (distance > 0)
            kernel_clause(kernel, &not_guard, 1);
        return;
    }
    struct kernel_edge edge = {guard, from, to, distance};
    add_arc(kernel, 2 * from, 2 * to, &edge);
    add_arc(kernel, 2 * to + 1, 2 * from + 1, &edge);
    add_wake(kernel, &kernel->opens[guard.side], guard.bound, kernel->edge_count);
    kernel->edges = kernel_more_room(kernel, kernel->edges, kernel->edge_count,
                                     &kernel->edge_room, sizeof *kernel->edges);
    kernel->edges[kernel->edge_count] = edge;
    if (!kernel_push_edge(kernel, kernel->edge_count++))
        kernel->refuted = true;
}

static struct kernel_constraint *add_constraint(struct kernel *kernel, int32_t count)
{
    assert(count <= KERNEL_TASKS_MAX);
    kernel->constraints =
        kernel_more_room(kernel, kernel->constraints, kernel->constraint_count,
                         &kernel->constraint_room, sizeof *kernel->constraints);
    kernel->queue = kernel_more_room(kernel, kernel->queue, kernel->constraint_count,
                                     &kernel->queue_room, sizeof *kernel->queue);
    struct kernel_constraint *new = &kernel->constraints[kernel->constraint_count];
    memset(new, 0, sizeof *new);
    new->count = count;
    return new;
}

static void wake_on_variable(struct kernel *kernel, int32_t variable)
{
    for (int32_t side = 2 * variable; side <= 2 * variable + 1; side++) {
        struct kernel_wakes *wakes = &kernel->wakes[side];
        int32_t which = kernel->constraint_count;
        if (!wakes->count || wakes->item[wakes->count - 1].which != which ||
            wakes->item[wakes->count - 1].bound != WAKE_ALWAYS)
            add_wake(kernel, wakes, WAKE_ALWAYS, which);
    }
}

static void make_part_room(struct kernel *kernel, int32_t count)
{
    if (count <= kernel->part_room)
        return;
    size_t room = (size_t)count;
    kernel->part_from = arena_alloc(kernel->arena, room * sizeof *kernel->part_from);
    kernel->part_to = arena_alloc(kernel->arena, room * sizeof *kernel->part_to);
    kernel->stretches =
        arena_alloc(kernel->arena, (2 * room + 1) * sizeof *kernel->stretches);
    kernel->helpers = arena_alloc(kernel->arena, room * sizeof *kernel->helpers);
    kernel->part_room = count;
}

void kernel_capacity(struct kernel *kernel, const struct kernel_task *tasks,
                     int32_t count, int32_t capacity)
{
    reopen(kernel);
    struct kernel_constraint *new = add_constraint(kernel, count);
    size_t number = (size_t)count;
    new->capacity = capacity;
    new->tasks = arena_alloc(kernel->arena, number * sizeof *new->tasks);
    new->by_from = arena_alloc(kernel->arena, number * sizeof *new->by_from);
    new->by_to = arena_alloc(kernel->arena, number * sizeof *new->by_to);
    make_part_room(kernel, count);
    for (int32_t i = 0; i < count; i++) {
        assert(fits(tasks[i].start_delay) && fits(tasks[i].end_delay));
        assert(tasks[i].demand >= 0 && fits(tasks[i].demand));
        new->tasks[i] = tasks[i];
        if (new->largest < tasks[i].demand)
            new->largest = tasks[i].demand;
        new->by_from[i] = new->by_to[i] = i;
        wake_on_variable(kernel, tasks[i].start);
        wake_on_variable(kernel, tasks[i].end);
        add_wake(kernel, &kernel->wakes[tasks[i].guard.side], tasks[i].guard.bound,
                 kernel->constraint_count);
    }
    kernel_queue_constraint(kernel, kernel->constraint_count++);
}

void kernel_sum(struct kernel *kernel, const struct kernel_term *terms, int32_t count,
                int32_t limit, int32_t more)
{
    assert(fits(more));
    reopen(kernel);
    struct kernel_constraint *new = add_constraint(kernel, count);
    new->limit = limit;
    new->more = more;
    new->terms = arena_alloc(kernel->arena, (size_t)count * sizeof *new->terms);
    int64_t total = 0;
    for (int32_t i = 0; i < count; i++) {
        assert(terms[i].weight >= 0);
        new->terms[i] = terms[i];
        total += terms[i].weight;
        add_wake(kernel, &kernel->wakes[terms[i].literal.side], terms[i].literal.bound,
                 kernel->constraint_count);
    }
    assert(fits(total));
    (void)total;
    add_wake(kernel, &kernel->wakes[2 * limit + 1], WAKE_ALWAYS,
             kernel->constraint_count);
    kernel_queue_constraint(kernel, kernel->constraint_count++);
}

void kernel_at_most_of(struct kernel *kernel, const struct kernel_literal *literals,
                       int32_t count, int32_t count_true)
{
    struct kernel_term *terms = arena_alloc(kernel->arena, (size_t)count * sizeof *terms);
    for (int32_t i = 0; i < count; i++)
        terms[i] = (struct kernel_term){literals[i], 1};
    kernel_sum(kernel, terms, count, KERNEL_ZERO, count_true);
}

void kernel_at_least_of(struct kernel *kernel, const struct kernel_literal *literals,
                        int32_t count, int32_t count_true)
{
    if (count_true == 1) {
        kernel_clause(kernel, literals, count);
        return;
    }
    struct kernel_term *terms = arena_alloc(kernel->arena, (size_t)count * sizeof *terms);
    for (int32_t i = 0; i < count; i++)
        terms[i] = (struct kernel_term){kernel_not(literals[i]), 1};
    kernel_sum(kernel, terms, count, KERNEL_ZERO, count - count_true);
}

void kernel_advise(struct kernel *kernel, int32_t variable,
                   const struct kernel_literal *literals, int32_t count)
{
    reopen(kernel);
    kernel->starts = kernel_more_room(kernel, kernel->starts, kernel->start_count,
                                      &kernel->start_room, sizeof *kernel->starts);
    struct kernel_start *new = &kernel->starts[kernel->start_count++];
    *new = (struct kernel_start){.variable = variable, .count = count};
    new->then = arena_alloc(kernel->arena, (size_t)count * sizeof *new->then);
    if (count)
        memcpy(new->then, literals, (size_t)count * sizeof *new->then);
}

void kernel_hint(struct kernel *kernel, int32_t variable, int32_t value)
{
    kernel->phase[variable] = value;
}

void kernel_minimise(struct kernel *kernel, int32_t variable)
{
    reopen(kernel);
    kernel->objective = variable;
}

void kernel_assume(struct kernel *kernel, const struct kernel_literal *literals,
                   int32_t count)
{
    reopen(kernel);
    kernel->assumed_count = 0;
    kernel->has_target = false;
    for (int32_t i = 0; i < count; i++) {
        kernel->assumed =
            kernel_more_room(kernel, kernel->assumed, kernel->assumed_count,
                             &kernel->assumed_room, sizeof *kernel->assumed);
        kernel->assumed[kernel->assumed_count++] = literals[i];
    }
}

int32_t kernel_value(const struct kernel *kernel, int32_t variable)
{
    assert(kernel->has_best);
    return kernel->best[variable];
}

int32_t kernel_lower(const struct kernel *kernel)
{
    return kernel->lower;
}

const struct kernel_literal *kernel_core(const struct kernel *kernel, int32_t *count)
{
    *count = kernel->core_count;
    return kernel->core;
}

struct kernel_figures kernel_figures(const struct kernel *kernel)
{
    struct kernel_figures figures = kernel->figures;
    figures.learned = kernel->learned_count;
    return figures;
}
