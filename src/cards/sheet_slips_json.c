/* Slips as JSON. */
#include "cards/sheet_vet.h"

#include "cards/slip_words.h"
#include "vet/values.h"

static void json_slip(const struct rig *rig, const struct slips *slips,
                      const struct slip *slip, struct json *json)
{
    static const char *const kinds[] = {"forgotten",    "swapped",      "after-ignored",
                                        "wait-ignored", "need-ignored", "begin",
                                        "no-cue"};
    struct text words = {0};
    sheet_add_slip(rig, slip, &words);
    json_open(json, NULL, '{');
    json_string(json, "slip", kinds[slip->kind]);
    json_string(json, slip->kind == SLIP_BEGIN ? "part" : "step",
                slip->kind == SLIP_BEGIN ? rig->plan->parts[slip->step].name
                                         : rig->procedure->steps[slip->step].name);
    json_string(json, "what", words.at);
    json_string(json, "outcome",
                slip->barred ? "barred" : vet_verdict_name(slip->outcome));
    json_integer(json, "moves", slip->events);
    if (slip->outcome == VET_BROKEN && slip->finding.kind == FINDING_RULE)
        json_string(json, "rule", rig->procedure->rules.at[slip->finding.index].name);
    if (slip->kind == SLIP_BEGIN)
        json_bool(json, "unasked", slip_unasked(rig, slip));
    if (slips && slip_carries_nothing(slips, slip))
        json_bool(json, "carries_nothing", true);
    json_close(json, '}');
    text_free(&words);
}

static void json_pairs(const struct rig *rig, const struct slip_pairs *pairs,
                       struct json *json)
{
    json_integer(json, "pairs_tried", pairs->tried);
    json_integer(json, "pairs_hurting", pairs->hurting);
    json_open(json, "pairs", '[');
    for (int i = 0; i < pairs->count; i++) {
        json_open(json, NULL, '[');
        json_slip(rig, NULL, &pairs->at[i].a, json);
        json_slip(rig, NULL, &pairs->at[i].b, json);
        json_close(json, ']');
    }
    json_close(json, ']');
}

static void json_guards(const struct rig *rig, const struct slips *slips,
                        const struct slip_pairs *pairs, struct json *json)
{
    static const char *const words[] = {"1", "2", "more", "never-at-stake"};
    enum rule_guard guards[RULES_MAX];
    vet_guards(rig, slips, pairs, guards);
    json_open(json, "rules", '[');
    for (int r = 0; r < rig->procedure->rules.count; r++) {
        json_open(json, NULL, '{');
        json_string(json, "rule", rig->procedure->rules.at[r].name);
        json_string(json, "slips_to_break", words[guards[r]]);
        json_close(json, '}');
    }
    json_close(json, ']');
    json_open(json, "rules_not_held", '[');
    for (int r = 0, part; r < rig->plan->rules.count; r++)
        if (values_left_out(rig->procedure, &rig->plan->rules.at[r], &part))
            json_string(json, NULL, rig->plan->rules.at[r].name);
    json_close(json, ']');
}

void sheet_slips_json(const struct rig *rig, const struct slips *slips,
                      const struct slip_pairs *pairs, struct json *json)
{
    uint8_t steps[STEPS_MAX];
    int count = slips_must_not_miss(slips, steps);
    json_open(json, "slips", '[');
    for (int i = 0; i < slips->count; i++)
        json_slip(rig, slips, &slips->at[i], json);
    json_close(json, ']');
    json_open(json, "must_not_miss", '[');
    for (int i = 0; i < count; i++)
        json_string(json, NULL, rig->procedure->steps[steps[i]].name);
    json_close(json, ']');
    if (pairs)
        json_pairs(rig, pairs, json);
    json_guards(rig, slips, pairs, json);
}
