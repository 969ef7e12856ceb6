/* Everything the brief, the debrief, the help and the muster have to say can be reached
 * with the keys at every size, and where there is more the screen says so. */
#include "app_stage.h"

#include "cards/words.h"

static const struct size {
    int rows, columns;
} sizes[] = {{14, 40}, {24, 80}, {40, 120}, {60, 200}};

enum { SIZES = sizeof sizes / sizeof *sizes, PRESSES_MOST = 400 };

/* One screen as text with all blanks and line ends as one blank, so that wrapped words
 * are found. */
static void add_flat(struct stage *s, struct size size, struct text *out)
{
    struct text rows = {0};
    app_draw(&s->app, &s->canvas, size.rows, size.columns);
    canvas_write_text(&s->canvas, &rows);
    bool blank = true;
    for (const char *c = rows.at; *c; c++) {
        bool is_blank = *c == ' ' || *c == '\n';
        if (!is_blank || !blank)
            text_add_bytes(out, is_blank ? " " : c, 1);
        blank = is_blank;
    }
    text_add(out, "\n");
    text_free(&rows);
}

static bool has(const struct text *text, const char *words)
{
    return strstr(text->at, words) != NULL;
}

/* The screen before and after each press of KEY until it stays as it is, then in LAST. */
static struct text read_far(struct stage *s, struct size size, uint32_t key,
                            struct text *last)
{
    struct text all = {0}, before = {0};
    add_flat(s, size, &before);
    for (int i = 0; i < PRESSES_MOST; i++) {
        struct text after = {0};
        text_add(&all, before.at);
        app_press(&s->app, key, false);
        add_flat(s, size, &after);
        bool same = strcmp(before.at, after.at) == 0;
        ck_assert_msg(same || has(&before, "More"), "%s", before.at);
        text_free(&before);
        before = after;
        if (same)
            break;
    }
    *last = before;
    return all;
}

/* The same, and then nothing is left below. */
static struct text read_on(struct stage *s, struct size size, uint32_t key)
{
    struct text last, all = read_far(s, size, key, &last);
    ck_assert_msg(!has(&last, "More below"), "%s", last.at);
    text_free(&last);
    return all;
}

static void check_brief(struct stage *s, const struct text *all)
{
    const struct session *session = &s->app.session;
    const struct procedure *procedure = session->procedure;
    for (int lane = 0; lane < session->bill.lane_count; lane++)
        ck_assert(has(all, session->crew->hands[session->bill.hand[lane]].name));
    for (int i = 0; i < procedure->check_count; i++) {
        /* a long question is wrapped, and a screen may end in it */
        char begin[16];
        snprintf(begin, sizeof begin, "%.15s", procedure->checks[i].question);
        ck_assert_msg(has(all, begin), "%s", begin);
    }
    ck_assert(session->must_not_miss_count > 0);
    ck_assert(has(all, "Must not be missed"));
    ck_assert(has(all, "CARDS"));
    ck_assert(has(all, "CAUTIONS"));
    int last = procedure->rules.count - 1;
    while (last > 0 && procedure->rules.at[last].signal != SIGNAL_DANGER)
        last--;
    char begin[24];
    snprintf(begin, sizeof begin, "%.23s", procedure->rules.at[last].because);
    ck_assert_msg(has(all, begin), "%s", begin);
}

START_TEST(the_brief_by_line_and_by_page)
{
    static const uint32_t keys[] = {PRESS_DOWN, PRESS_PAGE_DOWN};
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    struct text all = read_on(s, sizes[_i % SIZES], keys[_i / SIZES]);
    check_brief(s, &all);
    text_free(&all);
    close_stage(s);
}
END_TEST

START_TEST(tab_goes_through_the_lists_of_the_brief_and_back)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    static const char *const heads[] = {"CHECKS", "CARDS", "CAUTIONS", "BILL"};
    for (int i = 0; i < 4; i++) {
        struct text now = {0};
        app_press(&s->app, PRESS_TAB, false);
        add_flat(s, sizes[0], &now);
        ck_assert_msg(has(&now, heads[i]), "%s: %s", heads[i], now.at);
        text_free(&now);
    }
    close_stage(s);
}
END_TEST

