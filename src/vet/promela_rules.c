/* The assertions of the model: what rig.h would find. */
#include "vet/promela.h"

static bool takes_part(const struct rig *rig, int lane, int step)
{
    return rig->lanes_of_step[step] >> lane & 1;
}

/* LANE can have LINE in hand on some way. */
static bool may_hold(const struct rig *rig, int lane, int line)
{
    if (rig->start.tender[line] == lane || rig->start.taker[line] == lane)
        return true;
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (takes_part(rig, lane, s) && rig_tending(rig, s, line))
            return true;
    return false;
}

static void add_atom(const struct rig *rig, const struct atom *atom, struct text *out)
{
    const struct condition c = {.part = atom->index, .values = atom->values};
    switch (atom->kind) {
    case ATOM_PART:
        promela_conditions(rig, &(struct conditions){&c, 1}, out);
        break;
    case ATOM_RUNNING:
        text_printf(out, " && R%d", atom->index);
        break;
    case ATOM_BEGUN:
        text_printf(out, " && b%d", atom->index);
        break;
    case ATOM_UNMADE:
        text_printf(out, " && !d%d", atom->index);
        break;
    case ATOM_UNTENDED:
        text_printf(out, " && t%d == 255", atom->index);
        break;
    case ATOM_ENDED:
        text_add(out, " && ENDED");
        break;
    case ATOM_STARTING:
    case ATOM_FINISHING:
        break; /* the assertion stands at that moment */
    }
}

/* The clause is about the start (MOMENT ATOM_STARTING) or finish of STEP. */
static bool is_of_moment(const struct clause *clause, enum atom_kind moment, int step)
{
    for (int i = 0; i < clause->count; i++)
        if (clause->atoms[i].kind == moment && clause->atoms[i].index == step)
            return true;
    return false;
}

/* The atoms of CLAUSE as one expression. */
static void add_clause(const struct rig *rig, const struct clause *clause,
                       struct text *out)
{
    text_add(out, "(1");
    for (int i = 0; i < clause->count; i++)
        add_atom(rig, &clause->atoms[i], out);
    text_add(out, ")");
}

static void add_rules(const struct rig *rig, struct text *out)
{
    for (int r = 0; r < rig->procedure->rules.count; r++) {
        const struct rule *rule = &rig->procedure->rules.at[r];
        for (int c = 0; c < rule->clause_count && rule->form != RULE_WHEN; c++) {
            text_add(out, "  NEVER");
            add_clause(rig, &rule->clauses[c], out);
            text_printf(out, " /* %s */\n", rule->name);
        }
    }
}

static void add_moment_rules(const struct rig *rig, enum atom_kind moment, int step,
                             struct text *out)
{
    for (int r = 0; r < rig->procedure->rules.count; r++) {
        const struct rule *rule = &rig->procedure->rules.at[r];
        for (int c = 0; c < rule->clause_count && rule->form == RULE_WHEN; c++)
            if (is_of_moment(&rule->clauses[c], moment, step)) {
                text_add(out, " WRONG");
                add_clause(rig, &rule->clauses[c], out);
                text_add(out, ";");
            }
    }
}

/* It is BY by which LANE has LINE, and what it says of no hand holds. */
static void add_fast(const struct rig *rig, int lane, int line, int by, struct text *out)
{
    const struct tending *tending = rig_tending(rig, by, line);
    if (!tending || !tending->none_when.count)
        return;
    text_printf(out, " && !((t%d == %d -> h%d : T%d) == %d", line, lane, line, line, by);
    promela_conditions(rig, &tending->none_when, out);
    text_add(out, ")");
}

/* HLANE_LINE: the line takes a hand of the lane. */
static void define_held(const struct rig *rig, int lane, int line, struct text *out)
{
    text_printf(out, "#define H%d_%d ((t%d == %d || y%d == %d)", lane, line, line, lane,
                line, lane);
    for (int s = 0; s < rig->procedure->step_count; s++)
        add_fast(rig, lane, line, s, out);
    for (int i = 0; i < rig->procedure->tended_count; i++)
        if (rig->procedure->tended[i].tending.line == line)
            add_fast(rig, lane, line, STEPS_MAX + i, out);
    text_add(out, ")\n");
}

/* No step of LANE before STEP in the file is running and works on LINE: the line would be
 * in the hands of that step. */
static void add_not_worked(const struct rig *rig, int lane, int line, int step,
                           struct text *out)
{
    for (int s = 0; s < step; s++)
        if (takes_part(rig, lane, s) &&
            rig_worked_lines(&rig->procedure->steps[s]) >> line & 1)
            text_printf(out, " && !R%d", s);
}

