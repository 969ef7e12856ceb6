/* Who has the line: given on and back, taken by nobody, dropped by a slip, carried into
 * another beginning; and the place that goes with it. */
#include "made_up_case.h"

#include <stdlib.h>

static part_set held_by(const struct case_ *c, int lane)
{
    return rig_holds_lines(&c->rig, &c->state, lane);
}

static bool may_end(const struct case_ *c, const char *name)
{
    return rig_may_end(&c->rig, &c->state) >> step(c, name) & 1;
}

/* p0 from r0 to r1 and on to r2, or back to r0. */
static void given_on(struct case_ *c, bool back)
{
    begin_case(c, 3, 1, "");
    made_up_step(&c->steps, "take", 0, "    tends: p0\n");
    made_up_step(&c->steps, "give", 0, "    hands-over: p0\n");
    made_up_step(&c->steps, "receive", 1, "    takes-over: p0\n    after: [take]\n");
    made_up_step(&c->steps, "give-on", 1, "    hands-over: p0\n");
    made_up_step(&c->steps, "receive-too", back ? 0 : 2,
                 "    takes-over: p0\n    after: [give]\n");
}

static const struct passing {
    bool back;
    int8_t lane_of_role[3];
    int lanes, last; /* who has it in the end */
} passings[] = {
    {false, {0, 1, 2}, 3, 2}, {true, {0, 1, 2}, 3, 0}, {false, {0, 0, 1}, 2, 1},
    {false, {0, 1, 1}, 2, 1}, {true, {0, 0, 1}, 2, 0}, {false, {0, 1, 0}, 2, 0},
};

/* Each giver waits for its own taker and for no other. */
START_TEST(a_line_is_given_on)
{
    const struct passing *p = &passings[_i];
    struct case_ c;
    given_on(&c, p->back);
    load_case(&c, false);
    int8_t lanes[ROLES_MAX] = {0};
    memcpy(lanes, p->lane_of_role, sizeof p->lane_of_role);
    ck_assert(rig_make(&c.rig, c.procedure, lanes, p->lanes, true));
    rig_start(&c.rig, &c.state);
    static const char *const orders[] = {"take", "give", "receive", "give-on",
                                         "receive-too"};
    while (!rig_ended(&c.rig, &c.state)) {
        step_set ends = rig_may_end(&c.rig, &c.state);
        step_set starts = rig_ready(&c.rig, &c.state);
        ck_assert_msg(ends || starts, "it stalls");
        for (int i = 0; i < 5; i++) {
            if (ends >> step(&c, orders[i]) & 1) {
                end(&c, orders[i]);
                break;
            }
            if (starts >> step(&c, orders[i]) & 1) {
                begin(&c, orders[i]);
                break;
            }
        }
        if (c.state.done >> step(&c, "take") & 1)
            ck_assert_int_ge(c.state.tender[0], 0); /* never nobody */
    }
    ck_assert_int_eq(c.state.tender[0], p->last);
    ck_assert_int_eq(c.state.taker[0], -1);
    end_case(&c);
}
END_TEST

START_TEST(the_giver_does_not_wait_for_the_one_after)
{
    struct case_ c;
    given_on(&c, false);
    load_case(&c, false);
    end(&c, "take");
    begin(&c, "give");
    begin(&c, "receive");
    ck_assert(!may_end(&c, "give"));
    end(&c, "receive");
    ck_assert(may_end(&c, "give"));
    end(&c, "give");
    begin(&c, "give-on");
    ck_assert(!may_end(&c, "give-on"));
    end_case(&c);
}
END_TEST

/* A forgotten taking over drops the line, also where the giver takes it back later. */
START_TEST(forgotten_by_the_taker_it_is_dropped)
{
    struct case_ c;
    given_on(&c, true);
    load_case(&c, false);
    end(&c, "take");
    rig_skip(&c.state, step(&c, "receive"));
    begin(&c, "give");
    ck_assert(may_end(&c, "give"));
    end(&c, "give");
    ck_assert_int_eq(c.state.tender[0], -1);
    end_case(&c);
}
END_TEST

static void one_hand_over(struct case_ *c)
{
    begin_case(c, 2, 2, "");
    made_up_step(&c->steps, "take", 0, "    tends: p0\n");
    made_up_step(&c->steps, "give", 0, "    hands-over: p0\n");
    made_up_step(&c->steps, "receive", 1,
                 "    takes-over: {line: p0, none-when: {p1: b}}\n");
    made_up_step(&c->steps, "cleat", 1, "    finish: {p1: b}\n");
}

