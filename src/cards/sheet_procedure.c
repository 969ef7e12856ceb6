#include "cards/sheets.h"

#include "bill/bill.h"
#include "cards/sheet_loads.h"
#include "cards/words.h"
#include "vet/values.h"

#include <string.h>

void sheet_cautions(struct text *out)
{
    text_add(
        out,
        "DANGER will cause death or serious injury if not avoided; WARNING could;\n"
        "CAUTION could cause minor or moderate injury; NOTICE is not about injury\n"
        "(ANSI Z535). The skipper, local rules, the class's and makers' instructions\n"
        "and qualified instruction come before anything printed here.\n");
}

static void add_step_names(const struct procedure *procedure, step_set steps,
                           const char *suffix, const char **between, struct text *out)
{
    for (int s = 0; s < procedure->step_count; s++) {
        if (!(steps >> s & 1))
            continue;
        text_printf(out, "%s%s%s", *between, procedure->steps[s].name, suffix);
        *between = ", ";
    }
}

static void add_conditions(const struct procedure *procedure, const char *label,
                           const struct conditions *conditions, struct text *out)
{
    if (!conditions->count)
        return;
    text_add(out, label);
    for (int i = 0; i < conditions->count; i++) {
        text_add(out, i ? ", " : "");
        words_condition(procedure->plan, &conditions->at[i], out);
    }
    text_add(out, "\n");
}

static void add_effects(const struct procedure *procedure, const struct step *step,
                        struct text *out)
{
    const struct effects *sets[2] = {&step->start, &step->finish};
    static const char *const labels[2] = {"      while: ", "      then:  "};
    for (int which = 0; which < 2; which++) {
        if (!sets[which]->count)
            continue;
        text_add(out, labels[which]);
        for (int i = 0; i < sets[which]->count; i++) {
            const struct effect *e = &sets[which]->at[i];
            struct condition is = {.part = e->part, .values = (value_set)1 << e->value};
            text_add(out, i ? ", " : "");
            words_condition(procedure->plan, &is, out);
        }
        text_add(out, "\n");
    }
}

static void add_step(const struct procedure *procedure, int s, struct text *out)
{
    const struct step *step = &procedure->steps[s];
    text_printf(out, "\n  %d. %s, ", s + 1, step->name);
    words_roles(procedure->plan, step->roles, out);
    text_printf(out, " at the %s: %s\n", procedure->plan->stations[step->at].words,
                step->doing);
    if (*step->call.say)
        text_printf(out, "      call:  %s \"%s\"",
                    procedure->plan->roles[step->call.by].words, step->call.say);
    if (*step->reply)
        text_printf(out, "%s\"%s\"",
                    *step->call.say ? ", reply " : "      reply: ", step->reply);
    text_add(out, *step->call.say || *step->reply ? "\n" : "");
    text_add(out, "      takes: ");
    text_add_seconds(out, step->takes.best_ms);
    text_add(out, " / ");
    text_add_seconds(out, step->takes.usual_ms);
    text_add(out, " / ");
    text_add_seconds(out, step->takes.slow_ms);
    text_printf(out, " s (best, usual, slow), %d hand%s\n", step->hands,
                step->hands > 1 ? "s" : "");
    if (step->after | step->after_started) {
        const char *between = "      after: ";
        add_step_names(procedure, step->after, "", &between, out);
        add_step_names(procedure, step->after_started, " begun", &between, out);
        text_add(out, "\n");
    }
    add_conditions(procedure, "      when:  ", &step->wait, out);
    add_conditions(procedure, "      needs: ", &step->need, out);
    add_effects(procedure, step, out);
    if (step->warn.signal)
        text_printf(out, "      %s: %s %s\n", signal_name(step->warn.signal),
                    step->warn.say, step->warn.avoid);
}

static void add_heading(const struct procedure *procedure, struct text *out)
{
    text_printf(out, "%s (%s), %s, on %s\n%s\n", procedure->title, procedure->name,
                family_name(procedure->family), board_name(procedure->board),
                procedure->about);
    text_printf(out, "Hands: %d or more, usually %d.", procedure->hands_least,
                procedure->hands_usual);
    if (procedure->stop_kn > 0)
        text_printf(out, " True wind: caution from %.0f kn, not above %.0f kn.",
                    procedure->caution_kn, procedure->stop_kn);
    text_printf(out, " Source: %s. Revised %s.\n", procedure->provenance,
                procedure->revised);
    for (int i = 0; i < procedure->option_count; i++)
        text_printf(out, "Option %s=%s: %s\n", procedure->options[i].name,
                    procedure->options[i].on ? "yes" : "no", procedure->options[i].words);
}

/* What is done by heart, set apart from the steps it is among. */
static void add_memory(const struct procedure *procedure, struct text *out)
{
    int items = 0;
    for (int s = 0; s < procedure->step_count; s++) {
        if (!procedure->steps[s].memory)
            continue;
        text_add(out, items ? "" : "\nAt once, by heart:\n");
        text_printf(out, "  %d. ", ++items);
        words_memory(procedure, s, out);
        text_add(out, "\n");
    }
}

