#include "bill/exact.h"

#include "bill/bill_each.h"
#include "vet/engines.h"

#include <string.h>

enum {
    NOGOODS_MAX = 60,
    CLASH_CONFLICTS = 5000,
    WAY_CONFLICTS = 300,
    SLICE_CONFLICTS = 100
};

/* What is made least, and what is claimed where it is. */
struct claim {
    int32_t variable;
    uint8_t claim; /* enum bill_claim */
};

enum { CLAIMS_MAX = 4 };

/* What may not get worse any more. */
struct settled {
    int count;
    struct kernel_literal literals[CLAIMS_MAX + 1];
};

/* ---- from the kernel's values to a bill ---- */

static int hand_of(const struct exact *x, int role)
{
    for (int h = 0; h < x->crew->hand_count; h++)
        if (x->wears[role][h] && kernel_value(x->kernel, x->wears[role][h]))
            return h;
    return -1;
}

/* Hands in the order of their first roles. */
static void read_hands(const struct exact *x, struct bill *out)
{
    for (int i = 0; i < x->role_count; i++) {
        int hand = hand_of(x, x->roles[i]), lane = 0;
        while (lane < out->lane_count && out->hand[lane] != hand)
            lane++;
        out->hand[lane] = (uint8_t)hand;
        out->wears[lane] = (role_set)(out->wears[lane] | 1u << x->roles[i]);
        out->lane_count = (uint8_t)(out->lane_count + (lane == out->lane_count));
    }
}

static int32_t when(const struct exact *x, int event)
{
    return kernel_value(x->kernel, exact_time(x, event));
}

/* The next of LEFT: the soonest, and of those at one time the first. */
static int next_event(const struct exact *x, const struct event_set *left)
{
    int next = -1;
    for (int e = 0; e < EVENTS_MAX; e++) {
        if (!events_have(left, e))
            continue;
        int32_t place = kernel_value(x->kernel, x->place[e]);
        if (next < 0 || when(x, e) < when(x, next) ||
            (when(x, e) == when(x, next) &&
             place < kernel_value(x->kernel, x->place[next])))
            next = e;
    }
    return next;
}

static void remove_event(struct event_set *events, int event)
{
    events->word[event >> 6] &= ~((uint64_t)1 << (event & 63));
}

/* Plays the events through the rig of the hands, each as early as their order lets;
 * false where the rig does not have it so. */
static bool play_events(const struct exact *x, struct bill *out)
{
    struct play_event order[2 * STEPS_MAX];
    struct event_set left = x->turned->l.all;
    int count = 0;
    while (events_count(&left)) {
        int event = next_event(x, &left);
        order[count++] = (struct play_event){(uint8_t)(event / 2), event % 2};
        remove_event(&left, event);
    }
    return play_order(x->procedure, x->crew, x->wish, order, count, out);
}

/* ---- what somebody who is slow could do to it ---- */

static bool is_safe(const struct exact *x, const struct bill *bill)
{
    struct rig *rig = arena_alloc(x->arena, sizeof *rig);
    struct vet_report *report = arena_alloc(x->arena, sizeof *report);
    const struct vet_limits limits = {.states = 20000};
    bill_rig(bill, x->procedure, rig);
    if (x->is_excused || x->begins_wrong)
        return true; /* none is better */
    vet_quickly(rig, &limits, true, report);
    return report->verdict == VET_SAFE;
}

/* Not these roles in one hand each, and these orders of their steps. */
static void rule_out(struct exact *x, const struct bill *bill)
{
    struct clause_of clause = {0};
    struct rig *rig = arena_alloc(x->arena, sizeof *rig);
    bill_rig(bill, x->procedure, rig);
    for (int i = 0; i < x->role_count; i++)
        for (int j = 0; j < i; j++) {
            int role = x->roles[i], other = x->roles[j];
            struct kernel_literal same = exact_same(x, role, other);
            bool is_same = rig->lane_of_role[role] == rig->lane_of_role[other];
            clause_add(&clause, is_same ? kernel_not(same) : same);
        }
    for (int c = 0; c < rig->card_count; c++)
        for (int i = 0; i + 1 < rig->cards[c].count; i++)
            clause_add(&clause, kernel_not(exact_before(x, 2 * rig->cards[c].steps[i] + 1,
                                                        2 * rig->cards[c].steps[i + 1])));
    clause_close(x, &clause);
}

/* ---- the claims, one after the other ---- */

