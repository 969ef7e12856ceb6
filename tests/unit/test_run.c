/* The live run: what each event means, on the shipped jibe; then storms of random events
 * over every shipped procedure: never a crash, folding once more gives the same view, and
 * what was stored replays to the same run. */
#include "run_world.h"

#include "debrief/debrief.h"

START_TEST(nothing_is_made_before_the_go)
{
    struct world w;
    open_world(&w, "dip-pole-jibe", RUN_DRILL);
    ck_assert_int_eq(made(&w, "stand-by"), RUN_REFUSED);
    ck_assert_int_eq(run_open_checks(w.run), w.procedure->check_count);
    ck_assert_int_eq(give(&w, RUN_CHECKED, 0, 1), RUN_TAKEN);
    ck_assert_int_eq(give(&w, RUN_CHECKED, 1, 0), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.checks[0], 1);
    ck_assert_int_eq(w.run->now.checks[1], 2);
    ck_assert_int_eq(run_open_checks(w.run), w.procedure->check_count - 1);
    ck_assert_int_eq(give(&w, RUN_CHECKED, w.procedure->check_count, 1), RUN_REFUSED);
    go(&w);
    ck_assert_int_eq(give(&w, RUN_GO, 0, 0), RUN_REFUSED);
    ck_assert_int_eq(give(&w, RUN_CHECKED, 0, 1), RUN_REFUSED);
    close_world(&w);
}
END_TEST

START_TEST(starts_are_reckoned_and_stored)
{
    struct world w;
    open_world(&w, "dip-pole-jibe", RUN_DRILL);
    go(&w);
    ck_assert(is_running(&w, "stand-by") && !is_running(&w, "bow-out"));
    ck_assert_int_eq(w.out->at[1].kind, RUN_RECKONED);
    ck_assert_int_eq(w.out->at[1].step, named(&w, "stand-by"));
    made(&w, "stand-by");
    ck_assert(is_running(&w, "bow-out") && is_running(&w, "in-up"));
    ck_assert(flags_of(&w, "bow-out") & RUN_STEP_RECKONED);
    w.now_ms += 500;
    give(&w, RUN_BEGUN, named(&w, "bow-out"), 0); /* seen to begin */
    ck_assert(!(flags_of(&w, "bow-out") & RUN_STEP_RECKONED));
    ck_assert_int_eq(w.run->now.steps[named(&w, "bow-out")].begun_ms, 1500);
    close_world(&w);
}
END_TEST

START_TEST(a_wait_on_reckoned_starts_is_only_when_seen)
{
    struct world w;
    jibe(&w, "bear-away");
    ck_assert(is_running(&w, "square"));
    ck_assert(run_only_when_seen(w.run, named(&w, "square"), w.now_ms));
    give(&w, RUN_BEGUN, named(&w, "bear-away"), 0);
    ck_assert(!run_only_when_seen(w.run, named(&w, "square"), w.now_ms));
    close_world(&w);
}
END_TEST

START_TEST(the_due_step_is_the_earliest_planned)
{
    struct world w;
    open_world(&w, "dip-pole-jibe", RUN_DRILL);
    go(&w);
    while (w.run->now.phase != RUN_OVER) {
        int due = run_due(w.run);
        ck_assert_int_ge(due, 0);
        for (int s = 0; s < w.procedure->step_count; s++)
            if (rig_running(&w.run->now.rig) >> s & 1)
                ck_assert_int_ge(bill_slot_of(w.bill, s)->end_ms,
                                 bill_slot_of(w.bill, due)->end_ms);
        w.now_ms += 1000;
        give(&w, RUN_MADE, due, 0);
    }
    ck_assert_int_eq(w.run->now.outcome, RUN_DONE);
    ck_assert_int_eq(w.out->at[w.out->count - 1].kind, RUN_REACHED);
    close_world(&w);
}
END_TEST

