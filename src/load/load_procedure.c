#include "load/load.h"

#include "load/fields.h"
#include "load/steps.h"

#include <assert.h>
#include <string.h>

struct raw_procedure {
    const char *name, *title, *rig, *revised, *about, *provenance;
    const struct node *format, *suits, *options, *begin, *tended, *goal, *checks, *steps,
        *rules;
    int family;
};

static const char *const family_words[] = {"hoist", "jibe", "takedown", "recovery",
                                           "care",  "gybe", NULL};
enum { GYBE = 5 }; /* the other spelling of FAMILY_JIBE */

#define AT(member) offsetof(struct raw_procedure, member)
static const struct field procedure_fields[] = {
    {"format", FIELD_ANY, OPTIONAL, AT(format), NULL, NULL},
    {"procedure", FIELD_NAME, REQUIRED, AT(name), NULL, NULL},
    {"title", FIELD_TEXT, REQUIRED, AT(title), NULL, NULL},
    {"family", FIELD_CHOICE, REQUIRED, AT(family), NULL, family_words},
    {"rig", FIELD_NAME, REQUIRED, AT(rig), NULL, NULL},
    {"revised", FIELD_DATE, OPTIONAL, AT(revised), NULL, NULL},
    {"about", FIELD_TEXT, OPTIONAL, AT(about), NULL, NULL},
    {"source", FIELD_TEXT, OPTIONAL, AT(provenance), NULL, NULL},
    {"suits", FIELD_MAP, OPTIONAL, AT(suits), NULL, NULL},
    {"options", FIELD_MAP, OPTIONAL, AT(options), NULL, NULL},
    {"begin", FIELD_MAP, REQUIRED, AT(begin), NULL, NULL},
    {"tended", FIELD_MAP, OPTIONAL, AT(tended), NULL, NULL},
    {"goal", FIELD_MAP, OPTIONAL, AT(goal), NULL, NULL},
    {"checks", FIELD_LIST, OPTIONAL, AT(checks), NULL, NULL},
    {"steps", FIELD_LIST, REQUIRED, AT(steps), NULL, NULL},
    {"rules", FIELD_LIST, OPTIONAL, AT(rules), NULL, NULL},
};
#undef AT
static const struct shape procedure_shape = {
    "a procedure", procedure_fields, sizeof procedure_fields / sizeof *procedure_fields};

struct raw_hands {
    int least, usual;
};

static const struct range hands_range = {UNIT_NONE, 1, HANDS_MAX, "1 to 64"};

static void read_hands(struct load *load, const struct node *node,
                       struct procedure *procedure)
{
    static const struct field fields[] = {
        {"least", FIELD_WHOLE, REQUIRED, offsetof(struct raw_hands, least), &hands_range,
         NULL},
        {"usual", FIELD_WHOLE, REQUIRED, offsetof(struct raw_hands, usual), &hands_range,
         NULL},
    };
    static const struct shape shape = {"'hands'", fields, 2};
    struct raw_hands raw = {0, 0};
    if (!node || !load_fields(load, node, &shape, &raw))
        return;
    if (raw.least && raw.usual && raw.least > raw.usual)
        diag_add(load->diags, MESSAGE_HANDS_ORDER, node->key->where, raw.least,
                 raw.usual);
    procedure->hands_least = raw.least;
    procedure->hands_usual = raw.usual;
}

struct raw_wind {
    double caution_kn, stop_kn;
};

static const struct range wind_range = {UNIT_KN, 1, 80, "1 kn to 80 kn"};

static void read_wind(struct load *load, const struct node *node,
                      struct procedure *procedure)
{
    static const struct field fields[] = {
        {"caution", FIELD_QUANTITY, OPTIONAL, offsetof(struct raw_wind, caution_kn),
         &wind_range, NULL},
        {"stop", FIELD_QUANTITY, OPTIONAL, offsetof(struct raw_wind, stop_kn),
         &wind_range, NULL},
    };
    static const struct shape shape = {"'true-wind'", fields, 2};
    struct raw_wind raw = {0, 0};
    if (!node || !load_fields(load, node, &shape, &raw))
        return;
    if (raw.stop_kn > 0 && raw.caution_kn > raw.stop_kn)
        diag_add(load->diags, MESSAGE_WIND_ORDER, node->key->where);
    procedure->caution_kn = raw.caution_kn;
    procedure->stop_kn = raw.stop_kn;
}

