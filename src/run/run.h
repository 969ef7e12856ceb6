/* The live run: a pure state machine.  Nothing here reads a clock, prints or allocates;
 * every event brings its time.  run_apply takes one event, run_fold makes the view from
 * the events that were not undone, so replaying the stored events gives the same run.
 *
 * The caller holds the struct run, starts it with run_start, gives each event to
 * run_apply, stores what it returns in `out` (the event itself and what followed from
 * it), and only then shows it. */
#ifndef RUN_RUN_H
#define RUN_RUN_H

#include "bill/bill.h"
#include "rig/rig.h"

enum run_mode { RUN_WALK, RUN_DRILL, RUN_AFLOAT };

/* The numbers are stored in logbooks: append, never renumber. */
enum run_kind {
    RUN_CHECKED = 1,   /* check `step` was answered; value 1 yes, 0 no */
    RUN_GO = 2,        /* the go; value: open checks it overruled */
    RUN_MADE = 3,      /* step made; value: the key, 0 the one key, n lane n */
    RUN_BEGUN = 4,     /* step begun, marked by the crew */
    RUN_TOO = 5,       /* answer: what was missing had been made too */
    RUN_EARLY = 6,     /* answer: it was really early, a breach */
    RUN_CAUGHT_UP = 7, /* everything planned before step is made, untimed */
    RUN_SKIPPED = 8,   /* step left out */
    RUN_UNDONE = 9,    /* the newest event that can be undone is undone */
    RUN_HELD = 10,     /* hold */
    RUN_WENT_ON = 11,  /* the hold is over */
    RUN_NOTED = 12,    /* text */
    RUN_ALL_MADE = 13, /* afloat without marks: everything made, untimed */
    RUN_RESUMED = 14, /* after a gap; value 1: the boot was another one, times reckoned */
    RUN_STOPPED = 15, /* stopped by the crew */
    RUN_OVERBOARD = 16,  /* person overboard: time stamped */
    RUN_BROKEN_OFF = 17, /* value: the mishap that befell the rig, -1 none; text: why */
    RUN_LINKED = 18,     /* the first event of a run that goes on from another; text */
    RUN_SEEN = 19,       /* the crew has seen the warnings of what was broken */
    RUN_MARK = 20,       /* text: how far it is to the mark and how fast; "": no mark */
    /* what follows from the others, made by the engine */
    RUN_RECKONED = 32,  /* step begun at the first moment it could */
    RUN_FOUND = 33,     /* a rule broken: step is the finding's index, value its kind */
    RUN_REACHED = 34,   /* all steps done and the goal reached */
    RUN_UNFINISHED = 35 /* all steps done and not at the goal */
};

enum {
    RUN_TEXT_MAX = 120,
    RUN_EVENTS_MAX = 1024,
    RUN_EVENTS_KEPT = 8, /* of these, for a stop, a break-off and a person overboard */
    RUN_FOUND_MAX = 64
};

struct run_event {
    int64_t at_ms; /* since the run was opened */
    uint8_t kind, step;
    int16_t value;
    char text[RUN_TEXT_MAX]; /* words of the event; else empty */
};

enum run_phase { RUN_BRIEFING, RUN_LIVE, RUN_ON_HOLD, RUN_OVER };

enum run_outcome {
    RUN_OPEN,
    RUN_DONE,        /* at the goal */
    RUN_NOT_AT_GOAL, /* all made, not at the goal */
    RUN_WAS_STOPPED,
    RUN_UNTIMED,       /* ended by RUN_ALL_MADE, at the goal */
    RUN_WAS_BROKEN_OFF /* by a mishap or a lost hand; a linked run goes on */
};

enum run_step_flag {
    RUN_STEP_RECKONED = 1, /* its start was reckoned, not marked */
    RUN_STEP_UNTIMED = 2,  /* made by catch-up, answer or all-made: no time */
    RUN_STEP_BREACH = 4,   /* made before it could be */
    RUN_STEP_UNCLEAR = 8,  /* the question was not answered */
    RUN_STEP_SPANS = 16,   /* spans a hold, undo, catch-up, skip or resume */
    RUN_STEP_NO_START = 32 /* made before it was begun: there is no split */
};

struct run_step {
    int64_t begun_ms, made_ms; /* -1: not yet */
    int64_t held_before_ms;    /* total of holds when it began */
    uint8_t flags;
};

struct run_found {
    struct finding finding;
    int64_t at_ms;
    uint8_t step; /* by which mark */
    bool broken;  /* in the rig as it is now; never of a moment, which is past at once */
    bool seen;    /* RUN_SEEN came after it: its warning is put away */
};

/* Where things stand: a fold over the events that were not undone. */
struct run_view {
    enum run_phase phase;
    enum run_outcome outcome;
    struct rig_state rig;
    part_set reckoned_parts; /* last set by a reckoned start: seen by nobody yet */
    struct run_step steps[STEPS_MAX];
    int64_t go_ms, over_ms;         /* -1: not yet */
    int64_t held_ms, held_since_ms; /* total of finished holds; -1: not on hold */
    int64_t last_mark_ms;           /* of the guard; -1: none */
    int16_t last_mark_key;
    int8_t question;            /* step the open question is about; -1: none */
    step_set question_missing;  /* what was not made before it */
    uint8_t checks[CHECKS_MAX]; /* 0 open, 1 yes, 2 no */
    uint8_t overruled, found_count;
    uint16_t notes;
    int64_t overboard_ms; /* -1: nobody */
    struct run_found found[RUN_FOUND_MAX];
};

