/* How far a long search is, on a terminal, and Ctrl-C, which ends the search and not the
 * program: what is known by then is still printed.  A second Ctrl-C ends the program. */
#ifndef COMMAND_PROGRESS_H
#define COMMAND_PROGRESS_H

#include "base/clock.h"

#include <signal.h>
#include <stdbool.h>

struct progress {
    const struct clock *clock;
    const char *name, *doing; /* what is worked at: "dip-pole-jibe", "slips, " */
    const char *counts;       /* what is counted: "states" */
    const uint64_t *counted;  /* so far; may start again */
    uint64_t most;            /* of them */
    int64_t since_ms, looked_ms, shown_ms;
    bool on_terminal, listens, stopped;
    int shown; /* characters of the line that is shown */
    sigset_t before;
};

void progress_start(struct progress *progress, const struct clock *clock);

/* Another thing is worked at from now on. */
void progress_at(struct progress *progress, const char *name, const char *doing,
                 const char *counts, const uint64_t *counted);

/* Shows how far it is where that takes long; true when Ctrl-C was pressed.  As the stop
 * of struct vet_limits. */
bool progress_stop(void *progress);

/* Takes the line away, so that something else can be printed. */
void progress_clear(struct progress *progress);

void progress_end(struct progress *progress);

#endif
