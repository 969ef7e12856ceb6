/* A stored run taken up from the logbook: its procedure, rig and crew are loaded from the
 * texts stored with it, never from today's files. */
#ifndef COMMAND_RESUME_H
#define COMMAND_RESUME_H

#include "command/context.h"
#include "logbook/logbook.h"

struct resumed {
    struct logbook_run record;
    const struct procedure *procedure;
    const struct crew *crew;
    struct run_event *events;
    size_t event_count;
    /* the run replayed from the events */
    struct bill bill;
    struct rig rig;
    struct run run;
};

/* Reads run ID; false with the reason in WHY or the context's diagnostics. */
bool resume_read(struct context *context, struct logbook *logbook, int64_t id,
                 struct resumed *out, struct text *why);

/* Procedure and crew of RECORD's own texts; false with diagnostics. */
bool resume_load(struct context *context, const struct logbook_run *record,
                 const struct procedure **procedure, const struct crew **crew);

#endif
