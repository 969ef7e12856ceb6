/* Sheets and words: the JSON is JSON, every figure of the bill and of the debrief stands
 * where people look for it, and words say what the run knows and no more. */
#include "shipped.h"

#include "cards/sheets.h"
#include "cards/words.h"

/* A tiny reader of JSON: moves over one value; NULL where it is none. */
static const char *json_value(const char *at);

static const char *skip_space(const char *at)
{
    return at + strspn(at, " \n");
}

static const char *json_text(const char *at)
{
    if (*at++ != '"')
        return NULL;
    for (; *at != '"'; at++) {
        if ((unsigned char)*at < 0x20)
            return NULL;
        if (*at == '\\' && !strchr("\"\\/bfnrtu", *++at))
            return NULL;
    }
    return at + 1;
}

/* Members or items up to CLOSE. */
static const char *json_list(const char *at, char close)
{
    at = skip_space(at + 1);
    while (*at != close) {
        if (close == '}') {
            at = json_text(at);
            at = at ? skip_space(at) : "";
            if (*at++ != ':')
                return NULL;
        }
        at = json_value(at);
        at = at ? skip_space(at) : "";
        if (*at == ',' && *skip_space(at + 1) != close)
            at = skip_space(at + 1);
        else if (*at != close)
            return NULL;
    }
    return at + 1;
}

static const char *json_value(const char *at)
{
    static const char *const words[] = {"true", "false", "null"};
    at = skip_space(at);
    if (*at == '{' || *at == '[')
        return json_list(at, *at == '{' ? '}' : ']');
    if (*at == '"')
        return json_text(at);
    for (int i = 0; i < 3; i++)
        if (strncmp(at, words[i], strlen(words[i])) == 0)
            return at + strlen(words[i]);
    size_t digits = strspn(at + (*at == '-'), "0123456789.");
    return digits ? at + (*at == '-') + digits : NULL;
}

static void check_json(const struct text *text)
{
    ck_assert_ptr_nonnull(text->at);
    const char *end = json_value(text->at);
    ck_assert_msg(end && !*skip_space(end), "%s", text->at);
}

START_TEST(the_reader_reads)
{
    static const char *const good[] = {"{}", "[1,-2.5,\"a\\n\"]", "{\"a\":[{},null]}"};
    static const char *const bad[] = {"{", "[1,]", "{\"a\"}", "\"\n\"", "[1 2]", "x"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
        ck_assert(json_value(good[i]) && !*json_value(good[i]));
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        ck_assert_ptr_null(json_value(bad[i]));
}
END_TEST

/* The items by heart stand before the checks, each whole; nobody else's does. */
static void check_by_heart(const struct procedure *p, const char *sheet)
{
    const char *heart = strstr(sheet, "At once, by heart:");
    const char *checks = strstr(sheet, "Checks before the go:");
    int items = 0;
    for (int s = 0; s < p->step_count; s++) {
        struct text item = {0};
        words_memory(p, s, &item);
        const char *at = heart ? strstr(heart, item.at) : NULL;
        ck_assert_msg(p->steps[s].memory == (at && at < checks), "%s", item.at);
        items += p->steps[s].memory;
        text_free(&item);
    }
    ck_assert(!heart == !items);
}

START_TEST(every_procedure_is_a_sheet_and_json)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    for (int i = 0; i < library->procedure_count; i++)
        for (int board = BOARD_PORT; board <= BOARD_STARBOARD; board++) {
            const struct procedure *p =
                shipped_load(library, i, (enum board)board, NULL, 0, arena);
            struct text sheet = {0}, text = {0}, list = {0};
            struct json json = {.out = &list};
            struct rig *rig = arena_alloc(arena, sizeof *rig);
            struct slips *forgotten = arena_alloc(arena, sizeof *forgotten);
            ck_assert(vet_rig_of_roles(p, p->pilot_needed, rig));
            vet_omissions(rig, &(struct vet_limits){0}, forgotten);
            sheet_procedure_json(p, forgotten, &text);
            check_json(&text);
            ck_assert_ptr_nonnull(strstr(text.at, p->name));
            sheet_list_json(p, &json);
            check_json(&list);
            sheet_procedure(p, rig, forgotten, UNITS_METRIC, &sheet);
            ck_assert(strstr(text.at, "\"must_not_miss\""));
            ck_assert(!slips_forgotten(forgotten, 0)->events ||
                      strstr(sheet.at, "Must not be missed"));
            for (int s = 0; s < p->step_count; s++) {
                ck_assert_ptr_nonnull(strstr(sheet.at, p->steps[s].doing));
                ck_assert_ptr_nonnull(strstr(sheet.at, p->steps[s].call.say));
            }
            check_by_heart(p, sheet.at);
            for (int r = 0; r < p->rules.count; r++)
                ck_assert_ptr_nonnull(strstr(sheet.at, p->rules.at[r].name));
            text_free(&sheet);
            text_free(&text);
            text_free(&list);
        }
    arena_free(arena);
}
END_TEST

