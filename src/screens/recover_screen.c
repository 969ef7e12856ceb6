/* Something has gone wrong: first what befell the rig, then what fits its state now. */
#include "screens/app.h"

#include "base/text.h"
#include "cards/words.h"
#include "rig/carry.h"

#include <stdio.h>
#include <string.h>

/* The mishaps that can befall the rig as it is and "none of these" (-1): behind them
 * while the run is live, before them when it is over and one only wants to go on. */
static int can_happen(const struct app *app, int out[])
{
    const struct run *run = &app->session.run;
    int count = 0;
    if (!app_is_live(app))
        out[count++] = -1;
    for (int i = 0; i < run->rig->plan->mishap_count; i++)
        if (carry_can_happen(run->rig->procedure, &run->now.rig, i))
            out[count++] = i;
    if (app_is_live(app))
        out[count++] = -1;
    return count;
}

static int line_count(const struct app *app)
{
    int mishaps[UINT8_MAX + 1];
    return app->offers ? app->offers->count : can_happen(app, mishaps);
}

static void up(struct app *app)
{
    app->line -= app->line > 0;
    app->scroll.first = 0;
}

static void down(struct app *app)
{
    app->line += app->line + 1 < line_count(app);
    app->scroll.first = 0;
}

static void back(struct app *app)
{
    if (app->offers) {
        app->offers = NULL;
        app->line = 0;
    } else {
        app_go_to(app, app_is_live(app) ? &run_screen : &debrief_screen);
    }
}

static void choose_mishap(struct app *app)
{
    int mishaps[UINT8_MAX + 1];
    int count = can_happen(app, mishaps);
    app->mishap = mishaps[app->line < count ? app->line : count - 1];
    app->offers = arena_alloc(app->recover_arena, sizeof *app->offers);
    recover_offers(app->world.library, &app->session.run, app->mishap, app->recover_arena,
                   app->offers);
    app->line = 0;
}

static void choose_offer(struct app *app)
{
    const struct offer *offer =
        app->line < app->offers->count ? &app->offers->at[app->line] : NULL;
    if (!offer || offer->off) {
        app_say(app, "That does not fit the rig as it is now.");
        return;
    }
    struct bill bill;
    struct bill_why why;
    bool kept;
    enum bill_verdict verdict =
        recover_bill(offer, &app->session.run, app->session.crew, &bill, &why, &kept);
    if (verdict != BILL_FOUND) {
        struct text text = {0};
        bill_explain(verdict, &why, offer->procedure, app->world.units, &text);
        text.at[strcspn(text.at, "\n")] = ' ';
        app_say(app, "%s", text.at);
        text_free(&text);
        return;
    }
    const struct rig_plan *plan = app->session.procedure->plan;
    char reason[RUN_TEXT_MAX];
    snprintf(reason, sizeof reason, "%s",
             app->mishap >= 0 ? plan->mishaps[app->mishap].words : "broken off");
    struct arena *arena = app->recover_arena;
    app->recover_arena = NULL;
    if (!app_link(app, offer->procedure, app->session.crew, &bill, app->mishap, reason,
                  arena))
        app->recover_arena = arena;
    app->offers = NULL;
}

static void choose(struct app *app)
{
    if (app->offers)
        choose_offer(app);
    else
        choose_mishap(app);
}

static void hold(struct app *app)
{
    bool held = app->session.run.now.phase == RUN_ON_HOLD;
    app_do(app, held ? RUN_WENT_ON : RUN_HELD, 0, 0, "");
}

static const struct key_entry keys[] = {
    {{PRESS_ENTER, PRESS_SPACE, PRESS_RIGHT},
     "Enter",
     "choose",
     "this is what happened; then: this is what we do",
     choose},
    {{PRESS_UP}, "Up Down", "other", "the one above or below", up},
    {{PRESS_DOWN}, NULL, NULL, NULL, down},
    {{PRESS_PAGE_UP}, "PgUp PgDn", NULL, "read on in what is said of it", app_page_up},
    {{PRESS_PAGE_DOWN}, NULL, NULL, NULL, app_page_down},
    {{PRESS_ESCAPE, PRESS_LEFT, 'q'}, "Esc", "back", "one step back, to the run", back},
    {{'h'}, "H", "hold", "everybody freezes; again: go on", hold},
    {{'?'}, "?", NULL, "this help", app_help},
    {{0}, NULL, NULL, NULL, NULL}};

enum { INDENT = 2, BELOW_INDENT = 4 };

/* What is done at once, before anything is read. */
static void put_memory(const struct procedure *procedure, struct roll *roll)
{
    int items = 0;
    for (int s = 0; s < procedure->step_count; s++) {
        if (!procedure->steps[s].memory)
            continue;
        struct text item = {0};
        text_printf(&item, "%d ", ++items);
        words_memory(procedure, s, &item);
        roll_wrap(roll, BELOW_INDENT, STYLE_STRONG, item.at);
        text_free(&item);
    }
}

