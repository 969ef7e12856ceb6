/* The screens without a terminal: storms of random keys at random sizes never crash, and
 * every run they leave in the logbook replays to itself. The way on from a live run. */
#include "app_stage.h"

#include "screens/resume.h"

#include <sqlite3.h>

struct replays {
    struct stage *stage;
    int count;
};

static void replay_run(const struct logbook_run *record, void *payload)
{
    struct replays *replays = payload;
    struct stage *s = replays->stage;
    struct arena *arena = arena_new();
    struct resumed *resumed = arena_alloc(arena, sizeof *resumed);
    struct text why = {0};
    ck_assert_msg(
        resume_read(s->logbook, record->id, arena, diags_new(arena), resumed, &why), "%s",
        why.at ? why.at : "its files do not load");
    replays->count++;
    text_free(&why);
    arena_free(arena);
}

static const char common_keys[] = "\n\n\n\n        1234567890yytehhucsnbaxr!flmpwg?";

static void storm(struct stage *s, unsigned *seed, int keys)
{
    for (int i = 0; i < keys && !s->app.over; i++) {
        unsigned kind = shipped_random(seed) % 10;
        uint32_t key =
            (uint32_t)common_keys[shipped_random(seed) % (sizeof common_keys - 1)];
        if (key == '\n')
            key = PRESS_ENTER;
        if (kind == 0)
            key = PRESS_UP + shipped_random(seed) % (PRESS_BEYOND - PRESS_UP);
        else if (kind == 1)
            key = shipped_random(seed) % 0x3000;
        if (key == 'q')
            continue;
        s->now_ms += shipped_random(seed) % 700;
        app_press(&s->app, key, kind == 2 && shipped_random(seed) % 4 == 0);
        app_draw(&s->app, &s->canvas, 1 + (int)(shipped_random(seed) % 60),
                 1 + (int)(shipped_random(seed) % 200));
    }
}

static const struct {
    const char *crew, *procedure;
} storms[] = {{"crew", "dip-pole-jibe"},
              {"pair", "sock-takedown-two"},
              {"dinghy", "chute-recovery"},
              {"crew", NULL}};

START_TEST(storms_of_keys)
{
    struct stage *s =
        open_stage(storms[_i % 4].crew, storms[_i % 4].procedure, _i % 4 == 1);
    unsigned seed = 4711u * (unsigned)(_i + 1);
    storm(s, &seed, 300);
    struct replays replays = {.stage = s};
    ck_assert(logbook_each(s->logbook, 0, replay_run, &replays));
    ck_assert(replays.count > 0 || !storms[_i % 4].procedure);
    close_stage(s);
}
END_TEST

