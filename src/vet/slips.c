#include "vet/slips.h"

#include <assert.h>
#include <string.h>

/* A rig that can be changed: its own copy of the procedure and the steps. */
struct changed {
    struct rig rig;
    struct procedure procedure;
    struct step steps[STEPS_MAX];
    struct condition wait[UINT8_MAX + 1];
};

static void copy_rig(const struct rig *rig, struct changed *out)
{
    out->rig = *rig;
    out->procedure = *rig->procedure;
    memcpy(out->steps, rig->procedure->steps,
           rig->procedure->step_count * sizeof out->steps[0]);
    out->procedure.steps = out->steps;
    out->rig.procedure = &out->procedure;
}

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

static void try_slip(const struct rig *rig, const struct vet_limits *limits,
                     struct slip slip, struct vet_report *report, struct slips *out)
{
    if (out->count == SLIPS_MAX)
        return;
    vet_search(rig, limits, true, report);
    out->states += report->states;
    slip.outcome = report->verdict;
    const struct vet_found *worst = NULL;
    for (int i = 0; i < report->found_count; i++) {
        const struct vet_found *found = &report->found[i];
        if (found->kind == report->verdict && (!worst || is_worse(rig, found, worst)))
            worst = found;
    }
    if (worst) {
        slip.finding = worst->finding;
        slip.signal =
            worst->kind == VET_BROKEN ? signal_of(rig, &worst->finding) : SIGNAL_NONE;
        slip.events = worst->way_count;
    }
    out->at[out->count++] = slip;
}

struct slipping {
    const struct rig *rig;
    const struct vet_limits *limits;
    struct changed *changed;
    struct vet_report *report;
    struct slips *out;
};

static void omit(struct slipping *s, int step)
{
    copy_rig(s->rig, s->changed);
    s->changed->rig.start.skipped |= (step_set)1 << step;
    try_slip(&s->changed->rig, s->limits,
             (struct slip){.kind = SLIP_OMIT, .step = (uint8_t)step}, s->report, s->out);
}

static void swap(struct slipping *s, int card, int at)
{
    copy_rig(s->rig, s->changed);
    uint8_t *steps = s->changed->rig.cards[card].steps;
    uint8_t first = steps[at], second = steps[at + 1];
    steps[at] = second;
    steps[at + 1] = first;
    try_slip(&s->changed->rig, s->limits,
             (struct slip){.kind = SLIP_SWAP, .step = second, .other = first}, s->report,
             s->out);
}

static void ignore_after(struct slipping *s, int step, int other)
{
    copy_rig(s->rig, s->changed);
    s->changed->steps[step].after &= ~((step_set)1 << other);
    s->changed->steps[step].after_started &= ~((step_set)1 << other);
    try_slip(&s->changed->rig, s->limits,
             (struct slip){SLIP_AFTER, (uint8_t)step, (uint8_t)other, 0, {0}, 0, 0},
             s->report, s->out);
}

static void ignore_wait(struct slipping *s, int step, int which)
{
    copy_rig(s->rig, s->changed);
    struct conditions *wait = &s->changed->steps[step].wait;
    int kept = 0;
    for (int i = 0; i < wait->count; i++)
        if (i != which)
            s->changed->wait[kept++] = wait->at[i];
    wait->at = s->changed->wait;
    wait->count = (uint8_t)kept;
    try_slip(&s->changed->rig, s->limits,
             (struct slip){SLIP_WAIT, (uint8_t)step, (uint8_t)which, 0, {0}, 0, 0},
             s->report, s->out);
}

void vet_omissions(const struct rig *rig, const struct vet_limits *limits,
                   struct slips *out)
{
    struct arena *arena = arena_new();
    struct slipping s = {rig, limits, arena_alloc(arena, sizeof *s.changed),
                         arena_alloc(arena, sizeof *s.report), out};
    out->count = 0;
    out->states = 0;
    for (int step = 0; step < rig->procedure->step_count; step++)
        omit(&s, step);
    arena_free(arena);
}

void vet_slips(const struct rig *rig, const struct vet_limits *limits, struct slips *out)
{
    struct arena *arena = arena_new();
    struct slipping s = {rig, limits, arena_alloc(arena, sizeof *s.changed),
                         arena_alloc(arena, sizeof *s.report), out};
    out->count = 0;
    out->states = 0;
    const struct procedure *procedure = rig->procedure;
    for (int step = 0; step < procedure->step_count; step++)
        omit(&s, step);
    for (int card = 0; card < rig->card_count; card++)
        for (int at = 0; at + 1 < rig->cards[card].count; at++)
            if (!rig->cards[card].free_order)
                swap(&s, card, at);
    for (int step = 0; step < procedure->step_count; step++) {
        step_set after =
            procedure->steps[step].after | procedure->steps[step].after_started;
        for (int other = 0; other < procedure->step_count; other++)
            if (after >> other & 1)
                ignore_after(&s, step, other);
        for (int i = 0; i < procedure->steps[step].wait.count; i++)
            ignore_wait(&s, step, i);
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

static bool has(const struct vet_report *report, const struct vet_found *wanted)
{
    for (int i = 0; i < report->found_count; i++) {
        const struct vet_found *found = &report->found[i];
        if (found->kind == wanted->kind &&
            finding_same(&found->finding, &wanted->finding))
            return true;
    }
    return false;
}

static bool brings_new(const struct vet_report *before, const struct vet_report *after)
{
    for (int i = 0; i < after->found_count; i++)
        if (!has(before, &after->found[i]))
            return true;
    return after->verdict == VET_UNDECIDED;
}

/* The last step that starts on the way: the move that does it. */
static int last_start(const struct vet_found *found)
{
    for (int i = found->way_count - 1; i >= 0; i--)
        if (!found->way[i].finish)
            return found->way[i].step;
    return -1;
}

static step_set done_on_the_way(const struct vet_found *found)
{
    step_set done = found->begin.done;
    for (int i = 0; i < found->way_count; i++)
        if (found->way[i].finish)
            done |= (step_set)1 << found->way[i].step;
    return done;
}

int vet_repair(const struct rig *rig, const struct vet_found *found,
               const struct vet_limits *limits, int *at_step)
{
    struct arena *arena = arena_new();
    struct changed *changed = arena_alloc(arena, sizeof *changed);
    struct vet_report *before = arena_alloc(arena, sizeof *before);
    struct vet_report *after = arena_alloc(arena, sizeof *after);
    int step = last_start(found), best = -1;
    double most = 0;
    vet_search(rig, limits, false, before);
    step_set done = done_on_the_way(found);
    for (int w = 0; step >= 0 && w < rig->procedure->step_count; w++) {
        if (w == step || done >> w & 1)
            continue;
        copy_rig(rig, changed);
        changed->steps[step].after |= (step_set)1 << w;
        vet_search(&changed->rig, limits, false, after);
        if (has(after, found) || brings_new(before, after) || after->orders <= most)
            continue;
        most = after->orders; /* the arrow that takes away the fewest orders */
        best = w;
    }
    arena_free(arena);
    *at_step = step;
    return best;
}
