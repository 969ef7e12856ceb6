#include "vet/sweep.h"

#include <string.h>

enum { ASK_EVERY = 4096 };
#define BYTES_USUAL ((uint64_t)1 << 30)

/* ---- events ---- */

static void open_one(struct sweep *s, int event)
{
    const struct sweep_event *planned = &s->plan->events[event];
    const struct box *box = &s->plan->box;
    struct open_event *open = &s->open[s->open_count];
    if (!sweep_cells(s, &planned->where, &open->cells))
        return;
    const struct chain *chain = &box->chains[box->chain_of[event]];
    open->event = event;
    open->planes = planned->where.planes;
    open->to_plane = planned->to_plane;
    open->chain = box->chain_of[event];
    open->inner = chain->inner;
    open->stride = chain->stride;
    s->open_of[event] = (int16_t)++s->open_count;
}

/* Which events may happen where in the group in hand. */
static void open_events(struct sweep *s)
{
    const struct box *box = &s->plan->box;
    for (int i = 0; i < s->open_count; i++)
        s->open_of[s->open[i].event] = 0;
    s->open_count = 0;
    for (int c = 0; c < box->chain_count; c++) {
        const struct chain *chain = &box->chains[c];
        if (!chain->inner && s->at[c] < chain->length)
            open_one(s, chain->events[s->at[c]]);
        for (int i = 0; chain->inner && i < chain->length; i++)
            open_one(s, chain->events[i]);
    }
}

/* ---- the cells reached ---- */

static bool stays(const struct open_event *open, int plane)
{
    return !open->to_plane || open->to_plane[plane] == plane;
}

static bool in_plane(const struct open_event *open, int plane)
{
    return !open->planes || open->planes[plane];
}

/* Adds what is reached from BLOCK by CHAIN, whose next event may happen in ALLOWED: first
 * one event, then two, then four (a carry's way through an adder). */
static void flood(struct block *block, const struct block *allowed,
                  const struct chain *chain, int words)
{
    int stride = (int)chain->stride;
    struct block pass = block_up(allowed, stride, words);
    for (int events = 1; events <= chain->length; events *= 2) {
        struct block up = block_up(block, events * stride, words);
        block_and(&up, &pass, words);
        block_or(block, &up, words);
        up = block_up(&pass, events * stride, words);
        block_and(&pass, &up, words);
    }
}

/* All that is reached in BLOCK without leaving PLANE. */
static void flood_plane(const struct sweep *s, struct block *block, int plane)
{
    const struct box *box = &s->plan->box;
    struct block allowed[EVENTS_MAX];
    uint8_t chains[EVENTS_MAX];
    int count = 0;
    for (int i = 0; i < s->open_count; i++) {
        const struct open_event *open = &s->open[i];
        if (!open->inner || !stays(open, plane) || !in_plane(open, plane))
            continue;
        if (count && chains[count - 1] == open->chain) {
            block_or(&allowed[count - 1], &open->cells, box->words);
            continue;
        }
        chains[count] = open->chain;
        allowed[count++] = open->cells;
    }
    for (bool more = count > 0; more;) {
        struct block before = *block;
        for (int i = 0; i < count; i++)
            flood(block, &allowed[i], &box->chains[chains[i]], box->words);
        more = count > 1 && memcmp(&before, block, sizeof before) != 0;
    }
}

static void load(struct block *block, const uint64_t *words, int count)
{
    *block = (struct block){{0}};
    memcpy(block->word, words, (size_t)count * sizeof *words);
}

/* Moves what an inner event takes from PLANE to another; true where that is new there. */
static bool change_plane(const struct sweep *s, const struct block *block, int plane,
                         uint64_t *group)
{
    const int words = s->plan->box.words;
    bool new = false;
    for (int i = 0; i < s->open_count; i++) {
        const struct open_event *open = &s->open[i];
        if (!open->inner || stays(open, plane) || !in_plane(open, plane))
            continue;
        struct block moved = *block;
        block_and(&moved, &open->cells, words);
        moved = block_up(&moved, (int)open->stride, words);
        uint64_t *to = group + open->to_plane[plane] * words;
        for (int w = 0; w < words; w++) {
            new |= (moved.word[w] & ~to[w]) != 0;
            to[w] |= moved.word[w];
        }
    }
    return new;
}

/* Closes GROUP under its inner events. */
static void close_group(const struct sweep *s, uint64_t *group)
{
    const int words = s->plan->box.words;
    for (bool more = true; more;) {
        more = false;
        for (int p = 0; p < s->plan->planes; p++) {
            struct block block;
            load(&block, group + p * words, words);
            if (!block_any(&block, words))
                continue;
            flood_plane(s, &block, p);
            memcpy(group + p * words, block.word, (size_t)words * sizeof *group);
            if (s->plan->racy_count)
                more |= change_plane(s, &block, p, group);
        }
    }
}

