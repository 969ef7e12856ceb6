#include "vet/checker.h"

#include <string.h>

_Static_assert(sizeof(struct rig_state) == 3 * sizeof(step_set) + 4 * PARTS_MAX,
               "states are compared byte by byte");

/* Takes EVENT in STATE; false where it is not allowed there.  What is wrong with it goes
 * to FOUND. */
static bool take(const struct rig *rig, struct rig_state *state, struct vet_event event,
                 struct findings *found)
{
    step_set allowed = event.finish ? rig_may_end(rig, state) : rig_ready(rig, state);
    if (event.step >= rig->procedure->step_count || !(allowed >> event.step & 1))
        return false;
    if (event.finish) {
        rig_find_finish(rig, state, event.step, found);
        rig_end(rig, state, event.step);
    } else {
        rig_find_start(rig, state, event.step, found);
        rig_begin(rig, state, event.step);
    }
    return true;
}

static bool same(const struct rig_state *a, const struct rig_state *b)
{
    return memcmp(a, b, sizeof *a) == 0;
}

static bool may_begin(const struct rig *rig, const struct rig_state *state)
{
    struct rig_state start;
    rig_start(rig, &start);
    if (same(state, &start))
        return true;
    for (int p = 0; p < rig->plan->part_count; p++)
        if (rig->procedure->begin[p].values >> state->part[p] & 1)
            start.part[p] = state->part[p];
    return same(state, &start);
}

static bool nothing_can_happen(const struct rig *rig, const struct rig_state *state)
{
    return !rig_ready(rig, state) && !rig_may_end(rig, state);
}

bool vet_replay(const struct rig *rig, const struct vet_found *found)
{
    struct rig_state state = found->begin;
    struct findings last = {0};
    bool is_way = may_begin(rig, &state) && found->way_count <= VET_WAY_MAX;
    for (int i = 0; is_way && i < found->way_count; i++) {
        last.count = 0;
        is_way = take(rig, &state, found->way[i], &last);
    }
    if (!is_way)
        return false;
    rig_find(rig, &state, &last);
    switch (found->kind) {
    case VET_BROKEN:
        return findings_have(&last, &found->finding);
    case VET_STALL:
        return nothing_can_happen(rig, &state) && !rig_ended(rig, &state);
    case VET_WRONG_END:
        return rig_ended(rig, &state) && rig_short_of_goal(rig, &state);
    default:
        return false;
    }
}

/* A certificate of states with a table to find them by their bytes. */
struct book {
    const struct rig *rig;
    const struct vet_certificate *of;
    struct rig_state start; /* what no record holds is as here */
    uint32_t *table;        /* number of the record + 1; 0: free */
    size_t room;            /* a power of two, more than the records */
};

static const uint8_t *record(const struct book *book, size_t i)
{
    return book->of->states + i * book->of->size;
}

static void read_record(const struct book *book, const uint8_t *at,
                        struct rig_state *state)
{
    *state = book->start;
    memcpy(&state->begun, at, sizeof state->begun);
    at += sizeof state->begun;
    memcpy(&state->done, at, sizeof state->done);
    at += sizeof state->done;
    for (int i = 0; i < book->of->part_count; i++)
        state->part[book->of->parts[i]] = *at++;
    for (int i = 0; i < book->of->line_count; i++, at += 3) {
        int line = book->of->lines[i];
        state->tender[line] = (int8_t)at[0];
        state->taker[line] = (int8_t)at[1];
        state->tending[line] = at[2];
    }
}

/* STATE has no step, value or lane that the rig does not have. */
static bool is_of(const struct rig *rig, const struct rig_state *state)
{
    const struct procedure *procedure = rig->procedure;
    if ((state->begun & ~procedure_all_steps(procedure)) || (state->done & ~state->begun))
        return false;
    for (int p = 0; p < rig->plan->part_count; p++) {
        int tending = state->tending[p], tended = tending - STEPS_MAX;
        if (state->part[p] >= rig->plan->parts[p].value_count ||
            state->tender[p] >= rig->lane_count || state->taker[p] >= rig->lane_count ||
            (tended < 0 ? tending >= procedure->step_count
                        : tended >= procedure->tended_count))
            return false;
    }
    return true;
}

/* Where a search for STATE begins: a sum over what can differ. */
static size_t place_of(const struct book *book, const struct rig_state *state)
{
    uint64_t sum = state->begun * 0x9e3779b97f4a7c15u ^ state->done;
    for (int i = 0; i < book->of->part_count; i++)
        sum = (sum ^ sum >> 31) * 0xbf58476d1ce4e5b9u + state->part[book->of->parts[i]];
    for (int i = 0; i < book->of->line_count; i++) {
        int line = book->of->lines[i];
        sum = (sum ^ sum >> 31) * 0x94d049bb133111ebu + (uint8_t)state->tender[line] +
              ((uint64_t)(uint8_t)state->taker[line] << 8) +
              ((uint64_t)state->tending[line] << 16);
    }
    return (size_t)(sum ^ sum >> 29) & (book->room - 1);
}

/* STATE is in the book: all of it, also what its record leaves out. */
static bool holds(const struct book *book, const struct rig_state *state)
{
    struct rig_state held;
    for (size_t at = place_of(book, state); book->table[at];
         at = (at + 1) & (book->room - 1)) {
        read_record(book, record(book, book->table[at] - 1), &held);
        if (same(&held, state))
            return true;
    }
    return false;
}

