/* What looking back does to a run, on small procedures; then storms of random events over
 * random procedures: after each event the view is the one folded from all of them, and
 * what was stored replays to it. */
#include "made_up_random.h"
#include "run_view.h"

#include "debrief/debrief.h"
#include "run/internal.h"

#include <stdlib.h>

struct world {
    struct arena *arena;
    const struct procedure *procedure;
    const struct crew *crew;
    struct bill bill;
    struct rig rig;
    struct run *run;
    struct run_event *stored;
    size_t stored_count;
    int64_t now_ms;
};

enum { STORED_MAX = 4096 };

static bool begin_world(struct world *w)
{
    struct bill_wish wish;
    struct bill_why why;
    bill_wish_start(&wish);
    wish.pilot = true;
    if (bill_make(w->procedure, w->crew, &wish, &w->bill, &why) != BILL_FOUND)
        return false;
    bill_rig(&w->bill, w->procedure, &w->rig);
    w->run = arena_alloc(w->arena, sizeof *w->run);
    w->stored = arena_alloc(w->arena, STORED_MAX * sizeof *w->stored);
    run_start(w->run, &w->rig, &w->bill, RUN_DRILL);
    return true;
}

/* STEPS of three roles and two parts, a hand a role; RULES may be empty. */
static void open_world(struct world *w, const char *goal, const char *steps)
{
    static const char people[] =
        "format: 1\ncrew: Three\nhands:\n  - hand: Ann\n    knows: {r0: sure}\n"
        "  - hand: Ben\n    knows: {r1: sure}\n  - hand: Cem\n    knows: {r2: sure}\n";
    *w = (struct world){.arena = arena_new()};
    struct text rig = {0}, text = {0};
    made_up_rig(&rig, 3, 2, "");
    made_up_head(&text, 2);
    text_printf(&text, "goal: {%s}\nsteps:\n%s", goal, steps);
    w->procedure = made_up_load(&rig, &text, w->arena);
    struct diags *diags = diags_new(w->arena);
    w->crew = load_crew(source_new(w->arena, "crew", people, sizeof people - 1), w->arena,
                        diags);
    ck_assert(w->crew && begin_world(w));
    text_free(&rig);
    text_free(&text);
}

static enum run_taken give(struct world *w, enum run_kind kind, int step, int value)
{
    struct run_out out;
    struct run_event event = {.at_ms = w->now_ms,
                              .kind = (uint8_t)kind,
                              .step = (uint8_t)step,
                              .value = (int16_t)value};
    enum run_taken taken = run_apply(w->run, &event, &out);
    for (int i = 0; taken == RUN_TAKEN && i < out.count; i++) {
        ck_assert_uint_lt(w->stored_count, STORED_MAX);
        w->stored[w->stored_count++] = out.at[i];
    }
    return taken;
}

static void at(struct world *w, int64_t ms, enum run_kind kind, int step)
{
    w->now_ms = ms;
    ck_assert_int_eq(give(w, kind, step, 0), RUN_TAKEN);
}

static bool is_running(const struct world *w, int step)
{
    return rig_running(&w->run->now.rig) >> step & 1;
}

#define STEP(name, role, more)                                                           \
    "  - step: " name "\n    role: " role "\n    at: here\n    do: Do it.\n"             \
    "    takes: [1 s, 2 s, 3 s]\n" more

#define RULES(rules) "rules:\n" rules
#define HURTS        ", hurts: crew, signal: danger, because: It hurts.}\n"

