/* Files that are no logbook of ours, or no longer: refused with a reason and left byte
 * for byte as they are, never a crash; and how a logbook climbs from version to version.
 */
#include "logbook_world.h"

#include "failing_disk.h"
#include "logbook/internal.h"

#include <fcntl.h>

struct bytes {
    unsigned char *at;
    size_t length;
};

static struct bytes read_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    struct bytes bytes = {malloc(1 << 20), 0};
    ck_assert_ptr_nonnull(bytes.at);
    bytes.length = fread(bytes.at, 1, 1 << 20, file);
    fclose(file);
    return bytes;
}

static void write_file(const char *path, const unsigned char *at, size_t length)
{
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(at, 1, length, file), length);
    fclose(file);
}

static bool has_bytes(const char *path, struct bytes expected)
{
    struct bytes found = read_file(path);
    bool same = found.length == expected.length &&
                memcmp(found.at, expected.at, found.length) == 0;
    free(found.at);
    return same;
}

/* The logbook is refused with WORDS; its file stays, and nothing stands beside it. */
static void expect_refused(struct world *world, const char *words)
{
    struct bytes before = read_file(world->path);
    ck_assert_ptr_null(logbook_open(world->path, &world->why));
    ck_assert_ptr_nonnull(world->why.at);
    ck_assert_msg(strstr(world->why.at, words), "%s", world->why.at);
    ck_assert_msg(strstr(world->why.at, world->path), "%s", world->why.at);
    ck_assert(has_bytes(world->path, before));
    char beside[160];
    snprintf(beside, sizeof beside, "%s-wal", world->path);
    ck_assert_int_ne(access(beside, F_OK), 0);
    snprintf(beside, sizeof beside, "%s-shm", world->path);
    ck_assert_int_ne(access(beside, F_OK), 0);
    free(before.at);
}

static void run_sql(const char *path, const char *sql)
{
    sqlite3 *db;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, NULL) == SQLITE_OK, "%s",
                  sqlite3_errmsg(db));
    ck_assert_int_eq(sqlite3_close(db), SQLITE_OK);
}

/* A small closed logbook: one run of ten events. */
static void make_logbook(struct world *world)
{
    struct logbook *logbook = world_open(world);
    int64_t run = world_open_run(world, logbook);
    for (int i = 0; i < 10; i++)
        ck_assert_int_eq(world_add(logbook, run, i), LOGBOOK_STORED);
    logbook_close(logbook);
}

START_TEST(test_newer_version_is_refused)
{
    struct world world = world_new();
    make_logbook(&world);
    run_sql(world.path, "PRAGMA user_version = 2");
    expect_refused(&world, "newer version (format 2, known here up to 1)");
    world_free(&world);
}
END_TEST

/* The newer version is still in the write-ahead file, as after a kill: both files stay.
 */
