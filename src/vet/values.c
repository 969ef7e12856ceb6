#include "vet/values.h"

static void add_effects(const struct effects *effects, value_set out[PARTS_MAX])
{
    for (int i = 0; i < effects->count; i++)
        out[effects->at[i].part] |= (value_set)1 << effects->at[i].value;
}

void values_fill(const struct procedure *procedure, value_set out[PARTS_MAX])
{
    for (int p = 0; p < PARTS_MAX; p++)
        out[p] = procedure->begin[p].values;
    for (int s = 0; s < procedure->step_count; s++) {
        add_effects(&procedure->steps[s].start, out);
        add_effects(&procedure->steps[s].finish, out);
    }
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

static bool clause_can_hold(const struct procedure *procedure,
                            const struct clause *clause,
                            const value_set values[PARTS_MAX], int most)
{
    int otherwise = 0;
    for (int i = 0; i < clause->count; i++) {
        const struct atom *atom = &clause->atoms[i];
        otherwise += atom->kind == ATOM_PART && !(atom->values & values[atom->index]);
        if (atom->kind == ATOM_UNTENDED && !can_be_untended(procedure, atom->index))
            return false;
    }
    return otherwise <= most;
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
