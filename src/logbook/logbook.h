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
    LOGBOOK_LOST  /* the buffer is full as well */
};

/* One run.  Texts are borrowed when written and in the arena when read. */
struct logbook_run {
    int64_t id;             /* row; set by logbook_open_run */
    char uuid[37];
    int64_t wall_ms;        /* Unix time at the opening */
    int64_t boot_ms;        /* boot clock at the opening */
    const char *boot_id;
    const char *procedure;  /* name */
    const char *title;
    enum board board;
    enum run_mode mode;
    bool pilot;
    const char *options;    /* "name=yes name=no ..." */
    const char *procedure_text, *rig_text, *boat_text, *crew_text, *bill_text;
    const char *wind;       /* as typed; "" where not said */
    const char *proof;      /* what vet said; "not proved" */
    const char *version;
    /* filled when the run is closed or listed */
    bool closed;
    enum run_outcome outcome;
    int64_t total_ms;       /* since the go, holds without; -1 before the go */
    int hands;
    int64_t event_count;
};

/* Opens the logbook at PATH, made with its folder (0700, file 0600) where missing.
 * NULL with the reason in WHY: cannot be opened, damaged, or of a newer version; such a
 * file is never overwritten. */
struct logbook *logbook_open(const char *path, struct text *why);
void logbook_close(struct logbook *logbook);

/* Opens a run; false with the reason in WHY. */
bool logbook_open_run(struct logbook *logbook, struct logbook_run *run, struct text *why);

/* Stores events in one transaction, waiting 250 ms at most for a locked or failing
 * disk; after that they wait in a buffer, in order, before all later ones. */
enum logbook_stored logbook_add(struct logbook *logbook, int64_t run_id,
                                const struct run_event *events, size_t count);

/* Tries to store what waits; the number still waiting. */
size_t logbook_flush(struct logbook *logbook);
size_t logbook_waiting(const struct logbook *logbook);

/* Closes a run with its outcome. */
bool logbook_close_run(struct logbook *logbook, int64_t run_id, enum run_outcome outcome,
                       int64_t total_ms);

/* Writes run RUN_ID with everything that waits to a new logbook at PATH (the way out
 * when the disk of the first one fails). */
bool logbook_save_elsewhere(struct logbook *logbook, const struct logbook_run *run,
                            const struct run_event *events, size_t count,
                            const char *path, struct text *why);

/* The newest run that was not closed; false where there is none. */
bool logbook_find_open(struct logbook *logbook, struct arena *arena,
                       struct logbook_run *out);

/* Run ID with its texts; false where there is none. */
bool logbook_read_run(struct logbook *logbook, int64_t id, struct arena *arena,
                      struct logbook_run *out);

/* The events of a run in order, in the arena. */
bool logbook_read_events(struct logbook *logbook, int64_t id, struct arena *arena,
                         struct run_event **out, size_t *count);

/* Calls EACH for the runs, newest first, at most LIMIT (0: all), without their texts. */
bool logbook_each(struct logbook *logbook, int limit,
                  void (*each)(const struct logbook_run *run, void *payload),
                  void *payload);

#endif