/* s2 waits for b; by the time its hand is free it is c, and nobody will make it b. */
START_TEST(a_wait_that_was_missed_can_be_answered)
{
    struct world w;
    open_world(&w, "p1: a",
               STEP("s0", "r0", "    finish: {p0: b}\n")
                   STEP("s1", "r1", "    finish: {p0: c}\n    after: [s0]\n")
                       STEP("first", "r2", "") STEP("s2", "r2", "    wait: {p0: b}\n"));
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_MADE, 0);
    at(&w, 2000, RUN_MADE, 1);
    at(&w, 3000, RUN_MADE, 2);
    ck_assert(!is_running(&w, 3));
    at(&w, 4000, RUN_MADE, 3);
    ck_assert_int_eq(w.run->now.question, 3);
    ck_assert_uint_eq(w.run->now.question_missing, 0);
    at(&w, 5000, RUN_TOO, 3);
    ck_assert_int_eq(w.run->now.question, -1);
    ck_assert_int_eq(w.run->now.outcome, RUN_DONE);
    ck_assert(!(w.run->now.steps[3].flags & (RUN_STEP_BREACH | RUN_STEP_UNCLEAR)));
    at(&w, 6000, RUN_UNDONE, 0);
    at(&w, 7000, RUN_EARLY, 3);
    ck_assert(w.run->now.steps[3].flags & RUN_STEP_BREACH);
    arena_free(w.arena);
}
END_TEST

/* s1 gives p0 to s3, which comes after s2: made before, it is asked about. */
static void give_early(struct world *w)
{
    open_world(
        w, "p0: b",
        STEP("s0", "r0", "    tends: p0\n    start: {p0: b}\n")
            STEP("s1", "r0", "    hands-over: p0\n") STEP("s2", "r1", "    after: [s0]\n")
                STEP("s3", "r1", "    takes-over: p0\n")
                    STEP("s4", "r2", "    after: [s1]\n")
                        RULES("  - {rule: held, tended: p0, while: {p0: b}" HURTS));
    at(w, 0, RUN_GO, 0);
    at(w, 1000, RUN_MADE, 0);
    ck_assert(is_running(w, 1) && is_running(w, 2));
    at(w, 2000, RUN_MADE, 1);
    ck_assert_int_eq(w->run->now.question, 1);
    ck_assert_uint_eq(w->run->now.question_missing, 1u << 2 | 1u << 3);
    ck_assert_int_eq(w->run->now.rig.tender[0], -1); /* a mark is a fact */
}

START_TEST(a_line_let_go_before_it_is_taken_is_asked_about)
{
    struct world w;
    give_early(&w);
    at(&w, 3000, RUN_EARLY, 1);
    ck_assert(w.run->now.steps[1].flags & RUN_STEP_BREACH);
    ck_assert(!is_running(&w, 3));
    arena_free(w.arena);
    give_early(&w);
    int found = w.run->now.found_count;
    at(&w, 3000, RUN_TOO, 1);
    ck_assert_int_eq(w.run->now.question, -1);
    ck_assert_int_eq(w.run->now.rig.tender[0], 1);
    ck_assert_int_lt(w.run->now.found_count, found); /* it was held all the time */
    ck_assert(w.run->now.steps[3].flags & RUN_STEP_UNTIMED);
    ck_assert(!(w.run->now.steps[1].flags & (RUN_STEP_BREACH | RUN_STEP_UNCLEAR)));
    ck_assert_int_eq(w.run->now.steps[1].made_ms, 2000); /* its own mark stands */
    at(&w, 4000, RUN_MADE, 4);
    ck_assert_int_eq(w.run->now.outcome, RUN_DONE);
    arena_free(w.arena);
    give_early(&w);
    at(&w, 3000, RUN_MADE, 4);
    ck_assert(w.run->now.steps[1].flags & RUN_STEP_UNCLEAR);
    arena_free(w.arena);
}
END_TEST

/* The taker has it already, or is the same hand: nothing to ask. */
START_TEST(a_line_that_was_taken_is_not_asked_about)
{
    struct world w;
    open_world(&w, "p0: a",
               STEP("s0", "r0", "    tends: p0\n")
                   STEP("s1", "r0", "    hands-over: p0\n")
                       STEP("s2", "r1", "    takes-over: p0\n    after: [s0]\n"));
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_MADE, 0);
    ck_assert(is_running(&w, 1) && is_running(&w, 2));
    ck_assert_int_eq(run_due(w.run), 2); /* whatever else is planned by then */
    at(&w, 2000, RUN_MADE, 2);
    ck_assert_int_eq(run_due(w.run), 1);
    at(&w, 3000, RUN_MADE, 1);
    ck_assert_int_eq(w.run->now.question, -1);
    ck_assert_int_eq(w.run->now.outcome, RUN_DONE);
    arena_free(w.arena);
}
END_TEST

