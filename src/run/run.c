#include "run/internal.h"

#include <assert.h>
#include <string.h>

enum { GUARD_USUAL_MS = 300 };

void run_start(struct run *run, const struct rig *rig, const struct bill *bill,
               enum run_mode mode)
{
    memset(run, 0, sizeof *run);
    run->rig = rig;
    run->bill = bill;
    run->mode = mode;
    run->guard_ms = GUARD_USUAL_MS;
    run_fold_start(run, &run->now);
}

static bool is_open(const struct run *run, int step)
{
    return step < run->rig->procedure->step_count &&
           !((run->now.rig.done | run->now.rig.skipped) >> step & 1);
}

static int newest_to_undo(const struct run *run)
{
    for (int i = run->event_count - 1; i >= 0; i--)
        if (!run->undone[i] && run_can_be_undone(run->events[i].kind))
            return i;
    return -1;
}

/* Stopped runs stay stopped; one that ended by its last mark can still be undone. */
static bool can_undo(const struct run *run)
{
    return run->now.phase != RUN_BRIEFING && run->now.outcome != RUN_WAS_STOPPED &&
           run->now.outcome != RUN_WAS_BROKEN_OFF && newest_to_undo(run) >= 0;
}

static bool is_live(const struct run *run)
{
    return run->now.phase == RUN_LIVE || run->now.phase == RUN_ON_HOLD;
}

static bool means_something(const struct run *run, const struct run_event *event)
{
    const struct run_view *now = &run->now;
    switch ((enum run_kind)event->kind) {
    case RUN_CHECKED:
        return now->phase == RUN_BRIEFING &&
               event->step < run->rig->procedure->check_count;
    case RUN_GO:
        return now->phase == RUN_BRIEFING;
    case RUN_MADE:
    case RUN_SKIPPED:
        return is_live(run) && is_open(run, event->step);
    case RUN_BEGUN:
        return is_live(run) && is_open(run, event->step) &&
               (!(now->rig.begun >> event->step & 1) ||
                now->steps[event->step].flags & RUN_STEP_RECKONED);
    case RUN_CAUGHT_UP:
        return is_live(run) && event->step < run->rig->procedure->step_count;
    case RUN_TOO:
    case RUN_EARLY:
        return now->question >= 0 && now->question == event->step;
    case RUN_UNDONE:
        return can_undo(run);
    case RUN_HELD:
        return now->phase == RUN_LIVE;
    case RUN_WENT_ON:
        return now->phase == RUN_ON_HOLD;
    case RUN_ALL_MADE:
        return is_live(run);
    case RUN_STOPPED:
        return now->phase != RUN_OVER;
    case RUN_BROKEN_OFF:
        return is_live(run) && event->value < run->rig->plan->mishap_count;
    case RUN_LINKED:
        return now->phase == RUN_BRIEFING && run->event_count == 0;
    case RUN_SEEN:
        return is_live(run) && run_warning(run, NULL) >= 0;
    case RUN_MARK:
        return now->phase != RUN_OVER;
    case RUN_NOTED:
    case RUN_RESUMED:
    case RUN_OVERBOARD:
        return true;
    default:
        return false;
    }
}

static bool is_repeat(const struct run *run, const struct run_event *event)
{
    const struct run_view *now = &run->now;
    return event->kind == RUN_MADE && now->last_mark_ms >= 0 &&
           event->value == now->last_mark_key &&
           event->at_ms - now->last_mark_ms < run->guard_ms;
}

/* A run that is full can still be closed. */
static int room_for(int kind)
{
    bool closes = kind == RUN_STOPPED || kind == RUN_BROKEN_OFF || kind == RUN_OVERBOARD;
    return closes ? RUN_EVENTS_MAX : RUN_EVENTS_MAX - RUN_EVENTS_KEPT;
}

static void add(struct run_out *out, const struct run_event *event)
{
    if (out->count < RUN_OUT_MAX)
        out->at[out->count++] = *event;
}

