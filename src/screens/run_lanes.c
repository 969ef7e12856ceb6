#include "screens/run_parts.h"

#include "base/text.h"
#include "cards/words.h"
#include "screens/glyphs.h"

enum {
    NUMBER_COLUMNS = 3,
    NAME_COLUMNS = 11,
    STATE_COLUMNS = 6,
    WIDE_COLUMNS = 100 /* from here on the rest of the card stands beside */
};

struct lane_look {
    const char *state;
    enum style style;
};

/* Where nobody marks: what the plan has of STEP. */
static struct lane_look look_of_plan(const struct run *run, int step, int64_t now_ms)
{
    const struct bill_slot *slot = bill_slot_of(run->bill, step);
    int64_t plan_ms = run_plan_ms(run, now_ms);
    if (slot->start_ms > plan_ms)
        return (struct lane_look){"next", STYLE_PLAIN};
    if (slot->end_ms <= plan_ms)
        return (struct lane_look){"done?", STYLE_PLAIN};
    return (struct lane_look){"plan", STYLE_NEXT};
}

static struct lane_look look_of_lane(const struct app *app, int step)
{
    const struct run *run = &app->session.run;
    if (step < 0)
        return (struct lane_look){"done", STYLE_DONE};
    if (step == app->pressed)
        return (struct lane_look){"press", STYLE_SELECTED};
    if (app_follows_plan(app))
        return look_of_plan(run, step, app_now_ms(app));
    if (!(rig_running(&run->now.rig) >> step & 1))
        return (struct lane_look){"wait", STYLE_PLAIN};
    if (run_overdue_ms(run, step, app_now_ms(app)) > 0)
        return (struct lane_look){"OVER", STYLE_OVERDUE};
    if (run_only_when_seen(run, step, app_now_ms(app)))
        return (struct lane_look){"see", STYLE_NEXT};
    return (struct lane_look){"NOW", STYLE_NOW};
}

static void add_task(const struct app *app, int step, struct text *out)
{
    const struct run *run = &app->session.run;
    words_step(run->rig->procedure, step, out);
    if (!app_follows_plan(app) && !(rig_running(&run->now.rig) >> step & 1)) {
        text_add(out, ": ");
        words_not_yet(run, app->session.crew, step, out);
    } else if (run_only_when_seen(run, step, app_now_ms(app))) {
        text_add(out, ", ");
        words_when_seen(run, step, app_now_ms(app), out);
    }
}

/* What is left of the card behind STEP: "heads, boom". */
static void add_rest(const struct run *run, int lane, int step, struct text *out)
{
    step_set settled = run->now.rig.done | run->now.rig.skipped;
    const char *between = "then ";
    for (int i = 0; i < run->bill->slot_count; i++) {
        int s = run->bill->slots[i].step;
        if (s == step || settled >> s & 1 || !(run->rig->lanes_of_step[s] >> lane & 1))
            continue;
        text_add(out, between);
        words_step(run->rig->procedure, s, out);
        between = ", ";
    }
}

static const char *name_of(const struct app *app, int lane)
{
    const struct session *session = &app->session;
    return session->crew->hands[session->bill.hand[lane]].name;
}

static void add_holds(const struct app *app, const struct rig_state *rig, int lane,
                      struct text *out)
{
    struct text lines = {0};
    words_holds(&app->session.rig, rig, lane, &lines);
    if (lines.at)
        text_printf(out, "%s %s", app_follows_plan(app) ? "holds?" : "holds", lines.at);
    text_free(&lines);
}

/* What is said of a hand. */
struct lane_words {
    struct text task, rest, holds; /* what it does, what is left of its card, its lines */
};

static struct lane_words words_of_lane(const struct app *app, int lane,
                                       const struct rig_state *rig)
{
    const struct run *run = &app->session.run;
    int step = run_lane_called(run, lane, app_now_ms(app));
    struct lane_words words = {0};
    if (step >= 0) {
        add_task(app, step, &words.task);
        add_rest(run, lane, step, &words.rest);
    }
    add_holds(app, rig, lane, &words.holds);
    return words;
}

static void forget(struct lane_words *words)
{
    text_free(&words->task);
    text_free(&words->rest);
    text_free(&words->holds);
}

static int width_of(const struct text *text)
{
    return text->at ? glyph_text_width(text->at) : 0;
}

