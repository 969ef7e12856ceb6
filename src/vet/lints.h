/* Lints: what is not wrong but hardly meant.  Results are data; cards/sheet_lints.h has
 * the words.  What loading says already (a wait that nothing ends, or for what a role can
 * neither see nor hear; a part or value that the rig does not have) is not said again. */
#ifndef VET_LINTS_H
#define VET_LINTS_H

#include "vet/vet.h"

enum lint_kind {
    LINT_WAIT_PASSES,    /* `step`: what it waits for can be ended by `other` before */
    LINT_STEP_NEVER,     /* `step` starts in no order, the first of those that do not */
    LINT_GOAL_UNWRITTEN, /* `part` of the goal: no step makes it so */
    LINT_GOAL_NEVER,     /* every step can start, and no order ends at the goal */
    LINT_PART_IDLE,      /* `part` of begin: nothing reads or changes it */
    LINT_RULE_IDLE,      /* own rule `index`: no values of these steps can break it */
    LINT_MOVING_UNRULED, /* `step` makes `part` for a while what no rule speaks of */
    LINT_BEGIN_NEVER,    /* `part` of a recovery's begin: nothing ever makes it so */
    LINT_BEGINS_NEVER,   /* a recovery's begin: nothing makes all of it so at once */
    LINT_RIG_PART_IDLE,  /* `part`: no procedure of the rig names it */
    LINT_RIG_RULE_IDLE   /* rig's rule `index`: no procedure of the rig can break it */
};

struct lint {
    enum lint_kind kind;
    uint8_t step, other, part, value, index;
    struct span where;
};

enum { LINTS_MAX = 128 };

struct lints {
    struct lint at[LINTS_MAX]; /* the first of them */
    int count;
};

/* What the procedure alone tells, without a search. */
void lints_of_procedure(const struct procedure *procedure, struct lints *out);

/* What only orders tell; all of it makes a procedure unsafe, so there is nothing to be
 * found in a safe one.  Where the search reaches a limit, what never is is not told. */
void lints_of_orders(const struct rig *rig, const struct vet_limits *limits,
                     struct lints *out);

/* Whether a recovery is ever wanted: OTHERS are the procedures of the same rig, loaded
 * for both boards since a mishap may bring the boom over; PROCEDURE may be among them. */
void lints_of_recovery(const struct procedure *procedure,
                       const struct procedure *const *others, int count,
                       struct lints *out);

/* What of a rig no procedure has a use for: PROCEDURES are all there are of it. */
void lints_of_rig(const struct rig_plan *plan, const struct procedure *const *procedures,
                  int count, struct lints *out);

/* Adds a lint; what no longer fits is left out. */
void lints_add(struct lints *out, const struct lint *lint);

#endif
