/* An exact solver over integer bounds: clause learning with explanations made when they
 * are asked for.  It knows nothing of sailing: integer variables, literals [x >= v] and
 * [x <= v], clauses, guarded difference edges, capacities over time, weighted sums.
 *
 * Make one with kernel_new, state the problem, name what is minimised, then call
 * kernel_solve as often as wanted: the budget is counted in conflicts, so a result
 * repeats on any machine and does not depend on how the work is cut into slices.
 * Statements may be added after a call; what was learned stays.  Everything lives in the
 * arena given; literals, arrays and tasks handed in are copied. */
#ifndef BILL_KERNEL_H
#define BILL_KERNEL_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    KERNEL_ZERO = 0,             /* the variable that is always 0 */
    KERNEL_BOUND_MAX = 1 << 26,  /* bounds, distances and offsets, as magnitudes */
    KERNEL_TASKS_MAX = INT16_MAX /* tasks of one capacity, terms of one sum */
};

struct kernel;

/* True where the side is at least the bound.  Side 2v is the lower bound of variable v,
 * side 2v+1 its upper bound with the sign turned; made by the functions below. */
struct kernel_literal {
    int32_t side, bound;
};

/* Settings of a kernel; what is 0 is taken from the usual ones. */
struct kernel_options {
    int32_t run_conflicts; /* conflicts of the shortest run between restarts */
    int32_t learned_max;   /* learned clauses kept before the first clearing out */
    int32_t energy_after;  /* conflicts before all capacities are weighed together */
    /* Told of each clause learned, for tests: every one follows from the problem. */
    void (*learned)(void *context, const struct kernel_literal *literals, int32_t count);
    void *context;
};

/* A stay of demand hands over [start + start_delay, end + end_delay), where start and
 * end are variables, perhaps one and the same; nothing where that is empty or the guard
 * is false. */
struct kernel_task {
    int32_t start, start_delay, end, end_delay, demand;
    struct kernel_literal guard;
};

/* Weight, at least 0, that counts where the literal is true. */
struct kernel_term {
    struct kernel_literal literal;
    int32_t weight;
};

enum kernel_verdict {
    KERNEL_PROVED,     /* the values are a solution and none is better */
    KERNEL_FOUND,      /* budget used: a solution and a lower bound */
    KERNEL_INFEASIBLE, /* no solution; under assumptions kernel_core says which clash */
    KERNEL_OPEN        /* budget used: no solution so far, only a lower bound */
};

/* What the work so far took. */
struct kernel_figures {
    int64_t conflicts, decisions, bounds, restarts, solutions;
    int32_t learned; /* clauses kept now */
};

/* A new kernel without any statement; OPTIONS may be NULL. */
struct kernel *kernel_new(struct arena *arena, const struct kernel_options *options);

/* A new variable between LOWEST and HIGHEST; the other way round refutes the problem. */
int32_t kernel_integer(struct kernel *kernel, int32_t lowest, int32_t highest);

/* A new variable that is 0 or 1. */
int32_t kernel_switch(struct kernel *kernel);

/* [variable >= value] */
static inline struct kernel_literal kernel_at_least(int32_t variable, int32_t value)
{
    return (struct kernel_literal){2 * variable, value};
}

/* [variable <= value] */
static inline struct kernel_literal kernel_at_most(int32_t variable, int32_t value)
{
    return (struct kernel_literal){2 * variable + 1, -value};
}

/* A switch that is 1. */
static inline struct kernel_literal kernel_on(int32_t variable)
{
    return kernel_at_least(variable, 1);
}

/* The opposite of LITERAL. */
static inline struct kernel_literal kernel_not(struct kernel_literal literal)
{
    return (struct kernel_literal){literal.side ^ 1, 1 - literal.bound};
}

/* The literal that is always true. */
static inline struct kernel_literal kernel_always(void)
{
    return (struct kernel_literal){0, 0};
}

/* At least one of the literals is true. */
void kernel_clause(struct kernel *kernel, const struct kernel_literal *literals,
                   int32_t count);

/* Where GUARD is true, TO is at least FROM plus DISTANCE (which may be negative). */
void kernel_edge(struct kernel *kernel, struct kernel_literal guard, int32_t from,
                 int32_t to, int32_t distance);

/* At no moment do the tasks together demand more than CAPACITY. */
void kernel_capacity(struct kernel *kernel, const struct kernel_task *tasks,
                     int32_t count, int32_t capacity);

/* The weights of the true literals sum up to at most LIMIT plus MORE. */
void kernel_sum(struct kernel *kernel, const struct kernel_term *terms, int32_t count,
                int32_t limit, int32_t more);

/* At most, at least COUNT_TRUE of the literals are true. */
void kernel_at_most_of(struct kernel *kernel, const struct kernel_literal *literals,
                       int32_t count, int32_t count_true);
void kernel_at_least_of(struct kernel *kernel, const struct kernel_literal *literals,
                        int32_t count, int32_t count_true);

/* Advice, which changes the way but never the truth of an answer: VARIABLE is a start
 * to be put as early as it goes, and then the first LITERALS that are open made true. */
void kernel_advise(struct kernel *kernel, int32_t variable,
                   const struct kernel_literal *literals, int32_t count);

/* Advice: try VALUE first. */
void kernel_hint(struct kernel *kernel, int32_t variable, int32_t value);

/* Minimise VARIABLE from now on; KERNEL_ZERO asks for any solution. */
void kernel_minimise(struct kernel *kernel, int32_t variable);

/* Take the literals as given from now on, instead of those before; COUNT may be 0. */
void kernel_assume(struct kernel *kernel, const struct kernel_literal *literals,
                   int32_t count);

/* Works on for at most CONFLICTS conflicts, at least 1. */
enum kernel_verdict kernel_solve(struct kernel *kernel, int64_t conflicts);

/* The value in the best solution, after KERNEL_PROVED or KERNEL_FOUND. */
int32_t kernel_value(const struct kernel *kernel, int32_t variable);

/* No solution under the assumptions has a smaller value of what is minimised. */
int32_t kernel_lower(const struct kernel *kernel);

/* The assumptions that cannot all hold, after KERNEL_INFEASIBLE; none of them: nothing
 * can.  The literals live until the next call. */
const struct kernel_literal *kernel_core(const struct kernel *kernel, int32_t *count);

struct kernel_figures kernel_figures(const struct kernel *kernel);

#endif
