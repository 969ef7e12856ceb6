#include "screens/session.h"

#include "debrief/debrief.h"

#include <string.h>

enum { RETRY_MS = 2000 };

const struct run_event *session_events(const struct session *session, struct arena *arena,
                                       size_t *count)
{
    const struct run *run = &session->run;
    struct run *again = arena_alloc(arena, sizeof *again);
    struct run_out *out = arena_alloc(arena, sizeof *out);
    size_t room = (size_t)run->event_count * 4 + RUN_OUT_MAX;
    struct run_event *events = arena_alloc(arena, room * sizeof *events);
    run_start(again, &session->rig, &session->bill, run->mode);
    again->guard_ms = 0; /* what was ignored is not among them */
    *count = 0;
    for (int i = 0; i < run->event_count; i++) {
        run_apply(again, &run->events[i], out);
        for (int j = 0; j < out->count && *count < room; j++)
            events[(*count)++] = out->at[j];
    }
    return events;
}

/* All that was done so far goes into the run that is open now, event by event: what the
 * disk does not take waits in order. */
static void store_all(struct session *session)
{
    struct arena *arena = arena_new();
    size_t count;
    const struct run_event *events = session_events(session, arena, &count);
    for (size_t i = 0; i < count; i++)
        session->stored =
            logbook_add(session->logbook, session->record.id, &events[i], 1);
    arena_free(arena);
}

/* The logbook may be locked when the run begins and free later: it is asked again, but
 * seldom, as each question may take a quarter of a second. */
static void open_record(struct session *session)
{
    int64_t now_ms = session_now_ms(session);
    if (session->trouble.at && now_ms < session->retry_ms)
        return;
    text_free(&session->trouble);
    session->retry_ms = now_ms + RETRY_MS;
    if (logbook_open_run(session->logbook, &session->record, &session->trouble)) {
        store_all(session);
        return;
    }
    if (!session->trouble.at)
        text_add(&session->trouble, "the logbook does not take this run");
    session->stored = LOGBOOK_LOST;
}

void session_store(struct session *session)
{
    if (!session->logbook)
        return;
    if (!session->record.id)
        open_record(session);
    else
        session->stored = logbook_add(session->logbook, session->record.id,
                                      session->out.at, session->out.count);
}

void session_retry(struct session *session)
{
    if (!session->logbook || session->closed)
        return;
    if (session->record.id)
        logbook_flush(session->logbook);
    else if (session->trouble.at)
        open_record(session);
}

size_t session_waiting(const struct session *session)
{
    return session->logbook ? logbook_waiting(session->logbook) : 0;
}

bool session_unrecorded(const struct session *session)
{
    return !session->logbook || session->trouble.at || session->stored == LOGBOOK_LOST;
}

/* What is not recorded is said first: a long title must not push it off the line. */
void session_tell(const struct session *session, const char *words, struct text *out)
{
    size_t waiting = session_waiting(session);
    bool is_late = session_unrecorded(session) || waiting;
    if (session_unrecorded(session))
        text_add(out, "NOT RECORDED, ");
    else if (waiting)
        text_printf(out, "NOT RECORDED YET: %zu, ", waiting);
    text_printf(out, "%s, %s, %s tack", session->procedure->title,
                run_mode_name(session->run.mode), board_name(session->procedure->board));
    if (!is_late)
        text_printf(out, ", %s", words);
}

/* What the logbook keeps as the run's time: none where it is no time. */
static int64_t total_ms(const struct session *session)
{
    struct debrief debrief;
    debrief_make(&session->run, session->run.now.over_ms, &debrief);
    bool broken_off =
        debrief.outcome == RUN_WAS_STOPPED || debrief.outcome == RUN_WAS_BROKEN_OFF;
    return debrief.timed || broken_off ? debrief.total_ms : -1;
}

void session_close(struct session *session)
{
    const struct run_view *view = &session->run.now;
    if (session->closed)
        return;
    session->closed = true;
    if (session->record.id && view->phase == RUN_OVER) {
        logbook_flush(session->logbook);
        logbook_close_run(session->logbook, session->record.id, view->outcome,
                          total_ms(session));
    }
    text_free(&session->trouble);
    text_free(&session->proof);
    text_free(&session->bill_text);
}
