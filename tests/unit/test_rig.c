/* The meaning of a step: every sentence of it on a small procedure. */
#include "made_up_case.h"

#include <stdlib.h>

START_TEST(start_and_finish_are_two_events)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "move", 0, "    start: {p0: b}\n    finish: {p0: c}\n");
    made_up_step(&c.steps, "beside", 1, "");
    load_case(&c, false);
    ck_assert_int_eq(part(&c, 0), 'a');
    begin(&c, "move");
    ck_assert_int_eq(part(&c, 0), 'b');
    ck_assert(ready(&c, "beside")); /* steps of different hands overlap freely */
    begin(&c, "beside");
    ck_assert_uint_eq(rig_running(&c.state), 3);
    end(&c, "move");
    ck_assert_int_eq(part(&c, 0), 'c');
    end(&c, "beside");
    ck_assert(rig_ended(&c.rig, &c.state));
    ck_assert_uint_eq(rig_short_of_goal(&c.rig, &c.state), 1);
    end_case(&c);
}
END_TEST

START_TEST(after_and_the_card_come_first)
{
    struct case_ c;
    begin_case(&c, 3, 1, "");
    made_up_step(&c.steps, "first", 0, "");
    made_up_step(&c.steps, "second", 0, "");
    made_up_step(&c.steps, "finished", 1, "    after: [first]\n");
    made_up_step(&c.steps, "begun", 2, "    after: [{step: first, started: yes}]\n");
    load_case(&c, false);
    ck_assert(ready(&c, "first"));
    ck_assert(!ready(&c, "second") && !ready(&c, "finished") && !ready(&c, "begun"));
    struct rig_block block = rig_blocked(&c.rig, &c.state, step(&c, "second"));
    ck_assert_uint_eq(block.card, (step_set)1 << step(&c, "first"));
    begin(&c, "first");
    ck_assert(ready(&c, "begun") && !ready(&c, "finished") && !ready(&c, "second"));
    end(&c, "first");
    ck_assert(ready(&c, "finished") && ready(&c, "second"));
    end_case(&c);
}
END_TEST

START_TEST(a_wait_blocks_and_a_need_does_not)
{
    struct case_ c;
    begin_case(&c, 3, 1, "");
    made_up_step(&c.steps, "opens", 0, "    start: {p0: b}\n");
    made_up_step(&c.steps, "waits", 1, "    wait: {p0: [b, c]}\n");
    made_up_step(&c.steps, "needs", 2, "    need: {p0: b}\n");
    load_case(&c, false);
    ck_assert(!ready(&c, "waits") && ready(&c, "needs"));
    struct rig_block block = rig_blocked(&c.rig, &c.state, step(&c, "waits"));
    ck_assert_uint_eq(block.waits, 1);
    ck_assert_uint_eq(block.needs, (step_set)1 << step(&c, "opens"));
    struct findings found = {0};
    rig_find_start(&c.rig, &c.state, step(&c, "needs"), &found);
    ck_assert_int_eq(found.count, 1);
    ck_assert_int_eq(found.at[0].kind, FINDING_NEED);
    begin(&c, "opens");
    ck_assert(ready(&c, "waits"));
    found.count = 0;
    rig_find_start(&c.rig, &c.state, step(&c, "needs"), &found);
    ck_assert_int_eq(found.count, 0);
    end_case(&c);
}
END_TEST

