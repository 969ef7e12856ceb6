#include "vet/engines.h"

#include "vet/finds.h"

#include <string.h>

enum { SPLITS_MAX = 4096 };

/* A wait that is met by some of the begin's values and not by others. */
struct split {
    int variable; /* -1: none */
    value_set met;
};

struct ordering {
    struct lattice l; /* a copy whose arrows grow and whose writers are sorted */
    struct arena *arena;
    struct finds finds;
    struct split split;
    int splits;
    bool undecided;
    value_set *behind[VARIABLES_MAX]; /* values before and behind each writer */
};

/* ---- waits become arrows ---- */

static void sort_variables(struct ordering *o)
{
    for (int i = 0; i < o->l.variable_count; i++) {
        struct variable *v = &o->l.variables[i];
        lattice_sort_writers(&o->l, v);
        o->behind[i][0] = v->first;
        for (int k = 0; k < v->count; k++)
            o->behind[i][k + 1] = writer_image(&v->writers[k], o->behind[i][k]);
    }
}

/* The segments between writers in which EVENT may happen: LOW to HIGH. */
static void find_window(const struct ordering *o, const struct variable *v, int event,
                        int *low, int *high)
{
    *low = 0;
    *high = v->count;
    for (int i = v->count - 1; i >= 0; i--)
        if (v->writers[i].event == event ||
            events_have(&o->l.before[v->writers[i].event], event))
            *high = i;
    for (int i = 0; i < v->count; i++)
        if (events_have(&o->l.before[event], v->writers[i].event))
            *low = i + 1;
}

/* Whether a wait for VALUES holds in segment K: 1 always, 0 never, -1 for some begins. */
static int holds_behind(const struct ordering *o, int variable, int k, value_set values)
{
    value_set behind = o->behind[variable][k];
    return (behind & values) == behind ? 1 : behind & values ? -1 : 0;
}

/* The wait for BOUND before EVENT: where it holds in the last segments of the window and
 * in no other, it is an arrow from the writer that opens them.  True where one is new. */
static bool turn_wait(struct ordering *o, int event, const struct bound *bound)
{
    const struct variable *v = &o->l.variables[bound->variable];
    int low, high;
    find_window(o, v, event, &low, &high);
    if (holds_behind(o, bound->variable, low, bound->values) < 0) {
        o->split = (struct split){bound->variable, bound->values};
        return false;
    }
    int opens = high + 1;
    while (opens > low && holds_behind(o, bound->variable, opens - 1, bound->values) == 1)
        opens--;
    for (int k = low; k < opens; k++)
        if (holds_behind(o, bound->variable, k, bound->values)) {
            o->undecided = true; /* it can be true, missed, and false again */
            return false;
        }
    int from = opens > high ? event : opens > low ? v->writers[opens - 1].event : -1;
    if (from < 0 || events_have(&o->l.arrows[event], from))
        return false;
    events_add(&o->l.arrows[event], from); /* from itself: it can never happen */
    return true;
}

static void turn_all(struct ordering *o, bool *changed)
{
    o->undecided = false;
    for (int i = 0; i < o->l.order_count && o->split.variable < 0; i++) {
        int event = o->l.order[i];
        const struct bounds *waits = &o->l.waits[event / 2];
        for (int w = 0; event % 2 == 0 && w < waits->count; w++) {
            if (!o->l.variables[waits->at[w].variable].ordered)
                o->undecided = true;
            else
                *changed |= turn_wait(o, event, &waits->at[w]);
        }
    }
}

/* Until nothing changes; each arrow is one that every run keeps. */
static void turn_waits(struct ordering *o)
{
    o->split.variable = -1;
    for (bool changed = true; changed && o->split.variable < 0;) {
        changed = false;
        lattice_close(&o->l);
        sort_variables(o);
        turn_all(o, &changed);
    }
}

/* ---- clauses ---- */

/* One way to make a clause hold: `in` is closed. */
struct choice {
    struct event_set in, out;
    value_set picked[VARIABLES_MAX]; /* at the begin; 0: any */
};

struct deciding {
    struct ordering *o;
    const struct lattice_clause *clause;
};

static bool can_be(const struct ordering *o, const struct choice *choice)
{
    return events_within(&choice->in, &o->l.all) &&
           !events_meet(&choice->in, &choice->out);
}

