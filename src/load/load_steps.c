#include "load/steps.h"

#include "load/fields.h"

#include <math.h>
#include <string.h>

struct raw_step {
    const struct node *name, *role, *roles, *at, *doing, *call, *reply, *takes, *after,
        *wait, *need, *start, *finish, *tends, *takes_over, *releases, *hands_over, *uses,
        *warn, *only_if;
    int hands;
    bool pilot, memory;
};

static const struct range hands_range = {UNIT_NONE, 1, 2, "1 or 2"};
static const struct range takes_range = {UNIT_S, 0.1, 3600, "0.1 s to an hour"};
static const char *const signal_words[] = {"notice", "caution", "warning", "danger",
                                           NULL};

#define AT(member) offsetof(struct raw_step, member)
static const struct field step_fields[] = {
    {"step", FIELD_SCALAR, REQUIRED, AT(name), NULL, NULL},
    {"role", FIELD_SCALAR, OPTIONAL, AT(role), NULL, NULL},
    {"roles", FIELD_LIST, OPTIONAL, AT(roles), NULL, NULL},
    {"at", FIELD_SCALAR, REQUIRED, AT(at), NULL, NULL},
    {"only-if", FIELD_ANY, OPTIONAL, AT(only_if), NULL, NULL},
    {"do", FIELD_SCALAR, REQUIRED, AT(doing), NULL, NULL},
    {"call", FIELD_MAP, OPTIONAL, AT(call), NULL, NULL},
    {"reply", FIELD_SCALAR, OPTIONAL, AT(reply), NULL, NULL},
    {"takes", FIELD_LIST, REQUIRED, AT(takes), NULL, NULL},
    {"hands", FIELD_WHOLE, OPTIONAL, AT(hands), &hands_range, NULL},
    {"pilot", FIELD_YES, OPTIONAL, AT(pilot), NULL, NULL},
    {"memory", FIELD_YES, OPTIONAL, AT(memory), NULL, NULL},
    {"after", FIELD_LIST, OPTIONAL, AT(after), NULL, NULL},
    {"wait", FIELD_MAP, OPTIONAL, AT(wait), NULL, NULL},
    {"need", FIELD_MAP, OPTIONAL, AT(need), NULL, NULL},
    {"start", FIELD_MAP, OPTIONAL, AT(start), NULL, NULL},
    {"finish", FIELD_MAP, OPTIONAL, AT(finish), NULL, NULL},
    {"tends", FIELD_ANY, OPTIONAL, AT(tends), NULL, NULL},
    {"releases", FIELD_ANY, OPTIONAL, AT(releases), NULL, NULL},
    {"takes-over", FIELD_ANY, OPTIONAL, AT(takes_over), NULL, NULL},
    {"hands-over", FIELD_ANY, OPTIONAL, AT(hands_over), NULL, NULL},
    {"uses", FIELD_ANY, OPTIONAL, AT(uses), NULL, NULL},
    {"warn", FIELD_MAP, OPTIONAL, AT(warn), NULL, NULL},
};
#undef AT
static const struct shape step_shape = {"a step", step_fields,
                                        sizeof step_fields / sizeof *step_fields};

struct raw_call {
    const struct node *by, *say;
};

static struct call read_call(struct load *load, const struct node *node)
{
    static const struct field fields[] = {
        {"by", FIELD_SCALAR, REQUIRED, offsetof(struct raw_call, by), NULL, NULL},
        {"say", FIELD_SCALAR, REQUIRED, offsetof(struct raw_call, say), NULL, NULL},
    };
    static const struct shape shape = {"a call", fields, 2};
    struct raw_call raw = {NULL, NULL};
    if (!node || !load_fields(load, node, &shape, &raw))
        return (struct call){-1, ""};
    int by = raw.by ? load_find_role(load, raw.by) : -1;
    return (struct call){(int8_t)by, load_fill_in(load, raw.say)};
}

struct raw_warning {
    int signal;
    const struct node *say, *avoid;
};

static struct warning read_warning(struct load *load, const struct node *node)
{
    static const struct field fields[] = {
        {"signal", FIELD_CHOICE, REQUIRED, offsetof(struct raw_warning, signal), NULL,
         signal_words},
        {"say", FIELD_SCALAR, REQUIRED, offsetof(struct raw_warning, say), NULL, NULL},
        {"avoid", FIELD_SCALAR, REQUIRED, offsetof(struct raw_warning, avoid), NULL,
         NULL},
    };
    static const struct shape shape = {"'warn'", fields, 3};
    struct raw_warning raw = {0, NULL, NULL};
    if (!node || !load_fields(load, node, &shape, &raw))
        return (struct warning){SIGNAL_NONE, "", ""};
    return (struct warning){(enum signal)(raw.signal + 1), load_fill_in(load, raw.say),
                            load_fill_in(load, raw.avoid)};
}

static struct takes read_takes(struct load *load, const struct node *list)
{
    double s[3] = {1, 1, 1};
    if (!list)
        return (struct takes){1000, 1000, 1000};
    if (list->count != 3)
        diag_add(load->diags, MESSAGE_TAKES_COUNT, list->where);
    const struct node *item = list->first;
    bool good = list->count == 3;
    for (int i = 0; i < 3 && item; i++, item = item->next)
        good = load_quantity(load, item, &takes_range, &s[i]) && good;
    if (good && (s[0] > s[1] || s[1] > s[2]))
        diag_add(load->diags, MESSAGE_TAKES_ORDER, list->where);
    return (struct takes){(int32_t)lround(s[0] * 1000), (int32_t)lround(s[1] * 1000),
                          (int32_t)lround(s[2] * 1000)};
}

