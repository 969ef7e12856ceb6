/* The live run: the call big, the clock, who does what now, what must not be done yet. */
#include "screens/run_parts.h"

#include "base/text.h"
#include "cards/words.h"
#include "screens/glyphs.h"

#include <string.h>

/* "Caller: "Trip!"  Fenna: "Tripped"". */
static void add_who(const struct app *app, int due, struct text *out)
{
    const struct session *session = &app->session;
    const struct step *step = &session->procedure->steps[due];
    if (*step->call.say)
        text_printf(out, "%s calls \"%s\"  ",
                    session->procedure->plan->roles[step->call.by].words, step->call.say);
    words_doers(&session->rig, &session->bill, session->crew, due, out);
    text_add(out, " (");
    words_roles(session->procedure->plan, step->roles, out);
    text_add(out, ")");
    if (*step->reply)
        text_printf(out, " answers \"%s\"", step->reply);
}

static void add_waiting(const struct app *app, struct text *out)
{
    const struct run *run = &app->session.run;
    int next = run_next_due(run);
    if (next < 0)
        return;
    text_add(out, "Nobody can go on. ");
    words_step(run->rig->procedure, next, out);
    text_add(out, ": ");
    words_not_yet(run, app->session.crew, next, out);
}

static void draw_who(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct run *run = &app->session.run;
    int called = run_called(run, app_now_ms(app));
    struct text who = {0};
    if (run->now.phase == RUN_ON_HOLD)
        text_add(&who, "Everybody freezes, lines stay tended. H goes on.");
    else if (called >= 0)
        add_who(app, called, &who);
    else if (app_follows_plan(app))
        text_add(&who, "By the plan all of it is made. A: it is, without times.");
    else
        add_waiting(app, &who);
    if (who.at)
        canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_STRONG, who.at);
    text_free(&who);
}

/* What was broken stands until it is deliberately put away: IS where the rig still is so.
 * Returns the rows used. */
static int draw_warning(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct run *run = &app->session.run;
    int count, i = run_warning(run, &count);
    if (i < 0)
        return 0;
    const struct finding *finding = &run->now.found[i].finding;
    enum signal signal = finding->kind == FINDING_RULE
                             ? run->rig->procedure->rules.at[finding->index].signal
                             : SIGNAL_WARNING;
    struct text text = {0};
    text_printf(&text, "%s BROKEN, W seen. ", run->now.found[i].broken ? "IS" : "WAS");
    if (count > 1)
        text_printf(&text, "1 of %d: ", count);
    words_found(run, app->session.crew, i, &text);
    int rows = canvas_wrap(canvas, area, signal_style(signal), text.at);
    text_free(&text);
    return rows;
}

static void draw_question(const struct app *app, struct canvas *canvas, struct area area)
{
    struct text question = {0};
    text_add(&question, "T too, E early? ");
    words_question(&app->session.run, app->session.crew, &question);
    canvas_wrap(canvas, area, STYLE_CAUTION, question.at);
    text_free(&question);
}

/* One row where the step's warning fits in, else half of AREA. */
static int count_warn_rows(const struct warning *warn, struct area area)
{
    if (!warn->signal)
        return 0;
    int columns = glyph_text_width(signal_name(warn->signal)) + 1 +
                  glyph_text_width(warn->say) + 1 + glyph_text_width(warn->avoid);
    return columns > area.columns ? (area.rows + 1) / 2 : 1;
}

static void draw_doing(const struct app *app, struct canvas *canvas, struct area area,
                       int due)
{
    const struct run *run = &app->session.run;
    const struct step *step = &run->rig->procedure->steps[due];
    int warn_rows = count_warn_rows(&step->warn, area);
    struct text doing = {0};
    if (run_only_when_seen(run, due, app_now_ms(app))) {
        text_add(&doing, "Only ");
        words_when_seen(run, due, app_now_ms(app), &doing);
        text_add(&doing, ". ");
    }
    text_add(&doing, step->doing);
    if (area.rows > warn_rows)
        canvas_wrap(
            canvas,
            (struct area){area.row, area.column, area.rows - warn_rows, area.columns},
            STYLE_PLAIN, doing.at);
    text_free(&doing);
    if (!warn_rows)
        return;
    int row = area.row + area.rows - warn_rows;
    int at = canvas_put(canvas, row, area.column, signal_style(step->warn.signal),
                        signal_name(step->warn.signal));
    text_printf(&doing, "%s %s", step->warn.say, step->warn.avoid);
    canvas_wrap(
        canvas,
        (struct area){row, at + 1, warn_rows, area.column + area.columns - at - 1},
        STYLE_PLAIN, doing.at);
    text_free(&doing);
}

