/* The one meaning of a step.  Vet, bill, run and screens all ask these functions what may
 * start, what it does and which rule is broken; nothing else decides that.
 * A struct rig ties a procedure to the hands who do it; it borrows plan and procedure.
 * A struct rig_state is a small value, copied freely.  Nothing here allocates.
 *
 * A lane is one hand of the bill.  A card is an ordered list of steps of one lane; while
 * no bill has merged them a lane may have several cards (one a role), and still does one
 * step at a time. */
#ifndef RIG_RIG_H
#define RIG_RIG_H

#include "model/procedure.h"

#include <stdbool.h>

enum { LANES_MAX = ROLES_MAX, CARDS_MAX = ROLES_MAX };

typedef uint32_t lane_set;

struct rig_card {
    uint8_t lane, count;
    bool free_order;
    uint8_t steps[STEPS_MAX];
};

struct rig_state {
    step_set begun, done, skipped; /* done is part of begun, skipped is in neither */
    uint8_t part[PARTS_MAX];       /* value of each part */
    int8_t tender[PARTS_MAX];      /* lane that tends the line; -1: nobody */
    int8_t taker[PARTS_MAX];       /* lane that takes it over just now; -1: nobody */
    uint8_t tending[PARTS_MAX];    /* tender's step; STEPS_MAX + i: begin's i-th; 0 where
                                      nobody tends, so that equal states are equal */
};

struct rig {
    const struct rig_plan *plan;
    const struct procedure *procedure;
    bool pilot; /* the autopilot steers: the helm needs no hand */
    uint8_t lane_count, card_count;
    int8_t lane_of_role[ROLES_MAX]; /* -1: worn by nobody */
    int8_t helm_lane;               /* -1: nobody, or the pilot steers */
    lane_set lanes_of_step[STEPS_MAX];
    struct rig_card cards[CARDS_MAX];
    struct rig_state start; /* where it all begins; see rig_start_from */
};

enum finding_kind {
    FINDING_RULE,  /* index: rule of the procedure */
    FINDING_NEED,  /* index: step that starts without its need */
    FINDING_HANDS, /* index: lane with more than two hands in use */
    FINDING_PLACE, /* index: lane that works away from a line it tends; other: the line */
    FINDING_GEAR,  /* index: gear used by two steps at once */
    FINDING_HELM,  /* index: lane that left the helm for a step; other: the step */
    FINDING_TAKEN  /* index: step that takes a line out of another's hand; other: the line
                    */
};

struct finding {
    enum finding_kind kind;
    uint8_t index, other;
};

/* The same thing found. */
bool finding_same(const struct finding *a, const struct finding *b);

enum { FINDINGS_MAX = 24 };

struct findings {
    struct finding at[FINDINGS_MAX];
    uint8_t count;
};

/* ONE is among FINDINGS. */
bool findings_have(const struct findings *findings, const struct finding *one);

/* Why a step cannot start now. */
struct rig_block {
    step_set after;         /* not finished */
    step_set after_started; /* not begun */
    step_set card;          /* earlier on the hand's card, not finished */
    step_set busy;          /* running on the same hand */
    step_set needs;         /* steps not done yet that would make an unmet wait hold */
    uint64_t waits;         /* bit i: condition i of the step's wait does not hold */
};

/* Makes a rig with one card a role, in the file's order; LANE_OF_ROLE has a lane for each
 * role of the procedure (and for the helm unless PILOT).  Joint steps of one lane are not
 * allowed: false. */
bool rig_make(struct rig *out, const struct procedure *procedure,
              const int8_t lane_of_role[ROLES_MAX], int lane_count, bool pilot);

/* ROLE needs a hand: it has work here, or steers and no pilot does. */
bool rig_role_needed(const struct procedure *procedure, int role, bool pilot);

/* Replaces the cards of LANE by one merged card of COUNT steps in that order. */
void rig_set_card(struct rig *rig, int lane, const uint8_t *steps, int count);

/* Begins from another state than the procedure's own: parts, and steps already done or
 * begun.  Each line that is tended in STATE is tended by whoever now wears the role of
 * that tending; so is one that is being taken over, if its taking step is still begun. */
void rig_start_from(struct rig *rig, const struct rig_state *state);

/* The state at the begin: the first value of each part, or that of rig_start_from. */
void rig_start(const struct rig *rig, struct rig_state *out);

/* The steps that may start now. */
step_set rig_ready(const struct rig *rig, const struct rig_state *state);

/* The running steps that may finish now: a giver not before the taker of its line.  The
 * first hands-over of a line in the file goes with its first takes-over, and so on. */
step_set rig_may_end(const struct rig *rig, const struct rig_state *state);

/* The steps of other lanes that take over what step GIVER hands over. */
step_set rig_takers(const struct rig *rig, int giver);

/* The step by which LINE is being taken over; -1 where it is not. */
int rig_taking_step(const struct rig *rig, const struct rig_state *state, int line);

/* The steps begun and not finished. */
step_set rig_running(const struct rig_state *state);

/* Start, finish and omission of a step.  They change the state whether or not the step
 * is ready: a mark is a fact.  Ending a step that was not begun begins it first. */
void rig_begin(const struct rig *rig, struct rig_state *state, int step);
void rig_end(const struct rig *rig, struct rig_state *state, int step);
void rig_skip(struct rig_state *state, int step);

bool rig_holds(const struct rig_state *state, const struct conditions *conditions);
void rig_apply(struct rig_state *state, const struct effects *effects);

/* Why STEP may not start; all empty when it is ready. */
struct rig_block rig_blocked(const struct rig *rig, const struct rig_state *state,
                             int step);

/* What is wrong in STATE, added to OUT: rules, hands, places, shared gear, the helm. */
void rig_find(const struct rig *rig, const struct rig_state *state, struct findings *out);

/* What is wrong with starting (finishing) STEP in BEFORE, the state just before it. */
void rig_find_start(const struct rig *rig, const struct rig_state *before, int step,
                    struct findings *out);
void rig_find_finish(const struct rig *rig, const struct rig_state *before, int step,
                     struct findings *out);

/* The first rule broken in STATE; NULL where none is. */
const struct rule *rig_broken_rule(const struct rig *rig, const struct rig_state *state);

/* How LINE is tended by BY, a step or STEPS_MAX + a number of begin's; NULL: it is not.
 */
const struct tending *rig_tending(const struct rig *rig, int by, int line);

/* The lines STEP itself works on: they are in the hands it uses (without the one that
 * stays on the helm), each beyond these in one more. */
part_set rig_worked_lines(const struct step *step);

/* The hands STEP takes of LANE, with the one on the helm where LANE steers; what that
 * takes where STEP is negative. */
int rig_step_hands(const struct rig *rig, int lane, int step);

/* The hands of LANE in use (a person has two). */
int rig_hands_in_use(const struct rig *rig, const struct rig_state *state, int lane);

/* The lines LANE holds that take a hand now. */
part_set rig_holds_lines(const struct rig *rig, const struct rig_state *state, int lane);

/* Every step is finished or skipped. */
bool rig_ended(const struct rig *rig, const struct rig_state *state);

/* The parts of the goal that do not have a value of the goal. */
part_set rig_short_of_goal(const struct rig *rig, const struct rig_state *state);

#endif
