/* The kernel, statement by statement; then its ways: cores, pauses that change nothing,
 * harder random problems against plain enumeration. */
#include "bill/kernel.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

enum { BUDGET = 100000, SWITCHES = 14, CLAUSES = 60, JOBS = 7, RESOURCES = 2 };

static struct arena *arena;
static struct kernel *kernel;

static void open_kernel(void)
{
    arena = arena_new();
    kernel = kernel_new(arena, NULL);
}

static void close_kernel(void)
{
    arena_free(arena);
}

static void expect(enum kernel_verdict verdict)
{
    ck_assert_int_eq(kernel_solve(kernel, BUDGET), verdict);
}

static int32_t expect_least(int32_t variable)
{
    kernel_minimise(kernel, variable);
    expect(KERNEL_PROVED);
    ck_assert_int_eq(kernel_lower(kernel), kernel_value(kernel, variable));
    return kernel_value(kernel, variable);
}

static struct kernel_task task(int32_t start, int32_t length, int32_t demand)
{
    return (struct kernel_task){start, 0, start, length, demand, kernel_always()};
}

START_TEST(test_variables)
{
    expect(KERNEL_PROVED); /* nothing stated, nothing wrong */
    ck_assert_int_eq(kernel_value(kernel, KERNEL_ZERO), 0);
    int32_t x = kernel_integer(kernel, -5, 7), s = kernel_switch(kernel);
    ck_assert_int_eq(expect_least(x), -5);
    ck_assert_int_eq(expect_least(s), 0);
    struct kernel_literal literal = kernel_at_most(x, 3), back;
    back = kernel_not(kernel_not(literal));
    ck_assert(back.side == literal.side && back.bound == literal.bound);
    kernel_clause(kernel, &(struct kernel_literal){literal.side ^ 1, 1 - literal.bound},
                  1);
    ck_assert_int_eq(expect_least(x), 4);
}
END_TEST

/* A trap: a variable without any value refutes at once, not when it is looked at. */
START_TEST(test_no_value)
{
    kernel_integer(kernel, 3, 2);
    expect(KERNEL_INFEASIBLE);
    ck_assert_int_eq(kernel_figures(kernel).conflicts, 0);
    kernel_integer(kernel, 0, 9);
    expect(KERNEL_INFEASIBLE);
}
END_TEST

START_TEST(test_clauses)
{
    int32_t x = kernel_integer(kernel, 0, 9), y = kernel_integer(kernel, 0, 9);
    struct kernel_literal either[] = {kernel_at_least(x, 4), kernel_at_least(y, 6)};
    kernel_clause(kernel, either, 2);
    struct kernel_literal always[] = {kernel_at_least(x, 4), kernel_at_most(y, 5),
                                      kernel_at_most(x, 6)};
    kernel_clause(kernel, always, 3);
    struct kernel_literal same[] = {kernel_at_least(x, 2), kernel_at_least(x, 7)};
    kernel_clause(kernel, same, 2);
    ck_assert_int_eq(expect_least(x), 2);
    ck_assert_int_ge(kernel_value(kernel, y), 6);
    struct kernel_literal low = kernel_at_most(y, 5);
    kernel_clause(kernel, &low, 1);
    ck_assert_int_eq(expect_least(x), 4);
    kernel_clause(kernel, NULL, 0);
    expect(KERNEL_INFEASIBLE);
}
END_TEST

/* Least and greatest distances: both directions, their cycles, an edge to itself. */
START_TEST(test_edges)
{
    int32_t x = kernel_integer(kernel, 0, 50), y = kernel_integer(kernel, 0, 50);
    int32_t guard = kernel_switch(kernel), longer = kernel_switch(kernel);
    kernel_edge(kernel, kernel_always(), x, y, 5);
    kernel_edge(kernel, kernel_always(), y, x, -8); /* y at most 8 after x */
    kernel_edge(kernel, kernel_on(longer), x, y, 9);
    kernel_edge(kernel, kernel_on(guard), x, x, 0);
    struct kernel_literal late = kernel_at_least(x, 10);
    kernel_clause(kernel, &late, 1);
    ck_assert_int_eq(expect_least(y), 15);
    ck_assert_int_eq(kernel_value(kernel, longer), 0);
    kernel_edge(kernel, kernel_on(guard), x, x, 1);
    struct kernel_literal on = kernel_on(guard);
    kernel_assume(kernel, &on, 1);
    expect(KERNEL_INFEASIBLE);
    kernel_assume(kernel, NULL, 0);
    kernel_edge(kernel, kernel_always(), x, y, 9);
    expect(KERNEL_INFEASIBLE);
}
END_TEST

