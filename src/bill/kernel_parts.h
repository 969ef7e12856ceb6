/* Shared by the kernel_*.c files.  A side is half a variable: side 2v holds the lower
 * bound of v, side 2v+1 the negated upper bound, so that every literal is "value of the
 * side >= bound", every change is a rise, and both directions of an edge are one code. */
#ifndef BILL_KERNEL_PARTS_H
#define BILL_KERNEL_PARTS_H

#include "bill/kernel.h"

#include <assert.h>

enum kernel_reason_kind {
    REASON_DECISION,
    REASON_CLAUSE,   /* which: the clause; its literal 0 was made true */
    REASON_EDGE,     /* which: the edge */
    REASON_GUARD,    /* which: the edge that cannot hold */
    REASON_CAPACITY, /* which: the constraint; point: the moment; item: the task */
    REASON_LEFT_OUT, /* the same: a task that may be left out is */
    REASON_SUM       /* which: the constraint; item: the term, -1: the limit */
};

/* Why a side rose, in as few words as the explanation can be made from later. */
struct kernel_reason {
    int32_t which, point;
    int16_t kind, item;
};

/* One rise of a side, in the order they came. */
struct kernel_entry {
    int32_t side, old, new;
    int32_t previous; /* entry that raised the same side before; -1: none */
    int32_t level;    /* decisions up to here */
    struct kernel_reason reason;
};

/* A clause lies in the store at a byte offset, which is its name. */
struct kernel_clause {
    int32_t count;
    int32_t levels; /* levels its literals came from when it was learned; 0: stated */
    float activity;
    struct kernel_literal literal[];
};

/* Put on the side whose rise to TRIGGER makes the watched literal false. */
struct kernel_watch {
    int32_t trigger, clause;
    struct kernel_literal blocker; /* some other literal: where true, nothing to do */
};

struct kernel_bucket {
    struct kernel_watch *item;
    int32_t count, room;
};

/* The watches of a side by their trigger, so that a rise meets few others: bucket b holds
 * the triggers above lowest from b << shift on. */
struct kernel_watches {
    struct kernel_bucket *bucket;
    int32_t lowest, shift, buckets; /* no buckets before the first watch */
};

/* Where the guard holds, side TO is at least the side this hangs on plus DISTANCE. */
struct kernel_arc {
    int32_t to, distance, edge;
    struct kernel_literal guard;
};

struct kernel_arcs {
    struct kernel_arc *item;
    int32_t count, room;
};

/* Something to be woken when the side reaches the bound: an edge or a constraint. */
struct kernel_wake {
    int32_t bound, which;
};

struct kernel_wakes {
    struct kernel_wake *item;
    int32_t count, room;
};

enum { WAKE_ALWAYS = INT32_MAX };

struct kernel_edge {
    struct kernel_literal guard;
    int32_t from, to, distance; /* variables */
};

/* A capacity over time (tasks) or a sum (terms, limit, more). */
struct kernel_constraint {
    int32_t count;
    struct kernel_task *tasks;
    struct kernel_term *terms;
    int32_t capacity, limit, more;
    int32_t largest;          /* demand of a task */
    int32_t *by_from, *by_to; /* order of the tasks' compulsory parts, kept */
    bool queued;
};

/* A stretch of time in which the compulsory parts of tasks demand HEIGHT. */
struct kernel_stretch {
    int32_t from, to, height;
};

/* A task that explains, and the youngest entry it rests on. */
struct kernel_helper {
    int32_t item, age;
};

enum { ENERGY_TASKS = 64, ENERGY_KINDS = 24, ENERGY_SPAN = 256 };

/* A task that always stays for the same time from its variable plus DELAY on. */
struct kernel_stay {
    int32_t variable, delay, duration;
};

/* Kinds of weights of tasks, such that all that can be at one moment weigh at most the
 * limit of the kind.  Weight times time fits 16 bits, so that many are added at once. */
struct kernel_energy {
    int32_t tasks, kinds;
    int32_t from, to; /* no task is outside */
    int16_t limit[ENERGY_KINDS];
    struct kernel_stay stay[ENERGY_TASKS];
    int16_t weight[ENERGY_TASKS][ENERGY_KINDS];
    /* room for the search: by moment from FROM on; by task */
    int16_t growth[ENERGY_SPAN + 1][ENERGY_KINDS];
    int32_t time[ENERGY_TASKS];
    struct kernel_helper helper[ENERGY_TASKS];
};

