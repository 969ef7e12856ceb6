/* A second reference for vet, deliberately plain and sharing no code with its engines:
 * depth first, the states of each level in a list that is looked through from end to end.
 * It knows only rig.h, and gives the same report; and it says of each case what only all
 * states together can tell (enum seen_kind). */
#ifndef UNIT_SECOND_SEARCH_H
#define UNIT_SECOND_SEARCH_H

#include "vet/vet.h"

#include <check.h>
#include <string.h>

struct second_state {
    struct rig_state state;
    const struct second_state *from, *next;
    struct vet_event by;
    double orders; /* ways from here to an end */
    int level;     /* events until here */
};

struct second {
    const struct rig *rig;
    struct arena *arena;
    struct vet_report *report;
    const struct second_state *levels[VET_WAY_MAX + 1];
    bool racy;    /* the same marks, another value of a part: from one begin */
    bool closing; /* a wait that held holds no more, and its step has not begun */
};

static inline bool second_same(const struct second *search, const struct rig_state *a,
                               const struct rig_state *b)
{
    bool same = a->begun == b->begun && a->done == b->done && a->skipped == b->skipped;
    for (int p = 0; same && p < search->rig->plan->part_count; p++)
        same = a->part[p] == b->part[p] && a->tender[p] == b->tender[p] &&
               a->taker[p] == b->taker[p] &&
               (a->tender[p] < 0 || a->tending[p] == b->tending[p]);
    return same;
}

static inline bool second_same_parts(const struct second *search,
                                     const struct rig_state *a, const struct rig_state *b)
{
    for (int p = 0; p < search->rig->plan->part_count; p++)
        if (a->part[p] != b->part[p])
            return false;
    return true;
}

/* The state met before; looks for races on the way. */
static inline const struct second_state *
second_met(struct second *search, const struct rig_state *state, int level)
{
    const struct second_state *met = NULL;
    for (const struct second_state *s = search->levels[level]; s; s = s->next) {
        if (second_same(search, &s->state, state))
            met = s;
        else if (s->state.begun == state->begun && s->state.done == state->done &&
                 !second_same_parts(search, &s->state, state))
            search->racy = true;
    }
    return met;
}

/* Keeps the shortest way to each thing found: to FROM and then LAST, if there is one. */
static inline void second_note(struct second *search, const struct second_state *from,
                               enum vet_verdict kind, struct finding finding,
                               const struct vet_event *last)
{
    struct vet_report *report = search->report;
    int at = 0, length = from->level + (last != NULL);
    while (at < report->found_count &&
           (report->found[at].kind != kind ||
            !finding_same(&report->found[at].finding, &finding)))
        at++;
    if (at == VET_FOUND_MAX ||
        (at < report->found_count && report->found[at].way_count <= length))
        return;
    report->found_count =
        (uint8_t)(at == report->found_count ? at + 1 : report->found_count);
    struct vet_found *found = &report->found[at];
    *found = (struct vet_found){
        .kind = kind, .finding = finding, .way_count = (uint8_t)length};
    if (last)
        found->way[from->level] = *last;
    for (; from->from; from = from->from)
        found->way[from->level - 1] = from->by;
    found->begin = from->state;
}

static inline void second_note_all(struct second *search, const struct second_state *from,
                                   const struct findings *findings,
                                   const struct vet_event *last)
{
    for (int i = 0; i < findings->count; i++)
        second_note(search, from, VET_BROKEN, findings->at[i], last);
}

static inline void second_look_for_closing(struct second *search,
                                           const struct rig_state *before,
                                           const struct rig_state *after)
{
    for (int s = 0; s < search->rig->procedure->step_count; s++) {
        const struct conditions *wait = &search->rig->procedure->steps[s].wait;
        if (!((after->begun | after->skipped) >> s & 1) && rig_holds(before, wait) &&
            !rig_holds(after, wait))
            search->closing = true;
    }
}

static inline double second_visit(struct second *search, const struct rig_state *state,
                                  const struct second_state *from, struct vet_event by);

