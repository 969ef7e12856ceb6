#include "cards/words.h"

#include <string.h>

void words_roles(const struct rig_plan *plan, role_set roles, struct text *out)
{
    const char *between = "";
    for (int role = 0; role < plan->role_count; role++) {
        if (!(roles >> role & 1))
            continue;
        text_printf(out, "%s%s", between, plan->roles[role].words);
        between = ", ";
    }
}

void words_doers(const struct rig *rig, const struct bill *bill, const struct crew *crew,
                 int step, struct text *out)
{
    const char *between = "";
    for (int lane = 0; lane < bill->lane_count; lane++) {
        if (!(rig->lanes_of_step[step] >> lane & 1))
            continue;
        text_printf(out, "%s%s", between, crew->hands[bill->hand[lane]].name);
        between = " and ";
    }
}

void words_step(const struct procedure *procedure, int step, struct text *out)
{
    for (const char *c = procedure->steps[step].name; *c; c++)
        text_add_bytes(out, *c == '-' ? " " : c, 1);
}

void words_big(const struct step *step, struct text *out)
{
    const char *words = *step->call.say ? step->call.say : step->name;
    for (const char *c = words; *c; c++) {
        char upper =
            *c >= 'a' && *c <= 'z' ? (char)(*c - 'a' + 'A') : *c; /* any locale */
        if (*step->call.say == '\0' && *c == '-')
            upper = ' ';
        text_add_bytes(out, &upper, 1);
    }
}

void words_condition(const struct rig_plan *plan, const struct condition *condition,
                     struct text *out)
{
    bill_say_condition(plan, condition, out);
}

static void add_steps_by_name(const struct run *run, const struct crew *crew,
                              step_set steps, struct text *out)
{
    const char *between = "";
    for (int i = 0; i < run->bill->slot_count; i++) {
        int s = run->bill->slots[i].step;
        if (!(steps >> s & 1))
            continue;
        text_add(out, between);
        words_doers(run->rig, run->bill, crew, s, out);
        text_add(out, ": ");
        words_step(run->rig->procedure, s, out);
        between = ", ";
    }
}

static void add_unmet_waits(const struct run *run, int step, uint64_t waits,
                            struct text *out)
{
    const struct conditions *wait = &run->rig->procedure->steps[step].wait;
    const char *between = "";
    for (int i = 0; i < wait->count; i++) {
        if (!(waits >> i & 1))
            continue;
        text_add(out, between);
        words_condition(run->rig->plan, &wait->at[i], out);
        between = ", ";
    }
}

void words_not_yet(const struct run *run, const struct crew *crew, int step,
                   struct text *out)
{
    struct rig_block block = rig_blocked(run->rig, &run->now.rig, step);
    struct finding finding;
    step_set must = block.after | block.after_started | block.card | block.busy;
    if (must) {
        text_add(out, "first ");
        add_steps_by_name(run, crew, must, out);
    } else if (block.waits) {
        text_add(out, "until ");
        add_unmet_waits(run, step, block.waits, out);
    } else if (run_would_break(run, step, &finding)) {
        bill_say_finding(&finding, run->rig, run->bill, crew, out);
    }
}

void words_when_seen(const struct run *run, int step, struct text *out)
{
    const struct conditions *wait = &run->rig->procedure->steps[step].wait;
    const char *between = "when you see ";
    for (int i = 0; i < wait->count; i++) {
        if (!(run->now.reckoned_parts >> wait->at[i].part & 1))
            continue;
        text_add(out, between);
        words_condition(run->rig->plan, &wait->at[i], out);
        between = ", ";
    }
}

void words_holds(const struct run *run, int lane, struct text *out)
{
    part_set lines = rig_holds_lines(run->rig, &run->now.rig, lane);
    const char *between = "";
    for (int line = 0; line < run->rig->plan->part_count; line++) {
        if (!(lines >> line & 1))
            continue;
        text_printf(out, "%s%s", between, run->rig->plan->parts[line].words);
        between = ", ";
    }
}

void words_question(const struct run *run, const struct crew *crew, struct text *out)
{
    int step = run->now.question;
    if (step < 0)
        return;
    words_step(run->rig->procedure, step, out);
    text_add(out, " was marked before ");
    if (run->now.question_missing)
        add_steps_by_name(run, crew, run->now.question_missing, out);
    else
        text_add(out, "it could be done");
    text_add(out, ". Made too, or really early?");
}

const char *words_overboard(int item, bool short_words)
{
    /* in full, and for a phone */
    static const char *const items[][2] = {
        {"Point and keep pointing; call \"Man overboard\".",
         "Point, keep pointing, call it out."},
        {"Throw everything that floats, lifebuoy and light first.",
         "Throw what floats, lifebuoy first."},
        {"Note the time, press the position button; distress call ready, channel 16.",
         "Time, position button, channel 16."},
        {"\"Heads!\", head up; kite down the way your crew has rehearsed.",
         "\"Heads!\", head up; kite down."},
        {"All lines aboard and counted before the engine turns.",
         "All lines aboard before the engine."},
        {"Back on a close reach, the person to leeward amidships, engine in neutral.",
         "Close reach back; engine in neutral."}};
    bool known = item >= 0 && item < (int)(sizeof items / sizeof items[0]);
    return known ? items[item][short_words] : NULL;
}
