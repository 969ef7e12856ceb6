/* Where the time went, what was done early, what was broken. */
#include "screens/app.h"

#include "base/text.h"
#include "cards/words.h"
#include "debrief/debrief.h"
#include "screens/glyphs.h"

#include <string.h>

enum {
    FIGURE_COLUMNS = 8,
    FLAG_COLUMNS = 18,
    NAMES_MOST = 24,
    NARROW_COLUMNS = 60,
    WIDE_COLUMNS = 100
};

static void again(struct app *app)
{
    if (app->session_arena_count) { /* its kit is that of its own day */
        app_leave_session(app);
        return;
    }
    if (app_open_session(app))
        app_go_to(app, &brief_screen);
}

static void undo(struct app *app)
{
    app_do(app, RUN_UNDONE, 0, 0, "");
}

static void note(struct app *app)
{
    memset(app->typed, 0, sizeof app->typed);
    app->asking = TYPING_NOTE;
}

static const struct key_entry keys[] = {
    {{'a'}, "A", "again", "the same crew and procedure again", again},
    {{PRESS_ENTER, 'm', PRESS_ESCAPE},
     "Enter",
     "muster",
     "back to the muster",
     app_leave_session},
    {{'r'},
     "R",
     "go on",
     "what fits the rig as it is now, with the same hands",
     app_recover},
    {{'n'}, "N", "note", "write a note into the logbook", note},
    {{'u'}, "U", "undo", "the last mark was wrong: take it back and go on", undo},
    {{'q'}, "Q", "leave", "leave foreguy", app_quit},
    SCROLL_KEYS,
    {{'?'}, "?", NULL, "this help", app_help},
    {{0}, NULL, NULL, NULL, NULL}};

static void add_flags(const struct debrief_split *split, struct text *out)
{
    if (split->flags & RUN_STEP_BREACH)
        text_add(out, " BREACH");
    if (split->flags & RUN_STEP_UNCLEAR)
        text_add(out, " unclear");
    if (split->flags & RUN_STEP_UNTIMED)
        text_add(out, " untimed");
    if (split->skipped)
        text_add(out, " skipped");
}

static void draw_tick(struct canvas *canvas, struct area area, int64_t at_ms,
                      int64_t whole_ms, const char *tick)
{
    int column = area.column + (int)(at_ms * area.columns / whole_ms);
    if (at_ms >= 0 && column < area.column + area.columns)
        canvas_put(canvas, area.row, column, STYLE_PLAIN, tick);
}

static void draw_bar(struct canvas *canvas, struct area area,
                     const struct debrief_split *split, int64_t pace_ms, int64_t whole_ms)
{
    if (split->split_ms < 0 || whole_ms <= 0 || area.columns < 4)
        return;
    int half = area.columns * 2, left = area.column * 2;
    int from = left + (int)(split->begun_ms * half / whole_ms);
    int to = left + (int)(split->made_ms * half / whole_ms);
    canvas_bar(canvas, area.row, from, to > from ? to : from + 1,
               split->counts ? BAR_DONE : BAR_LATER, STYLE_DONE);
    draw_tick(canvas, area, split->plan_made_ms, whole_ms, "|");
    draw_tick(canvas, area, pace_ms, whole_ms, "+");
}

/* The columns of the list of splits; 0 wide where a column is left out. */
struct table {
    int step, hand, figure, plan, flags;
    int64_t whole_ms; /* the time axis of the bars */
};

static int longer(int widest, const char *text)
{
    int width = glyph_text_width(text) + 2;
    return width > widest ? width : widest;
}

