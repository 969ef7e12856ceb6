/* Plays of given hands in given roles, and bills of what was played. */
#include "bill/internal.h"

#include <string.h>

uint8_t bill_home(const struct procedure *procedure, role_set wears)
{
    const struct rig_plan *plan = procedure->plan;
    for (int i = 0; i < procedure->tended_count; i++)
        if (wears >> procedure->tended[i].role & 1)
            return (uint8_t)plan->parts[procedure->tended[i].tending.line].tended_at;
    for (int role = 0; role < plan->role_count; role++)
        if (wears >> role & 1)
            return plan->roles[role].station;
    return 0;
}

int32_t bill_takes_ms(const struct procedure *procedure, const struct bill_wish *wish,
                      int step, bool is_new)
{
    const struct takes *takes = &procedure->steps[step].takes;
    int32_t usual_ms = wish->usual_ms[step] ? wish->usual_ms[step] : takes->usual_ms;
    if (!is_new)
        return usual_ms;
    return usual_ms > takes->slow_ms ? usual_ms : takes->slow_ms;
}

static step_set steps_of_role(const struct procedure *procedure, int role)
{
    step_set steps = 0;
    for (int s = 0; s < procedure->step_count; s++)
        steps |= (step_set)(procedure->steps[s].roles >> role & 1) << s;
    return steps;
}

bool play_make(const struct procedure *procedure, const struct crew *crew,
               const struct bill_wish *wish, const role_set *wears, const int *hands,
               int lanes, struct rig *rig, struct play *out)
{
    int8_t lane_of_role[ROLES_MAX];
    memset(lane_of_role, -1, sizeof lane_of_role);
    *out = (struct play){.rig = rig, .begins_wrong = wish->start != NULL};
    step_set slow = 0;
    for (int lane = 0; lane < lanes; lane++) {
        out->home[lane] = bill_home(procedure, wears[lane]);
        out->pace_m_s[lane] = hands ? crew->hands[hands[lane]].pace_m_s : 1.0;
        for (int role = 0; role < ROLES_MAX; role++) {
            if (!(wears[lane] >> role & 1))
                continue;
            lane_of_role[role] = (int8_t)lane;
            if (hands && bill_is_new(procedure, crew, wish, hands[lane], role))
                slow |= steps_of_role(procedure, role);
        }
    }
    if (!rig_make(rig, procedure, lane_of_role, lanes, wish->pilot))
        return false;
    if (wish->start)
        rig_start_from(rig, wish->start);
    for (int s = 0; s < procedure->step_count; s++)
        out->takes_ms[s] = bill_takes_ms(procedure, wish, s, slow >> s & 1);
    play_prepare(out);
    return true;
}

void play_bill(const struct played *played, const struct bill_wish *wish,
               const role_set *wears, const int *hands, int lanes, const struct rig *rig,
               struct bill *out)
{
    *out = (struct bill){.lane_count = (uint8_t)lanes,
                         .slot_count = (uint8_t)played->slot_count,
                         .pilot = wish->pilot,
                         .total_ms = played->total_ms};
    for (int lane = 0; lane < lanes; lane++) {
        out->hand[lane] = (uint8_t)hands[lane];
        out->wears[lane] = wears[lane];
    }
    memcpy(out->slots, played->slots, sizeof out->slots);
    out->from_state = wish->start != NULL;
    out->start = rig->start;
}

/* Each event is allowed where it stands, breaks nothing, and at the end is the goal. */
static bool follows(const struct play *play, const struct play_event *order, int count)
{
    const struct rig *rig = play->rig;
    struct rig_state state;
    rig_start(rig, &state);
    for (int i = 0; i < count; i++) {
        int s = order[i].step;
        step_set may =
            order[i].finish ? rig_may_end(rig, &state) : rig_ready(rig, &state);
        if (!(may >> s & 1) || !(order[i].finish ? play_may_finish(rig, &state, s)
                                                 : play_may_start(rig, &state, s, NULL)))
            return false;
        if (order[i].finish)
            rig_end(rig, &state, s);
        else
            rig_begin(rig, &state, s);
    }
    return rig_ended(rig, &state) && !rig_short_of_goal(rig, &state);
}

/* Each hand keeps its order and starts each step as soon as it may, as people do; where
 * that takes longer BILL is left as it is. */
static void start_early(struct play *play, struct bill *bill)
{
    struct rig rig;
    struct played played;
    bill_rig(bill, play->rig->procedure, &rig);
    play->rig = &rig;
    play_greedy(play, &played);
    if (!played.ended || played.total_ms > bill->total_ms)
        return;
    bill->total_ms = played.total_ms;
    memcpy(bill->slots, played.slots, sizeof bill->slots);
}

bool play_order(const struct procedure *procedure, const struct crew *crew,
                const struct bill_wish *wish, const struct play_event *order, int count,
                struct bill *bill)
{
    struct rig rig;
    struct play play;
    struct played played;
    int hands[LANES_MAX];
    role_set wears[LANES_MAX];
    int lanes = bill->lane_count;
    for (int lane = 0; lane < lanes; lane++) {
        hands[lane] = bill->hand[lane];
        wears[lane] = bill->wears[lane];
    }
    if (!play_make(procedure, crew, wish, wears, hands, lanes, &rig, &play) ||
        !play_begins_right(&play) || !follows(&play, order, count))
        return false;
    play_time(&play, order, count, &played);
    play_bill(&played, wish, wears, hands, lanes, &rig, bill);
    start_early(&play, bill);
    return true;
}
