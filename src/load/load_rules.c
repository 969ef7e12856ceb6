/* The eight forms of a rule and their normal form (model/rule.h). */
#include "load/fields.h"

#include <string.h>

struct raw_rule {
    const struct node *name, *never, *always, *while_, *keep, *when, *need, *before,
        *together, *tended, *finally;
    int hurts, signal;
    const char *because;
};

enum { CLAUSE_ATOMS_MAX = PARTS_MAX + 1 };

static const char *const hurts_words[] = {"speed", "gear", "boat", "crew", NULL};
static const char *const signal_words[] = {"notice", "caution", "warning", "danger",
                                           NULL};

#define AT(member) offsetof(struct raw_rule, member)
static const struct field rule_fields[] = {
    {"rule", FIELD_SCALAR, REQUIRED, AT(name), NULL, NULL},
    {"never", FIELD_MAP, OPTIONAL, AT(never), NULL, NULL},
    {"always", FIELD_MAP, OPTIONAL, AT(always), NULL, NULL},
    {"while", FIELD_MAP, OPTIONAL, AT(while_), NULL, NULL},
    {"keep", FIELD_MAP, OPTIONAL, AT(keep), NULL, NULL},
    {"when", FIELD_MAP, OPTIONAL, AT(when), NULL, NULL},
    {"need", FIELD_MAP, OPTIONAL, AT(need), NULL, NULL},
    {"before", FIELD_LIST, OPTIONAL, AT(before), NULL, NULL},
    {"never-together", FIELD_LIST, OPTIONAL, AT(together), NULL, NULL},
    {"tended", FIELD_SCALAR, OPTIONAL, AT(tended), NULL, NULL},
    {"finally", FIELD_MAP, OPTIONAL, AT(finally), NULL, NULL},
    {"hurts", FIELD_CHOICE, REQUIRED, AT(hurts), NULL, hurts_words},
    {"signal", FIELD_CHOICE, REQUIRED, AT(signal), NULL, signal_words},
    {"because", FIELD_TEXT, REQUIRED, AT(because), NULL, NULL},
};
#undef AT
static const struct shape rule_shape = {"a rule", rule_fields,
                                        sizeof rule_fields / sizeof *rule_fields};

/* The clauses of the rule in hand. */
struct making {
    struct load *load;
    const struct raw_rule *raw;
    struct span where;
    struct clause clauses[PARTS_MAX];
    struct atom atoms[CLAUSE_ATOMS_MAX]; /* of the clause in hand */
    uint8_t clause_count, atom_count;
};

static void add_atom(struct making *making, enum atom_kind kind, int index,
                     value_set values)
{
    for (int i = 0; i < making->atom_count; i++) {
        struct atom *atom = &making->atoms[i];
        if (kind == ATOM_PART && atom->kind == kind && atom->index == index) {
            atom->values &= values;
            return;
        }
    }
    making->atoms[making->atom_count++] = (struct atom){kind, (uint8_t)index, values};
}

static void add_parts(struct making *making, struct conditions conditions)
{
    for (int i = 0; i < conditions.count; i++)
        add_atom(making, ATOM_PART, conditions.at[i].part, conditions.at[i].values);
}

/* Ends the clause in hand; one that no values could fulfil is reported at WHERE. */
static void end_clause(struct making *making, struct span where)
{
    bool possible = true;
    for (int i = 0; i < making->atom_count; i++)
        if (making->atoms[i].kind == ATOM_PART && !making->atoms[i].values)
            possible = false;
    if (!possible)
        diag_add(making->load->diags, MESSAGE_RULE_EMPTY, where);
    size_t size = making->atom_count * sizeof *making->atoms;
    struct atom *atoms = arena_alloc(making->load->arena, size);
    memcpy(atoms, making->atoms, size);
    making->clauses[making->clause_count++] = (struct clause){atoms, making->atom_count};
    making->atom_count = 0;
}

static value_set other_values(const struct making *making, struct condition condition)
{
    int count = making->load->plan->parts[condition.part].value_count;
    value_set all = count >= VALUES_MAX ? ~(value_set)0 : ((value_set)1 << count) - 1;
    return all & ~condition.values;
}

/* One clause for each of KEEP: WHILE (and STEP_ATOM on STEP) hold and it does not. */
static void add_kept(struct making *making, enum atom_kind step_atom, int step,
                     struct conditions while_, struct conditions keep)
{
    for (int i = 0; i < keep.count; i++) {
        if (step_atom != ATOM_PART)
            add_atom(making, step_atom, step, 0);
        add_parts(making, while_);
        add_atom(making, ATOM_PART, keep.at[i].part, other_values(making, keep.at[i]));
        end_clause(making, keep.at[i].where);
    }
}