START_TEST(the_same_key_at_once_is_ignored)
{
    struct world w;
    jibe(&w, "in-up");
    size_t before = w.stored_count;
    int due = run_due(w.run);
    w.now_ms += 299;
    ck_assert_int_eq(give(&w, RUN_MADE, due, 0), RUN_REPEATED);
    ck_assert_uint_eq(w.stored_count, before);
    ck_assert_int_eq(give(&w, RUN_MADE, due, 3), RUN_TAKEN); /* another key is another */
    w.now_ms += 300;
    ck_assert_int_eq(give(&w, RUN_MADE, run_due(w.run), 3), RUN_TAKEN);
    close_world(&w);
}
END_TEST

/* "trip" while the guy is still loaded. */
static void trip_early(struct world *w)
{
    jibe(w, "ease-guy");
    ck_assert(!is_done(w, "ease-guy"));
    ck_assert_int_eq(made(w, "trip"), RUN_TAKEN); /* a mark is never refused */
    ck_assert(is_done(w, "trip"));
    ck_assert_int_eq(w->run->now.question, named(w, "trip"));
    ck_assert(w->run->now.question_missing >> named(w, "ease-guy") & 1);
}

START_TEST(an_early_mark_that_was_early)
{
    struct world w;
    trip_early(&w);
    ck_assert_int_gt(w.run->now.found_count, 0); /* a broken rule is shown and logged */
    bool stored = false;
    for (size_t i = 0; i < w.stored_count; i++)
        stored |= w.stored[i].kind == RUN_FOUND;
    ck_assert(stored);
    ck_assert_int_eq(give(&w, RUN_EARLY, named(&w, "trip"), 0), RUN_TAKEN);
    ck_assert(flags_of(&w, "trip") & RUN_STEP_BREACH);
    ck_assert_int_eq(run_count_flag(w.run, RUN_STEP_BREACH), 1);
    ck_assert_int_eq(w.run->now.question, -1);
    ck_assert(!is_done(&w, "ease-guy"));
    close_world(&w);
}
END_TEST

START_TEST(an_early_mark_that_was_made_too)
{
    struct world w;
    trip_early(&w);
    ck_assert_int_eq(give(&w, RUN_TOO, named(&w, "trip"), 0), RUN_TAKEN);
    ck_assert(is_done(&w, "ease-guy"));
    ck_assert(flags_of(&w, "ease-guy") & RUN_STEP_UNTIMED); /* stored, not timed */
    ck_assert(!(flags_of(&w, "trip") & (RUN_STEP_BREACH | RUN_STEP_UNCLEAR)));
    ck_assert_int_eq(w.run->now.found_count, 0); /* it was no breach after all */
    close_world(&w);
}
END_TEST

START_TEST(an_early_mark_without_an_answer)
{
    struct world w;
    trip_early(&w);
    made(&w, "ease-guy");
    ck_assert(flags_of(&w, "trip") & RUN_STEP_UNCLEAR);
    ck_assert_int_eq(run_count_flag(w.run, RUN_STEP_BREACH), 0); /* never a breach */
    ck_assert_int_eq(give(&w, RUN_EARLY, named(&w, "trip"), 0), RUN_REFUSED);
    close_world(&w);
}
END_TEST

START_TEST(catch_up_makes_all_before)
{
    struct world w;
    open_world(&w, "dip-pole-jibe", RUN_DRILL);
    go(&w);
    ck_assert_int_eq(give(&w, RUN_CAUGHT_UP, named(&w, "clip"), 0), RUN_TAKEN);
    step_set before = run_before(w.run, named(&w, "clip"));
    ck_assert(before >> named(&w, "trip") & 1);
    ck_assert_uint_eq(w.run->now.rig.done & before, before);
    ck_assert(!is_done(&w, "clip") && is_running(&w, "clip"));
    ck_assert(flags_of(&w, "trip") & RUN_STEP_UNTIMED);
    close_world(&w);
}
END_TEST