START_TEST(a_line_is_tended_from_start_to_finish)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "take", 0, "    tends: p0\n");
    made_up_step(&c.steps, "away", 0, "");
    made_up_step(&c.steps, "let-go", 0, "    releases: p0\n");
    char *at = strstr(c.steps.at, "step: away");
    at = strstr(at, "at: here");
    memcpy(at + 4, "there",
           5); /* "here\n    do" becomes "there", the line break is next */
    struct text fixed = {0};
    text_add_bytes(&fixed, c.steps.at, (size_t)(at + 9 - c.steps.at));
    text_add(&fixed, "\n    do: Do it.\n");
    text_add(&fixed, strstr(at, "    takes"));
    text_free(&c.steps);
    c.steps = fixed;
    load_case(&c, false);
    ck_assert_int_eq(c.state.tender[0], -1);
    begin(&c, "take");
    ck_assert_int_eq(c.state.tender[0], 0);
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 1); /* it is in the step's */
    end(&c, "take");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 1);
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 1), 0);
    ck_assert_int_eq(count_kind(&c, FINDING_PLACE), 0);
    begin(&c, "away"); /* not at the line's place, not within its reach */
    ck_assert_int_eq(count_kind(&c, FINDING_PLACE), 1);
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 2);
    end(&c, "away");
    begin(&c, "let-go");
    ck_assert_int_eq(c.state.tender[0], 0); /* to the finish of the releasing step */
    end(&c, "let-go");
    ck_assert_int_eq(c.state.tender[0], -1);
    end_case(&c);
}
END_TEST

START_TEST(made_fast_it_takes_no_hand)
{
    struct case_ c;
    begin_case(&c, 1, 2, "");
    made_up_step(&c.steps, "take", 0,
                 "    tends: {line: p0, none-when: {p0: c}}\n    finish: {p0: b}\n");
    made_up_step(&c.steps, "cleat", 0, "    finish: {p0: c}\n");
    load_case(&c, false);
    end(&c, "take");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 1);
    ck_assert_uint_eq(rig_holds_lines(&c.rig, &c.state, 0), 1);
    end(&c, "cleat");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 0);
    ck_assert_int_eq(c.state.tender[0], 0); /* still theirs */
    end_case(&c);
}
END_TEST

START_TEST(a_hand_over_overlaps)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "take", 0, "    tends: p0\n");
    made_up_step(&c.steps, "give", 0, "    hands-over: p0\n");
    made_up_step(&c.steps, "receive", 1, "    takes-over: p0\n    after: [take]\n");
    load_case(&c, false);
    end(&c, "take");
    begin(&c, "give");
    ck_assert_uint_eq(rig_may_end(&c.rig, &c.state), 0); /* not before the taker has it */
    begin(&c, "receive");
    ck_assert_int_eq(c.state.tender[0], 0);
    ck_assert_int_eq(c.state.taker[0], 1);
    ck_assert_uint_eq(rig_may_end(&c.rig, &c.state), (step_set)1 << step(&c, "receive"));
    end(&c, "receive");
    end(&c, "give");
    ck_assert_int_eq(c.state.tender[0], 1);
    ck_assert_int_eq(c.state.taker[0], -1);
    end_case(&c);
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "take", 0, "    tends: p0\n");
    made_up_step(&c.steps, "give", 0, "    hands-over: p0\n");
    made_up_step(&c.steps, "receive", 1, "    takes-over: p0\n    after: [take]\n");
    load_case(&c, true); /* to oneself it disappears: the tending goes on */
    end(&c, "take");
    end(&c, "give");
    ck_assert_int_eq(c.state.tender[0], 0);
    end(&c, "receive");
    ck_assert_int_eq(c.state.tender[0], 0);
    end_case(&c);
}
END_TEST

START_TEST(a_person_has_two_hands)
{
    struct case_ c;
    begin_case(&c, 1, 2, "");
    made_up_step(&c.steps, "take", 0, "    tends: p0\n");
    made_up_step(&c.steps, "both", 0, "    hands: 2\n");
    made_up_step(&c.steps, "with-it", 0, "    hands: 2\n    tends: p0\n");
    load_case(&c, false);
    end(&c, "take");
    begin(&c, "both");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 3);
    ck_assert_int_eq(count_kind(&c, FINDING_HANDS), 1);
    end(&c, "both");
    begin(&c, "with-it"); /* the line is in the hands the step uses */
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 2);
    ck_assert_int_eq(count_kind(&c, FINDING_HANDS), 0);
    end_case(&c);
}
END_TEST