static bool is_well_formed(const struct rig *rig, const struct vet_certificate *of)
{
    for (int i = 0; i < of->part_count; i++)
        if (of->parts[i] >= rig->plan->part_count)
            return false;
    for (int i = 0; i < of->line_count; i++)
        if (of->lines[i] >= rig->plan->part_count)
            return false;
    return of->count < UINT32_MAX &&
           of->size == 2 * sizeof(step_set) + of->part_count + 3u * of->line_count;
}

/* False where a record is no state of the rig. */
static bool open_book(struct book *book, struct arena *arena)
{
    rig_start(book->rig, &book->start);
    for (book->room = 64; book->room < 2 * book->of->count; book->room *= 2)
        ;
    book->table = arena_alloc(arena, book->room * sizeof *book->table);
    struct rig_state state;
    for (size_t i = 0; i < book->of->count; i++) {
        read_record(book, record(book, i), &state);
        if (!is_of(book->rig, &state))
            return false;
        size_t at = place_of(book, &state);
        while (book->table[at])
            at = (at + 1) & (book->room - 1);
        book->table[at] = (uint32_t)i + 1;
    }
    return true;
}

/* The least of VALUES that is FROM or more; -1: none. */
static int value_from(value_set values, unsigned from)
{
    for (unsigned v = from; v < VALUES_MAX; v++)
        if (values >> v & 1)
            return (int)v;
    return -1;
}

/* Goes from one begin to the next like a counter; false behind the last. */
static bool next_begin(const struct rig *rig, struct rig_state *state)
{
    for (int p = 0; p < rig->plan->part_count; p++) {
        value_set values = rig->procedure->begin[p].values;
        int next = value_from(values, state->part[p] + 1u);
        if (values)
            state->part[p] = (uint8_t)(next < 0 ? value_from(values, 0) : next);
        if (next >= 0)
            return true;
    }
    return false;
}

static bool holds_begins(const struct book *book, bool one_begin)
{
    struct rig_state state = book->start;
    if (one_begin)
        return holds(book, &state);
    for (int p = 0; p < book->rig->plan->part_count; p++)
        if (book->rig->procedure->begin[p].values)
            state.part[p] = (uint8_t)value_from(book->rig->procedure->begin[p].values, 0);
    do {
        if (!holds(book, &state))
            return false;
    } while (next_begin(book->rig, &state));
    return true;
}

static bool leads_on(const struct book *book, const struct rig_state *state, int step,
                     bool finish)
{
    struct rig_state next = *state;
    struct findings found = {0};
    struct vet_event event = {(uint8_t)step, finish};
    return take(book->rig, &next, event, &found) && !found.count && holds(book, &next);
}

/* Nothing is wrong in STATE, and all that can happen in it leads on within the book. */
static bool is_sound(const struct book *book, const struct rig_state *state)
{
    const struct rig *rig = book->rig;
    struct findings found = {0};
    rig_find(rig, state, &found);
    if (found.count)
        return false;
    step_set starts = rig_ready(rig, state), ends = rig_may_end(rig, state);
    if (!starts && !ends)
        return rig_ended(rig, state) && !rig_short_of_goal(rig, state);
    for (int s = 0; s < rig->procedure->step_count; s++)
        if ((starts >> s & 1 && !leads_on(book, state, s, false)) ||
            (ends >> s & 1 && !leads_on(book, state, s, true)))
            return false;
    return true;
}

static bool accepts_states(struct book *book, bool one_begin)
{
    struct rig_state state;
    if (!holds_begins(book, one_begin))
        return false;
    for (size_t i = 0; i < book->of->count; i++) {
        read_record(book, record(book, i), &state);
        if (!is_sound(book, &state))
            return false;
    }
    return true;
}

bool vet_accepts(const struct rig *rig, bool one_begin,
                 const struct vet_certificate *certificate)
{
    if (certificate->ground != VET_GROUND_STATES || !is_well_formed(rig, certificate))
        return false;
    struct arena *arena = arena_new();
    struct book book = {.rig = rig, .of = certificate};
    bool accepted = open_book(&book, arena) && accepts_states(&book, one_begin);
    arena_free(arena);
    return accepted;
}

/* The verdict is the worst of what was found, and each way leads to it. */
static bool ways_hold(const struct rig *rig, const struct vet_report *report)
{
    enum vet_verdict worst = VET_UNDECIDED;
    for (int i = 0; i < report->found_count; i++) {
        if (!vet_replay(rig, &report->found[i]))
            return false;
        if (report->found[i].kind < worst)
            worst = report->found[i].kind;
    }
    return worst == report->verdict;
}

void vet_check(const struct rig *rig, bool one_begin,
               const struct vet_certificate *certificate, struct vet_report *report)
{
    bool holds = true;
    report->checked = VET_UNCHECKED;
    if (report->verdict == VET_SAFE && !report->found_count) {
        if (certificate->ground == VET_GROUND_NONE)
            return;
        holds = vet_accepts(rig, one_begin, certificate);
    } else if (report->verdict == VET_UNDECIDED && !report->found_count) {
        return;
    } else {
        holds = ways_hold(rig, report);
    }
    report->checked = holds ? VET_CHECKED : VET_REFUSED;
    if (!holds)
        report->verdict = VET_UNDECIDED;
}