/* The question that Enter answers stands whatever is scrolled. */
START_TEST(the_question_stays)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    for (int i = 0; i < 30; i++) {
        struct text now = {0};
        add_flat(s, sizes[_i], &now);
        ck_assert_msg(has(&now, "ASK Caller"), "%s", now.at);
        text_free(&now);
        app_press(&s->app, PRESS_DOWN, false);
    }
    close_stage(s);
}
END_TEST

START_TEST(the_debrief)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "gy");
    press(s, "4512367"); /* early marks: rules are broken */
    press(s, "nwind against tide\n");
    press(s, "qy");
    const struct run_view *now = &s->app.session.run.now;
    ck_assert_int_eq(now->phase, RUN_OVER);
    ck_assert(now->found_count > 1);
    struct text all = read_on(s, sizes[_i], PRESS_DOWN);
    ck_assert(has(&all, "rules broken"));
    ck_assert(has(&all, ", also the need of"));
    ck_assert(has(&all, "note: wind against tide"));
    ck_assert(has(&all, "old sheet off"));
    for (int i = 0; i < now->found_count; i++) {
        struct text found = {0};
        if (run_same_danger(&s->app.session.run, i) != i)
            continue; /* said with the other that tells of it */
        bill_say_finding(&now->found[i].finding, &s->app.session.rig,
                         &s->app.session.bill, s->app.session.crew, &found);
        char begin[24];
        snprintf(begin, sizeof begin, "%.23s", found.at);
        ck_assert_msg(has(&all, begin), "%s", begin);
        text_free(&found);
    }
    text_free(&all);
    close_stage(s);
}
END_TEST

START_TEST(the_help)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "?");
    struct text all = read_on(s, sizes[_i], PRESS_DOWN);
    for (const struct key_entry *entry = brief_screen.keys; entry->act; entry++)
        ck_assert_msg(!entry->help || has(&all, entry->shown), "%s", entry->shown);
    text_free(&all);
    close_stage(s);
}
END_TEST

START_TEST(the_details_of_the_muster)
{
    struct stage *s = open_stage("crew", NULL, false);
    press(s, "d");
    struct text all = read_on(s, sizes[_i], PRESS_DOWN);
    const struct procedure *procedure = s->app.kit.procedure;
    char begin[24];
    snprintf(begin, sizeof begin, "%.23s", procedure->about);
    ck_assert(has(&all, begin));
    ck_assert(has(&all, "WHO DOES WHAT"));
    ck_assert(has(&all, s->crew->hands[s->crew->hand_count - 1].name));
    text_free(&all);
    press(s, "d");
    ck_assert_int_eq(s->app.pane, PANE_PROCEDURES);
    close_stage(s);
}
END_TEST

/* What is said of the choice on the way on can be read to its end, what is done by heart
 * first; and so can the list, one choice after the other. */
START_TEST(what_fits_is_said_in_full)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "gyr\n");
    ck_assert(s->app.offers && s->app.offers->count > 1);
    const struct procedure *first = s->app.offers->at[0].procedure;
    const char *about = first->about;
    struct text last, all = read_far(s, sizes[_i], PRESS_PAGE_DOWN, &last);
    const char *end = about + strlen(about) - 12;
    ck_assert_msg(has(&all, end), "%s", end);
    for (int step = 0; step < first->step_count; step++) {
        char begin[16];
        snprintf(begin, sizeof begin, "%.15s", first->steps[step].doing);
        const char *by_heart = strstr(all.at, begin);
        ck_assert(!first->steps[step].memory ||
                  (by_heart && by_heart < strstr(all.at, "fits; ")));
    }
    text_free(&all);
    text_free(&last);
    struct text end_of_list = {0};
    for (int i = 0; i < s->app.offers->count; i++)
        app_press(&s->app, PRESS_DOWN, false);
    add_flat(s, sizes[_i], &end_of_list);
    ck_assert_msg(!has(&end_of_list, "More below"), "%s", end_of_list.at);
    text_free(&end_of_list);
    close_stage(s);
}
END_TEST

