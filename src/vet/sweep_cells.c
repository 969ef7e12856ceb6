#include "vet/sweep.h"

#include <string.h>

static bool within_spans(const struct sweep *s, const struct where *where)
{
    for (int i = 0; i < where->span_count; i++) {
        const struct span_of_chain *span = &where->spans[i];
        uint8_t at = s->at[span->chain];
        if (at < span->least || at > span->most)
            return false;
    }
    return true;
}

/* Leaves in CELLS those where EVENT has happened (has not, where NOT). */
static void keep_happened(const struct sweep *s, struct block *cells, int event,
                          bool not )
{
    const struct box *box = &s->plan->box;
    if (events_have(&s->lattice->happened, event)) {
        if (not )
            memset(cells, 0, sizeof *cells);
        return;
    }
    int chain = box->chain_of[event];
    if (box->chains[chain].inner && not )
        block_drop(cells, &box->done[event], box->words);
    else if (box->chains[chain].inner)
        block_and(cells, &box->done[event], box->words);
    else if ((s->at[chain] >= box->place_of[event]) == not )
        memset(cells, 0, sizeof *cells);
}

/* Leaves in CELLS those where a variable that follows from the counters has its values.
 */
static void keep_bound(const struct sweep *s, struct block *cells,
                       const struct bound *bound)
{
    const struct variable *v = &s->lattice->variables[bound->variable];
    struct block kept = {{0}}, left = *cells;
    value_set value = v->first;
    for (int k = 0; k <= v->count && block_any(&left, s->plan->box.words); k++) {
        struct block here = left;
        if (k < v->count) {
            keep_happened(s, &here, v->writers[k].event, true);
            keep_happened(s, &left, v->writers[k].event, false);
        }
        if (value & bound->values)
            block_or(&kept, &here, s->plan->box.words);
        if (k < v->count)
            value = writer_image(&v->writers[k], value);
    }
    *cells = kept;
}

static void keep_idle(const struct sweep *s, struct block *cells, step_set idle)
{
    for (; idle; idle &= idle - 1) {
        int step = __builtin_ctzll(idle);
        if (!events_have(&s->lattice->all, 2 * step) &&
            !events_have(&s->lattice->happened, 2 * step))
            continue; /* it never begins */
        struct block runs = *cells;
        keep_happened(s, &runs, 2 * step, false);
        if (events_have(&s->lattice->all, 2 * step + 1) ||
            events_have(&s->lattice->happened, 2 * step + 1))
            keep_happened(s, &runs, 2 * step + 1, true);
        block_drop(cells, &runs, s->plan->box.words);
    }
}

bool sweep_cells(const struct sweep *s, const struct where *where, struct block *cells)
{
    if (!within_spans(s, where))
        return false;
    *cells = where->inner;
    for (int i = 0; i < where->follows.count; i++)
        keep_bound(s, cells, &where->follows.at[i]);
    if (where->idle)
        keep_idle(s, cells, where->idle);
    return block_any(cells, s->plan->box.words);
}
