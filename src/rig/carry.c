#include "rig/carry.h"

#include <string.h>

part_set carry_known(const struct procedure *procedure, int mishap)
{
    part_set known = procedure->begin_parts;
    if (mishap < 0)
        return known;
    const struct effects *sets = &procedure->plan->mishaps[mishap].sets;
    for (int i = 0; i < sets->count; i++)
        known |= (part_set)1 << sets->at[i].part;
    return known;
}

bool carry_can_happen(const struct procedure *procedure, const struct rig_state *state,
                      int mishap)
{
    const struct conditions *can = &procedure->plan->mishaps[mishap].can;
    for (int i = 0; i < can->count; i++)
        if (procedure->begin_parts >> can->at[i].part & 1 &&
            !(can->at[i].values >> state->part[can->at[i].part] & 1))
            return false;
    return true;
}

enum board carry_board(const struct rig_plan *plan, const struct rig_state *state,
                       part_set known, enum board before)
{
    if (plan->lee_part < 0 || !(known >> plan->lee_part & 1))
        return before;
    const struct part *part = &plan->parts[plan->lee_part];
    const char *lee = part->values[state->part[plan->lee_part]].name;
    if (strcmp(lee, "port") == 0)
        return BOARD_STARBOARD;
    if (strcmp(lee, "starboard") == 0)
        return BOARD_PORT;
    return before;
}

/* In most rigs compared parts and values stand in the same places: looked at first, since
 * this is asked for every state of every procedure. */
static int part_named(const struct rig_plan *plan, const char *name, int likely)
{
    if (likely < plan->part_count && strcmp(plan->parts[likely].name, name) == 0)
        return likely;
    return rig_plan_part(plan, name);
}

static int value_named(const struct part *part, const char *name, int likely)
{
    if (likely < part->value_count && strcmp(part->values[likely].name, name) == 0)
        return likely;
    return part_find_value(part, name);
}

void carry_parts(const struct rig_plan *from, const struct rig_state *state,
                 part_set known, const struct procedure *to, struct rig_state *out)
{
    for (int p = 0; p < to->plan->part_count; p++) {
        const struct part *part = &to->plan->parts[p];
        int old = part_named(from, part->name, p);
        out->part[p] = to->begin[p].first;
        if (old < 0 || !(known >> old & 1))
            continue;
        int there = state->part[old];
        int value = value_named(part, from->parts[old].values[there].name, there);
        out->part[p] = (uint8_t)(value < 0 ? 0 : value);
    }
}

part_set carry_misfits(const struct procedure *procedure, const struct rig_state *state)
{
    part_set misfits = 0;
    for (int p = 0; p < procedure->plan->part_count; p++)
        if (procedure->begin[p].values &&
            !(procedure->begin[p].values >> state->part[p] & 1))
            misfits |= (part_set)1 << p;
    return misfits;
}
