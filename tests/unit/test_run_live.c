/* What a live run says while it goes on: the calls of the plan where nobody has a hand
 * free to mark, and the warnings of what was broken. */
#include "run_world.h"

static void go_afloat(struct world *w)
{
    open_world(w, "dip-pole-jibe", RUN_AFLOAT);
    go(w);
}

/* Slow stand-by 6 s, and 3 s of patience. */
enum { PATIENT_MS = 9000 };

START_TEST(the_first_call_is_waited_for)
{
    struct world w;
    go_afloat(&w);
    int first = named(&w, "stand-by");
    ck_assert(!run_follows_plan(w.run, PATIENT_MS - 1));
    ck_assert_int_eq(run_called(w.run, PATIENT_MS - 1), first);
    ck_assert_int_eq(run_overdue_ms(w.run, first, PATIENT_MS - 1), 2999);
    ck_assert_int_eq(run_until_next_call_ms(w.run, 1000), PATIENT_MS - 1000);
    ck_assert(run_follows_plan(w.run, PATIENT_MS));
    ck_assert_int_ne(run_called(w.run, PATIENT_MS), first);
    ck_assert_int_eq(run_overdue_ms(w.run, first, PATIENT_MS), 0);
    close_world(&w);
    open_world(&w, "dip-pole-jibe", RUN_DRILL);
    go(&w);
    ck_assert(!run_follows_plan(w.run, 60000));
    ck_assert_int_eq(run_called(w.run, 60000), first);
    ck_assert_int_eq(run_until_next_call_ms(w.run, 60000), -1);
    close_world(&w);
}
END_TEST

/* The step under way that is over first, by a look at every slot; -1 where none is. */
static int under_way(const struct world *w, step_set among, int64_t ms)
{
    int best = -1;
    for (int s = 0; s < w->procedure->step_count; s++) {
        const struct bill_slot *slot = bill_slot_of(w->bill, s);
        if (among >> s & 1 && slot->start_ms <= ms && ms < slot->end_ms &&
            (best < 0 || slot->end_ms < bill_slot_of(w->bill, best)->end_ms))
            best = s;
    }
    return best;
}

static step_set steps_of(const struct world *w, int lane)
{
    step_set steps = 0;
    for (int s = 0; s < w->procedure->step_count; s++)
        if (lane < 0 || w->rig->lanes_of_step[s] >> lane & 1)
            steps |= (step_set)1 << s;
    return steps;
}

static void check_called(const struct world *w, int64_t ms)
{
    for (int lane = -1; lane < w->bill->lane_count; lane++) {
        int called =
            lane < 0 ? run_called(w->run, ms) : run_lane_called(w->run, lane, ms);
        int now = under_way(w, steps_of(w, lane), ms);
        if (now >= 0)
            ck_assert_int_eq(bill_slot_of(w->bill, called)->end_ms,
                             bill_slot_of(w->bill, now)->end_ms);
        if (called >= 0)
            ck_assert(steps_of(w, lane) >> called & 1);
    }
}