static int count_cells(const struct block *block, int words)
{
    int count = 0;
    for (int w = 0; w < words; w++)
        count += __builtin_popcountll(block->word[w]);
    return count;
}

/* Takes outer event OPEN from CELLS of PLANE to the next group. */
static void spread(struct sweep *s, const struct open_event *open,
                   const struct block *cells, int plane, uint64_t number)
{
    uint64_t *to = store_group(&s->store, number + open->stride);
    if (!to) {
        s->cut_off = true;
        return;
    }
    const int words = s->plan->box.words;
    to += (open->to_plane ? open->to_plane[plane] : plane) * words;
    for (int w = 0; w < words; w++)
        to[w] |= cells->word[w];
}

/* ---- what is found ---- */

/* The nearest of CELLS becomes the spot where it is nearer than that. */
static void note(struct sweep *s, struct spot *spot, const struct block *cells, int plane,
                 uint64_t number, int moment)
{
    const struct box *box = &s->plan->box;
    for (int level = 0; level < box->level_count; level++) {
        int length = s->level + level + (moment >= 0);
        if (spot->is && length >= spot->length)
            return;
        struct block here = *cells;
        block_and(&here, &box->levels[level], box->words);
        if (!block_any(&here, box->words))
            continue;
        int w = 0;
        while (!here.word[w])
            w++;
        *spot = (struct spot){.is = true,
                              .length = length,
                              .group = number,
                              .plane = plane,
                              .cell = 64 * w + __builtin_ctzll(here.word[w]),
                              .moment = moment};
        return;
    }
}

static void look_for(struct sweep *s, const struct sweep_clause *clause,
                     const struct block *any, const uint64_t *group, uint64_t number)
{
    const int words = s->plan->box.words;
    struct spot *spot = &s->spots[clause->finding];
    if (spot->is && s->level >= spot->length)
        return;
    const struct open_event *open = NULL;
    if (clause->moment >= 0) {
        if (!s->open_of[clause->moment])
            return;
        open = &s->open[s->open_of[clause->moment] - 1];
    }
    struct block cells;
    if (!sweep_cells(s, &clause->where, &cells))
        return;
    block_and(&cells, any, words);
    if (open)
        block_and(&cells, &open->cells, words);
    if (!block_any(&cells, words))
        return;
    for (int p = 0; p < s->plan->planes; p++) {
        if ((clause->where.planes && !clause->where.planes[p]) ||
            (open && !in_plane(open, p)))
            continue;
        struct block here;
        load(&here, group + p * words, words);
        block_and(&here, &cells, words);
        if (block_any(&here, words))
            note(s, spot, &here, p, number, clause->moment);
    }
}

/* DEAD: reached cells of PLANE from where nothing happens any more. */
static void look_at_dead(struct sweep *s, struct block *dead, int plane, uint64_t number)
{
    const struct plan *plan = s->plan;
    const struct box *box = &plan->box;
    struct spot *stall = &s->spots[plan->finding_count], *wrong_end = stall + 1;
    bool whole = events_within(&s->lattice->todo, &s->lattice->all);
    if (whole && number == box->groups - 1) {
        struct block end = *dead;
        block_and(&end, &box->levels[box->level_count - 1], box->words);
        block_drop(dead, &end, box->words);
        bool met = plan->follows_goal && (!plan->goal_planes || plan->goal_planes[plane]);
        if (!met && block_any(&end, box->words))
            note(s, wrong_end, &end, plane, number, -1);
    }
    if (block_any(dead, box->words))
        note(s, stall, dead, plane, number, -1);
}

/* Counts what leads on from PLANE and takes it there. */
static void leave_plane(struct sweep *s, const uint64_t *group, int plane,
                        uint64_t number, struct block *any)
{
    const int words = s->plan->box.words;
    struct block block;
    load(&block, group + plane * words, words);
    if (!block_any(&block, words))
        return;
    block_or(any, &block, words);
    struct block dead = block;
    s->out->states += (uint64_t)count_cells(&block, words);
    for (int i = 0; i < s->open_count; i++) {
        const struct open_event *open = &s->open[i];
        if (!in_plane(open, plane))
            continue;
        struct block from = block;
        block_and(&from, &open->cells, words);
        if (!block_any(&from, words))
            continue;
        block_drop(&dead, &from, words);
        s->out->transitions += (uint64_t)count_cells(&from, words);
        if (!open->inner)
            spread(s, open, &from, plane, number);
    }
    if (block_any(&dead, words))
        look_at_dead(s, &dead, plane, number);
}

