#include "command/live.h"

#include "base/text.h"
#include "command/context.h"
#include "command/rescue.h"
#include "debrief/debrief.h"
#include "screens/glyphs.h"
#include "screens/terminal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct stage {
    struct app app;
    struct canvas canvas;
    int rows, columns;
};

static void show(struct app *app, void *self)
{
    struct stage *stage = self;
    app_draw(app, &stage->canvas, stage->rows, stage->columns);
    terminal_show(&stage->canvas);
}

static bool key_waits(void *self)
{
    (void)self;
    return terminal_has_key();
}

static void ring(void *self)
{
    (void)self;
    terminal_bell();
}

/* The outcome of the last run that had its go decides the status, as for a command. */
static int status_of(const struct app *app)
{
    if (!app->has_session || app->session.run.now.phase != RUN_OVER ||
        app->session.run.now.go_ms < 0)
        return STATUS_FINE;
    struct debrief debrief;
    debrief_make(&app->session.run, app->session.run.now.over_ms, &debrief);
    return debrief_clean(&debrief) ? STATUS_FINE : STATUS_FOUND;
}

static void loop(struct stage *stage, int *signal)
{
    struct app *app = &stage->app;
    while (!app->over && !*signal) {
        terminal_size(&stage->rows, &stage->columns);
        terminal_set_tick(app_is_live(app) ? TERMINAL_LIVE_MS : TERMINAL_CALM_MS);
        show(app, stage);
        app_ring(app);
        struct terminal_event event = terminal_wait();
        if (event.happening == TERMINAL_KEY && event.key == PRESS_CTRL_L)
            terminal_redraw();
        else if (event.happening == TERMINAL_KEY)
            app_press(app, event.key, event.pasted);
        else if (event.happening == TERMINAL_INTERRUPTED)
            app_interrupt(app);
        else if (event.happening == TERMINAL_TERMINATED)
            *signal = event.signal;
        if (app->has_session)
            session_retry(&app->session);
    }
}

int live_run(const struct app_world *world, const struct app_choice *choice, bool ascii,
             int *signal)
{
    char reason[TERMINAL_REASON_SIZE];
    struct terminal_options options = {.ascii = ascii};
    if (!terminal_open(&options, world->clock, reason)) {
        fprintf(stderr, "foreguy: %s; --plain works without\n", reason);
        return STATUS_COULD_NOT;
    }
    struct stage *stage = calloc(1, sizeof *stage);
    if (!stage) {
        terminal_close();
        fputs("foreguy: out of memory\n", stderr);
        return STATUS_COULD_NOT;
    }
    struct app_world real = *world;
    real.show = show;
    real.key_waits = key_waits;
    real.bell = world->silent ? NULL : ring;
    real.self = stage;
    stage->canvas.ascii = terminal_is_ascii();
    terminal_size(&stage->rows, &stage->columns);
    app_start(&stage->app, &real, choice);
    loop(stage, signal);
    terminal_close();
    if (*stage->app.farewell)
        puts(stage->app.farewell);
    int status = status_of(&stage->app);
    if (stage->app.has_session && !*signal)
        rescue_offer(&stage->app.session);
    app_end(&stage->app);
    free(stage);
    return status;
}

static void print_canvas(struct stage *stage, bool styled)
{
    struct text out = {0};
    app_draw(&stage->app, &stage->canvas, stage->rows, stage->columns);
    if (styled)
        canvas_write_styled(&stage->canvas, &out);
    else
        canvas_write_text(&stage->canvas, &out);
    text_add(&out, "----\n");
    context_print(&out);
    text_free(&out);
}

static void type_text(struct app *app, const char *text)
{
    while (*text)
        app_press(app, glyph_read(&text), false);
}

static bool script_line(struct stage *stage, const char *line)
{
    if (strncmp(line, "type ", 5) == 0) {
        type_text(&stage->app, line + 5);
        return true;
    }
    if (sscanf(line, "size %d %d", &stage->rows, &stage->columns) == 2)
        return true;
    if (strcmp(line, "show") == 0 || strcmp(line, "styles") == 0) {
        print_canvas(stage, *line == 's' && line[1] == 't');
        return true;
    }
    uint32_t key = keys_find(line);
    if (key == PRESS_CTRL_C)
        app_interrupt(&stage->app);
    else if (key != PRESS_NONE)
        app_press(&stage->app, key, false);
    return key != PRESS_NONE;
}

int live_script(const struct app_world *world, const struct app_choice *choice,
                bool ascii, struct script *script)
{
    struct stage *stage = calloc(1, sizeof *stage);
    if (!stage) {
        fputs("foreguy: out of memory\n", stderr);
        return STATUS_COULD_NOT;
    }
    stage->rows = 24;
    stage->columns = 80;
    stage->canvas.ascii = ascii;
    app_start(&stage->app, world, choice);
    char line[256];
    int status = STATUS_FINE;
    while (!stage->app.over && script_next(script, line, sizeof line))
        if (!script_line(stage, line)) {
            fprintf(stderr, "%s:%u: error: '%s' is no key; see foreguy(1), KEY SCRIPTS\n",
                    script->source->name, script->line - 1, line);
            status = STATUS_COULD_NOT;
            break;
        }
    if (!stage->app.over)
        print_canvas(stage, false);
    if (*stage->app.farewell)
        puts(stage->app.farewell);
    if (status == STATUS_FINE)
        status = status_of(&stage->app);
    app_end(&stage->app);
    free(stage);
    return status;
}
