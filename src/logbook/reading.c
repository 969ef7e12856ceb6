#include "logbook/internal.h"

#include <sqlite3.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

/* The order is that of the columns, in writing and in reading. */
static const size_t text_offsets[RUN_TEXTS] = {
    offsetof(struct logbook_run, boot_id),
    offsetof(struct logbook_run, procedure),
    offsetof(struct logbook_run, title),
    offsetof(struct logbook_run, options),
    offsetof(struct logbook_run, wind),
    offsetof(struct logbook_run, proof),
    offsetof(struct logbook_run, version),
    offsetof(struct logbook_run, recovers),
    offsetof(struct logbook_run, procedure_text),
    offsetof(struct logbook_run, rig_text),
    offsetof(struct logbook_run, boat_text),
    offsetof(struct logbook_run, crew_text),
    offsetof(struct logbook_run, bill_text),
    offsetof(struct logbook_run, begin_text),
};

#define RUN_COLUMNS                                                                      \
    "id, uuid, wall_ms, boot_ms, board, mode, pilot, hands, closed, outcome, total_ms,"  \
    " (SELECT count(*) FROM event WHERE run = run.id), boot_id, procedure, title,"       \
    " options, wind, proof, version, recovers"
#define RUN_LONG_TEXTS                                                                   \
    ", procedure_text, rig_text, boat_text, crew_text, bill_text, begin_text"

enum { COLUMN_EVENTS = 11, COLUMN_TEXTS = 12 };

const char **logbook_run_text(struct logbook_run *run, int i)
{
    return (const char **)(void *)((char *)run + text_offsets[i]);
}

static const char *column_text(sqlite3_stmt *row, int column)
{
    const unsigned char *text = sqlite3_column_text(row, column);
    return text ? (const char *)text : "";
}

/* Without an arena the texts are those of the row, gone at its next step. */
static void fill_run(sqlite3_stmt *row, struct arena *arena, struct logbook_run *out)
{
    *out = (struct logbook_run){.id = sqlite3_column_int64(row, 0),
                                .wall_ms = sqlite3_column_int64(row, 2),
                                .boot_ms = sqlite3_column_int64(row, 3),
                                .board = sqlite3_column_int(row, 4) ? BOARD_STARBOARD
                                                                    : BOARD_PORT,
                                .mode = (enum run_mode)sqlite3_column_int(row, 5),
                                .pilot = sqlite3_column_int(row, 6) != 0,
                                .hands = sqlite3_column_int(row, 7),
                                .closed = sqlite3_column_int(row, 8) != 0,
                                .outcome = (enum run_outcome)sqlite3_column_int(row, 9),
                                .total_ms = sqlite3_column_int64(row, 10),
                                .event_count = sqlite3_column_int64(row, COLUMN_EVENTS)};
    snprintf(out->uuid, sizeof out->uuid, "%s", column_text(row, 1));
    for (int i = 0; i < RUN_TEXTS; i++) {
        int column = COLUMN_TEXTS + i;
        bool asked = column < sqlite3_column_count(row);
        const char *text = asked ? column_text(row, column) : "";
        *logbook_run_text(out, i) = arena ? arena_copy(arena, text, strlen(text)) : text;
    }
}

/* A statement that reads; NULL where that fails.  Readers wait only for a program that is
 * just closing the logbook. */
static sqlite3_stmt *prepare(struct logbook *logbook, const char *sql)
{
    sqlite3_stmt *statement = NULL;
    logbook_begin_wait(logbook, LIVE_WAIT_MS);
    logbook_explain(logbook, sqlite3_prepare_v2(logbook->db, sql, -1, &statement, NULL));
    return statement;
}

/* The run that SQL finds for ID. */
static bool read_one(struct logbook *logbook, const char *sql, int64_t id,
                     struct arena *arena, struct logbook_run *out)
{
    sqlite3_stmt *row = prepare(logbook, sql);
    if (!row)
        return false;
    if (sqlite3_bind_parameter_count(row))
        sqlite3_bind_int64(row, 1, id);
    bool found = sqlite3_step(row) == SQLITE_ROW;
    if (found)
        fill_run(row, arena, out);
    sqlite3_finalize(row);
    return found;
}

