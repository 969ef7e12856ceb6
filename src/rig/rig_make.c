#include "rig/rig.h"

#include <assert.h>
#include <string.h>

static bool fill_lanes(struct rig *rig)
{
    const struct procedure *procedure = rig->procedure;
    for (int s = 0; s < procedure->step_count; s++) {
        for (int role = 0; role < ROLES_MAX; role++) {
            if (!(procedure->steps[s].roles >> role & 1))
                continue;
            assert(rig->lane_of_role[role] >= 0);
            lane_set lane = (lane_set)(1u << rig->lane_of_role[role]);
            if (rig->lanes_of_step[s] & lane)
                return false; /* a joint step needs different hands */
            rig->lanes_of_step[s] |= lane;
        }
    }
    return true;
}

static void fill_role_cards(struct rig *rig)
{
    const struct procedure *procedure = rig->procedure;
    for (int role = 0; role < ROLES_MAX; role++) {
        if (!(procedure->roles >> role & 1))
            continue;
        struct rig_card *card = &rig->cards[rig->card_count++];
        card->lane = (uint8_t)rig->lane_of_role[role];
        card->free_order = rig->plan->roles[role].free_order;
        for (int s = 0; s < procedure->step_count; s++)
            if (procedure->steps[s].roles >> role & 1)
                card->steps[card->count++] = (uint8_t)s;
    }
}

static int find_helm_lane(const struct rig *rig)
{
    if (rig->pilot)
        return -1;
    for (int role = 0; role < rig->plan->role_count; role++)
        if (rig->plan->roles[role].steers)
            return rig->lane_of_role[role];
    return -1;
}

static void fill_start(struct rig *rig)
{
    const struct procedure *procedure = rig->procedure;
    struct rig_state *start = &rig->start;
    for (int p = 0; p < rig->plan->part_count; p++)
        start->part[p] = procedure->begin[p].first;
    memset(start->tender, -1, sizeof start->tender);
    memset(start->taker, -1, sizeof start->taker);
    for (int i = 0; i < procedure->tended_count; i++) {
        const struct begin_tended *held = &procedure->tended[i];
        start->tender[held->tending.line] = rig->lane_of_role[held->role];
        start->tending[held->tending.line] = (uint8_t)(STEPS_MAX + i);
    }
}

/* The lane that wears the role of a tending: of begin's, or of the step that took it. */
static int8_t lane_of_tending(const struct rig *rig, int tending)
{
    const struct procedure *procedure = rig->procedure;
    if (tending >= STEPS_MAX)
        return rig->lane_of_role[procedure->tended[tending - STEPS_MAX].role];
    for (int role = 0; role < ROLES_MAX; role++)
        if (procedure->steps[tending].roles >> role & 1)
            return rig->lane_of_role[role];
    return -1;
}

/* A step of the taker that is begun; the lanes of STATE need not be those of a rig. */
static int taking_step(const struct rig *rig, const struct rig_state *state, int line)
{
    for (int s = rig->procedure->step_count - 1; s >= 0; s--)
        for (int i = 0; i < rig->procedure->steps[s].takes_over.count; i++)
            if (state->begun >> s & 1 && state->tending[line] != s &&
                rig->procedure->steps[s].takes_over.at[i].line == line)
                return s;
    return -1;
}

static void tend_again(struct rig *rig, const struct rig_state *state, int line)
{
    struct rig_state *start = &rig->start;
    start->tender[line] = lane_of_tending(rig, state->tending[line]);
    int taking = state->taker[line] >= 0 ? taking_step(rig, state, line) : -1;
    start->taker[line] = taking >= 0 ? lane_of_tending(rig, taking) : -1;
    if (taking >= 0 &&
        start->taker[line] == start->tender[line]) { /* one hand does both now */
        start->tending[line] = (uint8_t)taking;
        start->taker[line] = -1;
    }
}

void rig_start_from(struct rig *rig, const struct rig_state *state)
{
    rig->start = *state;
    for (int line = 0; line < rig->plan->part_count; line++) {
        if (state->tender[line] >= 0) {
            tend_again(rig, state, line);
            continue;
        }
        rig->start.taker[line] = -1;
        rig->start.tending[line] = 0;
    }
}

bool rig_role_needed(const struct procedure *procedure, int role, bool pilot)
{
    return procedure->roles >> role & 1 ||
           (procedure->plan->roles[role].steers && !pilot);
}

bool rig_make(struct rig *out, const struct procedure *procedure,
              const int8_t lane_of_role[ROLES_MAX], int lane_count, bool pilot)
{
    assert(lane_count > 0 && lane_count <= LANES_MAX);
    *out = (struct rig){.plan = procedure->plan,
                        .procedure = procedure,
                        .pilot = pilot,
                        .lane_count = (uint8_t)lane_count};
    memcpy(out->lane_of_role, lane_of_role, sizeof out->lane_of_role);
    out->helm_lane = (int8_t)find_helm_lane(out);
    fill_role_cards(out);
    fill_start(out);
    return fill_lanes(out);
}

void rig_set_card(struct rig *rig, int lane, const uint8_t *steps, int count)
{
    int kept = 0;
    for (int i = 0; i < rig->card_count; i++)
        if (rig->cards[i].lane != lane)
            rig->cards[kept++] = rig->cards[i];
    rig->card_count = (uint8_t)kept;
    if (!count)
        return;
    assert(count <= STEPS_MAX && kept < CARDS_MAX);
    struct rig_card *card = &rig->cards[rig->card_count++];
    *card = (struct rig_card){.lane = (uint8_t)lane, .count = (uint8_t)count};
    memcpy(card->steps, steps, (size_t)count);
}
