#include "vet/slips.h"

#include "vet/slip_try.h"

#include <string.h>

bool slip_breaks(const struct slip *slip, int rule)
{
    return slip->breaks[rule / 64] >> rule % 64 & 1;
}

bool slip_is_single(const struct slip *slip)
{
    return slip->kind != SLIP_SOON;
}

static void add_slip(struct slips *out, enum slip_kind kind, int step, int other)
{
    if (out->count == SLIPS_MAX) {
        out->left_out++;
        return;
    }
    out->at[out->count++] =
        (struct slip){.kind = kind, .step = (uint8_t)step, .other = (uint8_t)other};
}

static void list_omissions(const struct procedure *procedure, struct slips *out)
{
    for (int s = 0; s < procedure->step_count; s++)
        add_slip(out, SLIP_OMIT, s, 0);
}

static int list_afters(const struct step *step, int s, int step_count, struct slips *out)
{
    int count = 0;
    for (int other = 0; other < step_count; other++)
        if ((step->after | step->after_started) >> other & 1) {
            add_slip(out, SLIP_AFTER, s, other);
            count++;
        }
    return count;
}

static void list_cues(const struct procedure *procedure, struct slips *out)
{
    for (int s = 0; s < procedure->step_count; s++) {
        const struct step *step = &procedure->steps[s];
        int cues = list_afters(step, s, procedure->step_count, out) + step->wait.count;
        for (int i = 0; i < step->wait.count; i++)
            add_slip(out, SLIP_WAIT, s, i);
        if (step->need.count)
            add_slip(out, SLIP_NEED, s, 0);
        if (cues > 1) /* a single cue stands in the list already */
            add_slip(out, SLIP_SOON, s, 0);
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

/* NONE is what comes of no slip at all. */
static void try_one(struct slip_try *try, const struct slip *none, struct slip *slip)
{
    changed_copy(try->rig, try->changed);
    changed_slip(try->changed, try->rig, slip);
    if (slip_try_stopped(try)) {
        slip->outcome = VET_UNDECIDED;
        return;
    }
    if (slip_try_implied(try, slip)) {
        slip->outcome = none->outcome;
        memcpy(slip->breaks, none->breaks, sizeof slip->breaks);
        slip->unmet = none->unmet;
        return;
    }
    slip_try_search(try, slip);
    slip->barred = slip->kind == SLIP_SWAP && slip_try_barred(try);
    slip->seen = slip->kind == SLIP_BEGIN && slip->outcome == VET_BROKEN &&
                 !slip->events && slip_try_seen(try);
}

static void try_all(const struct rig *rig, const struct vet_limits *limits,
                    struct slips *slips)
{
    struct arena *arena = arena_new();
    struct slip_try try;
    slip_try_start(&try, rig, limits, arena);
    struct slip none = {0};
    slip_try_search(&try, &none);
    for (int i = 0; i < slips->count; i++) {
        try_one(&try, &none, &slips->at[i]);
        slips->states = try.states;
    }
    slips->cut = try.cut;
    arena_free(arena);
}

void vet_omissions(const struct rig *rig, const struct vet_limits *limits,
                   struct slips *out)
{
    *out = (struct slips){0};
    list_omissions(rig->procedure, out);
    try_all(rig, limits, out);
}

void vet_slips(const struct rig *rig, const struct vet_limits *limits, struct slips *out)
{
    *out = (struct slips){0};
    list_omissions(rig->procedure, out);
    list_swaps(rig, out);
    list_cues(rig->procedure, out);
    list_begins(rig, out);
    try_all(rig, limits, out);
}

bool slip_unasked(const struct rig *rig, const struct slip *slip)
{
    if (slip->kind != SLIP_BEGIN || slip->outcome != VET_BROKEN || slip->seen)
        return false;
    for (int i = 0; i < rig->procedure->check_count; i++)
        if (rig->procedure->checks[i].covers >> slip->step & 1)
            return false;
    return true;
}

static bool breaks_a_rule(const struct slip *slip)
{
    for (int i = 0; i < RULES_MAX / 64; i++)
        if (slip->breaks[i])
            return true;
    return false;
}

/* Some single slip is told by the need of STEP: no rule is broken by it. */
static bool need_tells(const struct slips *slips, int step)
{
    for (int i = 0; i < slips->count; i++)
        if (slip_is_single(&slips->at[i]) && slips->at[i].unmet >> step & 1 &&
            !breaks_a_rule(&slips->at[i]))
            return true;
    return false;
}

bool slip_carries_nothing(const struct slips *slips, const struct slip *slip)
{
    switch (slip->kind) {
    case SLIP_AFTER:
    case SLIP_WAIT:
        return slip->outcome == VET_SAFE;
    case SLIP_NEED:
        return slip->outcome == VET_SAFE && !need_tells(slips, slip->step);
    default:
        return false;
    }
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

const struct slip *slips_forgotten(const struct slips *slips, int step)
{
    for (int i = 0; i < slips->count; i++)
        if (slips->at[i].kind == SLIP_OMIT && slips->at[i].step == step)
            return &slips->at[i];
    return NULL;
}