/* The answer puts the run's end before a hold that was given before the answer. */
START_TEST(a_hold_after_the_end_is_none)
{
    struct world w;
    open_world(&w, "p0: a", STEP("s0", "r0", "") STEP("s1", "r1", "    after: [s0]\n"));
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_MADE, 1);
    at(&w, 2000, RUN_HELD, 0);
    at(&w, 5000, RUN_WENT_ON, 0);
    at(&w, 6000, RUN_TOO, 1);
    ck_assert_int_eq(w.run->now.outcome, RUN_DONE);
    ck_assert_int_eq(w.run->now.over_ms, 1000);
    ck_assert_int_eq(w.run->now.held_ms, 0);
    ck_assert_int_eq(run_plan_ms(w.run, 9000), 1000);
    arena_free(w.arena);
}
END_TEST

START_TEST(a_step_begun_on_hold_is_late_by_its_own_time)
{
    struct world w;
    open_world(&w, "p0: a", STEP("s0", "r0", "") STEP("s1", "r0", ""));
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_HELD, 0);
    at(&w, 3000, RUN_MADE, 0);
    at(&w, 5000, RUN_WENT_ON, 0);
    ck_assert_int_eq(run_overdue_ms(w.run, 1, 8000), 0);
    ck_assert_int_eq(run_overdue_ms(w.run, 1, 8500), 500);
    at(&w, 9000, RUN_BEGUN, 1); /* it was seen to begin only now */
    ck_assert_int_eq(run_overdue_ms(w.run, 1, 12000), 0);
    ck_assert_int_eq(run_overdue_ms(w.run, 1, 12500), 500);
    arena_free(w.arena);
}
END_TEST

static const struct debrief_split *split_of(const struct debrief *debrief, int step)
{
    for (int i = 0; i < debrief->split_count; i++)
        if (debrief->splits[i].step == step)
            return &debrief->splits[i];
    ck_abort_msg("no split of step %d", step);
    return NULL;
}

/* s1 was made before anybody knew that it had begun; s2 rests on what nobody timed. */
START_TEST(no_split_without_a_start)
{
    struct world w;
    struct debrief debrief;
    open_world(&w, "p0: a",
               STEP("s0", "r0", "") STEP("s1", "r1", "    after: [s0]\n")
                   STEP("s2", "r0", "") STEP("s3", "r1", ""));
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_MADE, 1);
    at(&w, 1500, RUN_TOO, 1);
    at(&w, 3000, RUN_MADE, 2);
    at(&w, 3500, RUN_UNDONE, 0);
    at(&w, 4000, RUN_MADE, 2);
    at(&w, 5000, RUN_MADE, 3);
    debrief_make(w.run, 6000, &debrief);
    ck_assert_int_eq(split_of(&debrief, 0)->split_ms, -1);
    ck_assert_int_eq(split_of(&debrief, 1)->split_ms, -1);
    ck_assert_int_eq(split_of(&debrief, 1)->made_ms, 1000);
    for (int s = 0; s < 3; s++)
        ck_assert(!split_of(&debrief, s)->counts);
    ck_assert_int_eq(split_of(&debrief, 2)->split_ms, 3000);
    arena_free(w.arena);
}
END_TEST

/* s2 is done while s1 lasts: one after the other they would break the rule. */
START_TEST(made_at_once_is_made_as_planned)
{
    static const char steps[] = STEP("s0", "r2", "")
        STEP("s1", "r0", "    start: {p0: b}\n    finish: {p0: a}\n    after: [s0]\n")
            STEP("s2", "r1", "    wait: {p0: b}\n")
                STEP("s3", "r2", "    after: [s1, s2]\n")
                    RULES("  - {rule: within, when: {start: s2}, need: {p0: b}" HURTS);
    struct world w;
    open_world(&w, "p0: a", steps);
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_CAUGHT_UP, 3);
    ck_assert_int_eq(w.run->now.found_count, 0);
    ck_assert(is_running(&w, 3));
    ck_assert(w.run->now.steps[3].flags & RUN_STEP_SPANS); /* since when? */
    arena_free(w.arena);
    open_world(&w, "p0: a", steps);
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_ALL_MADE, 0);
    ck_assert_int_eq(w.run->now.found_count, 0);
    ck_assert_int_eq(w.run->now.outcome, RUN_UNTIMED);
    arena_free(w.arena);
}
END_TEST