static void add_made(struct run_out *out, int64_t at_ms, enum run_kind kind, int step,
                     int value)
{
    struct run_event event = {.at_ms = at_ms,
                              .kind = (uint8_t)kind,
                              .step = (uint8_t)step,
                              .value = (int16_t)value};
    add(out, &event);
}

static bool had(const struct run_view *view, const struct finding *finding)
{
    for (int i = 0; i < view->found_count; i++)
        if (finding_same(&view->found[i].finding, finding))
            return true;
    return false;
}

static void add_found(const struct run *run, const struct run_view *before, int64_t at_ms,
                      struct run_out *out)
{
    const struct run_view *now = &run->now;
    for (int i = 0; i < now->found_count; i++) {
        const struct finding *finding = &now->found[i].finding;
        if (had(before, finding))
            continue;
        out->fresh |= (uint64_t)1 << i;
        add_made(out, at_ms, RUN_FOUND, finding->index, (int)finding->kind);
    }
    for (int i = 0; i < before->found_count; i++)
        if (!had(now, &before->found[i].finding))
            out->gone[out->gone_count++] = before->found[i].finding;
}

/* What followed: the difference between the two views, in a fixed order. */
static void add_difference(const struct run *run, const struct run_view *before,
                           int64_t at_ms, struct run_out *out)
{
    const struct run_view *now = &run->now;
    step_set fresh = now->rig.begun & ~before->rig.begun;
    for (int i = 0; i < run->bill->slot_count; i++) {
        int s = run->bill->slots[i].step;
        if (fresh >> s & 1 && now->steps[s].flags & RUN_STEP_RECKONED)
            add_made(out, at_ms, RUN_RECKONED, s, 0);
    }
    add_found(run, before, at_ms, out);
    if (now->phase == RUN_OVER && before->phase != RUN_OVER) {
        if (now->outcome == RUN_DONE)
            add_made(out, at_ms, RUN_REACHED, 0, 0);
        else if (now->outcome == RUN_NOT_AT_GOAL)
            add_made(out, at_ms, RUN_UNFINISHED, 0, 0);
    }
}

static void fold_all(struct run *run)
{
    run_fold_start(run, &run->now);
    for (int i = 0; i < run->event_count; i++)
        run_fold(run, i, &run->now);
}

enum run_taken run_apply(struct run *run, const struct run_event *event,
                         struct run_out *out)
{
    out->count = out->gone_count = 0;
    out->fresh = 0;
    if (is_repeat(run, event))
        return RUN_REPEATED;
    if (!means_something(run, event))
        return RUN_REFUSED;
    if (run->event_count >= room_for(event->kind))
        return RUN_FULL;
    struct run_view before = run->now;
    int undo = event->kind == RUN_UNDONE ? newest_to_undo(run) : -1;
    int i = run->event_count++;
    run->events[i] = *event;
    run->undone[i] = false;
    if (undo >= 0)
        run->undone[undo] = true;
    if (run_looks_back(event->kind))
        fold_all(run);
    else
        run_fold(run, i, &run->now);
    add(out, event);
    add_difference(run, &before, event->at_ms, out);
    return RUN_TAKEN;
}

static bool same_event(const struct run_event *a, const struct run_event *b)
{
    return a->at_ms == b->at_ms && a->kind == b->kind && a->step == b->step &&
           a->value == b->value && strcmp(a->text, b->text) == 0;
}

static bool replay_one(struct run *run, const struct run_event *events, size_t count,
                       size_t *i)
{
    struct run_out out;
    if (events[*i].kind >= RUN_RECKONED || run_apply(run, &events[*i], &out) != RUN_TAKEN)
        return false;
    for (int j = 0; j < out.count; j++, ++*i)
        if (*i == count || !same_event(&out.at[j], &events[*i]))
            return false;
    return true;
}

bool run_replay(struct run *run, const struct run_event *events, size_t count)
{
    int32_t guard_ms = run->guard_ms;
    run->guard_ms = 0; /* what was ignored was not stored */
    bool same = true;
    for (size_t i = 0; same && i < count;)
        same = replay_one(run, events, count, &i);
    run->guard_ms = guard_ms;
    return same;
}
