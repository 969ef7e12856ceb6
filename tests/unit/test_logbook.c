/* The logbook as its callers see it: what goes in comes out, in order, once. */
#include "logbook_world.h"

static void expect_same_text(const char *found, const char *expected)
{
    ck_assert_str_eq(found, expected ? expected : "");
}

static struct logbook_run full_run(void)
{
    return (struct logbook_run){.uuid = "0b8f6f0e-58f7-4d5c-9d50-1f2a3b4c5d6e",
                                .wall_ms = 1795600000123,
                                .boot_ms = 987654321,
                                .boot_id = "boot-7",
                                .procedure = "dip-pole-jibe",
                                .title = "Dip-pole jibe",
                                .board = BOARD_STARBOARD,
                                .mode = RUN_AFLOAT,
                                .pilot = true,
                                .options = "foreguy=yes pilot=no",
                                .procedure_text = "format: 1\nprocedure: \"dip\"\n",
                                .rig_text = "rig text ' ; --",
                                .boat_text = "boat text",
                                .crew_text = "crew text: \xc3\xa9",
                                .bill_text = "bill text",
                                .wind = "18 kn",
                                .proof = "proved",
                                .version = "0.1.0",
                                .recovers = "11111111-2222-4333-8444-555555555555",
                                .begin_text = "jaw=old-guy",
                                .hands = 6};
}

START_TEST(test_run_comes_back_whole)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    struct logbook_run run = full_run(), found;
    ck_assert(logbook_open_run(logbook, &run, &world.why));
    logbook_close(logbook);
    logbook = world_open(&world);
    ck_assert(logbook_read_run(logbook, run.id, world.arena, &found));
    ck_assert_str_eq(found.uuid, run.uuid);
    ck_assert_int_eq(found.wall_ms, run.wall_ms);
    ck_assert_int_eq(found.boot_ms, run.boot_ms);
    ck_assert_int_eq(found.board, run.board);
    ck_assert_int_eq(found.mode, run.mode);
    ck_assert(found.pilot);
    ck_assert_int_eq(found.hands, 6);
    ck_assert(!found.closed);
    ck_assert_int_eq(found.total_ms, -1);
    ck_assert_int_eq(found.event_count, 0);
    expect_same_text(found.boot_id, run.boot_id);
    expect_same_text(found.procedure, run.procedure);
    expect_same_text(found.title, run.title);
    expect_same_text(found.options, run.options);
    expect_same_text(found.procedure_text, run.procedure_text);
    expect_same_text(found.rig_text, run.rig_text);
    expect_same_text(found.boat_text, run.boat_text);
    expect_same_text(found.crew_text, run.crew_text);
    expect_same_text(found.bill_text, run.bill_text);
    expect_same_text(found.wind, run.wind);
    expect_same_text(found.proof, run.proof);
    expect_same_text(found.version, run.version);
    expect_same_text(found.recovers, run.recovers);
    expect_same_text(found.begin_text, run.begin_text);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_missing_texts_are_empty)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    struct logbook_run run = {0}, found;
    ck_assert(logbook_open_run(logbook, &run, &world.why));
    ck_assert(logbook_read_run(logbook, run.id, world.arena, &found));
    ck_assert_str_eq(found.procedure, "");
    ck_assert_str_eq(found.begin_text, "");
    ck_assert(!logbook_read_run(logbook, run.id + 1, world.arena, &found));
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_events_come_back_in_order)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    struct run_event events[RUN_OUT_MAX];
    int count = 0;
    for (int size = 0; size < RUN_OUT_MAX; size += 7) {
        for (int i = 0; i < size; i++)
            events[i] = world_event(count + i);
        ck_assert_int_eq(logbook_add(logbook, run, events, (size_t)size), LOGBOOK_STORED);
        count += size;
    }
    world_expect(&world, logbook, run, 0, (size_t)count);
    logbook_close(logbook);
    logbook = world_open(&world);
    world_expect(&world, logbook, run, 0, (size_t)count);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_extreme_events_come_back)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    struct run_event events[2] = {{INT64_MAX, 255, 255, INT16_MAX, ""},
                                  {INT64_MIN, 0, 0, INT16_MIN, ""}};
    memset(events[0].text, 'x', RUN_TEXT_MAX - 1);
    ck_assert_int_eq(logbook_add(logbook, run, events, 2), LOGBOOK_STORED);
    struct run_event *found;
    size_t count;
    ck_assert(logbook_read_events(logbook, run, world.arena, &found, &count));
    ck_assert_uint_eq(count, 2);
    ck_assert(world_same_event(&found[0], &events[0]));
    ck_assert(world_same_event(&found[1], &events[1]));
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_uuid_is_made_where_missing)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    struct logbook_run one = world_run("hoist"), two = world_run("hoist");
    ck_assert(logbook_open_run(logbook, &one, &world.why));
    ck_assert(logbook_open_run(logbook, &two, &world.why));
    ck_assert_str_ne(one.uuid, two.uuid);
    ck_assert_uint_eq(strspn(one.uuid, "0123456789abcdef-"), 36);
    ck_assert_int_eq(one.uuid[14], '4');
    ck_assert_ptr_nonnull(strchr("89ab", one.uuid[19]));
    ck_assert_int_eq(one.uuid[8], '-');
    ck_assert_int_eq(one.uuid[23], '-');
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_uuid_is_there_once)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    struct logbook_run run = full_run(), again = full_run();
    ck_assert(logbook_open_run(logbook, &run, &world.why));
    ck_assert(!logbook_open_run(logbook, &again, &world.why));
    ck_assert_int_eq(again.id, 0);
    ck_assert_ptr_nonnull(strstr(world.why.at, "holds this run already"));
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_closed_run_takes_no_more)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_STORED);
    ck_assert(logbook_close_run(logbook, run, RUN_NOT_AT_GOAL, 61500));
    ck_assert(logbook_close_run(logbook, run, RUN_NOT_AT_GOAL, 61500));
    ck_assert(!logbook_close_run(logbook, run, RUN_DONE, 61500));
    ck_assert_int_eq(world_add(logbook, run, 1), LOGBOOK_LOST);
    ck_assert_str_eq(logbook_reason(logbook), "the run is closed");
    ck_assert_uint_eq(logbook_waiting(logbook), 0);
    struct logbook_run found;
    ck_assert(logbook_read_run(logbook, run, world.arena, &found));
    ck_assert(found.closed);
    ck_assert_int_eq(found.outcome, RUN_NOT_AT_GOAL);
    ck_assert_int_eq(found.total_ms, 61500);
    ck_assert_int_eq(found.event_count, 1);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_unknown_run_is_refused)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    ck_assert_int_eq(world_add(logbook, 0, 0), LOGBOOK_LOST);
    ck_assert_str_eq(logbook_reason(logbook), "there is no such run");
    ck_assert_int_eq(world_add(logbook, 99, 0), LOGBOOK_LOST);
    ck_assert_str_eq(logbook_reason(logbook), "there is no such run");
    ck_assert(!logbook_close_run(logbook, 99, RUN_DONE, 0));
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_newest_open_run_is_found)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    struct logbook_run found, runs[3];
    ck_assert(!logbook_find_open(logbook, world.arena, &found));
    for (int i = 0; i < 3; i++) {
        runs[i] = world_run("hoist");
        runs[i].wall_ms += i == 1 ? 10 : 0; /* the second one is the newest */
        ck_assert(logbook_open_run(logbook, &runs[i], &world.why));
    }
    const int order[] = {1, 2, 0};
    for (int i = 0; i < 3; i++) {
        ck_assert(logbook_find_open(logbook, world.arena, &found));
        ck_assert_str_eq(found.uuid, runs[order[i]].uuid);
        ck_assert(logbook_close_run(logbook, found.id, RUN_OPEN, -1));
    }
    ck_assert(!logbook_find_open(logbook, world.arena, &found));
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

