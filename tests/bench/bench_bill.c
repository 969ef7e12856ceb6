/* Measures how long a bill takes: every shipped procedure with two to ten hands of each
 * demo crew, who come twice where it has fewer; once with each role in one hand, once
 * with each step on its own.  Prints each case that was not settled, then median and
 * worst.  Nothing is asserted about time; it is a Check program for the
 * sake of the loaders it uses.
 *
 *   bench_bill [-v]    -v prints every case */
#include "../unit/shipped.h"
#include "bill/bill_each.h"

#include <time.h>

enum { CASES_MAX = 4096, ABOARD_MAX = 10 };

struct figures {
    bool is_wordy;
    double ms[CASES_MAX];
    int count, proved, none, unsettled;
    int settled[4]; /* of those proved, by place of the claim in enum bill_claim */
};

static struct figures figures;

static double now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1000 + (double)now.tv_nsec / 1e6;
}

static void measure(const struct procedure *procedure, const struct crew *crew,
                    int aboard)
{
    struct bill bill;
    struct bill_wish wish;
    bill_wish_start(&wish);
    wish.pilot = procedure->pilot_needed;
    double start_ms = now_ms();
    enum bill_verdict verdict = bill_try(procedure, crew, &wish, &bill);
    double ms = now_ms() - start_ms;
    bool proved = verdict == BILL_FOUND && bill.proved;
    figures.proved += proved;
    for (int claim = 0; claim < 4; claim++)
        figures.settled[claim] += proved && bill.settled >> claim & 1;
    figures.none += verdict == BILL_NONE;
    figures.unsettled += !proved && verdict != BILL_NONE;
    if (figures.count < CASES_MAX)
        figures.ms[figures.count++] = ms;
    if (figures.is_wordy || (!proved && verdict != BILL_NONE))
        printf("%-28s %-10s %2d hands  %-10s %8.2f ms\n", procedure->name, crew->name,
               aboard,
               proved                  ? "proved"
               : verdict == BILL_NONE  ? "impossible"
               : verdict == BILL_FOUND ? "found"
                                       : "undecided",
               ms);
}

/* The first 2, 3, ... hands of CREW, and then again from the first. */
static void measure_crew(const struct procedure *procedure, const struct crew *crew,
                         struct arena *arena)
{
    struct crew some = *crew;
    struct hand *hands = arena_alloc(arena, ABOARD_MAX * sizeof *hands);
    some.hands = hands;
    for (int h = 0; h < ABOARD_MAX; h++) {
        hands[h] = crew->hands[h % crew->hand_count];
        hands[h].aboard = true;
    }
    for (int n = 2; n <= ABOARD_MAX; n++) {
        some.hand_count = (uint8_t)n;
        measure(procedure, &some, n);
    }
}

static int by_size(const void *a, const void *b)
{
    double one = *(const double *)a, other = *(const double *)b;
    return one < other ? -1 : one > other;
}

static void print_figures(const char *what)
{
    qsort(figures.ms, (size_t)figures.count, sizeof figures.ms[0], by_size);
    printf("%s: %d bills: %d proved shortest, %d proved impossible, %d not settled; "
           "median %.2f ms, worst %.2f ms\n",
           what, figures.count, figures.proved, figures.none, figures.unsettled,
           figures.ms[figures.count / 2], figures.ms[figures.count - 1]);
    printf(
        "    proved besides: fewest changes %d, best known %d, least busy %d, least way "
        "%d\n",
        figures.settled[0], figures.settled[1], figures.settled[2], figures.settled[3]);
}

static void measure_all(const struct library *library, bool each_step,
                        struct arena *arena)
{
    static const char *const crews[] = {"crew", "pair", "dinghy"};
    figures = (struct figures){.is_wordy = figures.is_wordy};
    for (int i = 0; i < library->procedure_count; i++) {
        const struct procedure *procedure =
            shipped_load(library, i, BOARD_STARBOARD, NULL, 0, arena);
        if (each_step)
            procedure = bill_share_out(procedure, arena);
        for (size_t c = 0; c < sizeof crews / sizeof crews[0]; c++)
            measure_crew(procedure, shipped_crew(crews[c], NULL, arena), arena);
    }
    print_figures(each_step ? "each step" : "roles");
}

START_TEST(bench)
{
    struct arena *arena = arena_new();
    const struct library *library = shipped_library(arena);
    measure_all(library, false, arena);
    measure_all(library, true, arena);
    arena_free(arena);
}
END_TEST

int main(int count, char **words)
{
    figures.is_wordy = count > 1 && strcmp(words[1], "-v") == 0;
    Suite *suite = suite_create("bench");
    TCase *tests = tcase_create("bill");
    tcase_set_timeout(tests, 0);
    tcase_add_test(tests, bench);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_SILENT);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