static void state_lacking(struct exact *x)
{
    struct kernel_term *terms =
        arena_alloc(x->arena, (size_t)(ROLES_MAX * HANDS_MAX) * sizeof *terms);
    int count = 0, most = 3 * ROLES_MAX;
    for (int i = 0; i < x->role_count; i++)
        for (int h = 0; h < x->crew->hand_count; h++) {
            int lacks = bill_lacks(bill_grade(x->procedure, x->crew, h, x->roles[i]));
            if (x->wears[x->roles[i]][h] && lacks)
                terms[count++] =
                    (struct kernel_term){kernel_on(x->wears[x->roles[i]][h]), lacks};
        }
    x->lacking = kernel_integer(x->kernel, 0, most);
    kernel_sum(x->kernel, terms, count, x->lacking, 0);
}

/* HAND wears some of the kin of ROLE: a switch, once for all of them. */
static struct kernel_literal has_some_of(struct exact *x, int hand, int role)
{
    struct kernel_literal has = kernel_on(kernel_switch(x->kernel));
    for (int i = 0; i < x->role_count; i++) {
        struct clause_of clause = {0};
        if (!bill_are_kin(x->procedure, role, x->roles[i]))
            continue;
        clause_add(&clause, kernel_not(kernel_on(x->wears[x->roles[i]][hand])));
        clause_add(&clause, has);
        clause_close(x, &clause);
    }
    return has;
}

/* Each role that is shared out has one hand more than this often. */
static void state_changes(struct exact *x)
{
    struct kernel_term *terms =
        arena_alloc(x->arena, (size_t)(ROLES_MAX * HANDS_MAX) * sizeof *terms);
    int count = 0, roles = 0;
    if (!bill_is_shared_out(x->procedure))
        return;
    for (int i = 0; i < x->role_count; i++) {
        if (bill_first_kin(x->procedure, x->roles[i]) != x->roles[i])
            continue;
        roles++;
        for (int h = 0; h < x->crew->hand_count; h++)
            if (x->crew->hands[h].aboard)
                terms[count++] = (struct kernel_term){has_some_of(x, h, x->roles[i]), 1};
    }
    x->changes = kernel_integer(x->kernel, 0, count);
    kernel_sum(x->kernel, terms, count, x->changes, roles);
}

/* Ticks that HAND is busy in ROLE. */
static int32_t busy_in(const struct exact *x, int hand, int role)
{
    bool is_new = bill_is_new(x->procedure, x->crew, x->wish, hand, role);
    int32_t busy = 0;
    for (int s = 0; s < x->procedure->step_count; s++)
        if (x->procedure->steps[s].roles >> role & 1)
            busy += exact_ticks(bill_takes_ms(x->procedure, x->wish, s, is_new));
    return busy;
}

/* No hand is busy for longer than the busiest. */
static void state_busiest(struct exact *x)
{
    int64_t most = 0;
    struct kernel_term terms[ROLES_MAX];
    for (int i = 0; i < x->role_count; i++)
        for (int h = 0; h < x->crew->hand_count; h++)
            most += busy_in(x, h, x->roles[i]);
    if (most > KERNEL_BOUND_MAX / 4)
        return; /* of steps that take days nobody asks */
    x->busiest = kernel_integer(x->kernel, 0, (int32_t)most);
    for (int h = 0; h < x->crew->hand_count; h++) {
        int count = 0;
        for (int i = 0; i < x->role_count; i++)
            if (x->wears[x->roles[i]][h])
                terms[count++] = (struct kernel_term){kernel_on(x->wears[x->roles[i]][h]),
                                                      busy_in(x, h, x->roles[i])};
        kernel_sum(x->kernel, terms, count, x->busiest, 0);
    }
}

/* Nothing is excused until there is no other way; besides COUNT literals. */
static void assume(struct exact *x, const struct kernel_literal *literals, int count)
{
    struct kernel_literal all[CLAIMS_MAX + 3];
    int known = 0;
    for (int i = 0; i < count; i++)
        all[known++] = literals[i];
    if (x->excused && !x->is_excused)
        all[known++] = kernel_not(kernel_on(x->excused));
    if (x->is_strict)
        all[known++] = kernel_on(x->strict);
    kernel_assume(x->kernel, all, known);
}

static int64_t work_of(const struct exact *x)
{
    struct kernel_figures figures = kernel_figures(x->kernel);
    return figures.conflicts + figures.solutions;
}

/* After a slice of the work: whoever waits may have had enough. */
static bool is_hurried(struct exact *x, int32_t variable, enum kernel_verdict verdict)
{
    const struct bill_patience *patience = x->wish->patience;
    if (!patience || x->hurried)
        return x->hurried;
    if (verdict == KERNEL_FOUND && variable == x->total)
        x->progress.found_ms = kernel_value(x->kernel, x->total) * GRID_MS;
    x->progress.conflicts = (uint64_t)kernel_figures(x->kernel).conflicts;
    x->hurried = patience->stop(patience->payload, &x->progress);
    return x->hurried;
}

