/* The second look at a bill: code that has no part in finding one says whether it can be
 * done by these hands, in this time, with nothing broken.  Every bill passes here before
 * anybody sees it. */
#include "bill/bill.h"
#include "bill/internal.h"

#include <string.h>

/* A bill under the eye. */
struct look {
    const struct bill *bill;
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill_wish *wish;
    struct rig rig;
};

static bool is_over(const struct look *l, int step)
{
    return (l->rig.start.done | l->rig.start.skipped) >> step & 1;
}

/* Each role that needs a hand has one who may wear it, each hand one lane. */
static bool roles_are_worn(const struct look *l)
{
    const struct bill *bill = l->bill;
    if (l->wish->hands_most && bill->lane_count > l->wish->hands_most)
        return false;
    for (int lane = 0; lane < bill->lane_count; lane++)
        for (int other = 0; other < lane; other++)
            if (bill->hand[lane] == bill->hand[other] ||
                bill->wears[lane] & bill->wears[other])
                return false;
    for (int role = 0; role < l->procedure->plan->role_count; role++) {
        int lanes = 0;
        for (int lane = 0; lane < bill->lane_count; lane++) {
            if (!(bill->wears[lane] >> role & 1))
                continue;
            lanes++;
            if (!bill_may_wear(l->procedure, l->crew, l->wish, bill->hand[lane], role))
                return false;
        }
        if (lanes != rig_role_needed(l->procedure, role, bill->pilot))
            return false;
    }
    return true;
}

static bool is_new_to_somebody(const struct look *l, int step)
{
    for (int lane = 0; lane < l->bill->lane_count; lane++)
        for (int role = 0; role < ROLES_MAX; role++)
            if (l->bill->wears[lane] >> role & 1 &&
                l->procedure->steps[step].roles >> role & 1 &&
                bill_is_new(l->procedure, l->crew, l->wish, l->bill->hand[lane], role))
                return true;
    return false;
}

/* Nobody is quicker than their grade; the last end is the total. */
static bool times_are_long_enough(const struct look *l)
{
    int32_t last_ms = 0;
    bool has[STEPS_MAX] = {false};
    for (int i = 0; i < l->bill->slot_count; i++) {
        const struct bill_slot *slot = &l->bill->slots[i];
        int32_t least = is_over(l, slot->step)
                            ? 0
                            : bill_takes_ms(l->procedure, l->wish, slot->step,
                                            is_new_to_somebody(l, slot->step));
        if (has[slot->step] || slot->start_ms < 0 ||
            slot->end_ms - slot->start_ms < least)
            return false;
        has[slot->step] = true;
        last_ms = slot->end_ms > last_ms ? slot->end_ms : last_ms;
    }
    for (int s = 0; s < l->procedure->step_count; s++)
        if (!has[s])
            return false;
    return last_ms == l->bill->total_ms;
}

/* Between two steps of a hand there is time to walk, or they are far apart in vain. */
static bool can_walk(const struct look *l, int lane, const struct bill_slot *a,
                     const struct bill_slot *b)
{
    const struct bill_slot *first = a->start_ms <= b->start_ms ? a : b;
    const struct bill_slot *second = first == a ? b : a;
    double metres =
        rig_plan_distance_m(l->procedure->plan, l->procedure->steps[first->step].at,
                            l->procedure->steps[second->step].at);
    double pace = l->crew->hands[l->bill->hand[lane]].pace_m_s;
    return second->start_ms - first->end_ms >= metres / pace * 1000 - 1e-6;
}

/* Begun before the begin: where the hand of one is lost another has both on it. */
static bool are_both_begun(const struct look *l, int step, int other)
{
    return l->rig.start.begun >> step & 1 && l->rig.start.begun >> other & 1;
}

static bool hands_are_in_one_place(const struct look *l)
{
    for (int lane = 0; lane < l->bill->lane_count; lane++)
        for (int i = 0; i < l->bill->slot_count; i++)
            for (int j = 0; j < i; j++) {
                const struct bill_slot *a = &l->bill->slots[j], *b = &l->bill->slots[i];
                lane_set both =
                    l->rig.lanes_of_step[a->step] & l->rig.lanes_of_step[b->step];
                if (both >> lane & 1 && !is_over(l, a->step) && !is_over(l, b->step) &&
                    !are_both_begun(l, a->step, b->step) && !can_walk(l, lane, a, b))
                    return false;
            }
    return true;
}

static bool take(const struct look *l, struct rig_state *state, int step, bool finish)
{
    const struct rig *rig = &l->rig;
    step_set may = finish ? rig_may_end(rig, state) : rig_ready(rig, state);
    if (!(may >> step & 1))
        return false;
    struct findings before = {0}, found = {0};
    rig_find(rig, state, &before);
    if (finish) {
        rig_find_finish(rig, state, step, &found);
        rig_end(rig, state, step);
    } else {
        rig_find_start(rig, state, step, &found);
        rig_begin(rig, state, step);
    }
    rig_find(rig, state, &found);
    for (int i = 0; i < found.count; i++)
        if (!findings_have(&before, &found.at[i]))
            return false;
    return true;
}

/* From STATE on, the events in the order of their times, in any order at one time. */
static bool plays_on(const struct look *l, const struct rig_state *state, int *tries)
{
    if (rig_ended(&l->rig, state))
        return !rig_short_of_goal(&l->rig, state);
    int32_t next_ms = INT32_MAX;
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < l->bill->slot_count; i++) {
            const struct bill_slot *slot = &l->bill->slots[i];
            bool begun = state->begun >> slot->step & 1;
            int32_t at_ms = begun ? slot->end_ms : slot->start_ms;
            if ((state->done | state->skipped) >> slot->step & 1)
                continue;
            if (pass == 0) {
                next_ms = at_ms < next_ms ? at_ms : next_ms;
                continue;
            }
            struct rig_state next = *state;
            if (at_ms != next_ms || --*tries < 0)
                continue;
            if (take(l, &next, slot->step, begun) && plays_on(l, &next, tries))
                return true;
        }
    return false;
}

bool bill_holds(const struct bill *bill, const struct procedure *procedure,
                const struct crew *crew, const struct bill_wish *wish)
{
    struct look look = {bill, procedure, crew, wish, {0}};
    int tries = 100000;
    bill_rig(bill, procedure, &look.rig);
    struct rig_state state;
    struct findings found = {0};
    rig_start(&look.rig, &state);
    rig_find(&look.rig, &state, &found);
    return (!found.count || wish->start) && roles_are_worn(&look) &&
           times_are_long_enough(&look) && hands_are_in_one_place(&look) &&
           plays_on(&look, &state, &tries);
}