/* The lines of LANE, of those in LINES, that no running step before STEP works on. */
static void add_count(const struct rig *rig, int lane, part_set lines, int step,
                      struct text *out)
{
    for (int line = 0; line < rig->plan->part_count; line++)
        if (lines >> line & 1 && may_hold(rig, lane, line)) {
            text_printf(out, " + (H%d_%d", lane, line);
            add_not_worked(rig, lane, line, step, out);
            text_add(out, ")");
        }
}

/* A running step takes its hands, or one for each line in hand that it works on. */
static void add_hands(const struct rig *rig, int lane, struct text *out)
{
    int idle = rig_step_hands(rig, lane, -1), steps = rig->procedure->step_count;
    text_printf(out, "  NEVER(%d", idle);
    for (int s = 0; s < steps; s++) {
        if (!takes_part(rig, lane, s))
            continue;
        struct text count = {0};
        text_add(&count, "");
        add_count(rig, lane, rig_worked_lines(&rig->procedure->steps[s]), s, &count);
        int own = rig_step_hands(rig, lane, s) - idle;
        if (count.length)
            text_printf(out, " + (R%d -> ((0%s) > %d -> 0%s : %d) : 0)", s, count.at, own,
                        count.at, own);
        else if (own)
            text_printf(out, " + (R%d -> %d : 0)", s, own);
        text_free(&count);
    }
    add_count(rig, lane, ~(part_set)0, steps, out);
    text_printf(out, " > 2) /* hands of lane %d */\n", lane);
}

static bool within_reach(const struct rig *rig, int place, int station)
{
    return rig->plan->stations[place].reach >> station & 1;
}

static void add_places(const struct rig *rig, int lane, int s, struct text *out)
{
    const struct rig_plan *plan = rig->plan;
    int at = rig->procedure->steps[s].at;
    for (int line = 0; line < plan->part_count; line++)
        if (may_hold(rig, lane, line) &&
            !within_reach(rig, plan->parts[line].tended_at, at))
            text_printf(out, "  NEVER(R%d && H%d_%d)\n", s, lane, line);
    for (int role = 0; lane == rig->helm_lane && role < plan->role_count; role++)
        if (plan->roles[role].steers) {
            if (!within_reach(rig, plan->roles[role].station, at))
                text_printf(out, "  NEVER(R%d) /* the helm */\n", s);
            return;
        }
}

static void add_gear(const struct rig *rig, int s, struct text *out)
{
    for (int other = 0; other < s; other++)
        if (rig->procedure->steps[other].uses & rig->procedure->steps[s].uses)
            text_printf(out, "  NEVER(R%d && R%d) /* gear */\n", other, s);
}

void promela_holds(const struct rig *rig, struct text *out)
{
    text_add(out, "#define ENDED (1");
    for (int s = 0; s < rig->procedure->step_count; s++)
        text_printf(out, " && S%d", s);
    text_add(out, ")\n#define NEVER(x) :: d_step { (RULES && (x)) -> assert(false) }\n"
                  "bool m = 0; /* something was wrong at the last move */\n"
                  "#define WRONG(x) m = (m || (RULES && (x)))\n");
    for (int lane = 0; lane < rig->lane_count; lane++)
        for (int line = 0; line < rig->plan->part_count; line++)
            if (may_hold(rig, lane, line))
                define_held(rig, lane, line, out);
}

void promela_rules(const struct rig *rig, struct text *out)
{
    text_add(out, "  NEVER(m)\n");
    add_rules(rig, out);
    for (int lane = 0; lane < rig->lane_count; lane++) {
        add_hands(rig, lane, out);
        for (int s = 0; s < rig->procedure->step_count; s++)
            if (takes_part(rig, lane, s))
                add_places(rig, lane, s, out);
    }
    for (int s = 0; s < rig->procedure->step_count; s++)
        add_gear(rig, s, out);
}

/* Nobody who has no part in STEP has a line in hand that it begins to tend. */
static void add_taken(const struct rig *rig, int step, struct text *out)
{
    const struct tendings *tends = &rig->procedure->steps[step].tends;
    for (int i = 0; i < tends->count; i++)
        for (int lane = 0; lane < rig->lane_count; lane++)
            if (!takes_part(rig, lane, step) && may_hold(rig, lane, tends->at[i].line))
                text_printf(out, " WRONG(t%d == %d && H%d_%d);", tends->at[i].line, lane,
                            lane, tends->at[i].line);
}

void promela_at_start(const struct rig *rig, int step, struct text *out)
{
    add_moment_rules(rig, ATOM_STARTING, step, out);
    add_taken(rig, step, out);
    if (!rig->procedure->steps[step].need.count)
        return;
    text_add(out, " WRONG(!(1");
    promela_conditions(rig, &rig->procedure->steps[step].need, out);
    text_add(out, "));");
}

void promela_at_finish(const struct rig *rig, int step, struct text *out)
{
    add_moment_rules(rig, ATOM_FINISHING, step, out);
}
