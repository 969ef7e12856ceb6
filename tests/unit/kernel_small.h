/* Small random problems for the kernel, and every assignment of them: the second opinion
 * shares no code with the kernel and knows only what the statements mean. */
#ifndef UNIT_KERNEL_SMALL_H
#define UNIT_KERNEL_SMALL_H

#include "bill/kernel.h"

enum {
    SMALL_VARIABLES = 7, /* the first is the constant 0 */
    SMALL_STATEMENTS = 6,
    SMALL_WIDTH = 5,
    SMALL_SOLUTIONS = 1 << 15
};

struct small_list {
    struct kernel_literal literal[SMALL_WIDTH];
    int weight[SMALL_WIDTH];
    struct kernel_task task[SMALL_WIDTH];
    int count, limit, more;
};

struct small_edge {
    struct kernel_literal guard;
    int from, to, distance;
};

struct small {
    unsigned seed;
    int variables, lowest[SMALL_VARIABLES], highest[SMALL_VARIABLES];
    int clauses, edges, sums, capacities;
    struct small_list clause[SMALL_STATEMENTS], sum[SMALL_STATEMENTS];
    struct small_list capacity[SMALL_STATEMENTS];
    struct small_edge edge[SMALL_STATEMENTS];
    int objective;
    /* every solution, one value a variable */
    int solutions;
    int8_t solution[SMALL_SOLUTIONS][SMALL_VARIABLES];
};

static inline int small_random(struct small *small, int least, int most)
{
    small->seed = small->seed * 1664525u + 1013904223u;
    return least + (int)((small->seed >> 12) % (unsigned)(most - least + 1));
}

static inline int small_variable(struct small *small)
{
    return small_random(small, 1, small->variables - 1);
}

static inline struct kernel_literal small_literal(struct small *small)
{
    int variable = small_variable(small);
    int value = small_random(small, small->lowest[variable], small->highest[variable]);
    return small_random(small, 0, 1) ? kernel_at_least(variable, value)
                                     : kernel_at_most(variable, value);
}

static inline struct kernel_literal small_guard(struct small *small)
{
    return small_random(small, 0, 3) ? small_literal(small) : kernel_always();
}

static inline void small_make_lists(struct small *small)
{
    small->clauses = small_random(small, 0, SMALL_STATEMENTS);
    for (int i = 0; i < small->clauses; i++) {
        small->clause[i].count = small_random(small, 2, 4);
        for (int j = 0; j < small->clause[i].count; j++)
            small->clause[i].literal[j] = small_literal(small);
    }
    small->sums = small_random(small, 0, 2);
    for (int i = 0; i < small->sums; i++) {
        struct small_list *sum = &small->sum[i];
        sum->count = small_random(small, 1, SMALL_WIDTH);
        for (int j = 0; j < sum->count; j++) {
            sum->literal[j] = small_literal(small);
            sum->weight[j] = small_random(small, 0, 3);
        }
        sum->limit = small_random(small, 0, 1) ? small_variable(small) : KERNEL_ZERO;
        sum->more = small_random(small, 0, 5);
    }
}

/* Tasks of one variable or of two, with and without guards and delays. */
static inline void small_make_capacities(struct small *small)
{
    small->capacities = small_random(small, 0, 3);
    for (int i = 0; i < small->capacities; i++) {
        struct small_list *list = &small->capacity[i];
        list->count = small_random(small, 2, SMALL_WIDTH);
        list->limit = small_random(small, 2, 4);
        for (int j = 0; j < list->count; j++) {
            int start = small_variable(small);
            int end = small_random(small, 0, 3) ? start : small_variable(small);
            int delay = small_random(small, 0, 3) ? 0 : small_random(small, -2, 2);
            list->task[j] = (struct kernel_task){start,
                                                 delay,
                                                 end,
                                                 delay + small_random(small, 0, 3),
                                                 small_random(small, 0, 3),
                                                 small_guard(small)};
        }
    }
}

static inline void small_make(struct small *small, unsigned seed)
{
    small->seed = seed * 2654435761u + 1;
    small->variables = small_random(small, 3, SMALL_VARIABLES);
    small->lowest[0] = small->highest[0] = 0;
    for (int v = 1; v < small->variables; v++) {
        bool is_switch = small_random(small, 0, 3) == 0;
        small->lowest[v] = is_switch ? 0 : small_random(small, -2, 2);
        small->highest[v] = is_switch ? 1 : small->lowest[v] + small_random(small, 1, 3);
    }
    small_make_lists(small);
    small_make_capacities(small);
    small->edges = small_random(small, 0, SMALL_STATEMENTS);
    for (int i = 0; i < small->edges; i++)
        small->edge[i] =
            (struct small_edge){small_guard(small), small_variable(small),
                                small_variable(small), small_random(small, -2, 2)};
    small->objective = small_variable(small);
}

/* Tight ones: four tasks that share two capacities, one that may be left out for a price,
 * and the last end. */