START_TEST(the_calls_follow_the_plan)
{
    struct world w;
    int calls = 0, last = -1;
    go_afloat(&w);
    for (int64_t ms = PATIENT_MS; ms < w.bill->total_ms; ms += 100) {
        check_called(&w, ms);
        int called = run_called(w.run, ms);
        ck_assert_int_ge(called, 0);
        calls += called != last;
        last = called;
    }
    ck_assert_int_gt(calls, 8);
    ck_assert_int_eq(run_called(w.run, w.bill->total_ms), -1);
    ck_assert_uint_eq(w.run->now.rig.done, 0); /* nothing of it is believed */
    ck_assert(run_only_when_seen(w.run, named(&w, "trip"), PATIENT_MS));
    struct rig_state planned;
    run_planned_rig(w.run, w.bill->total_ms, &planned);
    ck_assert(rig_ended(w.rig, &planned));
    ck_assert_uint_eq(rig_short_of_goal(w.rig, &planned), 0);
    w.now_ms = w.bill->total_ms;
    ck_assert_int_eq(give(&w, RUN_ALL_MADE, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.outcome, RUN_UNTIMED);
    close_world(&w);
}
END_TEST

/* Between two changes the calls stay: what is waited for can sleep till then. */
START_TEST(it_is_known_when_the_next_call_comes)
{
    struct world w;
    int changes = 0;
    go_afloat(&w);
    int64_t ms = 0;
    for (int64_t until; (until = run_until_next_call_ms(w.run, ms)) >= 0; ms += until) {
        ck_assert_int_gt(until, 0);
        ck_assert_int_eq(run_called(w.run, ms), run_called(w.run, ms + until - 1));
        for (int lane = 0; lane < w.bill->lane_count; lane++)
            ck_assert_int_eq(run_lane_called(w.run, lane, ms),
                             run_lane_called(w.run, lane, ms + until - 1));
        changes++;
    }
    ck_assert_int_eq(ms, w.bill->total_ms);
    ck_assert_int_gt(changes, 8);
    close_world(&w);
}
END_TEST

START_TEST(a_hold_stops_the_calls)
{
    struct world w;
    go_afloat(&w);
    w.now_ms = 10000;
    give(&w, RUN_HELD, 0, 0);
    int called = run_called(w.run, 10000);
    ck_assert_int_eq(run_called(w.run, 30000), called);
    ck_assert_int_eq(run_until_next_call_ms(w.run, 30000), -1);
    w.now_ms = 30000;
    give(&w, RUN_WENT_ON, 0, 0);
    ck_assert_int_eq(run_called(w.run, 30000), called);
    close_world(&w);
}
END_TEST

/* The first mark ends it: what was planned before is asked about, not taken as made. */
START_TEST(a_mark_ends_the_plans_calls)
{
    struct world w;
    go_afloat(&w);
    w.now_ms = 15000;
    int called = run_called(w.run, w.now_ms);
    ck_assert_int_eq(give(&w, RUN_MADE, called, 0), RUN_TAKEN);
    ck_assert(!run_follows_plan(w.run, w.now_ms));
    ck_assert_int_eq(w.run->now.question, called);
    ck_assert(w.run->now.question_missing >> named(&w, "stand-by") & 1);
    ck_assert_int_eq(run_called(w.run, w.now_ms), run_due(w.run));
    give(&w, RUN_UNDONE, 0, 0);
    ck_assert(run_follows_plan(w.run, w.now_ms));
    ck_assert_int_eq(run_called(w.run, w.now_ms), called);
    close_world(&w);
}
END_TEST

/* "trip" while the guy is still loaded: a rule and a need, one danger. */
static int trip_early(struct world *w)
{
    jibe(w, "ease-guy");
    made(w, "trip");
    ck_assert_int_eq(w->run->now.found_count, 2);
    ck_assert_int_eq(run_count_dangers(w->run), 1);
    int count, warning = run_warning(w->run, &count);
    ck_assert_int_eq(count, 1);
    ck_assert_int_eq(w->run->now.found[warning].finding.kind, FINDING_RULE);
    ck_assert(w->out->fresh >> warning & 1);
    return warning;
}

START_TEST(a_warning_stands_until_it_is_seen)
{
    struct world w;
    int warning = trip_early(&w);
    ck_assert(!w.run->now.found[warning].broken); /* open, it does not hurt any more */
    give(&w, RUN_EARLY, named(&w, "trip"), 0);
    made(&w, "ease-guy");
    ck_assert_int_eq(run_warning(w.run, NULL), warning);
    ck_assert_int_eq(give(&w, RUN_SEEN, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(run_warning(w.run, NULL), -1);
    ck_assert_int_eq(run_count_dangers(w.run), 1); /* counted all the same */
    ck_assert_int_eq(give(&w, RUN_SEEN, 0, 0), RUN_REFUSED);
    close_world(&w);
}
END_TEST

START_TEST(an_answer_takes_a_warning_away)
{
    struct world w;
    trip_early(&w);
    give(&w, RUN_TOO, named(&w, "trip"), 0);
    ck_assert_int_eq(w.out->gone_count, 2);
    ck_assert_int_eq(run_warning(w.run, NULL), -1);
    ck_assert_int_eq(run_count_dangers(w.run), 0);
    give(&w, RUN_UNDONE, 0, 0); /* the answer was wrong */
    ck_assert_int_eq(w.out->gone_count, 0);
    ck_assert_int_ge(run_warning(w.run, NULL), 0);
    give(&w, RUN_UNDONE, 0, 0); /* and so was the mark */
    ck_assert_int_eq(w.out->gone_count, 2);
    ck_assert_int_eq(run_warning(w.run, NULL), -1);
    close_world(&w);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("run, live");
    TCase *tests = tcase_create("said meanwhile");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, the_first_call_is_waited_for);
    tcase_add_test(tests, the_calls_follow_the_plan);
    tcase_add_test(tests, it_is_known_when_the_next_call_comes);
    tcase_add_test(tests, a_hold_stops_the_calls);
    tcase_add_test(tests, a_mark_ends_the_plans_calls);
    tcase_add_test(tests, a_warning_stands_until_it_is_seen);
    tcase_add_test(tests, an_answer_takes_a_warning_away);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
