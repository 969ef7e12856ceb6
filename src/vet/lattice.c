#include "vet/lattice.h"

#include <string.h>

static int start_of(int step)
{
    return 2 * step;
}

static int finish_of(int step)
{
    return 2 * step + 1;
}

/* ---- events and arrows ---- */

static void list_events(struct lattice *l)
{
    const struct rig_state *start = &l->rig->start;
    for (int s = 0; s < l->rig->procedure->step_count; s++) {
        if (start->skipped >> s & 1)
            continue;
        bool begun = start->begun >> s & 1, done = start->done >> s & 1;
        events_add(begun ? &l->happened : &l->todo, start_of(s));
        events_add(done ? &l->happened : &l->todo, finish_of(s));
    }
}

/* What has happened or is skipped holds up nobody. */
static void add_arrow(struct lattice *l, int from, int to)
{
    if (events_have(&l->todo, from) && events_have(&l->todo, to))
        events_add(&l->arrows[to], from);
}

static void add_step_arrows(struct lattice *l)
{
    const struct procedure *procedure = l->rig->procedure;
    for (int s = 0; s < procedure->step_count; s++) {
        add_arrow(l, start_of(s), finish_of(s));
        for (int other = 0; other < procedure->step_count; other++) {
            if (procedure->steps[s].after >> other & 1)
                add_arrow(l, finish_of(other), start_of(s));
            if (procedure->steps[s].after_started >> other & 1)
                add_arrow(l, start_of(other), start_of(s));
        }
    }
}

static void add_card_arrows(struct lattice *l)
{
    for (int c = 0; c < l->rig->card_count; c++) {
        const struct rig_card *card = &l->rig->cards[c];
        for (int i = 0; i < card->count && !card->free_order; i++)
            for (int j = 0; j < i; j++)
                add_arrow(l, finish_of(card->steps[j]), start_of(card->steps[i]));
    }
}

/* The giver of a line is done only when the taker of it is. */
static void add_giving_arrows(struct lattice *l)
{
    for (int s = 0; s < l->rig->procedure->step_count; s++) {
        step_set takers = rig_takers(l->rig, s);
        for (int t = 0; t < l->rig->procedure->step_count; t++)
            if (takers >> t & 1)
                add_arrow(l, finish_of(t), finish_of(s));
    }
}

/* A hand does one step at a time. */
static void find_busy(struct lattice *l)
{
    step_set running = rig_running(&l->rig->start);
    for (int s = 0; s < l->rig->procedure->step_count; s++)
        for (int t = 0; t < l->rig->procedure->step_count; t++) {
            if (s == t || !(l->rig->lanes_of_step[s] & l->rig->lanes_of_step[t]))
                continue;
            if (running >> t & 1)
                add_arrow(l, finish_of(t), start_of(s));
            else
                l->busy[s] |= (step_set)1 << t;
        }
}

static void drop_ordered_busy(struct lattice *l)
{
    for (int s = 0; s < l->rig->procedure->step_count; s++)
        for (int t = 0; t < l->rig->procedure->step_count; t++)
            if (!events_have(&l->all, start_of(s)) ||
                !events_have(&l->all, start_of(t)) ||
                events_have(&l->before[start_of(s)], finish_of(t)) ||
                events_have(&l->before[start_of(t)], finish_of(s)))
                l->busy[s] &= ~((step_set)1 << t);
}

void lattice_close(struct lattice *l)
{
    struct event_set all = {{0, 0}};
    l->order_count = 0;
    for (bool more = true; more;) {
        more = false;
        for (int e = 0; e < EVENTS_MAX; e++) {
            if (!events_have(&l->todo, e) || events_have(&all, e) ||
                !events_within(&l->arrows[e], &all))
                continue;
            l->before[e] = l->arrows[e];
            for (int i = 0; i < l->order_count; i++)
                if (events_have(&l->arrows[e], l->order[i]))
                    events_join(&l->before[e], &l->before[l->order[i]]);
            events_add(&all, e);
            l->order[l->order_count++] = (uint8_t)e;
            more = true;
        }
    }
    l->all = all;
}

