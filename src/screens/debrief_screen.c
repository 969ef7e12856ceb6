/* Where the time went, what was done early, what was broken. */
#include "screens/app.h"

#include "base/text.h"
#include "cards/words.h"
#include "debrief/debrief.h"

#include <string.h>

enum { STEP_COLUMNS = 16, HAND_COLUMNS = 10, FIGURE_COLUMNS = 8 };

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

static void up(struct app *app)
{
    app->scroll -= app->scroll > 0;
}

static void down(struct app *app)
{
    app->scroll++;
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
    {{PRESS_UP}, "Up", NULL, "one line up", up},
    {{PRESS_DOWN}, "Down", NULL, "one line down", down},
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

static void draw_split(const struct app *app, struct canvas *canvas, struct area area,
                       const struct debrief_split *split, int64_t whole_ms)
{
    const struct session *session = &app->session;
    struct text text = {0};
    words_step(session->procedure, split->step, &text);
    canvas_put_cut(canvas, area.row, area.column, STEP_COLUMNS - 1, STYLE_PLAIN, text.at);
    text_free(&text);
    words_doers(&session->rig, &session->bill, session->crew, split->step, &text);
    int at = area.column + STEP_COLUMNS;
    canvas_put_cut(canvas, area.row, at, HAND_COLUMNS - 1, STYLE_PLAIN, text.at);
    text_free(&text);
    at += HAND_COLUMNS;
    if (split->split_ms >= 0 && session->run.mode != RUN_WALK)
        text_add_seconds(&text, split->split_ms);
    else
        text_add(&text, split->split_ms >= 0 ? "made" : "-");
    canvas_put_right(canvas, area.row, at, FIGURE_COLUMNS - 2, STYLE_STRONG, text.at);
    text_free(&text);
    at += FIGURE_COLUMNS - 1;
    add_flags(split, &text);
    if (text.at)
        canvas_put_cut(canvas, area.row, at, area.column + area.columns - at,
                       STYLE_WARNING, text.at);
    else if (session->run.mode != RUN_WALK)
        draw_bar(canvas, (struct area){area.row, at, 1, area.column + area.columns - at},
                 split, app->pace.made_ms[split->step], whole_ms);
    text_free(&text);
}

static void draw_head(const struct app *app, struct canvas *canvas, int columns,
                      const struct debrief *debrief)
{
    struct text head = {0};
    text_printf(&head, "%s", run_outcome_name(debrief->outcome));
    if (debrief->total_ms >= 0 && app->session.run.mode != RUN_WALK) {
        text_add(&head, " in ");
        text_add_seconds(&head, debrief->total_ms);
        text_add(&head, " s, planned ");
        text_add_seconds(&head, debrief->plan_ms);
        text_add(&head, " s");
    }
    if (debrief->held_ms) {
        text_add(&head, ", held ");
        text_add_seconds(&head, debrief->held_ms);
        text_add(&head, " s");
    }
    head.at[0] = (char)(head.at[0] - ('a' - 'A'));
    canvas_put_cut(canvas, 1, 1, columns, STYLE_STRONG, head.at);
    text_free(&head);
    bool bad = debrief->breaches || debrief->found_count;
    text_printf(&head,
                "breaches %d, unclear %d, skipped %d, rules broken %d, checks "
                "overruled %d",
                debrief->breaches, debrief->unclear, debrief->skipped,
                debrief->found_count, debrief->overruled);
    canvas_put_cut(canvas, 2, 1, columns, bad ? STYLE_WARNING : STYLE_PLAIN, head.at);
    text_free(&head);
}

static int draw_found(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct session *session = &app->session;
    int rows = 0;
    for (int i = 0; i < session->run.now.found_count && rows < area.rows; i++) {
        struct text text = {0};
        bill_say_finding(&session->run.now.found[i].finding, &session->rig,
                         &session->bill, session->crew, &text);
        canvas_put_cut(canvas, area.row + rows++, area.column, area.columns,
                       STYLE_WARNING, text.at);
        text_free(&text);
    }
    for (int i = 0; i < session->run.event_count && rows < area.rows; i++)
        if (session->run.events[i].kind == RUN_NOTED && !session->run.undone[i])
            canvas_printf(canvas, area.row + rows++, area.column, STYLE_PLAIN, "note: %s",
                          session->run.events[i].text);
    return rows;
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    struct debrief debrief;
    debrief_make(&app->session.run, app_now_ms(app), &debrief);
    draw_head(app, canvas, area.columns - 2, &debrief);
    struct area rest = {area.row + 2, 1, area.rows - 2, area.columns - 2};
    int found =
        draw_found(app, canvas, (struct area){rest.row, 1, rest.rows / 3, rest.columns});
    rest.row += found;
    rest.rows -= found;
    int room = rest.rows - 2; /* between the line above the list and the one below */
    int most = debrief.split_count - room;
    app->scroll = app->scroll > most ? most : app->scroll;
    app->scroll = app->scroll < 0 ? 0 : app->scroll;
    canvas_put_cut(canvas, rest.row, 1, rest.columns, STYLE_FAINT,
                   "step            hand      seconds  one axis; | plan, + pace");
    int64_t whole =
        debrief.total_ms > debrief.plan_ms ? debrief.total_ms : debrief.plan_ms;
    whole = app->pace.total_ms > whole ? app->pace.total_ms : whole;
    for (int i = app->scroll; i < debrief.split_count && i - app->scroll < room; i++)
        draw_split(app, canvas,
                   (struct area){rest.row + 1 + i - app->scroll, 1, 1, rest.columns},
                   &debrief.splits[i], whole);
    if (app->scroll < most)
        canvas_put(canvas, area.row + area.rows - 1, 1, STYLE_STRONG,
                   "More below: Down.");
}

static void tell(const struct app *app, struct text *out)
{
    session_tell(&app->session, "in the logbook", out);
}

const struct screen debrief_screen = {"Debrief", keys, draw, tell, NULL};
