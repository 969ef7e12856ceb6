#include "vet/values.h"

static value_set set_by(const struct effects *effects, int part)
{
    value_set values = 0;
    for (int i = 0; i < effects->count; i++)
        if (effects->at[i].part == part)
            values |= (value_set)1 << effects->at[i].value;
    return values;
}

value_set values_set(const struct procedure *procedure, int part)
{
    value_set values = 0;
    for (int s = 0; s < procedure->step_count; s++)
        values |= set_by(&procedure->steps[s].start, part) |
                  set_by(&procedure->steps[s].finish, part);
    return values;
}

void values_fill(const struct procedure *procedure, value_set out[PARTS_MAX])
{
    for (int p = 0; p < PARTS_MAX; p++)
        out[p] = procedure->begin[p].values | values_set(procedure, p);
}

/* False where LINE is in hand at the begin and nobody ever lets go of it. */
static bool can_be_untended(const struct procedure *procedure, int line)
{
    bool in_hand = false;
    for (int i = 0; i < procedure->tended_count; i++)
        in_hand |= procedure->tended[i].tending.line == line;
    for (int s = 0; s < procedure->step_count; s++)
        if ((procedure->steps[s].releases | procedure->steps[s].hands_over) >> line & 1)
            return true;
    return !in_hand;
}

/* How many parts that CLAUSE names have none of its values. */
static int parts_otherwise(const struct clause *clause, const value_set values[PARTS_MAX])
{
    int count = 0;
    for (int i = 0; i < clause->count; i++) {
        const struct atom *atom = &clause->atoms[i];
        count += atom->kind == ATOM_PART && !(atom->values & values[atom->index]);
    }
    return count;
}

static bool clause_can_hold(const struct procedure *procedure,
                            const struct clause *clause,
                            const value_set values[PARTS_MAX], int most)
{
    for (int i = 0; i < clause->count; i++) {
        const struct atom *atom = &clause->atoms[i];
        if (atom->kind == ATOM_UNTENDED && !can_be_untended(procedure, atom->index))
            return false;
    }
    return parts_otherwise(clause, values) <= most;
}

bool values_can_break(const struct procedure *procedure, const struct rule *rule,
                      int most)
{
    value_set values[PARTS_MAX];
    values_fill(procedure, values);
    for (int i = 0; i < rule->clause_count; i++)
        if (clause_can_hold(procedure, &rule->clauses[i], values, most))
            return true;
    return false;
}

bool values_at_stake(const struct procedure *procedure, const struct rule *rule)
{
    value_set values[PARTS_MAX];
    values_fill(procedure, values);
    for (int i = 0; i < rule->clause_count; i++)
        if (parts_otherwise(&rule->clauses[i], values) <= 1)
            return true;
    return false;
}

/* What is known of CLAUSE can hold, by what a step sets; PART of it is not known. */
static bool is_left_out(const struct procedure *procedure, const struct clause *clause,
                        int *part)
{
    bool missing = false, is_set = false;
    for (int i = 0; i < clause->count; i++) {
        const struct atom *atom = &clause->atoms[i];
        if (!(procedure->begin_parts >> atom->index & 1)) {
            *part = atom->index;
            missing = true;
            continue;
        }
        value_set set = values_set(procedure, atom->index);
        if (atom->kind != ATOM_PART ||
            !(atom->values & (procedure->begin[atom->index].values | set)))
            return false;
        is_set |= (atom->values & set) != 0;
    }
    return missing && is_set;
}

bool values_left_out(const struct procedure *procedure, const struct rule *rule,
                     int *part)
{
    for (int i = 0; i < rule->clause_count; i++)
        if (is_left_out(procedure, &rule->clauses[i], part))
            return true;
    return false;
}