static inline double second_take(struct second *search, const struct second_state *from,
                                 struct vet_event event)
{
    struct rig_state next = from->state;
    struct findings found = {0};
    if (event.finish) {
        rig_find_finish(search->rig, &from->state, event.step, &found);
        rig_end(search->rig, &next, event.step);
    } else {
        rig_find_start(search->rig, &from->state, event.step, &found);
        rig_begin(search->rig, &next, event.step);
    }
    second_note_all(search, from, &found, &event);
    second_look_for_closing(search, &from->state, &next);
    search->report->transitions++;
    return second_visit(search, &next, from, event);
}

static inline double second_end(struct second *search, const struct second_state *at)
{
    const struct finding none = {0};
    if (!rig_ended(search->rig, &at->state)) {
        second_note(search, at, VET_STALL, none, NULL);
        return 0;
    }
    if (rig_short_of_goal(search->rig, &at->state))
        second_note(search, at, VET_WRONG_END, none, NULL);
    return 1;
}

/* Visits STATE and all behind it; the number of orders from there to an end. */
static inline double second_visit(struct second *search, const struct rig_state *state,
                                  const struct second_state *from, struct vet_event by)
{
    int level = from ? from->level + 1 : 0;
    const struct second_state *met = second_met(search, state, level);
    if (met)
        return met->orders;
    struct second_state *at = arena_alloc(search->arena, sizeof *at);
    *at = (struct second_state){.state = *state,
                                .from = from,
                                .next = search->levels[level],
                                .by = by,
                                .level = level};
    search->levels[level] = at;
    search->report->states++;
    struct findings found = {0};
    rig_find(search->rig, state, &found);
    second_note_all(search, at, &found, NULL);
    step_set starts = rig_ready(search->rig, state),
             ends = rig_may_end(search->rig, state);
    if (!starts && !ends)
        at->orders = second_end(search, at);
    for (int s = search->rig->procedure->step_count - 1; s >= 0; s--) {
        if (ends >> s & 1)
            at->orders += second_take(search, at, (struct vet_event){(uint8_t)s, true});
        if (starts >> s & 1)
            at->orders += second_take(search, at, (struct vet_event){(uint8_t)s, false});
    }
    return at->orders;
}

/* The next combination of the values that begin allows; false behind the last. */
static inline bool second_next_begin(const struct rig *rig, struct rig_state *state)
{
    for (int p = 0; p < rig->plan->part_count; p++) {
        value_set values = rig->procedure->begin[p].values;
        for (int v = state->part[p] + 1; v < rig->plan->parts[p].value_count; v++)
            if (values >> v & 1) {
                state->part[p] = (uint8_t)v;
                return true;
            }
        for (int v = rig->plan->parts[p].value_count - 1; v >= 0; v--)
            if (values >> v & 1)
                state->part[p] = (uint8_t)v; /* the least again, and carry on */
    }
    return false;
}

static inline void second_least_begin(const struct rig *rig, struct rig_state *state)
{
    for (int p = 0; p < rig->plan->part_count; p++)
        for (int v = rig->plan->parts[p].value_count - 1; v >= 0; v--)
            if (rig->procedure->begin[p].values >> v & 1)
                state->part[p] = (uint8_t)v;
}

static inline void second_set_verdict(struct vet_report *report)
{
    report->verdict = VET_SAFE;
    static const enum vet_verdict worst_last[] = {VET_WRONG_END, VET_STALL, VET_BROKEN};
    for (size_t i = 0; i < sizeof worst_last / sizeof worst_last[0]; i++)
        for (int j = 0; j < report->found_count; j++)
            if (report->found[j].kind == worst_last[i])
                report->verdict = worst_last[i];
}

/* The whole report of RIG; the caller holds OUT and gives its arena. */
static inline void second_search(struct second *out, const struct rig *rig,
                                 bool one_begin, struct arena *arena,
                                 struct vet_report *report)
{
    *report = (struct vet_report){0};
    *out = (struct second){.rig = rig, .arena = arena, .report = report};
    struct rig_state begin;
    rig_start(rig, &begin);
    if (!one_begin)
        second_least_begin(rig, &begin);
    do {
        report->begins++;
        report->orders += second_visit(out, &begin, NULL, (struct vet_event){0, false});
    } while (!one_begin && second_next_begin(rig, &begin));
    out->racy &= report->begins == 1;
    second_set_verdict(report);
}

#endif