struct run {
    const struct rig *rig;
    const struct bill *bill;
    enum run_mode mode;
    int32_t guard_ms; /* a repeat of the same key within this is ignored */
    uint16_t event_count;
    struct run_event events[RUN_EVENTS_MAX];
    bool undone[RUN_EVENTS_MAX];
    struct run_view now;
};

enum run_taken {
    RUN_TAKEN,
    RUN_REPEATED, /* within the guard: ignored, nothing to store */
    RUN_REFUSED,  /* means nothing here (phase, step already made, nothing to undo) */
    RUN_FULL      /* no room; it can still be stopped or broken off */
};

enum { RUN_OUT_MAX = STEPS_MAX + RUN_FOUND_MAX + 4 };

/* The event and what followed from it, in the order to store. */
struct run_out {
    struct run_event at[RUN_OUT_MAX];
    uint16_t count;
    uint64_t fresh; /* bit i: found i of the view is new */
    struct finding
        gone[RUN_FOUND_MAX]; /* not broken after all, by an answer or an undo */
    uint8_t gone_count;
};

void run_start(struct run *run, const struct rig *rig, const struct bill *bill,
               enum run_mode mode);

/* Applies EVENT (a crew's event, kind below RUN_RECKONED). */
enum run_taken run_apply(struct run *run, const struct run_event *event,
                         struct run_out *out);

/* Replays stored events in order; false when what follows from them is not what was
 * stored (a damaged logbook or another program version). */
bool run_replay(struct run *run, const struct run_event *events, size_t count);

/* The step whose call stands big: of the running steps that may finish the one with the
 * earliest planned finish, ties by bill order; -1 where there is none.  run_next_due:
 * the same among the steps that are not begun, for when everything waits. */
int run_due(const struct run *run);
int run_next_due(const struct run *run);

/* The first step of LANE that is not made or skipped; -1 at the end of its card. */
int run_lane_step(const struct run *run, int lane);

/* Afloat, no step marked so far and the first call well over its slow time: nobody has a
 * hand free, and the calls follow the plan.  Nothing of it is believed to be made. */
bool run_follows_plan(const struct run *run, int64_t now_ms);

/* The step whose call stands big at NOW_MS and that the one key makes: run_due's, or the
 * planned one where the run follows the plan (-1: the plan is over). */
int run_called(const struct run *run, int64_t now_ms);

/* The step of LANE that is shown at NOW_MS and that its digit makes: run_lane_step's, or
 * the planned one, which is the last of the card when the plan is over. */
int run_lane_called(const struct run *run, int lane, int64_t now_ms);

/* The milliseconds from NOW_MS until the call changes without a mark: when the run begins
 * to follow the plan, and with each call of it; -1 where it does not. */
int64_t run_until_next_call_ms(const struct run *run, int64_t now_ms);

/* The rig as it would be at NOW_MS if all had gone as planned. */
void run_planned_rig(const struct run *run, int64_t now_ms, struct rig_state *out);

/* The plan's clock: since the go without holds, ms; 0 before the go. */
int64_t run_plan_ms(const struct run *run, int64_t now_ms);
/* Since the go, holds included. */
int64_t run_clock_ms(const struct run *run, int64_t now_ms);
/* Time on hold so far, ms. */
int64_t run_held_ms(const struct run *run, int64_t now_ms);

/* How long STEP is over its slow time, ms; 0 where it is not: never when walking, nor
 * where the run follows the plan. */
int64_t run_overdue_ms(const struct run *run, int step, int64_t now_ms);

/* A wait of STEP rests on what nobody has marked: say "when you see", not "clear". */
bool run_only_when_seen(const struct run *run, int step, int64_t now_ms);

/* A rule or need that starting STEP now would break; false where none. */
bool run_would_break(const struct run *run, int step, struct finding *out);

/* Steps planned to be over before STEP is planned to start (what catch-up makes). */
step_set run_before(const struct run *run, int step);

/* The found that tells of the same danger as found I, which the same mark broke: I
 * itself, or another rule with the same reason, or the rule about what a step needs. */
int run_same_danger(const struct run *run, int i);

/* What was broken, each danger once. */
int run_count_dangers(const struct run *run);

/* The found whose warning stands, the worst signal word first, then the newest; -1 where
 * none does.  COUNT (may be NULL): how many do. */
int run_warning(const struct run *run, int *count);

/* Breaches and unclear marks so far. */
int run_count_flag(const struct run *run, enum run_step_flag flag);

/* Open checks (not answered yes). */
int run_open_checks(const struct run *run);

const char *run_mode_name(enum run_mode mode); /* "walk", "drill", "afloat" */
const char *run_outcome_name(enum run_outcome outcome);
const char *run_kind_name(enum run_kind kind); /* for exports */

#endif