START_TEST(test_capacity)
{
    int32_t end = kernel_integer(kernel, 0, 40), start[4];
    struct kernel_task tasks[5];
    for (int i = 0; i < 4; i++) {
        start[i] = kernel_integer(kernel, 0, 40);
        tasks[i] = task(start[i], 3 + i, i == 3 ? 2 : 1);
        kernel_edge(kernel, kernel_always(), start[i], end, 3 + i);
    }
    tasks[4] = task(kernel_integer(kernel, 0, 40), 0, 9); /* no time, no demand */
    kernel_capacity(kernel, tasks, 5, 2);
    ck_assert_int_eq(expect_least(end), 13);
    struct kernel_task big = task(start[0], 3, 3);
    kernel_capacity(kernel, &big, 1, 2); /* more than there is */
    expect(KERNEL_INFEASIBLE);
}
END_TEST

/* A hand tends a line from the end of one step to the end of another: one task between
 * two variables.  Meanwhile the only other hand does all the rest. */
START_TEST(test_tending)
{
    int32_t set = kernel_integer(kernel, 0, 99), ease = kernel_integer(kernel, 0, 99);
    int32_t other = kernel_integer(kernel, 0, 99), end = kernel_integer(kernel, 0, 99);
    kernel_edge(kernel, kernel_always(), set, ease, 20);
    kernel_edge(kernel, kernel_always(), ease, end, 4);
    kernel_edge(kernel, kernel_always(), other, end, 10);
    kernel_edge(kernel, kernel_always(), set, other, 6);
    struct kernel_task tasks[] = {
        task(set, 6, 1), {set, 6, ease, 4, 1, kernel_always()}, task(other, 10, 1)};
    kernel_capacity(kernel, tasks, 3, 2);
    ck_assert_int_eq(expect_least(end), 24);
    tasks[2].demand = 2; /* a step for two hands must wait until the line is free */
    kernel_capacity(kernel, tasks, 3, 2);
    ck_assert_int_eq(expect_least(end), 34);
    ck_assert_int_eq(kernel_value(kernel, other), 24);
}
END_TEST

/* Guards: a step goes to one of two hands, each hand does one thing at a time. */
START_TEST(test_choice_of_hands)
{
    enum { STEPS = 5, HANDS = 2 };
    int32_t end = kernel_integer(kernel, 0, 99), start[STEPS], does[STEPS][HANDS];
    for (int s = 0; s < STEPS; s++) {
        start[s] = kernel_integer(kernel, 0, 99);
        kernel_edge(kernel, kernel_always(), start[s], end, 2 + s);
        struct kernel_literal who[HANDS];
        for (int h = 0; h < HANDS; h++)
            who[h] = kernel_on(does[s][h] = kernel_switch(kernel));
        kernel_at_least_of(kernel, who, HANDS, 1);
        kernel_at_most_of(kernel, who, HANDS, 1);
        kernel_advise(kernel, start[s], who, HANDS);
    }
    for (int h = 0; h < HANDS; h++) {
        struct kernel_task tasks[STEPS];
        for (int s = 0; s < STEPS; s++) {
            tasks[s] = task(start[s], 2 + s, 1);
            tasks[s].guard = kernel_on(does[s][h]);
        }
        kernel_capacity(kernel, tasks, STEPS, 1);
    }
    ck_assert_int_eq(expect_least(end), 10); /* 2+3+4+5+6 = 20, and 4+6 = 2+3+5 */
    struct kernel_literal not_first = kernel_not(kernel_on(does[4][0]));
    kernel_assume(kernel, &not_first, 1);
    ck_assert_int_eq(expect_least(end), 10);
    ck_assert_int_eq(kernel_value(kernel, does[4][1]), 1);
}
END_TEST

START_TEST(test_counts_and_sums)
{
    struct kernel_literal on[6];
    struct kernel_term cost[6];
    for (int i = 0; i < 6; i++) {
        on[i] = kernel_on(kernel_switch(kernel));
        cost[i] = (struct kernel_term){on[i], 1 + 2 * i}; /* 1 3 5 7 9 11 */
    }
    kernel_at_least_of(kernel, on, 6, 3);
    kernel_at_most_of(kernel, on, 2, 1); /* one of 1 and 3 */
    kernel_at_most_of(kernel, on + 2, 2, 1);
    int32_t total = kernel_integer(kernel, 0, 99), less = kernel_integer(kernel, 0, 99);
    kernel_sum(kernel, cost, 6, total, 0);
    kernel_sum(kernel, cost, 6, less, 4);
    ck_assert_int_eq(expect_least(total), 1 + 5 + 9);
    ck_assert_int_eq(expect_least(less), 1 + 5 + 9 - 4);
    kernel_at_least_of(kernel, on, 6, 5);
    expect(KERNEL_INFEASIBLE);
}
END_TEST