struct raw_suits {
    const struct node *hands, *wind;
    int pilot, pole;
};

static const char *const pilot_words[] = {"either", "needed", NULL};

static const char *const pole_words[] = {"none", "end-for-end", "dip", NULL};

static void read_suits(struct load *load, const struct node *node,
                       struct procedure *procedure)
{
    static const struct field fields[] = {
        {"hands", FIELD_MAP, OPTIONAL, offsetof(struct raw_suits, hands), NULL, NULL},
        {"true-wind", FIELD_MAP, OPTIONAL, offsetof(struct raw_suits, wind), NULL, NULL},
        {"pilot", FIELD_CHOICE, OPTIONAL, offsetof(struct raw_suits, pilot), NULL,
         pilot_words},
        {"pole", FIELD_CHOICE, OPTIONAL, offsetof(struct raw_suits, pole), NULL,
         pole_words},
    };
    static const struct shape shape = {"'suits'", fields, 4};
    struct raw_suits raw = {NULL, NULL, 0, POLE_NONE};
    if (!node || !load_fields(load, node, &shape, &raw))
        return;
    read_hands(load, raw.hands, procedure);
    read_wind(load, raw.wind, procedure);
    procedure->pilot_needed = raw.pilot == 1;
    procedure->pole = (enum pole_ends)raw.pole;
}

/* The value a run starts with: the one written first. */
static uint8_t first_value(struct load *load, int part, const struct node *entry)
{
    const struct node *first = node_first_item(entry);
    int value = first ? load_find_value(load, part, first) : -1;
    return (uint8_t)(value < 0 ? 0 : value);
}

/* A part of begin whose values are wrong has been reported; its readers say nothing. */
static void pass_over_wrong(struct load *load, const struct node *map, part_set good)
{
    for (const struct node *entry = map->first; entry; entry = entry->next) {
        int part = load_find_part(load, entry->key);
        if (part >= 0)
            load->begin_missed |= (part_set)1 << part & ~good;
    }
}

static void read_begin(struct load *load, const struct node *map,
                       struct procedure *procedure)
{
    struct conditions begin = load_read_conditions(load, map);
    for (int i = 0; i < begin.count; i++) {
        struct condition condition = begin.at[i];
        const struct node *entry = map->first;
        while (entry->key->where.line != condition.where.line ||
               entry->key->where.column != condition.where.column)
            entry = entry->next;
        procedure->begin[condition.part] = (struct begin){
            condition.values, first_value(load, condition.part, entry), condition.where};
        procedure->begin_parts |= (part_set)1 << condition.part;
    }
    pass_over_wrong(load, map, procedure->begin_parts);
}

struct raw_begin_tended {
    const struct node *role, *none_when;
};

static bool read_begin_tended(struct load *load, const struct node *entry,
                              struct begin_tended *out)
{
    static const struct field fields[] = {
        {"role", FIELD_SCALAR, REQUIRED, offsetof(struct raw_begin_tended, role), NULL,
         NULL},
        {"none-when", FIELD_MAP, OPTIONAL, offsetof(struct raw_begin_tended, none_when),
         NULL, NULL},
    };
    static const struct shape shape = {"a tended line", fields, 2};
    struct raw_begin_tended raw = {entry, NULL};
    if (entry->kind != NODE_TEXT) {
        raw.role = NULL;
        load_fields(load, entry, &shape, &raw);
    }
    int line = load_find_line(load, entry->key);
    int role = raw.role ? load_find_role(load, raw.role) : -1;
    struct conditions none_when = load_read_conditions(load, raw.none_when);
    *out = (struct begin_tended){(uint8_t)role, {(uint8_t)line, none_when}};
    return line >= 0 && role >= 0;
}

