/* What must never be at one moment: as clauses over which event comes before which.  What
 * the arrows exclude already says nothing more. */
#include "bill/exact.h"

/* Is never where all of `in` have happened and none of `out`, in one hand that wears all
 * of `roles`; with a moment, just before that event. */
struct conflict {
    struct event_set in, out;
    role_set roles;
    int moment; /* event; -1: none */
    struct bounds bounds;
    bool racy; /* whether its bounds hold no order of writers tells */
    int held_count;
    const struct hold *held[4]; /* the holds among it */
    int taken_from;             /* where taken_by is not empty: this role, in... */
    role_set taken_by;          /* ...another hand than those of these */
};

static bool can_happen(const struct exact *x, int event)
{
    return events_have(&x->turned->l.all, event);
}

static bool has_happened(const struct exact *x, int event)
{
    return event < 0 || events_have(&x->turned->l.happened, event);
}

/* ---- one conflict ---- */

static bool is_behind_another(const struct lattice *l, const struct event_set *events,
                              int event)
{
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(events, e) && events_have(&l->before[event], e))
            return true;
    return false;
}

static bool is_before_another(const struct lattice *l, const struct event_set *events,
                              int event)
{
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(events, e) && events_have(&l->before[e], event))
            return true;
    return false;
}

/* EVENT, a step of another role, ends HOLD before I, or as I, where WHERE is true; just
 * before a moment I itself does not count. */
static void add_ended(struct exact *x, const struct conflict *c, const struct hold *hold,
                      int event, struct kernel_literal where, int i,
                      struct clause_of *clause)
{
    if (event == c->moment)
        return;
    struct kernel_literal all[] = {
        where,
        has_happened(x, hold->from) ? kernel_always()
                                    : exact_before(x, hold->from, event),
        event == i ? kernel_always() : exact_before(x, event, i)};
    clause_add(clause, exact_all(x, all, 3));
}

static bool takes(const struct tendings *tendings, int line)
{
    for (int i = 0; i < tendings->count; i++)
        if (tendings->at[i].line == line)
            return true;
    return false;
}

/* What other roles may do that ends HOLD before I: the same hand lets the line go, or
 * takes it over from itself; any hand takes it. */
static void separate_hold(struct exact *x, const struct conflict *c,
                          const struct hold *hold, int i, struct clause_of *clause)
{
    int role = __builtin_ctz(hold->roles);
    for (int s = 0; s < x->procedure->step_count; s++) {
        const struct step *step = &x->procedure->steps[s];
        for (int other = 0; other < ROLES_MAX; other++) {
            if (!(step->roles >> other & 1) || hold->roles >> other & 1 ||
                !can_happen(x, 2 * s + 1))
                continue;
            struct kernel_literal same = exact_same(x, role, other);
            if ((step->releases | step->hands_over) >> hold->line & 1)
                add_ended(x, c, hold, 2 * s + 1, same, i, clause);
            if (!can_happen(x, 2 * s))
                continue;
            if (takes(&step->tends, hold->line))
                add_ended(x, c, hold, 2 * s, kernel_always(), i, clause);
            if (takes(&step->takes_over, hold->line))
                add_ended(x, c, hold, 2 * s, same, i, clause);
        }
    }
}

static void separate(struct exact *x, const struct conflict *c, struct clause_of *clause)
{
    const struct lattice *l = &x->turned->l;
    for (int i = 0; i < EVENTS_MAX; i++) {
        if (!events_have(&c->in, i) || is_before_another(l, &c->in, i))
            continue;
        for (int o = 0; o < EVENTS_MAX && c->moment < 0; o++)
            if (events_have(&c->out, o) && !is_behind_another(l, &c->out, o))
                clause_add(clause, exact_before(x, o, i));
        if (c->moment >= 0)
            clause_add(clause, exact_before(x, c->moment, i));
        for (int h = 0; h < c->held_count && c->moment < 0; h++)
            separate_hold(x, c, c->held[h], i, clause);
    }
    for (int h = 0; h < c->held_count && c->moment >= 0; h++)
        separate_hold(x, c, c->held[h], c->moment, clause);
    for (int o = 0; o < EVENTS_MAX && c->moment >= 0; o++)
        if (events_have(&c->out, o))
            clause_add(clause, exact_before(x, o, c->moment));
}

