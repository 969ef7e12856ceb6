#include "screens/run_parts.h"

#include "base/text.h"
#include "cards/words.h"

enum { NAME_COLUMNS = 10, STATE_COLUMNS = 6 };

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

static void draw_lane(const struct app *app, struct canvas *canvas, struct area area,
                      int lane, const struct rig_state *rig)
{
    const struct session *session = &app->session;
    int step = run_lane_called(&session->run, lane, app_now_ms(app));
    struct lane_look look = look_of_lane(app, step);
    canvas_printf(canvas, area.row, area.column, STYLE_KEY, "%c%d",
                  lane == app->chosen_lane ? '>' : ' ', (lane + 1) % 10);
    canvas_put_cut(canvas, area.row, area.column + 3, NAME_COLUMNS,
                   lane == app->chosen_lane ? STYLE_SELECTED : STYLE_STRONG,
                   session->crew->hands[session->bill.hand[lane]].name);
    int at = area.column + 3 + NAME_COLUMNS + 1;
    canvas_put_cut(canvas, area.row, at, STATE_COLUMNS - 1, look.style, look.state);
    at += STATE_COLUMNS;
    struct text holds = {0}, task = {0};
    words_holds(&session->rig, rig, lane, &holds);
    int end = area.column + area.columns, hold_columns = 0;
    if (holds.at) {
        hold_columns = area.columns * 3 / 10;
        int from = canvas_put(canvas, area.row, end - hold_columns, STYLE_HOLDING,
                              app_follows_plan(app) ? "holds? " : "holds ");
        canvas_put_cut(canvas, area.row, from, end - from, STYLE_HOLDING, holds.at);
    }
    if (step >= 0)
        add_task(app, step, &task);
    if (task.at)
        canvas_put_cut(canvas, area.row, at, end - hold_columns - at - 1, STYLE_PLAIN,
                       task.at);
    text_free(&holds);
    text_free(&task);
}

/* Where there is no room for all, first those with something to do. */
static lane_set lanes_shown(const struct app *app, const struct rig_state *rig, int rows)
{
    const struct session *session = &app->session;
    lane_set shown = 0;
    for (int pass = 0; pass < 2; pass++)
        for (int lane = 0; lane < session->bill.lane_count && rows > 0; lane++) {
            int step = run_lane_called(&session->run, lane, app_now_ms(app));
            bool busy = step >= 0 && rig_running(rig) >> step & 1;
            if (busy == (pass == 1))
                continue;
            shown |= (lane_set)(1u << lane);
            rows--;
        }
    return shown;
}

void run_draw_lanes(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct session *session = &app->session;
    struct rig_state rig = session->run.now.rig;
    if (app_follows_plan(app))
        run_planned_rig(&session->run, app_now_ms(app), &rig);
    lane_set shown = lanes_shown(app, &rig, area.rows);
    area.rows = 1;
    for (int lane = 0; lane < session->bill.lane_count; lane++)
        if (shown >> lane & 1) {
            draw_lane(app, canvas, area, lane, &rig);
            area.row++;
        }
}