/* Solves for VARIABLE; true where it is at its least for sure. */
static bool minimise(struct exact *x, int32_t variable, int64_t *conflicts,
                     enum kernel_verdict *verdict)
{
    kernel_minimise(x->kernel, variable);
    do {
        int64_t before = work_of(x),
                slice = *conflicts < SLICE_CONFLICTS ? *conflicts : SLICE_CONFLICTS;
        *verdict = kernel_solve(x->kernel, slice > 0 ? slice : 1);
        *conflicts -= work_of(x) - before;
        if (*verdict == KERNEL_PROVED || *verdict == KERNEL_INFEASIBLE)
            break;
    } while (*conflicts > 0 && !is_hurried(x, variable, *verdict));
    return *verdict == KERNEL_PROVED;
}

/* The steps in the order of their times, as the kernel has them. */
static void read_slots(const struct exact *x, struct bill *out)
{
    for (int s = 0; s < x->procedure->step_count; s++) {
        struct bill_slot slot = {(uint8_t)s, when(x, 2 * s) * GRID_MS,
                                 when(x, 2 * s + 1) * GRID_MS};
        int at = out->slot_count++;
        for (; at > 0 && out->slots[at - 1].start_ms > slot.start_ms; at--)
            out->slots[at] = out->slots[at - 1];
        out->slots[at] = slot;
    }
}

/* What the kernel has found last, as a bill; false where it cannot be played. */
static bool read_bill(const struct exact *x, struct bill *out)
{
    *out = (struct bill){.pilot = x->wish->pilot};
    read_hands(x, out);
    read_slots(x, out);
    return play_events(x, out);
}

/* The later claims, each of the bills in which all before are at their least. */
static int list_claims(const struct exact *x, struct claim claims[CLAIMS_MAX])
{
    int count = 0;
    if (x->changes)
        claims[count++] = (struct claim){x->changes, BILL_FEWEST_CHANGES};
    claims[count++] = (struct claim){x->lacking, BILL_BEST_KNOWN};
    if (x->busiest)
        claims[count++] = (struct claim){x->busiest, BILL_LEAST_BUSY};
    return count;
}

/* Among the bills so far settled that with the least of CLAIM; false where the kernel or
 * the rig has none. */
static bool settle(struct exact *x, struct claim claim, int64_t *conflicts,
                   struct settled *settled, struct bill *out)
{
    enum kernel_verdict verdict;
    struct bill *better = arena_alloc(x->arena, sizeof *better);
    assume(x, settled->literals, settled->count);
    bool proved = minimise(x, claim.variable, conflicts, &verdict);
    if ((verdict != KERNEL_PROVED && verdict != KERNEL_FOUND) || !read_bill(x, better))
        return false;
    better->settled = out->settled;
    *out = *better;
    out->settled |= proved ? claim.claim : 0;
    settled->literals[settled->count++] =
        kernel_at_most(claim.variable, kernel_value(x->kernel, claim.variable));
    return true;
}

/* Among the bills of TOTAL ticks the one with the fewest role changes, the best known
 * roles, least to do for the busiest hand and least way; each is settled before the next
 * is asked. */
static void choose_among(struct exact *x, int32_t total, int64_t *conflicts,
                         struct bill *out)
{
    struct claim claims[CLAIMS_MAX];
    struct settled settled = {1, {kernel_at_most(x->total, total)}};
    int64_t way_conflicts = WAY_CONFLICTS;
    int count = list_claims(x, claims), i = 0;
    while (i < count && settle(x, claims[i], conflicts, &settled, out))
        i++;
    if (i == count && (x->way || exact_state_way(x)))
        settle(x, (struct claim){x->way, BILL_LEAST_WAY}, &way_conflicts, &settled, out);
    assume(x, NULL, 0);
}

/* One round: the shortest, then among the shortest the best known roles. */
static enum bill_verdict solve_once(struct exact *x, int64_t *conflicts, struct bill *out)
{
    enum kernel_verdict verdict;
    x->unplayable = false;
    bool any = x->wish->any_will_do;
    bool proved = minimise(x, any ? KERNEL_ZERO : x->total, conflicts, &verdict);
    if (verdict == KERNEL_INFEASIBLE)
        return BILL_NONE;
    if (verdict == KERNEL_OPEN)
        return BILL_UNDECIDED;
    int32_t total = kernel_value(x->kernel, x->total), least = kernel_lower(x->kernel);
    x->unplayable = !read_bill(x, out);
    if (x->unplayable)
        return BILL_UNDECIDED;
    if (any)
        return BILL_FOUND;
    choose_among(x, total, conflicts, out);
    out->proved = proved && x->whole && out->total_ms == total * GRID_MS;
    out->settled = out->proved ? out->settled : 0;
    out->least_ms = x->whole ? (proved ? total : least) * GRID_MS : 0;
    return BILL_FOUND;
}