START_TEST(all_made_is_not_always_the_goal)
{
    struct world w;
    open_world(&w, "p0: b",
               STEP("s0", "r0", "    finish: {p0: b}\n") STEP("s1", "r1", ""));
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_SKIPPED, 0);
    at(&w, 2000, RUN_ALL_MADE, 0);
    ck_assert_int_eq(w.run->now.outcome, RUN_NOT_AT_GOAL);
    ck_assert_int_eq(w.stored[w.stored_count - 1].kind, RUN_UNFINISHED);
    struct debrief debrief;
    debrief_make(w.run, 3000, &debrief);
    ck_assert(!debrief_clean(&debrief));
    arena_free(w.arena);
}
END_TEST

/* s1 made early breaks one rule; reckoning s2 would end that and break another. */
START_TEST(one_break_is_not_paid_with_another)
{
    static const char steps[] = STEP("s0", "r1", "    finish: {p1: b}\n")
        STEP("s1", "r0", "    start: {p0: b}\n    after: [s0]\n")
            STEP("s2", "r0", "    start: {p0: c}\n")
                RULES("  - {rule: one, never: {p0: b, p1: a}" HURTS
                      "  - {rule: two, never: {p0: c, p1: a}" HURTS);
    struct world w;
    open_world(&w, "p1: b", steps);
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_MADE, 1);
    ck_assert_int_eq(w.run->now.found_count, 1);
    ck_assert(!is_running(&w, 2));
    at(&w, 2000, RUN_MADE, 0);
    ck_assert(is_running(&w, 2));
    ck_assert_int_eq(w.run->now.found_count, 1); /* noted once */
    arena_free(w.arena);
}
END_TEST

/* Put away while it lasts, a warning comes again when the rule is broken once more. */
START_TEST(broken_once_more_it_warns_again)
{
    struct world w;
    open_world(&w, "p1: b",
               STEP("s0", "r0", "    finish: {p0: b}\n")
                   STEP("s1", "r0", "    finish: {p0: c}\n")
                       STEP("s2", "r0", "    finish: {p0: b}\n")
                           STEP("s3", "r0", "    finish: {p0: a}\n")
                               STEP("s4", "r1", "    finish: {p1: b}\n    after: [s3]\n")
                                   RULES("  - {rule: one, never: {p0: b, p1: b}" HURTS));
    at(&w, 0, RUN_GO, 0);
    at(&w, 1000, RUN_MADE, 4); /* early */
    ck_assert_int_eq(run_warning(w.run, NULL), -1);
    at(&w, 2000, RUN_MADE, 0);
    ck_assert_int_eq(run_warning(w.run, NULL), 0);
    ck_assert(w.run->now.found[0].broken);
    at(&w, 3000, RUN_SEEN, 0);
    at(&w, 4000, RUN_NOTED, 0);
    ck_assert_int_eq(run_warning(w.run, NULL), -1);
    ck_assert(w.run->now.found[0].broken);
    at(&w, 5000, RUN_MADE, 1);
    ck_assert(!w.run->now.found[0].broken);
    at(&w, 6000, RUN_MADE, 2);
    ck_assert(w.run->now.found[0].broken);
    ck_assert_int_eq(run_warning(w.run, NULL), 0);
    ck_assert_int_eq(w.run->now.found_count, 1);
    arena_free(w.arena);
}
END_TEST

