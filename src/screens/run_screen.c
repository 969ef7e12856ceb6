/* The live run: the call big, the clock, who does what now, what must not be done yet. */
#include "screens/run_parts.h"

#include "base/text.h"
#include "cards/words.h"
#include "screens/big_letters.h"

#include <inttypes.h>

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

static void add_times(const struct app *app, struct text *out)
{
    const struct run *run = &app->session.run;
    int64_t now = app_now_ms(app);
    int called = run_called(run, now);
    if (run->mode == RUN_WALK) {
        text_add(out, "Walk: no clock. Say it, do it, answer it.");
        return;
    }
    text_add(out, "clock ");
    text_add_seconds(out, run_clock_ms(run, now));
    text_add(out, " of ");
    text_add_seconds(out, run->bill->total_ms);
    text_add(out, " s");
    if (run_held_ms(run, now) > 0) {
        text_add(out, "  held ");
        text_add_seconds(out, run_held_ms(run, now));
    }
    if (called >= 0 && run->now.phase == RUN_LIVE)
        add_time_left(app, called, out);
    if (app->mark.is_set)
        to_mark_run(app, out);
    add_pace(app, out);
    add_planned(app, out);
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
        at += canvas_put_cut(canvas, area.row, at, area.column + area.columns - at,
                             made ? STYLE_DONE : fixed[i].style,
                             made       ? fixed[i].made
                             : unmarked ? fixed[i].unmarked
                                        : fixed[i].open) +
              3;
    }
    return at > area.column;
}

/* The times and the two that hurt; returns the rows used. */
static int draw_state(const struct app *app, struct canvas *canvas, struct area area)
{
    struct text times = {0};
    add_times(app, &times);
    int rows = canvas_wrap(canvas, area, STYLE_PLAIN, times.at);
    text_free(&times);
    if (rows < area.rows)
        rows += draw_fixed(app, canvas,
                           (struct area){area.row + rows, area.column, 1, area.columns});
    return rows;
}

/* What draw_state takes where it has all the room. */
static int count_state_rows(const struct app *app, int columns)
{
    struct text times = {0};
    add_times(app, &times);
    int rows = canvas_count_rows(times.at, columns);
    text_free(&times);
    const struct procedure *procedure = app->session.procedure;
    return rows + (procedure_step(procedure, "stand-by") >= 0 ||
                   procedure_step(procedure, "heads") >= 0);
}

enum {
    OVERBOARD_COLUMNS = 76, /* what the longest of them takes */
    OVERBOARD_ROWS = 8,     /* the heading, six items, who comes first */
    BIG_HEAD_ROWS = 4
};

/* How long ago, in big letters where there is room for them. */
static int draw_overboard_head(const struct app *app, struct canvas *canvas,
                               struct area area)
{
    int64_t ago_ms = app_now_ms(app) - app->session.run.now.overboard_ms;
    struct text head = {0};
    text_printf(&head, "OVERBOARD %" PRId64, ago_ms / 1000);
    if (area.rows >= OVERBOARD_ROWS + BIG_HEAD_ROWS &&
        big_letters_fit(head.at, area.columns, BIG_HEAD_ROWS)) {
        int rows = big_letters_draw(canvas, area, 1, STYLE_DANGER, head.at);
        text_free(&head);
        return rows;
    }
    text_free(&head);
    text_add(&head, "PERSON OVERBOARD ");
    text_add_seconds(&head, ago_ms);
    text_add(&head, " s ago");
    canvas_fill(canvas, (struct area){area.row, area.column, 1, area.columns},
                STYLE_DANGER, ' ');
    canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_DANGER, head.at);
    text_free(&head);
    return 1;
}

/* The memory items, set apart; the run below them goes on.  Returns the rows used. */
static int draw_overboard(const struct app *app, struct canvas *canvas, struct area area)
{
    bool short_words = area.columns < OVERBOARD_COLUMNS;
    int rows = draw_overboard_head(app, canvas, area);
    for (int i = 0; words_overboard(i, short_words) && rows < area.rows; i++, rows++)
        canvas_printf(canvas, area.row + rows, area.column, STYLE_STRONG, "%d %s", i + 1,
                      words_overboard(i, short_words));
    return rows +
           canvas_wrap(canvas,
                       (struct area){area.row + rows, area.column, area.rows - rows,
                                     area.columns},
                       STYLE_PLAIN,
                       "! puts this away. The skipper and your own drill come first.");
}

/* How the rows are shared out.  With room to spare each part has rows of its own, so that
 * nothing moves from one call to the next; on a small screen the lines close up. */
struct shares {
    int call;  /* at most, for the letters */
    int block; /* for the call and what is said below it */
    int beside;
};

