#include "screens/app.h"

#include "cards/words.h"
#include "screens/resume.h"
#include "screens/suggest.h"

#include <assert.h>
#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int64_t app_now_ms(const struct app *app)
{
    return session_now_ms(&app->session);
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
    app->page = app->scroll = 0;
    app->asking = ASKING_NOTHING;
    app->message[0] = '\0';
}

static void drop_kit(struct app *app)
{
    text_free(&app->kit.trouble);
    arena_free(app->kit.arena);
    app->kit = (struct kit){0};
}

static void copy_crew(struct app *app)
{
    const struct crew *crew = app->world.crew;
    struct hand *hands =
        arena_alloc(app->kit.arena, crew->hand_count * sizeof *hands + 1);
    for (int h = 0; h < crew->hand_count; h++) {
        hands[h] = crew->hands[h];
        hands[h].aboard = app->aboard[h];
    }
    app->kit.crew = *crew;
    app->kit.crew.hands = hands;
}

/* The options as the loader wants them: "name=yes". */
static int option_words(struct app *app, const struct procedure *procedure,
                        const char **out)
{
    for (int i = 0; i < app->option_count; i++)
        out[i] = arena_printf(app->kit.arena, "%s=%s", procedure->options[i].name,
                              app->option_on[i] ? "yes" : "no");
    return app->option_count;
}

static void load_procedure_again(struct app *app, struct diags *diags)
{
    struct kit *kit = &app->kit;
    const struct library *library = app->world.library;
    const struct source *source = library->procedures[app->procedure];
    struct load_choice choice = {.board = app->board};
    kit->procedure = library_load(library, source, &choice, kit->arena, diags);
    if (!kit->procedure || !app->option_count)
        return;
    const char *words[OPTIONS_MAX];
    choice.option_count = option_words(app, kit->procedure, words);
    choice.options = words;
    kit->procedure = library_load(library, source, &choice, kit->arena, diags);
}

static int compare_fits(const void *a, const void *b)
{
    const struct fit *first = a, *second = b;
    if (first->family != second->family)
        return first->family - second->family;
    return strcmp(first->title, second->title);
}

static struct fit fit_of(struct app *app, int i)
{
    struct kit *kit = &app->kit;
    const struct source *source = app->world.library->procedures[i];
    struct diags *diags = diags_new(kit->arena);
    const struct load_choice choice = {.board = app->board};
    const struct procedure *procedure =
        library_load(app->world.library, source, &choice, kit->arena, diags);
    struct fit fit = {.index = i,
                      .title = library_name(source, kit->arena),
                      .family = FAMILY_CARE + 1,
                      .verdict = BILL_NONE};
    if (!procedure)
        return fit;
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    wish.pilot = app->pilot;
    fit.title = procedure->title;
    fit.family = (int)procedure->family;
    fit.loads = true;
    fit.verdict = bill_make(procedure, &kit->crew, &wish, &bill, &why);
    return fit;
}

static void find_fits(struct app *app)
{
    struct kit *kit = &app->kit;
    kit->fit_count = app->world.library->procedure_count;
    for (int i = 0; i < kit->fit_count; i++)
        kit->fits[i] = fit_of(app, i);
    qsort(kit->fits, (size_t)kit->fit_count, sizeof kit->fits[0], compare_fits);
    for (int i = 0; i < kit->fit_count; i++)
        if (kit->fits[i].index == app->procedure)
            app->at[PANE_PROCEDURES] = i;
}

static void make_bill(struct app *app)
{
    struct kit *kit = &app->kit;
    struct bill_wish wish;
    struct bill_why why;
    bill_wish_start(&wish);
    wish.pilot = app->pilot;
    kit->verdict = bill_make(kit->procedure, &kit->crew, &wish, &kit->bill, &why);
    if (kit->verdict != BILL_FOUND)
        suggest_options(app->world.library,
                        app->world.library->procedures[app->procedure], kit->procedure,
                        &kit->crew, app->pilot, &kit->trouble);
    bill_explain(kit->verdict, &why, kit->procedure, &kit->trouble);
}

