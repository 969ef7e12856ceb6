/* The kernel against worked examples: critical paths, three-point estimates, a job shop.
 * Every figure is proved twice: it is possible, and one more is not. */
#include "bill/kernel.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

enum { ACTIVITIES_MAX = 16, BUDGET = 100000 };

/* An activity by its letter; expected figures as far as the source gives them. */
struct activity {
    char name;
    int duration;
    const char *after;
    int early, late, total_slack, free_slack; /* start; -1: not given */
};

struct network {
    struct arena *arena;
    struct kernel *kernel;
    const struct activity *activity;
    int count, start[ACTIVITIES_MAX], end;
};

static int number_of(const struct network *network, char name)
{
    for (int i = 0; i < network->count; i++)
        if (network->activity[i].name == name)
            return i;
    ck_abort_msg("no activity %c", name);
}

static void open_network(struct network *network, const struct activity *activity,
                         int count)
{
    *network = (struct network){.activity = activity, .count = count};
    network->arena = arena_new();
    struct kernel *kernel = network->kernel = kernel_new(network->arena, NULL);
    network->end = kernel_integer(kernel, 0, 1000);
    for (int i = 0; i < count; i++) {
        network->start[i] = kernel_integer(kernel, 0, 1000);
        kernel_edge(kernel, kernel_always(), network->start[i], network->end,
                    activity[i].duration);
        for (const char *before = activity[i].after; *before; before++) {
            int j = number_of(network, *before);
            kernel_edge(kernel, kernel_always(), network->start[j], network->start[i],
                        activity[j].duration);
        }
    }
}

static int least(struct network *network, int variable)
{
    kernel_assume(network->kernel, NULL, 0);
    kernel_minimise(network->kernel, variable);
    ck_assert_int_eq(kernel_solve(network->kernel, BUDGET), KERNEL_PROVED);
    return kernel_value(network->kernel, variable);
}

/* Whether activity I can start at TIME or later within TOTAL; with the others no later
 * than their EARLY where that is given. */
static bool can_wait(struct network *network, int i, int time, int total,
                     const int *early)
{
    struct kernel_literal assumed[ACTIVITIES_MAX + 2] = {
        kernel_at_most(network->end, total), kernel_at_least(network->start[i], time)};
    int count = 2;
    for (int j = 0; early && j < network->count; j++)
        if (j != i)
            assumed[count++] = kernel_at_most(network->start[j], early[j]);
    kernel_minimise(network->kernel, KERNEL_ZERO);
    kernel_assume(network->kernel, assumed, count);
    return kernel_solve(network->kernel, BUDGET) == KERNEL_PROVED;
}

/* TOTAL, every figure given, and the critical path: the activities without slack. */
static void check_network(const struct activity *activity, int count, int total,
                          const char *critical)
{
    struct network network;
    int early[ACTIVITIES_MAX];
    char path[ACTIVITIES_MAX + 1] = "";
    int on_path = 0;
    open_network(&network, activity, count);
    ck_assert_int_eq(least(&network, network.end), total);
    for (int i = 0; i < count; i++)
        early[i] = least(&network, network.start[i]);
    for (int i = 0; i < count; i++) {
        const struct activity *is = &activity[i];
        if (is->early >= 0)
            ck_assert_int_eq(early[i], is->early);
        int late = early[i] + is->total_slack;
        if (is->late >= 0)
            ck_assert_int_eq(late, is->late);
        ck_assert(can_wait(&network, i, late, total, NULL));
        ck_assert(!can_wait(&network, i, late + 1, total, NULL));
        if (is->free_slack >= 0) {
            ck_assert(can_wait(&network, i, early[i] + is->free_slack, total, early));
            ck_assert(
                !can_wait(&network, i, early[i] + is->free_slack + 1, total, early));
        }
        if (is->total_slack == 0)
            path[on_path++] = is->name;
    }
    ck_assert_str_eq(path, critical);
    arena_free(network.arena);
}

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* Ten activities with the full table, from a public page of questions and answers;
 * numbers recomputed by hand. */
START_TEST(test_ten_activities)
{
    static const struct activity ten[] = {
        {'A', 2, "", 0, 0, 0, 0},    {'B', 4, "A", 2, 3, 1, 0},
        {'C', 5, "A", 2, 2, 0, 0},   {'D', 2, "B", 6, 15, 9, 0},
        {'E', 1, "B", 6, 16, 10, 1}, {'F', 8, "BC", 7, 7, 0, 0},
        {'G', 3, "DE", 8, 17, 9, 9}, {'H', 5, "F", 15, 15, 0, 0},
        {'I', 4, "F", 15, 16, 1, 1}, {'J', 7, "GHI", 20, 20, 0, 0}};
    check_network(ten, COUNT(ten), 27, "ACFHJ");
}
END_TEST

