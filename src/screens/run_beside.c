/* What there is room for on a large screen: what comes next, and its cautions in full. */
#include "screens/run_parts.h"

#include "base/text.h"
#include "cards/words.h"

enum { SIGNAL_COLUMNS = 10, TWO_COLUMNS = 100, LEAST_ROWS = 3 };

/* Neither begun nor left out, and not what is called: by the plan it comes later. */
static bool comes_next(const struct app *app, const struct bill_slot *slot)
{
    const struct run *run = &app->session.run;
    int64_t now_ms = app_now_ms(app);
    if (slot->step == run_called(run, now_ms) ||
        (run->now.rig.begun | run->now.rig.skipped) >> slot->step & 1)
        return false;
    return !app_follows_plan(app) || slot->start_ms > run_plan_ms(run, now_ms);
}

/* "  8.0  square: Tamsin, "Square!"" */
static void add_next(const struct app *app, const struct bill_slot *slot,
                     struct text *out)
{
    const struct session *session = &app->session;
    const struct step *step = &session->procedure->steps[slot->step];
    if (session->run.mode != RUN_WALK) {
        struct text seconds = {0};
        text_add_seconds(&seconds, slot->start_ms);
        text_printf(out, "%6s  ", seconds.at);
        text_free(&seconds);
    }
    words_step(session->procedure, slot->step, out);
    text_add(out, ": ");
    words_doers(&session->rig, &session->bill, session->crew, slot->step, out);
    if (*step->call.say)
        text_printf(out, ", on \"%s\"", step->call.say);
}

static void draw_next(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct bill *bill = &app->session.bill;
    canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_STRONG,
                   app->session.run.mode == RUN_WALK
                       ? "NOT YET, in the order of the plan:"
                       : "NOT YET, with the second of the plan:");
    int row = 1, left = 0;
    for (int i = 0; i < bill->slot_count; i++)
        left += comes_next(app, &bill->slots[i]);
    for (int i = 0; i < bill->slot_count && row < area.rows; i++) {
        if (!comes_next(app, &bill->slots[i]))
            continue;
        struct text text = {0};
        if (row == area.rows - 1 && left > 1)
            text_printf(&text, "and %d more", left);
        else
            add_next(app, &bill->slots[i], &text);
        canvas_put_cut(canvas, area.row + row++, area.column, area.columns, STYLE_PLAIN,
                       text.at);
        text_free(&text);
        left--;
    }
}

/* The caution of STEP if it fits whole; the rows used. */
static int draw_caution(const struct app *app, struct canvas *canvas, struct area area,
                        int step)
{
    const struct procedure *procedure = app->session.procedure;
    const struct warning *warn = &procedure->steps[step].warn;
    if (!warn->signal)
        return 0;
    struct text text = {0};
    words_step(procedure, step, &text);
    text_printf(&text, ": %s %s", warn->say, warn->avoid);
    struct area words = {area.row, area.column + SIGNAL_COLUMNS, area.rows,
                         area.columns - SIGNAL_COLUMNS};
    int rows = canvas_count_rows(text.at, words.columns);
    if (rows <= area.rows) {
        canvas_put(canvas, area.row, area.column, signal_style(warn->signal),
                   signal_name(warn->signal));
        canvas_wrap(canvas, words, STYLE_PLAIN, text.at);
    }
    text_free(&text);
    return rows <= area.rows ? rows : 0;
}

/* First of what runs beside the call, which has its own above; then of what comes. */
static void draw_cautions(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct session *session = &app->session;
    const struct bill *bill = &session->bill;
    step_set running = rig_running(&session->run.now.rig);
    int called = run_called(&session->run, app_now_ms(app));
    canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_STRONG,
                   "CAUTIONS of what is done now, then of what comes:");
    int used = 1;
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < bill->slot_count; i++) {
            const struct bill_slot *slot = &bill->slots[i];
            bool now = running >> slot->step & 1 && slot->step != called;
            if (pass == 0 ? now : comes_next(app, slot))
                used += draw_caution(app, canvas,
                                     (struct area){area.row + used, area.column,
                                                   area.rows - used, area.columns},
                                     slot->step);
        }
}

void run_draw_beside(const struct app *app, struct canvas *canvas, struct area area)
{
    if (area.rows < LEAST_ROWS)
        return;
    struct area next = area, cautions = area;
    if (area.columns >= TWO_COLUMNS) {
        next.columns = area.columns * 2 / 5;
        cautions.column += next.columns;
        cautions.columns -= next.columns;
        next.columns -= 2;
    } else {
        next.rows = area.rows < 2 * LEAST_ROWS ? area.rows : area.rows / 2;
        cautions.row += next.rows;
        cautions.rows -= next.rows;
    }
    draw_next(app, canvas, next);
    if (cautions.rows >= 2)
        draw_cautions(app, canvas, cautions);
}