static const struct taking {
    const char *first, *second; /* more of r0's step and of r1's */
    int role;                   /* who does the second */
    int taken;
} takings[] = {
    {"    tends: p0\n", "    tends: p0\n", 1, 1},
    {"    tends: p0\n", "    tends: p0\n", 0, 0}, /* one's own line */
    {"    tends: p0\n    releases: p0\n", "    tends: p0\n", 1, 0},
    {"    tends: p0\n", "    takes-over: p0\n", 1, 0},
    {"    tends: {line: p0, none-when: {p0: b}}\n    finish: {p0: b}\n",
     "    tends: p0\n", 1, 0}, /* cleated it is in nobody's hand */
    {"    tends: {line: p0, none-when: {p0: b}}\n", "    tends: p0\n", 1, 1},
};

/* Taking a line that somebody holds is no hand-over: it is found, and whoever took it
 * has it. */
START_TEST(a_line_is_taken_out_of_a_hand)
{
    const struct taking *taking = &takings[_i];
    struct case_ c;
    struct findings found = {0};
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "have", 0, taking->first);
    made_up_step(&c.steps, "want", taking->role, taking->second);
    load_case(&c, false);
    end(&c, "have");
    rig_find_start(&c.rig, &c.state, step(&c, "want"), &found);
    ck_assert_int_eq(found.count, taking->taken);
    if (taking->taken) {
        const struct finding one = {FINDING_TAKEN, (uint8_t)step(&c, "want"), 0};
        ck_assert(findings_have(&found, &one));
        begin(&c, "want");
        ck_assert_int_eq(c.state.tender[0], 1);
    }
    end_case(&c);
}
END_TEST

/* Marks are facts in whatever order they come: who took it has it. */
START_TEST(out_of_order_the_taker_has_it)
{
    struct case_ c;
    one_hand_over(&c);
    load_case(&c, false);
    end(&c, "receive"); /* nobody held it */
    ck_assert_int_eq(c.state.tender[0], 1);
    rig_skip(&c.state, step(&c, "take"));
    end(&c, "give");
    ck_assert_int_eq(c.state.tender[0], 1);
    end_case(&c);
    one_hand_over(&c);
    load_case(&c, false);
    end(&c, "take");
    end(&c, "give"); /* let go too early */
    ck_assert_int_eq(c.state.tender[0], -1);
    begin(&c, "receive");
    ck_assert_int_eq(c.state.tender[0], 1);
    end_case(&c);
}
END_TEST

/* What frees the taker's hand does not free the giver's. */
START_TEST(none_when_is_each_ones_own)
{
    struct case_ c;
    one_hand_over(&c);
    load_case(&c, false);
    end(&c, "take");
    begin(&c, "give");
    end(&c, "receive");
    ck_assert_uint_eq(held_by(&c, 0), 1);
    ck_assert_uint_eq(held_by(&c, 1), 1);
    end(&c, "cleat");
    ck_assert_uint_eq(held_by(&c, 0), 1);
    ck_assert_uint_eq(held_by(&c, 1), 0);
    end(&c, "give");
    ck_assert_int_eq(c.state.tender[0], 1);
    ck_assert_uint_eq(held_by(&c, 1), 0);
    end_case(&c);
}
END_TEST

START_TEST(a_release_leaves_it_with_the_taker)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "take", 0, "    tends: p0\n");
    made_up_step(&c.steps, "let-go", 0, "    releases: p0\n");
    made_up_step(&c.steps, "receive", 1, "    takes-over: p0\n");
    made_up_step(&c.steps, "drop", 1, "    releases: p0\n");
    load_case(&c, false);
    end(&c, "take");
    end(&c, "receive");
    end(&c, "let-go");
    ck_assert_int_eq(c.state.tender[0], 1);
    end_case(&c);
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "take", 0, "    tends: p0\n");
    made_up_step(&c.steps, "receive", 1, "    takes-over: p0\n");
    made_up_step(&c.steps, "drop", 1, "    releases: p0\n");
    load_case(&c, false);
    end(&c, "take");
    end(&c, "receive");
    end(&c, "drop"); /* the giver has never let go */
    ck_assert_int_eq(c.state.tender[0], 0);
    ck_assert_int_eq(c.state.taker[0], -1);
    end_case(&c);
}
END_TEST

