#include "vet/races.h"

#include "vet/turned.h"

static struct vet_event as_event(int event)
{
    return (struct vet_event){(uint8_t)(event / 2), event % 2};
}

static void add(struct races *out, enum race_kind kind, int part, int event, int other)
{
    if (out->count < RACES_MAX)
        out->at[out->count++] =
            (struct race){kind, (uint8_t)part, as_event(event), as_event(other)};
}

static bool are_ordered(const struct lattice *l, int a, int b)
{
    return events_have(&l->before[a], b) || events_have(&l->before[b], a);
}

/* What a writer of a part sets it to, whatever it was. */
static uint8_t value_of(const struct writer *writer)
{
    return writer->to[0];
}

static void find_values(const struct lattice *l, const struct variable *v,
                        struct races *out)
{
    for (int i = 0; i < v->count; i++)
        for (int j = 0; j < i; j++) {
            const struct writer *a = &v->writers[j], *b = &v->writers[i];
            if (value_of(a) != value_of(b) && !are_ordered(l, a->event, b->event))
                add(out, RACE_VALUE, v->part, a->event, b->event);
        }
}

/* Behind EVENT somebody gives the chance again, who does not wait for STEP. */
static bool comes_again(const struct lattice *l, const struct variable *v, int event,
                        int step, value_set values)
{
    for (int i = 0; i < v->count; i++) {
        const struct writer *writer = &v->writers[i];
        if (values >> value_of(writer) & 1 &&
            events_have(&l->before[writer->event], event) &&
            !events_have(&l->before[writer->event], 2 * step))
            return true;
    }
    return false;
}

/* The writer sets the part to what the wait is not for, after a chance there was. */
static void find_chances(const struct lattice *l, int step, const struct bound *wait,
                         struct races *out)
{
    const struct variable *v = &l->variables[wait->variable];
    for (int i = 0; i < v->count; i++) {
        const struct writer *writer = &v->writers[i];
        if (!(wait->values >> value_of(writer) & 1) && writer->event / 2 != step &&
            !are_ordered(l, writer->event, 2 * step) &&
            !comes_again(l, v, writer->event, step, wait->values))
            add(out, RACE_CHANCE, v->part, writer->event, 2 * step);
    }
}

bool vet_races(const struct rig *rig, struct races *out)
{
    *out = (struct races){0};
    struct arena *arena = arena_new();
    const struct lattice *lattice = lattice_make(rig, false, arena);
    if (lattice) {
        struct turned *turned = arena_alloc(arena, sizeof *turned);
        value_set first[VARIABLES_MAX];
        lattice_first(lattice, first);
        turn_waits(lattice, first, arena, turned);
        const struct lattice *l = &turned->l;
        for (int i = 0; i < l->variable_count; i++)
            if (!l->variables[i].is_line)
                find_values(l, &l->variables[i], out);
        for (int s = 0; s < rig->procedure->step_count; s++)
            for (int w = 0; events_have(&l->all, 2 * s) && w < l->waits[s].count; w++)
                find_chances(l, s, &l->waits[s].at[w], out);
    }
    arena_free(arena);
    return lattice;
}
