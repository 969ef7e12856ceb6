#include "screens/app_parts.h"

#include "cards/sheet_loads.h"
#include "cards/words.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

int64_t app_now_ms(const struct app *app)
{
    return session_now_ms(&app->session);
}

bool app_follows_plan(const struct app *app)
{
    return run_follows_plan(&app->session.run, app_now_ms(app));
}

void app_say(struct app *app, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(app->message, sizeof app->message, format, arguments);
    va_end(arguments);
}

void app_go_to(struct app *app, const struct screen *screen)
{
    app->screen = screen;
    app->scroll = (struct scroll){0};
    app->asking = ASKING_NOTHING;
    app->message[0] = '\0';
}

enum weather_wrong app_take_wind(struct app *app, const char *words)
{
    enum weather_wrong wrong = weather_read(words, &app->weather);
    if (wrong)
        return wrong;
    snprintf(app->wind, sizeof app->wind, "%s", words);
    app->library.weather = app->weather;
    app_clear_shelves(app); /* what was loaded is of another wind */
    return WEATHER_FINE;
}

void app_start(struct app *app, const struct app_world *world,
               const struct app_choice *choice)
{
    const struct library library = *world->library; /* may be the one of APP itself */
    memset(app, 0, sizeof *app);
    app->world = *world;
    app_go_to(app, &muster_screen);
    app->board = choice->board;
    app->mode = choice->mode;
    app->pilot = choice->pilot;
    app->pinned_for = -1;
    app->pressed = app->chosen_lane = app->rung_for = -1;
    app->library = library;
    app->world.library = &app->library;
    app_take_wind(app, choice->wind ? choice->wind : "");
    for (int h = 0; h < world->crew->hand_count; h++)
        app->aboard[h] = world->crew->hands[h].aboard;
    int named = choice->procedure ? library_find(world->library, choice->procedure) : -1;
    app->procedure = named >= 0 ? named : 0;
    app_load_kit(app);
    if (named < 0 && app->kit.fit_count && app->procedure != app->kit.fits[0].index) {
        app->procedure = app->kit.fits[0].index; /* the first of the list */
        app_load_kit(app);
    }
    app_take_options(app, choice->options);
    struct arena *arena = arena_new();
    struct logbook_run open;
    if (world->logbook && logbook_find_open(world->logbook, arena, &open))
        app_say(app, "A run of %s is still open: R takes it up.", open.title);
    else if (world->logbook_trouble)
        app_say(app, "NOT RECORDED: %s", world->logbook_trouble);
    arena_free(arena);
    if (choice->resume)
        app_resume(app);
    else if (named >= 0 && app_open_session(app))
        app_go_to(app, &brief_screen);
}

void app_end(struct app *app)
{
    app_drop_session(app);
    app_drop_kit(app);
    app_clear_shelves(app);
}

static void say_gone(struct app *app)
{
    const struct session *session = &app->session;
    struct text gone = {0};
    words_gone(&session->run, session->crew, &session->out, &gone);
    if (gone.at)
        app_say(app, "Not broken after all: %s.", gone.at);
    text_free(&gone);
}

static void say_farewell(struct app *app)
{
    struct text text = {0};
    const struct session *session = &app->session;
    struct debrief debrief;
    debrief_make(&session->run, session->run.now.over_ms, &debrief);
    text_printf(&text, "%s, %s: ", session->procedure->title,
                run_mode_name(session->run.mode));
    words_outcome(&debrief, session->run.mode, -1, &text);
    text_printf(&text, ". %s",
                session_unrecorded(session) ? "Not recorded." : "In the logbook.");
    snprintf(app->farewell, sizeof app->farewell, "%s", text.at);
    text_free(&text);
}

