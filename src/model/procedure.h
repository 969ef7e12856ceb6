/* A procedure as loaded for one board and one choice of options: what was written, every
 * name resolved.  Read-only; lives in the arena of its files; borrows its rig plan. */
#ifndef MODEL_PROCEDURE_H
#define MODEL_PROCEDURE_H

#include "model/boat.h"
#include "model/rig_plan.h"

enum family { FAMILY_HOIST, FAMILY_JIBE, FAMILY_TAKEDOWN, FAMILY_RECOVERY, FAMILY_CARE };

/* Estimates for good, usual and slow crews, milliseconds. */
struct takes {
    int32_t best_ms, usual_ms, slow_ms;
};

/* A line held or played; it takes one of the hand's two, none where none_when holds
 * (an empty none_when never does). */
struct tending {
    uint8_t line; /* a part with a place it is tended at */
    struct conditions none_when;
};

struct tendings {
    const struct tending *at;
    uint8_t count;
};

struct call {
    int8_t by;       /* role; -1: no call */
    const char *say; /* "" : no call */
};

struct warning {
    enum signal signal; /* SIGNAL_NONE: no warning */
    const char *say, *avoid;
};

struct step {
    const char *name;  /* trip */
    const char *doing; /* the sentence that says what is done */
    struct call call;
    const char *reply; /* "" : none */
    struct takes takes;
    role_set roles;         /* more than one: a joint step of different hands */
    uint8_t at;             /* station */
    uint8_t hands;          /* 1 or 2, of each hand's two */
    bool pilot;             /* a helm step any hand can do at the pilot */
    bool memory;            /* done by heart, before anybody reads on */
    step_set after;         /* must be finished before */
    step_set after_started; /* must be begun before */
    struct conditions wait; /* blocks */
    struct conditions need; /* must hold at the start; does not block */
    struct effects start, finish;
    struct tendings tends, takes_over;
    part_set releases, hands_over; /* lines */
    uint32_t uses;                 /* gear */
    struct warning warn;
    struct span where, after_where;
};

/* A question asked of a role before the go. */
struct check {
    uint8_t ask; /* role */
    const char *question, *answer;
    part_set covers; /* parts whose begin value it makes sure of */
    struct span where;
};

/* What begin says of a part: the values it may have. */
struct begin {
    value_set values;
    uint8_t first; /* the value written first: where a run starts */
    struct span where;
};

struct option {
    const char *name, *words;
    bool on;
};

/* A line in somebody's hand at the begin. */
struct begin_tended {
    uint8_t role;
    struct tending tending;
};

struct load_report; /* of forces/loaded.h */

struct procedure {
    const char *name, *title, *about, *provenance, *revised;
    enum family family;
    enum board board;
    const struct source *source;
    const struct rig_plan *plan;
    int hands_least, hands_usual;
    bool pilot_needed;          /* it is written for an autopilot that steers */
    enum pole_ends pole;        /* it is for; POLE_NONE: not said */
    double caution_kn, stop_kn; /* true wind; 0: not said */
    const struct option *options;
    const struct step *steps;
    const struct check *checks;
    const struct begin_tended *tended;
    struct begin begin[PARTS_MAX]; /* values 0: part not named */
    part_set begin_parts;
    struct conditions goal;
    struct rules rules;        /* the rig's that apply here, then its own */
    double holds_n[ROLES_MAX]; /* what is left to hold, in a wind, in a hand of the role,
                                  with all the turns there are; 0: nothing known */
    const struct load_report *loads; /* in that wind; NULL: not known */
    role_set roles; /* roles that have a step or a line in hand at the begin */
    uint8_t option_count, step_count, check_count, tended_count;
};

/* The step of that name; -1 where there is none. */
int procedure_step(const struct procedure *procedure, const char *name);

/* The set of all steps. */
step_set procedure_all_steps(const struct procedure *procedure);

const char *family_name(enum family family);
const char *signal_name(enum signal signal); /* "DANGER" ... */
const char *hurts_name(enum hurts hurts);
const char *board_name(enum board board); /* "port", "starboard" */

#endif
