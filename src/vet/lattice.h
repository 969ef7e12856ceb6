/* A rig compiled for the engines that do not walk from state to state.  Each step starts
 * and finishes once, so a state is the set of events that have happened; what must come
 * before what are arrows between events, and a part whose writers are ordered by arrows
 * has a value that follows from how many of them have happened.
 *
 * What is not of that kind is refused, and left to vet_search: a line taken over twice by
 * one hand, two running steps of one hand at the begin, more values or bounds than fit.
 */
#ifndef VET_LATTICE_H
#define VET_LATTICE_H

#include "vet/event_set.h"
#include "vet/vet.h"

/* Variable `variable` has one of `values`. */
struct bound {
    uint8_t variable;
    value_set values;
};

enum { BOUNDS_MAX = 24 };

struct bounds {
    uint8_t count;
    struct bound at[BOUNDS_MAX];
};

/* EVENT makes value v of its variable to[v]. */
struct writer {
    uint8_t event;
    const uint8_t *to;
};

/* Who holds a line: what rig_state says of it. */
struct held {
    int8_t tender, taker;
    uint8_t tending;
};

/* A part, or who holds a line. */
struct variable {
    uint8_t part;
    bool is_line;
    uint8_t values;          /* of its kind: value_count, or ways to hold the line */
    const struct held *held; /* of a line: what its values stand for */
    value_set first;         /* the values it may have at the begin */
    uint8_t count;           /* of writers */
    bool ordered;            /* the writers stand in the order of the arrows */
    struct writer *writers;
};

/* Is found where `in` have happened, `out` have not, none of `idle` runs and all bounds
 * hold; with a moment, just before that event, which can happen. */
struct lattice_clause {
    struct finding finding;
    int16_t moment; /* event; -1: none */
    struct event_set in, out;
    step_set idle;
    struct bounds bounds;
};

enum { VARIABLES_MAX = 2 * PARTS_MAX };

struct lattice {
    const struct rig *rig;
    bool is_of_roles; /* for a bill: roles that give and take a line may be one hand */
    struct event_set happened;           /* before the begin */
    struct event_set todo;               /* the others, but for those of skipped steps */
    struct event_set all;                /* those of todo that the arrows let happen */
    struct event_set arrows[EVENTS_MAX]; /* straight before, of todo */
    struct event_set before[EVENTS_MAX]; /* all that come before, of those in `all` */
    uint8_t order[EVENTS_MAX];           /* `all`, each behind those before it */
    int order_count;
    step_set busy[STEPS_MAX]; /* steps of the same hands that no arrow sets apart */
    struct bounds waits[STEPS_MAX];
    struct bounds goal;
    bool never_at_goal; /* a part that nobody writes is not at the goal */
    int variable_count;
    struct variable *variables;
    uint8_t variable_of[VARIABLES_MAX]; /* of part p, of line PARTS_MAX + p: number + 1 */
    int clause_count;
    struct lattice_clause *clauses;
    uint64_t begins;
};

/* Compiles RIG for the begins of its procedure (its own start where ONE_BEGIN); NULL
 * where it is not of this kind. */
struct lattice *lattice_make(const struct rig *rig, bool one_begin, struct arena *arena);

/* The same of RIG, one hand a role, begun as it stands, but for what is not so when hands
 * wear several roles: that the giver of a line waits for its taker. */
struct lattice *lattice_of_roles(const struct rig *rig, struct arena *arena);

/* CHAINS rows of EVENTS events each and nothing else: (EVENTS + 1) ^ CHAINS states.  At
 * most EVENTS_MAX events in all.  For measuring. */
struct lattice *lattice_grid(int chains, int events, struct arena *arena);

/* Finds `all`, `before` and `order` from `todo` and `arrows`: what waits in a circle, or
 * for what waits in one, is not in `all`. */
void lattice_close(struct lattice *lattice);

/* Finds the parts and lines that change, and what changes them; false where they do not
 * fit. */
bool lattice_find_variables(struct lattice *lattice, bool one_begin, struct arena *arena);

/* Sorts the writers of VARIABLE in an order that fits the arrows, without those that
 * cannot happen, and sets `ordered`. */
void lattice_sort_writers(const struct lattice *lattice, struct variable *variable);

/* The values behind WRITER where one of VALUES was before it. */
value_set writer_image(const struct writer *writer, value_set values);

/* Adds the clauses of everything that can be found; false where they do not fit. */
bool lattice_add_clauses(struct lattice *lattice, struct arena *arena);

/* Adds to BOUNDS that PART has one of VALUES, where that is not always so. */
enum bounding { BOUND_NEVER, BOUND_FULL, BOUND_FINE };
enum bounding bound_part(const struct lattice *lattice, struct bounds *bounds, int part,
                         value_set values);
/* The same for a variable. */
enum bounding bound_variable(struct bounds *bounds, int variable, value_set values);

/* The variable that says who holds LINE; NULL where nobody ever changes that. */
const struct variable *lattice_line(const struct lattice *lattice, int line);

/* Puts VALUE of each variable into STATE. */
void lattice_put(const struct lattice *lattice, const uint8_t *values,
                 struct rig_state *state);

#endif
