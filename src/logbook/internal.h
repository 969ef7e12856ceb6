/* What the files of the logbook share.  A write goes through here:
 *
 *   logbook_begin_wait     how long this call may wait in all
 *   logbook_write_waiting  the buffer, in one transaction
 *   logbook_transaction    anything else, in one transaction
 *
 * Only the .c files of this folder include sqlite3.h. */
#ifndef LOGBOOK_INTERNAL_H
#define LOGBOOK_INTERNAL_H

#include "logbook/logbook.h"

struct sqlite3;
struct sqlite3_stmt;

enum { LOGBOOK_VERSION = 1, NO_RUN = -1 };

/* Only the pauses are counted, not the work between them, and a pause may be late: a
 * live write keeps 50 ms of its 250 in hand.  A call that finds events waiting has
 * already been told that the disk is locked and does not ask as long. */
enum { LIVE_WAIT_MS = 200, LATE_WAIT_MS = 20, OPEN_WAIT_MS = 2000 };

enum logbook_statement {
    STATEMENT_BEGIN,
    STATEMENT_COMMIT,
    STATEMENT_ROLLBACK,
    STATEMENT_VERSION,
    STATEMENT_ADD_RUN,
    STATEMENT_CLOSE_RUN,
    STATEMENT_ADD_EVENT,
    STATEMENT_SAME_EVENT,
    STATEMENT_NEXT_SEQ,
    STATEMENT_COUNT
};

/* An event with its place, chosen when it came: trying again neither reorders nor
 * doubles it. */
struct logbook_waiting {
    int64_t run_id, seq;
    struct run_event event;
};

struct logbook {
    struct sqlite3 *db;
    struct sqlite3_stmt *statements[STATEMENT_COUNT];
    int wait_left_ms;
    int64_t run_id, next_seq;    /* of the run written last, or NO_RUN */
    int64_t read_id, read_count; /* of the events read last, or NO_RUN */
    char reason[160];
    size_t waiting;
    struct logbook_waiting buffer[LOGBOOK_BUFFER];
};

enum logbook_wrote {
    WROTE,
    WROTE_NOT_YET, /* may do later: locked, full, failing */
    WROTE_NEVER    /* the database refuses what is to be written */
};

/* logbook.c */

/* Gives the calls that follow WAIT_MS to wait for a lock, all together. */
void logbook_begin_wait(struct logbook *logbook, int wait_ms);

/* Pauses a little; false when the wait is used up. */
bool logbook_wait(struct logbook *logbook);

/* Keeps in `reason` what the database says, in our words; WROTE where it says nothing. */
enum logbook_wrote logbook_explain(struct logbook *logbook, int code);

/* Runs a statement that gives no row and resets it; the database's code. */
int logbook_step(struct logbook *logbook, enum logbook_statement which);

/* Runs WORK between BEGIN IMMEDIATE and COMMIT; nothing stays of it where it fails. */
enum logbook_wrote logbook_transaction(struct logbook *logbook,
                                       enum logbook_wrote (*work)(struct logbook *,
                                                                  void *payload),
                                       void *payload);

/* Adds RUN and sets its id; within a transaction. */
enum logbook_wrote logbook_add_run(struct logbook *logbook, struct logbook_run *run);

/* waiting.c */

/* Adds one event; an event that stands there already word for word is accepted. */
enum logbook_wrote logbook_add_event(struct logbook *logbook,
                                     const struct logbook_waiting *waiting);

/* Stores all that waits; where that is refused, *REFUSED is the first refused one. */
enum logbook_wrote logbook_write_waiting(struct logbook *logbook, size_t *refused);

/* logbook_file.c */

/* Makes the missing folders above PATH (0700) and PATH itself (0600), whatever the
 * umask; what is there stays as it is. */
bool logbook_make_file(const char *path, struct text *why);

/* PATH as a file: URI, so that no name means anything special to the database. */
void logbook_write_uri(const char *path, struct text *out);

/* A write-ahead file with something in it stands beside PATH. */
bool logbook_has_log(const char *path);

/* schema.c */

/* One step of the schema: step I takes a logbook of version I to version I + 1. */
struct schema_step {
    const char *sql;
};

/* An open database is empty or a sound logbook of a version we know. */
bool schema_check(struct sqlite3 *db, struct text *why);

/* Takes the database through all STEPS above its version in one transaction. */
bool schema_migrate(struct sqlite3 *db, const struct schema_step *steps, int count,
                    struct text *why);

/* The steps of this program; COUNT is LOGBOOK_VERSION. */
const struct schema_step *schema_steps(int *count);

/* reading.c */

/* The texts of a run in the order of their columns. */
enum { RUN_TEXTS = 14 };
const char **logbook_run_text(struct logbook_run *run, int i);

#endif
