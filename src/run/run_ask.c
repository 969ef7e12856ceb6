/* Questions about a run; none of them changes it. */
#include "run/internal.h"

#include <assert.h>

/* Among the steps of SET the one planned to be over first; -1 where SET is empty. */
static int earliest_end(const struct run *run, step_set set)
{
    int best = -1;
    int32_t best_ms = 0;
    for (int i = 0; i < run->bill->slot_count; i++) {
        const struct bill_slot *slot = &run->bill->slots[i];
        if (set >> slot->step & 1 && (best < 0 || slot->end_ms < best_ms)) {
            best = slot->step;
            best_ms = slot->end_ms;
        }
    }
    return best;
}

int run_due(const struct run *run)
{
    return earliest_end(run, rig_may_end(run->rig, &run->now.rig));
}

int run_next_due(const struct run *run)
{
    const struct rig_state *rig = &run->now.rig;
    return earliest_end(run, procedure_all_steps(run->rig->procedure) & ~rig->begun &
                                 ~rig->skipped);
}

int run_lane_step(const struct run *run, int lane)
{
    step_set settled = run->now.rig.done | run->now.rig.skipped;
    for (int c = 0; c < run->rig->card_count; c++) {
        const struct rig_card *card = &run->rig->cards[c];
        for (int i = 0; card->lane == lane && i < card->count; i++)
            if (!(settled >> card->steps[i] & 1))
                return card->steps[i];
    }
    return -1;
}

int64_t run_held_ms(const struct run *run, int64_t now_ms)
{
    const struct run_view *view = &run->now;
    int64_t held = view->held_ms;
    if (view->held_since_ms >= 0 && now_ms > view->held_since_ms)
        held += now_ms - view->held_since_ms;
    return held;
}

int64_t run_clock_ms(const struct run *run, int64_t now_ms)
{
    const struct run_view *view = &run->now;
    if (view->go_ms < 0)
        return 0;
    int64_t until = view->over_ms >= 0 ? view->over_ms : now_ms;
    return until > view->go_ms ? until - view->go_ms : 0;
}

int64_t run_plan_ms(const struct run *run, int64_t now_ms)
{
    int64_t until = run->now.over_ms >= 0 ? run->now.over_ms : now_ms;
    int64_t plan = run_clock_ms(run, now_ms) - run_held_ms(run, until);
    return plan > 0 ? plan : 0;
}

int64_t run_over_slow_ms(const struct run *run, int step, int64_t now_ms)
{
    const struct run_step *timed = &run->now.steps[step];
    int64_t held = run_held_ms(run, now_ms) - timed->held_before_ms;
    return now_ms - timed->begun_ms - held -
           run->rig->procedure->steps[step].takes.slow_ms;
}

int64_t run_overdue_ms(const struct run *run, int step, int64_t now_ms)
{
    if (run->mode == RUN_WALK || run_follows_plan(run, now_ms) ||
        !(rig_running(&run->now.rig) >> step & 1))
        return 0;
    int64_t over = run_over_slow_ms(run, step, now_ms);
    return over > 0 ? over : 0;
}

bool run_only_when_seen(const struct run *run, int step, int64_t now_ms)
{
    const struct conditions *wait = &run->rig->procedure->steps[step].wait;
    if (run_follows_plan(run, now_ms))
        return wait->count || run->rig->procedure->steps[step].after ||
               run->rig->procedure->steps[step].after_started;
    for (int i = 0; i < wait->count; i++)
        if (run->now.reckoned_parts >> wait->at[i].part & 1)
            return true;
    return false;
}

bool run_would_break(const struct run *run, int step, struct finding *out)
{
    const struct rig_state *rig = &run->now.rig;
    if ((rig->begun | rig->skipped) >> step & 1)
        return false;
    struct findings before = {0}, after = {0};
    struct rig_state next = *rig;
    rig_find(run->rig, rig, &before);
    rig_begin(run->rig, &next, step);
    rig_find(run->rig, &next, &after); /* rules first: they say more than a need */
    rig_find_start(run->rig, rig, step, &after);
    for (int i = 0; i < after.count; i++)
        if (!findings_have(&before, &after.at[i])) {
            *out = after.at[i];
            return true;
        }
    return false;
}

step_set run_before(const struct run *run, int step)
{
    int32_t start = bill_slot_of(run->bill, step)->start_ms;
    step_set set = 0;
    for (int i = 0; i < run->bill->slot_count; i++) {
        const struct bill_slot *slot = &run->bill->slots[i];
        if (slot->end_ms <= start && slot->step != step)
            set |= (step_set)1 << slot->step;
    }
    return set;
}

int run_count_flag(const struct run *run, enum run_step_flag flag)
{
    int count = 0;
    for (int s = 0; s < run->rig->procedure->step_count; s++)
        count += (run->now.steps[s].flags & flag) != 0;
    return count;
}

int run_open_checks(const struct run *run)
{
    int open = 0;
    for (int i = 0; i < run->rig->procedure->check_count; i++)
        open += run->now.checks[i] != 1;
    return open;
}

const char *run_mode_name(enum run_mode mode)
{
    static const char *const names[] = {"walk", "drill", "afloat"};
    return names[mode];
}

const char *run_outcome_name(enum run_outcome outcome)
{
    static const char *const names[] = {"open",    "done",          "not at the goal",
                                        "stopped", "done, untimed", "broken off"};
    return names[outcome];
}

const char *run_kind_name(enum run_kind kind)
{
    switch (kind) {
    case RUN_CHECKED:
        return "checked";
    case RUN_GO:
        return "go";
    case RUN_MADE:
        return "made";
    case RUN_BEGUN:
        return "begun";
    case RUN_TOO:
        return "made-too";
    case RUN_EARLY:
        return "early";
    case RUN_CAUGHT_UP:
        return "caught-up";
    case RUN_SKIPPED:
        return "skipped";
    case RUN_UNDONE:
        return "undone";
    case RUN_HELD:
        return "hold";
    case RUN_WENT_ON:
        return "went-on";
    case RUN_NOTED:
        return "note";
    case RUN_ALL_MADE:
        return "all-made";
    case RUN_RESUMED:
        return "resumed";
    case RUN_STOPPED:
        return "stopped";
    case RUN_OVERBOARD:
        return "person-overboard";
    case RUN_BROKEN_OFF:
        return "broken-off";
    case RUN_LINKED:
        return "linked";
    case RUN_SEEN:
        return "seen";
    case RUN_MARK:
        return "mark";
    case RUN_RECKONED:
        return "reckoned";
    case RUN_FOUND:
        return "found";
    case RUN_REACHED:
        return "goal";
    case RUN_UNFINISHED:
        return "unfinished";
    }
    return "unknown";
}