/* As wide as the longest names where there is room. */
static struct table table_of(const struct app *app, const struct debrief *debrief,
                             int columns)
{
    const struct session *session = &app->session;
    struct table table = {.step = 6, .hand = 6, .figure = FIGURE_COLUMNS};
    bool is_wide = columns >= WIDE_COLUMNS;
    if (columns < NARROW_COLUMNS)
        table.figure--;
    for (int i = 0; i < debrief->split_count; i++) {
        int step = debrief->splits[i].step;
        struct text text = {0};
        words_step(session->procedure, step, &text);
        table.step = longer(table.step, text.at);
        text_free(&text);
        words_doers(&session->rig, &session->bill, session->crew, step, &text);
        table.hand = longer(table.hand, text.at);
        text_free(&text);
    }
    int most = is_wide ? NAMES_MOST : columns * 3 / 8;
    table.step = table.step < most ? table.step : most;
    table.hand = table.hand < most * 2 / 3 ? table.hand : most * 2 / 3;
    table.plan = is_wide && session->run.mode != RUN_WALK ? FIGURE_COLUMNS : 0;
    table.flags = is_wide ? FLAG_COLUMNS : 0;
    table.whole_ms =
        debrief->total_ms > debrief->plan_ms ? debrief->total_ms : debrief->plan_ms;
    if (app->pace.total_ms > table.whole_ms)
        table.whole_ms = app->pace.total_ms;
    return table;
}

static void put_figure(struct roll *roll, int row, int column, int columns,
                       enum style style, const char *figure)
{
    canvas_put_right(roll->canvas, row, column, columns - 2, style, figure);
}

static void put_seconds(struct roll *roll, int row, int column, int columns,
                        enum style style, int64_t ms)
{
    struct text text = {0};
    text_add_seconds(&text, ms);
    put_figure(roll, row, column, columns, style, text.at);
    text_free(&text);
}

/* The bar, or where there is no room for both what is to be said of the split. */
static void put_tail(const struct app *app, struct roll *roll, int row, int column,
                     const struct table *table, const struct debrief_split *split)
{
    int end = roll->area.column + roll->area.columns;
    struct text flags = {0};
    add_flags(split, &flags);
    bool has_flags = flags.at != NULL;
    if (has_flags)
        canvas_put_cut(roll->canvas, row, column,
                       table->flags ? table->flags : end - column, STYLE_WARNING,
                       flags.at);
    text_free(&flags);
    column += table->flags;
    if (app->session.run.mode != RUN_WALK && (table->flags || !has_flags))
        draw_bar(roll->canvas, (struct area){row, column, 1, end - column}, split,
                 app->pace.made_ms[split->step], table->whole_ms);
}

static void put_split(const struct app *app, struct roll *roll, const struct table *table,
                      const struct debrief_split *split)
{
    const struct session *session = &app->session;
    int row = roll_line(roll), column = roll->area.column;
    struct text text = {0};
    words_step(session->procedure, split->step, &text);
    canvas_put_cut(roll->canvas, row, column, table->step - 1, STYLE_PLAIN, text.at);
    text_free(&text);
    column += table->step;
    words_doers(&session->rig, &session->bill, session->crew, split->step, &text);
    canvas_put_cut(roll->canvas, row, column, table->hand - 1, STYLE_PLAIN, text.at);
    text_free(&text);
    column += table->hand;
    words_split(split, session->run.mode, &text);
    put_figure(roll, row, column, table->figure, STYLE_STRONG, text.at);
    text_free(&text);
    column += table->figure;
    if (table->plan)
        put_seconds(roll, row, column, table->plan, STYLE_PLAIN,
                    split->plan_made_ms - split->plan_begun_ms);
    put_tail(app, roll, row, column + table->plan, table, split);
}

static void put_splits(const struct app *app, struct roll *roll,
                       const struct debrief *debrief)
{
    struct table table = table_of(app, debrief, roll->area.columns);
    int row = roll_line(roll), column = roll->area.column;
    canvas_put(roll->canvas, row, column, STYLE_FAINT, "step");
    column += table.step;
    canvas_put(roll->canvas, row, column, STYLE_FAINT, "hand");
    column += table.hand;
    put_figure(roll, row, column, table.figure, STYLE_FAINT, "took");
    column += table.figure;
    put_figure(roll, row, column, table.plan, STYLE_FAINT, "plan");
    column += table.plan + table.flags;
    if (app->session.run.mode != RUN_WALK)
        canvas_put_cut(roll->canvas, row, column,
                       roll->area.column + roll->area.columns - column, STYLE_FAINT,
                       "one axis; | plan, + pace");
    for (int i = 0; i < debrief->split_count; i++)
        put_split(app, roll, &table, &debrief->splits[i]);
}

