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

static bool takes_over(const struct step *step, int line)
{
    for (int i = 0; i < step->takes_over.count; i++)
        if (step->takes_over.at[i].line == line)
            return true;
    return false;
}

/* The step that takes over LINE from step GIVER: the hand-overs of a line are paired in
 * the file's order; -1 where nobody takes it. */
static int taker_of(const struct procedure *procedure, int giver, int line)
{
    int before = 0;
    for (int s = 0; s < giver; s++)
        before += (procedure->steps[s].hands_over >> line & 1) != 0;
    for (int s = 0; s < procedure->step_count; s++)
        if (takes_over(&procedure->steps[s], line) && before-- == 0)
            return s;
    return -1;
}

/* The lane that holds what STEP tends: of a joint step, the first of its roles. */
static int lane_of(const struct rig *rig, int step)
{
    for (int role = 0; role < rig->plan->role_count; role++)
        if (rig->procedure->steps[step].roles >> role & 1)
            return rig->lane_of_role[role];
    return -1;
}

step_set rig_takers(const struct rig *rig, int giver)
{
    part_set lines = rig->procedure->steps[giver].hands_over;
    step_set takers = 0;
    for (int line = 0; line < rig->plan->part_count; line++) {
        int taker = lines >> line & 1 ? taker_of(rig->procedure, giver, line) : -1;
        if (taker >= 0 && lane_of(rig, taker) != lane_of(rig, giver))
            takers |= bit(taker);
    }
    return takers;
}

step_set rig_may_end(const struct rig *rig, const struct rig_state *state)
{
    step_set may = rig_running(state);
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (may & bit(s) && rig->procedure->steps[s].hands_over &&
            rig_takers(rig, s) & ~settled(state))
            may &= ~bit(s);
    return may;
}

/* STEP takes over LINE.  Both have it until the giver has let go. */
static void take_over(struct rig_state *state, int line, int step, int lane)
{
    if (state->tender[line] >= 0 && state->tender[line] != lane) {
        state->taker[line] = (int8_t)lane;
        return;
    }
    state->tender[line] = (int8_t)lane; /* to oneself, or what nobody holds */
    state->tending[line] = (uint8_t)step;
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
    for (int i = 0; i < step->takes_over.count; i++)
        take_over(state, step->takes_over.at[i].line, s, lane);
}

int rig_taking_step(const struct rig *rig, const struct rig_state *state, int line)
{
    for (int s = rig->procedure->step_count - 1; s >= 0; s--)
        if (state->begun & bit(s) && takes_over(&rig->procedure->steps[s], line) &&
            lane_of(rig, s) == state->taker[line])
            return s;
    return -1;
}

/* The tender of LINE lets go: the taker has it now, or nobody. */
static void let_go(const struct rig *rig, struct rig_state *state, int line)
{
    int taking = rig_taking_step(rig, state, line);
    state->tender[line] = state->taker[line];
    state->tending[line] = (uint8_t)(taking >= 0 ? taking : 0);
    state->taker[line] = -1;
}

static void release(const struct rig *rig, struct rig_state *state, int step, int line)
{
    int tender = state->tender[line], taker = state->taker[line];
    if (taker >= 0 && rig->lanes_of_step[step] >> taker & 1)
        state->taker[line] = -1;
    if (tender >= 0 && rig->lanes_of_step[step] >> tender & 1)
        let_go(rig, state, line);
}

/* Given to oneself the line is kept. */
static void hand_over(const struct rig *rig, struct rig_state *state, int giver, int line)
{
    int taker = taker_of(rig->procedure, giver, line), lane = lane_of(rig, giver);
    bool to_self = taker >= 0 && lane_of(rig, taker) == lane;
    if (state->taker[line] >= 0 || (state->tender[line] == lane && !to_self))
        let_go(rig, state, line);
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
        if (step->releases >> line & 1)
            release(rig, state, s, line);
        if (step->hands_over >> line & 1)
            hand_over(rig, state, s, line);
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
