/* Whoever waits for a bill: the search goes on in slices, says how far it is, and gives
 * the best so far when it is told to; left alone it finds what it finds in one go. */
#include "made_up.h"
#include "made_up_random.h"
#include "shipped.h"

#include "bill/bill.h"

/* Asked so often, and content after STOP_AT times. */
struct waiter {
    int asked, stop_at;
    struct bill_progress last;
    bool goes_back; /* fewer dead ends than before, or a longer bill */
};

static bool stop(void *payload, const struct bill_progress *progress)
{
    struct waiter *waiter = payload;
    waiter->goes_back |= progress->conflicts < waiter->last.conflicts ||
                         (waiter->last.found_ms && progress->found_ms &&
                          progress->found_ms > waiter->last.found_ms);
    waiter->last = *progress;
    return ++waiter->asked >= waiter->stop_at;
}

/* Eight roles of five steps each, all at two places, for four hands: far more orders than
 * a proof goes through in a moment. */
static const struct procedure *much_to_do(struct arena *arena, unsigned seed)
{
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, 8, 1, "");
    made_up_head(&steps, 1);
    text_add(&steps, "goal: {p0: a}\nsteps:\n");
    for (int s = 0; s < 40; s++) {
        text_printf(&steps,
                    "  - step: s%d\n    role: r%d\n    at: %s\n    do: Do it.\n"
                    "    takes: [1 s, %d s, 9 s]\n",
                    s, one_of(&seed, 8), one_of(&seed, 2) ? "here" : "there",
                    1 + one_of(&seed, 8));
        if (s > 4)
            text_printf(&steps, "    after: [s%d]\n", s - 1 - one_of(&seed, 5));
    }
    const struct procedure *procedure = made_up_load(&rig, &steps, arena);
    text_free(&rig);
    text_free(&steps);
    return procedure;
}

static const struct crew *four_hands(struct arena *arena)
{
    struct crew *crew = arena_alloc(arena, sizeof *crew);
    struct hand *hands = arena_alloc(arena, 4 * sizeof *hands);
    struct knows *knows = arena_alloc(arena, 8 * sizeof *knows);
    for (int r = 0; r < 8; r++)
        knows[r] =
            (struct knows){.role = arena_printf(arena, "r%d", r), .grade = GRADE_SURE};
    for (int h = 0; h < 4; h++)
        hands[h] = (struct hand){.name = arena_printf(arena, "Hand %d", h),
                                 .knows = knows,
                                 .knows_count = 8,
                                 .aboard = true,
                                 .pace_m_s = 1,
                                 .limits = ""};
    *crew = (struct crew){.name = "Four", .hands = hands, .hand_count = 4};
    return crew;
}

START_TEST(test_stopped)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure = much_to_do(arena, 24);
    const struct crew *crew = four_hands(arena);
    struct bill_wish wish;
    struct bill soon, late;
    struct waiter waiter = {.stop_at = 1};
    const struct bill_patience patience = {stop, &waiter};
    bill_wish_start(&wish);
    wish.patience = &patience;
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &soon), BILL_FOUND);
    ck_assert(!soon.proved && soon.least_ms <= soon.total_ms);
    ck_assert_int_eq(waiter.asked, 1);
    ck_assert_uint_gt(waiter.last.conflicts, 0);
    ck_assert(!waiter.goes_back);
    ck_assert(bill_holds(&soon, procedure, crew, &wish));
    waiter = (struct waiter){.stop_at = 8};
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &late), BILL_FOUND);
    ck_assert_int_le(late.total_ms, soon.total_ms);
    ck_assert_int_ge(late.least_ms, soon.least_ms);
    ck_assert(!waiter.goes_back);
    arena_free(arena);
}
END_TEST

/* Who never has enough gets what nobody waiting gets. */
START_TEST(test_same_in_slices)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_load(shipped_library(arena), _i, BOARD_STARBOARD, NULL, 0, arena);
    const struct crew *crew = shipped_crew("crew", NULL, arena);
    struct bill_wish wish;
    static struct bill one, other;
    struct text texts[2] = {{0}, {0}};
    struct waiter waiter = {.stop_at = INT32_MAX};
    const struct bill_patience patience = {stop, &waiter};
    bill_wish_start(&wish);
    wish.pilot = procedure->pilot_needed;
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &one), BILL_FOUND);
    wish.patience = &patience;
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &other), BILL_FOUND);
    bill_write(&one, procedure, crew, &texts[0]);
    bill_write(&other, procedure, crew, &texts[1]);
    ck_assert_str_eq(texts[0].at, texts[1].at);
    ck_assert_uint_eq(one.settled, other.settled);
    text_free(&texts[0]);
    text_free(&texts[1]);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill, patience");
    TCase *tests = tcase_create("patience");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, test_stopped);
    tcase_add_loop_test(tests, test_same_in_slices, 0, SHIPPED_COUNT);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
