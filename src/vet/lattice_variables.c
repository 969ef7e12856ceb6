#include "vet/lattice.h"

#include <string.h>

value_set writer_image(const struct writer *writer, value_set values)
{
    value_set image = 0;
    for (; values; values &= values - 1)
        image |= (value_set)1 << writer->to[__builtin_ctz(values)];
    return image;
}

void lattice_sort_writers(const struct lattice *l, struct variable *v)
{
    uint8_t place[EVENTS_MAX] = {0};
    for (int i = 0; i < l->order_count; i++)
        place[l->order[i]] = (uint8_t)i;
    int count = 0;
    for (int i = 0; i < v->count; i++) {
        struct writer writer = v->writers[i];
        if (!events_have(&l->all, writer.event))
            continue;
        int at = count++;
        for (; at > 0 && place[v->writers[at - 1].event] > place[writer.event]; at--)
            v->writers[at] = v->writers[at - 1];
        v->writers[at] = writer;
    }
    v->count = (uint8_t)count;
    v->ordered = true;
    for (int i = 1; i < count; i++)
        v->ordered &=
            events_have(&l->before[v->writers[i].event], v->writers[i - 1].event);
}

static void add_writer(struct lattice *l, struct variable *v, int event,
                       const uint8_t to[VALUES_MAX], struct arena *arena)
{
    if (!events_have(&l->all, event))
        return;
    uint8_t *copy = arena_alloc(arena, VALUES_MAX);
    memcpy(copy, to, VALUES_MAX);
    v->writers[v->count++] = (struct writer){(uint8_t)event, copy};
}

static int value_set_by(const struct effects *effects, int part)
{
    int value = -1;
    for (int i = 0; i < effects->count; i++)
        if (effects->at[i].part == part)
            value = effects->at[i].value;
    return value;
}

static void find_part_writers(struct lattice *l, struct variable *v, struct arena *arena)
{
    for (int s = 0; s < l->rig->procedure->step_count; s++)
        for (int finish = 0; finish < 2; finish++) {
            const struct step *step = &l->rig->procedure->steps[s];
            int value = value_set_by(finish ? &step->finish : &step->start, v->part);
            uint8_t to[VALUES_MAX];
            memset(to, value, sizeof to);
            if (value >= 0)
                add_writer(l, v, 2 * s + finish, to, arena);
        }
}

static bool is_taken_by(const struct step *step, int line)
{
    for (int i = 0; i < step->takes_over.count; i++)
        if (step->takes_over.at[i].line == line)
            return true;
    return false;
}

static bool is_tended_by(const struct step *step, int line)
{
    for (int i = 0; i < step->tends.count; i++)
        if (step->tends.at[i].line == line)
            return true;
    return is_taken_by(step, line);
}

/* Steps that take LINE over, which all have begun as far as the rig is asked. */
static step_set takers_of(const struct lattice *l, int line)
{
    step_set takers = 0;
    for (int s = 0; s < l->rig->procedure->step_count; s++)
        if (is_taken_by(&l->rig->procedure->steps[s], line))
            takers |= (step_set)1 << s;
    return takers & ~l->rig->start.skipped;
}

/* No hand takes LINE over twice: whose step it is follows from whose hand it is. */
static bool is_taken_once(const struct lattice *l, int line)
{
    step_set takers = takers_of(l, line);
    for (int s = 0; s < l->rig->procedure->step_count; s++)
        for (int t = 0; t < s; t++)
            if (takers >> s & 1 && takers >> t & 1 &&
                l->rig->lanes_of_step[s] & l->rig->lanes_of_step[t])
                return false;
    return true;
}

static struct held held_in(const struct rig_state *state, int line)
{
    return (struct held){state->tender[line], state->taker[line], state->tending[line]};
}

/* STEP gives LINE to somebody who has not taken it: so it is only where one hand is both,
 * and that keeps it. */
static bool is_given_to_oneself(const struct lattice *l, int line, int event,
                                struct held held)
{
    const struct step *step = &l->rig->procedure->steps[event / 2];
    return l->is_of_roles && event % 2 && step->hands_over >> line & 1 &&
           !(step->releases >> line & 1) && held.taker < 0 &&
           rig_takers(l->rig, event / 2);
}

/* Who holds LINE behind EVENT, as the rig says. */
static struct held held_behind(const struct lattice *l, int line, int event,
                               struct held held)
{
    if (is_given_to_oneself(l, line, event, held))
        return held;
    step_set step = (step_set)1 << (event / 2);
    struct rig_state state = l->rig->start;
    state.begun |= takers_of(l, line);
    state.begun = event % 2 ? state.begun | step : state.begun & ~step;
    state.done &= ~step;
    state.tender[line] = held.tender;
    state.taker[line] = held.taker;
    state.tending[line] = held.tending;
    if (event % 2)
        rig_end(l->rig, &state, event / 2);
    else
        rig_begin(l->rig, &state, event / 2);
    return held_in(&state, line);
}