/* Always against the plan, so that the figure never jumps back; OVERDUE adds that the
 * step is over its own slow time. */
static void add_time_left(const struct app *app, int called, struct text *out)
{
    const struct run *run = &app->session.run;
    const struct bill_slot *slot = bill_slot_of(run->bill, called);
    int64_t now = app_now_ms(app), plan = run_plan_ms(run, now);
    bool begins = app_follows_plan(app) && slot->start_ms > plan;
    int64_t left = (begins ? slot->start_ms : slot->end_ms) - plan;
    text_add(out, run_overdue_ms(run, called, now) > 0 ? "  OVERDUE," : " ");
    text_add(out, begins      ? " planned to begin in "
                  : left >= 0 ? " planned in "
                              : " behind the plan by ");
    text_add_seconds(out, left >= 0 ? left : -left);
    text_add(out, " s");
}

/* The newest timed mark against the same step of the pace. */
static void add_pace(const struct app *app, struct text *out)
{
    const struct run *run = &app->session.run;
    int newest = -1;
    for (int s = 0; s < run->rig->procedure->step_count; s++)
        if (run->now.steps[s].made_ms >= 0 && app->pace.made_ms[s] >= 0 &&
            (newest < 0 || run->now.steps[s].made_ms > run->now.steps[newest].made_ms))
            newest = s;
    if (newest < 0)
        return;
    int64_t made = run->now.steps[newest].made_ms - run->now.go_ms - run->now.held_ms;
    int64_t by = made - app->pace.made_ms[newest];
    text_add(out, by > 0 ? "  pace +" : "  pace -");
    text_add_seconds(out, by > 0 ? by : -by);
}

/* Afloat with hands too busy to go on marking: what the plan says, never believed as
 * made. */
static void add_planned(const struct app *app, struct text *out)
{
    const struct run *run = &app->session.run;
    int64_t plan = run_plan_ms(run, app_now_ms(app));
    int due = run_due(run);
    if (run->mode != RUN_AFLOAT)
        return;
    if (app_follows_plan(app)) {
        text_add(out, "  nothing is marked");
        return;
    }
    for (int i = 0; i < run->bill->slot_count; i++) {
        const struct bill_slot *slot = &run->bill->slots[i];
        if (slot->start_ms > plan || slot->end_ms <= plan || slot->step == due ||
            run->now.rig.done >> slot->step & 1)
            continue;
        text_add(out, "  by plan: ");
        words_step(run->rig->procedure, slot->step, out);
        return;
    }
}

static void draw_times(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct run *run = &app->session.run;
    int64_t now = app_now_ms(app);
    int called = run_called(run, now);
    struct text times = {0};
    if (run->mode == RUN_WALK) {
        text_add(&times, "Walk: no clock. Say it, do it, answer it.");
    } else {
        text_add(&times, "clock ");
        text_add_seconds(&times, run_clock_ms(run, now));
        text_add(&times, " of ");
        text_add_seconds(&times, run->bill->total_ms);
        text_add(&times, " s");
        if (run_held_ms(run, now) > 0) {
            text_add(&times, "  held ");
            text_add_seconds(&times, run_held_ms(run, now));
        }
        if (called >= 0 && run->now.phase == RUN_LIVE)
            add_time_left(app, called, &times);
        add_pace(app, &times);
        add_planned(app, &times);
    }
    canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_PLAIN, times.at);
    text_free(&times);
}

/* The two that hurt on nearly every card have a place that never moves.  Returns the
 * rows used: none on a card that has neither. */