/* The logbook is locked by another program when the run begins and free later on. */
START_TEST(a_run_the_logbook_did_not_take_is_stored_when_it_does)
{
    struct stage *s = open_stage("pair", "sock-takedown-two", true);
    sqlite3 *other;
    const char *path = arena_printf(s->arena, "%s/logbook.db", s->folder);
    ck_assert_int_eq(sqlite3_open(path, &other), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    press(s, "\n\n\n\n\n  ");
    ck_assert(shows(s, "NOT RECORDED"));
    ck_assert_int_eq(s->app.session.record.id, 0);
    ck_assert_int_eq(sqlite3_close(other), SQLITE_OK); /* and so it rolls back */
    s->now_ms += 5000;
    session_retry(&s->app.session);
    ck_assert(!shows(s, "NOT RECORDED") && s->app.session.record.id > 0);
    press(s, " ");
    struct replays replays = {.stage = s};
    ck_assert(logbook_each(s->logbook, 0, replay_run, &replays));
    ck_assert_int_eq(replays.count, 1);
    struct resumed *resumed = arena_alloc(s->arena, sizeof *resumed);
    struct text why = {0};
    ck_assert(resume_read(s->logbook, s->app.session.record.id, s->arena,
                          diags_new(s->arena), resumed, &why));
    const struct session *session = &s->app.session;
    ck_assert_uint_gt(resumed->event_count, 7);
    size_t count;
    const struct run_event *events = session_events(session, s->arena, &count);
    ck_assert_uint_eq(resumed->event_count, count);
    ck_assert_mem_eq(resumed->events, events, count * sizeof *events);
    close_stage(s);
}
END_TEST

START_TEST(the_two_of_them_and_a_sheet_that_will_not_ease)
{
    struct stage *s = open_stage("pair", "sock-takedown-two", true);
    press(s, "\n\n\n\n\n"); /* four checks, the go */
    ck_assert(shows(s, "Space made"));
    press(s, "     ");
    ck_assert(shows(s, "STUCK") == false && shows(s, "holds port sheet"));
    press(s, "r");
    ck_assert(shows(s, "The sheet will not ease"));
    app_press(&s->app, PRESS_DOWN, false);
    press(s, "\n");
    ck_assert(shows(s, "fits; 2 or more hands") && shows(s, "Sheet that will not ease"));
    press(s, "\n");
    ck_assert_str_eq(s->app.session.procedure->name, "sheet-stuck-recovery");
    ck_assert_int_eq(s->app.session.run.now.phase, RUN_LIVE);
    press(s, "       ");
    ck_assert(shows(s, "Done in"));
    press(s, "r\n"); /* go on: nothing has happened since */
    ck_assert(shows(s, "Sock takedown, two hands and the pilot"));
    press(s, "\n");
    ck_assert_str_eq(s->app.session.procedure->name, "sock-takedown-two");
    press(s, "            ");
    ck_assert_msg(s->app.session.run.now.outcome == RUN_DONE, "%d",
                  s->app.session.run.now.outcome);
    struct replays replays = {.stage = s};
    ck_assert(logbook_each(s->logbook, 0, replay_run, &replays));
    ck_assert_int_eq(replays.count, 3);
    close_stage(s);
}
END_TEST

START_TEST(after_the_boom_the_other_side_is_to_windward)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "\n\n\n\n\n\n\n");
    const struct run *run = &s->app.session.run;
    int boom = procedure_step(s->app.session.procedure, "boom");
    while (!(run->now.rig.done >> boom & 1))
        press(s, " ");
    struct offers *offers = arena_alloc(s->arena, sizeof *offers);
    const struct rig_plan *plan = s->app.session.procedure->plan;
    int wrap = 0;
    while (strcmp(plan->mishaps[wrap].name, "wrap") != 0)
        wrap++;
    recover_offers(s->library, run, wrap, s->arena, offers);
    ck_assert_str_eq(offers->at[0].procedure->name, "wrap-recovery");
    ck_assert_msg(offers->at[0].off == 0, "%s",
                  plan->parts[offers->at[0].first_off].name);
    ck_assert_int_eq(offers->at[0].procedure->board, BOARD_PORT);
    struct bill bill;
    struct bill_why why;
    bool kept;
    ck_assert_int_eq(
        recover_bill(&offers->at[0], run, s->app.session.crew, &bill, &why, &kept),
        BILL_FOUND);
    ck_assert(bill.from_state);
    close_stage(s);
}
END_TEST

static int find_offer(const struct offers *offers, const char *procedure, int turned)
{
    for (int i = 0; i < offers->count; i++)
        if (strcmp(offers->at[i].procedure->name, procedure) == 0 &&
            offers->at[i].turned == turned)
            return i;
    return -1;
}

/* A twist above the deck and a wrap round the forestay are two settings of one option:
 * both fit the rig, and the crew chooses what it sees. */