/* The number of HELD among the ways to hold the line, a new one where it is new; -1 where
 * there are too many. */
static int way_to_hold(struct variable *v, struct held *ways, struct held held)
{
    for (int i = 0; i < v->values; i++)
        if (ways[i].tender == held.tender && ways[i].taker == held.taker &&
            ways[i].tending == held.tending)
            return i;
    if (v->values == VALUES_MAX)
        return -1;
    ways[v->values] = held;
    return v->values++;
}

static struct event_set line_events(const struct lattice *l, int line)
{
    struct event_set events = {{0, 0}};
    for (int s = 0; s < l->rig->procedure->step_count; s++) {
        const struct step *step = &l->rig->procedure->steps[s];
        if (is_tended_by(step, line))
            events_add(&events, 2 * s);
        if ((step->releases | step->hands_over) >> line & 1)
            events_add(&events, 2 * s + 1);
    }
    return events;
}

/* Finds all ways in which LINE can be held and how the events lead from one to another.
 */
static bool find_line_writers(struct lattice *l, struct variable *v, struct arena *arena)
{
    struct held *ways = arena_alloc(arena, VALUES_MAX * sizeof *ways);
    struct event_set events = line_events(l, v->part);
    uint8_t to[EVENTS_MAX][VALUES_MAX];
    memset(to, 0, sizeof to);
    way_to_hold(v, ways, held_in(&l->rig->start, v->part));
    for (int from = 0; from < v->values; from++)
        for (int e = 0; e < EVENTS_MAX; e++) {
            if (!events_have(&events, e) || !events_have(&l->all, e))
                continue;
            int way = way_to_hold(v, ways, held_behind(l, v->part, e, ways[from]));
            if (way < 0)
                return false;
            to[e][from] = (uint8_t)way;
        }
    v->held = ways;
    v->first = 1;
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(&events, e))
            add_writer(l, v, e, to[e], arena);
    return is_taken_once(l, v->part);
}

static value_set first_values(const struct lattice *l, int part, bool one_begin)
{
    value_set begin = l->rig->procedure->begin[part].values;
    return one_begin || !begin ? (value_set)1 << l->rig->start.part[part] : begin;
}

/* Keeps V where its value is not that of the rig's own start all the time. */
static void keep_variable(struct lattice *l, struct variable *v, struct arena *arena)
{
    if (!v->count && !v->is_line && v->first == first_values(l, v->part, true))
        return;
    lattice_sort_writers(l, v);
    struct writer *kept = arena_alloc(arena, v->count * sizeof *kept);
    memcpy(kept, v->writers, v->count * sizeof *kept);
    v->writers = kept;
    l->variables[l->variable_count++] = *v;
    l->variable_of[v->part + (v->is_line ? PARTS_MAX : 0)] = (uint8_t)l->variable_count;
}

bool lattice_find_variables(struct lattice *l, bool one_begin, struct arena *arena)
{
    l->variables = arena_alloc(arena, VARIABLES_MAX * sizeof *l->variables);
    l->begins = 1;
    struct writer writers[EVENTS_MAX];
    for (int p = 0; p < l->rig->plan->part_count; p++) {
        struct variable part = {.part = (uint8_t)p,
                                .values = l->rig->plan->parts[p].value_count,
                                .first = first_values(l, p, one_begin),
                                .writers = writers};
        l->begins *= (uint64_t)__builtin_popcount(part.first);
        if (l->begins > UINT32_MAX)
            return false;
        find_part_writers(l, &part, arena);
        keep_variable(l, &part, arena);
        if (l->rig->plan->parts[p].tended_at < 0)
            continue;
        struct variable line = {.part = (uint8_t)p, .is_line = true, .writers = writers};
        if (!find_line_writers(l, &line, arena))
            return false;
        keep_variable(l, &line, arena);
    }
    return true;
}

const struct variable *lattice_line(const struct lattice *l, int line)
{
    int number = l->variable_of[PARTS_MAX + line];
    return number ? &l->variables[number - 1] : NULL;
}

void lattice_put(const struct lattice *l, const uint8_t *values, struct rig_state *state)
{
    for (int i = 0; i < l->variable_count; i++) {
        const struct variable *v = &l->variables[i];
        if (!v->is_line) {
            state->part[v->part] = values[i];
            continue;
        }
        struct held held = v->held[values[i]];
        state->tender[v->part] = held.tender;
        state->taker[v->part] = held.taker;
        state->tending[v->part] = held.tending;
    }
}