/* What each hand took for the steps that have a time, and what was planned for those. */
static void put_hands(const struct app *app, struct roll *roll,
                      const struct debrief *debrief)
{
    const struct session *session = &app->session;
    roll_head(roll, "BY HAND, the steps that have a time");
    for (int lane = 0; lane < session->bill.lane_count; lane++) {
        int64_t took_ms = 0, plan_ms = 0;
        int timed = 0;
        for (int i = 0; i < debrief->split_count; i++) {
            const struct debrief_split *split = &debrief->splits[i];
            if (split->split_ms < 0 ||
                !(session->rig.lanes_of_step[split->step] >> lane & 1))
                continue;
            took_ms += split->split_ms;
            plan_ms += split->plan_made_ms - split->plan_begun_ms;
            timed++;
        }
        struct text text = {0};
        text_printf(&text, "%s: %d step%s",
                    session->crew->hands[session->bill.hand[lane]].name, timed,
                    timed == 1 ? "" : "s");
        if (timed) {
            text_add(&text, " in ");
            text_add_seconds(&text, took_ms);
            text_add(&text, " s, planned ");
            text_add_seconds(&text, plan_ms);
            text_add(&text, " s");
        }
        roll_wrap(roll, 0, STYLE_PLAIN, text.at);
        text_free(&text);
    }
}

static void put_head(const struct app *app, struct roll *roll,
                     const struct debrief *debrief)
{
    struct text head = {0};
    words_outcome(debrief, app->session.run.mode, app->pace.total_ms, &head);
    head.at[0] = (char)(head.at[0] - ('a' - 'A'));
    roll_wrap(roll, 0, STYLE_STRONG, head.at);
    text_free(&head);
    bool bad = debrief->breaches || debrief->dangers;
    words_counts(debrief, &head);
    roll_wrap(roll, 0, bad ? STYLE_WARNING : STYLE_PLAIN, head.at);
    text_free(&head);
}

static void put_found(const struct app *app, struct roll *roll,
                      const struct debrief *debrief)
{
    const struct session *session = &app->session;
    if (*debrief->against) {
        struct text text = {0};
        text_printf(&text, "Started on purpose: %s.", debrief->against);
        if (!session_proved(session))
            text_printf(&text, " Vet: %s.", session->record.proof);
        roll_wrap(roll, 0, STYLE_WARNING, text.at);
        text_free(&text);
    }
    for (int i = 0; i < session->run.now.found_count; i++) {
        struct text text = {0};
        if (run_same_danger(&session->run, i) != i)
            continue;
        words_found(&session->run, session->crew, i, &text);
        roll_wrap(roll, 0, STYLE_WARNING, text.at);
        text_free(&text);
    }
    for (int i = 0; i < session->run.event_count; i++) {
        const struct run_event *event = &session->run.events[i];
        if (!words_note(event))
            continue;
        struct text text = {0};
        text_printf(&text, "%s: %s", words_note(event), event->text);
        roll_wrap(roll, 0, STYLE_PLAIN, text.at);
        text_free(&text);
    }
}

static void fill(const struct app *app, struct roll *roll)
{
    struct debrief debrief;
    debrief_make(&app->session.run, app_now_ms(app), &debrief);
    put_head(app, roll, &debrief);
    put_found(app, roll, &debrief);
    put_splits(app, roll, &debrief);
    if (app->session.run.mode != RUN_WALK)
        put_hands(app, roll, &debrief);
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    scroll_draw(&app->scroll, canvas,
                (struct area){area.row, 1, area.rows, area.columns - 2}, fill, app);
}

static void tell(const struct app *app, struct text *out)
{
    session_tell(&app->session, "in the logbook", out);
}

const struct screen debrief_screen = {"Debrief", keys, draw, tell, NULL, NULL};
