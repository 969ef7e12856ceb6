#include "debrief/debrief.h"

#include <string.h>

/* A moment of the run on the plan's clock. */
static int64_t since_go(const struct run *run, int64_t at_ms, int64_t held_ms)
{
    return at_ms < 0 ? -1 : at_ms - run->now.go_ms - held_ms;
}

/* Holds finished before AT_MS: each hold of the run is two events. */
static int64_t held_until(const struct run *run, int64_t at_ms)
{
    int64_t held = 0, since = -1;
    for (int i = 0; i < run->event_count && run->events[i].at_ms <= at_ms; i++) {
        if (run->events[i].kind == RUN_HELD)
            since = run->events[i].at_ms;
        else if (run->events[i].kind == RUN_WENT_ON && since >= 0) {
            held += run->events[i].at_ms - since;
            since = -1;
        }
    }
    return since >= 0 ? held + at_ms - since : held;
}

static void fill_split(const struct run *run, int step, struct debrief_split *out)
{
    const struct run_step *timed = &run->now.steps[step];
    const struct bill_slot *slot = bill_slot_of(run->bill, step);
    bool made = run->now.rig.done >> step & 1;
    *out = (struct debrief_split){.step = (uint8_t)step,
                                  .begun_ms = -1,
                                  .made_ms = -1,
                                  .split_ms = -1,
                                  .plan_begun_ms = slot->start_ms,
                                  .plan_made_ms = slot->end_ms,
                                  .flags = timed->flags,
                                  .skipped = run->now.rig.skipped >> step & 1};
    if (!made || timed->flags & RUN_STEP_UNTIMED)
        return;
    out->made_ms = since_go(run, timed->made_ms, held_until(run, timed->made_ms));
    if (timed->flags & RUN_STEP_NO_START)
        return;
    out->begun_ms = since_go(run, timed->begun_ms, held_until(run, timed->begun_ms));
    out->split_ms = out->made_ms - out->begun_ms;
    out->counts = run->mode != RUN_WALK &&
                  !(timed->flags & (RUN_STEP_BREACH | RUN_STEP_UNCLEAR | RUN_STEP_SPANS));
}

static bool has_value(const struct run_event *event)
{
    return event->value != 0;
}

/* An event of KIND that stands is so. */
static bool any_event(const struct run *run, enum run_kind kind,
                      bool (*is_so)(const struct run_event *event))
{
    for (int i = 0; i < run->event_count; i++)
        if (run->events[i].kind == kind && !run->undone[i] && is_so(&run->events[i]))
            return true;
    return false;
}

static void find_against(const struct run *run, struct debrief *out)
{
    for (int i = 0; i < run->event_count; i++)
        if (run->events[i].kind == RUN_GO && !run->undone[i])
            memcpy(out->against, run->events[i].text, sizeof out->against);
}

void debrief_make(const struct run *run, int64_t now_ms, struct debrief *out)
{
    const struct run_view *view = &run->now;
    *out = (struct debrief){.outcome = view->outcome,
                            .total_ms = view->go_ms < 0 ? -1 : run_plan_ms(run, now_ms),
                            .held_ms = run_held_ms(run, now_ms),
                            .plan_ms = run->bill->total_ms,
                            .breaches = run_count_flag(run, RUN_STEP_BREACH),
                            .unclear = run_count_flag(run, RUN_STEP_UNCLEAR),
                            .dangers = run_count_dangers(run),
                            .notes = view->notes,
                            .overruled = view->overruled};
    find_against(run, out);
    for (int i = 0; i < run->bill->slot_count; i++) {
        struct debrief_split *split = &out->splits[out->split_count++];
        fill_split(run, run->bill->slots[i].step, split);
        out->skipped += split->skipped;
        out->untimed += split->made_ms < 0;
    }
    out->timed = !out->untimed && !any_event(run, RUN_RESUMED, has_value);
}

bool debrief_clean(const struct debrief *debrief)
{
    return (debrief->outcome == RUN_DONE || debrief->outcome == RUN_UNTIMED) &&
           !debrief->breaches && !debrief->dangers;
}