/* The steps whose omission hurts, the worst first, with what they do. */
static void add_must_not_miss(const struct rig *rig, const struct slips *forgotten,
                              struct text *out)
{
    uint8_t steps[STEPS_MAX];
    int count = slips_must_not_miss(forgotten, steps);
    if (count)
        text_add(out, "\nMust not be missed, the worst first:\n");
    for (int i = 0; i < count; i++) {
        text_add(out, "  ");
        words_roles(rig->plan, rig->procedure->steps[steps[i]].roles, out);
        text_printf(out, ", %s: ", rig->procedure->steps[steps[i]].name);
        bill_say_finding(&slips_forgotten(forgotten, steps[i])->finding, rig, NULL, NULL,
                         out);
        text_add(out, "\n");
    }
}

/* The others by name only: the list is to be read before a go. */
static void add_rules(const struct procedure *procedure, struct text *out)
{
    struct text others = {0};
    text_add(out, "\nWhat must never be:\n");
    for (int i = 0; i < procedure->rules.count; i++) {
        const struct rule *rule = &procedure->rules.at[i];
        if (values_at_stake(procedure, rule))
            text_printf(out, "  %-8s %s: %s\n", signal_name(rule->signal), rule->name,
                        rule->because);
        else
            text_printf(&others, "%s%s", others.at ? ", " : "", rule->name);
    }
    if (others.at)
        text_printf(out,
                    "  Held as well; here two things must be wrong to break it: %s.\n",
                    others.at);
    text_free(&others);
    text_add(out, "\n");
}

void sheet_procedure(const struct procedure *procedure, const struct rig *rig,
                     const struct slips *forgotten, enum units units, struct text *out)
{
    add_heading(procedure, out);
    add_memory(procedure, out);
    text_add(out, "\nChecks before the go:\n");
    for (int i = 0; i < procedure->check_count; i++) {
        const struct check *check = &procedure->checks[i];
        text_printf(out, "  %s: \"%s\" \"%s\"\n",
                    procedure->plan->roles[check->ask].words, check->question,
                    check->answer);
    }
    text_add(out, "\nSteps:");
    for (int s = 0; s < procedure->step_count; s++)
        add_step(procedure, s, out);
    if (forgotten)
        add_must_not_miss(rig, forgotten, out);
    if (procedure->loads)
        text_add(out, "\n");
    sheet_loads(procedure, units, out);
    add_rules(procedure, out);
    sheet_cautions(out);
}

static void json_steps_of(struct json *json, const char *key,
                          const struct procedure *procedure, step_set steps)
{
    json_open(json, key, '[');
    for (int s = 0; s < procedure->step_count; s++)
        if (steps >> s & 1)
            json_string(json, NULL, procedure->steps[s].name);
    json_close(json, ']');
}

static void json_conditions(struct json *json, const char *key,
                            const struct procedure *procedure,
                            const struct conditions *conditions)
{
    json_open(json, key, '{');
    for (int i = 0; i < conditions->count; i++) {
        const struct part *part = &procedure->plan->parts[conditions->at[i].part];
        json_open(json, part->name, '[');
        for (int v = 0; v < part->value_count; v++)
            if (conditions->at[i].values >> v & 1)
                json_string(json, NULL, part->values[v].name);
        json_close(json, ']');
    }
    json_close(json, '}');
}

static void json_effects(struct json *json, const char *key,
                         const struct procedure *procedure, const struct effects *effects)
{
    json_open(json, key, '{');
    for (int i = 0; i < effects->count; i++) {
        const struct part *part = &procedure->plan->parts[effects->at[i].part];
        json_string(json, part->name, part->values[effects->at[i].value].name);
    }
    json_close(json, '}');
}

static void json_roles(struct json *json, const struct rig_plan *plan, role_set roles)
{
    json_open(json, "roles", '[');
    for (int role = 0; role < plan->role_count; role++)
        if (roles >> role & 1)
            json_string(json, NULL, plan->roles[role].name);
    json_close(json, ']');
}

static void json_lines(struct json *json, const char *key, const struct rig_plan *plan,
                       part_set lines)
{
    json_open(json, key, '[');
    for (int p = 0; p < plan->part_count; p++)
        if (lines >> p & 1)
            json_string(json, NULL, plan->parts[p].name);
    json_close(json, ']');
}

static part_set lines_of(const struct tendings *tendings)
{
    part_set lines = 0;
    for (int i = 0; i < tendings->count; i++)
        lines |= (part_set)1 << tendings->at[i].line;
    return lines;
}

