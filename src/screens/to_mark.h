/* How far it is to the mark: typed once, counted down at the brief and in the run, and
 * taken up with it. */
#ifndef SCREENS_TO_MARK_H
#define SCREENS_TO_MARK_H

#include "bill/call_times.h"
#include "run/run.h"

struct app;

struct to_mark {
    bool is_set;
    char said[RUN_TEXT_MAX]; /* as typed, lengths as metres; for the event of the run */
    int64_t reached_ms;      /* by the clock of the world */
    bool has_times;          /* of the session's bill */
    struct call_times times;
    struct call_now now;   /* as it was when it was typed */
    struct call_plan plan; /* of the same moment */
};

/* Takes what was typed, "400m 6kn", "12 lengths 6kn" or "130 s"; nothing takes the mark
 * away.  False where it is neither. */
bool to_mark_take(struct app *app, const char *typed);

/* For another bill: until the go its moments are reckoned.  False where they cannot be.
 */
bool to_mark_refresh(struct app *app);

/* Stores the mark, where there is one and it is not passed, in a run that has it not: as
 * the time that is left. */
void to_mark_store(struct app *app);

/* Takes the mark that the run's events tell, or none. */
void to_mark_restore(struct app *app);

/* Before the go: "Mark in 2:05.  Stand by in 0:38, go in 0:41, last safe go in 0:12." */
void to_mark_brief(const struct app *app, struct text *out);

/* In the run: "  mark in 0:45, 14 s to spare". */
void to_mark_run(const struct app *app, struct text *out);

/* The moment to say stand by has come, or the last safe one has passed. */
bool to_mark_is_due(const struct app *app);

#endif
