/* A program for tests of the terminal alone: every style, a clock, big letters and what
 * has come in so far.  Its clock moves only by the key `a`, 100 ms each time.  Keys: b
 * bell, c crash, e an exit from deep inside, l live ticks, m a typing cursor, q quit. */
#include <inttypes.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/clock.h"
#include "screens/big_letters.h"
#include "screens/canvas.h"
#include "screens/keys.h"
#include "screens/terminal.h"

struct demo {
    struct canvas canvas;
    int64_t now_ms;
    int ticks, interrupts, returns, pasted;
    bool typing;
    char key[KEYS_NAME_SIZE];
};

static int64_t demo_now_ms(void *self)
{
    return ((struct demo *)self)->now_ms;
}

static const char *const style_names[STYLE_COUNT] = {
    "plain",   "strong", "faint",   "title",     "call",     "now",
    "done",    "next",   "holding", "overdue",   "caution",  "danger",
    "warning", "notice", "port",    "starboard", "selected", "key",
};

static void draw_styles(struct canvas *canvas, int row)
{
    for (int style = 0; style < STYLE_COUNT; style++) {
        int at = row + style % 9;
        int column = style / 9 * 20;
        canvas_put(canvas, at, column, (enum style)style, style_names[style]);
        int half = (column + 10) * 2;
        canvas_bar(canvas, at, half, half + 7, BAR_DONE, (enum style)style);
    }
}

static void draw(struct demo *demo)
{
    struct canvas *canvas = &demo->canvas;
    int rows, columns;
    terminal_size(&rows, &columns);
    canvas->ascii = terminal_is_ascii();
    canvas_clear(canvas, rows, columns);
    canvas_printf(canvas, 0, 0, STYLE_PLAIN, "clock %" PRId64 " key %s pasted %d",
                  demo->now_ms, demo->key, demo->pasted);
    canvas_printf(canvas, 1, 0, STYLE_PLAIN, "interrupts %d returns %d size %dx%d",
                  demo->interrupts, demo->returns, rows, columns);
    canvas_printf(canvas, 2, 0, STYLE_PLAIN, "%s", demo->ticks > 2 ? "ticking" : "");
    draw_styles(canvas, 3);
    char clock[32];
    snprintf(clock, sizeof clock, "%" PRId64 ".%" PRId64, demo->now_ms / 1000,
             demo->now_ms / 100 % 10);
    struct area rest = {12, 0, rows - 13, columns};
    int scale = big_letters_fit(clock, rest.columns, rest.rows);
    if (scale > 0)
        big_letters_draw(canvas, rest, scale, STYLE_CALL, clock);
    canvas_put_right(canvas, rows - 1, 0, columns, STYLE_FAINT, "Grüße ⛵ end");
    if (demo->typing)
        canvas_park_cursor(canvas, 1, 3, true);
    terminal_show(canvas);
}

/* Returns false to end. */
static bool take_key(struct demo *demo, const struct terminal_event *event)
{
    keys_name(event->key, demo->key);
    demo->pasted += event->pasted;
    if (event->pasted)
        return true;
    if (event->key == 'a')
        demo->now_ms += 100;
    else if (event->key == 'b')
        terminal_bell();
    else if (event->key == 'c')
        raise(SIGSEGV);
    else if (event->key == 'e')
        exit(2);
    else if (event->key == 'l')
        terminal_set_tick(TERMINAL_LIVE_MS);
    else if (event->key == 'm')
        demo->typing = !demo->typing;
    else if (event->key == PRESS_CTRL_L)
        terminal_redraw();
    return event->key != 'q';
}

static int run(struct demo *demo)
{
    for (;;) {
        draw(demo);
        struct terminal_event event = terminal_wait();
        if (event.happening == TERMINAL_TERMINATED)
            return 128 + event.signal;
        if (event.happening == TERMINAL_KEY && !take_key(demo, &event))
            return 0;
        demo->ticks += event.happening == TERMINAL_TICK;
        demo->interrupts += event.happening == TERMINAL_INTERRUPTED;
        demo->returns += event.happening == TERMINAL_CONTINUED;
    }
}

int main(int count, char **arguments)
{
    struct demo *demo = calloc(1, sizeof *demo);
    if (!demo)
        return 2;
    struct clock clock = {demo_now_ms, demo_now_ms, demo};
    struct terminal_options options = {
        .ascii = count > 1 && strcmp(arguments[1], "--ascii") == 0,
    };
    char reason[TERMINAL_REASON_SIZE];
    int status = 2;
    if (terminal_open(&options, &clock, reason)) {
        status = run(demo);
        terminal_close();
        puts("ended");
    } else {
        fprintf(stderr, "canvas_demo: %s\n", reason);
    }
    free(demo);
    return status;
}
