/* What a hand can hold: nobody is given a role in which more is left to hold, nor pinned
 * to it; and where nobody can, that is said with the force. */
#include "shipped.h"

static struct procedure with_hold(const struct procedure *procedure, const char *role,
                                  double newtons)
{
    struct procedure copy = *procedure;
    copy.holds_n[rig_plan_role(procedure->plan, role)] = newtons;
    return copy;
}

/* All hands hold as much; but WHO (NULL: nobody) holds WEAK_N. */
static const struct crew *holding(const struct crew *crew, double newtons,
                                  const char *who, double weak_n, struct arena *arena)
{
    struct crew *copy = arena_alloc(arena, sizeof *copy);
    struct hand *hands = arena_alloc(arena, crew->hand_count * sizeof *hands);
    *copy = *crew;
    copy->hands = hands;
    for (int h = 0; h < crew->hand_count; h++) {
        hands[h] = crew->hands[h];
        hands[h].holds_n = who && strcmp(hands[h].name, who) == 0 ? weak_n : newtons;
    }
    return copy;
}

static int hand_of(const struct bill *bill, const struct procedure *procedure,
                   const char *role)
{
    for (int lane = 0; lane < bill->lane_count; lane++)
        if (bill->wears[lane] >> rig_plan_role(procedure->plan, role) & 1)
            return bill->hand[lane];
    return -1;
}

START_TEST(test_too_weak)
{
    struct arena *arena = arena_new();
    const struct procedure *written =
        shipped_named(shipped_library(arena), "dip-pole-jibe", BOARD_PORT, arena);
    const struct procedure loaded = with_hold(written, "guy", 200);
    const struct crew *strong =
        holding(shipped_crew("crew", NULL, arena), 250, NULL, 0, arena);
    struct bill_wish wish;
    struct bill bill;
    struct bill_why why;
    bill_wish_start(&wish);
    ck_assert_int_eq(bill_make(&loaded, strong, &wish, &bill, &why), BILL_FOUND);
    const char *guy = strong->hands[hand_of(&bill, &loaded, "guy")].name;

    /* the best one cannot: somebody else is given it */
    const struct crew *weak = holding(strong, 250, guy, 150, arena);
    ck_assert_int_eq(bill_make(&loaded, weak, &wish, &bill, &why), BILL_FOUND);
    ck_assert_str_ne(weak->hands[hand_of(&bill, &loaded, "guy")].name, guy);
    ck_assert(bill_holds(&bill, &loaded, weak, &wish));
    ck_assert_int_eq(bill_make(written, weak, &wish, &bill, &why), BILL_FOUND);
    ck_assert_str_eq(weak->hands[hand_of(&bill, written, "guy")].name, guy);
    ck_assert(!bill_holds(&bill, &loaded, weak, &wish));

    /* nor when pinned */
    for (int h = 0; h < weak->hand_count; h++)
        if (strcmp(weak->hands[h].name, guy) == 0)
            wish.hand_of_role[rig_plan_role(loaded.plan, "guy")] = (int8_t)h;
    ck_assert_int_eq(bill_make(&loaded, weak, &wish, &bill, &why), BILL_NONE);
    ck_assert_uint_eq(why.too_weak, 1u << rig_plan_role(loaded.plan, "guy"));
    arena_free(arena);
}
END_TEST

START_TEST(test_nobody_holds)
{
    struct arena *arena = arena_new();
    const struct procedure *written =
        shipped_named(shipped_library(arena), "dip-pole-jibe", BOARD_PORT, arena);
    const struct procedure loaded = with_hold(written, "sheet", 412);
    const struct crew *crew =
        holding(shipped_crew("crew", NULL, arena), 250, NULL, 0, arena);
    struct bill_wish wish;
    struct bill bill;
    struct bill_why why;
    struct text words = {0};
    bill_wish_start(&wish);
    ck_assert_int_eq(bill_make(&loaded, crew, &wish, &bill, &why), BILL_NONE);
    ck_assert_uint_eq(why.nobody, 0);
    bill_explain(BILL_NONE, &why, &loaded, UNITS_METRIC, &words);
    ck_assert_ptr_nonnull(strstr(words.at, "Sheet (412 N)"));
    text_free(&words);

    /* who does not say how much is not held against it */
    crew = holding(crew, 0, NULL, 0, arena);
    ck_assert_int_eq(bill_make(&loaded, crew, &wish, &bill, &why), BILL_FOUND);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill, holds");
    TCase *tests = tcase_create("holds");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, test_too_weak);
    tcase_add_test(tests, test_nobody_holds);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
