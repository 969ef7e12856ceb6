#include "logbook/logbook.h"

#include "logbook/internal.h"

#include <assert.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static const char *const statement_sql[STATEMENT_COUNT] = {
    [STATEMENT_BEGIN] = "BEGIN IMMEDIATE",
    [STATEMENT_COMMIT] = "COMMIT",
    [STATEMENT_ROLLBACK] = "ROLLBACK",
    [STATEMENT_VERSION] = "PRAGMA user_version",
    [STATEMENT_ADD_RUN] =
        "INSERT INTO run (uuid, wall_ms, boot_ms, board, mode, pilot, hands, boot_id,"
        " procedure, title, options, wind, proof, version, recovers, procedure_text,"
        " rig_text, boat_text, crew_text, bill_text, begin_text)"
        " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16,"
        " ?17, ?18, ?19, ?20, ?21)",
    /* Closing again in the same way is no error: a commit that was reported as failed
     * may be found done. */
    [STATEMENT_CLOSE_RUN] =
        "UPDATE run SET closed = 1, outcome = ?2, total_ms = ?3"
        " WHERE id = ?1 AND (closed = 0 OR (outcome = ?2 AND total_ms = ?3))",
    [STATEMENT_ADD_EVENT] = "INSERT INTO event (run, seq, at_ms, kind, step, value, text)"
                            " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT DO NOTHING",
    [STATEMENT_SAME_EVENT] =
        "SELECT 1 FROM event WHERE run = ?1 AND seq = ?2 AND at_ms = ?3 AND kind = ?4"
        " AND step = ?5 AND value = ?6 AND text = ?7",
    [STATEMENT_NEXT_SEQ] =
        "SELECT (SELECT coalesce(max(seq) + 1, 0) FROM event WHERE run = ?1)"
        " FROM run WHERE id = ?1",
};

void logbook_begin_wait(struct logbook *logbook, int wait_ms)
{
    logbook->wait_left_ms = wait_ms;
}

bool logbook_wait(struct logbook *logbook)
{
    if (logbook->wait_left_ms <= 0)
        return false;
    int pause_ms = logbook->wait_left_ms < 5 ? logbook->wait_left_ms : 5;
    logbook->wait_left_ms -= pause_ms;
    nanosleep(&(struct timespec){.tv_nsec = pause_ms * 1000000L}, NULL);
    return true;
}

static int when_busy(void *logbook, int times)
{
    (void)times;
    return logbook_wait(logbook);
}

static const char *words_for(int code)
{
    switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return "the logbook is locked by another program";
    case SQLITE_FULL:
        return "the disk is full";
    case SQLITE_READONLY:
        return "the logbook cannot be written";
    case SQLITE_CANTOPEN:
        return "the logbook cannot be opened";
    case SQLITE_IOERR:
        return "the disk fails";
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return "the logbook is damaged";
    default:
        return NULL;
    }
}

enum logbook_wrote logbook_explain(struct logbook *logbook, int code)
{
    if (code == SQLITE_OK || code == SQLITE_DONE || code == SQLITE_ROW)
        return WROTE;
    const char *words =
        code == SQLITE_CONSTRAINT_UNIQUE ? "it holds this run already" : words_for(code);
    snprintf(logbook->reason, sizeof logbook->reason, "%s",
             words ? words : sqlite3_errmsg(logbook->db));
    return (code & 0xff) == SQLITE_CONSTRAINT ? WROTE_NEVER : WROTE_NOT_YET;
}

int logbook_step(struct logbook *logbook, enum logbook_statement which)
{
    sqlite3_step(logbook->statements[which]);
    return sqlite3_reset(logbook->statements[which]);
}

