/* The logbook: runs and their events, kept for good in SQLite.  A run stores the exact
 * texts it was made from, so it can be resumed, replayed and debriefed with them.
 * The caller owns a struct logbook from logbook_open to logbook_close.  What was given to
 * logbook_add is on the disk when it returns LOGBOOK_STORED. */
#ifndef LOGBOOK_LOGBOOK_H
#define LOGBOOK_LOGBOOK_H

#include "base/arena.h"
#include "base/text.h"
#include "run/run.h"

struct logbook;

enum logbook_stored {
    LOGBOOK_STORED,
    LOGBOOK_LATE, /* not recorded yet: waits in order in the buffer */
    LOGBOOK_LOST  /* not recorded and not waiting: the buffer is full, or the run is
                   * closed,  unknown or written by another program; the caller still has
                   * its  events and can save them elsewhere */
};

enum { LOGBOOK_BUFFER = 4096 }; /* events that can wait */

/* One run.  Texts are borrowed when written (NULL is "") and in the arena when read. */
struct logbook_run {
    int64_t id; /* row; set by logbook_open_run */
    char uuid[37];
    int64_t wall_ms; /* Unix time at the opening */
    int64_t boot_ms; /* boot clock at the opening */
    const char *boot_id;
    const char *procedure; /* name */
    const char *title;
    enum board board;
    enum run_mode mode;
    bool pilot;
    const char *options; /* "name=yes name=no ..." */
    const char *procedure_text, *rig_text, *boat_text, *crew_text, *bill_text;
    const char *wind;  /* as typed; "" where not said */
    const char *proof; /* what vet said; "not proved" */
    const char *version;
    const char *recovers; /* uuid of the run this one recovers from; "" where none */
    const char
        *begin_text; /* the rig's state at the opening; "" : the procedure's begin */
    int hands;       /* aboard */
    /* filled when the run is closed or listed */
    bool closed;
    enum run_outcome outcome;
    int64_t total_ms; /* since the go, holds without; -1 before the go, or no time */
    int64_t event_count;
};

/* Opens the logbook at PATH, made with its folders (0700, file 0600) where missing.
 * NULL with the reason in WHY: cannot be opened, damaged, or of a newer version; such a
 * file is never overwritten. */
struct logbook *logbook_open(const char *path, struct text *why);

/* Closes the logbook; what still waits is gone with it.  NULL is allowed. */
void logbook_close(struct logbook *logbook);

/* Opens a run and sets its id, and its uuid where that is empty; false with the reason in
 * WHY.  Waits 250 ms at most. */
bool logbook_open_run(struct logbook *logbook, struct logbook_run *run, struct text *why);

/* Stores events in one transaction, waiting 250 ms at most for a locked or failing
 * disk; after that they wait in a buffer, in order, before all later ones.  COUNT is at
 * most LOGBOOK_BUFFER.  A run that was read with logbook_read_events goes on after the
 * last event that was read: where another program went on with it, nothing is stored. */
enum logbook_stored logbook_add(struct logbook *logbook, int64_t run_id,
                                const struct run_event *events, size_t count);

/* Tries to store what waits (20 ms at most); the number still waiting. */
size_t logbook_flush(struct logbook *logbook);
size_t logbook_waiting(const struct logbook *logbook);

/* Why the last write was late or lost or failed; "" where it was stored.  Borrowed. */
const char *logbook_reason(const struct logbook *logbook);

/* Closes a run with its outcome (any; RUN_OPEN where it never came to an end); false
 * where events still wait, the disk fails or the run was closed with another outcome. */
bool logbook_close_run(struct logbook *logbook, int64_t run_id, enum run_outcome outcome,
                       int64_t total_ms);

/* Writes RUN with its uuid to the logbook at PATH, made where missing (the way out when
 * the disk of the first one fails).  EVENTS is the whole run as the caller has it; with
 * NULL it is what LOGBOOK can still read of it, then what waits.  False with the reason
 * in WHY; PATH must not hold the run already. */
bool logbook_save_elsewhere(struct logbook *logbook, const struct logbook_run *run,
                            const struct run_event *events, size_t count,
                            const char *path, struct text *why);

/* The newest run that was not closed, one that had its go before any that never came
 * past its brief; false where there is none. */
bool logbook_find_open(struct logbook *logbook, struct arena *arena,
                       struct logbook_run *out);

/* Run ID with its texts; false where there is none. */
bool logbook_read_run(struct logbook *logbook, int64_t id, struct arena *arena,
                      struct logbook_run *out);

/* The recorded events of a run in order, in the arena; false where they cannot be read.
 */
bool logbook_read_events(struct logbook *logbook, int64_t id, struct arena *arena,
                         struct run_event **out, size_t *count);

/* Calls EACH for the runs, newest first, at most LIMIT (0: all), without their long texts
 * (files, bill, begin: ""); what RUN points to is borrowed for the call. */
bool logbook_each(struct logbook *logbook, int limit,
                  void (*each)(const struct logbook_run *run, void *payload),
                  void *payload);

#endif