bool app_do(struct app *app, enum run_kind kind, int step, int value, const char *text)
{
    app->message[0] = '\0';
    enum run_phase before = app->session.run.now.phase;
    enum run_taken taken = session_do(&app->session, kind, step, value, text);
    if (taken == RUN_REFUSED)
        app_say(app, "That means nothing just now.");
    else if (taken == RUN_FULL)
        app_say(app, "This run takes no more events: end it.");
    else if (taken == RUN_REPEATED)
        app_say(app, "Ignored: the same key again within %d ms.",
                (int)app->session.run.guard_ms);
    else
        say_gone(app);
    enum run_phase after = app->session.run.now.phase;
    if (before != RUN_OVER && after == RUN_OVER) {
        say_farewell(app);
        app_go_to(app, &debrief_screen);
    } else if (before == RUN_OVER && after != RUN_OVER) {
        app_go_to(app, &run_screen); /* the last mark was undone */
    } else if (before == RUN_BRIEFING && after == RUN_LIVE) {
        app_go_to(app, &run_screen);
    }
    if (taken == RUN_TAKEN && app->session.run.event_count == 1 && kind != RUN_MARK)
        to_mark_store(app);
    return taken == RUN_TAKEN;
}

void app_recover(struct app *app)
{
    app->recover_arena = app->recover_arena ? app->recover_arena : arena_new();
    app->offers = NULL;
    app->line = 0;
    app_go_to(app, &recover_screen);
    if (app_follows_plan(app))
        app_say(app, "Nothing is marked: the rig is taken as it was at the go.");
}

void app_leave_session(struct app *app)
{
    app_drop_session(app);
    app_load_kit(app);
    app_go_to(app, &muster_screen);
}

bool app_briefs_kit(const struct app *app)
{
    return app->has_session && app->session.procedure == app->kit.procedure &&
           app->session.run.now.phase == RUN_BRIEFING;
}

void app_back_to_bill(struct app *app)
{
    if (!app_briefs_kit(app))
        return;
    bool was_answered = app->session.record.id != 0;
    app_stop_brief(app);
    app_drop_session(app);
    app_go_to(app, &bill_screen);
    if (was_answered)
        app_say(app, "The brief was left: its checks will be asked again.");
}

void app_ring(struct app *app)
{
    const struct run *run = &app->session.run;
    int64_t now_ms = app_is_live(app) ? app_now_ms(app) : 0;
    int step = app_is_live(app) ? run_called(run, now_ms) : -1;
    if (step >= 0 && !run_follows_plan(run, now_ms) &&
        run_overdue_ms(run, step, now_ms) == 0)
        step = -1;
    if (step >= 0 && step != app->rung_for && app->world.bell)
        app->world.bell(app->world.self);
    app->rung_for = step;
}

bool app_is_live(const struct app *app)
{
    return app->has_session && (app->session.run.now.phase == RUN_LIVE ||
                                app->session.run.now.phase == RUN_ON_HOLD);
}

void app_help(struct app *app)
{
    app->behind_help = app->screen;
    app->screen = &help_screen;
    app->scroll = (struct scroll){0};
}

void app_line_up(struct app *app)
{
    app->scroll.first--;
}

void app_line_down(struct app *app)
{
    app->scroll.first++;
}

void app_page_up(struct app *app)
{
    app->scroll.by_pages--;
}

void app_page_down(struct app *app)
{
    app->scroll.by_pages++;
}

static void leave(struct app *app)
{
    app_stop_brief(app);
    app->over = true;
}

void app_quit(struct app *app)
{
    if (app_is_live(app))
        app->asking = ASKING_STOP;
    else if (app->screen == &muster_screen)
        app->asking = ASKING_QUIT;
    else
        leave(app);
}

void app_interrupt(struct app *app)
{
    if (app_is_live(app))
        app->asking = ASKING_STOP;
    else
        leave(app);
}

enum signal app_wind_signal(const struct app *app, const struct procedure *procedure)
{
    double knots = weather_limit_kn(&app->weather);
    if (procedure->stop_kn > 0 && knots > procedure->stop_kn)
        return SIGNAL_WARNING;
    if (procedure->caution_kn > 0 && knots >= procedure->caution_kn)
        return SIGNAL_CAUTION;
    return SIGNAL_NONE;
}

void app_put_limits(const struct procedure *procedure, struct roll *roll)
{
    for (int stops = 1; stops >= 0 && procedure->loads; stops--) {
        enum signal signal = stops ? SIGNAL_WARNING : SIGNAL_CAUTION;
        struct text text = {0};
        text_printf(&text, "%s: ", signal_name(signal));
        if (sheet_limits(procedure->loads, stops, &text))
            roll_wrap(roll, 0, signal_style(signal), text.at);
        text_free(&text);
    }
}
