#include "bill/exact.h"

#include <string.h>

static const struct kernel_literal never = {2 * KERNEL_ZERO, 1};

static bool is(struct kernel_literal a, struct kernel_literal b)
{
    return a.side == b.side && a.bound == b.bound;
}

bool exact_is_never(struct kernel_literal literal)
{
    return is(literal, never) || is(literal, kernel_not(kernel_always()));
}

void clause_add(struct clause_of *clause, struct kernel_literal literal)
{
    if (is(literal, kernel_not(never)) || is(literal, kernel_always()))
        clause->holds = true;
    if (exact_is_never(literal))
        return;
    if (clause->count == (int)(sizeof clause->literals / sizeof clause->literals[0]))
        clause->holds = true; /* too much to say; it is caught when it is played */
    else
        clause->literals[clause->count++] = literal;
}

void clause_close(struct exact *x, const struct clause_of *clause)
{
    if (!clause->holds)
        kernel_clause(x->kernel, clause->literals, clause->count);
}

struct kernel_literal exact_all(struct exact *x, const struct kernel_literal *literals,
                                int count)
{
    struct clause_of clause = {0};
    for (int i = 0; i < count; i++)
        if (!is(literals[i], kernel_always()))
            clause_add(&clause, kernel_not(literals[i]));
    if (clause.holds)
        return never;
    if (clause.count == 0)
        return kernel_always();
    if (clause.count == 1)
        return kernel_not(clause.literals[0]);
    struct kernel_literal all = kernel_on(kernel_switch(x->kernel));
    clause_add(&clause, all);
    clause_close(x, &clause);
    return all;
}

/* ---- who wears what ---- */

/* Where the duty is on, somebody wears the role: all are on unless it is asked which of
 * them clash. */
static void wear_once(struct exact *x, int role)
{
    struct clause_of one = {0};
    x->duty[role] = kernel_on(kernel_switch(x->kernel));
    for (int h = 0; h < x->crew->hand_count; h++) {
        x->wears[role][h] = KERNEL_ZERO;
        if (!bill_may_wear(x->procedure, x->crew, x->wish, h, role))
            continue;
        x->wears[role][h] = kernel_switch(x->kernel);
        clause_add(&one, kernel_on(x->wears[role][h]));
    }
    if (one.count)
        kernel_at_most_of(x->kernel, one.literals, one.count, 1);
    clause_add(&one, kernel_not(x->duty[role]));
    clause_close(x, &one);
}

static void state_same(struct exact *x, int role, int other)
{
    int32_t same = kernel_switch(x->kernel);
    x->same[role][other] = x->same[other][role] = same;
    for (int h = 0; h < x->crew->hand_count; h++) {
        struct kernel_literal one = kernel_on(x->wears[role][h]),
                              two = kernel_on(x->wears[other][h]);
        struct clause_of both = {0}, apart = {0}, apart_too = {0};
        clause_add(&both, kernel_not(one));
        clause_add(&both, kernel_not(two));
        clause_add(&both, kernel_on(same));
        clause_add(&apart, kernel_not(one));
        clause_add(&apart, two);
        clause_add(&apart, kernel_not(kernel_on(same)));
        clause_add(&apart_too, one);
        clause_add(&apart_too, kernel_not(two));
        clause_add(&apart_too, kernel_not(kernel_on(same)));
        clause_close(x, &both);
        clause_close(x, &apart);
        clause_close(x, &apart_too);
    }
}

/* Two hands between whom there is no difference: the second wears a role only if the
 * first wears an earlier one. */
static bool are_alike(const struct exact *x, int one, int two)
{
    const struct hand *a = &x->crew->hands[one], *b = &x->crew->hands[two];
    bool alike = a->aboard && b->aboard && a->pace_m_s == b->pace_m_s;
    for (int i = 0; i < x->role_count && alike; i++) {
        const char *name = x->procedure->plan->roles[x->roles[i]].name;
        alike = hand_grade(a, name) == hand_grade(b, name) &&
                !x->wears[x->roles[i]][one] == !x->wears[x->roles[i]][two];
    }
    return alike;
}

static void state_alike(struct exact *x, int one, int two)
{
    for (int i = 0; i < x->role_count; i++) {
        struct clause_of clause = {0};
        clause_add(&clause, kernel_not(kernel_on(x->wears[x->roles[i]][two])));
        for (int j = 0; j < i; j++)
            clause_add(&clause, kernel_on(x->wears[x->roles[j]][one]));
        clause_close(x, &clause);
    }
}

