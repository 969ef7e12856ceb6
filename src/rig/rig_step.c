#include "rig/rig.h"

#include <assert.h>
#include <string.h>

static step_set bit(int step)
{
    return (step_set)1 << step;
}

/* What nobody need wait for any more. */
static step_set settled(const struct rig_state *state)
{
    return state->done | state->skipped;
}

step_set rig_running(const struct rig_state *state)
{
    return state->begun & ~state->done;
}

bool rig_ended(const struct rig *rig, const struct rig_state *state)
{
    return settled(state) == procedure_all_steps(rig->procedure);
}

void rig_start(const struct rig *rig, struct rig_state *out)
{
    *out = rig->start;
}

bool rig_holds(const struct rig_state *state, const struct conditions *conditions)
{
    for (int i = 0; i < conditions->count; i++) {
        const struct condition *c = &conditions->at[i];
        if (!(c->values >> state->part[c->part] & 1))
            return false;
    }
    return true;
}

void rig_apply(struct rig_state *state, const struct effects *effects)
{
    for (int i = 0; i < effects->count; i++)
        state->part[effects->at[i].part] = effects->at[i].value;
}

/* The steps of CARD before STEP that must be settled first. */
static step_set earlier_on(const struct rig_card *card, int step)
{
    step_set earlier = 0;
    bool found = false;
    for (int i = 0; i < card->count && !found; i++) {
        found = card->steps[i] == step;
        if (!found)
            earlier |= bit(card->steps[i]);
    }
    if (!found || card->free_order)
        return 0;
    return earlier;
}

static step_set steps_of_lanes(const struct rig *rig, lane_set lanes)
{
    step_set steps = 0;
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (rig->lanes_of_step[s] & lanes)
            steps |= bit(s);
    return steps;
}

/* The steps whose effects could still make CONDITION hold. */
static step_set openers(const struct rig *rig, const struct rig_state *state,
                        const struct condition *condition)
{
    const struct procedure *procedure = rig->procedure;
    step_set found = 0;
    for (int s = 0; s < procedure->step_count; s++) {
        const struct step *step = &procedure->steps[s];
        if (settled(state) & bit(s))
            continue;
        for (int i = 0; i < step->start.count + step->finish.count; i++) {
            const struct effect *e = i < step->start.count
                                         ? &step->start.at[i]
                                         : &step->finish.at[i - step->start.count];
            if (e->part == condition->part && condition->values >> e->value & 1)
                found |= bit(s);
        }
    }
    return found;
}

struct rig_block rig_blocked(const struct rig *rig, const struct rig_state *state, int s)
{
    assert(s >= 0 && s < rig->procedure->step_count);
    const struct step *step = &rig->procedure->steps[s];
    struct rig_block block = {
        .after = step->after & ~settled(state),
        .after_started = step->after_started & ~(state->begun | state->skipped),
        .busy =
            rig_running(state) & steps_of_lanes(rig, rig->lanes_of_step[s]) & ~bit(s)};
    for (int i = 0; i < rig->card_count; i++)
        block.card |= earlier_on(&rig->cards[i], s) & ~settled(state);
    for (int i = 0; i < step->wait.count; i++) {
        const struct condition *c = &step->wait.at[i];
        if (c->values >> state->part[c->part] & 1)
            continue;
        block.waits |= (uint64_t)1 << i;
        block.needs |= openers(rig, state, c) & ~bit(s);
    }
    return block;
}

static bool is_ready(const struct rig *rig, const struct rig_state *state, int s,
                     const step_set lane_busy[LANES_MAX])
{
    const struct step *step = &rig->procedure->steps[s];
    if ((step->after & ~settled(state)) ||
        (step->after_started & ~(state->begun | state->skipped)))
        return false;
    for (int lane = 0; lane < rig->lane_count; lane++)
        if (rig->lanes_of_step[s] >> lane & 1 && lane_busy[lane])
            return false;
    for (int i = 0; i < rig->card_count; i++)
        if (rig->lanes_of_step[s] >> rig->cards[i].lane & 1 &&
            (earlier_on(&rig->cards[i], s) & ~settled(state)))
            return false;
    return rig_holds(state, &step->wait);
}