/* Three hands for four duties at one moment: the core is those four and not the others,
 * and three of them can be had. */
START_TEST(test_core)
{
    struct kernel_literal duty[8];
    struct kernel_term terms[4];
    for (int i = 0; i < 8; i++)
        duty[i] = kernel_on(kernel_switch(kernel));
    for (int i = 0; i < 4; i++)
        terms[i] = (struct kernel_term){duty[2 * i], 1};
    kernel_sum(kernel, terms, 4, KERNEL_ZERO, 3);
    kernel_assume(kernel, duty, 8);
    expect(KERNEL_INFEASIBLE);
    int32_t count;
    const struct kernel_literal *core = kernel_core(kernel, &count);
    ck_assert_int_eq(count, 4);
    for (int i = 0; i < 4; i++)
        ck_assert_int_eq(core[i].side / 2 % 2, duty[0].side / 2 % 2);
    kernel_assume(kernel, duty + 1, 7);
    expect(KERNEL_PROVED);
    kernel_core(kernel, &count);
    ck_assert_int_eq(count, 0);
}
END_TEST

/* A second question under the answer of the first, as shortest time, then fewest. */
START_TEST(test_one_claim_after_another)
{
    int32_t x = kernel_integer(kernel, 0, 9), y = kernel_integer(kernel, 0, 9);
    struct kernel_literal large[] = {kernel_at_least(x, 3), kernel_at_least(y, 8)};
    kernel_clause(kernel, large, 2);
    struct kernel_literal other[] = {kernel_at_least(x, 7), kernel_at_least(y, 5)};
    kernel_clause(kernel, other, 2);
    ck_assert_int_eq(expect_least(x), 0);
    struct kernel_literal kept = kernel_at_most(x, 0);
    kernel_clause(kernel, &kept, 1);
    ck_assert_int_eq(expect_least(y), 8);
    ck_assert_int_eq(kernel_value(kernel, x), 0);
}
END_TEST

struct jobs {
    int duration[JOBS], demand[JOBS][RESOURCES];
    bool before[JOBS][JOBS];
};

static unsigned seed;

static int random_to(int most)
{
    seed = seed * 1664525u + 1013904223u;
    return (int)((seed >> 12) % (unsigned)(most + 1));
}

static void make_jobs(struct jobs *jobs, int number)
{
    seed = (unsigned)number * 2654435761u + 1;
    memset(jobs, 0, sizeof *jobs);
    for (int i = 0; i < JOBS; i++) {
        jobs->duration[i] = random_to(5);
        for (int r = 0; r < RESOURCES; r++)
            jobs->demand[i][r] = random_to(3);
        for (int j = 0; j < i; j++)
            jobs->before[j][i] = random_to(4) == 0;
    }
}

static int32_t state_jobs(const struct jobs *jobs, int32_t start[JOBS])
{
    int32_t end = kernel_integer(kernel, 0, 5 * JOBS);
    for (int i = 0; i < JOBS; i++) {
        start[i] = kernel_integer(kernel, 0, 5 * JOBS);
        kernel_advise(kernel, start[i], NULL, 0);
        kernel_edge(kernel, kernel_always(), start[i], end, jobs->duration[i]);
        for (int j = 0; j < i; j++)
            if (jobs->before[j][i])
                kernel_edge(kernel, kernel_always(), start[j], start[i],
                            jobs->duration[j]);
    }
    for (int r = 0; r < RESOURCES; r++) {
        struct kernel_task tasks[JOBS];
        for (int i = 0; i < JOBS; i++)
            tasks[i] = task(start[i], jobs->duration[i], jobs->demand[i][r]);
        kernel_capacity(kernel, tasks, JOBS, 3);
    }
    kernel_minimise(kernel, end);
    return end;
}

static bool job_fits(const struct jobs *jobs, const int *start, unsigned done, int i,
                     int from)
{
    for (int moment = from; moment < from + jobs->duration[i]; moment++)
        for (int r = 0; r < RESOURCES; r++) {
            int used = jobs->demand[i][r];
            for (int j = 0; j < JOBS; j++)
                if (done >> j & 1 && start[j] <= moment &&
                    moment < start[j] + jobs->duration[j])
                    used += jobs->demand[j][r];
            if (used > 3)
                return false;
        }
    return true;
}

