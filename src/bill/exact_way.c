/* How far the hands walk in all: each step of a hand follows another of its steps or is
 * its first, and the ways between are added up.  Stated only when all before is settled,
 * for it is many statements and little to most crews. */
#include "bill/exact.h"

/* A step as the work of one role. */
struct slot {
    uint8_t step, role;
};

struct way {
    struct exact *x;
    int slot_count, term_count;
    struct slot slots[2 * STEPS_MAX];
    int32_t is_first[2 * STEPS_MAX];               /* switch */
    int32_t follows[2 * STEPS_MAX][2 * STEPS_MAX]; /* switch: the first the second */
    struct kernel_term terms[2 * STEPS_MAX * (2 * STEPS_MAX + ROLES_MAX)];
};

static bool find_slots(struct way *w)
{
    const struct procedure *procedure = w->x->procedure;
    for (int s = 0; s < procedure->step_count; s++)
        for (int role = 0; role < ROLES_MAX; role++) {
            if (!(procedure->steps[s].roles >> role & 1))
                continue;
            if (w->slot_count == (int)(sizeof w->slots / sizeof w->slots[0]))
                return false;
            w->slots[w->slot_count++] = (struct slot){(uint8_t)s, (uint8_t)role};
        }
    return true;
}

static void add_term(struct way *w, struct kernel_literal literal, double metres)
{
    int32_t dm = bill_dm(metres);
    if (dm > 0)
        w->terms[w->term_count++] = (struct kernel_term){literal, dm};
}

/* ONE implies OTHER. */
static void implies(struct exact *x, struct kernel_literal one,
                    struct kernel_literal other)
{
    struct clause_of clause = {0};
    clause_add(&clause, kernel_not(one));
    clause_add(&clause, other);
    clause_close(x, &clause);
}

/* Slot J directly after slot I, by the same hand. */
static void state_follows(struct way *w, int i, int j)
{
    const struct slot *one = &w->slots[i], *two = &w->slots[j];
    const struct step *steps = w->x->procedure->steps;
    struct kernel_literal before = exact_before(w->x, 2 * one->step + 1, 2 * two->step);
    if (one->step == two->step || exact_is_never(before))
        return;
    w->follows[j][i] = kernel_switch(w->x->kernel);
    struct kernel_literal follows = kernel_on(w->follows[j][i]);
    implies(w->x, follows, before);
    implies(w->x, follows, exact_same(w->x, one->role, two->role));
    add_term(w, follows,
             rig_plan_distance_m(w->x->procedure->plan, steps[one->step].at,
                                 steps[two->step].at));
}

/* Something comes before slot J, or it is the first; nothing comes before two. */
static void state_one_before(struct way *w, int j)
{
    struct clause_of clause = {0};
    struct kernel_literal next[2 * STEPS_MAX];
    int count = 0;
    clause_add(&clause, kernel_on(w->is_first[j]));
    for (int i = 0; i < w->slot_count; i++) {
        if (w->follows[j][i])
            clause_add(&clause, kernel_on(w->follows[j][i]));
        if (w->follows[i][j])
            next[count++] = kernel_on(w->follows[i][j]);
    }
    clause_close(w->x, &clause);
    if (count > 1)
        kernel_at_most_of(w->x->kernel, next, count, 1);
}

/* A hand has one first step. */
static void state_one_first(struct way *w, int i, int j)
{
    struct clause_of clause = {0};
    clause_add(&clause, kernel_not(kernel_on(w->is_first[i])));
    clause_add(&clause, kernel_not(kernel_on(w->is_first[j])));
    clause_add(&clause, kernel_not(exact_same(w->x, w->slots[i].role, w->slots[j].role)));
    clause_close(w->x, &clause);
}

/* To its first step a hand comes from its home. */
static void state_from_home(struct way *w, int j, int home)
{
    struct exact *x = w->x;
    const struct rig_plan *plan = x->procedure->plan;
    double metres = rig_plan_distance_m(plan, exact_home_of_role(x, home),
                                        x->procedure->steps[w->slots[j].step].at);
    struct clause_of clause = exact_not_from(x, w->slots[j].role, home);
    if (bill_dm(metres) <= 0)
        return;
    struct kernel_literal walks = kernel_on(kernel_switch(x->kernel));
    clause_add(&clause, kernel_not(kernel_on(w->is_first[j])));
    clause_add(&clause, walks);
    clause_close(x, &clause);
    add_term(w, walks, metres);
}

bool exact_state_way(struct exact *x)
{
    struct way *w = arena_alloc(x->arena, sizeof *w);
    w->x = x;
    if (x->wish->start || !find_slots(w))
        return false;
    for (int j = 0; j < w->slot_count; j++)
        w->is_first[j] = kernel_switch(x->kernel);
    for (int i = 0; i < w->slot_count; i++)
        for (int j = 0; j < w->slot_count; j++)
            state_follows(w, i, j);
    for (int j = 0; j < w->slot_count; j++) {
        state_one_before(w, j);
        for (int i = 0; i < j; i++)
            state_one_first(w, i, j);
        for (int h = 0; h < x->role_count; h++)
            state_from_home(w, j, x->roles[h]);
    }
    int64_t most = 0;
    for (int i = 0; i < w->term_count; i++)
        most += w->terms[i].weight;
    if (most > KERNEL_BOUND_MAX / 4)
        return false; /* of a deck of kilometres nobody asks */
    x->way = kernel_integer(x->kernel, 0, (int32_t)most);
    kernel_sum(x->kernel, w->terms, w->term_count, x->way, 0);
    return true;
}
