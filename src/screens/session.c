#include "screens/session.h"

#include "cards/sheet_loads.h"
#include "cards/sheet_vet.h"
#include "cards/words.h"
#include "forces/loaded.h"
#include "screens/glyphs.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

enum { PROOF_STATES = 200000, SLIP_STATES = 20000 };

int64_t session_now_ms(const struct session *session)
{
    int64_t now = session->clock->now_ms(session->clock->self) - session->record.boot_ms;
    return now > 0 ? now : 0;
}

bool session_prove(const struct procedure *procedure, const struct bill *bill,
                   struct text *out)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    const struct vet_limits limits = {.states = PROOF_STATES};
    bill_rig(bill, procedure, rig);
    vet_prove(rig, &limits, bill->from_state, report);
    sheet_vet_proof(rig, report, out);
    bool safe = report->verdict == VET_SAFE;
    arena_free(arena);
    return safe;
}

/* The slips of the whole card, one hand a role: they do not depend on who is aboard. */
static void find_must_not_miss(struct session *session)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    const struct vet_limits limits = {.states = SLIP_STATES};
    if (!session->bill.from_state &&
        vet_rig_of_roles(session->procedure, session->bill.pilot, rig)) {
        vet_omissions(rig, &limits, slips);
        session->must_not_miss_count = slips_must_not_miss(slips, session->must_not_miss);
    }
    arena_free(arena);
}

bool session_proved(const struct session *session)
{
    return strncmp(session->record.proof, "safe ", 5) == 0;
}

/* The wind of the run is above what the procedure is for. */
static bool is_above_limit(const struct session *session)
{
    return session->procedure->stop_kn > 0 &&
           weather_limit_kn(&session->weather) > session->procedure->stop_kn;
}

/* In this wind some step works a line that nobody can hold. */
static bool is_over_hands(const struct session *session)
{
    return session->procedure->loads && session->procedure->loads->too_much;
}

/* The wind is above a limit of the sail. */
static bool is_over_sail(const struct session *session)
{
    return session->procedure->loads && session->procedure->loads->limits.stop;
}

bool session_against(const struct session *session, struct text *out)
{
    const char *between = "";
    if (!session_proved(session)) {
        text_add(out, "not proved");
        between = "; ";
    }
    if (is_above_limit(session)) {
        text_add(out, between);
        words_limit_wind(&session->weather, out);
        text_printf(out, ", not above %.0f kn", session->procedure->stop_kn);
        between = "; ";
    }
    if (is_over_sail(session)) {
        text_add(out, between);
        sheet_limits(session->procedure->loads, true, out);
        between = "; ";
    }
    if (is_over_hands(session)) {
        text_printf(out, "%smore load than hands hold", between);
        between = "; ";
    }
    return *between;
}

static void take_weather(struct session *session)
{
    if (session->record.wind)
        weather_read(session->record.wind, &session->weather);
}

bool session_hurts_without(const struct session *session, int step)
{
    for (int i = 0; i < session->must_not_miss_count; i++)
        if (session->must_not_miss[i] == step)
            return true;
    return false;
}

static void prepare(struct session *session, enum run_mode mode)
{
    bill_rig(&session->bill, session->procedure, &session->rig);
    run_start(&session->run, &session->rig, &session->bill, mode);
    session->stored = session->logbook ? LOGBOOK_STORED : LOGBOOK_LATE;
}

static void fill_record(struct session *session, const struct session_start *start)
{
    const struct procedure *procedure = start->procedure;
    session->record =
        (struct logbook_run){.wall_ms = session->clock->wall_ms(session->clock->self),
                             .boot_ms = session->clock->now_ms(session->clock->self),
                             .boot_id = start->boot_id,
                             .procedure = procedure->name,
                             .title = procedure->title,
                             .board = procedure->board,
                             .mode = start->mode,
                             .pilot = start->bill->pilot,
                             .options = start->options,
                             .procedure_text = procedure->source->at,
                             .rig_text = procedure->plan->source->at,
                             .boat_text = start->boat_text,
                             .crew_text = start->crew->source->at,
                             .bill_text = session->bill_text.at,
                             .wind = start->wind,
                             .proof = session->proof.at,
                             .version = start->version,
                             .total_ms = -1,
                             .hands = start->bill->lane_count};
}