void app_load_kit(struct app *app)
{
    drop_kit(app);
    app->kit.arena = arena_new();
    app->kit.verdict = BILL_NONE;
    copy_crew(app);
    if (!app->world.library->procedure_count) {
        text_add(&app->kit.trouble, "No procedures were found.\n");
        return;
    }
    find_fits(app);
    struct diags *diags = diags_new(app->kit.arena);
    load_procedure_again(app, diags);
    diags_write(diags, &app->kit.trouble);
    if (app->kit.procedure)
        make_bill(app);
}

static void take_options(struct app *app, const struct load_choice *choice)
{
    const struct procedure *procedure = app->kit.procedure;
    if (!procedure || !choice || !choice->option_count)
        return;
    app->option_count = procedure->option_count;
    for (int i = 0; i < procedure->option_count; i++) {
        app->option_on[i] = procedure->options[i].on;
        size_t length = strlen(procedure->options[i].name);
        for (int j = 0; j < choice->option_count; j++)
            if (strncmp(choice->options[j], procedure->options[i].name, length) == 0 &&
                choice->options[j][length] == '=')
                app->option_on[i] = strcmp(choice->options[j] + length + 1, "yes") == 0;
    }
    app_load_kit(app);
}

void app_start(struct app *app, const struct app_world *world,
               const struct app_choice *choice)
{
    memset(app, 0, sizeof *app);
    app->world = *world;
    app->board = choice->board;
    app->mode = choice->mode;
    app->pilot = choice->pilot;
    app->pressed = app->chosen_lane = app->rung_for = -1;
    snprintf(app->wind, sizeof app->wind, "%s", choice->wind ? choice->wind : "");
    for (int h = 0; h < world->crew->hand_count; h++)
        app->aboard[h] = world->crew->hands[h].aboard;
    int named = choice->procedure ? library_find(world->library, choice->procedure) : -1;
    app->procedure = named >= 0 ? named : 0;
    app_load_kit(app);
    if (named < 0 && app->kit.fit_count && app->procedure != app->kit.fits[0].index) {
        app->procedure = app->kit.fits[0].index; /* the first of the list */
        app_load_kit(app);
    }
    take_options(app, choice->options);
    app_go_to(app, &muster_screen);
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

static void drop_session(struct app *app)
{
    if (app->has_session)
        session_close(&app->session);
    app->has_session = false;
    while (app->session_arena_count)
        arena_free(app->session_arenas[--app->session_arena_count]);
    arena_free(app->recover_arena);
    app->recover_arena = NULL;
    app->offers = NULL;
    app->overboard_hidden = false;
}

void app_end(struct app *app)
{
    drop_session(app);
    drop_kit(app);
}

static const char *options_text(const struct procedure *procedure, struct arena *arena)
{
    const char *text = "";
    for (int i = 0; i < procedure->option_count; i++)
        text = arena_printf(arena, "%s%s%s=%s", text, i ? " " : "",
                            procedure->options[i].name,
                            procedure->options[i].on ? "yes" : "no");
    return text;
}

static void set_guard(struct app *app)
{
    if (app->world.guard_ms >= 0)
        app->session.run.guard_ms = app->world.guard_ms;
}

static void open_with(struct app *app, const struct procedure *procedure,
                      const struct crew *crew, const struct bill *bill,
                      enum run_mode mode, struct arena *arena)
{
    const struct session_start start = {.procedure = procedure,
                                        .crew = crew,
                                        .bill = bill,
                                        .mode = mode,
                                        .options = options_text(procedure, arena),
                                        .boat_text = app->world.boat->source->at,
                                        .wind = app->wind,
                                        .version = app->world.version,
                                        .boot_id = app->world.boot_id};
    session_open(&app->session, &start, app->world.logbook, app->world.clock);
    set_guard(app);
    app->has_session = true;
    app->pressed = app->chosen_lane = -1;
    app->farewell[0] = '\0';
    pace_find(app->world.logbook, procedure, &app->pace);
}

bool app_open_session(struct app *app)
{
    const struct kit *kit = &app->kit;
    if (!kit->procedure || kit->verdict != BILL_FOUND) {
        app_say(app, "There is no bill for these hands yet.");
        return false;
    }
    drop_session(app);
    open_with(app, kit->procedure, &kit->crew, &kit->bill, app->mode, kit->arena);
    return true;
}

/* Who must take a line over from whom, for the line of messages. */
static void say_changes(struct app *app, const struct session *before)
{
    struct text text = {0};
    const struct session *now = &app->session;
    const struct rig_plan *plan = now->procedure->plan;
    for (int p = 0; p < plan->part_count; p++) {
        int lane = now->run.now.rig.tender[p];
        int old_part = rig_plan_part(before->procedure->plan, plan->parts[p].name);
        int old = old_part < 0 ? -1 : before->run.now.rig.tender[old_part];
        if (lane < 0)
            continue;
        int hand = now->bill.hand[lane];
        if (old < 0 || before->bill.hand[old] != hand)
            text_printf(&text, "%s takes the %s. ", now->crew->hands[hand].name,
                        plan->parts[p].words);
    }
    app_say(app, "%s", text.at ? text.at : "Everybody keeps the lines they hold.");
    text_free(&text);
}

bool app_link(struct app *app, const struct procedure *procedure, const struct crew *crew,
              const struct bill *bill, int mishap, const char *reason,
              struct arena *arena)
{
    if (app->session_arena_count == SESSION_ARENAS_MAX) {
        app_say(app, "Too many runs linked to one another: stop this one.");
        return false;
    }
    char linked[RUN_TEXT_MAX];
    enum run_mode mode = app->session.run.mode;
    session_do(&app->session, RUN_BROKEN_OFF, 0, mishap, reason);
    snprintf(linked, sizeof linked, "run %lld, %s", (long long)app->session.record.id,
             reason);
    struct session *before = arena_alloc(app->kit.arena, sizeof *before);
    *before = app->session;
    before->run.rig = &before->rig;
    before->run.bill = &before->bill;
    session_close(&app->session);
    open_with(app, procedure, crew, bill, mode, arena ? arena : app->kit.arena);
    if (arena)
        app->session_arenas[app->session_arena_count++] = arena;
    session_do(&app->session, RUN_LINKED, 0, 0, linked);
    session_do(&app->session, RUN_GO, 0, run_open_checks(&app->session.run),
               session_proved(&app->session) ? "" : "not proved");
    app_go_to(app, &run_screen);
    say_changes(app, before);
    return true;
}

static const struct crew *crew_without(struct app *app, int hand)
{
    const struct crew *crew = app->session.crew;
    struct crew *copy = arena_alloc(app->kit.arena, sizeof *copy);
    struct hand *hands =
        arena_alloc(app->kit.arena, crew->hand_count * sizeof *hands + 1);
    memcpy(hands, crew->hands, crew->hand_count * sizeof *hands);
    hands[hand].aboard = false;
    *copy = *crew;
    copy->hands = hands;
    return copy;
}

/* What cannot be kept without LANE, and where it is safest to stop. */
static void say_cannot_lose(struct app *app, int lane)
{
    struct text lines = {0};
    words_holds(&app->session.run, lane, &lines);
    const char *name = app->session.crew->hands[app->session.bill.hand[lane]].name;
    app_do(app, RUN_HELD, 0, 0, "");
    app_say(app, "No bill without %s%s%s. HOLD: somebody takes that, then R recovers.",
            name, lines.at ? ", who holds the " : "", lines.at ? lines.at : "");
    text_free(&lines);
}

void app_lose(struct app *app, int lane)
{
    const struct session *session = &app->session;
    int hand = session->bill.hand[lane];
    const struct crew *crew = crew_without(app, hand);
    struct bill bill;
    struct bill_why why;
    if (recover_without(&session->run, lane, crew, &bill, &why) != BILL_FOUND) {
        say_cannot_lose(app, lane);
        return;
    }
    char reason[RUN_TEXT_MAX];
    snprintf(reason, sizeof reason, "without %s", crew->hands[hand].name);
    app_link(app, session->procedure, crew, &bill, -1, reason, NULL);
}

void app_resume(struct app *app)
{
    struct logbook_run record;
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct procedure *procedure;
    const struct crew *crew;
    struct text why = {0};
    bool found =
        app->world.logbook && logbook_find_open(app->world.logbook, arena, &record);
    if (found && resume_load(&record, arena, diags, &procedure, &crew)) {
        drop_session(app);
        app->has_session =
            session_resume(&app->session, &record, procedure, crew, app->world.logbook,
                           app->world.clock, app->world.boot_id, &why);
    }
    if (found && app->has_session) {
        set_guard(app);
        app->session_arenas[app->session_arena_count++] = arena;
        app->mode = record.mode;
        pace_find(app->world.logbook, procedure, &app->pace);
        enum run_phase phase = app->session.run.now.phase;
        app_go_to(app, phase == RUN_BRIEFING ? &brief_screen
                       : phase == RUN_OVER   ? &debrief_screen
                                             : &run_screen);
        app_say(app, "Taken up again. Where are you? Mark it, or C catches up.");
    } else {
        app_say(app, "%s",
                why.at  ? why.at
                : found ? "The open run's files do not load any more."
                        : "No run is open.");
        arena_free(arena);
    }
    text_free(&why);
}

struct newest {
    int64_t id;
};

static void take_newest(const struct logbook_run *record, void *payload)
{
    ((struct newest *)payload)->id = record->id;
}

/* Its options, where the procedure still has them. */
static void take_stored_options(struct app *app, const struct procedure *stored)
{
    const struct procedure *procedure = app->kit.procedure;
    app->option_count = procedure ? procedure->option_count : 0;
    for (int i = 0; i < app->option_count; i++) {
        app->option_on[i] = procedure->options[i].on;
        for (int j = 0; j < stored->option_count; j++)
            if (strcmp(stored->options[j].name, procedure->options[i].name) == 0)
                app->option_on[i] = stored->options[j].on;
    }
}

static void take_stored(struct app *app, const struct resumed *stored)
{
    int named = library_find(app->world.library, stored->record.procedure);
    if (named >= 0)
        app->procedure = named;
    app->board = stored->record.board;
    app->mode = stored->record.mode;
    app->pilot = stored->record.pilot;
    for (int h = 0; h < app->world.crew->hand_count; h++) {
        app->aboard[h] = false;
        for (int lane = 0; lane < stored->bill.lane_count; lane++)
            app->aboard[h] |= strcmp(stored->crew->hands[stored->bill.hand[lane]].name,
                                     app->world.crew->hands[h].name) == 0;
    }
    app->option_count = 0;
    app_load_kit(app);
    take_stored_options(app, stored->procedure);
    app_load_kit(app);
}

void app_same_again(struct app *app)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct resumed *stored = arena_alloc(arena, sizeof *stored);
    struct newest newest = {0};
    struct text why = {0};
    bool found = app->world.logbook &&
                 logbook_each(app->world.logbook, 1, take_newest, &newest) && newest.id &&
                 resume_read(app->world.logbook, newest.id, arena, diags, stored, &why);
    if (found) {
        take_stored(app, stored);
        app_say(app, "As in the last run. Enter briefs.");
    } else {
        app_say(app, "There is no last run to take.");
    }
    text_free(&why);
    arena_free(arena);
}