/* Conditions of a rule; a rule about nothing is reported. */
static struct conditions read(struct making *making, const struct node *node)
{
    if (node && node->kind == NODE_MAP && !node->count)
        diag_add(making->load->diags, MESSAGE_NO_PARTS, node->where);
    return load_read_conditions(making->load, node);
}

static void make_never(struct making *making)
{
    add_parts(making, read(making, making->raw->never));
    end_clause(making, making->raw->never->where);
}

static void make_always(struct making *making)
{
    add_kept(making, ATOM_PART, 0, (struct conditions){NULL, 0},
             read(making, making->raw->always));
}

static void make_while(struct making *making)
{
    struct conditions while_ = read(making, making->raw->while_);
    add_kept(making, ATOM_PART, 0, while_, read(making, making->raw->keep));
}

struct raw_moment {
    const struct node *start, *finish;
};

static void make_when(struct making *making)
{
    static const struct field fields[] = {
        {"start", FIELD_SCALAR, OPTIONAL, offsetof(struct raw_moment, start), NULL, NULL},
        {"finish", FIELD_SCALAR, OPTIONAL, offsetof(struct raw_moment, finish), NULL,
         NULL},
    };
    static const struct shape shape = {"a moment of a rule", fields, 2};
    struct raw_moment raw = {NULL, NULL};
    const struct node *when = making->raw->when;
    load_fields(making->load, when, &shape, &raw);
    if (!raw.start == !raw.finish) {
        diag_add(making->load->diags, MESSAGE_WHEN_MOMENT, when->where);
        return;
    }
    int step = load_find_step(making->load, raw.start ? raw.start : raw.finish);
    struct conditions need = read(making, making->raw->need);
    if (step >= 0)
        add_kept(making, raw.start ? ATOM_STARTING : ATOM_FINISHING, step,
                 (struct conditions){NULL, 0}, need);
}

/* The two different steps of LIST in STEPS. */
static bool read_two_steps(struct making *making, const struct node *list, int steps[2])
{
    if (list->count != 2) {
        diag_add(making->load->diags, MESSAGE_TWO_STEPS, list->where);
        return false;
    }
    steps[0] = load_find_step(making->load, list->first);
    steps[1] = load_find_step(making->load, list->first->next);
    if (steps[0] < 0 || steps[1] < 0)
        return false;
    if (steps[0] == steps[1])
        diag_add(making->load->diags, MESSAGE_TWO_STEPS, list->where);
    return steps[0] != steps[1];
}

static void make_before(struct making *making)
{
    int steps[2];
    if (!read_two_steps(making, making->raw->before, steps))
        return;
    add_atom(making, ATOM_BEGUN, steps[1], 0);
    add_atom(making, ATOM_UNMADE, steps[0], 0);
    end_clause(making, making->where);
}

static void make_together(struct making *making)
{
    int steps[2];
    if (!read_two_steps(making, making->raw->together, steps))
        return;
    add_atom(making, ATOM_RUNNING, steps[0], 0);
    add_atom(making, ATOM_RUNNING, steps[1], 0);
    end_clause(making, making->where);
}

static void make_tended(struct making *making)
{
    int line = load_find_line(making->load, making->raw->tended);
    add_parts(making, read(making, making->raw->while_));
    if (line >= 0)
        add_atom(making, ATOM_UNTENDED, line, 0);
    end_clause(making, making->where);
}

static void make_finally(struct making *making)
{
    add_kept(making, ATOM_ENDED, 0, (struct conditions){NULL, 0},
             read(making, making->raw->finally));
}

/* A form, the key it is known by, and the key that goes with it. */
struct form {
    const char *key;
    enum rule_form form;
    const char *partner;
    bool partner_required;
    void (*make)(struct making *making);
};

static const struct form forms[] = {
    {"never", RULE_NEVER, NULL, false, make_never},
    {"always", RULE_ALWAYS, NULL, false, make_always},
    {"keep", RULE_WHILE, "while", true, make_while},
    {"when", RULE_WHEN, "need", true, make_when},
    {"before", RULE_BEFORE, NULL, false, make_before},
    {"never-together", RULE_TOGETHER, NULL, false, make_together},
    {"tended", RULE_TENDED, "while", false, make_tended},
    {"finally", RULE_FINALLY, NULL, false, make_finally},
};
enum { FORM_COUNT = sizeof forms / sizeof *forms };