/* Columns for what a hand holds: the same for all hands, more where its task is short. */
static int hold_columns(const struct lane_words *words, int columns, int line)
{
    int usual = words->holds.at ? line * 3 / 10 : 0;
    int wanted = width_of(&words->holds);
    return wanted > usual && wanted + width_of(&words->task) + 2 <= columns ? wanted
                                                                            : usual;
}

/* What the hand does, against the right what it holds, and on a wide screen the rest of
 * its card between the two. */
static void draw_words(struct canvas *canvas, struct area area, int line,
                       const struct lane_words *words)
{
    int holds = hold_columns(words, area.columns, line);
    int at = area.column, end = area.column + area.columns - holds;
    if (words->holds.at)
        canvas_put_cut(canvas, area.row, end, holds, STYLE_HOLDING, words->holds.at);
    if (words->task.at)
        at += canvas_put_cut(canvas, area.row, at, end - at - 1, STYLE_PLAIN,
                             words->task.at);
    int column = area.column + area.columns * 4 / 10;
    column = column > at + 2 ? column : at + 2;
    if (words->rest.at && line >= WIDE_COLUMNS)
        canvas_put_cut(canvas, area.row, column, end - column - 1, STYLE_FAINT,
                       words->rest.at);
}

static void draw_lane(const struct app *app, struct canvas *canvas, struct area area,
                      int lane, const struct lane_words *words)
{
    int step = run_lane_called(&app->session.run, lane, app_now_ms(app));
    struct lane_look look = look_of_lane(app, step);
    int at = area.column + NUMBER_COLUMNS, end = area.column + area.columns;
    canvas_put_cut(canvas, area.row, at, NAME_COLUMNS - 1,
                   lane == app->chosen_lane ? STYLE_SELECTED : STYLE_STRONG,
                   name_of(app, lane));
    at += NAME_COLUMNS;
    canvas_put_cut(canvas, area.row, at, STATE_COLUMNS - 1, look.style, look.state);
    at += STATE_COLUMNS;
    draw_words(canvas, (struct area){area.row, at, 1, end - at}, area.columns, words);
}

/* Columns that one line with all of it takes. */
static int count_columns(const struct lane_words *words, int room, int line)
{
    int task = width_of(&words->task) + 2;
    int holds = hold_columns(words, room, line);
    int wanted = width_of(&words->holds);
    if (line >= WIDE_COLUMNS && words->rest.at)
        task = (task > room * 4 / 10 ? task : room * 4 / 10) + width_of(&words->rest) + 1;
    return task + (holds > wanted ? holds : wanted);
}

/* All there is to say of the chosen hand, where one line of it would be cut; NULL in it
 * where not. */
static struct text in_full(const struct app *app, int lane, int line,
                           const struct lane_words *words)
{
    int room = line - NUMBER_COLUMNS - NAME_COLUMNS - STATE_COLUMNS;
    struct text text = {0};
    if (lane != app->chosen_lane || count_columns(words, room, line) <= room)
        return text;
    int step = run_lane_called(&app->session.run, lane, app_now_ms(app));
    text_printf(&text, "%s %s", name_of(app, lane), look_of_lane(app, step).state);
    const struct text *const parts[] = {&words->task, &words->rest, &words->holds};
    for (int i = 0; i < 3; i++)
        if (parts[i]->at)
            text_printf(&text, "%s%s", i ? "; " : " ", parts[i]->at);
    return text;
}

/* One line a hand, or more for the chosen one.  Returns the rows used of AREA. */
static int draw_hand(const struct app *app, struct canvas *canvas, struct area area,
                     int lane, const struct rig_state *rig)
{
    struct lane_words words = words_of_lane(app, lane, rig);
    struct text full = in_full(app, lane, area.columns, &words);
    canvas_printf(canvas, area.row, area.column, STYLE_KEY, "%c%d",
                  lane == app->chosen_lane ? '>' : ' ', (lane + 1) % 10);
    int rows = 1;
    if (full.at)
        rows = canvas_wrap(canvas,
                           (struct area){area.row, area.column + NUMBER_COLUMNS,
                                         area.rows, area.columns - NUMBER_COLUMNS},
                           STYLE_SELECTED, full.at);
    else
        draw_lane(app, canvas, area, lane, &words);
    text_free(&full);
    forget(&words);
    return rows;
}