START_TEST(a_way_on_is_offered_with_each_option_turned)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "gyr\n");
    const struct offers *offers = s->app.offers;
    ck_assert_int_eq(find_offer(offers, "wrap-recovery", -1), 0);
    ck_assert_int_eq(find_offer(offers, "wrap-recovery", 0), 1);
    ck_assert(offers->at[0].procedure->options[0].on);
    ck_assert(!offers->at[1].procedure->options[0].on);
    ck_assert_int_lt(offers->at[1].procedure->step_count,
                     offers->at[0].procedure->step_count);
    ck_assert(shows(s, "Wrapped kite, with round-stay=no"));
    app_press(&s->app, PRESS_DOWN, false);
    ck_assert(shows(s, "[ ] round-stay"));
    press(s, "\n");
    ck_assert_str_eq(s->app.session.record.options, "round-stay=no");
    app_end(&s->app); /* killed, and taken up with that option */
    start_app(s, NULL, false);
    press(s, "r");
    ck_assert_str_eq(s->app.session.procedure->name, "wrap-recovery");
    ck_assert(!s->app.session.procedure->options[0].on);
    close_stage(s);
}
END_TEST

/* What was settled at the brief holds in what comes next. */
START_TEST(the_options_of_the_run_are_kept_in_what_is_offered)
{
    struct stage *s = open_stage("crew", NULL, false);
    static const char *const words[] = {"foreguy-mark=yes", "self-tailers=no"};
    const struct app_choice choice = {
        .procedure = "dip-pole-jibe",
        .board = BOARD_STARBOARD,
        .mode = RUN_DRILL,
        .options = &(struct load_choice){.options = words, .option_count = 2}};
    const struct app_world world = s->app.world;
    app_end(&s->app);
    app_start(&s->app, &world, &choice);
    press(s, "gy");
    struct offers *offers = arena_alloc(s->arena, sizeof *offers);
    recover_offers(s->library, &s->app.session.run, -1, s->arena, offers);
    int again = find_offer(offers, "dip-pole-jibe", -1);
    ck_assert_int_ge(again, 0);
    for (int i = 0; i < offers->at[again].procedure->option_count; i++) {
        const struct option *option = &offers->at[again].procedure->options[i];
        ck_assert(option->on == (strcmp(option->name, "foreguy-mark") == 0));
    }
    close_stage(s);
}
END_TEST

/* However many files there are, none that fits is pushed out by those that do not. */
START_TEST(what_fits_is_offered_among_many)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "gy");
    struct library *many = arena_alloc(s->arena, sizeof *many);
    *many = *s->library;
    many->procedure_count = 0;
    int hoist = library_find(s->library, "bear-away-set");
    for (int i = 0; i < 2 * OFFERS_MAX; i++)
        library_add(many, s->library->procedures[hoist], false);
    for (int i = 0; i < s->library->procedure_count; i++)
        library_add(many, s->library->procedures[i], false);
    struct offers *few = arena_alloc(s->arena, sizeof *few);
    struct offers *most = arena_alloc(s->arena, sizeof *most);
    recover_offers(s->library, &s->app.session.run, -1, s->arena, few);
    recover_offers(many, &s->app.session.run, -1, s->arena, most);
    ck_assert_int_eq(most->count, OFFERS_MAX);
    for (int i = 0; i < few->count && !few->at[i].off; i++) {
        ck_assert_str_eq(most->at[i].procedure->name, few->at[i].procedure->name);
        ck_assert_int_eq(most->at[i].turned, few->at[i].turned);
    }
    ck_assert_int_eq(few->at[0].off, 0);
    close_stage(s);
}
END_TEST

START_TEST(a_hand_lost)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "\n\n\n\n\n\n\n   ");
    step_set done = s->app.session.run.now.rig.done;
    int lanes = s->app.session.bill.lane_count;
    press(s, "x");
    press(s, "7"); /* the mast hand; the bow hand knows the mast as well */
    ck_assert_int_eq(s->app.session.bill.lane_count, lanes - 1);
    ck_assert_uint_eq(s->app.session.run.now.rig.done & done, done);
    ck_assert_int_eq(s->app.session.run.now.phase, RUN_LIVE);
    for (int lost = 0; lost < 5 && s->app.session.run.now.phase == RUN_LIVE; lost++)
        press(s, "x1"); /* until the duties left cannot be kept */
    ck_assert_int_eq(s->app.session.run.now.phase, RUN_ON_HOLD);
    ck_assert(shows(s, "No bill without"));
    close_stage(s);
}
END_TEST

struct seen {
    int count, open, stopped;
    int64_t events;
};