/* ---- bounds ---- */

enum bounding bound_variable(struct bounds *bounds, int variable, value_set values)
{
    for (int i = 0; i < bounds->count; i++)
        if (bounds->at[i].variable == variable) {
            bounds->at[i].values &= values;
            return bounds->at[i].values ? BOUND_FINE : BOUND_NEVER;
        }
    if (bounds->count == BOUNDS_MAX)
        return BOUND_FULL;
    bounds->at[bounds->count++] = (struct bound){(uint8_t)variable, values};
    return BOUND_FINE;
}

enum bounding bound_part(const struct lattice *l, struct bounds *bounds, int part,
                         value_set values)
{
    int number = l->variable_of[part];
    if (number)
        return bound_variable(bounds, number - 1, values);
    return values >> l->rig->start.part[part] & 1 ? BOUND_FINE : BOUND_NEVER;
}

static enum bounding bound_all(const struct lattice *l, struct bounds *bounds,
                               const struct conditions *conditions)
{
    enum bounding worst = BOUND_FINE;
    for (int i = 0; i < conditions->count; i++) {
        const struct condition *c = &conditions->at[i];
        enum bounding one = bound_part(l, bounds, c->part, c->values);
        worst = one < worst ? one : worst;
    }
    return worst;
}

/* A step whose wait never holds never starts: it waits for itself. */
static bool fill_waits(struct lattice *l)
{
    for (int s = 0; s < l->rig->procedure->step_count; s++)
        switch (bound_all(l, &l->waits[s], &l->rig->procedure->steps[s].wait)) {
        case BOUND_FULL:
            return false;
        case BOUND_NEVER:
            events_add(&l->arrows[start_of(s)], start_of(s));
            l->waits[s].count = 0;
            break;
        case BOUND_FINE:
            break;
        }
    enum bounding goal = bound_all(l, &l->goal, &l->rig->procedure->goal);
    l->never_at_goal = goal == BOUND_NEVER;
    return goal != BOUND_FULL;
}

static bool hands_free_enough(const struct rig *rig)
{
    step_set running = rig_running(&rig->start);
    for (int s = 0; s < rig->procedure->step_count; s++)
        for (int t = 0; t < s; t++)
            if (running >> s & 1 && running >> t & 1 &&
                rig->lanes_of_step[s] & rig->lanes_of_step[t])
                return false;
    return true;
}

static struct lattice *make(const struct rig *rig, bool one_begin, bool giving,
                            struct arena *arena)
{
    if (!hands_free_enough(rig))
        return NULL;
    struct lattice *l = arena_alloc(arena, sizeof *l);
    l->rig = rig;
    l->is_of_roles = !giving;
    list_events(l);
    add_step_arrows(l);
    add_card_arrows(l);
    if (giving)
        add_giving_arrows(l);
    find_busy(l);
    lattice_close(l);
    if (!lattice_find_variables(l, one_begin, arena) || !fill_waits(l))
        return NULL;
    lattice_close(l); /* again without what waits for what never comes */
    drop_ordered_busy(l);
    for (int i = 0; i < l->variable_count; i++)
        lattice_sort_writers(l, &l->variables[i]);
    return lattice_add_clauses(l, arena) ? l : NULL;
}

struct lattice *lattice_make(const struct rig *rig, bool one_begin, struct arena *arena)
{
    return make(rig, one_begin, true, arena);
}

struct lattice *lattice_of_roles(const struct rig *rig, struct arena *arena)
{
    return make(rig, true, false, arena);
}

struct lattice *lattice_grid(int chains, int events, struct arena *arena)
{
    struct lattice *l = arena_alloc(arena, sizeof *l);
    l->begins = 1;
    for (int e = 0; e < chains * events && e < EVENTS_MAX; e++) {
        events_add(&l->todo, e);
        if (e % events)
            events_add(&l->arrows[e], e - 1);
    }
    lattice_close(l);
    return l;
}
