#include "rig/rig.h"

#include <assert.h>

/* The event at which a clause with STARTING or FINISHING is asked; -1: none. */
struct moment {
    int starting, finishing;
};

static const struct moment no_moment = {-1, -1};

static bool atom_holds(const struct rig *rig, const struct rig_state *state,
                       const struct atom *atom, struct moment moment)
{
    switch (atom->kind) {
    case ATOM_PART:
        return atom->values >> state->part[atom->index] & 1;
    case ATOM_RUNNING:
        return rig_running(state) >> atom->index & 1;
    case ATOM_BEGUN:
        return state->begun >> atom->index & 1;
    case ATOM_UNMADE:
        return !(state->done >> atom->index & 1);
    case ATOM_STARTING:
        return moment.starting == atom->index;
    case ATOM_FINISHING:
        return moment.finishing == atom->index;
    case ATOM_UNTENDED:
        return state->tender[atom->index] < 0;
    case ATOM_ENDED:
        return rig_ended(rig, state);
    }
    return false;
}

static bool clause_holds(const struct rig *rig, const struct rig_state *state,
                         const struct clause *clause, struct moment moment)
{
    for (int i = 0; i < clause->count; i++)
        if (!atom_holds(rig, state, &clause->atoms[i], moment))
            return false;
    return true;
}

static bool rule_broken(const struct rig *rig, const struct rig_state *state,
                        const struct rule *rule, struct moment moment)
{
    for (int i = 0; i < rule->clause_count; i++)
        if (clause_holds(rig, state, &rule->clauses[i], moment))
            return true;
    return false;
}

bool finding_same(const struct finding *a, const struct finding *b)
{
    return a->kind == b->kind && a->index == b->index && a->other == b->other;
}

bool findings_have(const struct findings *findings, const struct finding *one)
{
    for (int i = 0; i < findings->count; i++)
        if (finding_same(&findings->at[i], one))
            return true;
    return false;
}

static void add(struct findings *out, enum finding_kind kind, int index, int other)
{
    struct finding one = {kind, (uint8_t)index, (uint8_t)other};
    if (!findings_have(out, &one) && out->count < FINDINGS_MAX)
        out->at[out->count++] = one;
}

const struct tending *rig_tending(const struct rig *rig, int by, int line)
{
    const struct procedure *procedure = rig->procedure;
    if (by >= STEPS_MAX)
        return &procedure->tended[by - STEPS_MAX].tending;
    const struct step *step = &procedure->steps[by];
    for (int i = 0; i < step->tends.count + step->takes_over.count; i++) {
        const struct tending *t = i < step->tends.count
                                      ? &step->tends.at[i]
                                      : &step->takes_over.at[i - step->tends.count];
        if (t->line == line)
            return t;
    }
    return NULL;
}

/* The line takes a hand of LANE unless it is made fast as its none-when says. */
static bool takes_a_hand(const struct rig *rig, const struct rig_state *state, int lane,
                         int line)
{
    if (state->tender[line] != lane && state->taker[line] != lane)
        return false;
    int by = state->tender[line] == lane ? state->tending[line]
                                         : rig_taking_step(rig, state, line);
    const struct tending *tending = by >= 0 ? rig_tending(rig, by, line) : NULL;
    return !tending || tending->none_when.count == 0 ||
           !rig_holds(state, &tending->none_when);
}

part_set rig_holds_lines(const struct rig *rig, const struct rig_state *state, int lane)
{
    part_set lines = 0;
    for (int line = 0; line < rig->plan->part_count; line++)
        if (takes_a_hand(rig, state, lane, line))
            lines |= (part_set)1 << line;
    return lines;
}

part_set rig_worked_lines(const struct step *step)
{
    part_set lines = step->releases | step->hands_over;
    for (int i = 0; i < step->tends.count; i++)
        lines |= (part_set)1 << step->tends.at[i].line;
    for (int i = 0; i < step->takes_over.count; i++)
        lines |= (part_set)1 << step->takes_over.at[i].line;
    return lines;
}

static int count_lines(part_set lines)
{
    int count = 0;
    for (; lines; lines &= lines - 1)
        count++;
    return count;
}

static bool steers(const struct rig *rig, const struct step *step)
{
    for (int role = 0; role < rig->plan->role_count; role++)
        if (step->roles >> role & 1 && rig->plan->roles[role].steers)
            return true;
    return false;
}

int rig_step_hands(const struct rig *rig, int lane, int s)
{
    bool helm = lane == rig->helm_lane;
    if (s < 0)
        return helm;
    const struct step *step = &rig->procedure->steps[s];
    /* the hand on the helm is the one that does a step of the helm */
    return step->hands + (helm && !steers(rig, step));
}

