/* A small world for the tests of the logbook: a folder of its own, runs and events that
 * can be told apart. */
#ifndef UNIT_LOGBOOK_WORLD_H
#define UNIT_LOGBOOK_WORLD_H

#define _XOPEN_SOURCE 700 /* nftw; this header comes first */

#include "logbook/logbook.h"

#include <check.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct world {
    char folder[64], path[128];
    struct text why;
    struct arena *arena;
};

/* In memory where that can be had: these tests sync thousands of times. */
static inline struct world world_new(void)
{
    struct world world = {.arena = arena_new()};
    const char *where = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    snprintf(world.folder, sizeof world.folder, "%s/foreguy-logbook-XXXXXX", where);
    ck_assert_ptr_nonnull(mkdtemp(world.folder));
    snprintf(world.path, sizeof world.path, "%s/logbook.db", world.folder);
    return world;
}

static inline int world_remove_one(const char *path, const struct stat *found, int type,
                                   struct FTW *at)
{
    (void)found, (void)type, (void)at;
    return remove(path);
}

static inline void world_free(struct world *world)
{
    nftw(world->folder, world_remove_one, 8, FTW_DEPTH | FTW_PHYS);
    text_free(&world->why);
    arena_free(world->arena);
}

static inline struct logbook *world_open(struct world *world)
{
    struct logbook *logbook = logbook_open(world->path, &world->why);
    ck_assert_msg(logbook, "%s", world->why.at);
    return logbook;
}

/* Event I: every field depends on I. */
static inline struct run_event world_event(int i)
{
    struct run_event event = {.at_ms = 1000 * i + 7,
                              .kind = RUN_MADE,
                              .step = (uint8_t)(i % 64),
                              .value = (int16_t)(i % 11 - 1)};
    if (i % 5 == 4) {
        event.kind = RUN_NOTED;
        snprintf(event.text, sizeof event.text, "note %d: guy wrapped, ça tient", i);
    }
    return event;
}

static inline bool world_same_event(const struct run_event *a, const struct run_event *b)
{
    return a->at_ms == b->at_ms && a->kind == b->kind && a->step == b->step &&
           a->value == b->value && strcmp(a->text, b->text) == 0;
}

static inline struct logbook_run world_run(const char *procedure)
{
    return (struct logbook_run){.wall_ms = 1795600000000,
                                .boot_ms = 5000,
                                .boot_id = "boot-1",
                                .procedure = procedure,
                                .mode = RUN_DRILL,
                                .version = "0.1.0"};
}

/* Opens a run or fails the test. */
static inline int64_t world_open_run(struct world *world, struct logbook *logbook)
{
    struct logbook_run run = world_run("dip-pole-jibe");
    ck_assert_msg(logbook_open_run(logbook, &run, &world->why), "%s", world->why.at);
    return run.id;
}

static inline enum logbook_stored world_add(struct logbook *logbook, int64_t run, int i)
{
    struct run_event event = world_event(i);
    return logbook_add(logbook, run, &event, 1);
}

/* The recorded events of RUN are events FIRST to FIRST + COUNT - 1 and no others. */
static inline void world_expect(struct world *world, struct logbook *logbook, int64_t run,
                                int first, size_t count)
{
    struct run_event *events;
    size_t found;
    ck_assert(logbook_read_events(logbook, run, world->arena, &events, &found));
    ck_assert_uint_eq(found, count);
    for (size_t i = 0; i < count; i++) {
        struct run_event expected = world_event(first + (int)i);
        ck_assert_msg(world_same_event(&events[i], &expected), "event %zu", i);
    }
}

static inline int world_run_suite(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

#endif
