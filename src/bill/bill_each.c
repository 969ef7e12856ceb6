#include "bill/bill_each.h"

#include <string.h>

/* A procedure being shared out. */
struct sharing {
    const struct procedure *from;
    struct procedure *to;
    struct rig_plan *plan;
    struct role *roles;
    struct step *steps;
    uint8_t first[ROLES_MAX]; /* by role of FROM: the first of what it became */
};

static part_set lines_of(const struct tendings *tendings)
{
    part_set lines = 0;
    for (int i = 0; i < tendings->count; i++)
        lines |= (part_set)1 << tendings->at[i].line;
    return lines;
}

static part_set held_at_begin(const struct procedure *procedure, int role)
{
    part_set held = 0;
    for (int i = 0; i < procedure->tended_count; i++)
        if (procedure->tended[i].role == role)
            held |= (part_set)1 << procedure->tended[i].tending.line;
    return held;
}

/* The lines ROLE has in hand after STEP. */
static part_set held_after(const struct step *step, part_set held)
{
    held |= lines_of(&step->tends) | lines_of(&step->takes_over);
    return held & ~(step->releases | step->hands_over);
}

static bool is_kept(const struct sharing *s, int role)
{
    const struct role *one = &s->from->plan->roles[role];
    int pieces = 0;
    for (int i = 0; i < s->from->step_count; i++)
        pieces += (int)(s->from->steps[i].roles >> role & 1);
    return one->steers || one->one_hand || one->free_order ||
           s->plan->role_count + pieces + s->from->plan->role_count - role > ROLES_MAX;
}

static int add_role(struct sharing *s, int role)
{
    s->roles[s->plan->role_count] = s->from->plan->roles[role];
    s->to->holds_n[s->plan->role_count] = s->from->holds_n[role];
    if (s->from->roles >> role & 1)
        s->to->roles |= (role_set)1 << s->plan->role_count;
    return s->plan->role_count++;
}

static void share_role(struct sharing *s, int role)
{
    const struct procedure *from = s->from;
    bool kept = is_kept(s, role);
    part_set held = held_at_begin(from, role);
    int piece = add_role(s, role), last = -1;
    s->first[role] = (uint8_t)piece;
    for (int i = 0; i < from->step_count; i++) {
        if (!(from->steps[i].roles >> role & 1))
            continue;
        if (last >= 0 && !kept && !held) {
            piece = add_role(s, role);
            s->steps[i].after |= (step_set)1 << last;
        }
        s->steps[i].roles |= (role_set)1 << piece;
        if (from->steps[i].call.by == role)
            s->steps[i].call.by = (int8_t)piece;
        held = held_after(&from->steps[i], held);
        last = i;
    }
}

/* Who calls without a hand in the step, who is asked and who holds a line at the begin:
 * the first of what the role became. */
static void point_to_first(struct sharing *s, struct arena *arena)
{
    const struct procedure *from = s->from;
    struct check *checks = arena_alloc(arena, (from->check_count + 1u) * sizeof *checks);
    struct begin_tended *tended =
        arena_alloc(arena, (from->tended_count + 1u) * sizeof *tended);
    for (int i = 0; i < from->step_count; i++) {
        int by = from->steps[i].call.by;
        if (by >= 0 && !(from->steps[i].roles >> by & 1))
            s->steps[i].call.by = (int8_t)s->first[by];
    }
    for (int i = 0; i < from->check_count; i++) {
        checks[i] = from->checks[i];
        checks[i].ask = s->first[from->checks[i].ask];
    }
    for (int i = 0; i < from->tended_count; i++) {
        tended[i] = from->tended[i];
        tended[i].role = s->first[from->tended[i].role];
    }
    s->to->checks = checks;
    s->to->tended = tended;
}

const struct procedure *bill_share_out(const struct procedure *procedure,
                                       struct arena *arena)
{
    struct sharing s = {.from = procedure,
                        .to = arena_alloc(arena, sizeof *s.to),
                        .plan = arena_alloc(arena, sizeof *s.plan),
                        .roles = arena_alloc(arena, ROLES_MAX * sizeof *s.roles),
                        .steps = arena_alloc(arena, STEPS_MAX * sizeof *s.steps)};
    *s.to = *procedure;
    *s.plan = *procedure->plan;
    memcpy(s.steps, procedure->steps, procedure->step_count * sizeof *s.steps);
    for (int i = 0; i < procedure->step_count; i++)
        s.steps[i].roles = 0;
    s.to->roles = 0;
    s.plan->role_count = 0;
    for (int role = 0; role < procedure->plan->role_count; role++)
        share_role(&s, role);
    point_to_first(&s, arena);
    s.plan->roles = s.roles;
    s.to->plan = s.plan;
    s.to->steps = s.steps;
    return s.to;
}

bool bill_are_kin(const struct procedure *procedure, int role, int other)
{
    const struct role *roles = procedure->plan->roles;
    return strcmp(roles[role].name, roles[other].name) == 0;
}

int bill_first_kin(const struct procedure *procedure, int role)
{
    int first = 0;
    while (!bill_are_kin(procedure, first, role))
        first++;
    return first;
}

bool bill_is_shared_out(const struct procedure *procedure)
{
    for (int role = 0; role < procedure->plan->role_count; role++)
        if (bill_first_kin(procedure, role) != role)
            return true;
    return false;
}

int bill_count_hands(const struct bill *bill, const struct procedure *procedure, int role)
{
    int hands = 0;
    for (int lane = 0; lane < bill->lane_count; lane++) {
        bool has = false;
        for (int kin = 0; kin < procedure->plan->role_count; kin++)
            has |= bill->wears[lane] >> kin & 1 && bill_are_kin(procedure, role, kin);
        hands += has;
    }
    return hands;
}

int bill_role_changes(const struct bill *bill, const struct procedure *procedure)
{
    int changes = 0;
    for (int role = 0; role < procedure->plan->role_count; role++) {
        int hands = bill_count_hands(bill, procedure, role);
        if (bill_first_kin(procedure, role) == role && hands > 1)
            changes += hands - 1;
    }
    return changes;
}
