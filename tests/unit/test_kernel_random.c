/* The kernel against every assignment of thousands of small random problems: verdict,
 * optimum, solution, each clause it learned, each core; restarts, clearing out of clauses
 * and pauses are made frequent by small settings. */
#include "kernel_small.h"

#include <check.h>
#include <stdlib.h>

enum { PROBLEMS = 6000, PARTS = 8, ASSUMED_MAX = 4 };

struct lessons {
    const struct small *small;
    struct kernel_literal fixed; /* stated since */
    int count;
};

/* A clause learned holds in every solution, whatever the target or the assumptions. */
static void hear_lesson(void *context, const struct kernel_literal *literals,
                        int32_t count)
{
    struct lessons *lessons = context;
    lessons->count++;
    for (int s = 0; s < lessons->small->solutions; s++)
        ck_assert_msg(!small_is_true(lessons->fixed, lessons->small->solution[s]) ||
                          small_any(literals, count, lessons->small->solution[s]),
                      "a clause learned does not hold in solution %d", s);
}

static enum kernel_verdict solve(struct kernel *kernel, int slice)
{
    enum kernel_verdict verdict;
    do
        verdict = kernel_solve(kernel, slice);
    while (verdict == KERNEL_FOUND || verdict == KERNEL_OPEN);
    return verdict;
}

/* What the kernel says is what all assignments say. */
static void compare(struct kernel *kernel, const struct small *small, int objective,
                    const struct kernel_literal *literals, int count, int slice)
{
    int32_t least = small_minimum(small, objective, literals, count);
    enum kernel_verdict verdict = solve(kernel, slice);
    if (least == INT32_MAX) {
        ck_assert_int_eq(verdict, KERNEL_INFEASIBLE);
        return;
    }
    ck_assert_int_eq(verdict, KERNEL_PROVED);
    ck_assert_int_eq(kernel_value(kernel, objective), least);
    ck_assert_int_eq(kernel_lower(kernel), least);
    int8_t value[SMALL_VARIABLES] = {0};
    for (int v = 0; v < small->variables; v++)
        value[v] = (int8_t)kernel_value(kernel, v);
    for (int v = 0; v < small->variables; v++)
        ck_assert(value[v] >= small->lowest[v] && value[v] <= small->highest[v]);
    ck_assert(small_holds(small, value));
    ck_assert(small_all(literals, count, value));
}

/* The core is some of the assumptions, and no solution has all of it. */
static void check_core(const struct kernel *kernel, const struct small *small,
                       const struct kernel_literal *assumed, int assumed_count)
{
    int32_t count;
    const struct kernel_literal *core = kernel_core(kernel, &count);
    for (int32_t i = 0; i < count; i++) {
        bool found = false;
        for (int j = 0; j < assumed_count; j++)
            found = found || (assumed[j].side == core[i].side &&
                              assumed[j].bound == core[i].bound);
        ck_assert(found);
    }
    ck_assert_int_eq(small_minimum(small, 0, core, count), INT32_MAX);
}

/* The same kernel, asked again: under assumptions, then for something else with the first
 * answer fixed. */
static void ask_again(struct kernel *kernel, struct small *small, struct lessons *lessons,
                      int *cores)
{
    int slice = small_random(small, 1, 3);
    for (int round = 0; round < 3; round++) {
        struct kernel_literal assumed[ASSUMED_MAX];
        int count = small_random(small, 0, ASSUMED_MAX);
        for (int i = 0; i < count; i++)
            assumed[i] = small_literal(small);
        kernel_assume(kernel, assumed, count);
        compare(kernel, small, small->objective, assumed, count, slice);
        if (kernel_solve(kernel, 1) == KERNEL_INFEASIBLE) {
            check_core(kernel, small, assumed, count);
            ++*cores;
        }
    }
    kernel_assume(kernel, NULL, 0);
    int32_t least = small_minimum(small, small->objective, NULL, 0);
    int second = small_variable(small);
    struct kernel_literal fixed =
        kernel_at_most(small->objective, least == INT32_MAX ? 0 : least);
    kernel_clause(kernel, &fixed, 1);
    lessons->fixed = fixed;
    kernel_minimise(kernel, second);
    compare(kernel, small, second, &fixed, 1, slice);
}

START_TEST(test_against_all_assignments)
{
    static struct small small;
    int solvable = 0, lessons_heard = 0, cores = 0;
    for (int n = _i * (PROBLEMS / PARTS); n < (_i + 1) * (PROBLEMS / PARTS); n++) {
        if (n % 4 == 3)
            small_make_tight(&small, (unsigned)n);
        else
            small_make(&small, (unsigned)n);
        small_enumerate(&small);
        struct lessons lessons = {&small, kernel_always(), 0};
        struct kernel_options options = {.run_conflicts = 1 + n % 3,
                                         .learned_max = 2 + n % 5,
                                         .energy_after = n % 8 < 6 ? 1 : 0,
                                         .learned = hear_lesson,
                                         .context = &lessons};
        struct arena *arena = arena_new();
        struct kernel *kernel = kernel_new(arena, &options);
        small_state(&small, kernel);
        for (int v = 1; n % 2 && v < small.variables; v++)
            kernel_advise(kernel, v, NULL, 0);
        compare(kernel, &small, small.objective, NULL, 0, 1 + n % 4);
        if (small.solutions)
            ask_again(kernel, &small, &lessons, &cores);
        solvable += small.solutions > 0;
        lessons_heard += lessons.count;
        arena_free(arena);
    }
    /* the problems are neither all impossible nor all trivial */
    ck_assert_int_ge(solvable, PROBLEMS / PARTS / 4);
    ck_assert_int_ge(lessons_heard, PROBLEMS / PARTS / 4);
    ck_assert_int_ge(cores, PROBLEMS / PARTS / 8);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("kernel_random");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 100);
    tcase_add_loop_test(all, test_against_all_assignments, 0, PARTS);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
