/* What the plan says of a moment, for a crew with no hand free to mark. */
#include "run/internal.h"

enum { PATIENCE_MS = 3000 };

static bool is_mark(enum run_kind kind)
{
    return kind == RUN_MADE || kind == RUN_BEGUN || kind == RUN_CAUGHT_UP ||
           kind == RUN_SKIPPED;
}

/* Afloat, live and no step marked yet. */
static bool is_unmarked(const struct run *run)
{
    if (run->mode != RUN_AFLOAT || run->now.go_ms < 0 || run->now.phase == RUN_OVER)
        return false;
    for (int i = 0; i < run->event_count; i++)
        if (is_mark((enum run_kind)run->events[i].kind) && !run->undone[i])
            return false;
    return true;
}

/* How long the mark of the first call will still be waited for: until then it may just as
 * well be that somebody is not ready, and who marks is not to find another call under
 * the key. */
static int64_t patience_ms(const struct run *run, int64_t now_ms)
{
    int due = run_due(run);
    return due < 0 ? 0 : PATIENCE_MS - run_over_slow_ms(run, due, now_ms);
}

bool run_follows_plan(const struct run *run, int64_t now_ms)
{
    return is_unmarked(run) && patience_ms(run, now_ms) <= 0;
}

static bool is_among(const struct bill_slot *slot, step_set steps)
{
    return steps >> slot->step & 1;
}

/* Among STEPS the one under way at PLAN_MS that is over first, or else the next one to
 * start; -1 where all of them are over. */
static int planned(const struct run *run, step_set steps, int64_t plan_ms)
{
    const struct bill_slot *under_way = NULL, *next = NULL;
    for (int i = 0; i < run->bill->slot_count; i++) {
        const struct bill_slot *slot = &run->bill->slots[i];
        if (!is_among(slot, steps) || slot->end_ms <= plan_ms)
            continue;
        if (slot->start_ms > plan_ms && (!next || slot->start_ms < next->start_ms))
            next = slot;
        else if (slot->start_ms <= plan_ms &&
                 (!under_way || slot->end_ms < under_way->end_ms))
            under_way = slot;
    }
    const struct bill_slot *found = under_way ? under_way : next;
    return found ? found->step : -1;
}

static step_set open_steps(const struct run *run)
{
    const struct rig_state *rig = &run->now.rig;
    return procedure_all_steps(run->rig->procedure) & ~rig->done & ~rig->skipped;
}

int run_called(const struct run *run, int64_t now_ms)
{
    if (!run_follows_plan(run, now_ms))
        return run_due(run);
    return planned(run, open_steps(run), run_plan_ms(run, now_ms));
}

int run_lane_called(const struct run *run, int lane, int64_t now_ms)
{
    if (!run_follows_plan(run, now_ms))
        return run_lane_step(run, lane);
    step_set open = open_steps(run), steps = 0;
    for (int s = 0; s < run->rig->procedure->step_count; s++)
        if (open >> s & 1 && run->rig->lanes_of_step[s] >> lane & 1)
            steps |= (step_set)1 << s;
    int step = planned(run, steps, run_plan_ms(run, now_ms));
    for (int i = 0; step < 0 && i < run->bill->slot_count; i++)
        if (is_among(&run->bill->slots[run->bill->slot_count - 1 - i], steps))
            step = run->bill->slots[run->bill->slot_count - 1 - i].step;
    return step;
}

int64_t run_until_next_call_ms(const struct run *run, int64_t now_ms)
{
    int64_t plan_ms = run_plan_ms(run, now_ms), next_ms = INT64_MAX;
    if (!is_unmarked(run) || run->now.phase == RUN_ON_HOLD)
        return -1;
    if (patience_ms(run, now_ms) > 0)
        return patience_ms(run, now_ms);
    for (int i = 0; i < run->bill->slot_count; i++) {
        const struct bill_slot *slot = &run->bill->slots[i];
        int64_t at_ms = slot->start_ms > plan_ms ? slot->start_ms : slot->end_ms;
        if (at_ms > plan_ms && at_ms < next_ms)
            next_ms = at_ms;
    }
    return next_ms == INT64_MAX ? -1 : next_ms - plan_ms;
}

/* The next start or finish of the plan up to PLAN_MS that STATE has not seen; of two at
 * once the finish.  NULL where there is none. */
static const struct bill_slot *next_event(const struct run *run,
                                          const struct rig_state *state, int64_t plan_ms)
{
    const struct bill_slot *next = NULL;
    int64_t next_ms = plan_ms + 1;
    for (int i = 0; i < run->bill->slot_count; i++) {
        const struct bill_slot *slot = &run->bill->slots[i];
        bool begun = state->begun >> slot->step & 1;
        int64_t at_ms = begun ? slot->end_ms : slot->start_ms;
        if ((state->done | state->skipped) >> slot->step & 1 || at_ms > plan_ms)
            continue;
        bool first_of_two =
            next && at_ms == next_ms && begun && !(state->begun >> next->step & 1);
        if (at_ms < next_ms || first_of_two) {
            next = slot;
            next_ms = at_ms;
        }
    }
    return next;
}

void run_planned_rig(const struct run *run, int64_t now_ms, struct rig_state *out)
{
    int64_t plan_ms = run_plan_ms(run, now_ms);
    rig_start(run->rig, out);
    for (const struct bill_slot *slot; (slot = next_event(run, out, plan_ms));) {
        if (out->begun >> slot->step & 1)
            rig_end(run->rig, out, slot->step);
        else
            rig_begin(run->rig, out, slot->step);
    }
}