/* It is so at the begin, and a recovery begins in what has gone wrong: true where that
 * is so whoever wears what.  What goes on being wrong in another way is not stated. */
static bool excuse(struct exact *x, const struct conflict *c, struct clause_of *clause)
{
    if (!c->roles) {
        x->begins_wrong = true;
        x->whole = false;
        return true;
    }
    if (!x->excused)
        x->excused = kernel_switch(x->kernel);
    clause_add(clause, kernel_on(x->excused));
    return false;
}

static void state_separate(struct exact *x, const struct conflict *c)
{
    struct clause_of clause = {0};
    int first = -1;
    if (x->wish->start && c->moment < 0 && !events_count(&c->in) && !c->racy &&
        excuse(x, c, &clause))
        return;
    for (int role = 0; role < ROLES_MAX; role++) {
        if (!(c->roles >> role & 1))
            continue;
        if (first >= 0)
            clause_add(&clause, kernel_not(exact_same(x, first, role)));
        first = first < 0 ? role : first;
    }
    for (int role = 0; role < ROLES_MAX; role++)
        if (c->taken_by >> role & 1)
            clause_add(&clause, exact_same(x, c->taken_from, role));
    for (int h = 0; h < c->held_count; h++)
        if (c->held[h]->unless >= 0)
            clause_add(&clause, exact_same(x, __builtin_ctz(c->held[h]->roles),
                                           c->held[h]->unless));
    if (c->racy)
        clause_add(&clause, kernel_not(kernel_on(x->strict)));
    separate(x, c, &clause);
    clause_close(x, &clause);
}

static bool can_be(const struct exact *x, const struct conflict *c)
{
    const struct lattice *l = &x->turned->l;
    struct event_set closed = c->in;
    if (!events_within(&c->in, &l->all))
        return false;
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(&c->in, e))
            events_join(&closed, &l->before[e]);
    if (c->moment >= 0)
        events_join(&closed, &l->before[c->moment]);
    if (c->moment >= 0 && events_have(&closed, c->moment))
        return false; /* it is just before the moment */
    return !events_meet(&closed, &c->out);
}

/* Chooses a segment for each bound from AT on, and states what is left. */
static void state_bounds(struct exact *x, const struct conflict *c, int at)
{
    if (!can_be(x, c))
        return;
    if (at == c->bounds.count) {
        state_separate(x, c);
        return;
    }
    const struct bound *bound = &c->bounds.at[at];
    const struct variable *v = &x->turned->l.variables[bound->variable];
    if (!v->ordered) { /* as if it held all the time, or never */
        struct conflict racy = *c;
        racy.racy = true;
        if (!x->strict)
            x->strict = kernel_switch(x->kernel);
        x->whole &= !x->wish->start; /* it may be wrong at the begin, and go on so */
        state_bounds(x, &racy, at + 1);
        return;
    }
    for (int k = 0; k <= v->count; k++) {
        if (!(x->turned->behind[bound->variable][k] & bound->values))
            continue;
        struct conflict next = *c;
        if (k)
            events_add(&next.in, v->writers[k - 1].event);
        if (k < v->count)
            events_add(&next.out, v->writers[k].event);
        state_bounds(x, &next, at + 1);
    }
}

/* ---- lines in the hand ---- */

/* The hold goes on until `to` or for good; false where it is over at the begin. */
static bool add_hold(const struct exact *x, const struct hold *hold, struct conflict *c)
{
    if (hold->to >= 0 && has_happened(x, hold->to))
        return false;
    if (!has_happened(x, hold->from))
        events_add(&c->in, hold->from);
    if (hold->to >= 0 && can_happen(x, hold->to))
        events_add(&c->out, hold->to);
    c->roles |= c->taken_by ? 0 : hold->roles;
    c->held[c->held_count++] = hold;
    return true;
}

/* States C for each way in which the COUNT holds take a hand each: where none of their
 * none-when holds, because of one condition each. */
