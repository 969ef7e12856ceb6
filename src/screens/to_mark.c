#include "screens/to_mark.h"

#include "base/quantity.h"
#include "screens/app.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { MARGIN_S = 5 };

static int64_t clock_ms(const struct app *app)
{
    return app->world.clock->now_ms(app->world.clock->self);
}

/* The words of TYPED before its last blank, and behind it. */
static bool split(const char *typed, char first[RUN_TEXT_MAX], const char **second)
{
    const char *blank = strrchr(typed, ' ');
    size_t length = blank ? (size_t)(blank - typed) : 0;
    if (!length || length >= RUN_TEXT_MAX)
        return false;
    memcpy(first, typed, length);
    first[length] = '\0';
    *second = blank + 1;
    return true;
}

/* A way and a speed in NOW, or a time as a way at one metre a second; SAID is the same
 * without lengths, which are of this boat. */
static bool read_typed(const char *typed, double length_m, struct call_now *now,
                       char said[RUN_TEXT_MAX])
{
    snprintf(said, RUN_TEXT_MAX, "%s", typed);
    char first[RUN_TEXT_MAX];
    const char *second;
    double figure;
    if (quantity_read(typed, QUANTITY_TIME, &figure)) {
        now->speed_kn = 3600.0 / 1852;
        now->distance_m = figure;
        return true;
    }
    if (!split(typed, first, &second) ||
        !quantity_read(second, QUANTITY_SPEED, &now->speed_kn))
        return false;
    if (quantity_read(first, QUANTITY_LENGTH, &now->distance_m))
        return true;
    bool is_lengths = quantity_read(first, QUANTITY_LENGTHS, &figure);
    now->distance_m = figure * length_m;
    if (is_lengths)
        snprintf(said, RUN_TEXT_MAX, "%.1fm %s", now->distance_m, second);
    return is_lengths;
}

/* The times of the session's bill. */
static void find_times(struct app *app)
{
    struct to_mark *mark = &app->mark;
    struct session *session = &app->session;
    struct bill_wish wish;
    struct arena *arena = arena_new();
    bill_wish_start(&wish);
    wish.pilot = session->bill.pilot;
    mark->has_times =
        bill_find_call_times(app->world.library, &session->bill, session->procedure,
                             session->crew, &wish, arena, &mark->times);
    mark->times.back.procedure = NULL; /* it goes with the arena; its times stay */
    arena_free(arena);
}

bool to_mark_refresh(struct app *app)
{
    struct to_mark *mark = &app->mark;
    mark->has_times = false;
    if (!mark->is_set)
        return true;
    if (app->session.run.now.go_ms < 0)
        find_times(app);
    if (mark->has_times)
        bill_fill_call(&mark->times, &mark->now);
    return call_make(&mark->now, &mark->plan);
}

/* What was typed at AT_MS of the world's clock. */
static bool take_at(struct app *app, const char *typed, int64_t at_ms)
{
    struct to_mark *mark = &app->mark;
    struct call_now now = {.length_m = app->world.boat->length_m, .margin_s = MARGIN_S};
    struct to_mark before = *mark;
    char said[RUN_TEXT_MAX] = "";
    if (*typed && !read_typed(typed, now.length_m, &now, said))
        return false;
    mark->is_set = *typed != '\0';
    memcpy(mark->said, said, sizeof said);
    mark->now = now;
    if (!to_mark_refresh(app)) {
        *mark = before;
        return false;
    }
    mark->reached_ms = at_ms + (int64_t)(mark->plan.there_s * 1000);
    return true;
}

bool to_mark_take(struct app *app, const char *typed)
{
    return take_at(app, typed, clock_ms(app));
}

static int64_t left_ms(const struct app *app)
{
    return app->mark.reached_ms - clock_ms(app);
}

void to_mark_store(struct app *app)
{
    char left[RUN_TEXT_MAX];
    if (!app->mark.is_set || left_ms(app) < 1000)
        return;
    snprintf(left, sizeof left, "%" PRId64 " s", left_ms(app) / 1000);
    session_do(&app->session, RUN_MARK, 0, 0, left);
}

void to_mark_restore(struct app *app)
{
    const struct session *session = &app->session;
    app->mark = (struct to_mark){.is_set = false};
    for (int i = session->run.event_count - 1; i >= 0; i--)
        if (session->run.events[i].kind == RUN_MARK) {
            take_at(app, session->run.events[i].text,
                    session->record.boot_ms + session->run.events[i].at_ms);
            return;
        }
}

/* "0:38", "PASSED 0:04" */
static void add_until(int64_t ms, struct text *out)
{
    int64_t seconds = (ms < 0 ? -ms : ms) / 1000;
    text_printf(out, "%s%" PRId64 ":%02" PRId64, ms < 0 ? "PASSED " : "in ", seconds / 60,
                seconds % 60);
}

static int64_t until_ms(const struct app *app, const struct call_moment *moment)
{
    return left_ms(app) - (int64_t)(moment->before_s * 1000);
}

void to_mark_brief(const struct app *app, struct text *out)
{
    const struct call_plan *plan = &app->mark.plan;
    text_add(out, "Mark ");
    add_until(left_ms(app), out);
    if (!app->mark.has_times) {
        text_add(out, ".");
        return;
    }
    text_add(out, ". Stand by ");
    add_until(until_ms(app, &plan->stand_by), out);
    text_add(out, ", go ");
    add_until(until_ms(app, &plan->go), out);
    text_add(out, ". Last go with room for one failure ");
    add_until(until_ms(app, &plan->last_safe), out);
    text_add(out, ".");
}

bool to_mark_is_due(const struct app *app)
{
    return until_ms(app, &app->mark.plan.stand_by) <= 0 ||
           until_ms(app, &app->mark.plan.last_safe) <= 0;
}

/* What is left of the plan, later by what the step that is called for is late. */
static int64_t plan_left_ms(const struct app *app)
{
    const struct run *run = &app->session.run;
    int64_t now_ms = app_now_ms(app), plan_ms = run_plan_ms(run, now_ms);
    int called = run_called(run, now_ms);
    const struct bill_slot *slot = called >= 0 ? bill_slot_of(run->bill, called) : NULL;
    int64_t late_ms = slot && plan_ms > slot->end_ms ? plan_ms - slot->end_ms : 0;
    return run->bill->total_ms + late_ms - plan_ms;
}

void to_mark_run(const struct app *app, struct text *out)
{
    int64_t spare_ms = left_ms(app) - plan_left_ms(app);
    text_add(out, "  mark ");
    add_until(left_ms(app), out);
    text_printf(out, ", %" PRId64 " s %s", (spare_ms < 0 ? -spare_ms : spare_ms) / 1000,
                spare_ms < 0 ? "TOO LATE" : "to spare");
}
