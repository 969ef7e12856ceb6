/* When to call: the figures by hand, what is refused, and how long a bill takes when each
 * step takes as long as it happens to. */
#include "made_up.h"
#include "shipped.h"

#include "bill/bill_spread.h"
#include "bill/way_back.h"
#include "forces/call.h"

#include <math.h>

static struct call_now usual_now(void)
{
    return (struct call_now){.distance_m = 600,
                             .speed_kn = 6,
                             .length_m = 10,
                             .nine_s = 40,
                             .slow_s = 60,
                             .recovery_s = 50,
                             .margin_s = 5,
                             .stand_by_s = 10};
}

static void check_near(double value, double wanted, double within)
{
    ck_assert_msg(fabs(value - wanted) <= within, "%g, not %g", value, wanted);
}

/* 6 kn are 6 * 1852 / 3600 = 3.0867 m/s. */
START_TEST(test_by_hand)
{
    struct call_now now = usual_now();
    struct call_plan plan;
    ck_assert(call_make(&now, &plan));
    check_near(plan.ground_m_s, 3.08667, 1e-5);
    check_near(plan.there_s, 194.38, 0.01);
    check_near(plan.go.before_s, 45, 1e-9);
    check_near(plan.go.before_m, 138.9, 1e-9);
    check_near(plan.go.lengths, 13.89, 1e-9);
    check_near(plan.go.from_now_s, 149.38, 0.01);
    check_near(plan.stand_by.before_s, 55, 1e-9);
    check_near(plan.last_safe.before_s, 95, 1e-9);
    check_near(plan.sea_room_m, 95 * 3.08667 + 50, 0.01);
    now.is_hazard = true;
    ck_assert(call_make(&now, &plan));
    check_near(plan.go.before_s, 95, 1e-9);
    check_near(plan.stand_by.before_s, 105, 1e-9);
    now.current_kn = 2; /* with her: 8 kn over the ground */
    ck_assert(call_make(&now, &plan));
    check_near(plan.ground_m_s, 4.11556, 1e-5);
    check_near(plan.go.before_m, 95 * 4.11556, 0.01);
}
END_TEST

/* Seconds a boat length and sea room as reckoned in the trade (common practice): 10 m at
 * 6, 7 and 8 kn 3.2, 2.8 and 2.4 s, 12 m at 8 kn 2.9 s; a takedown of 294 s at 6 kn takes
 * twice 0.9 km, about one nautical mile. */
START_TEST(test_common_practice)
{
    static const struct {
        double length_m, speed_kn, seconds;
    } lengths[] = {{10, 6, 3.2}, {10, 7, 2.8}, {10, 8, 2.4}, {12, 8, 2.9}};
    struct call_now now = usual_now();
    struct call_plan plan;
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        now.length_m = lengths[i].length_m;
        now.speed_kn = lengths[i].speed_kn;
        ck_assert(call_make(&now, &plan));
        check_near(plan.go.before_s / plan.go.lengths, lengths[i].seconds, 0.05);
    }
    now = usual_now();
    now.slow_s = 294;
    ck_assert(call_make(&now, &plan));
    check_near((plan.twice_slow_m - 50) / 1852, 1.0, 0.05);
}
END_TEST

START_TEST(test_refused)
{
    static const double wrong[] = {NAN, INFINITY, -INFINITY, -1e9, 1e9};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        for (int field = 0; field < 9; field++) {
            struct call_now now = usual_now();
            struct call_plan plan;
            double *const fields[] = {&now.distance_m, &now.speed_kn, &now.current_kn,
                                      &now.length_m,   &now.nine_s,   &now.slow_s,
                                      &now.recovery_s, &now.margin_s, &now.stand_by_s};
            *fields[field] = wrong[i];
            ck_assert_msg(!call_make(&now, &plan), "field %d, %g", field, wrong[i]);
        }
    struct call_now now = usual_now();
    struct call_plan plan;
    now.current_kn = -6; /* it is never reached */
    ck_assert(!call_make(&now, &plan));
}
END_TEST

/* ---- how long it takes ---- */

