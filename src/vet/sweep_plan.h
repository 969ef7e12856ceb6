/* What a sweep asks in each group of cells: for each event where it may happen, for each
 * clause where it holds.  Parts whose values do not follow from the counters are racy: a
 * group has one block for each combination of their values, its planes. */
#ifndef VET_SWEEP_PLAN_H
#define VET_SWEEP_PLAN_H

#include "vet/sweep_box.h"

enum { PLANES_MAX = 4096 };

/* The counter of outer chain CHAIN is at least LEAST and at most MOST. */
struct span_of_chain {
    uint8_t chain, least, most;
};

/* Where something holds. */
struct where {
    struct block inner; /* as far as the inner counters say */
    int span_count;
    struct span_of_chain *spans; /* as far as the outer ones do */
    struct bounds follows;       /* bounds of variables that follow from the counters */
    const bool *planes;          /* by plane; NULL: in all */
    step_set idle;               /* steps that do not run */
};

struct sweep_event {
    struct where where;
    const uint16_t *to_plane; /* NULL: it changes none */
};

struct sweep_clause {
    struct where where;
    int moment;  /* event; -1: none */
    int finding; /* number in the plan */
};

struct plan {
    struct box box;
    int racy_count;
    uint8_t racy[VARIABLES_MAX];                 /* variables */
    int values[VARIABLES_MAX];                   /* how many each racy one can have */
    uint8_t value_of[VARIABLES_MAX][VALUES_MAX]; /* the n-th of them */
    int planes;
    struct sweep_event events[EVENTS_MAX];
    int clause_count;
    struct sweep_clause *clauses;
    int finding_count;
    struct finding *findings;
    const bool
        *goal_planes;  /* where the goal is met as far as planes say; NULL: in all */
    bool follows_goal; /* and as far as the end of the counters does */
};

/* Plans a sweep over LATTICE; NULL where it does not fit. */
struct plan *plan_make(const struct lattice *lattice, struct arena *arena);

/* The value of racy variable number I of PLAN in PLANE. */
uint8_t plan_value(const struct plan *plan, int i, int plane);

#endif
