#include "bill/bill.h"
#include "cards/sheet_vet.h"
#include "cards/words.h"

#include <inttypes.h>

static void add_pair(const struct procedure *procedure, const struct share_pair *pair,
                     struct text *out)
{
    words_roles(procedure->plan,
                (role_set)((role_set)1 << pair->role | (role_set)1 << pair->other), out);
}

/* Of hands, places and helm the words of the finding name the pair already. */
static bool names_the_pair(const struct rig *rig, const struct share_pair *pair)
{
    return pair->verdict == VET_BROKEN &&
           (pair->finding.kind == FINDING_HANDS || pair->finding.kind == FINDING_PLACE ||
            pair->finding.kind == FINDING_HELM) &&
           pair->finding.index == rig->lane_of_role[pair->role];
}

static void add_refused(const struct procedure *procedure, bool pilot,
                        const struct share_pair *pair, struct text *out)
{
    struct rig rig;
    bool is_joint = !share_pair_rig(procedure, pilot, pair, &rig);
    if (is_joint || !names_the_pair(&rig, pair)) {
        add_pair(procedure, pair, out);
        text_add(out, ": ");
    }
    if (is_joint)
        text_add(out, "they work one step together");
    else if (pair->verdict == VET_BROKEN)
        bill_say_finding(&pair->finding, &rig, NULL, NULL, out);
    else if (pair->verdict == VET_STALL)
        text_add(out, "each would wait for the other");
    else
        text_add(out, "it would not end at the goal");
}

static bool is_refused(const struct share_pair *pair)
{
    return pair->outcome == SHARE_NOT || pair->outcome == SHARE_JOINT;
}

static void add_counts(const struct shares *shares, struct text *out)
{
    for (int hands = shares->role_count; hands >= shares->least; hands--) {
        const struct share_count *count = &shares->of_hands[hands];
        text_printf(out,
                    "    %2d hands: %5" PRIu32 " %s, %" PRIu32
                    " safe in any order, %" PRIu32 " in the file's order only",
                    hands, count->ways, count->ways == 1 ? "way" : "ways",
                    count->any_order, count->file_order);
        if (count->rules_broken)
            text_printf(out, ", %" PRIu32 " break a rule", count->rules_broken);
        if (count->open)
            text_printf(out, ", %" PRIu32 " undecided", count->open);
        text_add(out, "\n");
    }
}

/* Refused is said of the file's order: a bill may find another one that works. */
void sheet_vet_shares(const struct procedure *procedure, bool pilot,
                      const struct shares *shares, struct text *out)
{
    text_printf(out, "  %d roles shared out, %" PRIu64 " states searched\n",
                shares->role_count, shares->states);
    add_counts(shares, out);
    if (shares->role_count > shares->least)
        text_add(out, "  two roles in one hand, the others in a hand each:\n");
    for (int i = 0; i < shares->pair_count; i++) {
        const struct share_pair *pair = &shares->pairs[i];
        if (is_refused(pair)) {
            text_add(out, "    not in the file's order:  ");
            add_refused(procedure, pilot, pair, out);
        } else {
            text_add(out, pair->outcome == SHARE_ANY_ORDER
                              ? "    in any order:             "
                          : pair->outcome == SHARE_FILE_ORDER
                              ? "    in the file's order only: "
                              : "    undecided:                ");
            add_pair(procedure, pair, out);
        }
        text_add(out, "\n");
    }
}

void sheet_shares_json(const struct rig_plan *plan, const struct shares *shares,
                       struct json *json)
{
    static const char *const outcomes[] = {"any-order", "file-order", "not-in-file-order",
                                           "joint-step", "undecided"};
    json_open(json, "shares", '[');
    for (int hands = shares->role_count; hands >= shares->least; hands--) {
        const struct share_count *count = &shares->of_hands[hands];
        json_open(json, NULL, '{');
        json_integer(json, "hands", hands);
        json_integer(json, "ways", count->ways);
        json_integer(json, "any_order", count->any_order);
        json_integer(json, "file_order", count->file_order);
        json_integer(json, "undecided", count->open);
        json_close(json, '}');
    }
    json_close(json, ']');
    json_open(json, "role_pairs", '[');
    for (int i = 0; i < shares->pair_count; i++) {
        const struct share_pair *pair = &shares->pairs[i];
        json_open(json, NULL, '{');
        json_string(json, "role", plan->roles[pair->role].name);
        json_string(json, "other", plan->roles[pair->other].name);
        json_string(json, "outcome", outcomes[pair->outcome]);
        json_close(json, '}');
    }
    json_close(json, ']');
}