static int draw_fixed(const struct app *app, struct canvas *canvas, struct area area)
{
    static const struct {
        const char *step, *open, *unmarked, *made;
        enum style style;
    } fixed[] = {{"stand-by", "STAND BY not answered", "STAND BY answered?",
                  "stand by answered", STYLE_CAUTION},
                 {"heads", "HEADS not said", "HEADS said?", "heads down", STYLE_DANGER}};
    bool unmarked = app_follows_plan(app);
    int at = area.column;
    for (int i = 0; i < 2; i++) {
        int step = procedure_step(app->session.procedure, fixed[i].step);
        if (step < 0)
            continue;
        bool made = app->session.run.now.rig.done >> step & 1;
        at = canvas_put(canvas, area.row, at, made ? STYLE_DONE : fixed[i].style,
                        made       ? fixed[i].made
                        : unmarked ? fixed[i].unmarked
                                   : fixed[i].open) +
             3;
    }
    return at > area.column;
}

static void draw_middle(const struct app *app, struct canvas *canvas, struct area area)
{
    int called = run_called(&app->session.run, app_now_ms(app));
    if (app->session.run.now.question >= 0)
        draw_question(app, canvas, area);
    else if (called >= 0 && app->session.run.now.phase == RUN_LIVE)
        draw_doing(app, canvas, area, called);
}

enum {
    OVERBOARD_COLUMNS = 76, /* what the longest of them takes */
    NARROW_COLUMNS = 60     /* below these one row says too little of a warning */
};

/* The memory items, set apart; the run below them goes on. */
static int draw_overboard(const struct app *app, struct canvas *canvas, struct area area)
{
    struct text head = {0};
    text_add(&head, "PERSON OVERBOARD ");
    text_add_seconds(&head, app_now_ms(app) - app->session.run.now.overboard_ms);
    text_add(&head, " s ago");
    canvas_fill(canvas, (struct area){area.row, area.column, 1, area.columns},
                STYLE_DANGER, ' ');
    canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_DANGER, head.at);
    text_free(&head);
    bool short_words = area.columns < OVERBOARD_COLUMNS;
    int rows = 1;
    for (int i = 0; words_overboard(i, short_words) && rows < area.rows; i++, rows++)
        canvas_printf(canvas, area.row + rows, area.column, STYLE_STRONG, "%d %s", i + 1,
                      words_overboard(i, short_words));
    if (rows < area.rows)
        canvas_put_cut(canvas, area.row + rows++, area.column, area.columns, STYLE_PLAIN,
                       "! puts this away. The skipper and your own drill come first.");
    return area.rows;
}

/* How the rows are shared out: the call and its line first, then the clock, then what is
 * done, then the hands. */
static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    struct area inside = {area.row, 1, area.rows, area.columns - 2};
    int lanes = app->session.bill.lane_count;
    bool overboard = app->session.run.now.overboard_ms >= 0 && !app->overboard_hidden;
    int warning_rows = inside.columns < NARROW_COLUMNS ? 2 : 1;
    struct area warning = {inside.row, 1, warning_rows, inside.columns};
    if (app->far && !overboard) {
        int rows = draw_warning(app, canvas, warning);
        inside.row += rows;
        inside.rows -= rows;
        run_draw_call(app, canvas, inside);
        return;
    }
    int call_rows = overboard ? 8 : inside.rows >= 28 ? 12 : inside.rows >= 19 ? 8 : 4;
    int spare = inside.rows - call_rows - 3 - lanes;
    int middle = spare < 2 ? inside.rows >= 9 ? 2 : 1 : spare > 4 ? 4 : spare;
    struct area call = {inside.row, inside.column, call_rows, inside.columns};
    inside.row +=
        overboard ? draw_overboard(app, canvas, call) : run_draw_call(app, canvas, call);
    warning.row = inside.row;
    inside.row += draw_warning(app, canvas, warning);
    draw_who(app, canvas, (struct area){inside.row++, 1, 1, inside.columns});
    draw_middle(app, canvas, (struct area){inside.row, 1, middle, inside.columns});
    inside.row += middle;
    int end = area.row + area.rows;
    if (inside.row < end)
        draw_times(app, canvas, (struct area){inside.row++, 1, 1, inside.columns});
    if (inside.row < end)
        inside.row +=
            draw_fixed(app, canvas, (struct area){inside.row, 1, 1, inside.columns});
    int left = end - inside.row;
    if (left > 0)
        run_draw_lanes(app, canvas, (struct area){inside.row, 0, left, area.columns - 1});
}

static void tell(const struct app *app, struct text *out)
{
    session_tell(&app->session, "recorded", out);
}

const struct screen run_screen = {"Run", run_keys, draw, tell, run_digit, run_hint};