/* What is said of the one that is chosen stands in full, and before it what of OFFERED
 * (NULL: it is none that fits) is done by heart. */
static void put_choice(struct roll *roll, bool here, bool open, const char *title,
                       const char *below, const struct procedure *offered)
{
    if (here)
        roll->keep_from = roll->count;
    int row = roll_wrap(roll, INDENT,
                        here   ? STYLE_SELECTED
                        : open ? STYLE_STRONG
                               : STYLE_FAINT,
                        title);
    canvas_put(roll->canvas, row, roll->area.column, STYLE_PLAIN, here ? ">" : " ");
    if (here && offered)
        put_memory(offered, roll);
    if (here)
        roll_wrap(roll, BELOW_INDENT, STYLE_PLAIN, below);
    else
        canvas_put_cut(roll->canvas, roll_line(roll), roll->area.column + BELOW_INDENT,
                       roll->area.columns - BELOW_INDENT, STYLE_PLAIN, below);
    if (here)
        roll->keep_to = roll->count;
}

static void put_mishaps(const struct app *app, struct roll *roll)
{
    const struct rig_plan *plan = app->session.procedure->plan;
    int mishaps[UINT8_MAX + 1];
    int count = can_happen(app, mishaps);
    for (int i = 0; i < count; i++) {
        const struct mishap *mishap = mishaps[i] < 0 ? NULL : &plan->mishaps[mishaps[i]];
        put_choice(roll, i == app->line, true, mishap ? mishap->words : "None of these",
                   mishap ? mishap->looks : "The rig is as the marks say.", NULL);
    }
}

/* "fits" or the first thing that does not. */
static void add_fit(const struct offer *offer, struct text *out)
{
    const struct rig_plan *plan = offer->procedure->plan;
    if (!offer->off) {
        text_printf(out, "fits; %d or more hands. ", offer->procedure->hands_least);
        for (int i = 0; i < offer->procedure->option_count; i++)
            text_printf(out, "[%s] %s: %s. ", offer->procedure->options[i].on ? "x" : " ",
                        offer->procedure->options[i].name,
                        offer->procedure->options[i].words);
        text_add(out, offer->procedure->about);
        return;
    }
    struct condition is = {.part = (uint8_t)offer->first_off,
                           .values = (value_set)1 << offer->state.part[offer->first_off]};
    text_add(out, "does not fit: ");
    words_condition(plan, &is, out);
    if (offer->off > 1)
        text_printf(out, " and %d more", offer->off - 1);
}

static void add_title(const struct offer *offer, struct text *out)
{
    text_add(out, offer->procedure->title);
    if (offer->turned < 0)
        return;
    const struct option *option = &offer->procedure->options[offer->turned];
    text_printf(out, ", with %s=%s", option->name, option->on ? "yes" : "no");
}

static void put_offers(const struct app *app, struct roll *roll)
{
    for (int i = 0; i < app->offers->count; i++) {
        const struct offer *offer = &app->offers->at[i];
        struct text title = {0}, fit = {0};
        add_title(offer, &title);
        add_fit(offer, &fit);
        put_choice(roll, i == app->line, !offer->off, title.at, fit.at,
                   offer->off ? NULL : offer->procedure);
        text_free(&title);
        text_free(&fit);
    }
}

static void fill(const struct app *app, struct roll *roll)
{
    if (app->offers)
        put_offers(app, roll);
    else
        put_mishaps(app, roll);
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    const struct offers *offers = app->offers;
    bool nothing = offers && (!offers->count || offers->at[0].off);
    struct area inside = {area.row, 1, area.rows, area.columns - 2};
    int used = canvas_wrap(
        canvas, inside, nothing ? STYLE_WARNING : STYLE_STRONG,
        !offers   ? "What has happened?"
        : nothing ? "Nothing fits the rig as it is. Hold, make it safe, look again."
                  : "What fits the rig now, the nearest first:");
    inside.row += used;
    inside.rows -= used;
    app->scroll.down = "Down/PgDn";
    app->scroll.up = "Up/PgUp";
    scroll_draw(&app->scroll, canvas, inside, fill, app);
}

/* Of the hold: whether it begins or ends. */
static const char *hint(const struct app *app, const struct key_entry *entry)
{
    if (entry->act != hold || !app_is_live(app))
        return entry->act == hold ? NULL : entry->label;
    return app->session.run.now.phase == RUN_ON_HOLD ? "go on" : "hold";
}

static void tell(const struct app *app, struct text *out)
{
    text_printf(out, "%s, %s tack", app->session.procedure->title,
                board_name(app->session.procedure->board));
}

const struct screen recover_screen = {"Recover", keys, draw, tell, NULL, hint};