static void read_tended(struct load *load, const struct node *map,
                        struct procedure *procedure)
{
    int count = load_count(load, map, PARTS_MAX, "tended lines");
    struct begin_tended *tended =
        arena_alloc(load->arena, (size_t)count * sizeof *tended);
    const struct node *entry = map ? map->first : NULL;
    part_set seen = 0;
    for (int i = 0; i < count; i++, entry = entry->next) {
        struct begin_tended *item = &tended[procedure->tended_count];
        if (!read_begin_tended(load, entry, item))
            continue;
        if (seen & (part_set)1 << item->tending.line)
            diag_add(load->diags, MESSAGE_LINE_TWICE, entry->key->where);
        seen |= (part_set)1 << item->tending.line;
        procedure->tended_count++;
    }
    procedure->tended = tended;
}

struct raw_check {
    const struct node *ask, *question, *answer, *covers, *only_if;
};

#define AT(member) offsetof(struct raw_check, member)
static const struct field check_fields[] = {
    {"ask", FIELD_SCALAR, REQUIRED, AT(ask), NULL, NULL},
    {"question", FIELD_SCALAR, REQUIRED, AT(question), NULL, NULL},
    {"answer", FIELD_SCALAR, REQUIRED, AT(answer), NULL, NULL},
    {"covers", FIELD_ANY, OPTIONAL, AT(covers), NULL, NULL},
    {"only-if", FIELD_ANY, OPTIONAL, AT(only_if), NULL, NULL},
};
#undef AT
static const struct shape check_shape = {"a check", check_fields,
                                         sizeof check_fields / sizeof *check_fields};

static part_set read_covers(struct load *load, const struct node *node)
{
    part_set parts = 0;
    if (!node)
        return 0;
    for (const struct node *item = node_first_item(node); item;
         item = node_next_item(node, item)) {
        int part = load_find_part(load, item);
        if (part < 0)
            continue;
        load_note_read(load, part, item->where);
        parts |= (part_set)1 << part;
    }
    return parts;
}

/* False where the check is left out or cannot be read. */
static bool read_check(struct load *load, const struct node *node, struct check *out)
{
    struct raw_check raw = {NULL, NULL, NULL, NULL, NULL};
    if (!load_fields(load, node, &check_shape, &raw))
        return false;
    int ask = raw.ask ? load_find_role(load, raw.ask) : -1;
    *out = (struct check){.ask = (uint8_t)(ask < 0 ? 0 : ask),
                          .question = load_fill_in(load, raw.question),
                          .answer = load_fill_in(load, raw.answer),
                          .covers = read_covers(load, raw.covers),
                          .where = node->where};
    return load_holds(load, raw.only_if);
}

static void read_checks(struct load *load, const struct node *list,
                        struct procedure *procedure)
{
    int count = load_count(load, list, CHECKS_MAX, "checks");
    struct check *checks = arena_alloc(load->arena, (size_t)count * sizeof *checks);
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < count; i++, item = item->next)
        if (read_check(load, item, &checks[procedure->check_count]))
            procedure->check_count++;
    procedure->checks = checks;
}

/* True where every part RULE reads stands in begin. */
static bool applies(const struct rule *rule, part_set begin_parts)
{
    for (int i = 0; i < rule->clause_count; i++)
        for (int j = 0; j < rule->clauses[i].count; j++) {
            const struct atom *atom = &rule->clauses[i].atoms[j];
            bool part = atom->kind == ATOM_PART || atom->kind == ATOM_UNTENDED;
            if (part && !(begin_parts >> atom->index & 1))
                return false;
        }
    return true;
}

/* The rig's rules that apply here and then the procedure's own. */
static struct rules join_rules(struct load *load, part_set begin_parts, struct rules own)
{
    struct rules rig = load->plan->rules;
    struct rule *rules = arena_alloc(load->arena, RULES_MAX * sizeof *rules);
    struct rules out = {rules, 0};
    for (int i = 0; i < rig.count; i++)
        if (applies(&rig.at[i], begin_parts))
            rules[out.count++] = rig.at[i];
    for (int i = 0; i < own.count; i++) {
        if (out.count == RULES_MAX) {
            diag_add(load->diags, MESSAGE_TOO_MANY, own.at[i].where,
                     "rules with the rig's", RULES_MAX);
            break;
        }
        for (int j = 0; j < rig.count; j++)
            if (strcmp(rig.at[j].name, own.at[i].name) == 0)
                diag_add(load->diags, MESSAGE_RULE_OF_RIG, own.at[i].where,
                         own.at[i].name);
        rules[out.count++] = own.at[i];
    }
    return out;
}