static void put_in(const struct ordering *o, struct choice *choice, int event)
{
    events_add(&choice->in, event);
    events_join(&choice->in, &o->l.before[event]);
}

static void put_in_all(const struct ordering *o, struct choice *choice,
                       const struct event_set *events)
{
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(events, e))
            put_in(o, choice, e);
}

/* A linear order of EVENTS, finishes before starts where both can be. */
static void write_way(const struct ordering *o, const struct event_set *events,
                      struct find *find)
{
    struct event_set taken = {{0, 0}};
    while (find->way_count < events_count(events)) {
        int next = -1;
        for (int e = 0; e < EVENTS_MAX; e++)
            if (events_have(events, e) && !events_have(&taken, e) &&
                events_within(&o->l.before[e], &taken) &&
                (next < 0 || (e % 2 && next % 2 == 0)))
                next = e;
        events_add(&taken, next);
        find->way[find->way_count++] = (struct vet_event){(uint8_t)(next / 2), next % 2};
    }
}

static void write_begin(const struct ordering *o, const value_set *picked,
                        struct rig_state *begin)
{
    uint8_t values[VARIABLES_MAX];
    for (int i = 0; i < o->l.variable_count; i++) {
        const struct variable *v = &o->l.variables[i];
        uint8_t usual = v->is_line ? 0 : o->l.rig->start.part[v->part];
        value_set set = picked && picked[i] ? picked[i] : v->first;
        values[i] = set >> usual & 1 ? usual : (uint8_t)__builtin_ctz(set);
    }
    *begin = o->l.rig->start;
    lattice_put(&o->l, values, begin);
}

static void found(struct ordering *o, enum vet_verdict kind,
                  const struct finding *finding, const struct choice *choice, int moment)
{
    int length = events_count(&choice->in) + (moment >= 0);
    struct find *find = finds_better(&o->finds, kind, finding, length, o->arena);
    if (!find)
        return;
    find->length = length;
    find->way_count = 0;
    write_begin(o, choice->picked, &find->begin);
    write_way(o, &choice->in, find);
    if (moment >= 0)
        find->way[find->way_count++] =
            (struct vet_event){(uint8_t)(moment / 2), moment % 2};
}

/* Chooses a segment for each bound from number AT on. */
static void choose(struct deciding *d, const struct choice *choice, int at)
{
    struct ordering *o = d->o;
    if (!can_be(o, choice))
        return;
    if (at == d->clause->bounds.count) {
        found(o, VET_BROKEN, &d->clause->finding, choice, d->clause->moment);
        return;
    }
    const struct bound *bound = &d->clause->bounds.at[at];
    const struct variable *v = &o->l.variables[bound->variable];
    if (!v->ordered) {
        o->undecided = true;
        return;
    }
    for (int k = 0; k <= v->count; k++) {
        value_set values = o->behind[bound->variable][k] & bound->values;
        if (!values)
            continue;
        struct choice next = *choice;
        if (k)
            put_in(o, &next, v->writers[k - 1].event);
        else
            next.picked[bound->variable] = values;
        if (k < v->count)
            events_add(&next.out, v->writers[k].event);
        choose(d, &next, at + 1);
    }
}

/* The steps of IDLE that have something to do, in order; their number. */
static int list_idle(const struct ordering *o, step_set idle, uint8_t steps[STEPS_MAX])
{
    int count = 0;
    for (int i = 0; i < o->l.order_count; i++) {
        int step = o->l.order[i] / 2;
        if (!(idle >> step & 1))
            continue;
        steps[count++] = (uint8_t)step;
        idle &= ~((step_set)1 << step);
    }
    return count;
}

/* None of the steps runs: the hand is in a gap of its card. */
static void choose_gap(struct deciding *d, const struct choice *choice)
{
    uint8_t steps[STEPS_MAX];
    int count = list_idle(d->o, d->clause->idle, steps);
    for (int gap = 0; gap <= count; gap++) {
        struct choice next = *choice;
        if (gap)
            put_in(d->o, &next, 2 * steps[gap - 1] + 1);
        if (gap < count && events_have(&d->o->l.happened, 2 * steps[gap]))
            continue; /* it runs at the begin */
        if (gap < count)
            events_add(&next.out, 2 * steps[gap]);
        choose(d, &next, 0);
    }
}