bool logbook_find_open(struct logbook *logbook, struct arena *arena,
                       struct logbook_run *out)
{
    return read_one(logbook,
                    "SELECT " RUN_COLUMNS RUN_LONG_TEXTS " FROM run WHERE closed = 0"
                    " ORDER BY EXISTS (SELECT 1 FROM event WHERE run = run.id"
                    " AND kind = ?1) DESC, wall_ms DESC, id DESC LIMIT 1",
                    RUN_GO, arena, out);
}

bool logbook_read_run(struct logbook *logbook, int64_t id, struct arena *arena,
                      struct logbook_run *out)
{
    return read_one(logbook,
                    "SELECT " RUN_COLUMNS RUN_LONG_TEXTS " FROM run WHERE id = ?1", id,
                    arena, out);
}

/* False where the row holds what no program of ours wrote. */
static bool fill_event(sqlite3_stmt *row, size_t seq, struct run_event *out)
{
    int64_t kind = sqlite3_column_int64(row, 2), step = sqlite3_column_int64(row, 3);
    int64_t value = sqlite3_column_int64(row, 4);
    const char *text = column_text(row, 5);
    if (sqlite3_column_int64(row, 0) != (int64_t)seq || kind < 0 || kind > UINT8_MAX ||
        step < 0 || step > UINT8_MAX || value < INT16_MIN || value > INT16_MAX ||
        strlen(text) >= sizeof out->text)
        return false;
    *out = (struct run_event){.at_ms = sqlite3_column_int64(row, 1),
                              .kind = (uint8_t)kind,
                              .step = (uint8_t)step,
                              .value = (int16_t)value};
    snprintf(out->text, sizeof out->text, "%s", text);
    return true;
}

static bool read_rows(sqlite3_stmt *rows, struct arena *arena, struct run_event **out,
                      size_t *count)
{
    size_t room = 64;
    int code;
    *out = arena_alloc(arena, room * sizeof **out);
    *count = 0;
    while ((code = sqlite3_step(rows)) == SQLITE_ROW) {
        if (*count == room) {
            struct run_event *grown = arena_alloc(arena, 2 * room * sizeof **out);
            memcpy(grown, *out, room * sizeof **out);
            *out = grown;
            room *= 2;
        }
        if (!fill_event(rows, *count, &(*out)[*count]))
            return false;
        ++*count;
    }
    return code == SQLITE_DONE;
}

/* Who has read the events of a run goes on behind them: were its place looked up at the
 * next write, events of another program could come between unseen. */
static void go_on_after(struct logbook *logbook, int64_t id, int64_t count)
{
    if (id != logbook->run_id) {
        logbook->read_id = id;
        logbook->read_count = count;
    } else if (!logbook->waiting) {
        logbook->next_seq = count;
    }
}

bool logbook_read_events(struct logbook *logbook, int64_t id, struct arena *arena,
                         struct run_event **out, size_t *count)
{
    sqlite3_stmt *rows =
        prepare(logbook, "SELECT seq, at_ms, kind, step, value, text FROM event"
                         " WHERE run = ?1 ORDER BY seq");
    *count = 0;
    if (!rows)
        return false;
    sqlite3_bind_int64(rows, 1, id);
    bool read = read_rows(rows, arena, out, count);
    sqlite3_finalize(rows);
    if (read)
        go_on_after(logbook, id, (int64_t)*count);
    return read;
}

bool logbook_each(struct logbook *logbook, int limit,
                  void (*each)(const struct logbook_run *run, void *payload),
                  void *payload)
{
    sqlite3_stmt *rows =
        prepare(logbook, "SELECT " RUN_COLUMNS
                         " FROM run ORDER BY wall_ms DESC, id DESC LIMIT ?1");
    if (!rows)
        return false;
    sqlite3_bind_int(rows, 1, limit > 0 ? limit : -1);
    int code;
    while ((code = sqlite3_step(rows)) == SQLITE_ROW) {
        struct logbook_run run;
        fill_run(rows, NULL, &run);
        each(&run, payload);
    }
    sqlite3_finalize(rows);
    return code == SQLITE_DONE;
}
