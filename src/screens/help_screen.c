/* The keys of the screen behind, from the same table that acts on them. */
#include "screens/app.h"

#include "base/text.h"
#include "screens/glyphs.h"

static void back(struct app *app)
{
    app->screen = app->behind_help;
    app->scroll = (struct scroll){0};
}

static const struct key_entry keys[] = {
    {{PRESS_ESCAPE, PRESS_ENTER, '?', 'q'}, "Esc", "back", "back", back},
    SCROLL_KEYS,
    {{0}, NULL, NULL, NULL, NULL}};

static void fill(const struct app *app, struct roll *roll)
{
    const struct key_entry *entries = app->behind_help->keys;
    int widest = 0;
    for (int i = 0; entries[i].act; i++)
        if (entries[i].help && glyph_text_width(entries[i].shown) > widest)
            widest = glyph_text_width(entries[i].shown);
    for (int i = 0; entries[i].act; i++) {
        if (!entries[i].help)
            continue;
        int row = roll_wrap(roll, widest + 2, STYLE_PLAIN, entries[i].help);
        canvas_put(roll->canvas, row, roll->area.column, STYLE_KEY, entries[i].shown);
    }
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    scroll_draw(&app->scroll, canvas,
                (struct area){area.row, 1, area.rows, area.columns - 2}, fill, app);
}

static void tell(const struct app *app, struct text *out)
{
    text_printf(out, "keys of the %s screen", app->behind_help->name);
}

const struct screen help_screen = {"Help", keys, draw, tell, NULL, NULL};
