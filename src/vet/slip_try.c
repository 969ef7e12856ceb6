#include "vet/slip_try.h"

#include "vet/before.h"
#include "vet/engines.h"

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

/* Keeps which rules and needs there are among what was found. */
static void note_broken(const struct vet_found *found, struct slip *out)
{
    int index = found->finding.index;
    if (found->kind != VET_BROKEN)
        return;
    if (found->finding.kind == FINDING_RULE)
        out->breaks[index / 64] |= (uint64_t)1 << index % 64;
    if (found->finding.kind == FINDING_NEED)
        out->unmet |= (step_set)1 << index;
}

void slip_try_start(struct slip_try *try, const struct rig *rig,
                    const struct vet_limits *limits, struct arena *arena)
{
    *try = (struct slip_try){.rig = rig, .limits = limits};
    try->changed = arena_alloc(arena, sizeof *try->changed);
    try->report = arena_alloc(arena, sizeof *try->report);
    changed_copy(rig, try->changed);
}

bool slip_try_stopped(struct slip_try *try)
{
    try->stopped =
        try->stopped || (try->limits->stop && try->limits->stop(try->limits->payload));
    try->cut |= try->stopped;
    return try->stopped;
}

void slip_try_search(struct slip_try *try, struct slip *out)
{
    const struct vet_report *report = try->report;
    vet_quickly(&try->changed->rig, try->limits, false, try->report);
    try->states += report->states;
    try->cut |= report->cut_off || report->found_count == VET_FOUND_MAX;
    *out = (struct slip){.kind = out->kind,
                         .step = out->step,
                         .other = out->other,
                         .outcome = report->verdict};
    const struct vet_found *worst = NULL;
    for (int i = 0; i < report->found_count; i++) {
        const struct vet_found *found = &report->found[i];
        note_broken(found, out);
        if (found->kind == report->verdict &&
            (!worst || is_worse(try->rig, found, worst)))
            worst = found;
    }
    if (!worst)
        return;
    out->finding = worst->finding;
    out->events = worst->way_count;
    if (worst->kind == VET_BROKEN)
        out->signal = signal_of(try->rig, &worst->finding);
}

bool slip_try_implied(const struct slip_try *try, const struct slip *slip)
{
    if (slip->kind != SLIP_AFTER)
        return false;
    struct before before;
    before_fill(&try->changed->rig, &before);
    step_set still = before.finished[slip->step];
    if (try->rig->procedure->steps[slip->step].after_started >> slip->other & 1)
        still |= before.begun[slip->step];
    return still >> slip->other & 1;
}

bool slip_try_seen(struct slip_try *try)
{
    struct vet_limits limits = *try->limits;
    struct findings first = {0};
    rig_find(&try->changed->rig, &try->changed->rig.start, &first);
    if (first.count)
        return true;
    limits.past_wrong = true;
    limits.first_only = true;
    vet_search(&try->changed->rig, &limits, false, try->report);
    try->states += try->report->states;
    return try->report->verdict != VET_BROKEN && !try->report->cut_off;
}

bool slip_try_barred(const struct slip_try *try)
{
    struct before before;
    before_fill(&try->changed->rig, &before);
    return before_goes_round(&before, try->rig->procedure->step_count);
}
