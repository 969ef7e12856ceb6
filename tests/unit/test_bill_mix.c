/* Shortest bills of procedures of every kind, orderly and wild, from the begin and from
 * the middle, held against every way; fewer hands than aboard and hands told what they
 * wear among them. */
#include "every_way.h"
#include "made_up_random.h"
#include "mid_run.h"
#include "mix_crew.h"

enum { ROUNDS = 40, GROUPS = 8 };

/* Now and then a hand is told its role, and fewer hands may be used than are aboard. */
static void wish_for(struct every *e, unsigned *seed)
{
    e->wish.pilot = e->procedure->pilot_needed || one_of(seed, 2);
    e->wish.hands_most = one_of(seed, 5) ? 0 : 2;
    for (int role = 0; role < e->procedure->plan->role_count; role++)
        if (one_of(seed, 10) == 0)
            e->wish.hand_of_role[role] = (int8_t)one_of(seed, e->crew->hand_count);
}

static void hold_mix(enum mix_flavour flavour, unsigned seed, bool midway,
                     struct counted *counted)
{
    struct mix mix;
    struct every e;
    struct rig_state state;
    unsigned own = seed * 7919u + 1;
    mix_new(&mix, flavour, seed);
    every_start(&e, 3000);
    e.procedure = mix.procedure;
    e.crew = random_crew(mix.arena, &own, e.procedure->plan->role_count);
    give_paces(e.crew, &own);
    wish_for(&e, &own);
    if (midway && mid_run_walk(e.procedure, e.wish.pilot, &own, &state))
        e.wish.start = &state;
    hold_against_every_way(&e, mix.steps.at, seed, counted);
    mix_free(&mix);
}

static void hold_group(enum mix_flavour flavour, int group, bool midway,
                       struct counted *counted)
{
    for (unsigned round = 0; round < ROUNDS; round++)
        hold_mix(flavour, round * GROUPS + (unsigned)group, midway, counted);
}

START_TEST(test_orderly)
{
    struct counted counted = {0};
    hold_group(MIX_ORDERLY, _i, false, &counted);
    ck_assert_int_gt(counted.found, 3);
}
END_TEST

START_TEST(test_wild)
{
    struct counted counted = {0};
    hold_group(MIX_WILD, _i, false, &counted);
    ck_assert_int_gt(counted.none, 5);
}
END_TEST

START_TEST(test_midway)
{
    struct counted counted = {0};
    hold_group(MIX_ORDERLY, _i, true, &counted);
    hold_group(MIX_WILD, _i, true, &counted);
    ck_assert_int_gt(counted.found, 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill, every kind of procedure");
    TCase *tests = tcase_create("every way");
    tcase_set_timeout(tests, 240);
    tcase_add_loop_test(tests, test_orderly, 0, GROUPS);
    tcase_add_loop_test(tests, test_wild, 0, GROUPS);
    tcase_add_loop_test(tests, test_midway, 0, GROUPS);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
