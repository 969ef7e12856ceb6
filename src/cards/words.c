#include "cards/words.h"

#include "vet/values.h"

#include <string.h>

void words_roles(const struct rig_plan *plan, role_set roles, struct text *out)
{
    const char *between = "";
    roles = rig_plan_names_once(plan, roles);
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

static bool is_among(const char *const *texts, int count, const char *text)
{
    for (int i = 0; i < count; i++)
        if (strcmp(texts[i], text) == 0)
            return true;
    return false;
}

int words_reasons(const struct procedure *procedure, enum signal signal, const char **out)
{
    int count = 0;
    for (int i = 0; i < procedure->rules.count; i++) {
        const struct rule *rule = &procedure->rules.at[i];
        if (rule->signal == signal && values_at_stake(procedure, rule) &&
            !is_among(out, count, rule->because))
            out[count++] = rule->because;
    }
    return count;
}

void words_step(const struct procedure *procedure, int step, struct text *out)
{
    for (const char *c = procedure->steps[step].name; *c; c++)
        text_add_bytes(out, *c == '-' ? " " : c, 1);
}

void words_whose_step(const struct rig *rig, int step, struct text *out)
{
    words_roles(rig->plan, rig->procedure->steps[step].roles, out);
    text_add(out, " \"");
    words_step(rig->procedure, step, out);
    text_add(out, "\"");
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

/* What comes before STEP, where nobody has marked any of it: "after trip, dip begun". */
static bool add_after(const struct run *run, int step, struct text *out)
{
    const struct procedure *procedure = run->rig->procedure;
    step_set begun = procedure->steps[step].after_started;
    step_set before = (procedure->steps[step].after | begun) & ~run->now.rig.done;
    const char *between = "after ";
    for (int i = 0; i < run->bill->slot_count; i++) {
        int s = run->bill->slots[i].step;
        if (!(before >> s & 1))
            continue;
        text_add(out, between);
        words_step(procedure, s, out);
        text_add(out, begun >> s & 1 ? " begun" : "");
        between = ", ";
    }
    return before != 0;
}

void words_when_seen(const struct run *run, int step, int64_t now_ms, struct text *out)
{
    const struct conditions *wait = &run->rig->procedure->steps[step].wait;
    bool planned = run_follows_plan(run, now_ms);
    const char *between =
        planned && add_after(run, step, out) ? " and when you see " : "when you see ";
    for (int i = 0; i < wait->count; i++) {
        if (!planned && !(run->now.reckoned_parts >> wait->at[i].part & 1))
            continue;
        text_add(out, between);
        words_condition(run->rig->plan, &wait->at[i], out);
        between = ", ";
    }
}

void words_holds(const struct rig *rig, const struct rig_state *state, int lane,
                 struct text *out)
{
    part_set lines = rig_holds_lines(rig, state, lane);
    const char *between = "";
    for (int line = 0; line < rig->plan->part_count; line++) {
        if (!(lines >> line & 1))
            continue;
        text_printf(out, "%s%s", between, rig->plan->parts[line].words);
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

/* The name of a rule, or of what a step needs; anything else in full. */
static void add_name(const struct run *run, const struct crew *crew,
                     const struct finding *finding, struct text *out)
{
    const struct procedure *procedure = run->rig->procedure;
    if (finding->kind == FINDING_RULE) {
        text_add(out, procedure->rules.at[finding->index].name);
    } else if (finding->kind == FINDING_NEED) {
        text_add(out, "the need of ");
        words_step(procedure, finding->index, out);
    } else {
        bill_say_finding(finding, run->rig, run->bill, crew, out);
    }
}

void words_found(const struct run *run, const struct crew *crew, int i, struct text *out)
{
    bill_say_finding(&run->now.found[i].finding, run->rig, run->bill, crew, out);
    for (int j = 0; j < run->now.found_count; j++) {
        if (j == i || run_same_danger(run, j) != i)
            continue;
        text_add(out, ", also ");
        add_name(run, crew, &run->now.found[j].finding, out);
    }
}

void words_gone(const struct run *run, const struct crew *crew,
                const struct run_out *gone, struct text *out)
{
    for (int i = 0; i < gone->gone_count; i++) {
        text_add(out, i ? ", " : "");
        add_name(run, crew, &gone->gone[i], out);
    }
}

static bool came_to_an_end(enum run_outcome outcome)
{
    return outcome == RUN_DONE || outcome == RUN_NOT_AT_GOAL || outcome == RUN_UNTIMED;
}

static void add_seconds(const char *before, int64_t ms, struct text *out)
{
    text_add(out, before);
    text_add_seconds(out, ms);
    text_add(out, " s");
}

static void add_time(const struct debrief *debrief, int64_t pace_ms, struct text *out)
{
    bool ended = came_to_an_end(debrief->outcome);
    if (ended && debrief->untimed)
        text_printf(out, ": no time, %d of %d steps without one", debrief->untimed,
                    debrief->split_count);
    else if (ended && !debrief->timed)
        text_add(out, ": no time, a gap was reckoned");
    else
        add_seconds(ended ? " in " : " after ", debrief->total_ms, out);
    add_seconds(", planned ", debrief->plan_ms, out);
    if (pace_ms >= 0)
        add_seconds(", pace ", pace_ms, out);
}

void words_outcome(const struct debrief *debrief, enum run_mode mode, int64_t pace_ms,
                   struct text *out)
{
    text_add(out, run_outcome_name(debrief->outcome));
    if (debrief->total_ms >= 0 && mode != RUN_WALK)
        add_time(debrief, pace_ms, out);
    if (debrief->held_ms > 0)
        add_seconds(", held ", debrief->held_ms, out);
}

void words_split(const struct debrief_split *split, enum run_mode mode, struct text *out)
{
    if (split->split_ms >= 0 && mode != RUN_WALK)
        text_add_seconds(out, split->split_ms);
    else
        text_add(out, split->made_ms >= 0 ? "made" : "-");
}

void words_counts(const struct debrief *debrief, struct text *out)
{
    text_printf(out,
                "breaches %d, unclear %d, skipped %d, rules broken %d, checks overruled "
                "%d",
                debrief->breaches, debrief->unclear, debrief->skipped, debrief->dangers,
                debrief->overruled);
}

void words_memory(const struct procedure *procedure, int s, struct text *out)
{
    const struct step *step = &procedure->steps[s];
    words_roles(procedure->plan, step->roles, out);
    text_add(out, ": ");
    if (step->call.by >= 0 && step->roles >> step->call.by & 1)
        text_printf(out, "\"%s\" ", step->call.say);
    text_add(out, step->doing);
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

const char *words_note(const struct run_event *event)
{
    return event->kind == RUN_NOTED                  ? "note"
           : event->kind == RUN_MARK && *event->text ? "to the mark"
                                                     : NULL;
}

void words_limit_wind(const struct weather *weather, struct text *out)
{
    text_printf(out, "true wind%s %.4g kn", weather->gust_kn > 0 ? " in the gusts" : "",
                weather_limit_kn(weather));
}

const char *words_weather_wrong(enum weather_wrong wrong)
{
    static const char *const words[] = {
        [WEATHER_WIND] = "the true wind is 0 to 80 kn, like 14kn",
        [WEATHER_GUST] = "a gust is the wind at least and 80 kn at most, like 14g19",
        [WEATHER_BOAT] = "the boat's speed is 0 to 60 kn, behind the wind: 14g19 7",
        [WEATHER_ANGLE] = "the true angle is 0 to 180 deg, behind the boat's speed: "
                          "14g19 7 150",
        [WEATHER_MORE] = "the wind is true wind, boat speed, true angle: 14g19 7 150"};
    return words[wrong];
}
