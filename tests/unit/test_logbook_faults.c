/* The logbook when it is locked, when the disk is full or fails, when memory runs out:
 * what was called stored is there, what was called late comes later, in order, once. */
#include "logbook_world.h"

#include "failing_disk.h"
#include "logbook/internal.h"

enum { MARKS = 30 };

static sqlite3 *lock(const char *path)
{
    sqlite3 *db;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    return db;
}

START_TEST(test_locked_is_late_then_stored)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_STORED);
    sqlite3 *other = lock(world.path);
    for (int i = 1; i < 8; i++) {
        ck_assert_int_eq(world_add(logbook, run, i), LOGBOOK_LATE);
        ck_assert_int_eq(logbook->wait_left_ms, 0);
        ck_assert_uint_eq(logbook_waiting(logbook), (size_t)i);
    }
    ck_assert_str_eq(logbook_reason(logbook), "the logbook is locked by another program");
    ck_assert_uint_eq(logbook_flush(logbook), 7);
    world_expect(&world, logbook, run, 0, 1);
    sqlite3_close(other);
    ck_assert_int_eq(world_add(logbook, run, 8), LOGBOOK_STORED);
    ck_assert_str_eq(logbook_reason(logbook), "");
    ck_assert_uint_eq(logbook_waiting(logbook), 0);
    world_expect(&world, logbook, run, 0, 9);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_locked_refuses_to_open_and_close_runs)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    struct logbook_run second = world_run("hoist");
    sqlite3 *other = lock(world.path);
    ck_assert(!logbook_open_run(logbook, &second, &world.why));
    ck_assert_int_eq(second.id, 0);
    ck_assert_str_eq(second.uuid, "");
    ck_assert_ptr_nonnull(strstr(world.why.at, "locked"));
    ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_LATE);
    ck_assert(!logbook_close_run(logbook, run, RUN_DONE, 1));
    sqlite3_close(other);
    ck_assert(logbook_close_run(logbook, run, RUN_DONE, 1));
    world_expect(&world, logbook, run, 0, 1);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_full_buffer_loses_no_order)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    sqlite3 *other = lock(world.path);
    struct run_event events[64];
    for (int at = 0; at < LOGBOOK_BUFFER; at += 64) {
        for (int i = 0; i < 64; i++)
            events[i] = world_event(at + i);
        logbook_begin_wait(logbook, 0);
        ck_assert_int_eq(logbook_add(logbook, run, events, 64), LOGBOOK_LATE);
    }
    ck_assert_int_eq(world_add(logbook, run, 9999), LOGBOOK_LOST);
    ck_assert_uint_eq(logbook_waiting(logbook), LOGBOOK_BUFFER);
    sqlite3_close(other);
    ck_assert_int_eq(world_add(logbook, run, LOGBOOK_BUFFER), LOGBOOK_STORED);
    world_expect(&world, logbook, run, 0, LOGBOOK_BUFFER + 1);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

/* Two runs wait; each keeps its own order when they are stored at last. */
START_TEST(test_two_runs_wait)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t a = world_open_run(&world, logbook), b = world_open_run(&world, logbook);
    sqlite3 *other = lock(world.path);
    for (int i = 0; i < 4; i++) {
        ck_assert_int_eq(world_add(logbook, a, i), LOGBOOK_LATE);
        ck_assert_int_eq(world_add(logbook, b, 50 + i), LOGBOOK_LATE);
    }
    sqlite3_close(other);
    ck_assert_uint_eq(logbook_flush(logbook), 0);
    world_expect(&world, logbook, a, 0, 4);
    world_expect(&world, logbook, b, 50, 4);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_full_disk)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    sqlite3_exec(logbook->db, "PRAGMA max_page_count = 1", NULL, NULL, NULL);
    int stored = 0;
    while (world_add(logbook, run, stored) == LOGBOOK_STORED)
        stored++;
    ck_assert_str_eq(logbook_reason(logbook), "the disk is full");
    ck_assert_int_eq(world_add(logbook, run, stored + 1), LOGBOOK_LATE);
    world_expect(&world, logbook, run, 0, (size_t)stored);
    sqlite3_exec(logbook->db, "PRAGMA max_page_count = 100000", NULL, NULL, NULL);
    ck_assert_uint_eq(logbook_flush(logbook), 0);
    world_expect(&world, logbook, run, 0, (size_t)stored + 2);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_moved_logbook_is_late)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    char away[160];
    snprintf(away, sizeof away, "%s/away.db", world.folder);
    ck_assert_int_eq(rename(world.path, away), 0);
    ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_LATE);
    ck_assert_str_eq(logbook_reason(logbook), "the logbook was moved or removed");
    ck_assert_int_eq(rename(away, world.path), 0);
    ck_assert_int_eq(world_add(logbook, run, 1), LOGBOOK_STORED);
    world_expect(&world, logbook, run, 0, 2);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_other_version_at_the_same_time)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    sqlite3 *newer;
    ck_assert_int_eq(sqlite3_open(world.path, &newer), SQLITE_OK);
    sqlite3_exec(newer, "PRAGMA user_version = 2", NULL, NULL, NULL);
    sqlite3_close(newer);
    ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_LATE);
    ck_assert_str_eq(logbook_reason(logbook), "another version took the logbook over");
    world_expect(&world, logbook, run, 0, 0);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