enum {
    ROOMY_ROWS = 19,
    SAID_ROWS = 3,      /* who, what, what warns: a row each */
    SAID_MORE = 2,      /* where there is room */
    SMALL_LANES = 2,    /* hands shown at least on a small screen... */
    CHOSEN_ROWS = 4,    /* ...and what one of them takes that is chosen */
    LEAST_CALL_ROWS = 8 /* two lines of the smallest letters */
};

/* Two lines of letters, or one of about twice the size, at each scale. */
static int pick_call_rows(int spare)
{
    static const int heights[] = {30, 23, 15};
    for (int i = 0; i < 3; i++)
        if (heights[i] <= spare * 2 / 3)
            return heights[i];
    return LEAST_CALL_ROWS;
}

/* What was broken stands above what is said: it takes its rows from what is beside, then
 * from the hands, where the block does not have them to spare. */
static void make_room_for_broken(const struct app *app, int columns,
                                 struct shares *shares)
{
    int broken = run_count_broken(app, columns);
    int wanted =
        run_count_call(app, columns, shares->call) + run_count_said(app, columns);
    int lacking = wanted - shares->block < broken ? wanted - shares->block : broken;
    if (lacking <= 0)
        return;
    shares->block += lacking;
    shares->beside = shares->beside > lacking ? shares->beside - lacking : 0;
}

static struct shares share_rows(const struct app *app, int rows, int columns)
{
    int lanes = app->session.bill.lane_count;
    int state = count_state_rows(app, columns);
    struct shares shares = {0};
    if (rows < ROOMY_ROWS) {
        int said = run_count_said(app, columns);
        bool is_long = 1 + said > rows - state - SMALL_LANES;
        int least = app->chosen_lane >= 0 ? CHOSEN_ROWS : is_long ? 1 : SMALL_LANES;
        shares.block = rows - state - (least < lanes ? least : lanes);
        shares.call = shares.block - said;
        return shares;
    }
    int spare = rows - state - lanes - SAID_ROWS;
    shares.call = pick_call_rows(spare);
    int left = spare - shares.call;
    int more = left < 0 ? 0 : left < SAID_MORE ? left : SAID_MORE;
    shares.block = shares.call + SAID_ROWS + more;
    shares.beside = left - more > 0 ? left - more : 0;
    make_room_for_broken(app, columns, &shares);
    return shares;
}

static int draw_block(const struct app *app, struct canvas *canvas, struct area area,
                      int call_rows)
{
    bool overboard = app->session.run.now.overboard_ms >= 0 && !app->overboard_hidden;
    struct area top = area;
    top.rows = call_rows > 1 ? call_rows : 1;
    if (overboard && top.rows <= OVERBOARD_ROWS)
        top.rows = OVERBOARD_ROWS + 1; /* the last line may take two */
    int used =
        overboard ? draw_overboard(app, canvas, top) : run_draw_call(app, canvas, top);
    area.row += used;
    area.rows -= used;
    return area.rows > 0 ? used + run_draw_said(app, canvas, area) : used;
}

/* The call alone, and what was broken above it. */
static void draw_far(const struct app *app, struct canvas *canvas, struct area area)
{
    int rows = run_draw_broken(
        app, canvas, (struct area){area.row, area.column, area.rows / 3, area.columns});
    area.row += rows;
    area.rows -= rows;
    run_draw_call(app, canvas, area);
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    struct area inside = {area.row, 1, area.rows, area.columns - 2};
    bool overboard = app->session.run.now.overboard_ms >= 0 && !app->overboard_hidden;
    if (app->far && !overboard) {
        draw_far(app, canvas, inside);
        return;
    }
    struct shares shares = share_rows(app, inside.rows, inside.columns);
    int used = draw_block(app, canvas,
                          (struct area){inside.row, 1, shares.block, inside.columns},
                          shares.call);
    inside.row += inside.rows < ROOMY_ROWS || used > shares.block ? used : shares.block;
    inside.rows = area.row + area.rows - inside.row;
    used = draw_state(app, canvas, inside);
    inside.row += used;
    inside.rows -= used + shares.beside;
    if (inside.rows > 0)
        run_draw_lanes(app, canvas,
                       (struct area){inside.row, 0, inside.rows, area.columns - 1});
    if (shares.beside)
        run_draw_beside(app, canvas,
                        (struct area){area.row + area.rows - shares.beside, 1,
                                      shares.beside, area.columns - 2});
}

static void tell(const struct app *app, struct text *out)
{
    session_tell(&app->session, "recorded", out);
}

const struct screen run_screen = {"Run", run_keys, draw, tell, run_digit, run_hint};
