/* One run with its logbook: the only way an event gets into a run.  session_do applies
 * it, stores it, and only then may it be shown; screens, plain mode and key scripts all
 * come through here.  The session owns rig, bill and run; it borrows procedure, crew,
 * logbook and clock. */
#ifndef SCREENS_SESSION_H
#define SCREENS_SESSION_H

#include "base/clock.h"
#include "forces/weather.h"
#include "logbook/logbook.h"
#include "run/run.h"

struct session {
    const struct clock *clock;
    const struct procedure *procedure;
    const struct crew *crew;
    struct logbook *logbook; /* NULL: nothing is recorded */
    struct text trouble;     /* why the logbook did not take the run; empty: it did */
    struct text bill_text;
    struct logbook_run record;
    struct weather weather; /* of the record */
    struct rig rig;
    struct bill bill;
    struct run run;
    struct run_out out;         /* what the last event was and what followed */
    enum logbook_stored stored; /* of the last event */
    int64_t retry_ms; /* when a logbook that did not take the run is asked again */
    bool closed;
    struct text proof;                /* what vet said, as stored */
    uint8_t must_not_miss[STEPS_MAX]; /* steps whose omission hurts, the worst first */
    int must_not_miss_count;
};

/* What a new run is made from; the texts are stored with it. */
struct session_start {
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill *bill;
    enum run_mode mode;
    const char *options, *boat_text, *wind, *version, *boot_id;
};

/* Begins a run that will be recorded in LOGBOOK (NULL: not recorded) from its first
 * event on; what is only looked at leaves no trace there. */
void session_open(struct session *session, const struct session_start *start,
                  struct logbook *logbook, const struct clock *clock);

/* Takes up RECORD again from its stored events: PROCEDURE and CREW are loaded from its
 * texts, BOOT_ID is that of now.  The gap is stored as an event. */
bool session_resume(struct session *session, const struct logbook_run *record,
                    const struct procedure *procedure, const struct crew *crew,
                    struct logbook *logbook, const struct clock *clock,
                    const char *boot_id, struct text *why);

/* What vet says of BILL: every order of its merged cards, from the states it can begin
 * in (the procedure's, or its own where it begins from one).  One sentence, in OUT. */
bool session_prove(const struct procedure *procedure, const struct bill *bill,
                   struct text *out);

/* The run's bill is proved. */
bool session_proved(const struct session *session);

/* What speaks against the go: it is not proved, the wind is above the limit of the
 * procedure or of its sail, or loads a line with more than hands hold.  False, and
 * nothing added to OUT, where nothing does. */
bool session_against(const struct session *session, struct text *out);

/* Vet says that leaving STEP out breaks a rule. */
bool session_hurts_without(const struct session *session, int step);

/* Milliseconds since the run was opened. */
int64_t session_now_ms(const struct session *session);

/* Applies one event of the crew at this moment and stores it with what followed. */
enum run_taken session_do(struct session *session, enum run_kind kind, int step,
                          int value, const char *text);

/* Stores the last event of the crew with what followed; opens the run in the logbook
 * where it is the first. */
void session_store(struct session *session);

/* Tries again to store what waits, and a run that the logbook did not take. */
void session_retry(struct session *session);

/* The crew's events with what followed from each, as the logbook would hold them. */
const struct run_event *session_events(const struct session *session, struct arena *arena,
                                       size_t *count);

/* Events still waiting to be recorded. */
size_t session_waiting(const struct session *session);

/* Nothing is or will be recorded of what was done: the screen must say so. */
bool session_unrecorded(const struct session *session);

/* What is run and whether it is recorded (WORDS where it is), for the top line. */
void session_tell(const struct session *session, const char *words, struct text *out);

/* Closes the run in the logbook when it is over, and gives back what the session owns;
 * a run that is not over stays open there, to be resumed. */
void session_close(struct session *session);

#endif
