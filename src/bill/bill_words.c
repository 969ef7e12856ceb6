#include "bill/bill.h"
#include "bill/bill_each.h"

#include <string.h>

static void add_roles(role_set roles, const struct rig_plan *plan, struct text *out)
{
    bool first = true;
    roles = rig_plan_names_once(plan, roles);
    for (int role = 0; role < plan->role_count; role++)
        if (roles >> role & 1) {
            text_printf(out, "%s%s", first ? "" : ", ", plan->roles[role].words);
            first = false;
        }
}

/* The same, with the first step of what a role is shared out into: 'Guy from "square"'.
 */
static void add_duties(role_set roles, const struct procedure *procedure,
                       struct text *out)
{
    const char *between = "";
    for (int role = 0; role < procedure->plan->role_count; role++) {
        if (!(roles >> role & 1))
            continue;
        text_printf(out, "%s%s", between, procedure->plan->roles[role].words);
        between = ", ";
        for (int s = 0; s < procedure->step_count && bill_is_shared_out(procedure); s++)
            if (procedure->steps[s].roles >> role & 1) {
                text_printf(out, " from \"%s\"", procedure->steps[s].name);
                break;
            }
    }
}

void bill_say_condition(const struct rig_plan *plan, const struct condition *condition,
                        struct text *out)
{
    const struct part *part = &plan->parts[condition->part];
    text_add(out, part->words);
    const char *between = " ";
    for (int v = 0; v < part->value_count; v++) {
        if (!(condition->values >> v & 1))
            continue;
        text_printf(out, "%s%s", between, part->values[v].words);
        between = " or ";
    }
}

static void add_need(const struct procedure *procedure, int step, struct text *out)
{
    const struct conditions *need = &procedure->steps[step].need;
    text_printf(out,
                "\"%s\" begins without what it needs: ", procedure->steps[step].name);
    for (int i = 0; i < need->count; i++) {
        text_add(out, i ? ", " : "");
        bill_say_condition(procedure->plan, &need->at[i], out);
    }
}

static void add_lane(int lane, const struct rig *rig, const struct bill *bill,
                     const struct crew *crew, struct text *out)
{
    if (bill && crew) {
        text_add(out, crew->hands[bill->hand[lane]].name);
        return;
    }
    role_set roles = 0;
    for (int role = 0; role < rig->plan->role_count; role++)
        if (rig->lane_of_role[role] == lane)
            roles |= (role_set)(1u << role);
    add_roles(roles, rig->plan, out);
}

void bill_say_finding(const struct finding *finding, const struct rig *rig,
                      const struct bill *bill, const struct crew *crew, struct text *out)
{
    const struct procedure *procedure = rig->procedure;
    switch (finding->kind) {
    case FINDING_RULE: {
        const struct rule *rule = &procedure->rules.at[finding->index];
        text_printf(out, "%s: %s (%s)", signal_name(rule->signal), rule->because,
                    rule->name);
        break;
    }
    case FINDING_NEED:
        add_need(procedure, finding->index, out);
        break;
    case FINDING_HANDS:
        add_lane(finding->index, rig, bill, crew, out);
        text_add(out, " would need more than two hands");
        break;
    case FINDING_PLACE:
        add_lane(finding->index, rig, bill, crew, out);
        text_printf(out, " cannot leave the %s", rig->plan->parts[finding->other].words);
        break;
    case FINDING_GEAR:
        text_printf(out, "two at the %s at once", rig->plan->gear[finding->index].words);
        break;
    case FINDING_HELM:
        add_lane(finding->index, rig, bill, crew, out);
        text_add(out, " cannot leave the helm");
        break;
    case FINDING_TAKEN:
        text_printf(out, "%s takes the %s out of another's hand",
                    procedure->steps[finding->index].name,
                    rig->plan->parts[finding->other].words);
        break;
    }
}

/* The clash was found on a rig with one lane for the pair and one for each other role. */
void bill_explain_clash(const struct bill_why *why, const struct procedure *procedure,
                        struct text *out)
{
    const struct rig_plan *plan = procedure->plan;
    add_roles(why->clash, plan, out);
    if (why->clash_step < 0) {
        text_add(out, " would each wait for the other.\n");
        return;
    }
    const struct finding *finding = &why->clash_finding;
    text_printf(out,
                " in one person, at \"%s\": ", procedure->steps[why->clash_step].name);
    switch (finding->kind) {
    case FINDING_HANDS:
        text_add(out, "more than two hands would be needed.\n");
        break;
    case FINDING_PLACE:
        text_printf(out, "the %s cannot be left.\n", plan->parts[finding->other].words);
        break;
    case FINDING_HELM:
        text_add(out, "the helm cannot be left.\n");
        break;
    case FINDING_RULE:
        text_printf(out, "%s\n", procedure->rules.at[finding->index].because);
        break;
    default:
        text_add(out, "two things at once.\n");
    }
}

/* "Nobody who knows it can hold what is left behind all the turns: Guy (210 N)." */
static void add_too_weak(role_set roles, const struct procedure *procedure,
                         enum units units, struct text *out)
{
    const char *between = "";
    text_add(out, "Nobody who knows it can hold what is left behind all the turns: ");
    for (int role = 0; role < procedure->plan->role_count; role++) {
        if (!(roles >> role & 1))
            continue;
        text_printf(out, "%s%s (%.0f %s)", between, procedure->plan->roles[role].words,
                    units_force(units, procedure->holds_n[role]),
                    units_force_name(units));
        between = ", ";
    }
    text_add(out, ".\n");
}

void bill_explain(enum bill_verdict verdict, const struct bill_why *why,
                  const struct procedure *procedure, enum units units, struct text *out)
{
    const struct rig_plan *plan = procedure->plan;
    if (verdict == BILL_FOUND)
        return;
    if (why->pilot) {
        text_add(out, "It is done with an autopilot steering on the wind. If there is "
                      "one: --pilot, or P at the muster.\n");
        return;
    }
    if (verdict == BILL_UNDECIDED) {
        text_printf(out, "No bill found in %u tries; there may be one.\n", why->plays);
        return;
    }
    if (why->most && why->most < why->aboard)
        text_printf(out, "No bill for %u of the %u hands aboard.\n", why->most,
                    why->aboard);
    else
        text_printf(out, "No bill for the %u hands aboard.\n", why->aboard);
    if (why->nobody) {
        text_add(out, "Nobody aboard knows: ");
        add_roles(why->nobody, plan, out);
        text_add(out, ".\n");
    }
    if (why->too_weak)
        add_too_weak(why->too_weak, procedure, units, out);
    if (why->needed > 1 && (!why->nobody || why->needed > why->aboard)) {
        text_printf(out,
                    "At least %u hands are needed: no two of these can be one person: ",
                    why->needed);
        add_roles(why->apart, plan, out);
        text_add(out, ".\n");
        text_add(out, why->clash_asked ? "Asked for: " : "For example ");
        bill_explain_clash(why, procedure, out);
    }
    unsigned most = why->most && why->most < why->aboard ? why->most : why->aboard;
    bool enough = !why->nobody && !why->too_weak && why->needed <= most;
    if (enough && why->too_much) {
        text_add(out, "Together too much for those who know them: ");
        add_duties(why->too_much, procedure, out);
        text_add(out, ". Without any one of these the others could be done.\n");
    } else if (enough) {
        text_add(out, "There are hands enough, but not for these roles: no sharing of "
                      "them among those who know them works.\n");
    }
    if (procedure->hands_least && why->aboard < procedure->hands_least)
        text_printf(out, "The procedure asks for %d hands or more.\n",
                    procedure->hands_least);
}