/* Lines beyond the hands a step says it uses take hands of their own, from its start. */
START_TEST(a_step_with_more_lines_than_hands)
{
    struct case_ c;
    begin_case(&c, 1, 3, "");
    made_up_step(&c.steps, "take-two", 0, "    tends: [p0, p1]\n");
    made_up_step(&c.steps, "take-one", 0, "    hands: 2\n    tends: p2\n");
    made_up_step(&c.steps, "let-go", 0, "    releases: [p0, p1, p2]\n");
    load_case(&c, false);
    begin(&c, "take-two");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 2);
    end(&c, "take-two");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 2); /* it ends: no change */
    begin(&c, "take-one");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 4);
    end(&c, "take-one");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 3);
    begin(&c, "let-go"); /* all three are in hand until they are let go */
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 3);
    ck_assert_int_eq(count_kind(&c, FINDING_HANDS), 1);
    end(&c, "let-go");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 0);
    end_case(&c);
}
END_TEST

START_TEST(gear_is_used_by_one_step)
{
    struct case_ c;
    begin_case(&c, 2, 1, "gear:\n  winch: {words: the winch}\n");
    made_up_step(&c.steps, "one", 0, "    uses: [winch]\n");
    made_up_step(&c.steps, "two", 1, "    uses: [winch]\n");
    load_case(&c, false);
    begin(&c, "one");
    ck_assert_int_eq(count_kind(&c, FINDING_GEAR), 0);
    begin(&c, "two");
    ck_assert_int_eq(count_kind(&c, FINDING_GEAR), 1);
    end(&c, "one");
    ck_assert_int_eq(count_kind(&c, FINDING_GEAR), 0);
    end_case(&c);
}
END_TEST

START_TEST(a_joint_step_moves_both_cards)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "before", 0, "");
    made_up_step(&c.steps, "joint", 1, "");
    made_up_step(&c.steps, "behind", 1, "");
    char *role = strstr(strstr(c.steps.at, "step: joint"), "role: r1");
    struct text joint = {0};
    text_add_bytes(&joint, c.steps.at, (size_t)(role - c.steps.at));
    text_add(&joint, "roles: [r0, r1]");
    text_add(&joint, role + strlen("role: r1"));
    text_free(&c.steps);
    c.steps = joint;
    load_case(&c, false);
    ck_assert(!ready(&c, "joint")); /* it starts when all are free */
    end(&c, "before");
    ck_assert(ready(&c, "joint") && !ready(&c, "behind"));
    begin(&c, "joint");
    ck_assert(!ready(&c, "behind"));
    end(&c, "joint");
    ck_assert(ready(&c, "behind"));
    int8_t lanes[ROLES_MAX] = {0};
    struct rig merged;
    ck_assert(!rig_make(&merged, c.procedure, lanes, 1, true)); /* different hands */
    end_case(&c);
}
END_TEST

START_TEST(free_order_is_one_step_at_a_time)
{
    struct case_ c;
    begin_case(&c, 1, 1, "");
    char *sees = strstr(c.rig_text.at, "sees: [p0]}");
    ck_assert_ptr_nonnull(sees);
    struct text rig = {0};
    text_add_bytes(&rig, c.rig_text.at, (size_t)(sees - c.rig_text.at));
    text_add(&rig, "sees: [p0], order: free}");
    text_add(&rig, sees + strlen("sees: [p0]}"));
    text_free(&c.rig_text);
    c.rig_text = rig;
    made_up_step(&c.steps, "one", 0, "");
    made_up_step(&c.steps, "two", 0, "");
    load_case(&c, false);
    ck_assert(ready(&c, "one") && ready(&c, "two"));
    begin(&c, "two");
    ck_assert_uint_eq(rig_ready(&c.rig, &c.state), 0);
    end(&c, "two");
    ck_assert(ready(&c, "one"));
    end_case(&c);
}
END_TEST