struct jibe {
    struct arena *arena;
    const struct procedure *procedure;
    const struct crew *crew;
    struct bill bill;
    struct rig rig;
    struct run *run;
    int64_t now_ms;
};

static void open_jibe(struct jibe *j)
{
    struct bill_wish wish;
    struct bill_why why;
    *j = (struct jibe){.arena = arena_new()};
    bill_wish_start(&wish);
    j->procedure =
        shipped_named(shipped_library(j->arena), "dip-pole-jibe", BOARD_PORT, j->arena);
    j->crew = shipped_crew("crew", NULL, j->arena);
    ck_assert_int_eq(bill_make(j->procedure, j->crew, &wish, &j->bill, &why), BILL_FOUND);
    bill_rig(&j->bill, j->procedure, &j->rig);
    j->run = arena_alloc(j->arena, sizeof *j->run);
    run_start(j->run, &j->rig, &j->bill, RUN_DRILL);
}

static void give(struct jibe *j, enum run_kind kind, const char *name)
{
    struct run_out out;
    struct run_event event = {.at_ms = j->now_ms, .kind = (uint8_t)kind};
    if (name)
        event.step = (uint8_t)procedure_step(j->procedure, name);
    ck_assert_int_eq(run_apply(j->run, &event, &out), RUN_TAKEN);
    j->now_ms += 1000;
}

static int doer_of(const struct jibe *j, int step)
{
    int lane = 0;
    while (!(j->rig.lanes_of_step[step] >> lane & 1))
        lane++;
    return j->bill.hand[lane];
}

START_TEST(the_bill_names_every_hand_and_step)
{
    struct jibe j;
    struct text sheet = {0};
    open_jibe(&j);
    sheet_bill(j.procedure, j.crew, &j.bill, &sheet);
    for (int lane = 0; lane < j.bill.lane_count; lane++)
        ck_assert_ptr_nonnull(strstr(sheet.at, j.crew->hands[j.bill.hand[lane]].name));
    for (int s = 0; s < j.procedure->step_count; s++) {
        struct text words = {0};
        words_step(j.procedure, s, &words);
        ck_assert_ptr_nonnull(strstr(sheet.at, words.at));
        ck_assert_ptr_null(strchr(words.at, '-'));
        text_free(&words);
    }
    text_free(&sheet);
    arena_free(j.arena);
}
END_TEST