void session_open(struct session *session, const struct session_start *start,
                  struct logbook *logbook, const struct clock *clock)
{
    memset(session, 0, sizeof *session);
    session->clock = clock;
    session->procedure = start->procedure;
    session->crew = start->crew;
    session->logbook = logbook;
    session->bill = *start->bill;
    prepare(session, start->mode);
    session_prove(start->procedure, start->bill, &session->proof);
    find_must_not_miss(session);
    bill_write(start->bill, start->procedure, start->crew, &session->bill_text);
    fill_record(session, start);
    take_weather(session);
}

static bool replay_stored(struct session *session, struct text *why)
{
    struct arena *arena = arena_new();
    struct run_event *events;
    size_t count;
    bool fine =
        logbook_read_events(session->logbook, session->record.id, arena, &events, &count);
    if (!fine)
        text_add(why, "the events of this run cannot be read");
    else if (!(fine = run_replay(&session->run, events, count)))
        text_add(why, "the stored events do not give the same run again");
    arena_free(arena);
    return fine;
}

/* After another boot the boot clock says nothing; wall time gives the gap, reckoned. */
static void find_boot_ms(struct session *session, bool same_boot)
{
    if (same_boot)
        return;
    const struct clock *clock = session->clock;
    int64_t since = clock->wall_ms(clock->self) - session->record.wall_ms;
    const struct run *run = &session->run;
    int64_t last = run->event_count ? run->events[run->event_count - 1].at_ms : 0;
    session->record.boot_ms = clock->now_ms(clock->self) - (since > last ? since : last);
}

bool session_resume(struct session *session, const struct logbook_run *record,
                    const struct procedure *procedure, const struct crew *crew,
                    struct logbook *logbook, const struct clock *clock,
                    const char *boot_id, struct text *why)
{
    memset(session, 0, sizeof *session);
    session->clock = clock;
    session->procedure = procedure;
    session->crew = crew;
    session->logbook = logbook;
    session->record = *record;
    take_weather(session);
    if (!bill_read(record->bill_text, procedure, crew, &session->bill)) {
        text_add(why, "its stored bill does not fit its stored procedure and crew");
        return false;
    }
    prepare(session, record->mode);
    if (!replay_stored(session, why))
        return false;
    find_must_not_miss(session);
    bool same_boot = strcmp(record->boot_id, boot_id) == 0;
    find_boot_ms(session, same_boot);
    session_do(session, RUN_RESUMED, 0, !same_boot, "");
    return true;
}

/* What may be stored and printed: whole characters, none that steers a terminal. */
static void take_text(const char *text, char *out, size_t room)
{
    size_t length = 0;
    char bytes[4];
    for (uint32_t glyph; (glyph = glyph_read(&text));) {
        uint32_t clean = glyph_clean(glyph);
        size_t size = clean ? (size_t)glyph_write(clean, bytes) : 0;
        if (length + size >= room)
            break;
        memcpy(out + length, bytes, size);
        length += size;
    }
    out[length] = '\0';
}

enum run_taken session_do(struct session *session, enum run_kind kind, int step,
                          int value, const char *text)
{
    assert(step >= 0 && step < STEPS_MAX);
    struct run_event event = {.at_ms = session_now_ms(session),
                              .kind = (uint8_t)kind,
                              .step = (uint8_t)step,
                              .value = (int16_t)value};
    take_text(text, event.text, sizeof event.text);
    enum run_taken taken = run_apply(&session->run, &event, &session->out);
    if (taken == RUN_TAKEN)
        session_store(session);
    return taken;
}
