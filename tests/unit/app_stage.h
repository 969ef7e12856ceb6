/* The app on a stage: the shipped procedures, a demo crew, a logbook in a folder of its
 * own, a clock that the test moves; keys in, screens out. */
#ifndef UNIT_APP_STAGE_H
#define UNIT_APP_STAGE_H

#include "shipped.h"

#include "screens/app.h"

#include <unistd.h>

struct stage {
    struct arena *arena;
    struct library *library;
    const struct crew *crew;
    const struct boat *boat;
    struct logbook *logbook;
    struct clock clock;
    int64_t now_ms;
    char folder[64];
    struct app app;
    struct canvas canvas;
};

static inline int64_t stage_now(void *self)
{
    return ((struct stage *)self)->now_ms;
}

/* The program started on a stage that is set; app_end ends it. */
static inline void start_app(struct stage *s, const char *procedure, bool pilot)
{
    const struct app_world world = {.library = s->library,
                                    .crew = s->crew,
                                    .boat = s->boat,
                                    .logbook = s->logbook,
                                    .clock = &s->clock,
                                    .boot_id = "a test",
                                    .version = "test",
                                    .guard_ms = -1};
    const struct app_choice choice = {.procedure = procedure,
                                      .board = BOARD_STARBOARD,
                                      .mode = RUN_DRILL,
                                      .pilot = pilot};
    app_start(&s->app, &world, &choice);
}

static inline struct stage *open_stage(const char *crew, const char *procedure,
                                       bool pilot)
{
    struct arena *arena = arena_new();
    struct stage *s = arena_alloc(arena, sizeof *s);
    s->arena = arena;
    s->library = shipped_library(arena);
    s->crew = shipped_crew(crew, NULL, arena);
    s->boat = load_boat(shipped_source(arena, FOREGUY_SOURCE_DIR "/demo/boat.yaml"),
                        arena, diags_new(arena));
    s->clock = (struct clock){stage_now, stage_now, s};
    strcpy(s->folder, "/tmp/foreguy-app-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(s->folder));
    struct text why = {0};
    s->logbook = logbook_open(arena_printf(arena, "%s/logbook.db", s->folder), &why);
    ck_assert_msg(s->logbook != NULL, "%s", why.at);
    start_app(s, procedure, pilot);
    return s;
}

static inline void close_stage(struct stage *s)
{
    app_end(&s->app);
    logbook_close(s->logbook);
    ck_assert_int_eq(system(arena_printf(s->arena, "rm -rf '%s'", s->folder)), 0);
    arena_free(s->arena);
}

static inline void press(struct stage *s, const char *keys)
{
    for (; *keys; keys++) {
        s->now_ms += 500;
        app_press(&s->app, *keys == '\n' ? PRESS_ENTER : (uint32_t)*keys, false);
        app_draw(&s->app, &s->canvas, 24, 80);
    }
}

static inline bool shows(struct stage *s, const char *text)
{
    struct text out = {0};
    app_draw(&s->app, &s->canvas, 24, 80);
    canvas_write_text(&s->canvas, &out);
    bool found = strstr(out.at, text) != NULL;
    text_free(&out);
    return found;
}

#endif