/* A switch that is on where a hand of those that FITS says wears ROLE, and only there. */
static int32_t any_of(struct exact *x, int role, const bool fits[HANDS_MAX])
{
    int32_t any = kernel_switch(x->kernel);
    struct clause_of some = {0};
    clause_add(&some, kernel_not(kernel_on(any)));
    for (int h = 0; h < x->crew->hand_count; h++) {
        struct clause_of one = {0};
        if (!fits[h] || !x->wears[role][h])
            continue;
        clause_add(&some, kernel_on(x->wears[role][h]));
        clause_add(&one, kernel_not(kernel_on(x->wears[role][h])));
        clause_add(&one, kernel_on(any));
        clause_close(x, &one);
    }
    clause_close(x, &some);
    return any;
}

static void find_paces(struct exact *x)
{
    for (int h = 0; h < x->crew->hand_count; h++) {
        int p = 0;
        while (p < x->pace_count && x->paces[p] != x->crew->hands[h].pace_m_s)
            p++;
        if (p < x->pace_count || !x->crew->hands[h].aboard)
            continue;
        if (x->pace_count == PACES_MAX)
            x->whole = false;
        else
            x->paces[x->pace_count++] = x->crew->hands[h].pace_m_s;
    }
}

static void state_role(struct exact *x, int role)
{
    bool fits[HANDS_MAX];
    for (int h = 0; h < x->crew->hand_count; h++)
        fits[h] = bill_is_new(x->procedure, x->crew, x->wish, h, role);
    x->is_new[role] = any_of(x, role, fits);
    for (int p = 0; p < x->pace_count; p++) {
        for (int h = 0; h < x->crew->hand_count; h++)
            fits[h] = x->crew->hands[h].pace_m_s == x->paces[p];
        x->paced[role][p] = any_of(x, role, fits);
    }
}

/* At most so many hands wear anything. */
static void state_hands_most(struct exact *x)
{
    struct kernel_literal used[HANDS_MAX];
    int count = 0;
    for (int h = 0; h < x->crew->hand_count; h++) {
        struct kernel_literal uses = kernel_on(kernel_switch(x->kernel));
        bool any = false;
        for (int i = 0; i < x->role_count; i++) {
            struct clause_of clause = {0};
            clause_add(&clause, kernel_not(kernel_on(x->wears[x->roles[i]][h])));
            clause_add(&clause, uses);
            clause_close(x, &clause);
            any |= x->wears[x->roles[i]][h] != KERNEL_ZERO;
        }
        if (any)
            used[count++] = uses;
    }
    if (count > x->wish->hands_most)
        kernel_at_most_of(x->kernel, used, count, x->wish->hands_most);
}

void exact_state_hands(struct exact *x)
{
    find_paces(x);
    for (int role = 0; role < x->procedure->plan->role_count; role++)
        if (rig_role_needed(x->procedure, role, x->wish->pilot))
            x->roles[x->role_count++] = (uint8_t)role;
    for (int i = 0; i < x->role_count; i++) {
        wear_once(x, x->roles[i]);
        state_role(x, x->roles[i]);
        for (int j = 0; j < i; j++)
            state_same(x, x->roles[j], x->roles[i]);
    }
    for (int two = 0; two < x->crew->hand_count; two++)
        for (int one = 0; one < two; one++)
            if (are_alike(x, one, two))
                state_alike(x, one, two);
    if (x->wish->hands_most)
        state_hands_most(x);
}

struct kernel_literal exact_same(const struct exact *x, int role, int other)
{
    return role == other ? kernel_always() : kernel_on(x->same[role][other]);
}

/* ---- events ---- */

int32_t exact_time(const struct exact *x, int event)
{
    return event % 2 ? x->end[event / 2] : x->start[event / 2];
}

struct kernel_literal exact_before(struct exact *x, int a, int b)
{
    const struct lattice *l = &x->turned->l;
    if (events_have(&l->happened, a))
        return kernel_always();
    if (events_have(&l->happened, b) || !events_have(&l->all, a) || a == b)
        return never;
    if (!events_have(&l->all, b))
        return kernel_always();
    if (events_have(&l->before[b], a))
        return kernel_always();
    if (events_have(&l->before[a], b))
        return never;
    int first = a < b ? a : b, second = a < b ? b : a;
    int32_t *earlier = &x->earlier[first][second];
    if (!*earlier) {
        *earlier = kernel_switch(x->kernel);
        kernel_edge(x->kernel, kernel_on(*earlier), exact_time(x, first),
                    exact_time(x, second), 0);
        kernel_edge(x->kernel, kernel_not(kernel_on(*earlier)), exact_time(x, second),
                    exact_time(x, first), 0);
        kernel_edge(x->kernel, kernel_on(*earlier), x->place[first], x->place[second], 1);
        kernel_edge(x->kernel, kernel_not(kernel_on(*earlier)), x->place[second],
                    x->place[first], 1);
    }
    return a < b ? kernel_on(*earlier) : kernel_not(kernel_on(*earlier));
}

static bool is_there(const struct exact *x, int event)
{
    return events_have(&x->turned->l.all, event);
}