START_TEST(skip_is_the_omitted_step)
{
    struct world w;
    jibe(&w, "trip");
    ck_assert_int_eq(give(&w, RUN_SKIPPED, named(&w, "trip"), 0), RUN_TAKEN);
    ck_assert(!is_running(&w, "trip") && !is_done(&w, "trip"));
    const struct rig_plan *plan = w.procedure->plan;
    int jaw = rig_plan_part(plan, "jaw");
    /* never begun: not even its start had an effect */
    ck_assert_str_eq(plan->parts[jaw].values[w.run->now.rig.part[jaw]].name, "starboard");
    ck_assert(!is_running(&w, "dip")); /* waits still look at the rig */
    ck_assert_int_eq(give(&w, RUN_UNDONE, 0, 0), RUN_TAKEN);
    ck_assert(is_running(&w, "trip"));
    close_world(&w);
}
END_TEST

START_TEST(undo_is_newest_first_and_nothing_is_erased)
{
    struct world w;
    jibe(&w, "bear-away");
    ck_assert(is_done(&w, "bow-out"));
    size_t before = w.stored_count;
    ck_assert_int_eq(give(&w, RUN_UNDONE, 0, 0), RUN_TAKEN);
    ck_assert(is_running(&w, "bow-out") && !is_done(&w, "bow-out"));
    ck_assert_uint_gt(w.stored_count, before);
    ck_assert(flags_of(&w, "bow-out") & RUN_STEP_SPANS); /* stays out of statistics */
    while (give(&w, RUN_UNDONE, 0, 0) == RUN_TAKEN)
        ;
    ck_assert_uint_eq(w.run->now.rig.done, 0);
    close_world(&w);
}
END_TEST