START_TEST(roles_of_one_hand_take_turns)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "one", 0, "");
    made_up_step(&c.steps, "two", 1, "");
    load_case(&c, true);
    ck_assert(ready(&c, "one") && ready(&c, "two"));
    begin(&c, "two");
    ck_assert(!ready(&c, "one"));
    end(&c, "two");
    const uint8_t order[] = {1, 0};
    rig_set_card(&c.rig, 0, order, 2); /* a bill merges the cards */
    rig_start(&c.rig, &c.state);
    ck_assert(ready(&c, "two") && !ready(&c, "one"));
    end_case(&c);
}
END_TEST

START_TEST(the_helm_is_never_left)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    char *role = strstr(c.rig_text.at, "station: here, sees");
    struct text rig = {0};
    text_add_bytes(&rig, c.rig_text.at, (size_t)(role - c.rig_text.at));
    text_add(&rig, "steers: yes, ");
    text_add(&rig, role);
    text_free(&c.rig_text);
    c.rig_text = rig;
    made_up_step(&c.steps, "steer", 0, "    hands: 2\n");
    made_up_step(&c.steps, "steer-and-take", 0, "    tends: p0\n");
    made_up_step(&c.steps, "haul", 1, "    hands: 2\n    releases: p0\n");
    c.procedure = made_up_load(&c.rig_text, &c.steps, c.arena);
    int8_t lanes[ROLES_MAX] = {0};
    ck_assert(rig_make(&c.rig, c.procedure, lanes, 1, false));
    rig_start(&c.rig, &c.state);
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 1);
    begin(&c, "steer"); /* one of its hands is the one on the helm */
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 2);
    end(&c, "steer");
    begin(&c, "steer-and-take"); /* the line needs the other one */
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 2);
    end(&c, "steer-and-take");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 2);
    begin(&c, "haul");
    ck_assert_int_eq(rig_hands_in_use(&c.rig, &c.state, 0), 3);
    ck_assert(rig_make(&c.rig, c.procedure, lanes, 1, true)); /* the pilot steers */
    ck_assert_int_eq(c.rig.helm_lane, -1);
    end_case(&c);
}
END_TEST

START_TEST(skipped_is_omitted)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "left-out", 0, "    start: {p0: b}\n    finish: {p0: c}\n");
    made_up_step(&c.steps, "behind", 1, "    after: [left-out]\n");
    made_up_step(&c.steps, "looks", 1, "    wait: {p0: c}\n");
    load_case(&c, false);
    rig_skip(&c.state, step(&c, "left-out"));
    ck_assert_int_eq(part(&c, 0), 'a'); /* no effects */
    ck_assert(ready(&c, "behind"));     /* nobody waits for it */
    end(&c, "behind");
    ck_assert(!ready(&c, "looks")); /* waits still look at the rig */
    ck_assert(!rig_ended(&c.rig, &c.state));
    end_case(&c);
}
END_TEST

START_TEST(a_run_can_begin_anywhere)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "take", 0, "    tends: p0\n    finish: {p0: b}\n");
    made_up_step(&c.steps, "behind", 1, "    after: [take]\n");
    load_case(&c, false);
    end(&c, "take");
    int8_t swapped[ROLES_MAX] = {1, 0};
    struct rig again;
    ck_assert(rig_make(&again, c.procedure, swapped, 2, true));
    rig_start_from(&again, &c.state);
    struct rig_state state;
    rig_start(&again, &state);
    ck_assert_uint_eq(state.done, c.state.done);
    ck_assert_int_eq(state.tender[0], 1); /* whoever now wears the role of the tending */
    ck_assert_uint_eq(rig_ready(&again, &state), (step_set)1 << step(&c, "behind"));
    end_case(&c);
}
END_TEST

