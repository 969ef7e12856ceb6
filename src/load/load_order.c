/* The order of the steps: which wait for each other, which are left out by an option and
 * what they pass on. */
#include "load/steps.h"

#include "base/text.h"

#include <string.h>

static bool has(step_set set, int step)
{
    return set >> step & 1;
}

static step_set before(const struct written *written, int step)
{
    return written->steps[step].after | written->steps[step].after_started;
}

/* A way along `after` that is being looked for. */
struct way {
    const struct written *written;
    step_set seen;
    int at[STEPS_MAX];
    int length;
};

/* Goes from the end of WAY to steps not seen yet until GOAL comes before the last. */
static bool find_way(struct way *way, int goal)
{
    int last = way->at[way->length - 1];
    step_set next = before(way->written, last);
    if (has(next, goal))
        return true;
    for (int i = 0; i < way->written->count; i++) {
        if (!has(next & ~way->seen, i))
            continue;
        way->seen |= (step_set)1 << i;
        way->at[way->length++] = i;
        if (find_way(way, goal))
            return true;
        way->length--;
    }
    return false;
}

static void report_round(struct load *load, const struct way *way)
{
    const struct step_names *names = &way->written->names;
    struct text round = {0};
    for (int i = 0; i < way->length; i++)
        text_printf(&round, "%s -> ", names->at[way->at[i]]);
    text_add(&round, names->at[way->at[0]]);
    diag_add(load->diags, MESSAGE_ROUND, way->written->steps[way->at[0]].after_where,
             round.at);
    text_free(&round);
}

bool load_check_order(struct load *load, const struct written *written)
{
    for (int i = 0; i < written->count; i++) {
        struct way way = {written, (step_set)1 << i, {i}, 1};
        if (!find_way(&way, i))
            continue;
        report_round(load, &way);
        return false;
    }
    return true;
}

/* Memory items come first: nothing else is waited for, nor done before by the same hand.
 */
void load_check_memory(struct load *load, const struct written *written)
{
    for (int i = 0; i < written->count; i++) {
        const struct step *step = &written->steps[i];
        int late_for = -1;
        for (int other = 0; other < written->count && step->memory; other++) {
            const struct step *first = &written->steps[other];
            bool same_hand = other < i && first->roles & step->roles;
            if (!first->memory && (same_hand || has(before(written, i), other)))
                late_for = other;
        }
        if (late_for >= 0)
            diag_add(load->diags, MESSAGE_MEMORY, step->where, written->names.at[i],
                     written->names.at[late_for]);
    }
}

/* Hands on what left-out steps come after to those that come after them. */
static void pass_on(struct written *written)
{
    for (int out = 0; out < written->count; out++) {
        if (has(written->kept, out))
            continue;
        const struct step *left = &written->steps[out];
        step_set bit = (step_set)1 << out;
        for (int i = 0; i < written->count; i++) {
            struct step *step = &written->steps[i];
            if (!((step->after | step->after_started) & bit))
                continue;
            step->after = (step->after & ~bit) | left->after;
            step->after_started = (step->after_started & ~bit) | left->after_started;
        }
    }
}

static step_set renumber(const struct written *written, step_set steps)
{
    step_set out = 0;
    for (int i = 0; i < written->count; i++)
        if (has(steps, i) && written->number[i] >= 0)
            out |= (step_set)1 << written->number[i];
    return out;
}

void load_keep_steps(struct load *load, struct written *written,
                     struct procedure *procedure)
{
    pass_on(written);
    int count = 0;
    for (int i = 0; i < written->count; i++)
        written->number[i] = has(written->kept, i) ? count++ : -1;
    struct step *steps = arena_alloc(load->arena, (size_t)count * sizeof *steps);
    for (int i = 0; i < written->count; i++) {
        if (written->number[i] < 0)
            continue;
        struct step *step = &steps[written->number[i]];
        *step = written->steps[i];
        step->after = renumber(written, step->after);
        step->after_started = renumber(written, step->after_started) & ~step->after;
        procedure->roles |= step->roles;
    }
    procedure->steps = steps;
    procedure->step_count = (uint8_t)count;
}