static void state_holding(struct exact *x, const struct conflict *c,
                          const struct hold *const *holds, int count)
{
    if (!count) {
        state_bounds(x, c, 0);
        return;
    }
    struct conflict with = *c;
    if (!add_hold(x, holds[0], &with))
        return;
    const struct conditions *none = &holds[0]->tending->none_when;
    if (!none->count)
        state_holding(x, &with, holds + 1, count - 1);
    for (int i = 0; i < none->count; i++) {
        struct conflict one = with;
        enum bounding bounding =
            bound_part(&x->turned->l, &one.bounds, none->at[i].part, ~none->at[i].values);
        x->whole &= bounding != BOUND_FULL;
        if (bounding == BOUND_FINE)
            state_holding(x, &one, holds + 1, count - 1);
    }
}

/* States C for every MORE holds of different lines, but for those of BUT, from AT on. */
static void state_lines(struct exact *x, const struct conflict *c,
                        const struct hold **chosen, int count, int more, part_set but,
                        int at)
{
    if (more <= 0) {
        state_holding(x, c, chosen, count);
        return;
    }
    for (int i = at; i < x->hold_count; i++) {
        const struct hold *hold = &x->holds[i];
        part_set bit = (part_set)1 << hold->line;
        if (but & bit)
            continue;
        chosen[count] = hold;
        state_lines(x, c, chosen, count + 1, more - 1, but | bit, i + 1);
    }
}

static void start_running(const struct exact *x, struct conflict *c, int step, int role)
{
    *c = (struct conflict){.moment = -1, .roles = (role_set)(1u << role)};
    if (!has_happened(x, 2 * step))
        events_add(&c->in, 2 * step);
    events_add(&c->out, 2 * step + 1);
}

static int helm_role(const struct exact *x)
{
    for (int role = 0; role < x->procedure->plan->role_count; role++)
        if (x->procedure->plan->roles[role].steers && !x->wish->pilot)
            return role;
    return -1;
}

/* More hands than two: HELM is the role that steers in the same hand, -1: it does not. */
static void state_step_hands(struct exact *x, int step, int role, int helm)
{
    const struct step *s = &x->procedure->steps[step];
    struct conflict c;
    start_running(x, &c, step, role);
    if (helm >= 0)
        c.roles |= (role_set)(1u << helm);
    int own = s->hands, idle = helm >= 0;
    if (helm >= 0 && s->roles >> helm & 1)
        own--; /* the hand on the helm is the one that does it */
    const struct hold *chosen[4];
    state_lines(x, &c, chosen, 0, 3 - idle - own, rig_worked_lines(s), 0);
}

/* As many lines at once as leave no hand. */
static void state_line_hands(struct exact *x, int helm)
{
    struct conflict c = {.moment = -1};
    if (helm >= 0)
        c.roles = (role_set)(1u << helm);
    const struct hold *chosen[4];
    state_lines(x, &c, chosen, 0, helm >= 0 ? 2 : 3, 0, 0);
}

static bool reaches(const struct exact *x, int place, int step)
{
    return x->procedure->plan->stations[place].reach >> x->procedure->steps[step].at & 1;
}

static void state_places(struct exact *x, int step, int role, int helm)
{
    const struct rig_plan *plan = x->procedure->plan;
    struct conflict c;
    start_running(x, &c, step, role);
    for (int i = 0; i < x->hold_count; i++) {
        const struct hold *hold = &x->holds[i];
        if (!reaches(x, plan->parts[hold->line].tended_at, step))
            state_holding(x, &c, &hold, 1);
    }
    if (helm < 0 || reaches(x, plan->roles[helm].station, step))
        return;
    c.roles |= (role_set)(1u << helm);
    state_bounds(x, &c, 0);
}

/* It is taken over from a giver, who has the line as long as it is in both hands: what is
 * taken then is taken from the giver, and played it is found out who that is. */
static bool is_taken_over(const struct exact *x, const struct hold *hold)
{
    return hold->from >= 0 &&
           takes(&x->procedure->steps[hold->from / 2].takes_over, hold->line);
}

