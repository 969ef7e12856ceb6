/* What one procedure cannot tell alone: who ever needs a recovery, and what of a rig
 * nobody uses. */
#include "vet/lints.h"

#include "rig/carry.h"
#include "vet/values.h"

#include <string.h>

/* A rule that takes more wrong begins than these is at stake nowhere. */
enum { WRONG_BEGINS = 2 };

/* Every value that a step, a mishap or the begin of one of OTHERS gives each part. */
static void fill_made(const struct procedure *procedure,
                      const struct procedure *const *others, int count,
                      value_set out[PARTS_MAX])
{
    const struct rig_plan *plan = procedure->plan;
    memset(out, 0, PARTS_MAX * sizeof out[0]);
    for (int i = 0; i < count; i++) {
        value_set values[PARTS_MAX];
        values_fill(others[i], values);
        for (int p = 0; p < plan->part_count; p++)
            if (strcmp(others[i]->name, procedure->name) != 0)
                out[p] |= values[p];
    }
    for (int m = 0; m < plan->mishap_count; m++)
        for (int i = 0; i < plan->mishaps[m].sets.count; i++)
            out[plan->mishaps[m].sets.at[i].part] |= (value_set)1
                                                     << plan->mishaps[m].sets.at[i].value;
}

/* A part that none of the others names says nothing against it. */
static bool find_parts_never(const struct procedure *procedure,
                             const struct procedure *const *others, int count,
                             struct lints *out)
{
    value_set made[PARTS_MAX];
    bool found = false;
    fill_made(procedure, others, count, made);
    for (int p = 0; p < procedure->plan->part_count; p++) {
        const struct begin *begin = &procedure->begin[p];
        if (!begin->values || !made[p] || begin->values & made[p])
            continue;
        lints_add(out, &(struct lint){.kind = LINT_BEGIN_NEVER,
                                      .part = (uint8_t)p,
                                      .where = begin->where});
        found = true;
    }
    return found;
}

/* The states of FROM that are looked at for one where RECOVERY can begin. */
struct hunt {
    const struct procedure *from, *recovery;
    bool fits;
};

static bool fits(const struct hunt *hunt, const struct rig_state *state, part_set known)
{
    for (int p = 0; p < hunt->recovery->plan->part_count; p++)
        if (known >> p & 1 && hunt->recovery->begin[p].values &&
            !(hunt->recovery->begin[p].values >> state->part[p] & 1))
            return false;
    return true;
}

static bool look(void *payload, const struct rig_state *state)
{
    struct hunt *hunt = payload;
    const struct rig_plan *plan = hunt->from->plan;
    hunt->fits |= fits(hunt, state, hunt->from->begin_parts);
    for (int m = 0; m < plan->mishap_count && !hunt->fits; m++) {
        struct rig_state after = *state;
        rig_apply(&after, &plan->mishaps[m].sets);
        hunt->fits = carry_can_happen(hunt->from, state, m) &&
                     fits(hunt, &after, carry_known(hunt->from, m));
    }
    return hunt->fits;
}

static bool can_come_from(const struct procedure *from, const struct procedure *recovery)
{
    struct hunt hunt = {.from = from, .recovery = recovery};
    const struct vet_limits limits = {.each = look, .each_payload = &hunt};
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    if (vet_rig_of_roles(from, from->pilot_needed, rig)) {
        vet_search(rig, &limits, false, report);
        hunt.fits |= report->cut_off; /* not all of it was looked at */
    }
    arena_free(arena);
    return hunt.fits;
}

void lints_of_recovery(const struct procedure *procedure,
                       const struct procedure *const *others, int count,
                       struct lints *out)
{
    if (procedure->family != FAMILY_RECOVERY ||
        find_parts_never(procedure, others, count, out))
        return;
    int compared = 0;
    for (int recoveries = 0; recoveries < 2; recoveries++) /* those searched last */
        for (int i = 0; i < count; i++) {
            if (strcmp(others[i]->name, procedure->name) == 0 ||
                (others[i]->family == FAMILY_RECOVERY) != recoveries)
                continue;
            compared++;
            if (can_come_from(others[i], procedure))
                return;
        }
    for (int p = 0; p < procedure->plan->part_count && compared; p++)
        if (procedure->begin[p].values) {
            lints_add(out, &(struct lint){.kind = LINT_BEGINS_NEVER,
                                          .where = procedure->begin[p].where});
            return;
        }
}

/* Some of PROCEDURES is held to the rig's rule R and can come to break it. */
static bool is_at_stake(const struct rig_plan *plan, int r,
                        const struct procedure *const *procedures, int count)
{
    for (int i = 0; i < count; i++)
        for (int j = 0; j < procedures[i]->rules.count; j++) {
            const struct rule *rule = &procedures[i]->rules.at[j];
            if (strcmp(rule->name, plan->rules.at[r].name) == 0 &&
                values_can_break(procedures[i], rule, WRONG_BEGINS))
                return true;
        }
    return false;
}

void lints_of_rig(const struct rig_plan *plan, const struct procedure *const *procedures,
                  int count, struct lints *out)
{
    part_set named = 0;
    for (int i = 0; i < count; i++)
        named |= procedures[i]->begin_parts;
    for (int p = 0; p < plan->part_count; p++)
        if (!(named >> p & 1))
            lints_add(out, &(struct lint){.kind = LINT_RIG_PART_IDLE,
                                          .part = (uint8_t)p,
                                          .where = plan->parts[p].where});
    for (int r = 0; r < plan->rules.count; r++)
        if (!is_at_stake(plan, r, procedures, count))
            lints_add(out, &(struct lint){.kind = LINT_RIG_RULE_IDLE,
                                          .index = (uint8_t)r,
                                          .where = plan->rules.at[r].where});
}