static bool check_partners(struct load *load, const struct node *node,
                           const struct form *form)
{
    static const char *const partners[] = {"while", "need"};
    bool good = true;
    if (form->partner_required && !node_get(node, form->partner)) {
        diag_add(load->diags, MESSAGE_RULE_PARTNER, node_get(node, form->key)->key->where,
                 form->key, form->partner);
        good = false;
    }
    for (size_t i = 0; i < 2; i++) {
        const struct node *partner = node_get(node, partners[i]);
        if (!partner || (form->partner && strcmp(form->partner, partners[i]) == 0))
            continue;
        diag_add(load->diags, MESSAGE_RULE_STRAY, partner->key->where, partners[i],
                 form->key);
        good = false;
    }
    return good;
}

/* The one form of the rule NODE; NULL where it has none or several. */
static const struct form *find_form(struct load *load, const struct node *node)
{
    const struct form *found = NULL;
    for (int i = 0; i < FORM_COUNT; i++) {
        const struct node *entry = node_get(node, forms[i].key);
        if (entry && found) {
            diag_add(load->diags, MESSAGE_RULE_FORMS, entry->key->where, found->key,
                     forms[i].key);
            return NULL;
        }
        if (entry)
            found = &forms[i];
    }
    if (!found)
        diag_add(load->diags, MESSAGE_RULE_NO_FORM, node->where);
    return found && check_partners(load, node, found) ? found : NULL;
}

static void check_signal(struct load *load, const struct node *node,
                         const struct raw_rule *raw)
{
    const struct node *signal = node_get(node, "signal");
    if (raw->hurts < 0 || raw->signal < 0)
        return;
    bool crew = raw->hurts == HURTS_CREW, notice = raw->signal == 0;
    if (crew == notice)
        diag_add(load->diags, MESSAGE_HURTS_SIGNAL, signal->where,
                 hurts_words[raw->hurts], crew ? "caution, warning or danger" : "notice");
}

static bool form_is_readable(const struct node *node, const struct form *form)
{
    const struct node *entry = node_get(node, form->key);
    bool list = form->form == RULE_BEFORE || form->form == RULE_TOGETHER;
    enum node_kind kind = list                        ? NODE_LIST
                          : form->form == RULE_TENDED ? NODE_TEXT
                                                      : NODE_MAP;
    return entry->kind == kind;
}

static bool read_rule(struct load *load, const struct node *node, struct rule *out)
{
    struct raw_rule raw = {.hurts = -1, .signal = -1, .because = ""};
    const char *name = "";
    if (!load_fields(load, node, &rule_shape, &raw))
        return false;
    if (raw.name)
        load_name(load, raw.name, &name);
    check_signal(load, node, &raw);
    const struct form *form = find_form(load, node);
    if (!form || !form_is_readable(node, form))
        return false;
    struct making *making = arena_alloc(load->arena, sizeof *making);
    making->load = load;
    making->raw = &raw;
    making->where = raw.name ? raw.name->where : node->where;
    form->make(making);
    size_t size = making->clause_count * sizeof *making->clauses;
    struct clause *clauses = arena_alloc(load->arena, size);
    memcpy(clauses, making->clauses, size);
    *out = (struct rule){.name = name,
                         .form = form->form,
                         .clauses = clauses,
                         .clause_count = making->clause_count,
                         .hurts = (enum hurts)(raw.hurts < 0 ? 0 : raw.hurts),
                         .signal = (enum signal)(raw.signal + 1),
                         .because = raw.because,
                         .where = making->where};
    return true;
}

struct rules load_read_rules(struct load *load, const struct node *list)
{
    struct rules out = {NULL, 0};
    if (!list)
        return out;
    int count = load_count(load, list, RULES_MAX, "rules");
    struct rule *rules = arena_alloc(load->arena, (size_t)count * sizeof *rules);
    const struct node *names[RULES_MAX];
    int named = 0;
    const struct node *item = list->first;
    for (int i = 0; i < count; i++, item = item->next) {
        const struct node *name = node_get(item, "rule");
        if (name && name->kind == NODE_TEXT)
            names[named++] = name;
        if (read_rule(load, item, &rules[out.count]))
            out.count++;
    }
    load_check_names(load, names, named);
    out.at = rules;
    return out;
}