/* Fourteen activities, from a public course module; numbers recomputed by hand. */
START_TEST(test_fourteen_activities)
{
    static const struct activity fourteen[] = {
        {'A', 2, "", 0, 0, 0, -1},     {'B', 10, "A", 2, 2, 0, -1},
        {'C', 13, "A", 2, 13, 11, -1}, {'D', 12, "A", 2, 4, 2, -1},
        {'E', 12, "B", 12, 18, 6, -1}, {'F', 7, "B", 12, 12, 0, -1},
        {'G', 10, "D", 14, 16, 2, -1}, {'H', 16, "D", 14, 17, 3, -1},
        {'I', 6, "F", 19, 19, 0, -1},  {'J', 12, "CG", 24, 26, 2, -1},
        {'K', 5, "I", 25, 25, 0, -1},  {'L', 8, "EK", 30, 30, 0, -1},
        {'M', 5, "H", 30, 33, 3, -1},  {'N', 3, "JLM", 38, 38, 0, -1}};
    check_network(fourteen, COUNT(fourteen), 41, "ABFIKLN");
}
END_TEST

/* Porta-Vac: Anderson, Sweeney, Williams et al., An Introduction to Management Science,
 * chapter 9: expected times (a + 4m + b) / 6, total 17 weeks, critical path and slacks.
 * The kernel counts whole numbers, so times and slacks are in sixths of a week. */
START_TEST(test_porta_vac)
{
    static const struct activity vac[] = {
        {'A', 36, "", 0, -1, 0, -1},    {'B', 12, "", 0, -1, 42, -1},
        {'C', 18, "A", 36, -1, 24, -1}, {'D', 30, "A", 36, -1, 6, -1},
        {'E', 18, "A", 36, -1, 0, -1},  {'F', 12, "C", 54, -1, 24, -1},
        {'G', 18, "D", 66, -1, 6, -1},  {'H', 24, "BE", 54, -1, 0, -1},
        {'I', 12, "H", 78, -1, 0, -1},  {'J', 12, "FGI", 90, -1, 0, -1}};
    check_network(vac, COUNT(vac), 6 * 17, "AEHIJ");
}
END_TEST

/* From memory, so a check of ourselves only: the construction and the foundry projects of
 * the textbooks of Hillier and Lieberman, and of Heizer and Render.  Sixths again. */
START_TEST(test_projects_from_memory)
{
    static const struct activity construction[] = {
        {'A', 12, "", -1, -1, 0, -1},   {'B', 24, "A", -1, -1, 0, -1},
        {'C', 60, "B", -1, -1, 0, -1},  {'D', 36, "C", -1, -1, 24, -1},
        {'E', 24, "C", -1, -1, 0, -1},  {'F', 30, "E", -1, -1, 0, -1},
        {'G', 42, "D", -1, -1, 24, -1}, {'H', 54, "EG", -1, -1, 24, -1},
        {'I', 42, "C", -1, -1, 12, -1}, {'J', 48, "FI", -1, -1, 0, -1},
        {'K', 24, "J", -1, -1, 6, -1},  {'L', 30, "J", -1, -1, 0, -1},
        {'M', 12, "H", -1, -1, 24, -1}, {'N', 36, "KL", -1, -1, 0, -1}};
    check_network(construction, COUNT(construction), 6 * 44, "ABCEFJLN");
    static const struct activity foundry[] = {
        {'A', 12, "", -1, -1, 0, -1},   {'B', 18, "", -1, -1, 6, -1},
        {'C', 12, "A", -1, -1, 0, -1},  {'D', 24, "B", -1, -1, 6, -1},
        {'E', 24, "C", -1, -1, 0, -1},  {'F', 18, "C", -1, -1, 36, -1},
        {'G', 30, "DE", -1, -1, 0, -1}, {'H', 12, "FG", -1, -1, 0, -1}};
    check_network(foundry, COUNT(foundry), 6 * 15, "ACEGH");
}
END_TEST

enum { MACHINES = 6, ROWS = 6 };