static void see_run(const struct logbook_run *record, void *payload)
{
    struct seen *seen = payload;
    seen->count++;
    seen->open += !record->closed;
    seen->stopped += record->closed && record->outcome == RUN_WAS_STOPPED;
    seen->events += record->event_count;
}

static struct seen see(struct stage *s)
{
    struct seen seen = {0};
    ck_assert(logbook_each(s->logbook, 0, see_run, &seen));
    return seen;
}

static void is_taken_up(struct stage *s, const char *procedure)
{
    struct logbook_run open;
    ck_assert(logbook_find_open(s->logbook, s->arena, &open));
    ck_assert_str_eq(open.procedure, procedure);
}

/* The ways out of the brief: leave, Control-C, back to the muster. */
START_TEST(a_brief_that_was_left_is_not_taken_up)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "gy"); /* a run that really began, and then the program was killed */
    app_end(&s->app);
    start_app(s, "end-for-end-jibe", false);
    press(s, "\n\n");
    ck_assert_int_eq(see(s).open, 2);
    if (_i == 0)
        press(s, "q");
    else if (_i == 1)
        app_interrupt(&s->app);
    else
        app_press(&s->app, PRESS_ESCAPE, false);
    ck_assert(s->app.over == (_i < 2));
    app_end(&s->app);
    struct seen seen = see(s);
    ck_assert_int_eq(seen.count, 2);
    ck_assert_int_eq(seen.open, 1);
    ck_assert_int_eq(seen.stopped, 1);
    ck_assert_int_ge(seen.events, 5); /* go; two answers and the stop */
    is_taken_up(s, "dip-pole-jibe");
    start_app(s, NULL, false);
    press(s, "r");
    ck_assert_int_eq(s->app.session.run.now.phase, RUN_LIVE);
    close_stage(s);
}
END_TEST

/* Killed at its brief a run stays open, behind any that had its go. */
START_TEST(a_run_that_began_is_taken_up_before_a_brief)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "gy");
    app_end(&s->app);
    start_app(s, "end-for-end-jibe", false);
    press(s, "\n");
    app_end(&s->app);
    ck_assert_int_eq(see(s).open, 2);
    is_taken_up(s, "dip-pole-jibe");
    start_app(s, NULL, false);
    press(s, "rqy\n"); /* stopped; then the other one is the newest */
    is_taken_up(s, "end-for-end-jibe");
    close_stage(s);
}
END_TEST

/* What is only looked at leaves no trace. */
START_TEST(a_brief_without_an_answer_is_no_run)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "q");
    ck_assert(s->app.over);
    ck_assert_int_eq(see(s).count, 0);
    close_stage(s);
}
END_TEST

START_TEST(the_same_crew_in_two_keys)
{
    struct stage *s = open_stage("crew", "end-for-end-jibe", false);
    press(s, "\n\n\n\n\n\n  \n");
    for (int i = 0; i < 60 && s->app.session.run.now.phase == RUN_LIVE; i++)
        press(s, " ");
    ck_assert(shows(s, "Done in"));
    press(s, "\n"); /* to the muster; another procedure, another board */
    app_press(&s->app, PRESS_UP, false);
    press(s, "b");
    press(s, "l\n");
    ck_assert_str_eq(s->app.session.procedure->name, "end-for-end-jibe");
    ck_assert_int_eq(s->app.session.procedure->board, BOARD_STARBOARD);
    ck_assert(shows(s, "Brief"));
    close_stage(s);
}
END_TEST

static void count_ring(void *self)
{
    ++*(int *)self;
}