static void json_step(struct json *json, const struct procedure *procedure,
                      const struct step *step)
{
    const struct rig_plan *plan = procedure->plan;
    json_open(json, NULL, '{');
    json_string(json, "step", step->name);
    json_roles(json, plan, step->roles);
    json_string(json, "at", plan->stations[step->at].name);
    json_string(json, "do", step->doing);
    if (*step->call.say) {
        json_open(json, "call", '{');
        json_string(json, "by", plan->roles[step->call.by].name);
        json_string(json, "say", step->call.say);
        json_close(json, '}');
    }
    json_string(json, "reply", step->reply);
    json_open(json, "takes_ms", '[');
    json_integer(json, NULL, step->takes.best_ms);
    json_integer(json, NULL, step->takes.usual_ms);
    json_integer(json, NULL, step->takes.slow_ms);
    json_close(json, ']');
    json_integer(json, "hands", step->hands);
    json_bool(json, "pilot", step->pilot);
    json_bool(json, "memory", step->memory);
    json_steps_of(json, "after", procedure, step->after);
    json_steps_of(json, "after_started", procedure, step->after_started);
    json_conditions(json, "wait", procedure, &step->wait);
    json_conditions(json, "need", procedure, &step->need);
    json_effects(json, "start", procedure, &step->start);
    json_effects(json, "finish", procedure, &step->finish);
    json_lines(json, "tends", plan, lines_of(&step->tends));
    json_lines(json, "takes_over", plan, lines_of(&step->takes_over));
    json_lines(json, "releases", plan, step->releases);
    json_lines(json, "hands_over", plan, step->hands_over);
    if (step->warn.signal) {
        json_open(json, "warn", '{');
        json_string(json, "signal", signal_name(step->warn.signal));
        json_string(json, "say", step->warn.say);
        json_string(json, "avoid", step->warn.avoid);
        json_close(json, '}');
    }
    json_close(json, '}');
}

static void json_checks(struct json *json, const struct procedure *procedure)
{
    json_open(json, "checks", '[');
    for (int i = 0; i < procedure->check_count; i++) {
        const struct check *check = &procedure->checks[i];
        json_open(json, NULL, '{');
        json_string(json, "ask", procedure->plan->roles[check->ask].name);
        json_string(json, "question", check->question);
        json_string(json, "answer", check->answer);
        json_lines(json, "covers", procedure->plan, check->covers);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void json_begin(struct json *json, const struct procedure *procedure)
{
    json_open(json, "begin", '{');
    for (int p = 0; p < procedure->plan->part_count; p++) {
        const struct part *part = &procedure->plan->parts[p];
        if (!procedure->begin[p].values)
            continue;
        json_open(json, part->name, '[');
        json_string(json, NULL, part->values[procedure->begin[p].first].name);
        for (int v = 0; v < part->value_count; v++)
            if (procedure->begin[p].values >> v & 1 && v != procedure->begin[p].first)
                json_string(json, NULL, part->values[v].name);
        json_close(json, ']');
    }
    json_close(json, '}');
}

static void json_rules(struct json *json, const struct procedure *procedure)
{
    json_open(json, "rules", '[');
    for (int i = 0; i < procedure->rules.count; i++) {
        const struct rule *rule = &procedure->rules.at[i];
        json_open(json, NULL, '{');
        json_string(json, "rule", rule->name);
        json_string(json, "hurts", hurts_name(rule->hurts));
        json_string(json, "signal", signal_name(rule->signal));
        json_string(json, "because", rule->because);
        json_bool(json, "at_stake", values_at_stake(procedure, rule));
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void json_must_not_miss(struct json *json, const struct procedure *procedure,
                               const struct slips *forgotten)
{
    uint8_t steps[STEPS_MAX];
    int count = slips_must_not_miss(forgotten, steps);
    json_open(json, "must_not_miss", '[');
    for (int i = 0; i < count; i++)
        json_string(json, NULL, procedure->steps[steps[i]].name);
    json_close(json, ']');
}

void sheet_procedure_json(const struct procedure *procedure,
                          const struct slips *forgotten, struct text *out)
{
    struct json json = {.out = out};
    json_open(&json, NULL, '{');
    json_integer(&json, "format", 1);
    json_string(&json, "procedure", procedure->name);
    json_string(&json, "title", procedure->title);
    json_string(&json, "family", family_name(procedure->family));
    json_string(&json, "rig", procedure->plan->name);
    json_string(&json, "board", board_name(procedure->board));
    json_string(&json, "revised", procedure->revised);
    json_string(&json, "source", procedure->provenance);
    json_integer(&json, "hands_least", procedure->hands_least);
    json_integer(&json, "hands_usual", procedure->hands_usual);
    json_open(&json, "options", '{');
    for (int i = 0; i < procedure->option_count; i++)
        json_bool(&json, procedure->options[i].name, procedure->options[i].on);
    json_close(&json, '}');
    json_begin(&json, procedure);
    json_conditions(&json, "goal", procedure, &procedure->goal);
    json_checks(&json, procedure);
    json_open(&json, "steps", '[');
    for (int s = 0; s < procedure->step_count; s++)
        json_step(&json, procedure, &procedure->steps[s]);
    json_close(&json, ']');
    json_rules(&json, procedure);
    if (forgotten)
        json_must_not_miss(&json, procedure, forgotten);
    sheet_loads_json(procedure, &json);
    json_close(&json, '}');
    json_end(&json);
}
