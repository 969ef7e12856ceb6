#include "vet/lints.h"

#include "vet/values.h"

void lints_add(struct lints *out, const struct lint *lint)
{
    if (out->count < LINTS_MAX)
        out->at[out->count++] = *lint;
}

static part_set parts_of(const struct conditions *conditions)
{
    part_set parts = 0;
    for (int i = 0; i < conditions->count; i++)
        parts |= (part_set)1 << conditions->at[i].part;
    return parts;
}

static part_set parts_of_tending(const struct tending *tending)
{
    return (part_set)1 << tending->line | parts_of(&tending->none_when);
}

static part_set parts_of_tendings(const struct tendings *tendings)
{
    part_set parts = 0;
    for (int i = 0; i < tendings->count; i++)
        parts |= parts_of_tending(&tendings->at[i]);
    return parts;
}

static part_set parts_set(const struct effects *effects)
{
    part_set parts = 0;
    for (int i = 0; i < effects->count; i++)
        parts |= (part_set)1 << effects->at[i].part;
    return parts;
}

static part_set parts_of_rules(const struct rules *rules)
{
    part_set parts = 0;
    for (int r = 0; r < rules->count; r++)
        for (int c = 0; c < rules->at[r].clause_count; c++)
            for (int i = 0; i < rules->at[r].clauses[c].count; i++) {
                const struct atom *atom = &rules->at[r].clauses[c].atoms[i];
                if (atom->kind == ATOM_PART || atom->kind == ATOM_UNTENDED)
                    parts |= (part_set)1 << atom->index;
            }
    return parts;
}

static part_set parts_of_step(const struct step *step)
{
    return parts_of(&step->wait) | parts_of(&step->need) | parts_set(&step->start) |
           parts_set(&step->finish) | parts_of_tendings(&step->tends) |
           parts_of_tendings(&step->takes_over) | step->releases | step->hands_over;
}

/* The parts by which the rig tells what has befallen it and on which board it is. */
static part_set parts_of_mishaps(const struct rig_plan *plan)
{
    part_set parts = plan->lee_part < 0 ? 0 : (part_set)1 << plan->lee_part;
    for (int m = 0; m < plan->mishap_count; m++)
        parts |= parts_of(&plan->mishaps[m].can) | parts_set(&plan->mishaps[m].sets);
    return parts;
}

/* The parts that something reads or changes. */
static part_set parts_used(const struct procedure *procedure)
{
    part_set used = parts_of(&procedure->goal) | parts_of_rules(&procedure->rules) |
                    parts_of_mishaps(procedure->plan);
    for (int s = 0; s < procedure->step_count; s++)
        used |= parts_of_step(&procedure->steps[s]);
    for (int i = 0; i < procedure->tended_count; i++)
        used |= parts_of_tending(&procedure->tended[i].tending);
    for (int i = 0; i < procedure->check_count; i++)
        used |= procedure->checks[i].covers;
    return used;
}

static value_set all_values(const struct procedure *procedure, int part)
{
    int count = procedure->plan->parts[part].value_count;
    return count >= VALUES_MAX ? ~(value_set)0 : ((value_set)1 << count) - 1;
}

/* By its begin a recovery is found: what it does not allow is a use of the part. */
static bool chooses(const struct procedure *procedure, int part)
{
    return procedure->family == FAMILY_RECOVERY &&
           procedure->begin[part].values != all_values(procedure, part);
}

static void find_idle_parts(const struct procedure *procedure, struct lints *out)
{
    part_set used = parts_used(procedure);
    for (int p = 0; p < procedure->plan->part_count; p++)
        if ((procedure->begin_parts & ~used) >> p & 1 && !chooses(procedure, p))
            lints_add(out, &(struct lint){.kind = LINT_PART_IDLE,
                                          .part = (uint8_t)p,
                                          .where = procedure->begin[p].where});
}

static bool is_of_rig(const struct procedure *procedure, const struct rule *rule)
{
    return rule->where.source == procedure->plan->source;
}

/* One wrong part at the begin may be what a rule is there for. */
static void find_idle_rules(const struct procedure *procedure, struct lints *out)
{
    for (int r = 0; r < procedure->rules.count; r++) {
        const struct rule *rule = &procedure->rules.at[r];
        if (!is_of_rig(procedure, rule) && !values_can_break(procedure, rule, 1))
            lints_add(out, &(struct lint){.kind = LINT_RULE_IDLE,
                                          .index = (uint8_t)r,
                                          .where = rule->where});
    }
}

static void find_unwritten_goal(const struct procedure *procedure, struct lints *out)
{
    for (int i = 0; i < procedure->goal.count; i++) {
        const struct condition *goal = &procedure->goal.at[i];
        if (procedure->begin[goal->part].values & ~goal->values &&
            !(values_set(procedure, goal->part) & goal->values))
            lints_add(out, &(struct lint){.kind = LINT_GOAL_UNWRITTEN,
                                          .part = goal->part,
                                          .where = goal->where});
    }
}

static bool is_ruled(const struct rules *rules, int part, int value)
{
    for (int r = 0; r < rules->count; r++)
        for (int c = 0; c < rules->at[r].clause_count; c++)
            for (int i = 0; i < rules->at[r].clauses[c].count; i++) {
                const struct atom *atom = &rules->at[r].clauses[c].atoms[i];
                if (atom->kind == ATOM_PART && atom->index == part &&
                    atom->values >> value & 1)
                    return true;
            }
    return false;
}

/* A value from the start of a step to its finish is the moving one of its part. */
static void find_unruled_moves(const struct procedure *procedure, struct lints *out)
{
    for (int s = 0; s < procedure->step_count; s++) {
        const struct step *step = &procedure->steps[s];
        for (int i = 0; i < step->start.count; i++) {
            const struct effect *moving = &step->start.at[i];
            if (parts_set(&step->finish) >> moving->part & 1 &&
                !is_ruled(&procedure->rules, moving->part, moving->value) &&
                !is_ruled(&procedure->plan->rules, moving->part, moving->value))
                lints_add(out, &(struct lint){.kind = LINT_MOVING_UNRULED,
                                              .step = (uint8_t)s,
                                              .part = moving->part,
                                              .value = moving->value,
                                              .where = moving->where});
        }
    }
}

void lints_of_procedure(const struct procedure *procedure, struct lints *out)
{
    find_idle_parts(procedure, out);
    find_idle_rules(procedure, out);
    find_unwritten_goal(procedure, out);
    find_unruled_moves(procedure, out);
}
