/* What slips say of the cues, the needs and the rules: what carries nothing, and how many
 * slips it takes. */
#include "cards/slip_words.h"

#include "cards/words.h"
#include "vet/values.h"

static void add_cue(const struct rig *rig, const struct slip *slip, struct text *out)
{
    const struct step *step = &rig->procedure->steps[slip->step];
    if (slip->kind == SLIP_AFTER) {
        text_printf(out, "after %s", rig->procedure->steps[slip->other].name);
        return;
    }
    text_add(out, slip->kind == SLIP_NEED ? "need " : "wait ");
    const struct conditions *all = slip->kind == SLIP_NEED ? &step->need : &step->wait;
    for (int i = 0; i < all->count; i++)
        if (slip->kind == SLIP_NEED || i == slip->other) {
            text_add(out, slip->kind == SLIP_NEED && i ? ", " : "");
            words_condition(rig->plan, &all->at[i], out);
        }
}

/* How many of the cues (of the needs, with NEEDS) carry nothing. */
static int count_idle(const struct slips *slips, bool needs)
{
    int count = 0;
    for (int i = 0; i < slips->count; i++)
        count += slip_carries_nothing(slips, &slips->at[i]) &&
                 (slips->at[i].kind == SLIP_NEED) == needs;
    return count;
}

/* The constraints that change no verdict alone, by step. */
static void add_idle(const struct rig *rig, const struct slips *slips, struct text *out)
{
    int needs = count_idle(slips, true), step = -1;
    text_printf(out, "  %d cues could each be missed alone: another one guards them",
                count_idle(slips, false));
    if (needs)
        text_printf(out, ";\n  needs that say nothing new: %d", needs);
    for (int i = 0; i < slips->count; i++) {
        const struct slip *slip = &slips->at[i];
        struct text cue = {0};
        if (!slip_carries_nothing(slips, slip))
            continue;
        if (slip->step != step)
            text_printf(out, "\n    %s: ", rig->procedure->steps[slip->step].name);
        add_cue(rig, slip, &cue);
        sheet_add_item(out, slip->step == step ? "; " : "", cue.at);
        text_free(&cue);
        step = slip->step;
    }
    text_add(out, "\n");
}

static void add_guards(const struct rig *rig, const struct slips *slips,
                       const struct slip_pairs *pairs, struct text *out)
{
    const char *const titles[] = {
        [GUARD_ONE] = "broken by one slip",
        [GUARD_TWO] = "broken by two slips and by no one alone",
        [GUARD_MORE] = pairs ? "broken by no two slips" : "broken by no single slip",
        [GUARD_IDLE] = "never at stake: no order of these steps breaks them"};
    const struct rules *rules = &rig->procedure->rules;
    enum rule_guard guards[RULES_MAX];
    vet_guards(rig, slips, pairs, guards);
    for (int guard = GUARD_ONE; guard <= GUARD_IDLE; guard++) {
        const char *between = NULL;
        for (int r = 0; r < rules->count; r++) {
            if (guards[r] != (enum rule_guard)guard)
                continue;
            if (!between)
                text_printf(out, "  rules %s:\n    ", titles[guard]);
            sheet_add_item(out, between ? between : "", rules->at[r].name);
            between = ", ";
        }
        text_add(out, between ? "\n" : "");
    }
}

/* Of the rig's rules, those that this procedure might break and is not held to. */
static void add_left_out(const struct rig *rig, struct text *out)
{
    const struct rules *rules = &rig->plan->rules;
    bool any = false;
    for (int r = 0, part; r < rules->count; r++) {
        if (!values_left_out(rig->procedure, &rules->at[r], &part))
            continue;
        if (!any)
            text_add(out, "  rules NOT held here, begin does not name what they speak "
                          "of:\n    ");
        struct text item = {0};
        text_printf(&item, "%s (%s)", rules->at[r].name, rig->plan->parts[part].words);
        sheet_add_item(out, any ? ", " : "", item.at);
        text_free(&item);
        any = true;
    }
    text_add(out, any ? "\n" : "");
}

void sheet_add_guards(const struct rig *rig, const struct slips *slips,
                      const struct slip_pairs *pairs, struct text *out)
{
    add_idle(rig, slips, out);
    add_guards(rig, slips, pairs, out);
    add_left_out(rig, out);
}