START_TEST(test_newer_version_in_the_log_is_refused)
{
    struct world world = world_new();
    make_logbook(&world);
    char log[160], kept[160];
    snprintf(log, sizeof log, "%s-wal", world.path);
    snprintf(kept, sizeof kept, "%s/kept", world.folder);
    sqlite3 *db;
    ck_assert_int_eq(sqlite3_open(world.path, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA user_version = 7", NULL, NULL, NULL);
    struct bytes main_file = read_file(world.path), log_file = read_file(log);
    ck_assert_uint_gt(log_file.length, 0);
    sqlite3_close(db);
    write_file(world.path, main_file.at, main_file.length);
    write_file(log, log_file.at, log_file.length);
    ck_assert_ptr_null(logbook_open(world.path, &world.why));
    ck_assert_ptr_nonnull(strstr(world.why.at, "newer version"));
    ck_assert(has_bytes(world.path, main_file));
    ck_assert(has_bytes(log, log_file));
    free(main_file.at);
    free(log_file.at);
    world_free(&world);
}
END_TEST

START_TEST(test_other_files_are_refused)
{
    struct world world = world_new();
    const unsigned char words[] =
        "Dear diary, today we wrapped the kite around the stay.\n";
    write_file(world.path, words, sizeof words - 1);
    expect_refused(&world, "not a logbook");
    unsigned char noise[5000];
    for (size_t i = 0; i < sizeof noise; i++)
        noise[i] = (unsigned char)(i * i % 251 + i / 7);
    write_file(world.path, noise, sizeof noise);
    expect_refused(&world, "not a logbook");
    world_free(&world);
}
END_TEST

START_TEST(test_other_databases_are_refused)
{
    struct world world = world_new();
    run_sql(world.path, "CREATE TABLE run (id INTEGER PRIMARY KEY)");
    expect_refused(&world, "a database of another program");
    run_sql(world.path, "PRAGMA application_id = 12345");
    expect_refused(&world, "a database of another program");
    world_free(&world);
}
END_TEST

START_TEST(test_missing_tables_are_refused)
{
    struct world world = world_new();
    make_logbook(&world);
    run_sql(world.path, "DROP TABLE event");
    expect_refused(&world, "damaged");
    world_free(&world);
}
END_TEST

START_TEST(test_empty_file_is_a_new_logbook)
{
    struct world world = world_new();
    write_file(world.path, (const unsigned char *)"", 0);
    make_logbook(&world);
    struct logbook *logbook = world_open(&world);
    world_expect(&world, logbook, 1, 0, 10);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

/* Opens whatever stands at the path and reads all of it; true where it was opened. */
static bool read_everything(struct world *world)
{
    struct logbook *logbook = logbook_open(world->path, &world->why);
    if (!logbook)
        return false;
    struct logbook_run run;
    struct run_event *events;
    size_t count;
    logbook_find_open(logbook, world->arena, &run);
    logbook_read_run(logbook, 1, world->arena, &run);
    logbook_read_events(logbook, 1, world->arena, &events, &count);
    world_add(logbook, 1, 77);
    logbook_close(logbook);
    return true;
}

/* The bytes as the only file of the logbook: no log is left from another one. */
static void put_logbook(struct world *world, const unsigned char *at, size_t length)
{
    char beside[160];
    snprintf(beside, sizeof beside, "%s-wal", world->path);
    remove(beside);
    write_file(world->path, at, length);
    text_free(&world->why);
}

/* No length of the file is taken for a whole one. */
START_TEST(test_truncated_is_refused)
{
    struct world world = world_new();
    make_logbook(&world);
    struct bytes whole = read_file(world.path);
    for (size_t length = 1; length < whole.length; length += length < 200 ? 9 : 331) {
        struct bytes part = {whole.at, length};
        put_logbook(&world, whole.at, length);
        ck_assert_msg(!read_everything(&world), "%zu bytes", length);
        ck_assert_ptr_nonnull(world.why.at);
        ck_assert(has_bytes(world.path, part));
    }
    free(whole.at);
    world_free(&world);
}
END_TEST

/* One wrong bit: read or refused, and when refused left alone. */
START_TEST(test_flipped_bits)
{
    struct world world = world_new();
    make_logbook(&world);
    struct bytes whole = read_file(world.path);
    size_t opened = 0, refused = 0;
    for (size_t at = 0; at < whole.length; at += at % 4096 < 120 ? 1 : 37) {
        whole.at[at] ^= (unsigned char)(1 << at % 8);
        put_logbook(&world, whole.at, whole.length);
        if (read_everything(&world))
            opened++;
        else
            refused++;
        ck_assert(world.why.length == 0 || has_bytes(world.path, whole));
        whole.at[at] ^= (unsigned char)(1 << at % 8);
    }
    ck_assert_uint_gt(opened, 0);
    ck_assert_uint_gt(refused, 0);
    free(whole.at);
    world_free(&world);
}
END_TEST

/* What the tables allow but no program of ours writes is not handed on. */
START_TEST(test_nonsense_rows_are_not_read)
{
    const char *rows[] = {"(1, 0, 5, 256, 0, 0, '')",
                          "(1, 0, 5, -1, 0, 0, '')",
                          "(1, 0, 5, 3, 999, 0, '')",
                          "(1, 0, 5, 3, 0, 40000, '')",
                          "(1, 0, 5, 3, 0, -40000, '')",
                          "(1, 1, 5, 3, 0, 0, '')",
                          "(1, 0, 5, 12, 0, 0, printf('%200s', 'x'))"};
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    world_open_run(&world, logbook);
    struct text sql = {0};
    text_printf(&sql, "INSERT INTO event VALUES %s", rows[_i]);
    ck_assert_int_eq(sqlite3_exec(logbook->db, sql.at, NULL, NULL, NULL), SQLITE_OK);
    struct run_event *events;
    size_t count;
    ck_assert(!logbook_read_events(logbook, 1, world.arena, &events, &count));
    text_free(&sql);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_events_are_never_changed)
{
    struct world world = world_new();
    make_logbook(&world);
    struct logbook *logbook = world_open(&world);
    const char *changes[] = {"UPDATE event SET at_ms = 0", "DELETE FROM event",
                             "DELETE FROM run"};
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++)
        ck_assert_int_ne(sqlite3_exec(logbook->db, changes[i], NULL, NULL, NULL),
                         SQLITE_OK);
    world_expect(&world, logbook, 1, 0, 10);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

static int permissions(const char *path)
{
    struct stat found;
    ck_assert_msg(stat(path, &found) == 0, "%s", path);
    return (int)(found.st_mode & 07777);
}

START_TEST(test_permissions_whatever_the_umask)
{
    const mode_t masks[] = {0, 0022, 0777};
    struct world world = world_new();
    umask(masks[_i]);
    char path[160], beside[170];
    snprintf(path, sizeof path, "%s/share/foreguy/logbook.db", world.folder);
    struct logbook *logbook = logbook_open(path, &world.why);
    ck_assert_msg(logbook, "%s", world.why.at);
    ck_assert_int_ne(world_open_run(&world, logbook), 0);
    ck_assert_int_eq(permissions(path), 0600);
    snprintf(beside, sizeof beside, "%s-wal", path);
    ck_assert_int_eq(permissions(beside), 0600);
    snprintf(beside, sizeof beside, "%s-shm", path);
    ck_assert_int_eq(permissions(beside), 0600);
    snprintf(beside, sizeof beside, "%s/share/foreguy", world.folder);
    ck_assert_int_eq(permissions(beside), 0700);
    snprintf(beside, sizeof beside, "%s/share", world.folder);
    ck_assert_int_eq(permissions(beside), 0700);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

START_TEST(test_places_that_cannot_be)
{
    struct world world = world_new();
    ck_assert_ptr_null(logbook_open("", &world.why));
    ck_assert_ptr_null(logbook_open(world.folder, &world.why));
    make_logbook(&world);
    char below[160];
    snprintf(below, sizeof below, "%s/x/logbook.db", world.path);
    text_free(&world.why);
    ck_assert_ptr_null(logbook_open(below, &world.why));
    ck_assert_ptr_nonnull(strstr(world.why.at, "Not a directory"));
    char *long_path = malloc(9000);
    ck_assert_ptr_nonnull(long_path);
    memset(long_path, 'a', 8999);
    long_path[8999] = '\0';
    ck_assert_ptr_null(logbook_open(long_path, &world.why));
    free(long_path);
    world_free(&world);
}
END_TEST

/* Names that mean something to the database are plain names here. */
START_TEST(test_odd_names)
{
    const char *names[] = {":memory:", "file:x?mode=memory", "a%20b#c", "-wal",
                           "\xff\xfe"};
    struct world world = world_new();
    ck_assert_int_eq(chdir(world.folder), 0);
    struct logbook *logbook = logbook_open(names[_i], &world.why);
    ck_assert_msg(logbook, "%s", world.why.at);
    ck_assert_int_ne(world_open_run(&world, logbook), 0);
    logbook_close(logbook);
    struct stat found;
    ck_assert_int_eq(stat(names[_i], &found), 0);
    ck_assert_int_gt(found.st_size, 4096);
    ck_assert_int_eq(chdir("/"), 0);
    world_free(&world);
}
END_TEST

static const struct schema_step test_steps[] = {
    {"CREATE TABLE a (x INTEGER) STRICT"},
    {"INSERT INTO a VALUES (1); CREATE TABLE b (y INTEGER) STRICT"},
    {"INSERT INTO b SELECT x + 1 FROM a"},
    {"INSERT INTO b VALUES (9); INSERT INTO nowhere VALUES (1)"},
};

static int number(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *statement;
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &statement, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    int found = sqlite3_column_int(statement, 0);
    sqlite3_finalize(statement);
    return found;
}

/* From every version to every later one, in one go or in several. */
START_TEST(test_migrations)
{
    struct text why = {0};
    for (int from = 0; from <= 3; from++) {
        sqlite3 *db;
        ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
        ck_assert(schema_migrate(db, test_steps, from, &why));
        ck_assert_int_eq(number(db, "PRAGMA user_version"), from);
        ck_assert(schema_migrate(db, test_steps, 3, &why));
        ck_assert(schema_migrate(db, test_steps, 3, &why));
        ck_assert_int_eq(number(db, "PRAGMA user_version"), 3);
        ck_assert_int_eq(number(db, "SELECT y FROM b"), 2);
        ck_assert_int_eq(number(db, "SELECT count(*) FROM a"), 1);
        sqlite3_close(db);
    }
}
END_TEST

START_TEST(test_failing_migration_changes_nothing)
{
    struct text why = {0};
    sqlite3 *db;
    ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
    ck_assert(schema_migrate(db, test_steps, 2, &why));
    ck_assert(!schema_migrate(db, test_steps, 4, &why));
    ck_assert_ptr_nonnull(strstr(why.at, "nowhere"));
    ck_assert_int_eq(number(db, "PRAGMA user_version"), 2);
    ck_assert_int_eq(number(db, "SELECT count(*) FROM b"), 0);
    ck_assert(!schema_migrate(db, test_steps, 1, &why));
    sqlite3_close(db);
    text_free(&why);
}
END_TEST

/* The database of this program's version 0 is an empty one. */
START_TEST(test_first_version)
{
    struct text why = {0};
    sqlite3 *db;
    int count;
    ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
    ck_assert(schema_check(db, &why));
    const struct schema_step *steps = schema_steps(&count);
    ck_assert_int_eq(count, LOGBOOK_VERSION);
    ck_assert(schema_migrate(db, steps, count, &why));
    ck_assert(schema_check(db, &why));
    ck_assert_int_eq(number(db, "PRAGMA application_id"), 0x46677579);
    ck_assert_int_eq(number(db, "SELECT count(*) FROM run"), 0);
    sqlite3_close(db);
}
END_TEST

/* What design.md promises of every commit. */
START_TEST(test_settings)
{
    struct world world = world_new();
    struct logbook *logbook = world_open(&world);
    ck_assert_int_eq(number(logbook->db, "PRAGMA synchronous"), 2);
    ck_assert_int_eq(number(logbook->db, "PRAGMA foreign_keys"), 1);
    ck_assert_int_eq(number(logbook->db, "SELECT journal_mode = 'wal'"
                                         " FROM pragma_journal_mode"),
                     1);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

static Suite *damage_suite(void)
{
    Suite *suite = suite_create("logbook damage");
    TCase *tests = tcase_create("damage");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, test_newer_version_is_refused);
    tcase_add_test(tests, test_newer_version_in_the_log_is_refused);
    tcase_add_test(tests, test_other_files_are_refused);
    tcase_add_test(tests, test_other_databases_are_refused);
    tcase_add_test(tests, test_missing_tables_are_refused);
    tcase_add_test(tests, test_empty_file_is_a_new_logbook);
    tcase_add_test(tests, test_truncated_is_refused);
    tcase_add_test(tests, test_flipped_bits);
    tcase_add_loop_test(tests, test_nonsense_rows_are_not_read, 0, 7);
    tcase_add_test(tests, test_events_are_never_changed);
    tcase_add_loop_test(tests, test_permissions_whatever_the_umask, 0, 3);
    tcase_add_test(tests, test_places_that_cannot_be);
    tcase_add_loop_test(tests, test_odd_names, 0, 5);
    tcase_add_test(tests, test_migrations);
    tcase_add_test(tests, test_failing_migration_changes_nothing);
    tcase_add_test(tests, test_first_version);
    tcase_add_test(tests, test_settings);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return world_run_suite(damage_suite());
}
