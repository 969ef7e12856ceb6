#include "cards/sheet_lints.h"

static const char *part_name(const struct rig_plan *plan, int part)
{
    const struct part *p = &plan->parts[part];
    return *p->alias ? p->alias : p->name;
}

static const char *value_name(const struct rig_plan *plan, int part, int value)
{
    const struct part_value *v = &plan->parts[part].values[value];
    return *v->alias ? v->alias : v->name;
}

/* Of the steps. */
static void add_step_lint(const struct procedure *procedure, const struct lint *lint,
                          struct diags *diags)
{
    const struct rig_plan *plan = procedure->plan;
    const char *step = procedure->steps[lint->step].name;
    const char *other = procedure->steps[lint->other].name;
    if (lint->kind == LINT_WAIT_PASSES)
        diag_add(diags, MESSAGE_LINT_WAIT_PASSES, lint->where, step, other);
    else if (lint->kind == LINT_STEP_NEVER)
        diag_add(diags, MESSAGE_LINT_STEP_NEVER, lint->where, step);
    else
        diag_add(diags, MESSAGE_LINT_MOVING_UNRULED, lint->where,
                 part_name(plan, lint->part), value_name(plan, lint->part, lint->value));
}

static void add_lint(const struct rig_plan *plan, const struct procedure *procedure,
                     const struct lint *lint, struct diags *diags)
{
    const char *part = part_name(plan, lint->part);
    switch (lint->kind) {
    case LINT_WAIT_PASSES:
    case LINT_STEP_NEVER:
    case LINT_MOVING_UNRULED:
        add_step_lint(procedure, lint, diags);
        break;
    case LINT_GOAL_UNWRITTEN:
        diag_add(diags, MESSAGE_LINT_GOAL_UNWRITTEN, lint->where, part);
        break;
    case LINT_GOAL_NEVER:
        diag_add(diags, MESSAGE_LINT_GOAL_NEVER, lint->where);
        break;
    case LINT_PART_IDLE:
        diag_add(diags, MESSAGE_LINT_PART_IDLE, lint->where, part);
        break;
    case LINT_RULE_IDLE:
        diag_add(diags, MESSAGE_LINT_RULE_IDLE, lint->where,
                 procedure->rules.at[lint->index].name);
        break;
    case LINT_BEGIN_NEVER:
        diag_add(diags, MESSAGE_LINT_BEGIN_NEVER, lint->where, part);
        break;
    case LINT_BEGINS_NEVER:
        diag_add(diags, MESSAGE_LINT_BEGINS_NEVER, lint->where);
        break;
    case LINT_RIG_PART_IDLE:
        diag_add(diags, MESSAGE_LINT_RIG_PART_IDLE, lint->where, part);
        break;
    case LINT_RIG_RULE_IDLE:
        diag_add(diags, MESSAGE_LINT_RIG_RULE_IDLE, lint->where,
                 plan->rules.at[lint->index].name);
        break;
    }
}

void sheet_lints(const struct rig_plan *plan, const struct procedure *procedure,
                 const struct lints *lints, struct diags *diags)
{
    for (int i = 0; i < lints->count; i++)
        add_lint(plan, procedure, &lints->at[i], diags);
}

void sheet_notes_json(struct diags *diags, struct json *json)
{
    json_open(json, "notes", '[');
    for (size_t i = 0; i < diags_count(diags); i++) {
        const struct diag *note = diags_at(diags, i);
        json_open(json, NULL, '{');
        json_string(json, "note", message_name(note->message));
        json_string(json, "file", note->where.source ? note->where.source->name : "");
        json_integer(json, "line", note->where.line);
        json_integer(json, "column", note->where.column);
        json_string(json, "text", note->text);
        json_close(json, '}');
    }
    json_close(json, ']');
}