/* One rule in each of the eight forms, and what breaks it. */
static const struct form {
    const char *rule;            /* keys of the rule */
    const char *before, *breaks; /* steps made, then begun */
    bool at_start, at_finish, at_end;
} forms[] = {
    {"never: {p0: b, p1: a}", NULL, "to-b", false, false, false},
    {"always: {p0: a}", NULL, "to-b", false, false, false},
    {"while: {p0: b}, keep: {p1: b}", NULL, "to-b", false, false, false},
    {"when: {start: other}, need: {p0: b}", NULL, "other", true, false, false},
    {"when: {finish: other}, need: {p0: b}", NULL, "other", false, true, false},
    {"before: [to-b, other]", NULL, "other", false, false, false},
    {"never-together: [to-b, other]", "*to-b", "other", false, false, false},
    {"tended: p1, while: {p0: b}", NULL, "to-b", false, false, false},
    {"finally: {p1: b}", "to-b", "other", false, false, true},
};

START_TEST(eight_forms_of_rules)
{
    const struct form *form = &forms[_i];
    struct case_ c;
    begin_case(&c, 2, 2, "");
    text_add(&c.steps, "");
    made_up_step(&c.steps, "to-b", 0, "    start: {p0: b}\n");
    made_up_step(&c.steps, "other", 1, "");
    text_printf(&c.steps,
                "rules:\n  - {rule: the-rule, %s, hurts: crew, signal: warning, because: "
                "It hurts.}\n",
                form->rule);
    load_case(&c, false);
    if (form->before && *form->before == '*')
        begin(&c, form->before + 1);
    else if (form->before)
        end(&c, form->before);
    ck_assert_ptr_null(rig_broken_rule(&c.rig, &c.state));
    struct findings found = {0};
    if (form->at_start)
        rig_find_start(&c.rig, &c.state, step(&c, form->breaks), &found);
    begin(&c, form->breaks);
    if (form->at_finish)
        rig_find_finish(&c.rig, &c.state, step(&c, form->breaks), &found);
    if (form->at_end)
        end(&c, form->breaks);
    if (form->at_start || form->at_finish) {
        ck_assert_int_eq(found.count, 1);
        ck_assert_int_eq(found.at[0].kind, FINDING_RULE);
    } else {
        const struct rule *rule = rig_broken_rule(&c.rig, &c.state);
        ck_assert_msg(rule != NULL, "%s", form->rule);
        ck_assert_str_eq(rule->name, "the-rule");
    }
    end_case(&c);
}
END_TEST

START_TEST(before_is_broken_by_a_skip)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    made_up_step(&c.steps, "first", 0, "");
    made_up_step(&c.steps, "second", 1, "");
    text_add(&c.steps, "rules:\n  - {rule: order, before: [first, second], hurts: crew, "
                       "signal: danger, because: It hurts.}\n");
    load_case(&c, false);
    rig_skip(&c.state, step(&c, "first"));
    begin(&c, "second");
    ck_assert_ptr_nonnull(rig_broken_rule(&c.rig, &c.state));
    end_case(&c);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rig");
    TCase *tests = tcase_create("meaning");
    tcase_add_test(tests, start_and_finish_are_two_events);
    tcase_add_test(tests, after_and_the_card_come_first);
    tcase_add_test(tests, a_wait_blocks_and_a_need_does_not);
    tcase_add_test(tests, a_line_is_tended_from_start_to_finish);
    tcase_add_test(tests, made_fast_it_takes_no_hand);
    tcase_add_test(tests, a_hand_over_overlaps);
    tcase_add_test(tests, a_person_has_two_hands);
    tcase_add_test(tests, a_step_with_more_lines_than_hands);
    tcase_add_test(tests, gear_is_used_by_one_step);
    tcase_add_test(tests, a_joint_step_moves_both_cards);
    tcase_add_test(tests, free_order_is_one_step_at_a_time);
    tcase_add_test(tests, roles_of_one_hand_take_turns);
    tcase_add_test(tests, the_helm_is_never_left);
    tcase_add_test(tests, skipped_is_omitted);
    tcase_add_test(tests, a_run_can_begin_anywhere);
    tcase_add_loop_test(tests, eight_forms_of_rules, 0,
                        (int)(sizeof forms / sizeof forms[0]));
    tcase_add_test(tests, before_is_broken_by_a_skip);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
