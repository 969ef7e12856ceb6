/* Two views, or two bills, with the same contents: field by field, since the bytes
 * between the fields may be anything. */
#ifndef UNIT_RUN_VIEW_H
#define UNIT_RUN_VIEW_H

#include "run/run.h"

#include <string.h>

static inline bool slots_same(const struct bill *a, const struct bill *b)
{
    for (int i = 0; i < a->slot_count; i++)
        if (a->slots[i].step != b->slots[i].step ||
            a->slots[i].start_ms != b->slots[i].start_ms ||
            a->slots[i].end_ms != b->slots[i].end_ms)
            return false;
    return a->slot_count == b->slot_count && a->total_ms == b->total_ms &&
           memcmp(a->hand, b->hand, sizeof a->hand) == 0 &&
           memcmp(a->wears, b->wears, sizeof a->wears) == 0;
}

static inline bool states_same(const struct rig_state *a, const struct rig_state *b)
{
    return a->begun == b->begun && a->done == b->done && a->skipped == b->skipped &&
           memcmp(a->part, b->part, sizeof a->part) == 0 &&
           memcmp(a->tender, b->tender, sizeof a->tender) == 0 &&
           memcmp(a->taker, b->taker, sizeof a->taker) == 0 &&
           memcmp(a->tending, b->tending, sizeof a->tending) == 0;
}

static inline bool steps_same(const struct run_view *a, const struct run_view *b)
{
    for (int s = 0; s < STEPS_MAX; s++)
        if (a->steps[s].begun_ms != b->steps[s].begun_ms ||
            a->steps[s].made_ms != b->steps[s].made_ms ||
            a->steps[s].held_before_ms != b->steps[s].held_before_ms ||
            a->steps[s].flags != b->steps[s].flags)
            return false;
    return true;
}

static inline bool found_same(const struct run_view *a, const struct run_view *b)
{
    for (int i = 0; i < a->found_count && i < b->found_count; i++)
        if (!finding_same(&a->found[i].finding, &b->found[i].finding) ||
            a->found[i].at_ms != b->found[i].at_ms ||
            a->found[i].step != b->found[i].step ||
            a->found[i].broken != b->found[i].broken ||
            a->found[i].seen != b->found[i].seen)
            return false;
    return a->found_count == b->found_count;
}

static inline bool views_same(const struct run_view *a, const struct run_view *b)
{
    return a->phase == b->phase && a->outcome == b->outcome &&
           states_same(&a->rig, &b->rig) && steps_same(a, b) && found_same(a, b) &&
           a->reckoned_parts == b->reckoned_parts && a->go_ms == b->go_ms &&
           a->over_ms == b->over_ms && a->held_ms == b->held_ms &&
           a->held_since_ms == b->held_since_ms && a->last_mark_ms == b->last_mark_ms &&
           a->last_mark_key == b->last_mark_key && a->question == b->question &&
           a->question_missing == b->question_missing &&
           memcmp(a->checks, b->checks, sizeof a->checks) == 0 &&
           a->overruled == b->overruled && a->notes == b->notes &&
           a->overboard_ms == b->overboard_ms;
}

#endif