struct timed {
    struct arena *arena;
    const struct procedure *procedure;
    struct crew crew;
    struct hand hands[10];
    struct knows knows[10];
    struct bill_wish wish;
    struct bill bill;
};

/* As many hands as roles, each sure of all. */
static void bill_for(struct timed *t, const struct text *rig, const struct text *steps,
                     int roles)
{
    t->procedure = made_up_load(rig, steps, t->arena);
    for (int r = 0; r < roles; r++)
        t->knows[r] =
            (struct knows){.role = arena_printf(t->arena, "r%d", r), .grade = GRADE_SURE};
    for (int h = 0; h < roles; h++)
        t->hands[h] = (struct hand){.name = arena_printf(t->arena, "Hand %d", h),
                                    .knows = t->knows,
                                    .knows_count = (uint8_t)roles,
                                    .aboard = true,
                                    .pace_m_s = 1,
                                    .limits = ""};
    t->crew =
        (struct crew){.name = "Made up", .hands = t->hands, .hand_count = (uint8_t)roles};
    bill_wish_start(&t->wish);
    ck_assert_int_eq(bill_try(t->procedure, &t->crew, &t->wish, &t->bill), BILL_FOUND);
}

/* The share of a beta(3, 3) distribution below X: its density is 30 x^2 (1 - x)^2. */
static double beta_3_3(double x)
{
    return x * x * x * (10 - 15 * x + 6 * x * x);
}

/* One step of 2, 4 and 6 s: by the symmetric beta distribution half of all take 4 s, and
 * nine in ten no more than where its share is 0.9. */
START_TEST(test_one_step)
{
    struct timed t = {.arena = arena_new()};
    struct text rig = {0}, steps = {0};
    struct bill_spread spread, again;
    made_up_rig(&rig, 1, 1, "");
    made_up_head(&steps, 1);
    text_add(&steps, "goal: {p0: a}\nsteps:\n  - step: one\n    role: r0\n    at: here\n"
                     "    do: Do it.\n    takes: [2 s, 4 s, 6 s]\n");
    bill_for(&t, &rig, &steps, 1);
    ck_assert(bill_find_spread(&t.bill, t.procedure, &t.crew, &t.wish, 4000, 7, &spread));
    ck_assert_int_eq(spread.plays, 4000);
    ck_assert_int_eq(spread.slow_ms, 6000);
    check_near(beta_3_3((spread.median_ms / 1000.0 - 2) / 4), 0.5, 0.03);
    check_near(beta_3_3((spread.nine_ms / 1000.0 - 2) / 4), 0.9, 0.03);
    ck_assert(bill_find_spread(&t.bill, t.procedure, &t.crew, &t.wish, 4000, 7, &again));
    ck_assert_int_eq(spread.nine_ms, again.nine_ms);
    text_free(&rig);
    text_free(&steps);
    arena_free(t.arena);
}
END_TEST

/* The Porta-Vac project of Anderson, Sweeney, Williams and others, An Introduction to
 * Management Science, chapter 9 (weeks taken for seconds): expected length 17, variance
 * of its critical path 2.7222, so that by PERT nine in ten take no more than 17 + 1.2816
 * * 1.65 = 19.1.  Played, other paths may become the longest, and a beta distribution is
 * a little wider than a sixth of its range. */
