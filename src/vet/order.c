#include "vet/engines.h"

#include "vet/ordering.h"
#include "vet/turned.h"

#include <string.h>

enum { SPLITS_MAX = 4096 };

struct ordering {
    struct turned t;
    struct arena *arena;
    struct finds *finds;
    int splits;
    bool undecided; /* the ends are not known, nor anything else */
    bool *open;     /* clauses that are not decided */
};

/* One way to make a clause hold: `in` is closed. */
struct choice {
    struct event_set in, out;
    value_set picked[VARIABLES_MAX]; /* at the begin; 0: any */
};

struct deciding {
    struct ordering *o;
    const struct lattice_clause *clause;
    bool open;
};

static bool can_be(const struct ordering *o, const struct choice *choice)
{
    return events_within(&choice->in, &o->t.l.all) &&
           !events_meet(&choice->in, &choice->out);
}

static void put_in(const struct ordering *o, struct choice *choice, int event)
{
    events_add(&choice->in, event);
    events_join(&choice->in, &o->t.l.before[event]);
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
                events_within(&o->t.l.before[e], &taken) &&
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
    for (int i = 0; i < o->t.l.variable_count; i++) {
        const struct variable *v = &o->t.l.variables[i];
        uint8_t usual = v->is_line ? 0 : o->t.l.rig->start.part[v->part];
        value_set set = picked && picked[i] ? picked[i] : v->first;
        values[i] = set >> usual & 1 ? usual : (uint8_t)__builtin_ctz(set);
    }
    *begin = o->t.l.rig->start;
    lattice_put(&o->t.l, values, begin);
}

static void found(struct ordering *o, enum vet_verdict kind,
                  const struct finding *finding, const struct choice *choice, int moment)
{
    int length = events_count(&choice->in) + (moment >= 0);
    struct find *find = finds_better(o->finds, kind, finding, length, o->arena);
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
    const struct variable *v = &o->t.l.variables[bound->variable];
    if (!v->ordered) {
        d->open = true;
        return;
    }
    for (int k = 0; k <= v->count; k++) {
        value_set values = o->t.behind[bound->variable][k] & bound->values;
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
    for (int i = 0; i < o->t.l.order_count; i++) {
        int step = o->t.l.order[i] / 2;
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
        if (gap < count && events_have(&d->o->t.l.happened, 2 * steps[gap]))
            continue; /* it runs at the begin */
        if (gap < count)
            events_add(&next.out, 2 * steps[gap]);
        choose(d, &next, 0);
    }
}

/* False where what must be known does not follow from the order. */
static bool decide_clause(struct ordering *o, const struct lattice_clause *clause)
{
    struct deciding d = {o, clause, false};
    struct choice choice = {.out = clause->out};
    put_in_all(o, &choice, &clause->in);
    if (clause->moment >= 0) {
        if (!events_have(&o->t.l.all, clause->moment))
            return true;
        events_join(&choice.in, &o->t.l.before[clause->moment]);
        events_add(&choice.out, clause->moment);
    }
    if (clause->idle)
        choose_gap(&d, &choice);
    else
        choose(&d, &choice, 0);
    return !d.open;
}

/* At the end everything that can happen has. */
static void decide_end(struct ordering *o)
{
    const struct lattice *l = &o->t.l;
    struct choice end = {.in = l->all};
    if (!events_within(&l->todo, &l->all)) {
        found(o, VET_STALL, NULL, &end, -1);
        return;
    }
    bool short_of = l->never_at_goal;
    for (int i = 0; i < l->goal.count && !short_of; i++) {
        const struct bound *bound = &l->goal.at[i];
        const struct variable *v = &l->variables[bound->variable];
        value_set wrong = o->t.behind[bound->variable][v->count] & ~bound->values;
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

/* FIRST: the begin values in question.  Where a wait splits them, each part alone. */
static void decide(struct ordering *o, const struct lattice *whole,
                   const value_set first[VARIABLES_MAX])
{
    if (o->splits++ > SPLITS_MAX) {
        o->undecided = true;
        return;
    }
    turn_waits(whole, first, o->arena, &o->t);
    if (o->t.split.variable >= 0) {
        const struct split split = o->t.split;
        value_set part[VARIABLES_MAX];
        for (int side = 0; side < 2 && (!side || !o->undecided); side++) {
            memcpy(part, first, sizeof part);
            part[split.variable] &= side ? ~split.met : split.met;
            decide(o, whole, part);
        }
        return;
    }
    o->undecided |= o->t.missed;
    for (int i = 0; i < whole->clause_count && !o->undecided; i++)
        o->open[i] |= !decide_clause(o, &whole->clauses[i]);
    if (!o->undecided)
        decide_end(o);
}

bool order_decide(const struct lattice *lattice, struct arena *arena, struct finds *finds,
                  bool *open)
{
    struct ordering *o = arena_alloc(arena, sizeof *o);
    value_set first[VARIABLES_MAX];
    o->arena = arena;
    o->finds = finds;
    o->open = open;
    o->undecided = !hands_are_ordered(lattice);
    lattice_first(lattice, first);
    if (!o->undecided)
        decide(o, lattice, first);
    for (int i = 0; i < lattice->clause_count; i++)
        open[i] |= o->undecided;
    return !o->undecided;
}

void lattice_order(const struct lattice *lattice, struct vet_report *out)
{
    struct arena *arena = arena_new();
    struct finds *finds = arena_alloc(arena, sizeof *finds);
    bool *open = arena_alloc(arena, (size_t)lattice->clause_count + 1);
    *out = (struct vet_report){.verdict = VET_UNDECIDED};
    bool decided = order_decide(lattice, arena, finds, open);
    for (int i = 0; i < lattice->clause_count; i++)
        decided &= !open[i];
    if (decided) {
        out->begins = lattice->begins;
        finds_report(finds, out);
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