struct listing {
    int count;
    char procedures[64];
};

static void list_one(const struct logbook_run *run, void *payload)
{
    struct listing *listing = payload;
    size_t at = strlen(listing->procedures);
    snprintf(listing->procedures + at, sizeof listing->procedures - at, "%s%lld ",
             run->procedure, (long long)run->event_count);
    ck_assert_str_eq(run->procedure_text, "");
    ck_assert_str_eq(run->version, "0.1.0");
    listing->count++;
}

START_TEST(test_runs_are_listed_newest_first)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    const char *names[] = {"a", "b", "c"};
    for (int i = 0; i < 3; i++) {
        struct logbook_run run = world_run(names[i]);
        run.wall_ms += i;
        run.procedure_text = "long";
        ck_assert(logbook_open_run(logbook, &run, &world.why));
        for (int j = 0; j < i; j++)
            ck_assert_int_eq(world_add(logbook, run.id, j), LOGBOOK_STORED);
    }
    struct listing all = {0}, two = {0};
    ck_assert(logbook_each(logbook, 0, list_one, &all));
    ck_assert_str_eq(all.procedures, "c2 b1 a0 ");
    ck_assert(logbook_each(logbook, 2, list_one, &two));
    ck_assert_str_eq(two.procedures, "c2 b1 ");
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_two_programs_write_their_own_runs)
{
    struct world world = world_new();
    struct logbook *one = world_open(&world), *two = world_open(&world);
    int64_t first = world_open_run(&world, one), second = world_open_run(&world, two);
    ck_assert_int_ne(first, second);
    for (int i = 0; i < 40; i++) {
        ck_assert_int_eq(world_add(one, first, i), LOGBOOK_STORED);
        ck_assert_int_eq(world_add(two, second, 100 + i), LOGBOOK_STORED);
    }
    world_expect(&world, one, second, 100, 40);
    world_expect(&world, two, first, 0, 40);
    logbook_close(one);
    ck_assert_int_eq(world_add(two, second, 140), LOGBOOK_STORED);
    logbook_close(two);
    world_free(&world);
}
END_TEST

