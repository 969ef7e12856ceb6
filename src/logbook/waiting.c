#include "logbook/internal.h"

#include <assert.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>

static int step_with(struct logbook *logbook, enum logbook_statement which,
                     const struct logbook_waiting *waiting)
{
    sqlite3_stmt *statement = logbook->statements[which];
    const struct run_event *event = &waiting->event;
    sqlite3_bind_int64(statement, 1, waiting->run_id);
    sqlite3_bind_int64(statement, 2, waiting->seq);
    sqlite3_bind_int64(statement, 3, event->at_ms);
    sqlite3_bind_int(statement, 4, event->kind);
    sqlite3_bind_int(statement, 5, event->step);
    sqlite3_bind_int(statement, 6, event->value);
    sqlite3_bind_text(statement, 7, event->text,
                      (int)strnlen(event->text, sizeof event->text), SQLITE_STATIC);
    int code = sqlite3_step(statement);
    int reset = sqlite3_reset(statement);
    return code == SQLITE_ROW || reset == SQLITE_OK ? code : reset;
}

/* A commit can be reported as failed and yet be found in the write-ahead file by another
 * program's recovery; the same event at its own place is therefore no conflict. */
enum logbook_wrote logbook_add_event(struct logbook *logbook,
                                     const struct logbook_waiting *waiting)
{
    int code = step_with(logbook, STATEMENT_ADD_EVENT, waiting);
    if (code != SQLITE_DONE)
        return logbook_explain(logbook, code);
    if (sqlite3_changes(logbook->db) == 1)
        return WROTE;
    code = step_with(logbook, STATEMENT_SAME_EVENT, waiting);
    if (code != SQLITE_DONE)
        return logbook_explain(logbook, code);
    snprintf(logbook->reason, sizeof logbook->reason,
             "another program goes on with this run");
    return WROTE_NEVER;
}

static enum logbook_wrote add_all(struct logbook *logbook, void *refused)
{
    for (size_t i = 0; i < logbook->waiting; i++) {
        enum logbook_wrote wrote = logbook_add_event(logbook, &logbook->buffer[i]);
        if (wrote != WROTE) {
            *(size_t *)refused = i;
            return wrote;
        }
    }
    return WROTE;
}

enum logbook_wrote logbook_write_waiting(struct logbook *logbook, size_t *refused)
{
    if (!logbook->waiting)
        return WROTE;
    *refused = 0;
    enum logbook_wrote wrote = logbook_transaction(logbook, add_all, refused);
    if (wrote == WROTE)
        logbook->waiting = 0;
    return wrote;
}

static bool ask_next_seq(struct logbook *logbook, int64_t run_id)
{
    sqlite3_stmt *ask = logbook->statements[STATEMENT_NEXT_SEQ];
    sqlite3_bind_int64(ask, 1, run_id);
    int code = sqlite3_step(ask);
    if (code == SQLITE_ROW)
        logbook->next_seq = sqlite3_column_int64(ask, 0);
    else if (code == SQLITE_DONE)
        snprintf(logbook->reason, sizeof logbook->reason, "there is no such run");
    else
        logbook_explain(logbook, code);
    sqlite3_reset(ask);
    return code == SQLITE_ROW;
}

/* Where the next event of the run stands: after those that wait, or those that were
 * read, or those that are stored. */
static bool turn_to_run(struct logbook *logbook, int64_t run_id)
{
    if (logbook->run_id == run_id)
        return true;
    size_t last = logbook->waiting;
    while (last && logbook->buffer[last - 1].run_id != run_id)
        last--;
    if (last)
        logbook->next_seq = logbook->buffer[last - 1].seq + 1;
    else if (logbook->read_id == run_id)
        logbook->next_seq = logbook->read_count;
    else if (!ask_next_seq(logbook, run_id))
        return false;
    if (logbook->read_id == run_id)
        logbook->read_id = NO_RUN;
    logbook->run_id = run_id;
    return true;
}

static void push(struct logbook *logbook, const struct run_event *events, size_t count)
{
    for (size_t i = 0; i < count; i++)
        logbook->buffer[logbook->waiting++] =
            (struct logbook_waiting){logbook->run_id, logbook->next_seq++, events[i]};
}

enum logbook_stored logbook_add(struct logbook *logbook, int64_t run_id,
                                const struct run_event *events, size_t count)
{
    assert(count <= LOGBOOK_BUFFER);
    size_t refused = 0;
    logbook_begin_wait(logbook, logbook->waiting ? LATE_WAIT_MS : LIVE_WAIT_MS);
    if (logbook->waiting + count > LOGBOOK_BUFFER)
        logbook_write_waiting(logbook, &refused);
    if (logbook->waiting + count > LOGBOOK_BUFFER || !turn_to_run(logbook, run_id))
        return LOGBOOK_LOST;
    size_t before = logbook->waiting;
    push(logbook, events, count);
    enum logbook_wrote wrote = logbook_write_waiting(logbook, &refused);
    if (wrote == WROTE)
        return LOGBOOK_STORED;
    if (wrote == WROTE_NOT_YET || refused < before)
        return LOGBOOK_LATE;
    /* Their places stay refused: what comes later must not be stored without them. */
    logbook->waiting = before;
    logbook->next_seq -= (int64_t)count;
    return LOGBOOK_LOST;
}

size_t logbook_flush(struct logbook *logbook)
{
    size_t refused;
    logbook_begin_wait(logbook, LATE_WAIT_MS);
    logbook_write_waiting(logbook, &refused);
    return logbook->waiting;
}

size_t logbook_waiting(const struct logbook *logbook)
{
    return logbook->waiting;
}
