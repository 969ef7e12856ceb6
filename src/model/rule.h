/* A safety rule in its normal form.  Every form the user can write but `before` and
 * `finally` becomes: never all atoms of one clause at the same moment.  A rule with
 * several clauses is broken when any of them holds.
 *
 *   never {A, B}              one clause: A and B
 *   always {A, B}             two clauses: not A; not B
 *   while W keep {A, B}       two clauses: W and not A; W and not B
 *   when start: s need {A}    one clause: STARTING(s) and not A
 *   when finish: s need {A}   one clause: FINISHING(s) and not A
 *   before [a, b]             one clause: BEGUN(b) and UNMADE(a); b's start is the moment
 *   never-together [a, b]     one clause: RUNNING(a) and RUNNING(b)
 *   tended LINE while W       one clause: W and UNTENDED(line)
 *   finally {A, B}            two clauses: ENDED and not A; ENDED and not B */
#ifndef MODEL_RULE_H
#define MODEL_RULE_H

#include "model/condition.h"

#include <stdbool.h>

enum atom_kind {
    ATOM_PART,      /* part `index` has one of `values` */
    ATOM_RUNNING,   /* step `index` begun and not finished */
    ATOM_BEGUN,     /* step `index` begun (or finished) */
    ATOM_UNMADE,    /* step `index` not finished (a skipped step is unmade) */
    ATOM_STARTING,  /* the event now is the start of step `index` */
    ATOM_FINISHING, /* the event now is the finish of step `index` */
    ATOM_UNTENDED,  /* nobody tends line (part) `index` */
    ATOM_ENDED      /* every step is finished or skipped */
};

struct atom {
    enum atom_kind kind;
    uint8_t index;
    value_set values; /* of ATOM_PART */
};

struct clause {
    const struct atom *atoms;
    uint8_t count;
};

enum rule_form {
    RULE_NEVER,
    RULE_ALWAYS,
    RULE_WHILE,
    RULE_WHEN,
    RULE_BEFORE,
    RULE_TOGETHER,
    RULE_TENDED,
    RULE_FINALLY
};

struct rule {
    const char *name;
    enum rule_form form;
    const struct clause *clauses;
    uint8_t clause_count;
    enum hurts hurts;
    enum signal signal;
    const char *because;
    struct span where;
};

struct rules {
    const struct rule *at;
    uint8_t count;
};

#endif