static role_set add_role(struct load *load, const struct node *name, role_set roles)
{
    int role = load_find_role(load, name);
    if (role < 0)
        return roles;
    role_set bit = (role_set)(1u << role);
    if (roles & bit)
        diag_add(load->diags, MESSAGE_ROLE_TWICE, name->where, name->text);
    return roles | bit;
}

static role_set read_roles(struct load *load, const struct node *node,
                           const struct raw_step *raw)
{
    const struct node *role = node_get(node, "role"), *roles = node_get(node, "roles");
    if (!role == !roles)
        diag_add(load->diags, MESSAGE_ROLE_OR_ROLES,
                 raw->name ? raw->name->where : node->where);
    if (raw->role)
        return add_role(load, raw->role, 0);
    role_set set = 0;
    if (raw->roles && raw->roles->count < 2)
        diag_add(load->diags, MESSAGE_JOINT, raw->roles->where);
    if (raw->roles)
        for (const struct node *item = raw->roles->first; item; item = item->next)
            set = add_role(load, item, set);
    return set;
}

static uint32_t read_uses(struct load *load, const struct node *node)
{
    uint32_t gear = 0;
    if (!node)
        return 0;
    for (const struct node *item = node_first_item(node); item;
         item = node_next_item(node, item)) {
        int found = load_find_gear(load, item);
        if (found >= 0)
            gear |= 1u << found;
    }
    return gear;
}

struct raw_after {
    const struct node *step, *started;
};

/* `started: true` reads naturally beside the format's yes; both are taken here. */
static bool read_started(struct load *load, const struct node *node)
{
    bool started = false;
    if (node && strcmp(node->text, "true") == 0)
        return true;
    if (node)
        load_yes(load, node, &started);
    return started;
}

static void read_after_item(struct load *load, const struct node *item, struct step *step)
{
    static const struct field fields[] = {
        {"step", FIELD_SCALAR, REQUIRED, offsetof(struct raw_after, step), NULL, NULL},
        {"started", FIELD_ANY, REQUIRED, offsetof(struct raw_after, started), NULL, NULL},
    };
    static const struct shape shape = {"an item of 'after'", fields, 2};
    struct raw_after raw = {item, NULL};
    if (item->kind != NODE_TEXT) {
        raw.step = NULL;
        load_fields(load, item, &shape, &raw);
    }
    bool started = read_started(load, raw.started);
    int before = raw.step ? load_find_step(load, raw.step) : -1;
    if (before < 0)
        return;
    if (started)
        step->after_started |= (step_set)1 << before;
    else
        step->after |= (step_set)1 << before;
}

static void read_after(struct load *load, const struct node *list, struct step *step)
{
    step->after_where = list ? list->key->where : step->where;
    if (list)
        for (const struct node *item = list->first; item; item = item->next)
            read_after_item(load, item, step);
}

static struct step read_step(struct load *load, const struct node *node, const char *name,
                             const struct raw_step *raw)
{
    int at = raw->at ? load_find_station(load, raw->at) : -1;
    struct step step = {.name = name,
                        .doing = load_fill_in(load, raw->doing),
                        .call = read_call(load, raw->call),
                        .reply = load_fill_in(load, raw->reply),
                        .takes = read_takes(load, raw->takes),
                        .roles = read_roles(load, node, raw),
                        .at = (uint8_t)(at < 0 ? 0 : at),
                        .hands = (uint8_t)raw->hands,
                        .pilot = raw->pilot,
                        .memory = raw->memory,
                        .wait = load_read_conditions(load, raw->wait),
                        .need = load_read_conditions(load, raw->need),
                        .start = load_read_effects(load, raw->start),
                        .finish = load_read_effects(load, raw->finish),
                        .tends = load_read_tendings(load, raw->tends),
                        .takes_over = load_read_tendings(load, raw->takes_over),
                        .releases = load_read_lines(load, raw->releases),
                        .hands_over = load_read_lines(load, raw->hands_over),
                        .uses = read_uses(load, raw->uses),
                        .warn = read_warning(load, raw->warn),
                        .where = raw->name ? raw->name->where : node->where};
    read_after(load, raw->after, &step);
    return step;
}

void load_read_step_names(struct load *load, const struct node *list,
                          struct written *written)
{
    load->steps = &written->names;
    written->count = load_count(load, list, STEPS_MAX, "steps");
    written->names.count = written->count;
    const struct node *names[STEPS_MAX];
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < written->count; i++, item = item->next) {
        const struct node *name = node_get(item, "step");
        names[i] = name && name->kind == NODE_TEXT && *name->text ? name : NULL;
        written->names.at[i] = names[i] ? names[i]->text : "";
    }
    load_check_names(load, names, written->count);
    if (list && !list->count)
        diag_add(load->diags, MESSAGE_NO_STEPS, list->where);
}

void load_read_steps(struct load *load, const struct node *list, struct written *written)
{
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < written->count; i++, item = item->next) {
        struct raw_step raw = {.hands = 1};
        const char *name = "";
        if (!load_fields(load, item, &step_shape, &raw))
            continue;
        if (raw.name)
            load_name(load, raw.name, &name);
        written->steps[i] = read_step(load, item, name, &raw);
        if (load_holds(load, raw.only_if))
            written->kept |= (step_set)1 << i;
    }
}
