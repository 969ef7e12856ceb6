#include "vet/vet.h"

#include <string.h>

bool vet_rig_of_roles(const struct procedure *procedure, bool pilot, struct rig *out)
{
    int8_t lane_of_role[ROLES_MAX];
    memset(lane_of_role, -1, sizeof lane_of_role);
    int lanes = 0;
    for (int role = 0; role < procedure->plan->role_count; role++)
        if (rig_role_needed(procedure, role, pilot))
            lane_of_role[role] = (int8_t)lanes++;
    return rig_make(out, procedure, lane_of_role, lanes, pilot);
}

/* Takes EVENT in STATE; false where it is not allowed there.  What is wrong at the event
 * and behind it goes to FOUND. */
static bool take(const struct rig *rig, struct rig_state *state,
                 const struct vet_event *event, struct findings *found)
{
    step_set allowed = event->finish ? rig_may_end(rig, state) : rig_ready(rig, state);
    if (!(allowed >> event->step & 1))
        return false;
    *found = (struct findings){0};
    if (event->finish) {
        rig_find_finish(rig, state, event->step, found);
        rig_end(rig, state, event->step);
    } else {
        rig_find_start(rig, state, event->step, found);
        rig_begin(rig, state, event->step);
    }
    rig_find(rig, state, found);
    return true;
}

bool vet_replay(const struct rig *rig, const struct vet_found *found)
{
    struct rig_state state = found->begin;
    struct findings last = {0};
    rig_find(rig, &state, &last);
    for (int i = 0; i < found->way_count; i++)
        if (!take(rig, &state, &found->way[i], &last))
            return false;
    bool stuck = !rig_ready(rig, &state) && !rig_may_end(rig, &state);
    switch (found->kind) {
    case VET_BROKEN:
        return findings_have(&last, &found->finding);
    case VET_STALL:
        return stuck && !rig_ended(rig, &state);
    case VET_WRONG_END:
        return rig_ended(rig, &state) && rig_short_of_goal(rig, &state);
    default:
        return false;
    }
}

const char *vet_verdict_name(enum vet_verdict verdict)
{
    static const char *const names[] = {"safe", "broken", "stall", "wrong end",
                                        "undecided"};
    return names[verdict];
}