static bool names_step(enum atom_kind kind)
{
    return kind != ATOM_PART && kind != ATOM_UNTENDED && kind != ATOM_ENDED;
}

/* The clauses of RULE with the numbers of the kept steps; false where one is left out. */
static bool keep_rule(struct load *load, const struct written *written, struct rule *rule)
{
    size_t size = rule->clause_count * sizeof *rule->clauses;
    struct clause *clauses = arena_alloc(load->arena, size);
    for (int i = 0; i < rule->clause_count; i++) {
        const struct clause *old = &rule->clauses[i];
        struct atom *atoms = arena_alloc(load->arena, old->count * sizeof *atoms);
        for (int j = 0; j < old->count; j++) {
            atoms[j] = old->atoms[j];
            if (!names_step(atoms[j].kind))
                continue;
            if (written->number[atoms[j].index] < 0)
                return false;
            atoms[j].index = (uint8_t)written->number[atoms[j].index];
        }
        clauses[i] = (struct clause){atoms, old->count};
    }
    rule->clauses = clauses;
    return true;
}

struct rules load_keep_rules(struct load *load, const struct written *written,
                             struct rules rules)
{
    struct rule *kept = arena_alloc(load->arena, rules.count * sizeof *kept);
    struct rules out = {kept, 0};
    for (int i = 0; i < rules.count; i++) {
        struct rule rule = rules.at[i];
        if (keep_rule(load, written, &rule))
            kept[out.count++] = rule;
    }
    return out;
}

static bool effects_fulfil(struct effects effects, struct condition condition)
{
    for (int i = 0; i < effects.count; i++)
        if (effects.at[i].part == condition.part &&
            condition.values >> effects.at[i].value & 1)
            return true;
    return false;
}

/* The first of STEPS that makes CONDITION true; -1 where none does. */
static int find_fulfiller(const struct written *written, step_set steps,
                          struct condition condition)
{
    for (int i = 0; i < written->count; i++)
        if (has(steps, i) && (effects_fulfil(written->steps[i].start, condition) ||
                              effects_fulfil(written->steps[i].finish, condition)))
            return i;
    return -1;
}

static void check_end(struct load *load, const struct written *written,
                      const struct procedure *procedure, struct condition wait)
{
    if (procedure->begin[wait.part].values & wait.values ||
        find_fulfiller(written, written->kept, wait) >= 0)
        return;
    const struct part *part = &load->plan->parts[wait.part];
    const char *name = *part->alias ? part->alias : part->name;
    int left_out = find_fulfiller(written, ~written->kept, wait);
    if (left_out >= 0)
        diag_add(load->diags, MESSAGE_WAIT_LEFT_OUT, wait.where,
                 written->names.at[left_out], name);
    else if (!load_failed(load))
        diag_add(load->diags, MESSAGE_WAIT_NEVER, wait.where, name);
}

static void check_sight(struct load *load, const struct step *step, struct condition wait)
{
    const struct part *part = &load->plan->parts[wait.part];
    for (int role = 0; role < load->plan->role_count; role++)
        if (step->roles >> role & 1 && !(load->plan->roles[role].sees >> wait.part & 1))
            diag_add(load->diags, MESSAGE_WAIT_UNSEEN, wait.where,
                     load->plan->roles[role].name,
                     *part->alias ? part->alias : part->name);
}

void load_check_waits(struct load *load, const struct written *written,
                      const struct procedure *procedure)
{
    for (int i = 0; i < written->count; i++) {
        const struct step *step = &written->steps[i];
        for (int j = 0; j < step->wait.count && has(written->kept, i); j++) {
            check_end(load, written, procedure, step->wait.at[j]);
            check_sight(load, step, step->wait.at[j]);
        }
    }
}