/* What conflict analysis notes on an entry of the trail. */
enum kernel_mark_kind { MARK_NONE, MARK_KEPT, MARK_IMPLIED, MARK_NEEDED };

struct kernel_mark {
    int32_t bound; /* the literal meant is [side >= bound], weaker than the entry */
    int32_t kind;
};

/* A literal [variable <= value] that was part of conflicts. */
struct kernel_slot {
    double activity;
    int32_t variable, value;
    int32_t place; /* in the heap; -1: not there */
};

/* The slots of one variable by value, counted from 1; 0: none yet. */
struct kernel_slots_of {
    int32_t lowest, *slot;
};

struct kernel_start {
    int32_t variable, count;
    struct kernel_literal *then;
};

enum kernel_step {
    STEP_DECIDED,  /* the run goes on */
    STEP_OVER,     /* the run has used its conflicts */
    STEP_PAUSED,   /* the caller's budget is used */
    STEP_SOLUTION, /* everything is fixed */
    STEP_REFUTED   /* the assumptions cannot hold; which: in the core */
};

struct kernel {
    struct arena *arena;
    struct kernel_options options;
    bool refuted; /* no solution whatever is assumed */

    /* sides: twice the variables */
    int32_t variables, side_room;
    int32_t *value, *root, *head; /* now; at the root; newest entry */
    struct kernel_watches *watches;
    struct kernel_arcs *arcs;
    struct kernel_wakes *opens; /* edges by their guard */
    struct kernel_wakes *wakes; /* constraints */

    /* the trail */
    struct kernel_entry *trail;
    int32_t trail_count, trail_room, propagated;
    int32_t *level_start; /* entries before the decision of each level */
    int32_t levels, level_room;

    /* statements */
    unsigned char *store;
    int32_t store_count, store_room;
    int32_t *clauses;
    int32_t clause_count, clause_room, learned_count, learned_max;
    float clause_step;
    struct kernel_edge *edges;
    int32_t edge_count, edge_room;
    struct kernel_constraint *constraints;
    int32_t constraint_count, constraint_room;
    int32_t *queue;
    int32_t queue_count, queue_room;
    int32_t *part_from, *part_to; /* compulsory parts of the tasks at hand */
    struct kernel_stretch *stretches;
    struct kernel_helper *helpers;
    int32_t part_room;
    struct kernel_energy *energy; /* NULL as long as it was not looked for */

    /* explanations and learning */
    struct kernel_literal *why; /* a conflict, or a stack of explanations */
    int32_t why_count, why_room;
    struct kernel_mark *marks;
    int32_t mark_room;
    int32_t *marked; /* entries with a mark */
    int32_t marked_count, marked_room;
    struct kernel_literal *lesson; /* the clause being learned */
    int32_t lesson_count, lesson_room;
    int64_t *level_seen, level_stamp;
    int32_t level_seen_room;

    /* choosing */
    struct kernel_slot *slots;
    int32_t slot_count, slot_room;
    struct kernel_slots_of *slots_of; /* by variable */
    int32_t *heap;
    int32_t heap_count, heap_room;
    int32_t *taken; /* slots taken from the heap, back when their level is undone */
    int32_t taken_count, taken_room;
    int32_t *level_taken;
    double slot_step;
    struct kernel_start *starts;
    int32_t start_count, start_room;
    int32_t *phase; /* value of the best solution, or the hint */

    /* the question and the answer */
    int32_t objective;
    struct kernel_literal *assumed; /* the last is the target where there is one */
    int32_t assumed_count, assumed_room;
    bool has_target;
    struct kernel_literal *core;
    int32_t core_count, core_room;
    int32_t *best;
    bool has_best, answered;
    int32_t lower;
    enum kernel_verdict verdict;

    /* runs */
    bool running, by_start;
    int32_t target, stride;
    int64_t run_end, budget_end;
    struct kernel_figures figures;
};

/* ITEMS in twice the room. */
void *kernel_double_room(struct kernel *kernel, void *items, int32_t count, int32_t *room,
                         size_t size);

/* ITEMS with room for one more after COUNT. */
static inline void *kernel_more_room(struct kernel *kernel, void *items, int32_t count,
                                     int32_t *room, size_t size)
{
    return count < *room ? items : kernel_double_room(kernel, items, count, room, size);
}

static inline bool kernel_is_true(const struct kernel *kernel, struct kernel_literal lit)
{
    return kernel->value[lit.side] >= lit.bound;
}