/* The best of all lists of the jobs, each put as early as it fits: one of them is an
 * optimal schedule, as the makespan is a regular measure (J. Blazewicz, J. K. Lenstra,
 * A. H. G. Rinnooy Kan 1983 state the problem; that active schedules suffice is common
 * knowledge of the trade). */
static int best_list(const struct jobs *jobs, int *start, unsigned done, int end,
                     int best)
{
    if (end >= best)
        return best;
    if (done == (1u << JOBS) - 1)
        return end;
    for (int i = 0; i < JOBS; i++) {
        int from = 0;
        bool ready = !(done >> i & 1);
        for (int j = 0; j < JOBS && ready; j++) {
            ready = !jobs->before[j][i] || done >> j & 1;
            if (jobs->before[j][i] && start[j] + jobs->duration[j] > from)
                from = start[j] + jobs->duration[j];
        }
        if (!ready)
            continue;
        while (!job_fits(jobs, start, done, i, from))
            from++;
        start[i] = from;
        int ends = from + jobs->duration[i];
        best = best_list(jobs, start, done | 1u << i, ends > end ? ends : end, best);
    }
    return best;
}

START_TEST(test_random_jobs)
{
    for (int n = _i * 100; n < _i * 100 + 100; n++) {
        struct jobs jobs;
        int32_t start[JOBS];
        int list[JOBS] = {0};
        make_jobs(&jobs, n);
        struct kernel_options options = {.run_conflicts = 2, .energy_after = n % 2};
        arena = arena_new();
        kernel = kernel_new(arena, &options);
        int32_t end = state_jobs(&jobs, start);
        ck_assert_int_eq(expect_least(end), best_list(&jobs, list, 0, 0, INT32_MAX));
        for (int i = 0; i < JOBS; i++)
            list[i] = kernel_value(kernel, start[i]);
        for (int i = 0; i < JOBS; i++) {
            ck_assert(job_fits(&jobs, list, ((1u << JOBS) - 1) ^ 1u << i, i, list[i]));
            for (int j = 0; j < JOBS; j++)
                ck_assert(!jobs.before[j][i] || list[j] + jobs.duration[j] <= list[i]);
        }
        close_kernel();
    }
}
END_TEST

/* Of nine tasks of three no two can be at the same time, though each capacity says so of
 * two of them alone: only all capacities together show that they take 27. */
static int64_t conflicts_of_nine(int32_t energy_after)
{
    enum { NINE = 9 };
    struct kernel_options options = {.run_conflicts = 10, .energy_after = energy_after};
    int32_t start[NINE];
    arena = arena_new();
    kernel = kernel_new(arena, &options);
    int32_t end = kernel_integer(kernel, 0, 40);
    for (int i = 0; i < NINE; i++) {
        start[i] = kernel_integer(kernel, 0, 40);
        kernel_edge(kernel, kernel_always(), start[i], end, 3);
        for (int j = 0; j < i; j++)
            kernel_capacity(
                kernel,
                (struct kernel_task[]){task(start[i], 3, 1), task(start[j], 3, 1)}, 2, 1);
    }
    ck_assert_int_eq(expect_least(end), 27);
    int64_t conflicts = kernel_figures(kernel).conflicts;
    close_kernel();
    return conflicts;
}

START_TEST(test_energy)
{
    ck_assert_int_lt(conflicts_of_nine(1), 100);
    ck_assert_int_gt(conflicts_of_nine(INT32_MAX), 1000);
}
END_TEST

/* Random clauses of three near the ratio where they are hardest, all 2^14 ways tried;
 * clearing out at every restart. */
static void random_clauses(int number, struct kernel_literal clause[CLAUSES][3])
{
    seed = (unsigned)number * 2246822519u + 7;
    for (int c = 0; c < CLAUSES; c++)
        for (int i = 0; i < 3; i++) {
            int32_t v = 1 + random_to(SWITCHES - 1);
            clause[c][i] = random_to(1) ? kernel_on(v) : kernel_not(kernel_on(v));
        }
}

static bool holds(struct kernel_literal literal, unsigned way)
{
    bool on = way >> (literal.side / 2 - 1) & 1;
    return on != (literal.side % 2);
}

static bool any_way(struct kernel_literal clause[CLAUSES][3])
{
    for (unsigned way = 0; way < 1u << SWITCHES; way++) {
        int c = 0;
        while (c < CLAUSES && (holds(clause[c][0], way) || holds(clause[c][1], way) ||
                               holds(clause[c][2], way)))
            c++;
        if (c == CLAUSES)
            return true;
    }
    return false;
}

