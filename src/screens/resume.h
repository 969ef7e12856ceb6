/* A stored run taken up from the logbook: its procedure, rig, boat and crew are loaded
 * from the texts stored with it, never from today's files. */
#ifndef SCREENS_RESUME_H
#define SCREENS_RESUME_H

#include "load/load.h"
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

/* Reads run ID; false with the reason in WHY or in DIAGS. */
bool resume_read(struct logbook *logbook, int64_t id, struct arena *arena,
                 struct diags *diags, struct resumed *out, struct text *why);

/* Procedure and crew of RECORD's own texts; false with diagnostics. */
bool resume_load(const struct logbook_run *record, struct arena *arena,
                 struct diags *diags, const struct procedure **procedure,
                 const struct crew **crew);

#endif