static void say_found(struct app *app, const struct run_event *event)
{
    const struct session *session = &app->session;
    for (int i = 0; i < session->run.now.found_count; i++) {
        const struct finding *finding = &session->run.now.found[i].finding;
        if ((int)finding->kind != event->value || finding->index != event->step)
            continue;
        struct text text = {0};
        bill_say_finding(finding, &session->rig, &session->bill, session->crew, &text);
        app_say(app, "%s", text.at);
        text_free(&text);
    }
}

static void say_farewell(struct app *app)
{
    struct text text = {0};
    const struct session *session = &app->session;
    text_printf(&text, "%s, %s: %s", session->procedure->title,
                run_mode_name(session->run.mode),
                run_outcome_name(session->run.now.outcome));
    if (session->run.now.go_ms >= 0 && session->run.mode != RUN_WALK) {
        text_add(&text, " in ");
        text_add_seconds(&text, run_plan_ms(&session->run, session->run.now.over_ms));
        text_add(&text, " s");
    }
    text_printf(&text, ". %s",
                session_unrecorded(session) ? "Not recorded." : "In the logbook.");
    snprintf(app->farewell, sizeof app->farewell, "%s", text.at);
    text_free(&text);
}

void app_do(struct app *app, enum run_kind kind, int step, int value, const char *text)
{
    app->message[0] = '\0';
    enum run_phase before = app->session.run.now.phase;
    enum run_taken taken = session_do(&app->session, kind, step, value, text);
    if (taken == RUN_REFUSED)
        app_say(app, "That means nothing just now.");
    else if (taken == RUN_FULL)
        app_say(app, "This run takes no more events: end it.");
    for (int i = 0; taken == RUN_TAKEN && i < app->session.out.count; i++)
        if (app->session.out.at[i].kind == RUN_FOUND)
            say_found(app, &app->session.out.at[i]);
    enum run_phase after = app->session.run.now.phase;
    if (before != RUN_OVER && after == RUN_OVER) {
        say_farewell(app);
        app_go_to(app, &debrief_screen);
    } else if (before == RUN_OVER && after != RUN_OVER) {
        app_go_to(app, &run_screen); /* the last mark was undone */
    } else if (before == RUN_BRIEFING && after == RUN_LIVE) {
        app_go_to(app, &run_screen);
    }
}