static void go(struct stage *s)
{
    press(s, "gy");
    ck_assert_int_eq(s->app.session.run.now.phase, RUN_LIVE);
}

/* Each hand can be chosen, and then stands there with its line in full. */
START_TEST(every_hand_of_the_live_run)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    go(s);
    const struct session *session = &s->app.session;
    for (int lane = 0; lane < session->bill.lane_count; lane++) {
        struct text now = {0}, holds = {0};
        app_press(&s->app, PRESS_DOWN, false);
        add_flat(s, sizes[_i], &now);
        const char *name = session->crew->hands[session->bill.hand[lane]].name;
        struct text chosen = {0};
        text_printf(&chosen, ">%d %s", lane + 1, name);
        ck_assert_msg(has(&now, chosen.at), "%s: %s", chosen.at, now.at);
        text_free(&chosen);
        words_holds(&session->rig, &session->run.now.rig, lane, &holds);
        ck_assert_msg(!holds.at || has(&now, holds.at), "%s: %s", holds.at, now.at);
        text_free(&holds);
        text_free(&now);
    }
    close_stage(s);
}
END_TEST

/* Hands that are not on the screen are counted there. */
START_TEST(hands_that_do_not_fit_are_counted)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    go(s);
    const struct session *session = &s->app.session;
    struct text now = {0};
    add_flat(s, sizes[_i], &now);
    int hidden = 0;
    for (int lane = 0; lane < session->bill.lane_count; lane++) {
        struct text line = {0};
        text_printf(&line, " %d %s ", lane + 1,
                    session->crew->hands[session->bill.hand[lane]].name);
        hidden += !has(&now, line.at);
        text_free(&line);
    }
    struct text sign = {0};
    text_printf(&sign,
                hidden < session->bill.lane_count ? " %d more hand" : " all %d hand",
                hidden);
    ck_assert_int_eq(has(&now, sign.at), hidden > 0);
    text_free(&sign);
    ck_assert_int_eq(hidden > 0, _i == 0);
    text_free(&now);
    close_stage(s);
}
END_TEST

/* What is to be done and what warns stand in full whatever the size, for each call of
 * two jibes; nobody may have to guess the end of a caution. */
START_TEST(each_caution_of_the_live_run_is_whole)
{
    static const char *const jibes[] = {"dip-pole-jibe", "end-for-end-jibe"};
    struct stage *s = open_stage("crew", jibes[_i / SIZES], false);
    go(s);
    const struct session *session = &s->app.session;
    int called = 0, cautions = 0;
    while (s->app.session.run.now.phase == RUN_LIVE && called++ < 60) {
        int step = run_due(&session->run);
        struct text now = {0};
        add_flat(s, sizes[_i % SIZES], &now);
        const struct warning *warn =
            step < 0 ? NULL : &session->procedure->steps[step].warn;
        if (warn && warn->signal) {
            cautions++;
            ck_assert_msg(has(&now, signal_name(warn->signal)), "%s", now.at);
            const char *end = strrchr(warn->avoid, ' ');
            ck_assert_msg(has(&now, end ? end + 1 : warn->avoid), "%s in %s", warn->avoid,
                          now.at);
        }
        text_free(&now);
        press(s, " ");
    }
    ck_assert_int_gt(cautions, 10);
    ck_assert_int_eq(session->run.now.outcome, RUN_DONE);
    close_stage(s);
}
END_TEST

static int blank_rows(const struct canvas *canvas)
{
    int blank = 0;
    for (int row = 0; row < canvas->rows; row++) {
        int column = 0;
        while (column < canvas->columns && canvas_cell(canvas, row, column)->glyph == ' ')
            column++;
        blank += column == canvas->columns;
    }
    return blank;
}

static int call_rows(const struct canvas *canvas)
{
    int last = 0;
    for (int row = 1; row < canvas->rows; row++)
        for (int column = 0; column < canvas->columns; column++)
            if (canvas_cell(canvas, row, column)->style == STYLE_CALL)
                last = row;
    return last;
}

/* A large window is used: letters of twice the size and more, what comes next, its
 * cautions, the rest of each card; few rows stay empty. */
