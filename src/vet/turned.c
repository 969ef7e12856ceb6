#include "vet/turned.h"

#include <string.h>

static void sort_variables(struct turned *t)
{
    for (int i = 0; i < t->l.variable_count; i++) {
        struct variable *v = &t->l.variables[i];
        lattice_sort_writers(&t->l, v);
        t->behind[i][0] = v->first;
        for (int k = 0; k < v->count; k++)
            t->behind[i][k + 1] = writer_image(&v->writers[k], t->behind[i][k]);
    }
}

/* What a wait may meet: the writers that can come before its event, in order, and the
 * values before, between and behind them; not those before segment `low`. */
struct window {
    int low, high;
    uint8_t writers[EVENTS_MAX];
    value_set values[EVENTS_MAX + 1];
};

/* False where the writers are not ordered. */
static bool find_window(const struct turned *t, const struct variable *v, int event,
                        struct window *w)
{
    w->low = w->high = 0;
    w->values[0] = v->first;
    for (int i = 0; i < v->count; i++) {
        int writer = v->writers[i].event;
        if (writer == event || events_have(&t->l.before[writer], event))
            continue;
        if (w->high && !events_have(&t->l.before[writer], w->writers[w->high - 1]))
            return false;
        w->values[w->high + 1] = writer_image(&v->writers[i], w->values[w->high]);
        w->writers[w->high++] = (uint8_t)writer;
        if (events_have(&t->l.before[event], writer))
            w->low = w->high;
    }
    return true;
}

/* Whether a wait for VALUES holds in segment K: 1 always, 0 never, -1 for some begins. */
static int holds_behind(const struct window *w, int k, value_set values)
{
    value_set behind = w->values[k];
    return (behind & values) == behind ? 1 : behind & values ? -1 : 0;
}

/* The wait for BOUND before EVENT: where it holds in the last segments of the window and
 * in no other, it is an arrow from the writer that opens them.  True where one is new. */
static bool turn_wait(struct turned *t, int event, const struct bound *bound)
{
    struct window w;
    if (!find_window(t, &t->l.variables[bound->variable], event, &w)) {
        t->missed = true;
        return false;
    }
    if (holds_behind(&w, w.low, bound->values) < 0) {
        t->split = (struct split){bound->variable, bound->values};
        return false;
    }
    int opens = w.high + 1;
    while (opens > w.low && holds_behind(&w, opens - 1, bound->values) == 1)
        opens--;
    for (int k = w.low; k < opens; k++)
        if (holds_behind(&w, k, bound->values)) {
            t->missed = true; /* it can be true, missed, and false again */
            return false;
        }
    int from = opens > w.high ? event : opens > w.low ? w.writers[opens - 1] : -1;
    if (from < 0 || events_have(&t->l.arrows[event], from))
        return false;
    events_add(&t->l.arrows[event], from); /* from itself: it can never happen */
    return true;
}

static void turn_all(struct turned *t, bool *changed)
{
    t->missed = false;
    t->split.variable = -1;
    for (int i = 0; i < t->l.order_count; i++) {
        int event = t->l.order[i];
        const struct bounds *waits = &t->l.waits[event / 2];
        for (int w = 0; event % 2 == 0 && w < waits->count; w++)
            *changed |= turn_wait(t, event, &waits->at[w]);
    }
}

static void copy_lattice(struct turned *t, const struct lattice *l, struct arena *arena)
{
    t->l = *l;
    t->l.variables = arena_alloc(arena, (size_t)l->variable_count * sizeof *l->variables);
    for (int i = 0; i < l->variable_count; i++) {
        struct variable *v = &t->l.variables[i];
        *v = l->variables[i];
        v->writers = arena_alloc(arena, (size_t)v->count * sizeof *v->writers);
        t->behind[i] = arena_alloc(arena, (v->count + 1u) * sizeof *t->behind[i]);
        memcpy(v->writers, l->variables[i].writers, v->count * sizeof *v->writers);
    }
}

void lattice_first(const struct lattice *lattice, value_set first[VARIABLES_MAX])
{
    for (int i = 0; i < lattice->variable_count; i++)
        first[i] = lattice->variables[i].first;
}

void turn_waits(const struct lattice *lattice, const value_set first[VARIABLES_MAX],
                struct arena *arena, struct turned *out)
{
    copy_lattice(out, lattice, arena);
    for (int i = 0; i < lattice->variable_count; i++)
        out->l.variables[i].first = first[i];
    for (bool changed = true; changed;) {
        changed = false;
        lattice_close(&out->l);
        sort_variables(out);
        turn_all(out, &changed);
    }
}