/* The shortest that is safe at any speed of any hand; where there is none the shortest
 * there is, which whoever runs it is told of. */
static enum bill_verdict solve_for_safe(struct exact *x, int64_t conflicts,
                                        struct bill *out)
{
    struct bill *shortest = arena_alloc(x->arena, sizeof *shortest);
    enum bill_verdict verdict = BILL_UNDECIDED, first = BILL_UNDECIDED;
    assume(x, NULL, 0);
    for (int round = 0; round < NOGOODS_MAX; round++) {
        verdict = solve_once(x, &conflicts, out);
        if (verdict == BILL_FOUND && (x->wish->any_will_do || is_safe(x, out)))
            return BILL_FOUND;
        if (verdict == BILL_FOUND && first != BILL_FOUND)
            *shortest = *out;
        first = verdict == BILL_FOUND ? BILL_FOUND : first;
        if (x->hurried || (verdict != BILL_FOUND && !x->unplayable))
            break;
        if (x->unplayable && x->strict && !x->is_strict) {
            x->is_strict = true;
            x->whole = false;
            assume(x, NULL, 0);
            continue;
        }
        x->whole &= !x->unplayable; /* it is ruled out for what was not stated */
        rule_out(x, out);
    }
    if (first != BILL_FOUND)
        return verdict;
    *out = *shortest;
    out->proved &= verdict == BILL_NONE && x->whole; /* that none is safe */
    return BILL_FOUND;
}

/* Everybody has a role to wear: the duties are no question. */
static void take_all_duties(struct exact *x)
{
    for (int i = 0; i < x->role_count; i++)
        kernel_clause(x->kernel, &x->duty[x->roles[i]], 1);
}

/* False where the duties of ROLES alone leave no bill. */
static bool can_take(struct exact *x, role_set roles)
{
    struct kernel_literal duties[ROLES_MAX];
    int count = 0;
    for (int role = 0; role < ROLES_MAX; role++)
        if (roles >> role & 1)
            duties[count++] = x->duty[role];
    kernel_assume(x->kernel, duties, count);
    return kernel_solve(x->kernel, CLASH_CONFLICTS) != KERNEL_INFEASIBLE;
}

role_set exact_clash(const struct procedure *procedure, const struct crew *crew,
                     const struct bill_wish *wish)
{
    struct arena *arena = arena_new();
    struct exact *x = arena_alloc(arena, sizeof *x);
    *x = (struct exact){
        .procedure = procedure, .crew = crew, .wish = wish, .arena = arena};
    role_set clash = 0;
    if (exact_state(x) == BILL_FOUND && x->whole) {
        kernel_minimise(x->kernel, KERNEL_ZERO);
        for (int i = 0; i < x->role_count; i++)
            clash = (role_set)(clash | 1u << x->roles[i]);
        if (can_take(x, clash))
            clash = 0;
        for (int role = 0; role < ROLES_MAX; role++)
            if (clash >> role & 1 && !can_take(x, (role_set)(clash & ~(1u << role))))
                clash = (role_set)(clash & ~(1u << role));
    }
    arena_free(arena);
    return clash;
}

enum bill_verdict exact_make(const struct procedure *procedure, const struct crew *crew,
                             const struct bill_wish *wish, int64_t conflicts,
                             struct bill *out)
{
    struct arena *arena = arena_new();
    struct exact *x = arena_alloc(arena, sizeof *x);
    *x = (struct exact){
        .procedure = procedure, .crew = crew, .wish = wish, .arena = arena};
    enum bill_verdict verdict = exact_state(x);
    if (verdict == BILL_FOUND) {
        take_all_duties(x);
        state_changes(x);
        state_lacking(x);
        state_busiest(x);
        verdict = solve_for_safe(x, conflicts, out);
        if (verdict == BILL_NONE && x->excused) {
            x->is_excused = true;
            x->whole = false;
            verdict = solve_for_safe(x, conflicts, out);
        }
    }
    if (verdict == BILL_NONE && !x->whole)
        verdict = BILL_UNDECIDED;
    arena_free(arena);
    return verdict;
}