/* Nobody has a hand free: each call of the plan rings once, and nothing is overdue. */
START_TEST(the_calls_of_the_plan_ring)
{
    struct stage *s = open_stage("pair", "sock-takedown-two", true);
    int rings = 0, calls = 0, called = -1;
    s->app.world.bell = count_ring;
    s->app.world.self = &rings;
    s->app.session.run.mode = RUN_AFLOAT;
    press(s, "\n\n\n\n\n");
    const struct run *run = &s->app.session.run;
    while (run_called(run, app_now_ms(&s->app)) >= 0) {
        s->now_ms += 100;
        app_ring(&s->app);
        int step = run_called(run, app_now_ms(&s->app));
        calls += app_follows_plan(&s->app) && step >= 0 && step != called;
        called = step;
    }
    ck_assert_int_gt(calls, 3);
    ck_assert_int_eq(rings, calls + 1); /* the first call was overdue before */
    ck_assert(shows(s, "nothing is marked") && !shows(s, "OVER "));
    close_stage(s);
}
END_TEST

/* The seconds that are left by the plan, as the screen tells them. */
static double left_s(struct stage *s)
{
    struct text out = {0};
    app_draw(&s->app, &s->canvas, 24, 80);
    canvas_write_text(&s->canvas, &out);
    const char *left = strstr(out.at, "planned in "), *late = strstr(out.at, "plan by ");
    ck_assert_msg(!left != !late, "%s", out.at);
    double seconds = left ? strtod(left + strlen("planned in "), NULL)
                          : -strtod(late + strlen("plan by "), NULL);
    text_free(&out);
    return seconds;
}

/* From early to overdue it is one figure, which only falls. */
START_TEST(late_is_told_on_one_scale)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "\n\n\n\n\n\n\n");
    double last = left_s(s);
    ck_assert(last > 2);
    for (int tenth = 0; tenth < 200; tenth++) {
        s->now_ms += 100;
        double now = left_s(s);
        ck_assert_double_eq_tol(last - now, 0.1, 0.01);
        last = now;
    }
    ck_assert(shows(s, "OVERDUE, behind the plan by 17.0 s"));
    close_stage(s);
}
END_TEST

START_TEST(a_key_that_is_ignored_is_told)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "\n\n\n\n\n\n\n ");
    s->now_ms += 299;
    app_press(&s->app, ' ', false);
    ck_assert(shows(s, "Ignored: the same key again within 300 ms."));
    s->now_ms += 1;
    app_press(&s->app, ' ', false);
    ck_assert(!shows(s, "Ignored"));
    close_stage(s);
}
END_TEST

START_TEST(a_paste_is_text_and_never_a_command)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "\n\n\n\n\n\n\n");
    app_press(&s->app, 'q', true);
    app_press(&s->app, 'y', true);
    ck_assert_int_eq(s->app.session.run.now.phase, RUN_LIVE);
    press(s, "n");
    for (const char *c = "quit\nyes"; *c; c++)
        app_press(&s->app, *c == '\n' ? PRESS_ENTER : (uint32_t)*c, true);
    ck_assert(shows(s, "Note: quit"));
    press(s, "\n");
    ck_assert_int_eq(s->app.session.run.now.notes, 1);
    close_stage(s);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("app");
    TCase *tests = tcase_create("app");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, storms_of_keys, 0, 8);
    tcase_add_test(tests, a_run_the_logbook_did_not_take_is_stored_when_it_does);
    tcase_add_test(tests, the_two_of_them_and_a_sheet_that_will_not_ease);
    tcase_add_test(tests, after_the_boom_the_other_side_is_to_windward);
    tcase_add_test(tests, a_way_on_is_offered_with_each_option_turned);
    tcase_add_test(tests, the_options_of_the_run_are_kept_in_what_is_offered);
    tcase_add_test(tests, what_fits_is_offered_among_many);
    tcase_add_test(tests, a_hand_lost);
    tcase_add_loop_test(tests, a_brief_that_was_left_is_not_taken_up, 0, 3);
    tcase_add_test(tests, a_run_that_began_is_taken_up_before_a_brief);
    tcase_add_test(tests, a_brief_without_an_answer_is_no_run);
    tcase_add_test(tests, the_same_crew_in_two_keys);
    tcase_add_test(tests, the_calls_of_the_plan_ring);
    tcase_add_test(tests, late_is_told_on_one_scale);
    tcase_add_test(tests, a_key_that_is_ignored_is_told);
    tcase_add_test(tests, a_paste_is_text_and_never_a_command);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