/* ---- the pass ---- */

static void decode(struct sweep *s, uint64_t number)
{
    const struct box *box = &s->plan->box;
    s->level = 0;
    for (int c = 0; c < box->chain_count; c++) {
        const struct chain *chain = &box->chains[c];
        if (chain->inner)
            continue;
        s->at[c] = (uint8_t)(number % (chain->length + 1u));
        number /= chain->length + 1u;
        s->level += s->at[c];
    }
}

static bool is_empty(const uint64_t *group, size_t words)
{
    uint64_t any = 0;
    for (size_t w = 0; w < words; w++)
        any |= group[w];
    return !any;
}

static void pass_group(struct sweep *s, uint64_t *group, uint64_t number)
{
    struct block any = {{0}};
    decode(s, number);
    open_events(s);
    close_group(s, group);
    for (int p = 0; p < s->plan->planes; p++)
        leave_plane(s, group, p, number, &any);
    for (int i = 0; i < s->plan->clause_count; i++)
        look_for(s, &s->plan->clauses[i], &any, group, number);
}

/* The first group has the begin in each plane that the begin allows. */
static void put_begin(struct sweep *s)
{
    uint64_t *group = store_group(&s->store, 0);
    s->cut_off = !group; /* no room for one */
    for (int p = 0; group && p < s->plan->planes; p++) {
        bool may = true;
        for (int i = 0; i < s->plan->racy_count; i++)
            may &= s->lattice->variables[s->plan->racy[i]].first >>
                       plan_value(s->plan, i, p) &
                   1;
        if (may)
            group[p * s->plan->box.words] |= 1;
    }
}

static bool asked_to_stop(const struct sweep *s, uint64_t place)
{
    const struct vet_limits *limits = s->limits;
    if (limits->states && s->out->states > limits->states)
        return true;
    return limits->stop && place % ASK_EVERY == 0 && limits->stop(limits->payload);
}

static void pass(struct sweep *s)
{
    put_begin(s);
    uint64_t number, *group;
    for (uint64_t place = 0; !s->cut_off; place++) {
        if (!(group = store_visit(&s->store, place, &number)))
            return;
        if (!is_empty(group, s->store.words))
            pass_group(s, group, number);
        s->cut_off |= asked_to_stop(s, place);
    }
}

static void report(const struct sweep *s, struct arena *arena)
{
    struct finds *finds = arena_alloc(arena, sizeof *finds);
    for (int i = 0; i < s->plan->finding_count + 2; i++) {
        const struct spot *spot = &s->spots[i];
        int more = i - s->plan->finding_count;
        enum vet_verdict kind = more < 0    ? VET_BROKEN
                                : more == 0 ? VET_STALL
                                            : VET_WRONG_END;
        struct find *find =
            spot->is ? finds_better(finds, kind, more < 0 ? &s->plan->findings[i] : NULL,
                                    spot->length, arena)
                     : NULL;
        if (find)
            sweep_tell(s, spot, find);
    }
    finds_report(finds, s->out);
    s->out->cut_off = s->cut_off;
    if (s->cut_off && !s->out->found_count)
        s->out->verdict = VET_UNDECIDED;
}

void lattice_sweep(const struct lattice *lattice, const struct vet_limits *limits,
                   struct vet_report *out)
{
    *out = (struct vet_report){
        .verdict = VET_UNDECIDED, .begins = lattice->begins, .cut_off = true};
    struct arena *arena = arena_new();
    struct plan *plan = plan_make(lattice, arena);
    if (plan) {
        struct sweep *s = arena_alloc(arena, sizeof *s);
        *s = (struct sweep){
            .lattice = lattice, .plan = plan, .limits = limits, .out = out};
        s->spots =
            arena_alloc(arena, (size_t)(plan->finding_count + 2) * sizeof *s->spots);
        store_start(&s->store, plan->box.groups, (size_t)(plan->planes * plan->box.words),
                    limits->bytes ? limits->bytes : BYTES_USUAL, arena);
        pass(s);
        report(s, arena);
    }
    arena_free(arena);
}

void vet_sweep(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
               struct vet_report *out)
{
    struct arena *arena = arena_new();
    const struct lattice *lattice = lattice_make(rig, one_begin, arena);
    *out = (struct vet_report){.verdict = VET_UNDECIDED};
    if (lattice)
        lattice_sweep(lattice, limits, out);
    arena_free(arena);
}
