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

/* Seconds in block digits; tenths where they fit. */
static void draw_clock(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct run *run = &app->session.run;
    if (run->mode == RUN_WALK || area.columns < 6 || area.rows < 4)
        return;
    int64_t ms = run_clock_ms(run, app_now_ms(app));
    struct text digits = {0};
    text_add_seconds(&digits, ms);
    if (!big_letters_fit(digits.at, area.columns, 4)) {
        text_free(&digits);
        text_printf(&digits, "%" PRId64, ms / 1000);
    }
    if (big_letters_fit(digits.at, area.columns, 4)) {
        int width = big_letters_columns(digits.at, 1, area.columns);
        area.column += area.columns - width;
        area.columns = width;
        big_letters_draw(canvas, area, 1, STYLE_STRONG, digits.at);
    }
    text_free(&digits);
}

/* As large as it goes with the clock beside it, larger without where the letters gain
 * by it; bold text where no letter fits. */
int run_draw_call(const struct app *app, struct canvas *canvas, struct area area)
{
    struct text big = {0};
    add_big(app, &big);
    int beside = big_letters_fit(big.at, area.columns - CLOCK_COLUMNS, area.rows);
    int alone = big_letters_fit(big.at, area.columns, area.rows);
    int scale = alone > beside ? alone : beside;
    int columns = alone > beside ? area.columns : area.columns - CLOCK_COLUMNS;
    int rows = area.rows;
    if (scale) {
        struct area call = {area.row, area.column, area.rows, columns};
        big_letters_draw(canvas, call, scale, big_style(app), big.at);
        int used = big_letters_columns(big.at, scale, columns) + 1;
        draw_clock(app, canvas,
                   (struct area){area.row, area.column + used, 4, area.columns - used});
    } else {
        rows = canvas_wrap(canvas, area, big_style(app), big.at);
    }
    text_free(&big);
    return rows;
}