/* A giver of a line is done when the taker has it, unless one hand is both. */
static void state_giving(struct exact *x, int giver, int taker)
{
    const struct step *steps = x->procedure->steps;
    struct kernel_literal same =
        exact_same(x, exact_first_role(&steps[giver]), exact_first_role(&steps[taker]));
    kernel_edge(x->kernel, kernel_not(same), x->end[taker], x->end[giver], 0);
    kernel_edge(x->kernel, kernel_not(same), x->place[2 * taker + 1],
                x->place[2 * giver + 1], 1);
}

/* From start to end: the usual time, the slow one where the step is new to a hand, or
 * longer where its end has to wait for another's. */
static void state_duration(struct exact *x, int s)
{
    const struct step *step = &x->procedure->steps[s];
    int32_t usual = exact_ticks(bill_takes_ms(x->procedure, x->wish, s, false)),
            slow = exact_ticks(bill_takes_ms(x->procedure, x->wish, s, true));
    kernel_edge(x->kernel, kernel_always(), x->start[s], x->end[s], usual);
    for (int role = 0; role < ROLES_MAX; role++) {
        if (step->roles >> role & 1)
            kernel_edge(x->kernel, kernel_on(x->is_new[role]), x->start[s], x->end[s],
                        slow);
    }
}

static int32_t longest(const struct exact *x)
{
    int64_t sum = 0;
    const struct rig_plan *plan = x->procedure->plan;
    double way_m = 0, pace = x->pace_count ? x->paces[0] : 1;
    for (int a = 0; a < plan->station_count; a++)
        for (int b = 0; b < a; b++)
            if (rig_plan_distance_m(plan, a, b) > way_m)
                way_m = rig_plan_distance_m(plan, a, b);
    for (int p = 0; p < x->pace_count; p++)
        pace = x->paces[p] < pace ? x->paces[p] : pace;
    for (int s = 0; s < x->procedure->step_count; s++)
        sum += exact_ticks(bill_takes_ms(x->procedure, x->wish, s, true)) +
               exact_ticks(way_m / pace * 1000);
    return sum < KERNEL_BOUND_MAX / 4 ? (int32_t)sum : KERNEL_BOUND_MAX / 4;
}

void exact_state_times(struct exact *x)
{
    const struct lattice *l = &x->turned->l;
    int32_t most = longest(x);
    for (int e = 0; e < EVENTS_MAX; e++)
        x->place[e] =
            is_there(x, e) ? kernel_integer(x->kernel, 0, EVENTS_MAX) : KERNEL_ZERO;
    x->total = kernel_integer(x->kernel, 0, most);
    for (int s = 0; s < x->procedure->step_count; s++) {
        x->start[s] =
            is_there(x, 2 * s) ? kernel_integer(x->kernel, 0, most) : KERNEL_ZERO;
        x->end[s] =
            is_there(x, 2 * s + 1) ? kernel_integer(x->kernel, 0, most) : KERNEL_ZERO;
        if (!x->end[s])
            continue;
        state_duration(x, s);
        kernel_edge(x->kernel, kernel_always(), x->end[s], x->total, 0);
    }
    for (int s = 0; s < x->procedure->step_count; s++)
        for (int t = 0; t < x->procedure->step_count; t++)
            if (is_there(x, 2 * s + 1) && is_there(x, 2 * t + 1) &&
                rig_takers(x->rig, s) >> t & 1)
                state_giving(x, s, t);
    for (int e = 0; e < EVENTS_MAX; e++)
        for (int a = 0; a < EVENTS_MAX; a++)
            if (is_there(x, e) && is_there(x, a) && events_have(&l->arrows[e], a)) {
                kernel_edge(x->kernel, kernel_always(), exact_time(x, a),
                            exact_time(x, e), 0);
                kernel_edge(x->kernel, kernel_always(), x->place[a], x->place[e], 1);
            }
}

enum bill_verdict exact_state(struct exact *x)
{
    x->rig = arena_alloc(x->arena, sizeof *x->rig);
    x->turned = arena_alloc(x->arena, sizeof *x->turned);
    x->whole = true;
    if (!vet_rig_of_roles(x->procedure, x->wish->pilot, x->rig))
        return BILL_UNDECIDED;
    if (x->wish->start)
        rig_start_from(x->rig, x->wish->start);
    const struct lattice *lattice = lattice_of_roles(x->rig, x->arena);
    if (!lattice)
        return BILL_UNDECIDED;
    value_set first[VARIABLES_MAX];
    lattice_first(lattice, first);
    turn_waits(lattice, first, x->arena, x->turned);
    if (!events_within(&x->turned->l.todo, &x->turned->l.all) || lattice->never_at_goal)
        return BILL_NONE; /* some step waits in a circle, or nobody reaches the goal */
    x->kernel = kernel_new(x->arena, NULL);
    exact_state_hands(x);
    exact_state_times(x);
    exact_state_walks(x);
    exact_state_conflicts(x);
    return BILL_FOUND;
}