START_TEST(test_random_clauses)
{
    int possible = 0;
    for (int n = _i * 100; n < _i * 100 + 100; n++) {
        struct kernel_literal clause[CLAUSES][3];
        random_clauses(n, clause);
        struct kernel_options options = {.run_conflicts = 2, .learned_max = 1};
        arena = arena_new();
        kernel = kernel_new(arena, &options);
        for (int s = 0; s < SWITCHES; s++)
            kernel_switch(kernel);
        for (int c = 0; c < CLAUSES; c++)
            kernel_clause(kernel, clause[c], 3);
        bool is_possible = any_way(clause);
        expect(is_possible ? KERNEL_PROVED : KERNEL_INFEASIBLE);
        possible += is_possible;
        close_kernel();
    }
    ck_assert_int_ge(possible, 20);
    ck_assert_int_le(possible, 80);
}
END_TEST

struct outcome {
    int32_t end, start[JOBS];
    struct kernel_figures figures;
};

static struct outcome solve_in(int number, int64_t slice)
{
    struct jobs jobs;
    struct outcome outcome;
    int32_t start[JOBS], last_lower = 0;
    make_jobs(&jobs, number);
    open_kernel();
    int32_t end = state_jobs(&jobs, start);
    enum kernel_verdict verdict;
    while ((verdict = kernel_solve(kernel, slice)) != KERNEL_PROVED) {
        ck_assert(verdict == KERNEL_OPEN || verdict == KERNEL_FOUND);
        ck_assert_int_ge(kernel_lower(kernel), last_lower); /* never falls back */
        last_lower = kernel_lower(kernel);
        if (verdict == KERNEL_FOUND)
            ck_assert_int_ge(kernel_value(kernel, end), last_lower);
    }
    outcome.end = kernel_value(kernel, end);
    for (int i = 0; i < JOBS; i++)
        outcome.start[i] = kernel_value(kernel, start[i]);
    outcome.figures = kernel_figures(kernel);
    close_kernel();
    return outcome;
}

/* The same work and the same schedule however it is sliced. */
START_TEST(test_slices)
{
    static const int64_t slices[] = {BUDGET, 1, 2, 7};
    int64_t conflicts = 0;
    for (int n = 0; n < 40; n++) {
        struct outcome whole = solve_in(n, BUDGET);
        conflicts += whole.figures.conflicts;
        for (int i = 0; i < 4; i++) {
            struct outcome sliced = solve_in(n, slices[i]);
            ck_assert_mem_eq(sliced.start, whole.start, sizeof whole.start);
            ck_assert_int_eq(sliced.end, whole.end);
            ck_assert_int_eq(sliced.figures.conflicts, whole.figures.conflicts);
            ck_assert_int_eq(sliced.figures.decisions, whole.figures.decisions);
            ck_assert_int_eq(sliced.figures.bounds, whole.figures.bounds);
            ck_assert_int_eq(sliced.figures.restarts, whole.figures.restarts);
        }
    }
    ck_assert_int_ge(conflicts, 200);
}
END_TEST

/* Hints change the way, not the answer; a good one is the first solution. */
START_TEST(test_hints)
{
    struct jobs jobs;
    int32_t start[JOBS];
    struct outcome best = solve_in(3, BUDGET);
    make_jobs(&jobs, 3);
    open_kernel();
    int32_t end = state_jobs(&jobs, start);
    for (int i = 0; i < JOBS; i++)
        kernel_hint(kernel, start[i], 5 * JOBS - best.start[i]);
    ck_assert_int_eq(expect_least(end), best.end);
    close_kernel();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("kernel");
    TCase *one = tcase_create("one"), *many = tcase_create("many");
    tcase_add_checked_fixture(one, open_kernel, close_kernel);
    tcase_add_test(one, test_variables);
    tcase_add_test(one, test_no_value);
    tcase_add_test(one, test_clauses);
    tcase_add_test(one, test_edges);
    tcase_add_test(one, test_capacity);
    tcase_add_test(one, test_tending);
    tcase_add_test(one, test_choice_of_hands);
    tcase_add_test(one, test_counts_and_sums);
    tcase_add_test(one, test_core);
    tcase_add_test(one, test_one_claim_after_another);
    tcase_set_timeout(many, 100);
    tcase_add_loop_test(many, test_random_jobs, 0, 20);
    tcase_add_test(many, test_energy);
    tcase_add_loop_test(many, test_random_clauses, 0, 10);
    tcase_add_test(many, test_slices);
    tcase_add_test(many, test_hints);
    suite_add_tcase(suite, one);
    suite_add_tcase(suite, many);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
