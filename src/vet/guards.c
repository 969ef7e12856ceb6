/* Which rules a slip can break, and which no order of the steps could: there a rule is
 * not guarded twice, it is not at stake. */
#include "vet/changed.h"
#include "vet/engines.h"
#include "vet/values.h"

enum { FREE_STATES = 20000 };

static bool sets(const struct effects *effects, int part)
{
    for (int i = 0; i < effects->count; i++)
        if (effects->at[i].part == part)
            return true;
    return false;
}

/* STEP changes what ATOM speaks of. */
static bool touches(const struct procedure *procedure, int s, const struct atom *atom)
{
    const struct step *step = &procedure->steps[s];
    switch (atom->kind) {
    case ATOM_PART:
        return sets(&step->start, atom->index) || sets(&step->finish, atom->index);
    case ATOM_UNTENDED:
        return rig_worked_lines(step) >> atom->index & 1;
    case ATOM_ENDED:
        return true;
    default:
        return atom->index == s;
    }
}

static step_set steps_of_rule(const struct procedure *procedure, const struct rule *rule)
{
    step_set steps = 0;
    for (int s = 0; s < procedure->step_count; s++)
        for (int c = 0; c < rule->clause_count; c++)
            for (int i = 0; i < rule->clauses[c].count; i++)
                if (touches(procedure, s, &rule->clauses[c].atoms[i]))
                    steps |= (step_set)1 << s;
    return steps;
}

static part_set parts_of_rule(const struct rule *rule)
{
    part_set parts = 0;
    for (int c = 0; c < rule->clause_count; c++)
        for (int i = 0; i < rule->clauses[c].count; i++)
            if (rule->clauses[c].atoms[i].kind == ATOM_PART)
                parts |= (part_set)1 << rule->clauses[c].atoms[i].index;
    return parts;
}

/* The rig with RULE alone: every cue and card order gone, of the steps and of what begin
 * allows only what it is about. */
static void set_free(const struct rig *rig, const struct rule *rule, struct changed *out)
{
    changed_copy(rig, out);
    out->procedure.rules = (struct rules){rule, 1};
    out->rig.start.skipped =
        procedure_all_steps(rig->procedure) & ~steps_of_rule(rig->procedure, rule);
    for (int p = 0; p < rig->plan->part_count; p++)
        if (out->procedure.begin[p].values && !(parts_of_rule(rule) >> p & 1))
            out->procedure.begin[p].values = (value_set)1
                                             << out->procedure.begin[p].first;
    for (int c = 0; c < out->rig.card_count; c++)
        out->rig.cards[c].free_order = true;
    for (int s = 0; s < rig->procedure->step_count; s++) {
        out->steps[s].after = out->steps[s].after_started = 0;
        out->steps[s].wait.count = out->steps[s].need.count = 0;
    }
}

/* False where some order without any cue breaks RULE, or the search was too long. */
static bool is_idle(const struct rig *rig, const struct rule *rule)
{
    if (!values_can_break(rig->procedure, rule, 0))
        return true;
    const struct vet_limits limits = {.states = FREE_STATES};
    struct arena *arena = arena_new();
    struct changed *changed = arena_alloc(arena, sizeof *changed);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    set_free(rig, rule, changed);
    vet_quickly(&changed->rig, &limits, false, report);
    bool found = report->cut_off;
    for (int i = 0; i < report->found_count; i++)
        found |= report->found[i].kind == VET_BROKEN &&
                 report->found[i].finding.kind == FINDING_RULE;
    arena_free(arena);
    return !found;
}

static bool is_in(const uint64_t rules[RULES_MAX / 64], int rule)
{
    return rules[rule / 64] >> rule % 64 & 1;
}

void vet_guards(const struct rig *rig, const struct slips *slips,
                const struct slip_pairs *pairs, enum rule_guard out[RULES_MAX])
{
    const struct rules *rules = &rig->procedure->rules;
    for (int r = 0; r < rules->count; r++) {
        bool one = false;
        for (int i = 0; i < slips->count; i++)
            one |= slip_is_single(&slips->at[i]) && slip_breaks(&slips->at[i], r);
        out[r] = one                                ? GUARD_ONE
                 : pairs && is_in(pairs->breaks, r) ? GUARD_TWO
                 : is_idle(rig, &rules->at[r])      ? GUARD_IDLE
                                                    : GUARD_MORE;
    }
}