/* Both read two events; the one that goes on first has the run. */
START_TEST(test_same_run_twice_is_refused)
{
    struct world world = world_new();
    struct logbook *one = world_open(&world), *two = world_open(&world);
    int64_t run = world_open_run(&world, one);
    ck_assert_int_eq(world_add(one, run, 0), LOGBOOK_STORED);
    ck_assert_int_eq(world_add(one, run, 1), LOGBOOK_STORED);
    world_expect(&world, two, run, 0, 2);
    ck_assert_int_eq(world_add(one, run, 2), LOGBOOK_STORED);
    ck_assert_int_eq(world_add(two, run, 50), LOGBOOK_LOST);
    ck_assert_str_eq(logbook_reason(two), "another program goes on with this run");
    ck_assert_int_eq(world_add(two, run, 51), LOGBOOK_LOST);
    ck_assert_int_eq(world_add(one, run, 3), LOGBOOK_STORED);
    world_expect(&world, one, run, 0, 4);
    world_expect(&world, two, run, 0, 4); /* it has read what came: it may go on */
    ck_assert_int_eq(world_add(two, run, 4), LOGBOOK_STORED);
    ck_assert_int_eq(world_add(one, run, 60), LOGBOOK_LOST);
    logbook_close(one);
    logbook_close(two);
    world_free(&world);
}
END_TEST

/* A run is left for another one and taken up again. */
START_TEST(test_runs_by_turns)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t a = world_open_run(&world, logbook), b = world_open_run(&world, logbook);
    for (int i = 0; i < 10; i++) {
        ck_assert_int_eq(world_add(logbook, a, i), LOGBOOK_STORED);
        ck_assert_int_eq(world_add(logbook, b, 20 + i), LOGBOOK_STORED);
    }
    world_expect(&world, logbook, a, 0, 10);
    ck_assert_int_eq(world_add(logbook, a, 10), LOGBOOK_STORED);
    world_expect(&world, logbook, a, 0, 11);
    ck_assert_int_eq(world_add(logbook, a, 11), LOGBOOK_STORED);
    ck_assert_int_eq(world_add(logbook, b, 30), LOGBOOK_STORED);
    ck_assert_int_eq(world_add(logbook, a, 12), LOGBOOK_STORED);
    world_expect(&world, logbook, a, 0, 13);
    world_expect(&world, logbook, b, 20, 11);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_save_elsewhere)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    struct logbook_run run = full_run(), found;
    ck_assert(logbook_open_run(logbook, &run, &world.why));
    struct run_event events[5];
    for (int i = 0; i < 5; i++)
        events[i] = world_event(i);
    ck_assert_int_eq(logbook_add(logbook, run.id, events, 3), LOGBOOK_STORED);
    char one[160], two[160];
    snprintf(one, sizeof one, "%s/stick/one.db", world.folder);
    snprintf(two, sizeof two, "%s/stick/two.db", world.folder);
    ck_assert(logbook_save_elsewhere(logbook, &run, NULL, 0, one, &world.why));
    run.closed = true;
    run.outcome = RUN_DONE;
    run.total_ms = 4000;
    ck_assert(logbook_save_elsewhere(logbook, &run, events, 5, two, &world.why));
    ck_assert(!logbook_save_elsewhere(logbook, &run, events, 5, two, &world.why));
    ck_assert_ptr_nonnull(strstr(world.why.at, "cannot be saved"));
    logbook_close(logbook);

    struct logbook *other = logbook_open(one, &world.why);
    ck_assert(logbook_find_open(other, world.arena, &found));
    ck_assert_str_eq(found.uuid, run.uuid);
    world_expect(&world, other, found.id, 0, 3);
    logbook_close(other);
    other = logbook_open(two, &world.why);
    ck_assert(logbook_read_run(other, 1, world.arena, &found));
    ck_assert(found.closed);
    ck_assert_int_eq(found.outcome, RUN_DONE);
    ck_assert_int_eq(found.total_ms, 4000);
    world_expect(&world, other, 1, 0, 5);
    logbook_close(other);
    world_free(&world);
}
END_TEST

static Suite *logbook_suite(void)
{
    Suite *suite = suite_create("logbook");
    TCase *tests = tcase_create("whole");
    tcase_add_test(tests, test_run_comes_back_whole);
    tcase_add_test(tests, test_missing_texts_are_empty);
    tcase_add_test(tests, test_events_come_back_in_order);
    tcase_add_test(tests, test_extreme_events_come_back);
    tcase_add_test(tests, test_uuid_is_made_where_missing);
    tcase_add_test(tests, test_uuid_is_there_once);
    tcase_add_test(tests, test_closed_run_takes_no_more);
    tcase_add_test(tests, test_unknown_run_is_refused);
    tcase_add_test(tests, test_newest_open_run_is_found);
    tcase_add_test(tests, test_runs_are_listed_newest_first);
    tcase_add_test(tests, test_two_programs_write_their_own_runs);
    tcase_add_test(tests, test_same_run_twice_is_refused);
    tcase_add_test(tests, test_runs_by_turns);
    tcase_add_test(tests, test_save_elsewhere);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return world_run_suite(logbook_suite());
}
