#include "vet/certify.h"
#include "vet/vet.h"

#include "vet/finds.h"

#include <assert.h>
#include <string.h>

enum { STATES_USUAL = 1000000, ASK_EVERY = 4096 };

/* A state of one level: what differs between states, who it came from. */
struct node {
    struct rig_state state;
    uint32_t parent; /* in the level before */
    struct vet_event by;
    double orders; /* ways that lead here */
};

/* The states of one level, with a table to find them by their contents. */
struct level {
    struct node *nodes;
    size_t count, room;
    uint32_t *table; /* index + 1; 0: free */
    size_t table_room;
};

struct search {
    const struct rig *rig;
    struct arena *arena;
    struct vet_report *report;
    const struct vet_limits *limits;
    struct level *levels; /* all of them: the ways are found through the parents */
    int depth;
    uint64_t limit;
    bool cut_off;
};

static uint64_t mix(uint64_t sum, const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    for (; length; length -= length < 8 ? length : 8, at += 8) {
        uint64_t word = 0;
        memcpy(&word, at, length < 8 ? length : 8);
        sum = (sum ^ word) * 0x100000001b3u; /* as FNV-1a, by words */
        sum ^= sum >> 32;
    }
    return sum;
}

static uint64_t hash_of(const struct rig_state *state, size_t parts)
{
    uint64_t sum = mix(0xcbf29ce484222325u, &state->begun, sizeof state->begun);
    sum = mix(sum, &state->done, sizeof state->done);
    sum = mix(sum, state->part, parts);
    sum = mix(sum, state->tender, parts);
    return sum ^ sum >> 29;
}

static bool same(const struct rig_state *a, const struct rig_state *b, size_t parts)
{
    return a->begun == b->begun && a->done == b->done && a->skipped == b->skipped &&
           memcmp(a->part, b->part, parts) == 0 &&
           memcmp(a->tender, b->tender, parts) == 0 &&
           memcmp(a->taker, b->taker, parts) == 0 &&
           memcmp(a->tending, b->tending, parts) == 0;
}

static void place(struct level *level, uint64_t hash, uint32_t index)
{
    size_t at = hash & (level->table_room - 1);
    while (level->table[at])
        at = (at + 1) & (level->table_room - 1);
    level->table[at] = index + 1;
}

static void grow(struct search *search, struct level *level)
{
    size_t room = level->room ? level->room * 2 : 64;
    struct node *nodes = arena_alloc(search->arena, room * sizeof *nodes);
    if (level->count)
        memcpy(nodes, level->nodes, level->count * sizeof *nodes);
    level->nodes = nodes;
    level->room = room;
    level->table_room = room * 2;
    level->table = arena_alloc(search->arena, level->table_room * sizeof *level->table);
    for (size_t i = 0; i < level->count; i++)
        place(level, hash_of(&nodes[i].state, search->rig->plan->part_count),
              (uint32_t)i);
}

/* The node of STATE in LEVEL, made where it is new; NULL at the limit. */
static struct node *meet(struct search *search, struct level *level,
                         const struct rig_state *state, bool *new)
{
    size_t parts = search->rig->plan->part_count;
    if (level->count * 2 >= level->room * 2 || !level->room)
        grow(search, level);
    uint64_t hash = hash_of(state, parts);
    *new = false;
    for (size_t at = hash & (level->table_room - 1); level->table[at];
         at = (at + 1) & (level->table_room - 1)) {
        struct node *node = &level->nodes[level->table[at] - 1];
        if (same(&node->state, state, parts))
            return node;
    }
    if (search->report->states >= search->limit) {
        search->cut_off = true;
        return NULL;
    }
    *new = true;
    search->report->states++;
    place(level, hash, (uint32_t)level->count);
    struct node *node = &level->nodes[level->count++];
    *node = (struct node){.state = *state};
    return node;
}

static bool already_found(const struct vet_report *report, enum vet_verdict kind,
                          const struct finding *finding)
{
    for (int i = 0; i < report->found_count; i++) {
        const struct vet_found *old = &report->found[i];
        if (old->kind == kind && (!finding || finding_same(&old->finding, finding)))
            return true;
    }
    return false;
}

/* Room in the list of what was found for a way of COUNT events, nearer ones before it: at
 * an event something is found a level ahead of the states that are still to be looked at.
 */
static struct vet_found *make_room(struct vet_report *report, int count)
{
    int at = report->found_count++;
    for (; at > 0 && report->found[at - 1].way_count > count; at--)
        report->found[at] = report->found[at - 1];
    return &report->found[at];
}

/* Notes what was found in node INDEX of the present level, by LAST where it is found at
 * an event that leads away from there. */
static void note(struct search *search, size_t index, enum vet_verdict kind,
                 const struct finding *finding, const struct vet_event *last)
{
    struct vet_report *report = search->report;
    if (report->found_count == VET_FOUND_MAX || already_found(report, kind, finding))
        return;
    int count = search->depth + (last != NULL);
    struct vet_found *found = make_room(report, count);
    *found = (struct vet_found){.kind = kind, .way_count = (uint8_t)count};
    if (finding)
        found->finding = *finding;
    for (int d = search->depth; d > 0; d--) {
        const struct node *node = &search->levels[d].nodes[index];
        found->way[d - 1] = node->by;
        index = node->parent;
    }
    found->begin = search->levels[0].nodes[index].state;
    if (last)
        found->way[search->depth] = *last;
}