/* Six jobs on six machines: pairs of machine and duration. */
static const int shop[ROWS][2 * MACHINES] = {
    {2, 1, 0, 3, 1, 6, 3, 7, 5, 3, 4, 6}, {1, 8, 2, 5, 4, 10, 5, 10, 0, 10, 3, 4},
    {2, 5, 3, 4, 5, 8, 0, 9, 1, 1, 4, 7}, {1, 5, 0, 5, 2, 5, 3, 3, 4, 8, 5, 9},
    {2, 9, 1, 3, 4, 5, 5, 4, 0, 3, 3, 1}, {1, 3, 3, 3, 5, 9, 0, 10, 4, 4, 2, 1}};

static void state_machine(struct kernel *kernel, int32_t start[ROWS][MACHINES],
                          int machine, int scale)
{
    struct kernel_task tasks[ROWS];
    int count = 0;
    for (int j = 0; j < ROWS; j++)
        for (int m = 0; m < MACHINES; m++)
            if (shop[j][2 * m] == machine)
                tasks[count++] = (struct kernel_task){
                    start[j][m],    0, start[j][m], scale * shop[j][2 * m + 1], 1,
                    kernel_always()};
    kernel_capacity(kernel, tasks, count, 1);
}

/* As stated, with machines as capacities and nothing else. */
static int32_t state_shop(struct kernel *kernel, int32_t start[ROWS][MACHINES], int scale)
{
    int32_t end = kernel_integer(kernel, 0, 200 * scale);
    for (int j = 0; j < ROWS; j++)
        for (int m = 0; m < MACHINES; m++) {
            start[j][m] = kernel_integer(kernel, 0, 200 * scale);
            kernel_advise(kernel, start[j][m], NULL, 0);
            if (m)
                kernel_edge(kernel, kernel_always(), start[j][m - 1], start[j][m],
                            scale * shop[j][2 * m - 1]);
            kernel_edge(kernel, kernel_always(), start[j][m], end,
                        scale * shop[j][2 * m + 1]);
        }
    for (int m = 0; m < MACHINES; m++)
        state_machine(kernel, start, m, scale);
    kernel_minimise(kernel, end);
    return end;
}

/* No two on a machine at once, each job in its order. */
static void check_shop(const struct kernel *kernel, int32_t start[ROWS][MACHINES])
{
    for (int a = 0; a < ROWS * MACHINES; a++)
        for (int b = 0; b < ROWS * MACHINES; b++) {
            const int *one = &shop[a / MACHINES][a % MACHINES * 2];
            const int *two = &shop[b / MACHINES][b % MACHINES * 2];
            int from = kernel_value(kernel, start[a / MACHINES][a % MACHINES]);
            int to = kernel_value(kernel, start[b / MACHINES][b % MACHINES]);
            if (a != b && one[0] == two[0])
                ck_assert(from + one[1] <= to || to + two[1] <= from);
            if (a / MACHINES == b / MACHINES && a < b)
                ck_assert_int_le(from + one[1], to);
        }
}

/* H. Fisher, G. L. Thompson, in Muth and Thompson (editors), Industrial Scheduling,
 * Prentice-Hall 1963, the six by six problem; its optimum of 55 is in every list since.
 */
START_TEST(test_job_shop)
{
    struct arena *arena = arena_new();
    struct kernel *kernel = kernel_new(arena, NULL);
    int32_t start[ROWS][MACHINES], end = state_shop(kernel, start, 1);
    ck_assert_int_eq(kernel_solve(kernel, BUDGET), KERNEL_PROVED);
    ck_assert_int_eq(kernel_value(kernel, end), 55);
    ck_assert_int_eq(kernel_lower(kernel), 55);
    check_shop(kernel, start);
    struct kernel_literal shorter = kernel_at_most(end, 54);
    kernel_assume(kernel, &shorter, 1);
    ck_assert_int_eq(kernel_solve(kernel, BUDGET), KERNEL_INFEASIBLE);
    arena_free(arena);
}
END_TEST

/* On a grid ten times as fine the same, ten times as long. */
START_TEST(test_fine_grid)
{
    struct arena *arena = arena_new();
    struct kernel *kernel = kernel_new(arena, NULL);
    int32_t start[ROWS][MACHINES], end = state_shop(kernel, start, 10);
    ck_assert_int_eq(kernel_solve(kernel, BUDGET), KERNEL_PROVED);
    ck_assert_int_eq(kernel_value(kernel, end), 550);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("kernel_examples");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 100);
    tcase_add_test(all, test_ten_activities);
    tcase_add_test(all, test_fourteen_activities);
    tcase_add_test(all, test_porta_vac);
    tcase_add_test(all, test_projects_from_memory);
    tcase_add_test(all, test_job_shop);
    tcase_add_test(all, test_fine_grid);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
