/* The logbook of a program that is killed, after each mark and in the midst of each
 * write: what was called stored is there, and the run is picked up where it was. */
#include "logbook_world.h"

#include "failing_disk.h"

#include <sys/wait.h>

enum { MARKS = 30 };

/* The child's part: a byte into the pipe for each event that was called stored. */
static void write_drill(const char *path, int acknowledge)
{
    struct text why = {0};
    struct logbook *logbook = logbook_open(path, &why);
    struct logbook_run run = world_run("dip-pole-jibe");
    if (!logbook || !logbook_open_run(logbook, &run, &why)) {
        fprintf(stderr, "%s\n", why.at);
        _exit(3);
    }
    for (int i = 0; i < MARKS; i++)
        if (world_add(logbook, run.id, i) != LOGBOOK_STORED ||
            write(acknowledge, "", 1) != 1)
            _exit(3);
    if (!logbook_close_run(logbook, run.id, RUN_DONE, 9))
        _exit(3);
    logbook_close(logbook);
    _exit(0);
}

/* Starts the child; the read end of its pipe. */
static int start_drill(struct world *world, pid_t *child)
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    *child = fork();
    ck_assert_int_ge(*child, 0);
    if (*child == 0) {
        close(ends[0]);
        write_drill(world->path, ends[1]);
    }
    close(ends[1]);
    return ends[0];
}

/* The child's run holds all ACKNOWLEDGED events and, where it was not closed, is found
 * and can be gone on with. */
static void pick_up(struct world *world, size_t acknowledged)
{
    struct logbook *logbook = world_open(world);
    struct logbook_run run = {0};
    bool open = logbook_find_open(logbook, world->arena, &run);
    if (!open && !logbook_read_run(logbook, 1, world->arena, &run))
        ck_assert_uint_eq(acknowledged, 0);
    size_t count = (size_t)run.event_count;
    ck_assert_uint_ge(count, acknowledged);
    ck_assert(!run.closed || count == MARKS);
    world_expect(world, logbook, run.id, 0, count);
    for (int i = (int)count; open && i < MARKS; i++)
        ck_assert_int_eq(world_add(logbook, run.id, i), LOGBOOK_STORED);
    world_expect(world, logbook, run.id, 0, open ? MARKS : count);
    logbook_close(logbook);
}

START_TEST(test_killed_after_each_mark)
{
    struct world world = world_new();
    pid_t child;
    int acknowledged = start_drill(&world, &child);
    char byte;
    for (int i = 0; i <= _i; i++)
        ck_assert_int_eq(read(acknowledged, &byte, 1), 1);
    kill(child, SIGKILL);
    size_t count = (size_t)_i + 1;
    while (read(acknowledged, &byte, 1) == 1)
        count++;
    int status;
    waitpid(child, &status, 0);
    close(acknowledged);
    pick_up(&world, count);
    world_free(&world);
}
END_TEST

/* Killed in the midst of the N-th change to a file, from the first byte on. */
static bool killed_at_write(struct failing_disk *disk, int n)
{
    struct world world = world_new();
    failing_disk_fail(disk, DISK_KILLS, n, 1);
    pid_t child;
    int acknowledged = start_drill(&world, &child);
    failing_disk_heal(disk);
    char byte;
    size_t count = 0;
    while (read(acknowledged, &byte, 1) == 1)
        count++;
    int status;
    waitpid(child, &status, 0);
    close(acknowledged);
    bool killed = WIFSIGNALED(status);
    ck_assert(killed || WEXITSTATUS(status) == 0);
    pick_up(&world, count);
    world_free(&world);
    return killed;
}

START_TEST(test_killed_in_each_write)
{
    struct failing_disk disk;
    failing_disk_start(&disk);
    int n = 1;
    while (killed_at_write(&disk, n))
        ck_assert_int_lt(n++, 2000);
    ck_assert_int_gt(n, MARKS);
}
END_TEST

/* Programs that meet at a logbook that none of them has made yet. */
START_TEST(test_programs_start_at_once)
{
    enum { PROGRAMS = 4 };
    struct world world = world_new();
    pid_t children[PROGRAMS];
    int pipes[PROGRAMS];
    for (int i = 0; i < PROGRAMS; i++)
        pipes[i] = start_drill(&world, &children[i]);
    for (int i = 0; i < PROGRAMS; i++) {
        int status;
        ck_assert_int_eq(waitpid(children[i], &status, 0), children[i]);
        ck_assert_int_eq(status, 0);
        close(pipes[i]);
    }
    struct logbook *logbook = world_open(&world);
    for (int id = 1; id <= PROGRAMS; id++)
        world_expect(&world, logbook, id, 0, MARKS);
    logbook_close(logbook);
    world_free(&world);
}
END_TEST

static Suite *killed_suite(void)
{
    Suite *suite = suite_create("logbook killed");
    TCase *tests = tcase_create("killed");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, test_killed_after_each_mark, 0, MARKS);
    tcase_add_test(tests, test_killed_in_each_write);
    tcase_add_loop_test(tests, test_programs_start_at_once, 0, 10);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return world_run_suite(killed_suite());
}