/* Begun again in the middle of a hand-over, by the same roles on other lanes. */
START_TEST(begun_again_in_the_middle_of_it)
{
    struct case_ c;
    one_hand_over(&c);
    load_case(&c, false);
    end(&c, "take");
    begin(&c, "give");
    end(&c, "receive");
    int8_t swapped[ROLES_MAX] = {1, 0};
    struct rig again;
    struct rig_state state;
    ck_assert(rig_make(&again, c.procedure, swapped, 2, true));
    rig_start_from(&again, &c.state);
    rig_start(&again, &state);
    ck_assert_int_eq(state.tender[0], 1);
    ck_assert_int_eq(state.taker[0], 0);
    rig_end(&again, &state, step(&c, "give"));
    ck_assert_int_eq(state.tender[0], 0);
    /* the taker is lost and begins once more: the giver has it still */
    struct rig_state lost = c.state;
    lost.begun &= ~((step_set)1 << step(&c, "receive"));
    lost.done &= lost.begun;
    rig_start_from(&again, &lost);
    rig_start(&again, &state);
    ck_assert_int_eq(state.tender[0], 1);
    ck_assert_int_eq(state.taker[0], -1);
    /* one hand now wears both roles */
    int8_t merged[ROLES_MAX] = {0};
    ck_assert(rig_make(&again, c.procedure, merged, 1, true));
    rig_start_from(&again, &c.state);
    rig_start(&again, &state);
    ck_assert_int_eq(state.tender[0], 0);
    ck_assert_int_eq(state.taker[0], -1);
    rig_end(&again, &state, step(&c, "give"));
    ck_assert_int_eq(state.tender[0], 0);
    end_case(&c);
}
END_TEST

/* The first of a joint step's roles holds the line, whatever lanes they are on. */
START_TEST(a_joint_step_tends_with_its_first_role)
{
    struct case_ c;
    begin_case(&c, 3, 1, "");
    made_up_step(&c.steps, "alone", 0, "");
    text_add(&c.steps, "  - step: together\n    roles: [r1, r2]\n    at: here\n"
                       "    do: Do it.\n    takes: [1 s, 2 s, 3 s]\n    tends: p0\n");
    load_case(&c, false);
    int8_t lanes[ROLES_MAX] = {0, 1, 0};
    ck_assert(rig_make(&c.rig, c.procedure, lanes, 2, true));
    rig_start(&c.rig, &c.state);
    end(&c, "together");
    ck_assert_int_eq(c.state.tender[0], 1);
    struct rig_state before = c.state;
    rig_start_from(&c.rig, &before);
    rig_start(&c.rig, &c.state);
    ck_assert_int_eq(c.state.tender[0], 1);
    end_case(&c);
}
END_TEST

/* Cleated, it frees the place as well as the hand. */
START_TEST(the_place_goes_with_the_line)
{
    static const struct {
        const char *tends;
        int away;
    } cases[] = {{"p0", 1},
                 {"{line: p0, none-when: {p1: a}}", 0},
                 {"{line: p0, none-when: {p1: b}}", 1}};
    struct case_ c;
    begin_case(&c, 1, 2, "");
    text_printf(&c.steps,
                "  - step: take\n    role: r0\n    at: here\n    do: Do it.\n"
                "    takes: [1 s, 2 s, 3 s]\n    tends: %s\n"
                "  - step: away\n    role: r0\n    at: there\n    do: Do it.\n"
                "    takes: [1 s, 2 s, 3 s]\n",
                cases[_i].tends);
    load_case(&c, false);
    end(&c, "take");
    begin(&c, "away");
    ck_assert_int_eq(count_kind(&c, FINDING_PLACE), cases[_i].away);
    end_case(&c);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tending");
    TCase *tests = tcase_create("tending");
    tcase_add_loop_test(tests, a_line_is_given_on, 0,
                        (int)(sizeof passings / sizeof passings[0]));
    tcase_add_test(tests, the_giver_does_not_wait_for_the_one_after);
    tcase_add_test(tests, forgotten_by_the_taker_it_is_dropped);
    tcase_add_loop_test(tests, a_line_is_taken_out_of_a_hand, 0,
                        (int)(sizeof takings / sizeof takings[0]));
    tcase_add_test(tests, out_of_order_the_taker_has_it);
    tcase_add_test(tests, none_when_is_each_ones_own);
    tcase_add_test(tests, a_release_leaves_it_with_the_taker);
    tcase_add_test(tests, begun_again_in_the_middle_of_it);
    tcase_add_test(tests, a_joint_step_tends_with_its_first_role);
    tcase_add_loop_test(tests, the_place_goes_with_the_line, 0, 3);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
