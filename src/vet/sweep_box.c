#include "vet/sweep_box.h"

#include <string.h>

/* ---- chains ---- */

/* Which event follows which in its chain; -1: none. */
struct matching {
    const struct lattice *l;
    int16_t behind[EVENTS_MAX], ahead[EVENTS_MAX];
    struct event_set tried;
};

/* Finds an event to follow EVENT, moving others aside (Kuhn's augmenting paths). */
static bool match(struct matching *m, int event)
{
    for (int i = 0; i < m->l->order_count; i++) {
        int next = m->l->order[i];
        if (!events_have(&m->l->before[next], event) || events_have(&m->tried, next))
            continue;
        events_add(&m->tried, next);
        if (m->ahead[next] < 0 || match(m, m->ahead[next])) {
            m->behind[event] = (int16_t)next;
            m->ahead[next] = (int16_t)event;
            return true;
        }
    }
    return false;
}

static void find_chains(struct box *box)
{
    const struct lattice *l = box->lattice;
    struct matching m = {.l = l};
    memset(m.behind, -1, sizeof m.behind);
    memset(m.ahead, -1, sizeof m.ahead);
    for (int i = 0; i < l->order_count; i++) {
        m.tried = (struct event_set){{0, 0}};
        match(&m, l->order[i]);
    }
    for (int i = 0; i < l->order_count; i++) {
        if (m.ahead[l->order[i]] >= 0)
            continue;
        struct chain *chain = &box->chains[box->chain_count];
        for (int e = l->order[i]; e >= 0; e = m.behind[e]) {
            box->chain_of[e] = (uint8_t)box->chain_count;
            chain->events[chain->length++] = (uint8_t)e;
            box->place_of[e] = chain->length;
        }
        box->chain_count++;
    }
}

/* ---- which chains are inner ---- */

static int words_of(int cells)
{
    return (cells + 63) / 64;
}

/* Tries chain number AT inside and outside the block; keeps what takes least memory. */
struct trying {
    struct box *box;
    double best;
    bool inner[EVENTS_MAX], best_inner[EVENTS_MAX];
    int left; /* tries, so that many chains take no longer than few */
};

static void try_inner(struct trying *t, int at, int cells, double groups)
{
    if (t->left <= 0)
        return;
    if (at == t->box->chain_count) {
        double memory = groups * words_of(cells);
        t->left--;
        if (t->best > 0 && memory >= t->best)
            return;
        t->best = memory;
        memcpy(t->best_inner, t->inner, sizeof t->inner);
        return;
    }
    int size = t->box->chains[at].length + 1;
    if (cells * size <= CELLS_MAX) {
        t->inner[at] = true;
        try_inner(t, at + 1, cells * size, groups);
    }
    t->inner[at] = false;
    try_inner(t, at + 1, cells, groups * size);
}

static bool choose_inner(struct box *box)
{
    struct trying t = {.box = box, .left = 20000};
    double groups = 1;
    try_inner(&t, 0, 1, 1);
    uint64_t outer = 1;
    box->cells = 1;
    for (int c = 0; c < box->chain_count; c++) {
        struct chain *chain = &box->chains[c];
        int size = chain->length + 1;
        chain->inner = t.best_inner[c];
        chain->stride = chain->inner ? (uint64_t)box->cells : outer;
        if (chain->inner) {
            box->cells *= size;
        } else {
            groups *= size;
            if (groups > 1e18)
                return false;
            outer *= (uint64_t)size;
        }
    }
    box->groups = outer;
    box->words = words_of(box->cells);
    return true;
}

/* ---- masks ---- */

int box_counter(const struct chain *chain, int cell)
{
    return cell / (int)chain->stride % (chain->length + 1);
}

static void set_cell(struct block *block, int cell)
{
    block->word[cell >> 6] |= (uint64_t)1 << (cell & 63);
}

static void fill_masks(struct box *box, struct arena *arena)
{
    box->levels = arena_alloc(arena, CELLS_MAX * sizeof *box->levels);
    for (int cell = 0; cell < box->cells; cell++) {
        int level = 0;
        set_cell(&box->full, cell);
        for (int c = 0; c < box->chain_count; c++) {
            const struct chain *chain = &box->chains[c];
            int counter = chain->inner ? box_counter(chain, cell) : 0;
            level += counter;
            for (int i = 0; chain->inner && i < counter; i++)
                set_cell(&box->done[chain->events[i]], cell);
            if (chain->inner && counter < chain->length)
                set_cell(&box->next[chain->events[counter]], cell);
        }
        set_cell(&box->levels[level], cell);
        if (level >= box->level_count)
            box->level_count = level + 1;
    }
}

bool box_make(const struct lattice *lattice, struct arena *arena, struct box *out)
{
    *out = (struct box){.lattice = lattice};
    find_chains(out);
    if (!choose_inner(out))
        return false;
    fill_masks(out, arena);
    return true;
}
