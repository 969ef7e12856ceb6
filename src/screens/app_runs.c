/* How runs are opened: from the muster, from another run, from the logbook. */
#include "screens/app_parts.h"

#include "cards/words.h"
#include "screens/resume.h"

#include <stdio.h>
#include <string.h>

void app_drop_session(struct app *app)
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

void app_stop_brief(struct app *app)
{
    if (app->has_session && app->session.record.id &&
        app->session.run.now.phase == RUN_BRIEFING)
        app_do(app, RUN_STOPPED, 0, 0, "");
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
    to_mark_refresh(app);
}

/* Of the kit's bill is known that none with its pins is shorter; the run keeps what is
 * known of all bills. */
static struct bill free_of_pins(const struct kit *kit)
{
    struct bill bill = kit->bill;
    if (!bill_pinned(&kit->wish))
        return bill;
    if (kit->pins.free_verdict == BILL_FOUND && kit->pins.free.least_ms < bill.least_ms)
        bill.least_ms = kit->pins.free.least_ms;
    bill.proved = bill.total_ms == bill.least_ms;
    return bill;
}

bool app_open_session(struct app *app)
{
    const struct kit *kit = &app->kit;
    if (!kit->procedure || kit->verdict != BILL_FOUND) {
        app_say(app, "There is no bill for these hands yet.");
        return false;
    }
    app_drop_session(app);
    struct bill bill = free_of_pins(kit);
    open_with(app, kit->procedure, &kit->crew, &bill, app->mode, kit->arena);
    return true;
}

/* Who must take a line over from whom, for the line of messages. */
static void say_changes(struct app *app, const struct session *before, bool unmarked)
{
    struct text text = {0};
    if (unmarked)
        text_add(&text, "Nothing was marked: the rig is taken as at the go. ");
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
    bool unmarked = app_follows_plan(app);
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
    to_mark_store(app);
    session_do(&app->session, RUN_GO, 0, run_open_checks(&app->session.run),
               session_proved(&app->session) ? "" : "not proved");
    app_go_to(app, &run_screen);
    say_changes(app, before, unmarked);
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
    words_holds(&app->session.rig, &app->session.run.now.rig, lane, &lines);
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
        app_drop_session(app);
        app->has_session =
            session_resume(&app->session, &record, procedure, crew, app->world.logbook,
                           app->world.clock, app->world.boot_id, &why);
    }
    if (found && app->has_session) {
        set_guard(app);
        app->session_arenas[app->session_arena_count++] = arena;
        app->mode = record.mode;
        if (strcmp(app->wind, record.wind) != 0) {
            app_take_wind(app, record.wind);
            app_load_kit(app); /* what it recovers by is loaded in the same wind */
        }
        pace_find(app->world.logbook, procedure, &app->pace);
        to_mark_restore(app);
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