static inline void small_make_tight(struct small *small, unsigned seed)
{
    enum { TASKS = 4, CHOICE = TASKS + 1, END = TASKS + 2 };
    small->seed = seed * 2654435761u + 1;
    small->variables = END + 1;
    small->clauses = small->sums = 0;
    small->capacities = 2;
    for (int v = 0; v < small->variables; v++)
        small->lowest[v] = 0, small->highest[v] = v == 0 ? 0 : v == CHOICE ? 1 : 5;
    small->highest[END] = 9;
    small->edges = TASKS + 2;
    for (int v = 1; v <= TASKS; v++) {
        int length = small_random(small, 1, 3);
        small->edge[v - 1] = (struct small_edge){kernel_always(), v, END, length};
        for (int i = 0; i < 2; i++)
            small->capacity[i].task[v - 1] =
                (struct kernel_task){v,
                                     0,
                                     v,
                                     length,
                                     small_random(small, 0, 2),
                                     v == 1 ? kernel_on(CHOICE) : kernel_always()};
    }
    for (int i = 0; i < 2; i++)
        small->capacity[i].count = TASKS, small->capacity[i].limit = 2;
    small->edge[TASKS] = (struct small_edge){kernel_not(kernel_on(CHOICE)), 0, END,
                                             small_random(small, 3, 8)};
    small->edge[TASKS + 1] =
        (struct small_edge){small_guard(small), small_random(small, 1, 2),
                            small_random(small, 3, 4), small_random(small, -1, 3)};
    small->objective = END;
}

static inline void small_state(const struct small *small, struct kernel *kernel)
{
    for (int v = 1; v < small->variables; v++)
        kernel_integer(kernel, small->lowest[v], small->highest[v]);
    for (int i = 0; i < small->clauses; i++)
        kernel_clause(kernel, small->clause[i].literal, small->clause[i].count);
    for (int i = 0; i < small->sums; i++) {
        struct kernel_term terms[SMALL_WIDTH];
        for (int j = 0; j < small->sum[i].count; j++)
            terms[j] =
                (struct kernel_term){small->sum[i].literal[j], small->sum[i].weight[j]};
        kernel_sum(kernel, terms, small->sum[i].count, small->sum[i].limit,
                   small->sum[i].more);
    }
    for (int i = 0; i < small->capacities; i++)
        kernel_capacity(kernel, small->capacity[i].task, small->capacity[i].count,
                        small->capacity[i].limit);
    for (int i = 0; i < small->edges; i++)
        kernel_edge(kernel, small->edge[i].guard, small->edge[i].from, small->edge[i].to,
                    small->edge[i].distance);
    kernel_minimise(kernel, small->objective);
}

static inline bool small_is_true(struct kernel_literal literal, const int8_t *value)
{
    int now = value[literal.side / 2];
    return (literal.side % 2 ? -now : now) >= literal.bound;
}

static inline bool small_any(const struct kernel_literal *literals, int count,
                             const int8_t *value)
{
    for (int i = 0; i < count; i++)
        if (small_is_true(literals[i], value))
            return true;
    return false;
}

static inline bool small_all(const struct kernel_literal *literals, int count,
                             const int8_t *value)
{
    for (int i = 0; i < count; i++)
        if (!small_is_true(literals[i], value))
            return false;
    return true;
}

static inline bool small_fits(const struct small_list *list, const int8_t *value)
{
    for (int moment = -16; moment <= 16; moment++) {
        int used = 0;
        for (int j = 0; j < list->count; j++) {
            const struct kernel_task *task = &list->task[j];
            if (small_is_true(task->guard, value) &&
                value[task->start] + task->start_delay <= moment &&
                moment < value[task->end] + task->end_delay)
                used += task->demand;
        }
        if (used > list->limit)
            return false;
    }
    return true;
}

static inline bool small_holds(const struct small *small, const int8_t *value)
{
    for (int i = 0; i < small->clauses; i++)
        if (!small_any(small->clause[i].literal, small->clause[i].count, value))
            return false;
    for (int i = 0; i < small->sums; i++) {
        const struct small_list *sum = &small->sum[i];
        int total = 0;
        for (int j = 0; j < sum->count; j++)
            total += small_is_true(sum->literal[j], value) ? sum->weight[j] : 0;
        if (total > value[sum->limit] + sum->more)
            return false;
    }
    for (int i = 0; i < small->edges; i++) {
        const struct small_edge *edge = &small->edge[i];
        if (small_is_true(edge->guard, value) &&
            value[edge->to] < value[edge->from] + edge->distance)
            return false;
    }
    for (int i = 0; i < small->capacities; i++)
        if (!small_fits(&small->capacity[i], value))
            return false;
    return true;
}

/* Every assignment, like the wheels of a counter. */
static inline void small_enumerate(struct small *small)
{
    int8_t value[SMALL_VARIABLES] = {0};
    for (int v = 0; v < small->variables; v++)
        value[v] = (int8_t)small->lowest[v];
    small->solutions = 0;
    for (int v = 0; v < small->variables;) {
        if (small_holds(small, value))
            for (int w = 0, s = small->solutions++; w < SMALL_VARIABLES; w++)
                small->solution[s][w] = value[w];
        for (v = 1; v < small->variables && value[v] == small->highest[v]; v++)
            value[v] = (int8_t)small->lowest[v];
        if (v < small->variables)
            value[v]++;
    }
}

/* The smallest value of VARIABLE in a solution where the literals hold; INT32_MAX where
 * there is none. */
static inline int32_t small_minimum(const struct small *small, int variable,
                                    const struct kernel_literal *literals, int count)
{
    int32_t least = INT32_MAX;
    for (int s = 0; s < small->solutions; s++)
        if (small->solution[s][variable] < least &&
            small_all(literals, count, small->solution[s]))
            least = small->solution[s][variable];
    return least;
}

#endif