/* A commit that was reported as failed and is found done after all. */
START_TEST(test_event_that_is_there_already)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    sqlite3 *other = lock(world.path);
    ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_LATE);
    ck_assert_int_eq(sqlite3_exec(other,
                                  "INSERT INTO event VALUES (1, 0, 7, 3, 0, -1, '');"
                                  "COMMIT",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(other);
    ck_assert_int_eq(world_add(logbook, run, 1), LOGBOOK_STORED);
    world_expect(&world, logbook, run, 0, 2);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_read_only_can_be_read)
{
    struct world world = world_new();
    struct failing_disk disk;
    failing_disk_start(&disk);
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_STORED);
    disk.trouble = DISK_READ_ONLY;
    struct logbook *reader = world_open(&world);
    world_expect(&world, reader, run, 0, 1);
    ck_assert_int_eq(world_add(reader, run, 1), LOGBOOK_LATE);
    ck_assert_str_eq(logbook_reason(reader), "the logbook cannot be written");
    struct logbook_run second = world_run("hoist");
    ck_assert(!logbook_open_run(reader, &second, &world.why));
    logbook_close(reader);
    failing_disk_heal(&disk);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_waiting_events_are_saved_elsewhere)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    struct logbook_run run = world_run("hoist"), found;
    ck_assert(logbook_open_run(logbook, &run, &world.why));
    int64_t second = world_open_run(&world, logbook);
    ck_assert_int_eq(world_add(logbook, run.id, 0), LOGBOOK_STORED);
    sqlite3 *other = lock(world.path);
    ck_assert_int_eq(world_add(logbook, run.id, 1), LOGBOOK_LATE);
    ck_assert_int_eq(world_add(logbook, second, 70), LOGBOOK_LATE);
    ck_assert_int_eq(world_add(logbook, run.id, 2), LOGBOOK_LATE);
    char path[160];
    snprintf(path, sizeof path, "%s/elsewhere.db", world.folder);
    ck_assert(logbook_save_elsewhere(logbook, &run, NULL, 0, path, &world.why));
    sqlite3_close(other);
    struct logbook *saved = logbook_open(path, &world.why);
    ck_assert(logbook_find_open(saved, world.arena, &found));
    ck_assert_str_eq(found.uuid, run.uuid);
    world_expect(&world, saved, found.id, 0, 3);
    logbook_close(saved);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

/* A drill of MARKS events on a disk that fails from the N-th change on, HOW_MANY times;
 * false when the drill came to its end before. */
static bool drill_on_failing_disk(struct failing_disk *disk, enum disk_trouble trouble,
                                  int n, int how_many, bool crash)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    size_t stored = 0;
    failing_disk_fail(disk, trouble, n, how_many);
    for (int i = 0; i < MARKS; i++) {
        enum logbook_stored answer = world_add(logbook, run, i);
        ck_assert_int_ne(answer, LOGBOOK_LOST);
        if (answer == LOGBOOK_STORED)
            stored = (size_t)i + 1;
        ck_assert_uint_eq(stored + logbook_waiting(logbook), (size_t)i + 1);
    }
    bool met = disk->count >= n;
    if (!crash) {
        failing_disk_heal(disk);
        ck_assert_uint_eq(logbook_flush(logbook), 0);
        ck_assert(logbook_close_run(logbook, run, RUN_DONE, 9));
        stored = MARKS;
    }
    logbook_close(logbook);
    failing_disk_heal(disk);
    logbook = world_open(&world);
    struct run_event *events;
    size_t count;
    ck_assert(logbook_read_events(logbook, run, world.arena, &events, &count));
    ck_assert_uint_ge(count, stored);
    world_expect(&world, logbook, run, 0, count);
    logbook_close(logbook);
    world_free(&world);
    return met;
}

START_TEST(test_every_add_is_synced)
{
    struct failing_disk disk;
    failing_disk_start(&disk);
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    for (int i = 0; i < MARKS; i++) {
        int before = disk.syncs;
        ck_assert_int_eq(world_add(logbook, run, i), LOGBOOK_STORED);
        ck_assert_int_gt(disk.syncs, before);
    }
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_every_write_fails_once)
{
    struct failing_disk disk;
    failing_disk_start(&disk);
    for (int n = 1; drill_on_failing_disk(&disk, DISK_FAILS, n, 1, false); n++)
        ck_assert_int_lt(n, 2000);
}
END_TEST