START_TEST(words_say_why_not_yet_and_ask_back)
{
    struct jibe j;
    struct text words = {0};
    open_jibe(&j);
    give(&j, RUN_GO, NULL);
    int trip = procedure_step(j.procedure, "trip"), due = run_due(j.run);
    words_not_yet(j.run, j.crew, due, &words);
    ck_assert_uint_eq(words.length, 0); /* it may start: nothing is said */
    words_not_yet(j.run, j.crew, trip, &words);
    ck_assert_int_eq(strncmp(words.at, "first ", 6), 0);
    text_free(&words);
    words_question(j.run, j.crew, &words);
    ck_assert_uint_eq(words.length, 0);
    give(&j, RUN_MADE, "trip");
    words_question(j.run, j.crew, &words);
    ck_assert_ptr_nonnull(strstr(words.at, "trip was marked before "));
    for (int s = 0; s < j.procedure->step_count; s++)
        if (j.run->now.question_missing >> s & 1) {
            struct text name = {0};
            words_step(j.procedure, s, &name);
            ck_assert_ptr_nonnull(strstr(words.at, name.at));
            ck_assert_ptr_nonnull(strstr(words.at, j.crew->hands[doer_of(&j, s)].name));
            text_free(&name);
        }
    text_free(&words);
    words_big(&j.procedure->steps[trip], &words);
    ck_assert_str_eq(words.at, "TRIP!");
    text_free(&words);
    struct step called = {.name = "square-back", .call = {.by = 0, .say = "Größe é"}};
    words_big(&called, &words);
    ck_assert_str_eq(words.at, "GRößE é"); /* other letters stay whole */
    text_free(&words);
    called.call.say = "";
    words_big(&called, &words);
    ck_assert_str_eq(words.at, "SQUARE BACK");
    text_free(&words);
    arena_free(j.arena);
}
END_TEST

START_TEST(the_debrief_tells_what_happened)
{
    struct jibe j;
    struct text sheet = {0};
    struct debrief debrief;
    open_jibe(&j);
    give(&j, RUN_GO, NULL);
    give(&j, RUN_MADE, "trip");
    give(&j, RUN_EARLY, "trip");
    give(&j, RUN_HELD, NULL);
    j.now_ms += 6000;
    give(&j, RUN_WENT_ON, NULL);
    give(&j, RUN_SKIPPED, "head-up");
    while (j.run->now.phase != RUN_OVER)
        give(&j, RUN_MADE, j.procedure->steps[run_due(j.run)].name);
    debrief_make(j.run, j.now_ms, &debrief);
    ck_assert_int_eq(debrief.breaches, 1);
    ck_assert_int_eq(debrief.skipped, 1);
    ck_assert_int_eq(debrief.held_ms, 7000);
    ck_assert_int_eq(debrief.outcome, RUN_NOT_AT_GOAL);
    ck_assert(!debrief_clean(&debrief));
    sheet_debrief(j.run, j.crew, &debrief, &sheet);
    ck_assert_ptr_nonnull(strstr(sheet.at, "not at the goal: course"));
    ck_assert_ptr_nonnull(strstr(
        sheet.at, ": no time, 1 of 21 steps without one, planned 32.5 s, held 7.0 s."));
    ck_assert_ptr_nonnull(strstr(sheet.at, "rules broken 1,")); /* and the need of trip */
    ck_assert_ptr_nonnull(strstr(sheet.at, "(trip-unloaded), also the need of trip"));
    ck_assert_ptr_nonnull(strstr(sheet.at, "BREACH"));
    ck_assert_ptr_nonnull(strstr(sheet.at, "skipped"));
    ck_assert_ptr_nonnull(strstr(sheet.at, "(trip-unloaded)"));
    text_free(&sheet);
    arena_free(j.arena);
}
END_TEST

/* A total without all its steps is no time, and an end that was none has no result. */
static const struct ending {
    enum run_outcome outcome;
    enum run_mode mode;
    int untimed;
    bool timed;
    int64_t total_ms, held_ms, pace_ms;
    const char *words;
} endings[] = {
    {RUN_DONE, RUN_DRILL, 0, true, 33100, 0, -1, "done in 33.1 s, planned 32.0 s"},
    {RUN_DONE, RUN_DRILL, 0, true, 33100, 0, 30000,
     "done in 33.1 s, planned 32.0 s, pace 30.0 s"},
    {RUN_DONE, RUN_DRILL, 4, false, 500, 2000, -1,
     "done: no time, 4 of 17 steps without one, planned 32.0 s, held 2.0 s"},
    {RUN_UNTIMED, RUN_AFLOAT, 17, false, 500, 0, -1,
     "done, untimed: no time, 17 of 17 steps without one, planned 32.0 s"},
    {RUN_DONE, RUN_DRILL, 0, false, 500, 0, -1,
     "done: no time, a gap was reckoned, planned 32.0 s"},
    {RUN_WAS_STOPPED, RUN_DRILL, 16, false, 500, 0, -1,
     "stopped after 0.5 s, planned 32.0 s"},
    {RUN_WAS_STOPPED, RUN_DRILL, 17, false, -1, 0, -1, "stopped"},
    {RUN_DONE, RUN_WALK, 0, true, 33100, 0, 30000, "done"},
};