int rig_hands_in_use(const struct rig *rig, const struct rig_state *state, int lane)
{
    part_set lines = rig_holds_lines(rig, state, lane);
    int idle = rig_step_hands(rig, lane, -1), hands = idle;
    step_set running = rig_running(state);
    for (int s = 0; s < rig->procedure->step_count; s++) {
        if (!(running >> s & 1) || !(rig->lanes_of_step[s] >> lane & 1))
            continue;
        part_set worked = rig_worked_lines(&rig->procedure->steps[s]);
        int count = count_lines(lines & worked),
            own = rig_step_hands(rig, lane, s) - idle;
        hands += count > own ? count : own;
        lines &= ~worked;
    }
    return hands + count_lines(lines);
}

static bool within_reach(const struct rig *rig, int place, int station)
{
    return rig->plan->stations[place].reach >> station & 1;
}

static int helm_station(const struct rig *rig)
{
    for (int role = 0; role < rig->plan->role_count; role++)
        if (rig->plan->roles[role].steers)
            return rig->plan->roles[role].station;
    return -1;
}

static void find_away(const struct rig *rig, const struct rig_state *state, int lane,
                      int s, struct findings *out)
{
    const struct step *step = &rig->procedure->steps[s];
    part_set lines = rig_holds_lines(rig, state, lane);
    for (int line = 0; line < rig->plan->part_count; line++)
        if (lines >> line & 1 &&
            !within_reach(rig, rig->plan->parts[line].tended_at, step->at))
            add(out, FINDING_PLACE, lane, line);
    if (lane == rig->helm_lane && !within_reach(rig, helm_station(rig), step->at))
        add(out, FINDING_HELM, lane, s);
}

static void find_lanes(const struct rig *rig, const struct rig_state *state,
                       struct findings *out)
{
    step_set running = rig_running(state);
    for (int lane = 0; lane < rig->lane_count; lane++) {
        if (rig_hands_in_use(rig, state, lane) > 2)
            add(out, FINDING_HANDS, lane, 0);
        for (int s = 0; s < rig->procedure->step_count; s++)
            if (running >> s & 1 && rig->lanes_of_step[s] >> lane & 1)
                find_away(rig, state, lane, s, out);
    }
}

static void find_gear(const struct rig *rig, const struct rig_state *state,
                      struct findings *out)
{
    step_set running = rig_running(state);
    uint32_t used = 0;
    for (int s = 0; s < rig->procedure->step_count; s++) {
        uint32_t uses = running >> s & 1 ? rig->procedure->steps[s].uses : 0;
        for (int g = 0; g < rig->plan->gear_count; g++)
            if (uses & used & (uint32_t)1 << g)
                add(out, FINDING_GEAR, g, 0);
        used |= uses;
    }
}

static void find_rules(const struct rig *rig, const struct rig_state *state,
                       struct moment moment, struct findings *out)
{
    const struct rules *rules = &rig->procedure->rules;
    for (int i = 0; i < rules->count; i++)
        if (rule_broken(rig, state, &rules->at[i], moment))
            add(out, FINDING_RULE, i, 0);
}

void rig_find(const struct rig *rig, const struct rig_state *state, struct findings *out)
{
    find_rules(rig, state, no_moment, out);
    find_lanes(rig, state, out);
    find_gear(rig, state, out);
}

/* Only rules that ask about this moment are added: the others are found as states. */
static void find_moment(const struct rig *rig, const struct rig_state *before,
                        struct moment moment, struct findings *out)
{
    const struct rules *rules = &rig->procedure->rules;
    for (int i = 0; i < rules->count; i++)
        if (rules->at[i].form == RULE_WHEN &&
            rule_broken(rig, before, &rules->at[i], moment))
            add(out, FINDING_RULE, i, 0);
}

/* A line in the hand of somebody who has no part in STEP is handed over or released;
 * cleated it is in nobody's hand. */
static void find_taken(const struct rig *rig, const struct rig_state *before, int step,
                       struct findings *out)
{
    const struct tendings *tends = &rig->procedure->steps[step].tends;
    for (int i = 0; i < tends->count; i++) {
        int line = tends->at[i].line, holder = before->tender[line];
        if (holder >= 0 && !(rig->lanes_of_step[step] >> holder & 1) &&
            takes_a_hand(rig, before, holder, line))
            add(out, FINDING_TAKEN, step, line);
    }
}

void rig_find_start(const struct rig *rig, const struct rig_state *before, int step,
                    struct findings *out)
{
    find_taken(rig, before, step, out);
    if (!rig_holds(before, &rig->procedure->steps[step].need))
        add(out, FINDING_NEED, step, 0);
    find_moment(rig, before, (struct moment){.starting = step, .finishing = -1}, out);
}

void rig_find_finish(const struct rig *rig, const struct rig_state *before, int step,
                     struct findings *out)
{
    find_moment(rig, before, (struct moment){.starting = -1, .finishing = step}, out);
}

const struct rule *rig_broken_rule(const struct rig *rig, const struct rig_state *state)
{
    const struct rules *rules = &rig->procedure->rules;
    for (int i = 0; i < rules->count; i++)
        if (rule_broken(rig, state, &rules->at[i], no_moment))
            return &rules->at[i];
    return NULL;
}