START_TEST(test_every_write_finds_the_disk_full)
{
    struct failing_disk disk;
    failing_disk_start(&disk);
    for (int n = 1; drill_on_failing_disk(&disk, DISK_IS_FULL, n, 12, false); n++)
        ck_assert_int_lt(n, 2000);
}
END_TEST

START_TEST(test_disk_dies_for_good)
{
    struct failing_disk disk;
    failing_disk_start(&disk);
    for (int n = 1; drill_on_failing_disk(&disk, DISK_FAILS, n, 1000000, true); n++)
        ck_assert_int_lt(n, 2000);
}
END_TEST

START_TEST(test_every_write_of_the_opening_fails)
{
    struct failing_disk disk;
    failing_disk_start(&disk);
    bool met = true;
    for (int n = 1; met; n++) {
        struct world world = world_new();
        failing_disk_fail(&disk, n % 2 ? DISK_FAILS : DISK_IS_FULL, n, 3);
        struct logbook *logbook = logbook_open(world.path, &world.why);
        ck_assert(logbook || world.why.length);
        logbook_close(logbook);
        met = disk.count >= n;
        failing_disk_heal(&disk);
        logbook = world_open(&world);
        int64_t run = world_open_run(&world, logbook);
        ck_assert_int_eq(world_add(logbook, run, 0), LOGBOOK_STORED);
        logbook_close(logbook);
        world_free(&world);
    }
}
END_TEST

/* The memory that the database asks for: request N and those after it fail. */
static sqlite3_mem_methods real_memory;
static int requests, first_failing;

static void *ask_memory(int size)
{
    requests++;
    return first_failing && requests >= first_failing ? NULL : real_memory.xMalloc(size);
}

static void *ask_more_memory(void *memory, int size)
{
    requests++;
    return first_failing && requests >= first_failing
               ? NULL
               : real_memory.xRealloc(memory, size);
}

static void start_failing_memory(void)
{
    sqlite3_shutdown();
    sqlite3_config(SQLITE_CONFIG_GETMALLOC, &real_memory);
    sqlite3_mem_methods failing = real_memory;
    failing.xMalloc = ask_memory;
    failing.xRealloc = ask_more_memory;
    ck_assert_int_eq(sqlite3_config(SQLITE_CONFIG_MALLOC, &failing), SQLITE_OK);
    ck_assert_int_eq(sqlite3_initialize(), SQLITE_OK);
}

static void fail_memory_from(int n)
{
    requests = 0;
    first_failing = n;
}

START_TEST(test_no_memory_while_opening)
{
    start_failing_memory();
    bool opened = false;
    for (int n = 1; !opened; n += 3) {
        struct world world = world_new();
        fail_memory_from(n);
        struct logbook *logbook = logbook_open(world.path, &world.why);
        opened = logbook && requests < n;
        ck_assert(logbook || world.why.length);
        logbook_close(logbook);
        fail_memory_from(0);
        logbook_close(world_open(&world));
        world_free(&world);
    }
}
END_TEST

START_TEST(test_no_memory_while_adding)
{
    start_failing_memory();
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    int64_t run = world_open_run(&world, logbook);
    bool met = true;
    int i = 0;
    for (int n = 1; met; n++) {
        fail_memory_from(n);
        for (int end = i + 4; i < end; i++)
            ck_assert_int_ne(world_add(logbook, run, i), LOGBOOK_LOST);
        met = requests >= n;
        fail_memory_from(0);
        ck_assert_uint_eq(logbook_flush(logbook), 0);
    }
    world_expect(&world, logbook, run, 0, (size_t)i);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

static Suite *faults_suite(void)
{
    Suite *suite = suite_create("logbook faults");
    TCase *tests = tcase_create("faults");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, test_locked_is_late_then_stored);
    tcase_add_test(tests, test_locked_refuses_to_open_and_close_runs);
    tcase_add_test(tests, test_full_buffer_loses_no_order);
    tcase_add_test(tests, test_two_runs_wait);
    tcase_add_test(tests, test_full_disk);
    tcase_add_test(tests, test_moved_logbook_is_late);
    tcase_add_test(tests, test_other_version_at_the_same_time);
    tcase_add_test(tests, test_event_that_is_there_already);
    tcase_add_test(tests, test_read_only_can_be_read);
    tcase_add_test(tests, test_waiting_events_are_saved_elsewhere);
    tcase_add_test(tests, test_every_add_is_synced);
    tcase_add_test(tests, test_every_write_fails_once);
    tcase_add_test(tests, test_every_write_finds_the_disk_full);
    tcase_add_test(tests, test_disk_dies_for_good);
    tcase_add_test(tests, test_every_write_of_the_opening_fails);
    tcase_add_test(tests, test_no_memory_while_opening);
    tcase_add_test(tests, test_no_memory_while_adding);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return world_run_suite(faults_suite());
}