/* STEP does not take a line out of another's hand. */
static void state_taken(struct exact *x, int step)
{
    const struct step *s = &x->procedure->steps[step];
    for (int i = 0; i < x->hold_count; i++) {
        const struct hold *hold = &x->holds[i];
        int role = __builtin_ctz(hold->roles);
        if (!takes(&s->tends, hold->line) || s->roles & hold->roles ||
            !can_happen(x, 2 * step) || is_taken_over(x, hold))
            continue;
        struct conflict c = {
            .moment = 2 * step, .taken_from = role, .taken_by = s->roles};
        state_holding(x, &c, &hold, 1);
    }
}

/* ---- what the rig holds against every bill ---- */

static void state_clause(struct exact *x, const struct lattice_clause *from)
{
    if (from->finding.kind != FINDING_RULE && from->finding.kind != FINDING_NEED &&
        from->finding.kind != FINDING_GEAR)
        return; /* of hands and places: they depend on who wears what */
    struct conflict c = {
        .in = from->in, .out = from->out, .moment = from->moment, .bounds = from->bounds};
    if (from->moment < 0 || can_happen(x, from->moment))
        state_bounds(x, &c, 0);
}

/* ---- waits that are no arrows ---- */

static bool is_good(const struct writer *writer, const struct bound *wait)
{
    return wait->values >> writer->to[0] & 1;
}

/* Behind CLOSER, and before EVENT, somebody gives the chance again; or EVENT is first. */
static void state_reopened(struct exact *x, const struct variable *v,
                           const struct bound *wait, int event, int closer)
{
    struct clause_of clause = {0};
    if (closer >= 0)
        clause_add(&clause, exact_before(x, event, closer));
    for (int i = 0; i < v->count; i++) {
        int opener = v->writers[i].event;
        if (!is_good(&v->writers[i], wait) || opener == event)
            continue;
        struct kernel_literal between[] = {closer >= 0 ? exact_before(x, closer, opener)
                                                       : kernel_always(),
                                           exact_before(x, opener, event)};
        clause_add(&clause, exact_all(x, between, 2));
    }
    clause_close(x, &clause);
}

static void state_wait(struct exact *x, int step, const struct bound *wait)
{
    const struct variable *v = &x->turned->l.variables[wait->variable];
    if (!(v->first & wait->values))
        state_reopened(x, v, wait, 2 * step, -1);
    for (int i = 0; i < v->count; i++)
        if (!is_good(&v->writers[i], wait) && v->writers[i].event != 2 * step)
            state_reopened(x, v, wait, 2 * step, v->writers[i].event);
}

/* ---- the goal ---- */

/* Behind all others comes a writer of what the goal wants. */
static void state_last(struct exact *x, const struct bound *goal)
{
    const struct variable *v = &x->turned->l.variables[goal->variable];
    struct clause_of some = {0};
    for (int i = 0; i < v->count; i++) {
        struct kernel_literal before[EVENTS_MAX];
        int count = 0;
        if (!is_good(&v->writers[i], goal))
            continue;
        for (int j = 0; j < v->count; j++)
            if (!is_good(&v->writers[j], goal))
                before[count++] =
                    exact_before(x, v->writers[j].event, v->writers[i].event);
        clause_add(&some, exact_all(x, before, count));
    }
    if (v->count || !(v->first & goal->values))
        clause_close(x, &some);
}

/* ---- who holds what, and when ---- */

/* Of the hand of ROLES somebody is taking LINE over at the begin: that role, or -1. */
static int taker_at_begin(const struct exact *x, role_set roles, int line)
{
    const struct rig_state *start = &x->rig->start;
    int lane = x->rig->lane_of_role[__builtin_ctz(roles)];
    if (start->tender[line] != lane || start->taker[line] < 0)
        return -1;
    int taking = rig_taking_step(x->rig, start, line);
    return taking < 0 ? -1 : exact_first_role(&x->procedure->steps[taking]);
}

static void add_to_holds(struct exact *x, int line, role_set roles, int from, int to,
                         const struct tending *tending)
{
    if (x->hold_count == HOLDS_MAX)
        x->whole = false;
    else
        x->holds[x->hold_count++] =
            (struct hold){(uint8_t)line, roles,
                          from,          to,
                          tending,       from < 0 ? taker_at_begin(x, roles, line) : -1};
}

