#include "logbook/internal.h"

#include <sqlite3.h>
#include <stdio.h>

/* A whole run on its way into another logbook. */
struct copy {
    struct logbook_run run;
    const struct run_event *events;
    size_t count;
};

static enum logbook_wrote write_closing(struct logbook *logbook,
                                        const struct logbook_run *run)
{
    sqlite3_stmt *close = logbook->statements[STATEMENT_CLOSE_RUN];
    sqlite3_bind_int64(close, 1, run->id);
    sqlite3_bind_int64(close, 2, run->outcome);
    sqlite3_bind_int64(close, 3, run->total_ms);
    return logbook_explain(logbook, logbook_step(logbook, STATEMENT_CLOSE_RUN));
}

static enum logbook_wrote write_copy(struct logbook *logbook, void *payload)
{
    struct copy *copy = payload;
    enum logbook_wrote wrote = logbook_add_run(logbook, &copy->run);
    for (size_t i = 0; i < copy->count && wrote == WROTE; i++)
        wrote =
            logbook_add_event(logbook, &(struct logbook_waiting){copy->run.id, (int64_t)i,
                                                                 copy->events[i]});
    return wrote == WROTE && copy->run.closed ? write_closing(logbook, &copy->run)
                                              : wrote;
}

/* What can be read of the run and then what waits, each at its own place. */
static bool gather(struct logbook *logbook, struct copy *copy, struct arena *arena)
{
    struct run_event *stored;
    size_t count;
    if (!logbook_read_events(logbook, copy->run.id, arena, &stored, &count))
        return false;
    struct run_event *all =
        arena_alloc(arena, (count + logbook->waiting + 1) * sizeof *all);
    for (size_t i = 0; i < count; i++)
        all[i] = stored[i];
    for (size_t i = 0; i < logbook->waiting; i++)
        if (logbook->buffer[i].run_id == copy->run.id)
            all[count++] = logbook->buffer[i].event;
    copy->events = all;
    copy->count = count;
    return true;
}

static bool write_to(const char *path, struct copy *copy, struct text *why)
{
    struct logbook *other = logbook_open(path, why);
    if (!other)
        return false;
    logbook_begin_wait(other, OPEN_WAIT_MS);
    bool written = logbook_transaction(other, write_copy, copy) == WROTE;
    if (!written)
        text_printf(why, "the run cannot be saved to %s: %s", path, other->reason);
    logbook_close(other);
    return written;
}

bool logbook_save_elsewhere(struct logbook *logbook, const struct logbook_run *run,
                            const struct run_event *events, size_t count,
                            const char *path, struct text *why)
{
    struct copy copy = {*run, events, count};
    struct arena *arena = arena_new();
    bool saved = false;
    if (events || gather(logbook, &copy, arena))
        saved = write_to(path, &copy, why);
    else
        text_add(why, "the recorded part of the run cannot be read");
    arena_free(arena);
    return saved;
}