/* The rows that all hands take. */
static int count_all(const struct app *app, int columns, const struct rig_state *rig)
{
    int rows = app->session.bill.lane_count;
    if (app->chosen_lane < 0)
        return rows;
    struct lane_words words = words_of_lane(app, app->chosen_lane, rig);
    struct text full = in_full(app, app->chosen_lane, columns, &words);
    if (full.at)
        rows += canvas_count_rows(full.at, columns - NUMBER_COLUMNS) - 1;
    text_free(&full);
    forget(&words);
    return rows;
}

/* The less, the sooner a hand is shown: it does something, it holds a line, neither. */
static int rank_of_lane(const struct app *app, const struct rig_state *rig, int lane)
{
    int step = run_lane_called(&app->session.run, lane, app_now_ms(app));
    if (step >= 0 && rig_running(rig) >> step & 1)
        return 0;
    return rig_holds_lines(&app->session.rig, rig, lane) ? 1 : 2;
}

static lane_set lanes_shown(const struct app *app, const struct rig_state *rig, int rows,
                            lane_set shown)
{
    for (int rank = 0; rank < 3; rank++)
        for (int lane = 0; lane < app->session.bill.lane_count && rows > 0; lane++)
            if (!(shown >> lane & 1) && rank_of_lane(app, rig, lane) == rank) {
                shown |= (lane_set)(1u << lane);
                rows--;
            }
    return shown;
}

static int count_lanes(lane_set lanes)
{
    int count = 0;
    for (; lanes; lanes &= (lane_set)(lanes - 1))
        count++;
    return count;
}

/* The digits of hidden hands: of the one whose key is down, of those who are at it. */
static void add_digits(const struct app *app, const struct rig_state *rig,
                       lane_set hidden, bool pressed, struct text *out)
{
    bool any = false;
    for (int lane = 0; lane < app->session.bill.lane_count; lane++) {
        int step = run_lane_called(&app->session.run, lane, app_now_ms(app));
        bool is_pressed = step >= 0 && step == app->pressed;
        if (!(hidden >> lane & 1) || rank_of_lane(app, rig, lane) ||
            is_pressed != pressed)
            continue;
        text_printf(out, "%s%d", any ? ", " : "", (lane + 1) % 10);
        any = true;
    }
    if (any)
        text_add(out, pressed                 ? " press  "
                      : app_follows_plan(app) ? " plan  "
                                              : " NOW  ");
}

/* How many hands do not show, and what is most needed of them. */
static void draw_more(const struct app *app, struct canvas *canvas, struct area area,
                      const struct rig_state *rig, lane_set shown)
{
    int lanes = app->session.bill.lane_count, count = lanes - count_lanes(shown);
    lane_set hidden = (lane_set)~shown;
    struct text more = {0};
    add_digits(app, rig, hidden, true, &more);
    add_digits(app, rig, hidden, false, &more);
    text_printf(&more, shown ? "%d more hand%s: Up, Down" : "all %d hand%s: Up, Down",
                count, count == 1 ? "" : "s");
    canvas_put_cut(canvas, area.row + area.rows - 1, area.column + 1, area.columns - 1,
                   STYLE_STRONG, more.at);
    text_free(&more);
}

/* The chosen hand first where not all fit; the last row then says how many do not. */
void run_draw_lanes(const struct app *app, struct canvas *canvas, struct area area)
{
    int lanes = app->session.bill.lane_count, chosen = app->chosen_lane;
    struct rig_state rig = app->session.run.now.rig;
    if (app_follows_plan(app))
        run_planned_rig(&app->session.run, app_now_ms(app), &rig);
    bool all = count_all(app, area.columns, &rig) <= area.rows;
    struct area line = area;
    line.rows -= !all;
    lane_set shown = 0;
    if (!all && chosen >= 0 && line.rows > 0) {
        int used = draw_hand(app, canvas, line, chosen, &rig);
        line.row += used;
        line.rows -= used;
        shown = (lane_set)(1u << chosen);
    }
    lane_set first = shown;
    shown = lanes_shown(app, &rig, line.rows, shown);
    for (int lane = 0; lane < lanes; lane++)
        if (shown >> lane & 1 && !(first >> lane & 1))
            line.row += draw_hand(app, canvas, line, lane, &rig);
    if (count_lanes(shown) < lanes)
        draw_more(app, canvas, area, &rig, shown);
}
