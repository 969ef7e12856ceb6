/* Races: listed where chance decides, and only there.  Made-up steps. */
#include "made_up.h"

#include "vet/races.h"

#include <stdlib.h>

/* Three roles, a step each: `first` and `second` of the texts, then `third` that waits.
 */
static void race(const char *first, const char *second, const char *third,
                 struct races *out)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, 3, 2, "");
    made_up_head(&steps, 2);
    text_add(&steps, "goal: {p1: a}\nsteps:\n");
    made_up_step(&steps, "first", 0, first);
    made_up_step(&steps, "second", 1, second);
    made_up_step(&steps, "third", 2, third);
    struct rig *made = arena_alloc(arena, sizeof *made);
    ck_assert(vet_rig_of_roles(made_up_load(&rig, &steps, arena), true, made));
    ck_assert(vet_races(made, out));
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
}

static const char *const none = "";

START_TEST(test_two_values)
{
    struct races races;
    race("    start: {p0: b}\n", "    finish: {p0: c}\n", none, &races);
    ck_assert_int_eq(races.count, 1);
    ck_assert_int_eq(races.at[0].kind, RACE_VALUE);
    ck_assert_int_eq(races.at[0].part, 0);
    ck_assert_int_eq(races.at[0].event.step + races.at[0].other.step, 1);
    race("    start: {p0: b}\n", "    finish: {p0: b}\n", none, &races);
    ck_assert_int_eq(races.count, 0); /* the same value whoever is the later */
    race("    start: {p0: b}\n", "    finish: {p0: c}\n    after: [first]\n", none,
         &races);
    ck_assert_int_eq(races.count, 0);
    race("    start: {p0: b}\n", "    finish: {p0: c}\n    wait: {p0: b}\n", none,
         &races);
    ck_assert_int_eq(races.count, 0); /* a wait sets them apart as an arrow does */
}
END_TEST

START_TEST(test_a_chance_that_closes)
{
    struct races races;
    race("    finish: {p0: b}\n", "    start: {p0: c}\n    after: [first]\n",
         "    wait: {p0: b}\n", &races);
    ck_assert_int_eq(races.count, 1);
    ck_assert_int_eq(races.at[0].kind, RACE_CHANCE);
    ck_assert_int_eq(races.at[0].event.step, 1);
    ck_assert_int_eq(races.at[0].other.step, 2);
    ck_assert(!races.at[0].event.finish && !races.at[0].other.finish);
    race("    finish: {p0: b}\n", "    start: {p0: c}\n    after: [first, third]\n",
         "    wait: {p0: b}\n", &races);
    ck_assert_int_eq(races.count, 0);
    race("    finish: {p0: b}\n", "    start: {p0: c}\n    after: [first]\n",
         "    wait: {p0: [b, c]}\n", &races);
    ck_assert_int_eq(races.count, 0); /* the chance stays */
    race("    finish: {p0: b}\n",
         "    start: {p0: c}\n    finish: {p0: b}\n    after: [first]\n",
         "    wait: {p0: b}\n", &races);
    ck_assert_int_eq(races.count, 0); /* it comes again */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("races");
    TCase *listed = tcase_create("listed");
    tcase_add_test(listed, test_two_values);
    tcase_add_test(listed, test_a_chance_that_closes);
    suite_add_tcase(suite, listed);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
