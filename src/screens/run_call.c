#include "screens/run_parts.h"

#include "base/text.h"
#include "cards/words.h"
#include "screens/big_letters.h"

#include <inttypes.h>
#include <string.h>

enum { CLOCK_COLUMNS = 26 };

/* What stands big: the call that is due, or the planned one and that it is planned, or
 * that everybody waits or holds. */
static void add_big(const struct app *app, struct text *out)
{
    const struct run *run = &app->session.run;
    int called = run_called(run, app_now_ms(app));
    bool planned = app_follows_plan(app);
    if (run->now.phase == RUN_ON_HOLD) {
        text_add(out, "HOLD");
        return;
    }
    text_add(out, planned ? "PLAN: " : "");
    if (called >= 0)
        words_big(&run->rig->procedure->steps[called], out);
    else
        text_add(out, planned ? "OVER" : "WAIT");
}

static enum style big_style(const struct app *app)
{
    const struct run *run = &app->session.run;
    int called = run_called(run, app_now_ms(app));
    if (run->now.phase == RUN_ON_HOLD)
        return STYLE_HOLDING;
    if (called < 0)
        return STYLE_PLAIN;
    if (called == app->pressed)
        return STYLE_SELECTED;
    if (run_overdue_ms(run, called, app_now_ms(app)) > 0)
        return STYLE_OVERDUE;
    return app_follows_plan(app) ? STYLE_NEXT : STYLE_CALL;
}

/* The clock in block digits at SCALE against the right end; false where it does not fit.
 */
static bool draw_digits(struct canvas *canvas, struct area area, int scale,
                        const char *digits)
{
    int width = big_letters_columns(digits, scale, area.columns);
    int rows = big_letters_rows(digits, scale, area.columns);
    if (!rows || rows > area.rows || rows > scale * 4)
        return false;
    area.column += area.columns - width;
    area.columns = width;
    big_letters_draw(canvas, area, scale, STYLE_STRONG, digits);
    return true;
}

/* Large with tenths where the call is as large, small with tenths, small without: what
 * fits first. */
static void draw_clock(const struct app *app, struct canvas *canvas, struct area area,
                       int scale)
{
    const struct run *run = &app->session.run;
    if (run->mode == RUN_WALK)
        return;
    int64_t ms = run_clock_ms(run, app_now_ms(app));
    struct text tenths = {0}, whole = {0};
    text_add_seconds(&tenths, ms);
    text_printf(&whole, "%" PRId64, ms / 1000);
    if (!(scale > 1 && draw_digits(canvas, area, 2, tenths.at)) &&
        !draw_digits(canvas, area, 1, tenths.at))
        draw_digits(canvas, area, 1, whole.at);
    text_free(&tenths);
    text_free(&whole);
}

/* How the call stands in COLUMNS and ROWS. */
struct letters {
    int scale;   /* 0: no letter fits, it is bold text */
    int columns; /* it is wrapped into these */
};

/* As large as it goes with the clock beside it, larger without where the letters gain by
 * it. */
static struct letters fit_letters(const char *text, int columns, int rows)
{
    int beside = big_letters_fit(text, columns - CLOCK_COLUMNS, rows);
    int alone = big_letters_fit(text, columns, rows);
    return alone > beside ? (struct letters){alone, columns}
                          : (struct letters){beside, columns - CLOCK_COLUMNS};
}

int run_count_call(const struct app *app, int columns, int rows)
{
    struct text big = {0};
    add_big(app, &big);
    struct letters letters = fit_letters(big.at, columns, rows);
    int used = letters.scale ? big_letters_rows(big.at, letters.scale, letters.columns)
                             : canvas_count_rows(big.at, columns);
    text_free(&big);
    return used;
}

/* Where no letter fits the call is a bar across the screen, so that it still stands out.
 */
static int draw_bar(struct canvas *canvas, struct area area, enum style style,
                    const char *text)
{
    if (style == STYLE_CALL)
        style = STYLE_NOW; /* reversed where there is no colour */
    area.rows = canvas_wrap(canvas, area, style, text);
    canvas_restyle(canvas, area, style);
    return area.rows;
}

int run_draw_call(const struct app *app, struct canvas *canvas, struct area area)
{
    struct text big = {0};
    add_big(app, &big);
    struct letters letters = fit_letters(big.at, area.columns, area.rows);
    int rows;
    if (letters.scale) {
        struct area call = {area.row, area.column, area.rows, letters.columns};
        rows = big_letters_draw(canvas, call, letters.scale, big_style(app), big.at);
        int used = big_letters_columns(big.at, letters.scale, letters.columns) + 1;
        draw_clock(app, canvas,
                   (struct area){area.row, area.column + used, rows, area.columns - used},
                   letters.scale);
    } else {
        rows = draw_bar(canvas, area, big_style(app), big.at);
    }
    text_free(&big);
    return rows;
}
