#include "vet/shares.h"

#include <string.h>

struct sharing {
    const struct procedure *procedure;
    bool pilot;
    struct vet_limits limits; /* those given, but for the first thing found only */
    struct shares *out;
    uint8_t roles[ROLES_MAX]; /* that need a hand */
    int role_count;
    int8_t lane_of_role[ROLES_MAX];
    struct rig *rig;
    struct vet_report *report;
};

static int list_roles(const struct procedure *procedure, bool pilot,
                      uint8_t roles[ROLES_MAX])
{
    int count = 0;
    for (int role = 0; role < procedure->plan->role_count; role++)
        if (rig_role_needed(procedure, role, pilot))
            roles[count++] = (uint8_t)role;
    return count;
}

static void merge_cards(struct rig *rig)
{
    for (int lane = 0; lane < rig->lane_count; lane++) {
        uint8_t steps[STEPS_MAX];
        int count = 0;
        for (int s = 0; s < rig->procedure->step_count; s++)
            if (rig->lanes_of_step[s] >> lane & 1)
                steps[count++] = (uint8_t)s;
        rig_set_card(rig, lane, steps, count);
    }
}

static const struct vet_found *first_broken(const struct vet_report *report)
{
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == VET_BROKEN)
            return &report->found[i];
    return NULL;
}

static enum vet_verdict search(struct sharing *s)
{
    vet_search(s->rig, &s->limits, false, s->report);
    s->out->states += s->report->states;
    return s->report->verdict;
}

/* The cards as they are first: that covers every order the hand may take them in. */
static enum share_outcome try_share(struct sharing *s, int lanes)
{
    if (!rig_make(s->rig, s->procedure, s->lane_of_role, lanes, s->pilot))
        return SHARE_JOINT;
    if (search(s) == VET_SAFE)
        return SHARE_ANY_ORDER;
    if (s->report->verdict == VET_UNDECIDED)
        return SHARE_OPEN;
    merge_cards(s->rig);
    switch (search(s)) {
    case VET_SAFE:
        return SHARE_FILE_ORDER;
    case VET_UNDECIDED:
        return SHARE_OPEN;
    default:
        return SHARE_NOT;
    }
}

static bool breaks_a_rule(const struct vet_report *report)
{
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == VET_BROKEN &&
            report->found[i].finding.kind == FINDING_RULE)
            return true;
    return false;
}

static void keep_pair(struct sharing *s, enum share_outcome outcome)
{
    struct share_pair *pair = &s->out->pairs[s->out->pair_count++];
    *pair = (struct share_pair){.outcome = outcome};
    for (int i = 0; i < s->role_count; i++)
        for (int j = 0; j < i; j++)
            if (s->lane_of_role[s->roles[i]] == s->lane_of_role[s->roles[j]]) {
                pair->role = s->roles[j];
                pair->other = s->roles[i];
            }
    if (outcome != SHARE_NOT)
        return;
    pair->verdict = s->report->verdict;
    const struct vet_found *found = first_broken(s->report);
    if (found)
        pair->finding = found->finding;
}

static void count_share(struct sharing *s, int lanes)
{
    struct share_count *count = &s->out->of_hands[lanes];
    enum share_outcome outcome = try_share(s, lanes);
    count->ways++;
    count->any_order += outcome == SHARE_ANY_ORDER;
    count->file_order += outcome == SHARE_FILE_ORDER;
    count->open += outcome == SHARE_OPEN;
    count->rules_broken += outcome == SHARE_NOT && breaks_a_rule(s->report);
    if (lanes == s->role_count - 1)
        keep_pair(s, outcome);
}

/* Role number AT goes to each hand there is and to one more: each way comes up once. */
static void share_out(struct sharing *s, int at, int lanes)
{
    if (lanes + s->role_count - at < s->out->least)
        return;
    if (at == s->role_count) {
        count_share(s, lanes);
        return;
    }
    for (int lane = 0; lane <= lanes; lane++) {
        s->lane_of_role[s->roles[at]] = (int8_t)lane;
        share_out(s, at + 1, lane == lanes ? lanes + 1 : lanes);
    }
}

void vet_shares(const struct procedure *procedure, bool pilot, int least,
                const struct vet_limits *limits, struct shares *out)
{
    struct arena *arena = arena_new();
    struct sharing s = {.procedure = procedure,
                        .pilot = pilot,
                        .limits = *limits,
                        .out = out,
                        .rig = arena_alloc(arena, sizeof *s.rig),
                        .report = arena_alloc(arena, sizeof *s.report)};
    s.limits.first_only = true;
    memset(s.lane_of_role, -1, sizeof s.lane_of_role);
    s.role_count = list_roles(procedure, pilot, s.roles);
    *out = (struct shares){.role_count = s.role_count,
                           .least = least < s.role_count ? least : s.role_count};
    share_out(&s, 0, 0);
    arena_free(arena);
}

bool share_pair_rig(const struct procedure *procedure, bool pilot,
                    const struct share_pair *pair, struct rig *out)
{
    uint8_t roles[ROLES_MAX];
    int8_t lane_of_role[ROLES_MAX];
    int count = list_roles(procedure, pilot, roles), lanes = 0;
    memset(lane_of_role, -1, sizeof lane_of_role);
    for (int i = 0; i < count; i++)
        lane_of_role[roles[i]] =
            roles[i] == pair->other ? lane_of_role[pair->role] : (int8_t)lanes++;
    return rig_make(out, procedure, lane_of_role, lanes, pilot);
}