START_TEST(a_large_window_is_used)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    go(s);
    struct text now = {0};
    add_flat(s, sizes[2 + _i], &now);
    ck_assert_int_ge(call_rows(&s->canvas), _i ? 21 : 15);
    ck_assert_int_le(blank_rows(&s->canvas), 6);
    ck_assert(has(&now, "NOT YET, with the second of the plan"));
    ck_assert(has(&now, "bear away: Ottilie, on \"Bear away\""));
    ck_assert(has(&now, "bow out: The pole end passes at head height."));
    ck_assert(has(&now, "then ease guy, guy on"));
    text_free(&now);
    close_stage(s);
}
END_TEST

/* Where people step overboard everything of it is there at the smallest size. */
START_TEST(the_memory_items_are_whole)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    go(s);
    press(s, "!");
    struct text now = {0};
    add_flat(s, sizes[_i], &now);
    for (int i = 0; words_overboard(i, _i == 0); i++)
        ck_assert_msg(has(&now, words_overboard(i, _i == 0)), "%s", now.at);
    ck_assert(has(&now, "your own drill come first."));
    text_free(&now);
    close_stage(s);
}
END_TEST

/* A message or question that is longer than its line is not cut. */
START_TEST(questions_and_messages_are_whole)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    go(s);
    struct text now = {0};
    press(s, "s");
    add_flat(s, sizes[_i], &now);
    ck_assert_msg(has(&now, "nothing of it will have happened."), "%s", now.at);
    text_free(&now);
    press(s, "nx1x1x1x1");
    add_flat(s, sizes[_i], &now);
    ck_assert_msg(has(&now, "HOLD: somebody takes that, then R recovers."), "%s", now.at);
    text_free(&now);
    close_stage(s);
}
END_TEST

/* A hint says what the key does as things stand. */
START_TEST(hints_follow_what_stands)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    ck_assert(shows(s, "Enter yes  N no"));
    press(s, "\n\n\n\n\n\n");
    ck_assert(shows(s, "Enter go"));
    ck_assert(!shows(s, "N no"));
    app_press(&s->app, PRESS_ESCAPE, false);
    ck_assert(!shows(s, "Space"));
    app_press(&s->app, PRESS_TAB, false);
    ck_assert(shows(s, "Space aboard"));
    press(s, "\n");
    go(s);
    ck_assert(!shows(s, "T too"));
    ck_assert(!shows(s, "W seen"));
    ck_assert(shows(s, "H hold"));
    press(s, "h");
    ck_assert(shows(s, "H go on"));
    press(s, "h4");
    ck_assert(shows(s, "T too  E early"));
    press(s, "q");
    ck_assert(!shows(s, "Space made"));
    ck_assert(shows(s, "Y yes, any other key no"));
    close_stage(s);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("reach");
    TCase *tests = tcase_create("reach");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, the_brief_by_line_and_by_page, 0, 2 * SIZES);
    tcase_add_test(tests, tab_goes_through_the_lists_of_the_brief_and_back);
    tcase_add_loop_test(tests, the_question_stays, 0, SIZES);
    tcase_add_loop_test(tests, the_debrief, 0, SIZES);
    tcase_add_loop_test(tests, the_help, 0, SIZES);
    tcase_add_loop_test(tests, the_details_of_the_muster, 0, SIZES);
    tcase_add_loop_test(tests, what_fits_is_said_in_full, 0, SIZES);
    tcase_add_loop_test(tests, every_hand_of_the_live_run, 0, SIZES);
    tcase_add_loop_test(tests, hands_that_do_not_fit_are_counted, 0, SIZES);
    tcase_add_loop_test(tests, each_caution_of_the_live_run_is_whole, 0, 2 * SIZES);
    tcase_add_loop_test(tests, a_large_window_is_used, 0, 2);
    tcase_add_loop_test(tests, the_memory_items_are_whole, 0, SIZES);
    tcase_add_loop_test(tests, questions_and_messages_are_whole, 0, SIZES);
    tcase_add_test(tests, hints_follow_what_stands);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
