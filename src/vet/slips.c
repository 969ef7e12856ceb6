#include "vet/slips.h"

#include "vet/changed.h"
#include "vet/engines.h"

#include <assert.h>
#include <string.h>

static enum signal signal_of(const struct rig *rig, const struct finding *finding)
{
    if (finding->kind == FINDING_RULE)
        return rig->procedure->rules.at[finding->index].signal;
    return SIGNAL_NONE;
}

/* Rules before needs and hands, the worse signal word first, then the sooner. */
static bool is_worse(const struct rig *rig, const struct vet_found *a,
                     const struct vet_found *b)
{
    enum signal first = signal_of(rig, &a->finding), second = signal_of(rig, &b->finding);
    if (first != second)
        return first > second;
    return a->way_count < b->way_count;
}

/* Searches the changed rig and notes in SLIP what comes of it. */
static void try_slip(const struct rig *rig, const struct vet_limits *limits,
                     struct slip *slip, struct vet_report *report, struct slips *sum)
{
    vet_quickly(rig, limits, true, report);
    sum->states += report->states;
    slip->outcome = report->verdict;
    const struct vet_found *worst = NULL;
    for (int i = 0; i < report->found_count; i++) {
        const struct vet_found *found = &report->found[i];
        if (found->kind == report->verdict && (!worst || is_worse(rig, found, worst)))
            worst = found;
    }
    if (!worst)
        return;
    slip->finding = worst->finding;
    slip->signal =
        worst->kind == VET_BROKEN ? signal_of(rig, &worst->finding) : SIGNAL_NONE;
    slip->events = worst->way_count;
}

static void add_slip(struct slips *out, enum slip_kind kind, int step, int other)
{
    if (out->count < SLIPS_MAX)
        out->at[out->count++] =
            (struct slip){.kind = kind, .step = (uint8_t)step, .other = (uint8_t)other};
}

static void list_cues(const struct procedure *procedure, struct slips *out)
{
    for (int s = 0; s < procedure->step_count; s++) {
        step_set after = procedure->steps[s].after | procedure->steps[s].after_started;
        for (int other = 0; other < procedure->step_count; other++)
            if (after >> other & 1)
                add_slip(out, SLIP_AFTER, s, other);
        for (int i = 0; i < procedure->steps[s].wait.count; i++)
            add_slip(out, SLIP_WAIT, s, i);
    }
}

static void list_swaps(const struct rig *rig, struct slips *out)
{
    for (int c = 0; c < rig->card_count; c++)
        for (int i = 0; i + 1 < rig->cards[c].count && !rig->cards[c].free_order; i++)
            add_slip(out, SLIP_SWAP, rig->cards[c].steps[i + 1], rig->cards[c].steps[i]);
}

static void list_begins(const struct rig *rig, struct slips *out)
{
    for (int p = 0; p < rig->plan->part_count; p++)
        for (int v = 0; v < rig->plan->parts[p].value_count; v++)
            if (rig->procedure->begin[p].values &&
                !(rig->procedure->begin[p].values >> v & 1))
                add_slip(out, SLIP_BEGIN, p, v);
}

static void try_all(const struct rig *rig, const struct vet_limits *limits,
                    struct slips *slips)
{
    struct arena *arena = arena_new();
    struct changed *changed = arena_alloc(arena, sizeof *changed);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    for (int i = 0; i < slips->count; i++) {
        changed_copy(rig, changed);
        changed_slip(changed, rig, &slips->at[i]);
        try_slip(&changed->rig, limits, &slips->at[i], report, slips);
    }
    arena_free(arena);
}

void vet_omissions(const struct rig *rig, const struct vet_limits *limits,
                   struct slips *out)
{
    *out = (struct slips){0};
    for (int s = 0; s < rig->procedure->step_count; s++)
        add_slip(out, SLIP_OMIT, s, 0);
    try_all(rig, limits, out);
}

void vet_slips(const struct rig *rig, const struct vet_limits *limits, struct slips *out)
{
    *out = (struct slips){0};
    for (int s = 0; s < rig->procedure->step_count; s++)
        add_slip(out, SLIP_OMIT, s, 0);
    list_swaps(rig, out);
    list_cues(rig->procedure, out);
    list_begins(rig, out);
    try_all(rig, limits, out);
}

bool slip_unasked(const struct rig *rig, const struct slip *slip)
{
    if (slip->kind != SLIP_BEGIN || slip->outcome != VET_BROKEN || !slip->events)
        return false;
    for (int i = 0; i < rig->procedure->check_count; i++)
        if (rig->procedure->checks[i].covers >> slip->step & 1)
            return false;
    return true;
}

void vet_pairs(const struct rig *rig, const struct slips *slips,
               const struct vet_limits *limits, struct slip_pairs *out)
{
    struct arena *arena = arena_new();
    struct changed *changed = arena_alloc(arena, sizeof *changed);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    struct slips *scratch = arena_alloc(arena, sizeof *scratch);
    *out = (struct slip_pairs){0};
    for (int i = 0; i < slips->count; i++)
        for (int j = 0; j < i; j++) {
            const struct slip *a = &slips->at[j], *b = &slips->at[i];
            if (a->outcome == VET_BROKEN || b->outcome == VET_BROKEN)
                continue; /* one of them is enough */
            changed_copy(rig, changed);
            changed_slip(changed, rig, a);
            changed_slip(changed, rig, b);
            struct slip both = *b;
            try_slip(&changed->rig, limits, &both, report, scratch);
            out->tried++;
            if (both.outcome != VET_BROKEN)
                continue;
            if (out->count < SLIP_PAIRS_MAX)
                out->at[out->count] =
                    (struct slip_pair){*a, *b, both.finding, both.signal};
            out->count += out->count < SLIP_PAIRS_MAX;
            out->hurting++;
        }
    arena_free(arena);
}

static bool hurts_more(const struct slip *a, const struct slip *b)
{
    if (a->signal != b->signal)
        return a->signal > b->signal;
    return a->events < b->events;
}

int slips_must_not_miss(const struct slips *slips, uint8_t steps[STEPS_MAX])
{
    const struct slip *sorted[STEPS_MAX];
    int count = 0;
    for (int i = 0; i < slips->count; i++) {
        const struct slip *slip = &slips->at[i];
        if (slip->kind != SLIP_OMIT || slip->outcome != VET_BROKEN || count == STEPS_MAX)
            continue;
        int at = count++;
        while (at > 0 && hurts_more(slip, sorted[at - 1])) {
            sorted[at] = sorted[at - 1];
            at--;
        }
        sorted[at] = slip;
    }
    for (int i = 0; i < count; i++)
        steps[i] = sorted[i]->step;
    return count;
}