static void check_view(const struct world *w)
{
    const struct run_view *now = &w->run->now;
    struct run *copy = arena_alloc(w->arena, sizeof *copy);
    *copy = *w->run;
    run_fold_start(copy, &copy->now);
    for (int i = 0; i < copy->event_count; i++)
        run_fold(copy, i, &copy->now);
    ck_assert(views_same(&copy->now, now));
    ck_assert_uint_eq(now->rig.done & ~now->rig.begun, 0);
    ck_assert_uint_eq(now->rig.skipped & now->rig.begun, 0);
    ck_assert_int_ge(now->held_ms, 0);
    ck_assert_int_eq(now->phase == RUN_OVER, now->over_ms >= 0);
    ck_assert_int_eq(now->phase == RUN_ON_HOLD, now->held_since_ms >= 0);
    ck_assert_int_le(run_plan_ms(w->run, w->now_ms), run_clock_ms(w->run, w->now_ms));
    for (int s = 0; s < w->procedure->step_count; s++)
        if (now->rig.done >> s & 1) {
            ck_assert_int_ge(now->steps[s].begun_ms, now->go_ms);
            ck_assert_int_ge(now->steps[s].made_ms, now->steps[s].begun_ms);
        }
}

static void check_stored(const struct world *w)
{
    struct run *again = arena_alloc(w->arena, sizeof *again);
    struct debrief debrief;
    run_start(again, &w->rig, &w->bill, RUN_DRILL);
    ck_assert(run_replay(again, w->stored, w->stored_count));
    ck_assert(views_same(&again->now, &w->run->now));
    debrief_make(again, w->now_ms, &debrief);
    for (int i = 0; i < debrief.split_count; i++)
        ck_assert(!debrief.splits[i].counts || debrief.splits[i].split_ms >= 0);
}

static void random_event(struct world *w, unsigned *seed)
{
    static const enum run_kind kinds[] = {
        RUN_MADE,    RUN_MADE,      RUN_MADE,    RUN_MADE,     RUN_BEGUN, RUN_TOO,
        RUN_TOO,     RUN_EARLY,     RUN_UNDONE,  RUN_HELD,     RUN_HELD,  RUN_WENT_ON,
        RUN_SKIPPED, RUN_CAUGHT_UP, RUN_RESUMED, RUN_ALL_MADE, RUN_SEEN};
    enum run_kind kind = kinds[one_of(seed, sizeof kinds / sizeof kinds[0])];
    int step = one_of(seed, w->procedure->step_count);
    if (kind == RUN_TOO || kind == RUN_EARLY)
        step = w->run->now.question >= 0 ? w->run->now.question : step;
    w->now_ms += 100 + one_of(seed, 900);
    give(w, kind, step, one_of(seed, 3));
}

START_TEST(storms_over_random_procedures)
{
    int played = 0, over = 0;
    for (unsigned round = 0; round < 300; round++) {
        unsigned seed = round * 7621u + (unsigned)_i * 611953u + 1u;
        struct world w = {.arena = arena_new()};
        const char *text;
        int roles = 2 + one_of(&seed, 3);
        w.procedure = random_procedure(w.arena, &seed, roles, &text);
        w.crew = random_crew(w.arena, &seed, roles);
        if (w.procedure && begin_world(&w)) {
            played++;
            give(&w, RUN_GO, 0, 0);
            for (int i = 0; i < 40; i++) {
                random_event(&w, &seed);
                check_view(&w);
            }
            over += w.run->now.phase == RUN_OVER;
            check_stored(&w);
        }
        arena_free(w.arena);
    }
    ck_assert_int_gt(played, 20);
    ck_assert_int_gt(over, 5);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("run, folded");
    TCase *tests = tcase_create("looking back");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_wait_that_was_missed_can_be_answered);
    tcase_add_test(tests, a_line_let_go_before_it_is_taken_is_asked_about);
    tcase_add_test(tests, a_line_that_was_taken_is_not_asked_about);
    tcase_add_test(tests, a_hold_after_the_end_is_none);
    tcase_add_test(tests, a_step_begun_on_hold_is_late_by_its_own_time);
    tcase_add_test(tests, no_split_without_a_start);
    tcase_add_test(tests, made_at_once_is_made_as_planned);
    tcase_add_test(tests, all_made_is_not_always_the_goal);
    tcase_add_test(tests, one_break_is_not_paid_with_another);
    tcase_add_test(tests, broken_once_more_it_warns_again);
    tcase_add_loop_test(tests, storms_over_random_procedures, 0, 4);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