START_TEST(test_porta_vac)
{
    static const struct {
        const char *name, *after, *takes;
    } project[] = {{"a", "", "4 s, 5 s, 12 s"},     {"b", "", "1 s, 1.5 s, 5 s"},
                   {"c", "a", "2 s, 3 s, 4 s"},     {"d", "a", "3 s, 4 s, 11 s"},
                   {"e", "a", "2 s, 3 s, 4 s"},     {"f", "c", "1.5 s, 2 s, 2.5 s"},
                   {"g", "d", "1.5 s, 3 s, 4.5 s"}, {"h", "b, e", "2.5 s, 3.5 s, 7.5 s"},
                   {"i", "h", "1.5 s, 2 s, 2.5 s"}, {"j", "f, g, i", "1 s, 2 s, 3 s"}};
    struct timed t = {.arena = arena_new()};
    struct text rig = {0}, steps = {0};
    struct bill_spread spread;
    made_up_rig(&rig, 10, 1, "");
    made_up_head(&steps, 1);
    text_add(&steps, "goal: {p0: a}\nsteps:\n");
    for (int i = 0; i < 10; i++)
        text_printf(&steps,
                    "  - step: %s\n    role: r%d\n    at: here\n    do: Do it.\n"
                    "    takes: [%s]\n    after: [%s]\n",
                    project[i].name, i, project[i].takes, project[i].after);
    bill_for(&t, &rig, &steps, 10);
    ck_assert(bill_find_spread(&t.bill, t.procedure, &t.crew, &t.wish, 4000, 3, &spread));
    check_near(spread.median_ms / 1000.0, 17, 0.5);
    check_near(spread.nine_ms / 1000.0, 19.1, 0.6);
    text_free(&rig);
    text_free(&steps);
    arena_free(t.arena);
}
END_TEST

/* Of the shipped ones: the shares are in order, and the way back, where there is one, is
 * a recovery of the same rig with a time. */
START_TEST(test_shipped)
{
    struct arena *arena = arena_new();
    const struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_load(library, _i, BOARD_STARBOARD, NULL, 0, arena);
    const struct crew *crew = shipped_crew("crew", NULL, arena);
    struct bill_wish wish;
    struct bill bill;
    struct bill_spread spread;
    struct way_back back;
    bill_wish_start(&wish);
    wish.pilot = procedure->pilot_needed;
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &bill), BILL_FOUND);
    ck_assert(bill_find_spread(&bill, procedure, crew, &wish, 200, 1, &spread));
    ck_assert_int_eq(spread.plays, 200); /* whatever is slow, it comes to its end */
    ck_assert_int_le(spread.median_ms, spread.nine_ms);
    ck_assert_int_le(spread.nine_ms, spread.slow_ms);
    bill_find_way_back(library, &bill, procedure, crew, &wish, "person-overboard", arena,
                       &back);
    ck_assert(!back.procedure == (back.mishap < 0));
    if (back.procedure) {
        ck_assert_int_eq(back.procedure->family, FAMILY_RECOVERY);
        ck_assert_str_eq(back.procedure->plan->name, procedure->plan->name);
        ck_assert_int_gt(back.spread.nine_ms, 0);
    }
    arena_free(arena);
}
END_TEST

/* In a dip-pole jibe the kite can wrap, and these hands know what to do. */
START_TEST(test_way_back_of_the_jibe)
{
    struct arena *arena = arena_new();
    const struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, "dip-pole-jibe", BOARD_STARBOARD, arena);
    const struct crew *crew = shipped_crew("crew", NULL, arena);
    struct bill_wish wish;
    struct bill bill;
    struct way_back all, without;
    bill_wish_start(&wish);
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &bill), BILL_FOUND);
    bill_find_way_back(library, &bill, procedure, crew, &wish, NULL, arena, &all);
    ck_assert(all.procedure != NULL);
    ck_assert_int_gt(all.mishap_count, 1);
    const char *name = procedure->plan->mishaps[all.mishap].name;
    bill_find_way_back(library, &bill, procedure, crew, &wish, name, arena, &without);
    /* those whose names begin so are left out with it */
    ck_assert_int_lt(without.mishap_count, all.mishap_count);
    ck_assert_int_ge(without.mishap, 0);
    ck_assert(
        strncmp(procedure->plan->mishaps[without.mishap].name, name, strlen(name)) != 0);
    ck_assert_int_le(without.spread.nine_ms, all.spread.nine_ms);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("call");
    TCase *tests = tcase_create("call");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, test_by_hand);
    tcase_add_test(tests, test_common_practice);
    tcase_add_test(tests, test_refused);
    tcase_add_test(tests, test_one_step);
    tcase_add_test(tests, test_porta_vac);
    tcase_add_loop_test(tests, test_shipped, 0, SHIPPED_COUNT);
    tcase_add_test(tests, test_way_back_of_the_jibe);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