static inline bool kernel_is_false(const struct kernel *kernel, struct kernel_literal lit)
{
    return kernel->value[lit.side ^ 1] + lit.bound > 0;
}

static inline int32_t kernel_lowest(const struct kernel *kernel, int32_t variable)
{
    return kernel->value[2 * variable];
}

static inline int32_t kernel_highest(const struct kernel *kernel, int32_t variable)
{
    return -kernel->value[2 * variable + 1];
}

static inline struct kernel_clause *kernel_clause_at(const struct kernel *kernel,
                                                     int32_t clause)
{
    return (struct kernel_clause *)(void *)(kernel->store + clause);
}

/* kernel_trail.c: rising and falling back. */

/* Makes LITERAL true; where it contradicts a bound, leaves the contradiction in why and
 * returns false. */
bool kernel_set(struct kernel *kernel, struct kernel_literal literal,
                struct kernel_reason reason);

/* Opens a level and decides LITERAL, or nothing where it is true already. */
void kernel_decide(struct kernel *kernel, struct kernel_literal literal);
void kernel_back_to(struct kernel *kernel, int32_t level);

/* Forgets the reasons of what holds at the root. */
void kernel_settle_root(struct kernel *kernel);

/* The entry that made LITERAL true; it does not hold at the root. */
int32_t kernel_entry_of(const struct kernel *kernel, struct kernel_literal literal);

/* The same before entry BEFORE: its number, -1 at the root, -2 where it was not true. */
int32_t kernel_entry_before(const struct kernel *kernel, struct kernel_literal literal,
                            int32_t before);

/* kernel_propagate.c: all consequences; false leaves a conflict in why. */
bool kernel_propagate(struct kernel *kernel);
void kernel_queue_constraint(struct kernel *kernel, int32_t constraint);
bool kernel_push_edge(struct kernel *kernel, int32_t edge);

/* kernel_capacity.c, kernel_sum.c */
bool kernel_capacity_propagate(struct kernel *kernel, int32_t constraint);
bool kernel_sum_propagate(struct kernel *kernel, int32_t constraint);

/* Adds to why the tasks that demand more than ENOUGH at MOMENT without task EXCEPT, as
 * things stood before entry BEFORE; false where they do not. */
bool kernel_capacity_explain(struct kernel *kernel, const struct kernel_constraint *from,
                             int32_t moment, int32_t except, int32_t enough,
                             int32_t before);
void kernel_sum_explain(struct kernel *kernel, const struct kernel_constraint *from,
                        int32_t item, int32_t bound, int32_t before);

/* kernel_together.c: weights from all capacities, once there is enough to be gained. */
void kernel_find_energy(struct kernel *kernel);

/* kernel_energy.c: false leaves an overload in why. */
bool kernel_energy_fits(struct kernel *kernel);

/* kernel_explain.c: adds to why the literals that made [side of ENTRY >= bound] true. */
void kernel_explain(struct kernel *kernel, int32_t entry, int32_t bound);
void kernel_why(struct kernel *kernel, struct kernel_literal literal);

/* kernel_clauses.c: the store. */
int32_t kernel_store_clause(struct kernel *kernel, const struct kernel_literal *literals,
                            int32_t count, int32_t levels);
void kernel_bump_clause(struct kernel *kernel, int32_t clause);

/* Puts a watch for LITERAL, a literal of CLAUSE, on the side that can make it false. */
void kernel_watch_literal(struct kernel *kernel, int32_t clause,
                          struct kernel_literal literal, struct kernel_literal blocker);

/* At the root: drops what is true for good and the less useful half of what was learned,
 * once there is too much of it. */
void kernel_clear_out(struct kernel *kernel);

/* kernel_learn.c: from the conflict in why to a clause, and back to where it says
 * something new; false where the assumptions alone (or nothing) make the conflict: then
 * the core is filled. */
bool kernel_learn(struct kernel *kernel);

/* The core where assumption number ASSUMPTION is false by those before it. */
void kernel_learn_core(struct kernel *kernel, int32_t assumption);

/* kernel_order.c: what to decide next. */
void kernel_bump_literal(struct kernel *kernel, struct kernel_literal literal);
void kernel_decay(struct kernel *kernel);
void kernel_put_back(struct kernel *kernel, int32_t level);

/* False where everything is fixed. */
bool kernel_choose(struct kernel *kernel, struct kernel_literal *out);

#endif
