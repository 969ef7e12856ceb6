#include "vet/sweep.h"

#include <assert.h>

/* A cell: how many events of each chain have happened, and the plane. */
struct cell {
    uint8_t at[EVENTS_MAX];
    int plane;
};

static struct cell cell_of(const struct sweep *s, const struct spot *spot)
{
    const struct box *box = &s->plan->box;
    struct cell cell = {.plane = spot->plane};
    uint64_t group = spot->group;
    for (int c = 0; c < box->chain_count; c++) {
        const struct chain *chain = &box->chains[c];
        if (chain->inner) {
            cell.at[c] = (uint8_t)box_counter(chain, spot->cell);
        } else {
            cell.at[c] = (uint8_t)(group % (chain->length + 1u));
            group /= chain->length + 1u;
        }
    }
    return cell;
}

static bool is_reached(const struct sweep *s, const struct cell *cell)
{
    const struct box *box = &s->plan->box;
    uint64_t group = 0, bit = 0;
    for (int c = 0; c < box->chain_count; c++) {
        const struct chain *chain = &box->chains[c];
        *(chain->inner ? &bit : &group) += cell->at[c] * chain->stride;
    }
    const uint64_t *words = store_find(&s->store, group);
    return words && words[(uint64_t)cell->plane * (uint64_t)box->words + (bit >> 6)] >>
                            (bit & 63) &
                        1;
}

static bool has_happened(const struct sweep *s, const struct cell *cell, int event)
{
    const struct box *box = &s->plan->box;
    if (events_have(&s->lattice->happened, event))
        return true;
    return events_have(&s->lattice->all, event) &&
           cell->at[box->chain_of[event]] >= box->place_of[event];
}

/* The state of the rig in CELL. */
static void state_of(const struct sweep *s, const struct cell *cell,
                     struct rig_state *state)
{
    const struct lattice *l = s->lattice;
    uint8_t values[VARIABLES_MAX];
    for (int i = 0; i < l->variable_count; i++) {
        const struct variable *v = &l->variables[i];
        values[i] = (uint8_t)__builtin_ctz(v->first);
        for (int k = 0; v->ordered && k < v->count; k++)
            if (has_happened(s, cell, v->writers[k].event))
                values[i] = v->writers[k].to[values[i]];
    }
    for (int i = 0; i < s->plan->racy_count; i++)
        values[s->plan->racy[i]] = plan_value(s->plan, i, cell->plane);
    *state = l->rig->start;
    lattice_put(l, values, state);
    for (int step = 0; step < l->rig->procedure->step_count; step++) {
        state->begun |= (step_set)has_happened(s, cell, 2 * step) << step;
        state->done |= (step_set)has_happened(s, cell, 2 * step + 1) << step;
    }
}

static bool may_happen(const struct sweep *s, const struct cell *cell, int event)
{
    struct rig_state state;
    state_of(s, cell, &state);
    step_set may = event % 2 ? rig_may_end(s->lattice->rig, &state)
                             : rig_ready(s->lattice->rig, &state);
    return may >> event / 2 & 1;
}

/* Goes back by the last event of CHAIN, to a plane it comes from; false where it does not
 * come from there. */
static bool go_back(const struct sweep *s, struct cell *cell, int chain)
{
    if (!cell->at[chain])
        return false;
    int event = s->plan->box.chains[chain].events[cell->at[chain] - 1];
    const uint16_t *to_plane = s->plan->events[event].to_plane;
    struct cell before = *cell;
    before.at[chain]--;
    for (int p = 0; p < s->plan->planes; p++) {
        before.plane = p;
        if ((to_plane ? to_plane[p] : p) == cell->plane && is_reached(s, &before) &&
            may_happen(s, &before, event)) {
            *cell = before;
            return true;
        }
    }
    return false;
}

static struct vet_event as_step(int event)
{
    return (struct vet_event){(uint8_t)(event / 2), event % 2};
}

void sweep_tell(const struct sweep *s, const struct spot *spot, struct find *find)
{
    struct cell cell = cell_of(s, spot);
    const struct box *box = &s->plan->box;
    int left = spot->length;
    find->way_count = find->length = left;
    if (spot->moment >= 0)
        find->way[--left] = as_step(spot->moment);
    while (left > 0) {
        int chain = 0;
        struct cell before = cell;
        while (chain < box->chain_count && !go_back(s, &cell, chain))
            chain++;
        assert(chain < box->chain_count); /* what is reached is reached from somewhere */
        find->way[--left] = as_step(box->chains[chain].events[before.at[chain] - 1]);
    }
    state_of(s, &cell, &find->begin);
}
