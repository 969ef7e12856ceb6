/* Measures what a hand on deck would feel: start to the first screen, a key painted as
 * pressed and as made beside the bare commit of the same disk, and the processor time of
 * the running clock.  Not a test: nothing is asserted.
 *
 *   bench_screens FOREGUY SOURCE-FOLDER SCRATCH-FOLDER */
#include "../terminal/vt.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

enum {
    STARTS = 50,
    DRILLS = 10,
    MARKS = 21,
    COMMITS = 200,
    IDLE_S = 10,
    SAMPLES_MAX = 512
};

struct samples {
    double ms[SAMPLES_MAX];
    int count;
};

static double now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1000 + (double)now.tv_nsec / 1e6;
}

static void add(struct samples *samples, double ms)
{
    if (samples->count < SAMPLES_MAX)
        samples->ms[samples->count++] = ms;
}

static int compare(const void *a, const void *b)
{
    double first = *(const double *)a, second = *(const double *)b;
    return first < second ? -1 : first > second;
}

static double quantile(struct samples *samples, double q)
{
    qsort(samples->ms, (size_t)samples->count, sizeof samples->ms[0], compare);
    return samples->count ? samples->ms[(int)(q * (samples->count - 1))] : 0;
}

static void report(const char *what, struct samples *samples)
{
    printf("%-34s n %3d  median %7.2f  p90 %7.2f  max %7.2f ms\n", what, samples->count,
           quantile(samples, 0.5), quantile(samples, 0.9), quantile(samples, 1));
}

static struct vt *start(char *const argv[])
{
    static char data[512], home[512];
    snprintf(data, sizeof data, "FOREGUY_DATA=%s", argv[2]);
    snprintf(home, sizeof home, "XDG_DATA_HOME=%s", argv[3]);
    const char *environment[] = {data, home, "FOREGUY_TEST_SYNC=1", NULL};
    const char *arguments[] = {argv[1], NULL};
    return vt_spawn(arguments, environment, 24, 80);
}

static void leave(struct vt *vt)
{
    vt_press(vt, "q");
    vt_send_key(vt, "y");
    vt_wait_end(vt);
    vt_close(vt);
}

static void measure_starts(char *const argv[], struct samples *samples)
{
    for (int i = 0; i < STARTS; i++) {
        double before = now_ms();
        struct vt *vt = start(argv);
        vt_wait_text(vt, "HANDS ABOARD");
        add(samples, now_ms() - before);
        leave(vt);
    }
}

static void to_the_go(struct vt *vt)
{
    vt_wait_text(vt, "HANDS ABOARD");
    while (!vt_find(vt, "Dip-pole jibe: these", NULL, NULL))
        vt_press(vt, "down");
    vt_press(vt, "enter");
    while (vt_find(vt, "ASK ", NULL, NULL))
        vt_press(vt, "enter");
    vt_press(vt, "enter");
}

static void drill(char *const argv[], struct samples *pressed, struct samples *made)
{
    struct vt *vt = start(argv);
    to_the_go(vt);
    for (int i = 0; i < MARKS && !vt_find(vt, "Debrief", NULL, NULL); i++) {
        double until = now_ms() + 320; /* past the guard, never in step with the tick */
        while (now_ms() < until)
            vt_wait_frame(vt);
        double before = now_ms();
        vt_press(vt, "space");
        add(pressed, now_ms() - before);
        vt_wait_frame(vt);
        add(made, now_ms() - before);
    }
    vt_press(vt, "enter");
    leave(vt);
}

static void measure_commits(const char *folder, struct samples *samples)
{
    char path[600];
    snprintf(path, sizeof path, "%s/bare.db", folder);
    sqlite3 *db;
    sqlite3_open(path, &db);
    sqlite3_exec(db,
                 "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;"
                 "CREATE TABLE IF NOT EXISTS bare(a, b, c, d);",
                 NULL, NULL, NULL);
    for (int i = 0; i < COMMITS; i++) {
        double before = now_ms();
        sqlite3_exec(db, "INSERT INTO bare VALUES (1, 2, 3, 'text')", NULL, NULL, NULL);
        add(samples, now_ms() - before);
    }
    sqlite3_close(db);
}

static double children_s(void)
{
    struct rusage usage;
    getrusage(RUSAGE_CHILDREN, &usage);
    return (double)usage.ru_utime.tv_sec + (double)usage.ru_utime.tv_usec / 1e6 +
           (double)usage.ru_stime.tv_sec + (double)usage.ru_stime.tv_usec / 1e6;
}

/* Processor seconds of a session that stays live for SECONDS with the 10 Hz clock. */
static double session_cpu_s(char *const argv[], double seconds)
{
    double before = children_s();
    struct vt *vt = start(argv);
    to_the_go(vt);
    double until = now_ms() + seconds * 1000;
    while (now_ms() < until)
        vt_wait_frame(vt);
    vt_press(vt, "q");
    vt_press(vt, "y");
    vt_press(vt, "enter");
    leave(vt);
    return children_s() - before;
}

int main(int argc, char *argv[])
{
    if (argc != 4) {
        fprintf(stderr, "usage: bench_screens FOREGUY SOURCE-FOLDER SCRATCH-FOLDER\n");
        return 2;
    }
    struct samples starts = {0}, pressed = {0}, made = {0}, commits = {0};
    measure_starts(argv, &starts);
    for (int i = 0; i < DRILLS; i++)
        drill(argv, &pressed, &made);
    measure_commits(argv[3], &commits);
    report("start to the first screen", &starts);
    report("key to painted as pressed", &pressed);
    report("key to painted as made", &made);
    report("bare commit on the same disk", &commits);
    printf("made beside the bare commit: ratio of medians %.2f\n",
           quantile(&made, 0.5) / quantile(&commits, 0.5));
    double idle = session_cpu_s(argv, IDLE_S) - session_cpu_s(argv, 0);
    printf("10 Hz clock, nobody touching it: %.2f %% of one core\n", idle * 100 / IDLE_S);
    return 0;
}