step_set rig_ready(const struct rig *rig, const struct rig_state *state)
{
    step_set open =
        procedure_all_steps(rig->procedure) & ~(state->begun | state->skipped);
    step_set running = rig_running(state), ready = 0;
    step_set lane_busy[LANES_MAX] = {0};
    for (int s = 0; s < rig->procedure->step_count; s++)
        for (int lane = 0; running >> s & 1 && lane < rig->lane_count; lane++)
            if (rig->lanes_of_step[s] >> lane & 1)
                lane_busy[lane] |= bit(s);
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (open >> s & 1 && is_ready(rig, state, s, lane_busy))
            ready |= bit(s);
    return ready;
}

/* A line of SET is being taken over by another lane that has not got it yet. */
static bool taker_missing(const struct rig *rig, const struct rig_state *state, int giver,
                          part_set lines)
{
    const struct procedure *procedure = rig->procedure;
    for (int s = 0; s < procedure->step_count; s++) {
        const struct tendings *takes = &procedure->steps[s].takes_over;
        if (settled(state) >> s & 1 || rig->lanes_of_step[s] == rig->lanes_of_step[giver])
            continue;
        for (int i = 0; i < takes->count; i++)
            if (lines >> takes->at[i].line & 1)
                return true;
    }
    return false;
}

step_set rig_may_end(const struct rig *rig, const struct rig_state *state)
{
    step_set may = rig_running(state);
    for (int s = 0; s < rig->procedure->step_count; s++) {
        part_set lines = rig->procedure->steps[s].hands_over;
        if (may >> s & 1 && lines && taker_missing(rig, state, s, lines))
            may &= ~bit(s);
    }
    return may;
}

static int lane_of(const struct rig *rig, int step)
{
    for (int lane = 0; lane < rig->lane_count; lane++)
        if (rig->lanes_of_step[step] >> lane & 1)
            return lane;
    return -1;
}

void rig_begin(const struct rig *rig, struct rig_state *state, int s)
{
    const struct step *step = &rig->procedure->steps[s];
    assert(!(state->begun & bit(s)));
    state->begun |= bit(s);
    state->skipped &= ~bit(s);
    rig_apply(state, &step->start);
    int lane = lane_of(rig, s);
    for (int i = 0; i < step->tends.count; i++) {
        state->tender[step->tends.at[i].line] = (int8_t)lane;
        state->tending[step->tends.at[i].line] = (uint8_t)s;
    }
    for (int i = 0; i < step->takes_over.count; i++) {
        int line = step->takes_over.at[i].line;
        state->tending[line] = (uint8_t)s;
        if (state->tender[line] < 0)
            state->tender[line] = (int8_t)lane; /* the giver has let go already */
        else if (state->tender[line] != lane)
            state->taker[line] = (int8_t)lane;
    }
}

static bool taken_by_self(const struct rig *rig, int s, int line)
{
    const struct procedure *procedure = rig->procedure;
    for (int t = 0; t < procedure->step_count; t++)
        for (int i = 0; i < procedure->steps[t].takes_over.count; i++)
            if (procedure->steps[t].takes_over.at[i].line == line &&
                rig->lanes_of_step[t] == rig->lanes_of_step[s])
                return true;
    return false;
}

void rig_end(const struct rig *rig, struct rig_state *state, int s)
{
    const struct step *step = &rig->procedure->steps[s];
    if (!(state->begun & bit(s)))
        rig_begin(rig, state, s);
    assert(!(state->done & bit(s)));
    state->done |= bit(s);
    rig_apply(state, &step->finish);
    for (int line = 0; line < rig->plan->part_count; line++) {
        if (step->releases >> line & 1 && state->tender[line] >= 0 &&
            rig->lanes_of_step[s] >> state->tender[line] & 1)
            state->tender[line] = -1;
        if (step->hands_over >> line & 1 && !taken_by_self(rig, s, line)) {
            state->tender[line] = state->taker[line];
            state->taker[line] = -1;
        }
    }
}

void rig_skip(struct rig_state *state, int s)
{
    assert(s >= 0 && s < STEPS_MAX && !(state->done & bit(s)));
    state->begun &= ~bit(s);
    state->skipped |= bit(s);
}

part_set rig_short_of_goal(const struct rig *rig, const struct rig_state *state)
{
    const struct conditions *goal = &rig->procedure->goal;
    part_set missing = 0;
    for (int i = 0; i < goal->count; i++)
        if (!(goal->at[i].values >> state->part[goal->at[i].part] & 1))
            missing |= (part_set)1 << goal->at[i].part;
    return missing;
}