static void decide_clause(struct ordering *o, const struct lattice_clause *clause)
{
    struct deciding d = {o, clause};
    struct choice choice = {.out = clause->out};
    put_in_all(o, &choice, &clause->in);
    if (clause->moment >= 0) {
        if (!events_have(&o->l.all, clause->moment))
            return;
        events_join(&choice.in, &o->l.before[clause->moment]);
        events_add(&choice.out, clause->moment);
    }
    if (clause->idle)
        choose_gap(&d, &choice);
    else
        choose(&d, &choice, 0);
}

/* At the end everything that can happen has. */
static void decide_end(struct ordering *o)
{
    const struct lattice *l = &o->l;
    struct choice end = {.in = l->all};
    if (!events_within(&l->todo, &l->all)) {
        found(o, VET_STALL, NULL, &end, -1);
        return;
    }
    bool short_of = l->never_at_goal;
    for (int i = 0; i < l->goal.count && !short_of; i++) {
        const struct bound *bound = &l->goal.at[i];
        const struct variable *v = &l->variables[bound->variable];
        value_set wrong = o->behind[bound->variable][v->count] & ~bound->values;
        o->undecided |= !v->ordered;
        short_of |= v->ordered && wrong;
        if (wrong && !v->count)
            end.picked[bound->variable] = wrong;
    }
    if (short_of)
        found(o, VET_WRONG_END, NULL, &end, -1);
}

static bool hands_are_ordered(const struct lattice *l)
{
    for (int s = 0; s < STEPS_MAX; s++)
        if (l->busy[s])
            return false;
    return true;
}

static void copy_lattice(struct ordering *o, const struct lattice *l)
{
    o->l = *l;
    o->l.variables =
        arena_alloc(o->arena, (size_t)l->variable_count * sizeof *l->variables);
    for (int i = 0; i < l->variable_count; i++) {
        struct variable *v = &o->l.variables[i];
        *v = l->variables[i];
        v->writers = arena_alloc(o->arena, (size_t)v->count * sizeof *v->writers);
        o->behind[i] = arena_alloc(o->arena, (v->count + 1u) * sizeof *o->behind[i]);
        memcpy(v->writers, l->variables[i].writers, v->count * sizeof *v->writers);
    }
}

/* FIRST: the begin values in question.  Where a wait splits them, each part alone. */
static void decide(struct ordering *o, const struct lattice *whole,
                   const value_set first[VARIABLES_MAX])
{
    if (o->splits++ > SPLITS_MAX) {
        o->undecided = true;
        return;
    }
    copy_lattice(o, whole);
    for (int i = 0; i < whole->variable_count; i++)
        o->l.variables[i].first = first[i];
    turn_waits(o);
    if (o->split.variable >= 0) {
        const struct split split = o->split;
        value_set part[VARIABLES_MAX];
        for (int side = 0; side < 2 && (!side || !o->undecided); side++) {
            memcpy(part, first, sizeof part);
            part[split.variable] &= side ? ~split.met : split.met;
            decide(o, whole, part);
        }
        return;
    }
    for (int i = 0; i < whole->clause_count && !o->undecided; i++)
        decide_clause(o, &whole->clauses[i]);
    if (!o->undecided)
        decide_end(o);
}

void lattice_order(const struct lattice *lattice, struct vet_report *out)
{
    *out = (struct vet_report){.verdict = VET_UNDECIDED};
    if (!hands_are_ordered(lattice))
        return;
    struct arena *arena = arena_new();
    struct ordering *o = arena_alloc(arena, sizeof *o);
    value_set first[VARIABLES_MAX];
    o->arena = arena;
    for (int i = 0; i < lattice->variable_count; i++)
        first[i] = lattice->variables[i].first;
    decide(o, lattice, first);
    if (!o->undecided) {
        out->begins = lattice->begins;
        finds_report(&o->finds, out);
    }
    arena_free(arena);
}

void vet_order(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
               struct vet_report *out)
{
    (void)limits; /* it takes no memory to speak of and no time */
    struct arena *arena = arena_new();
    const struct lattice *lattice = lattice_make(rig, one_begin, arena);
    *out = (struct vet_report){.verdict = VET_UNDECIDED};
    if (lattice)
        lattice_order(lattice, out);
    arena_free(arena);
}
