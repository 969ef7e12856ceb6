/* The keys of the screen behind, from the same table that acts on them. */
#include "screens/app.h"

#include "base/text.h"

static void back(struct app *app)
{
    app->screen = app->behind_help;
    app->scroll = 0;
}

static void up(struct app *app)
{
    app->scroll -= app->scroll > 0;
}

static void down(struct app *app)
{
    app->scroll++;
}

static const struct key_entry keys[] = {
    {{PRESS_ESCAPE, PRESS_ENTER, '?', 'q'}, "Esc", "back", "back", back},
    {{PRESS_UP}, "Up", "up", "one line up", up},
    {{PRESS_DOWN}, "Down", "down", "one line down", down},
    {{0}, NULL, NULL, NULL, NULL}};

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    int count = 0, row = 0;
    while (app->behind_help->keys[count].act)
        count++;
    app->scroll = app->scroll < count ? app->scroll : count - 1;
    int i = app->scroll, last = area.rows - 1;
    for (; i < count && row < last; i++) {
        const struct key_entry *entry = &app->behind_help->keys[i];
        canvas_put(canvas, area.row + row, 1, STYLE_KEY, entry->shown);
        row += canvas_wrap(
            canvas, (struct area){area.row + row, 9, last - row, area.columns - 10},
            STYLE_PLAIN, entry->help);
    }
    if (i < count)
        canvas_put(canvas, area.row + last, 1, STYLE_STRONG, "More below: Down.");
}

static void tell(const struct app *app, struct text *out)
{
    text_printf(out, "keys of the %s screen", app->behind_help->name);
}

const struct screen help_screen = {"Help", keys, draw, tell, NULL};