START_TEST(a_total_is_a_time_or_it_is_said_that_it_is_none)
{
    const struct ending *e = &endings[_i];
    const struct debrief debrief = {.outcome = e->outcome,
                                    .untimed = e->untimed,
                                    .timed = e->timed,
                                    .total_ms = e->total_ms,
                                    .held_ms = e->held_ms,
                                    .plan_ms = 32000,
                                    .split_count = 17};
    struct text words = {0};
    words_outcome(&debrief, e->mode, e->pace_ms, &words);
    ck_assert_str_eq(words.at, e->words);
    text_free(&words);
}
END_TEST

/* The logbook keeps no total where it is none. */
START_TEST(a_line_of_the_list_of_runs)
{
    static const struct {
        enum run_outcome outcome;
        int64_t total_ms;
        const char *words;
    } cases[] = {{RUN_DONE, 33100, "done in 33.1 s\n"},
                 {RUN_DONE, -1, "done, no time\n"},
                 {RUN_UNTIMED, -1, "done, untimed, no time\n"},
                 {RUN_WAS_STOPPED, 2000, "stopped after 2.0 s\n"},
                 {RUN_WAS_STOPPED, -1, "stopped\n"}};
    const struct logbook_run record = {.procedure = "dip-pole-jibe",
                                       .mode = RUN_DRILL,
                                       .hands = 7,
                                       .closed = true,
                                       .outcome = cases[_i].outcome,
                                       .total_ms = cases[_i].total_ms};
    struct text line = {0};
    sheet_run_line(&record, &line);
    const char *end = strstr(line.at, "hands  ");
    ck_assert_ptr_nonnull(end);
    ck_assert_str_eq(end + strlen("hands  "), cases[_i].words);
    text_free(&line);
}
END_TEST

/* Made before it was begun, a step has no split; walking, none has a time. */
START_TEST(what_a_step_took)
{
    const struct debrief_split timed = {.split_ms = 3200, .made_ms = 9000};
    const struct debrief_split startless = {.split_ms = -1, .made_ms = 9000};
    const struct debrief_split open = {.split_ms = -1, .made_ms = -1};
    static const char *const expected[] = {"3.2", "made", "-", "made", "made", "-"};
    const struct debrief_split *const splits[] = {&timed, &startless, &open};
    struct text words = {0};
    words_split(splits[_i % 3], _i < 3 ? RUN_DRILL : RUN_WALK, &words);
    ck_assert_str_eq(words.at, expected[_i]);
    text_free(&words);
}
END_TEST

START_TEST(times_are_civil)
{
    static const struct {
        int64_t wall_ms;
        const char *words;
    } cases[] = {{0, "1970-01-01 00:00 UTC"},
                 {-1, "1969-12-31 23:59 UTC"},
                 {951782400000, "2000-02-29 00:00 UTC"},
                 {1798761599999, "2026-12-31 23:59 UTC"},
                 {4107542400000, "2100-03-01 00:00 UTC"}};
    struct text words = {0};
    sheet_time(cases[_i].wall_ms, &words);
    ck_assert_str_eq(words.at, cases[_i].words);
    text_free(&words);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cards");
    TCase *tests = tcase_create("cards");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, the_reader_reads);
    tcase_add_test(tests, every_procedure_is_a_sheet_and_json);
    tcase_add_test(tests, the_bill_names_every_hand_and_step);
    tcase_add_test(tests, words_say_why_not_yet_and_ask_back);
    tcase_add_test(tests, the_debrief_tells_what_happened);
    tcase_add_loop_test(tests, a_total_is_a_time_or_it_is_said_that_it_is_none, 0,
                        (int)(sizeof endings / sizeof endings[0]));
    tcase_add_loop_test(tests, a_line_of_the_list_of_runs, 0, 5);
    tcase_add_loop_test(tests, what_a_step_took, 0, 6);
    tcase_add_loop_test(tests, times_are_civil, 0, 5);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
