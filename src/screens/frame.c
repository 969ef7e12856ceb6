/* What all screens have around them, and the way of a key to its action. */
#include "screens/app.h"
#include "screens/asking.h"

#include "base/text.h"
#include "screens/glyphs.h"

#include <ctype.h>
#include <string.h>

enum style signal_style(enum signal signal)
{
    static const enum style styles[] = {STYLE_PLAIN, STYLE_NOTICE, STYLE_CAUTION,
                                        STYLE_WARNING, STYLE_DANGER};
    return styles[signal];
}

static bool is_key(const struct key_entry *entry, uint32_t key)
{
    uint32_t lower = key < 128 ? (uint32_t)tolower((int)key) : key;
    for (int i = 0; i < 4 && entry->keys[i] != PRESS_NONE; i++)
        if (entry->keys[i] == key || entry->keys[i] == lower)
            return true;
    return false;
}

void app_press(struct app *app, uint32_t key, bool text)
{
    if (asking_takes(app, key, text) || text)
        return;
    app->message[0] = '\0';
    for (const struct key_entry *entry = app->screen->keys; entry->act; entry++)
        if (is_key(entry, key)) {
            entry->act(app);
            return;
        }
    if (key >= '0' && key <= '9' && app->screen->digit)
        app->screen->digit(app, (int)(key - '0'));
}

static void draw_title(const struct app *app, struct canvas *canvas)
{
    int columns = canvas->columns;
    canvas_fill(canvas, (struct area){0, 0, 1, columns}, STYLE_TITLE, ' ');
    int used = canvas_printf(canvas, 0, 1, STYLE_TITLE, "foreguy  %s", app->screen->name);
    struct text right = {0};
    app->screen->tell(app, &right);
    if (right.at && columns - used > 4)
        canvas_put_right(canvas, 0, used + 2, columns - used - 3, STYLE_TITLE, right.at);
    text_free(&right);
}

/* As many hints as fit, the first ones first; "?" always. */
static void draw_footer(const struct app *app, struct canvas *canvas, int row)
{
    const char *asked = asking_keys(app);
    if (asked) {
        canvas_put_cut(canvas, row, 1, canvas->columns - 2, STYLE_PLAIN, asked);
        return;
    }
    int at = 1, last = canvas->columns - 7;
    for (const struct key_entry *entry = app->screen->keys; entry->act; entry++) {
        const char *label =
            app->screen->hint ? app->screen->hint(app, entry) : entry->label;
        if (!label)
            continue;
        int width = glyph_text_width(entry->shown) + glyph_text_width(label) + 3;
        if (at + width > last)
            break;
        int next = canvas_put(canvas, row, at, STYLE_KEY, entry->shown);
        canvas_put(canvas, row, next + 1, STYLE_PLAIN, label);
        at += width;
    }
    if (canvas->columns > 7 && app->screen != &help_screen) {
        canvas_put(canvas, row, last, STYLE_KEY, "?");
        canvas_put(canvas, row, last + 2, STYLE_PLAIN, "help");
    }
}

/* On the line above the footer, and where it is longer over the lines above that. */
static void draw_asking(const struct app *app, struct canvas *canvas, int row)
{
    struct text text = {0};
    asking_write(app, &text);
    if (text.at && *text.at) {
        enum style style = app->asking ? STYLE_SELECTED : STYLE_STRONG;
        int rows = canvas_count_rows(text.at, canvas->columns - 2);
        int most = canvas->rows / 3;
        rows = rows < most ? rows : most;
        row -= rows - 1;
        canvas_fill(canvas, (struct area){row, 0, rows, canvas->columns}, STYLE_PLAIN,
                    ' ');
        canvas_wrap(canvas, (struct area){row, 1, rows, canvas->columns - 2}, style,
                    text.at);
    }
    text_free(&text);
}

void app_draw(struct app *app, struct canvas *canvas, int rows, int columns)
{
    canvas_clear(canvas, rows, columns);
    if (canvas->rows < 4 || canvas->columns < 16) {
        canvas_put_cut(canvas, 0, 0, canvas->columns, STYLE_STRONG, "too small");
        return;
    }
    draw_title(app, canvas);
    /* read from far away the call may stand on the line of messages while that is free */
    bool is_free =
        app->screen == &run_screen && app->far && !app->asking && !*app->message;
    struct area middle = {1, 0, canvas->rows - (is_free ? 2 : 3), canvas->columns};
    app->screen->draw(app, canvas, middle);
    draw_asking(app, canvas, canvas->rows - 2);
    draw_footer(app, canvas, canvas->rows - 1);
}
