/* Everything the brief, the debrief, the help and the muster have to say can be reached
 * with the keys at every size, and where there is more the screen says so. */
#include "app_stage.h"

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

/* The screen before and after each press of KEY until it stays as it is. */
static struct text read_on(struct stage *s, struct size size, uint32_t key)
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
    ck_assert_msg(!has(&before, "More below"), "%s", before.at);
    text_free(&before);
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

/* What is said of the choice on the way on can be read to its end. */
START_TEST(what_fits_is_said_in_full)
{
    struct stage *s = open_stage("crew", "dip-pole-jibe", false);
    press(s, "gyr\n");
    ck_assert(s->app.offers && s->app.offers->count > 1);
    const char *about = s->app.offers->at[0].procedure->about;
    struct text all = read_on(s, sizes[_i], PRESS_PAGE_DOWN);
    const char *end = about + strlen(about) - 12;
    ck_assert_msg(has(&all, end), "%s", end);
    text_free(&all);
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
    tcase_add_test(tests, hints_follow_what_stands);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