/* Writing goes on into a file that was moved away, and nobody would find it. */
static bool is_moved(struct logbook *logbook)
{
    int moved = 0;
    sqlite3_file_control(logbook->db, "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    if (moved)
        snprintf(logbook->reason, sizeof logbook->reason,
                 "the logbook was moved or removed");
    return moved;
}

/* A newer program that is started while this one runs may take the logbook further. */
static enum logbook_wrote check_version(struct logbook *logbook)
{
    sqlite3_stmt *ask = logbook->statements[STATEMENT_VERSION];
    int code = sqlite3_step(ask);
    bool same = code == SQLITE_ROW && sqlite3_column_int(ask, 0) == LOGBOOK_VERSION;
    sqlite3_reset(ask);
    if (same || code != SQLITE_ROW)
        return logbook_explain(logbook, code);
    snprintf(logbook->reason, sizeof logbook->reason,
             "another version took the logbook over");
    return WROTE_NOT_YET;
}

/* A rollback can fail for want of memory; it is then made up for before the next write.
 */
static bool roll_back(struct logbook *logbook)
{
    if (!sqlite3_get_autocommit(logbook->db))
        logbook_explain(logbook, logbook_step(logbook, STATEMENT_ROLLBACK));
    return sqlite3_get_autocommit(logbook->db);
}

enum logbook_wrote logbook_transaction(struct logbook *logbook,
                                       enum logbook_wrote (*work)(struct logbook *,
                                                                  void *payload),
                                       void *payload)
{
    if (!roll_back(logbook) || is_moved(logbook))
        return WROTE_NOT_YET;
    enum logbook_wrote wrote =
        logbook_explain(logbook, logbook_step(logbook, STATEMENT_BEGIN));
    if (wrote == WROTE)
        wrote = check_version(logbook);
    if (wrote == WROTE)
        wrote = work(logbook, payload);
    if (wrote == WROTE)
        wrote = logbook_explain(logbook, logbook_step(logbook, STATEMENT_COMMIT));
    if (wrote == WROTE)
        *logbook->reason = '\0';
    else
        roll_back(logbook);
    return wrote;
}

static bool refuse(struct logbook *logbook, struct text *why)
{
    logbook_explain(logbook, sqlite3_extended_errcode(logbook->db));
    text_add(why, logbook->reason);
    return false;
}

/* Tables that do not fit the statements are not those that the version promises. */
static bool prepare_all(struct logbook *logbook, struct text *why)
{
    int code = SQLITE_OK;
    for (int i = 0; i < STATEMENT_COUNT && code == SQLITE_OK; i++)
        code =
            sqlite3_prepare_v3(logbook->db, statement_sql[i], -1,
                               SQLITE_PREPARE_PERSISTENT, &logbook->statements[i], NULL);
    if (code == SQLITE_OK)
        return true;
    if (code != SQLITE_ERROR)
        return refuse(logbook, why);
    text_printf(why, "damaged (%s); left as it is", sqlite3_errmsg(logbook->db));
    return false;
}

/* Two programs that open a new logbook at once meet here, where the database does not
 * wait by itself. */
static bool set_up_writing(struct logbook *logbook, struct text *why)
{
    int code;
    do
        code = sqlite3_exec(logbook->db, "PRAGMA journal_mode = WAL", NULL, NULL, NULL);
    while (code == SQLITE_BUSY && logbook_wait(logbook));
    if (code == SQLITE_OK)
        code = sqlite3_exec(logbook->db, "PRAGMA synchronous = FULL", NULL, NULL, NULL);
    if (code != SQLITE_OK)
        return refuse(logbook, why);
    /* Checkpoints cost time and belong where nobody waits: at the opening and after a
     * run is closed. */
    sqlite3_wal_autocheckpoint(logbook->db, 0);
    int count;
    const struct schema_step *steps = schema_steps(&count);
    return schema_migrate(logbook->db, steps, count, why);
}

static bool open_database(struct logbook *logbook, const char *path, struct text *why)
{
    struct text uri = {0};
    logbook_write_uri(path, &uri);
    int code = sqlite3_open_v2(uri.at, &logbook->db,
                               SQLITE_OPEN_READWRITE | SQLITE_OPEN_URI |
                                   SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE,
                               NULL);
    text_free(&uri);
    if (code != SQLITE_OK)
        return refuse(logbook, why);
    sqlite3_db_config(logbook->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(logbook->db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    sqlite3_db_config(logbook->db, SQLITE_DBCONFIG_ENABLE_FKEY, 1, NULL);
    sqlite3_busy_handler(logbook->db, when_busy, logbook);
    return true;
}

/* A file that is refused stays as it is, the write-ahead file of another version too. */
static bool set_up(struct logbook *logbook, const char *path, struct text *why)
{
    bool has_log = logbook_has_log(path);
    if (!open_database(logbook, path, why))
        return false;
    if (has_log)
        sqlite3_db_config(logbook->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, NULL);
    if (!schema_check(logbook->db, why))
        return false;
    if (!sqlite3_db_readonly(logbook->db, "main") && !set_up_writing(logbook, why))
        return false;
    if (!prepare_all(logbook, why))
        return false;
    sqlite3_db_config(logbook->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 0, NULL);
    sqlite3_wal_checkpoint_v2(logbook->db, NULL, SQLITE_CHECKPOINT_PASSIVE, NULL, NULL);
    return true;
}

struct logbook *logbook_open(const char *path, struct text *why)
{
    struct logbook *logbook = calloc(1, sizeof *logbook);
    if (!logbook) {
        fputs("foreguy: out of memory\n", stderr);
        exit(2);
    }
    logbook->run_id = logbook->read_id = NO_RUN;
    logbook_begin_wait(logbook, OPEN_WAIT_MS);
    struct text reason = {0};
    if (!logbook_make_file(path, why)) {
        logbook_close(logbook);
        return NULL;
    }
    if (!set_up(logbook, path, &reason)) {
        text_printf(why, "the logbook %s cannot be used: %s", path, reason.at);
        logbook_close(logbook);
        logbook = NULL;
    }
    text_free(&reason);
    return logbook;
}

void logbook_close(struct logbook *logbook)
{
    if (!logbook)
        return;
    for (int i = 0; i < STATEMENT_COUNT; i++)
        sqlite3_finalize(logbook->statements[i]);
    int code = sqlite3_close(logbook->db);
    assert(code == SQLITE_OK);
    (void)code;
    free(logbook);
}

/* A random UUID, version 4 of RFC 9562. */
static void make_uuid(char out[37])
{
    unsigned char bytes[16];
    sqlite3_randomness(sizeof bytes, bytes);
    bytes[6] = (unsigned char)((bytes[6] & 0x0f) | 0x40);
    bytes[8] = (unsigned char)((bytes[8] & 0x3f) | 0x80);
    for (int i = 0, at = 0; i < 16; i++) {
        if (i == 4 || i == 6 || i == 8 || i == 10)
            out[at++] = '-';
        at += snprintf(out + at, 3, "%02x", bytes[i]);
    }
}

enum logbook_wrote logbook_add_run(struct logbook *logbook, struct logbook_run *run)
{
    char uuid[37];
    make_uuid(uuid);
    if (*run->uuid)
        memcpy(uuid, run->uuid, sizeof uuid);
    sqlite3_stmt *add = logbook->statements[STATEMENT_ADD_RUN];
    sqlite3_bind_text(add, 1, uuid, -1, SQLITE_STATIC);
    sqlite3_bind_int64(add, 2, run->wall_ms);
    sqlite3_bind_int64(add, 3, run->boot_ms);
    sqlite3_bind_int64(add, 4, run->board);
    sqlite3_bind_int64(add, 5, run->mode);
    sqlite3_bind_int(add, 6, run->pilot);
    sqlite3_bind_int(add, 7, run->hands);
    for (int i = 0; i < RUN_TEXTS; i++) {
        const char *text = *logbook_run_text(run, i);
        sqlite3_bind_text(add, 8 + i, text ? text : "", -1, SQLITE_STATIC);
    }
    enum logbook_wrote wrote =
        logbook_explain(logbook, logbook_step(logbook, STATEMENT_ADD_RUN));
    sqlite3_clear_bindings(add);
    if (wrote != WROTE)
        return wrote;
    memcpy(run->uuid, uuid, sizeof uuid);
    run->id = sqlite3_last_insert_rowid(logbook->db);
    return WROTE;
}

static enum logbook_wrote add_run(struct logbook *logbook, void *run)
{
    return logbook_add_run(logbook, run);
}

/* What waits goes first; false where it still waits. */
static bool write_first_what_waits(struct logbook *logbook)
{
    logbook_begin_wait(logbook, logbook->waiting ? LATE_WAIT_MS : LIVE_WAIT_MS);
    size_t refused;
    return logbook_write_waiting(logbook, &refused) == WROTE;
}

bool logbook_open_run(struct logbook *logbook, struct logbook_run *run, struct text *why)
{
    struct logbook_run added = *run;
    if (!write_first_what_waits(logbook) ||
        logbook_transaction(logbook, add_run, &added) != WROTE) {
        text_printf(why, "the run is not recorded: %s", logbook->reason);
        return false;
    }
    *run = added;
    logbook->run_id = run->id;
    logbook->next_seq = 0;
    return true;
}

struct closing {
    int64_t run_id, total_ms;
    enum run_outcome outcome;
};

static enum logbook_wrote close_run(struct logbook *logbook, void *payload)
{
    const struct closing *closing = payload;
    sqlite3_stmt *close = logbook->statements[STATEMENT_CLOSE_RUN];
    sqlite3_bind_int64(close, 1, closing->run_id);
    sqlite3_bind_int64(close, 2, closing->outcome);
    sqlite3_bind_int64(close, 3, closing->total_ms);
    enum logbook_wrote wrote =
        logbook_explain(logbook, logbook_step(logbook, STATEMENT_CLOSE_RUN));
    if (wrote != WROTE || sqlite3_changes(logbook->db) == 1)
        return wrote;
    snprintf(logbook->reason, sizeof logbook->reason,
             "there is no such run or it was closed before");
    return WROTE_NEVER;
}

bool logbook_close_run(struct logbook *logbook, int64_t run_id, enum run_outcome outcome,
                       int64_t total_ms)
{
    struct closing closing = {run_id, total_ms, outcome};
    if (!write_first_what_waits(logbook) ||
        logbook_transaction(logbook, close_run, &closing) != WROTE)
        return false;
    sqlite3_wal_checkpoint_v2(logbook->db, NULL, SQLITE_CHECKPOINT_PASSIVE, NULL, NULL);
    return true;
}

const char *logbook_reason(const struct logbook *logbook)
{
    return logbook->reason;
}