static const struct tending *find_tending(const struct tendings *tendings, int line)
{
    for (int i = 0; i < tendings->count; i++)
        if (tendings->at[i].line == line)
            return &tendings->at[i];
    return NULL;
}

/* How STEP takes LINE; NULL: it does not. */
static const struct tending *taken_by(const struct step *step, int line)
{
    const struct tending *tends = find_tending(&step->tends, line);
    return tends ? tends : find_tending(&step->takes_over, line);
}

/* What the hand of the giver keeps for itself as the taker. */
static void add_kept(struct exact *x, int line, int giver, const struct tending *tending)
{
    const struct step *steps = x->procedure->steps;
    step_set takers = rig_takers(x->rig, giver);
    for (int t = 0; t < x->procedure->step_count; t++)
        if (takers >> t & 1 && find_tending(&steps[t].takes_over, line))
            add_to_holds(x, line,
                         (role_set)(1u << exact_first_role(&steps[giver]) |
                                    1u << exact_first_role(&steps[t])),
                         2 * giver + 1, 2 * t, tending);
}

/* How ROLE has LINE in its hand at the begin; NULL: it has not. */
static const struct tending *held_at_begin(const struct exact *x, int role, int line)
{
    const struct rig_state *start = &x->rig->start;
    int lane = x->rig->lane_of_role[role], by = -1;
    if (start->tender[line] == lane)
        by = start->tending[line];
    else if (start->taker[line] == lane)
        by = rig_taking_step(x->rig, start, line);
    return by < 0 ? NULL : rig_tending(x->rig, by, line);
}

static void find_holds(struct exact *x, int role, int line)
{
    const struct procedure *procedure = x->procedure;
    const role_set wears = (role_set)(1u << role);
    const struct rig_state *start = &x->rig->start;
    const struct tending *tending = held_at_begin(x, role, line);
    int from = -1;
    for (int s = 0; s < procedure->step_count; s++) {
        const struct step *step = &procedure->steps[s];
        if (!(step->roles >> role & 1) || (start->skipped | start->done) >> s & 1)
            continue;
        const struct tending *taken =
            exact_first_role(step) == role && !(start->begun >> s & 1)
                ? taken_by(step, line)
                : NULL;
        if (taken && tending) /* it was in this hand already */
            add_to_holds(x, line, wears, from, 2 * s, tending);
        from = taken ? 2 * s : from;
        tending = taken ? taken : tending;
        if (!tending || !((step->releases | step->hands_over) >> line & 1))
            continue;
        add_to_holds(x, line, wears, from, 2 * s + 1, tending);
        if (step->hands_over >> line & 1)
            add_kept(x, line, s, tending);
        tending = NULL;
    }
    if (tending)
        add_to_holds(x, line, wears, from, -1, tending);
}

void exact_state_conflicts(struct exact *x)
{
    const struct lattice *l = &x->turned->l;
    int helm = helm_role(x);
    for (int line = 0; line < x->procedure->plan->part_count; line++)
        for (int i = 0; i < x->role_count; i++)
            if (x->procedure->plan->parts[line].tended_at >= 0)
                find_holds(x, x->roles[i], line);
    state_line_hands(x, -1);
    if (helm >= 0)
        state_line_hands(x, helm);
    for (int s = 0; s < x->procedure->step_count; s++)
        for (int role = 0; role < ROLES_MAX; role++) {
            if (!(x->procedure->steps[s].roles >> role & 1) || !can_happen(x, 2 * s + 1))
                continue;
            state_step_hands(x, s, role, -1);
            if (helm >= 0)
                state_step_hands(x, s, role, helm);
            state_places(x, s, role, helm);
        }
    for (int s = 0; s < x->procedure->step_count; s++)
        state_taken(x, s);
    for (int i = 0; i < l->clause_count; i++)
        state_clause(x, &l->clauses[i]);
    for (int i = 0; i < l->goal.count; i++)
        state_last(x, &l->goal.at[i]);
    for (int s = 0; s < x->procedure->step_count && x->turned->missed; s++)
        for (int w = 0; can_happen(x, 2 * s) && w < l->waits[s].count; w++)
            state_wait(x, s, &l->waits[s].at[w]);
}