static void note_findings(struct search *search, size_t index,
                          const struct findings *findings, const struct vet_event *last)
{
    for (int i = 0; i < findings->count; i++)
        note(search, index, VET_BROKEN, &findings->at[i], last);
}

/* Takes one event from node INDEX of the present level into the next level. */
static void step_on(struct search *search, size_t index, struct vet_event event)
{
    const struct rig *rig = search->rig;
    struct node *from = &search->levels[search->depth].nodes[index];
    struct findings at_event = {0};
    if (event.finish)
        rig_find_finish(rig, &from->state, event.step, &at_event);
    else
        rig_find_start(rig, &from->state, event.step, &at_event);
    note_findings(search, index, &at_event, &event);
    struct rig_state next = from->state;
    if (event.finish)
        rig_end(rig, &next, event.step);
    else
        rig_begin(rig, &next, event.step);
    search->report->transitions++;
    bool new;
    struct node *to = meet(search, &search->levels[search->depth + 1], &next, &new);
    if (!to)
        return;
    to->orders += from->orders;
    if (new) {
        to->parent = (uint32_t)index;
        to->by = event;
    }
}

static void look_at_end(struct search *search, size_t index)
{
    const struct node *node = &search->levels[search->depth].nodes[index];
    if (!rig_ended(search->rig, &node->state)) {
        note(search, index, VET_STALL, NULL, NULL);
        return;
    }
    search->report->orders += node->orders;
    if (rig_short_of_goal(search->rig, &node->state))
        note(search, index, VET_WRONG_END, NULL, NULL);
}

static void expand(struct search *search, size_t index)
{
    const struct rig *rig = search->rig;
    struct rig_state state = search->levels[search->depth].nodes[index].state;
    struct findings found = {0};
    rig_find(rig, &state, &found);
    note_findings(search, index, &found, NULL);
    step_set starts = rig_ready(rig, &state), ends = rig_may_end(rig, &state);
    if (!starts && !ends)
        look_at_end(search, index);
    for (int s = 0; s < rig->procedure->step_count; s++) {
        if (starts >> s & 1)
            step_on(search, index, (struct vet_event){(uint8_t)s, false});
        if (ends >> s & 1)
            step_on(search, index, (struct vet_event){(uint8_t)s, true});
    }
}

static bool is_wrong(const struct rig *rig, const struct rig_state *state)
{
    struct findings found = {0};
    rig_find(rig, state, &found);
    return found.count > 0;
}

/* Every combination of the values that begin allows is a state to begin in. */
static void add_begins(struct search *search, struct rig_state *state, int part)
{
    const struct procedure *procedure = search->rig->procedure;
    if (search->levels[0].count >= VET_BEGINS_MAX) {
        search->cut_off = true;
        return;
    }
    while (part < search->rig->plan->part_count && !procedure->begin[part].values)
        part++;
    if (part == search->rig->plan->part_count) {
        bool new;
        if (search->limits->past_wrong && is_wrong(search->rig, state))
            return;
        struct node *node = meet(search, &search->levels[0], state, &new);
        if (node)
            node->orders = 1;
        return;
    }
    for (int v = 0; v < search->rig->plan->parts[part].value_count; v++)
        if (procedure->begin[part].values >> v & 1) {
            struct rig_state next = *state;
            next.part[part] = (uint8_t)v;
            add_begins(search, &next, part + 1);
        }
}

static bool asked_to_stop(const struct search *search, size_t index)
{
    const struct vet_limits *limits = search->limits;
    if (limits->each && limits->each(limits->each_payload,
                                     &search->levels[search->depth].nodes[index].state))
        return true;
    return limits->stop && index % ASK_EVERY == 0 && limits->stop(limits->payload);
}

/* Every state that was met, for the checker. */
static void certify(const struct search *search)
{
    struct vet_certificate *certificate = search->limits->certificate;
    if (!certificate || !certify_open(certificate, search->rig, search->report->states))
        return;
    for (int d = 0; d < search->depth; d++)
        for (size_t i = 0; i < search->levels[d].count; i++)
            certify_state(certificate, &search->levels[d].nodes[i].state);
}

void vet_search(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
                struct vet_report *out)
{
    struct arena *arena = arena_new();
    *out = (struct vet_report){0};
    struct search search = {.rig = rig,
                            .arena = arena,
                            .report = out,
                            .limits = limits,
                            .limit = limits->states ? limits->states : STATES_USUAL};
    search.levels = arena_alloc(arena, (VET_WAY_MAX + 2) * sizeof *search.levels);
    struct rig_state start;
    rig_start(rig, &start);
    add_begins(&search, &start, one_begin ? rig->plan->part_count : 0);
    out->begins = search.levels[0].count;
    for (search.depth = 0; search.levels[search.depth].count && !search.cut_off;
         search.depth++) {
        for (size_t i = 0; i < search.levels[search.depth].count && !search.cut_off;
             i++) {
            expand(&search, i);
            search.cut_off |= asked_to_stop(&search, i);
        }
        search.cut_off |= limits->first_only && out->found_count;
    }
    out->cut_off = search.cut_off;
    out->verdict =
        search.cut_off && !out->found_count ? VET_UNDECIDED : vet_verdict_of(out);
    if (out->verdict == VET_SAFE)
        certify(&search);
    arena_free(arena);
}