/* All that hangs on the steps; `begin` is known by now. */
static void read_body(struct load *load, const struct raw_procedure *raw,
                      struct written *written, struct procedure *procedure)
{
    load_read_step_names(load, raw->steps, written);
    load->needs_begin = raw->begin != NULL;
    load->begin_parts = procedure->begin_parts;
    read_tended(load, raw->tended, procedure);
    procedure->goal = load_read_conditions(load, raw->goal);
    read_checks(load, raw->checks, procedure);
    load_read_steps(load, raw->steps, written);
    struct rules own = load_read_rules(load, raw->rules);
    bool ordered = load_check_order(load, written);
    if (!load->plan || !ordered)
        return;
    load_check_waits(load, written, procedure);
    load_check_memory(load, written);
    load_keep_steps(load, written, procedure);
    for (int i = 0; i < procedure->tended_count; i++) /* a hand even if it does no step */
        procedure->roles |= (role_set)(1u << procedure->tended[i].role);
    own = load_keep_rules(load, written, own);
    procedure->rules = join_rules(load, procedure->begin_parts, own);
}

static int count_roles(role_set roles)
{
    int count = 0;
    for (; roles; roles = (role_set)(roles & (roles - 1)))
        count++;
    return count;
}

/* Where the file does not say for how many hands it is: one will do, a hand a role is
 * usual. */
static void fill_in_hands(struct procedure *procedure)
{
    if (!procedure->hands_least)
        procedure->hands_least = 1;
    if (!procedure->hands_usual)
        procedure->hands_usual = count_roles(procedure->roles);
}

static void check_rig(struct load *load, const struct node *root,
                      const struct raw_procedure *raw)
{
    if (!load->plan || !*raw->rig || strcmp(raw->rig, load->plan->name) == 0)
        return;
    diag_add(load->diags, MESSAGE_OTHER_RIG, node_get(root, "rig")->where, raw->rig,
             load->plan->name);
}

const struct procedure *load_procedure(const struct source *source,
                                       const struct rig_plan *plan,
                                       const struct load_choice *choice,
                                       struct arena *arena, struct diags *diags)
{
    assert(!plan || plan->board == choice->board);
    struct load load = load_start(source, plan, arena, diags);
    const struct node *root = load_open(&load, FILE_PROCEDURE);
    struct raw_procedure raw = {
        .name = "", .title = "", .rig = "", .revised = "", .about = "", .provenance = ""};
    if (!root || !load_fields(&load, root, &procedure_shape, &raw))
        return NULL;
    check_rig(&load, root, &raw);
    struct procedure *procedure = arena_alloc(arena, sizeof *procedure);
    *procedure = (struct procedure){
        .name = raw.name,
        .title = raw.title,
        .about = raw.about,
        .provenance = raw.provenance,
        .revised = raw.revised,
        .family = raw.family == GYBE ? FAMILY_JIBE : (enum family)raw.family,
        .board = choice->board,
        .source = source,
        .plan = plan};
    load_read_options(&load, raw.options, choice->options, choice->option_count);
    procedure->options = load.options;
    procedure->option_count = (uint8_t)load.option_count;
    read_suits(&load, raw.suits, procedure);
    if (raw.begin)
        read_begin(&load, raw.begin, procedure);
    read_body(&load, &raw, arena_alloc(arena, sizeof(struct written)), procedure);
    fill_in_hands(procedure);
    return !plan || load_failed(&load) ? NULL : procedure;
}

const char *load_rig_name(const struct source *source, struct arena *arena,
                          struct diags *diags)
{
    const struct node *root = yaml_tree_read(source, arena, diags);
    const struct node *rig = root ? node_get(root, "rig") : NULL;
    if (!rig || rig->kind != NODE_TEXT || !*rig->text)
        return NULL;
    return rig->text;
}