START_TEST(the_last_mark_can_be_undone)
{
    struct world w;
    jibe(&w, NULL);
    ck_assert_int_eq(w.run->now.phase, RUN_OVER);
    ck_assert_int_eq(give(&w, RUN_UNDONE, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.phase, RUN_LIVE);
    ck_assert_int_eq(w.run->now.over_ms, -1);
    close_world(&w);
}
END_TEST

START_TEST(hold_stops_the_plan_and_not_the_run)
{
    struct world w;
    jibe(&w, "bow-out");
    w.now_ms = 2000;
    ck_assert_int_eq(give(&w, RUN_HELD, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(give(&w, RUN_HELD, 0, 0), RUN_REFUSED);
    ck_assert_int_eq(run_plan_ms(w.run, 10000), 2000);
    ck_assert_int_eq(run_clock_ms(w.run, 10000), 10000);
    ck_assert_int_eq(run_held_ms(w.run, 10000), 8000);
    w.now_ms = 12000;
    ck_assert_int_eq(give(&w, RUN_WENT_ON, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(run_plan_ms(w.run, 13000), 3000);
    ck_assert(flags_of(&w, "bow-out") & RUN_STEP_SPANS);
    ck_assert_int_eq(run_overdue_ms(w.run, named(&w, "bow-out"), 13000), 0);
    w.now_ms = 14000;
    give(&w, RUN_MADE, named(&w, "bow-out"), 0);
    struct debrief debrief;
    debrief_make(w.run, 14000, &debrief);
    ck_assert_int_eq(debrief.held_ms, 10000);
    for (int i = 0; i < debrief.split_count; i++)
        if (debrief.splits[i].step == named(&w, "bow-out")) {
            ck_assert_int_eq(debrief.splits[i].split_ms, 14000 - 1000 - 10000);
            ck_assert(!debrief.splits[i].counts);
        }
    close_world(&w);
}
END_TEST

START_TEST(overdue_is_over_the_slow_time)
{
    struct world w;
    jibe(&w, "bow-out");
    int s = named(&w, "bow-out");
    int64_t begun = w.run->now.steps[s].begun_ms;
    int slow = w.procedure->steps[s].takes.slow_ms;
    ck_assert_int_eq(run_overdue_ms(w.run, s, begun + slow), 0);
    ck_assert_int_eq(run_overdue_ms(w.run, s, begun + slow + 700), 700);
    close_world(&w);
    open_world(&w, "dip-pole-jibe", RUN_WALK);
    go(&w);
    ck_assert_int_eq(run_overdue_ms(w.run, named(&w, "stand-by"), 100000), 0);
    close_world(&w);
}
END_TEST

START_TEST(what_would_break_is_known)
{
    struct world w;
    jibe(&w, "ease-guy");
    struct finding finding;
    ck_assert(run_would_break(w.run, named(&w, "trip"), &finding));
    ck_assert_int_eq(finding.kind, FINDING_RULE);
    ck_assert_str_eq(w.procedure->rules.at[finding.index].name, "trip-unloaded");
    close_world(&w);
}
END_TEST

START_TEST(without_marks_it_ends_untimed)
{
    struct world w;
    open_world(&w, "dip-pole-jibe", RUN_AFLOAT);
    go(&w);
    w.now_ms = 30000;
    ck_assert_int_eq(give(&w, RUN_ALL_MADE, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.outcome, RUN_UNTIMED);
    struct debrief debrief;
    debrief_make(w.run, w.now_ms, &debrief);
    for (int i = 0; i < debrief.split_count; i++)
        ck_assert_int_eq(debrief.splits[i].split_ms, -1);
    close_world(&w);
}
END_TEST

START_TEST(all_made_and_not_at_the_goal_is_unfinished)
{
    struct world w;
    jibe(&w, "head-up");
    while (run_due(w.run) != named(&w, "head-up")) {
        w.now_ms += 1000;
        give(&w, RUN_MADE, run_due(w.run), 0);
    }
    give(&w, RUN_SKIPPED, named(&w, "head-up"), 0);
    ck_assert_int_eq(w.run->now.phase, RUN_OVER);
    ck_assert_int_eq(w.run->now.outcome, RUN_NOT_AT_GOAL);
    ck_assert_int_eq(w.out->at[w.out->count - 1].kind, RUN_UNFINISHED);
    ck_assert_uint_eq(rig_short_of_goal(w.rig, &w.run->now.rig),
                      (part_set)1 << rig_plan_part(w.procedure->plan, "course"));
    close_world(&w);
}
END_TEST

START_TEST(broken_off_by_a_mishap)
{
    struct world w;
    jibe(&w, "bear-away");
    const struct rig_plan *plan = w.procedure->plan;
    int mishap = 0;
    while (strcmp(plan->mishaps[mishap].name, "wrap") != 0)
        mishap++;
    ck_assert_int_eq(give(&w, RUN_BROKEN_OFF, 0, plan->mishap_count), RUN_REFUSED);
    ck_assert_int_eq(give(&w, RUN_BROKEN_OFF, 0, mishap), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.outcome, RUN_WAS_BROKEN_OFF);
    int trouble = rig_plan_part(plan, "trouble");
    ck_assert_str_eq(plan->parts[trouble].values[w.run->now.rig.part[trouble]].name,
                     "wrap");
    ck_assert_int_eq(give(&w, RUN_UNDONE, 0, 0), RUN_REFUSED);
    close_world(&w);
}
END_TEST

START_TEST(notes_stops_and_overboard)
{
    struct world w;
    jibe(&w, "bear-away");
    ck_assert_int_eq(give(&w, RUN_NOTED, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.notes, 1);
    ck_assert_int_eq(give(&w, RUN_OVERBOARD, 0, 0), RUN_TAKEN);
    int64_t stamped = w.run->now.overboard_ms;
    w.now_ms += 5000;
    give(&w, RUN_OVERBOARD, 0, 0);
    ck_assert_int_eq(w.run->now.overboard_ms, stamped); /* the first stamp stands */
    ck_assert_int_eq(give(&w, RUN_STOPPED, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.outcome, RUN_WAS_STOPPED);
    ck_assert_int_eq(give(&w, RUN_UNDONE, 0, 0), RUN_REFUSED);
    ck_assert_int_eq(made(&w, "bear-away"), RUN_REFUSED);
    close_world(&w);
}
END_TEST

/* Said at any time before the end; it is no note, and undo does not take it. */
START_TEST(how_far_to_the_mark)
{
    struct world w;
    open_world(&w, "dip-pole-jibe", RUN_DRILL);
    ck_assert_int_eq(give(&w, RUN_MARK, 0, 0), RUN_TAKEN);
    go(&w);
    ck_assert_int_eq(give(&w, RUN_MARK, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(give(&w, RUN_UNDONE, 0, 0), RUN_REFUSED);
    ck_assert_int_eq(w.run->now.notes, 0);
    ck_assert_int_eq(give(&w, RUN_STOPPED, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(give(&w, RUN_MARK, 0, 0), RUN_REFUSED);
    close_world(&w);
}
END_TEST

START_TEST(a_full_run_says_so)
{
    struct world w;
    open_world(&w, "dip-pole-jibe", RUN_DRILL);
    go(&w);
    int room = RUN_EVENTS_MAX - RUN_EVENTS_KEPT;
    for (int i = 1; i < room; i++)
        ck_assert_int_eq(give(&w, RUN_NOTED, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(give(&w, RUN_NOTED, 0, 0), RUN_FULL);
    ck_assert_int_eq(w.run->now.notes, room - 1);
    ck_assert_int_eq(give(&w, RUN_STOPPED, 0, 0), RUN_TAKEN);
    while (give(&w, RUN_OVERBOARD, 0, 0) == RUN_TAKEN)
        ;
    ck_assert_int_eq(w.run->event_count, RUN_EVENTS_MAX);
    close_world(&w);
}
END_TEST

static void random_event(struct world *w, unsigned *seed)
{
    static const enum run_kind kinds[] = {
        RUN_MADE,      RUN_MADE,       RUN_MADE,     RUN_MADE,    RUN_MADE,
        RUN_MADE,      RUN_BEGUN,      RUN_TOO,      RUN_EARLY,   RUN_UNDONE,
        RUN_HELD,      RUN_WENT_ON,    RUN_NOTED,    RUN_SKIPPED, RUN_CAUGHT_UP,
        RUN_RESUMED,   RUN_STOPPED,    RUN_CHECKED,  RUN_GO,      RUN_ALL_MADE,
        RUN_OVERBOARD, RUN_BROKEN_OFF, RUN_RECKONED, RUN_SEEN,    RUN_MARK};
    enum run_kind kind = kinds[shipped_random(seed) % (sizeof kinds / sizeof kinds[0])];
    bool rare = kind == RUN_STOPPED || kind == RUN_ALL_MADE || kind == RUN_BROKEN_OFF;
    if (rare && shipped_random(seed) % 12)
        kind = RUN_MADE;
    int step = (int)(shipped_random(seed) % (unsigned)(w->procedure->step_count + 1));
    if (kind == RUN_MADE && shipped_random(seed) % 3)
        step = run_due(w->run) >= 0 ? run_due(w->run) : step;
    if (kind == RUN_TOO || kind == RUN_EARLY)
        step = w->run->now.question >= 0 ? w->run->now.question : step;
    w->now_ms += (int64_t)(shipped_random(seed) % 900);
    give(w, kind, step, (int)(shipped_random(seed) % 3));
}

static void check_replay(const struct world *w)
{
    struct run *again = arena_alloc(w->arena, sizeof *again);
    run_start(again, w->rig, w->bill, w->run->mode);
    ck_assert(run_replay(again, w->stored, w->stored_count));
    ck_assert_int_eq(again->event_count, w->run->event_count);
    ck_assert(views_same(&again->now, &w->run->now));
    if (w->stored_count > 3) { /* a stored event that does not follow is noticed */
        w->stored[w->stored_count / 2].at_ms ^= 1;
        run_start(again, w->rig, w->bill, w->run->mode);
        bool same = run_replay(again, w->stored, w->stored_count) &&
                    views_same(&again->now, &w->run->now);
        w->stored[w->stored_count / 2].at_ms ^= 1;
        ck_assert(!same || w->stored[w->stored_count / 2].kind < RUN_RECKONED);
    }
}

static const char *const names[] = {
    "bear-away-set", "dip-pole-jibe",        "end-for-end-jibe",
    "sock-takedown", "sock-takedown-two",    "chute-recovery",
    "wrap-recovery", "sheet-stuck-recovery", "broach-recovery"};

/* What is made all at once is made as the plan has it: nobody has broken anything. */
START_TEST(all_at_once_breaks_nothing)
{
    struct world w;
    open_world(&w, names[_i], RUN_AFLOAT);
    go(&w);
    ck_assert_int_eq(give(&w, RUN_ALL_MADE, 0, 0), RUN_TAKEN);
    ck_assert_int_eq(w.run->now.outcome, RUN_UNTIMED);
    ck_assert_int_eq(w.run->now.found_count, 0);
    for (int s = 0; s < w.procedure->step_count; s++) {
        run_start(w.run, w.rig, w.bill, RUN_DRILL);
        go(&w);
        ck_assert_int_eq(give(&w, RUN_CAUGHT_UP, s, 0), RUN_TAKEN);
        ck_assert_int_eq(w.run->now.found_count, 0);
        ck_assert_uint_eq(run_before(w.run, s) & ~w.run->now.rig.done, 0);
        ck_assert(rig_running(&w.run->now.rig) >> s & 1);
    }
    close_world(&w);
}
END_TEST

START_TEST(storms_replay_to_the_same_run)
{
    for (unsigned round = 0; round < 12; round++) {
        struct world w;
        unsigned seed = round * 977u + (unsigned)_i * 131u + 5u;
        open_world(&w, names[_i], (enum run_mode)(round % 3));
        if (round % 4)
            go(&w);
        for (int i = 0; i < 150; i++)
            random_event(&w, &seed);
        check_replay(&w);
        close_world(&w);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("run");
    TCase *tests = tcase_create("events");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, nothing_is_made_before_the_go);
    tcase_add_test(tests, starts_are_reckoned_and_stored);
    tcase_add_test(tests, a_wait_on_reckoned_starts_is_only_when_seen);
    tcase_add_test(tests, the_due_step_is_the_earliest_planned);
    tcase_add_test(tests, the_same_key_at_once_is_ignored);
    tcase_add_test(tests, an_early_mark_that_was_early);
    tcase_add_test(tests, an_early_mark_that_was_made_too);
    tcase_add_test(tests, an_early_mark_without_an_answer);
    tcase_add_test(tests, catch_up_makes_all_before);
    tcase_add_test(tests, skip_is_the_omitted_step);
    tcase_add_test(tests, undo_is_newest_first_and_nothing_is_erased);
    tcase_add_test(tests, the_last_mark_can_be_undone);
    tcase_add_test(tests, hold_stops_the_plan_and_not_the_run);
    tcase_add_test(tests, overdue_is_over_the_slow_time);
    tcase_add_test(tests, what_would_break_is_known);
    tcase_add_test(tests, without_marks_it_ends_untimed);
    tcase_add_test(tests, all_made_and_not_at_the_goal_is_unfinished);
    tcase_add_test(tests, broken_off_by_a_mishap);
    tcase_add_test(tests, notes_stops_and_overboard);
    tcase_add_test(tests, how_far_to_the_mark);
    tcase_add_test(tests, a_full_run_says_so);
    suite_add_tcase(suite, tests);
    TCase *storms = tcase_create("storms");
    tcase_set_timeout(storms, 120);
    tcase_add_loop_test(storms, all_at_once_breaks_nothing, 0,
                        (int)(sizeof names / sizeof names[0]));
    tcase_add_loop_test(storms, storms_replay_to_the_same_run, 0,
                        (int)(sizeof names / sizeof names[0]));
    suite_add_tcase(suite, storms);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