void app_recover(struct app *app)
{
    app->recover_arena = app->recover_arena ? app->recover_arena : arena_new();
    app->offers = NULL;
    app->line = 0;
    app_go_to(app, &recover_screen);
}

void app_leave_session(struct app *app)
{
    drop_session(app);
    app_load_kit(app);
    app_go_to(app, &muster_screen);
}

void app_ring(struct app *app)
{
    int due = app_is_live(app) ? run_due(&app->session.run) : -1;
    if (due >= 0 && run_overdue_ms(&app->session.run, due, app_now_ms(app)) == 0)
        due = -1;
    if (due >= 0 && due != app->rung_for && app->world.bell)
        app->world.bell(app->world.self);
    app->rung_for = due;
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
    app->scroll = 0;
}

void app_quit(struct app *app)
{
    if (app_is_live(app))
        app->asking = ASKING_STOP;
    else if (app->screen == &muster_screen)
        app->asking = ASKING_QUIT;
    else
        app->over = true;
}

void app_interrupt(struct app *app)
{
    if (app_is_live(app))
        app->asking = ASKING_STOP;
    else
        app->over = true;
}

enum signal app_wind_signal(const struct app *app, const struct procedure *procedure)
{
    double knots = *app->wind ? strtod(app->wind, NULL) : -1;
    if (procedure->stop_kn > 0 && knots > procedure->stop_kn)
        return SIGNAL_WARNING;
    if (procedure->caution_kn > 0 && knots >= procedure->caution_kn)
        return SIGNAL_CAUTION;
    return SIGNAL_NONE;
}
