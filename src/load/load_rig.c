#include "load/load.h"

#include "load/fields.h"
#include "load/rig_places.h"

struct raw_rig {
    const char *name, *title;
    const struct node *format, *parts, *stations, *roles, *gear, *mishaps, *rules, *lee;
};

#define AT(member) offsetof(struct raw_rig, member)
static const struct field rig_fields[] = {
    {"format", FIELD_ANY, OPTIONAL, AT(format), NULL, NULL},
    {"rig", FIELD_NAME, REQUIRED, AT(name), NULL, NULL},
    {"title", FIELD_TEXT, REQUIRED, AT(title), NULL, NULL},
    {"lee", FIELD_SCALAR, OPTIONAL, AT(lee), NULL, NULL},
    {"parts", FIELD_MAP, REQUIRED, AT(parts), NULL, NULL},
    {"stations", FIELD_MAP, REQUIRED, AT(stations), NULL, NULL},
    {"roles", FIELD_MAP, REQUIRED, AT(roles), NULL, NULL},
    {"gear", FIELD_MAP, OPTIONAL, AT(gear), NULL, NULL},
    {"mishaps", FIELD_MAP, OPTIONAL, AT(mishaps), NULL, NULL},
    {"rules", FIELD_LIST, OPTIONAL, AT(rules), NULL, NULL},
};
#undef AT
static const struct shape rig_shape = {"a rig", rig_fields,
                                       sizeof rig_fields / sizeof *rig_fields};

struct raw_role {
    const char *words;
    const struct node *station, *sees;
    bool steers, one_hand;
    int order;
};

static const char *const order_words[] = {"card", "free", NULL};

#define AT(member) offsetof(struct raw_role, member)
static const struct field role_fields[] = {
    {"words", FIELD_LABEL, REQUIRED, AT(words), NULL, NULL},
    {"station", FIELD_SCALAR, REQUIRED, AT(station), NULL, NULL},
    {"sees", FIELD_LIST, OPTIONAL, AT(sees), NULL, NULL},
    {"steers", FIELD_YES, OPTIONAL, AT(steers), NULL, NULL},
    {"one-hand", FIELD_YES, OPTIONAL, AT(one_hand), NULL, NULL},
    {"order", FIELD_CHOICE, OPTIONAL, AT(order), NULL, order_words},
};
#undef AT
static const struct shape role_shape = {"a role", role_fields,
                                        sizeof role_fields / sizeof *role_fields};

static struct role read_role(struct load *load, const struct node *node)
{
    struct raw_role raw = {.words = "", .order = 0};
    const char *name;
    load_name(load, node->key, &name);
    load_fields(load, node, &role_shape, &raw);
    int station = raw.station ? load_find_station(load, raw.station) : -1;
    struct role role = {.name = node->key->text,
                        .words = raw.words,
                        .station = (uint8_t)(station < 0 ? 0 : station),
                        .steers = raw.steers,
                        .one_hand = raw.one_hand,
                        .free_order = raw.order == 1,
                        .where = node->key->where};
    if (raw.sees)
        for (const struct node *item = raw.sees->first; item; item = item->next)
            role.sees |= load_find_parts(load, item);
    return role;
}

static void read_roles(struct rig_build *build, const struct node *map)
{
    int count = load_count(build->load, map, RIG_ROLES_MAX, "roles");
    struct role *roles = arena_alloc(build->load->arena, RIG_ROLES_MAX * sizeof *roles);
    const struct node *entry = map ? map->first : NULL;
    for (int i = 0; i < count; i++, entry = entry->next)
        roles[i] = read_role(build->load, entry);
    build->plan.roles = roles;
    build->plan.role_count = (uint8_t)count;
}

struct raw_gear {
    const char *words;
    int fixed; /* -1: not said */
};

static struct gear read_gear_item(struct load *load, const struct node *node)
{
    const struct field fields[] = {
        {"words", FIELD_LABEL, REQUIRED, offsetof(struct raw_gear, words), NULL, NULL},
        {"fixed", FIELD_CHOICE, OPTIONAL, offsetof(struct raw_gear, fixed), NULL,
         load_side_words()},
    };
    const struct shape shape = {"a piece of gear", fields, 2};
    struct raw_gear raw = {"", -1};
    const char *name;
    load_name(load, node->key, &name);
    load_fields(load, node, &shape, &raw);
    return (struct gear){node->key->text, raw.words, load_fixed_side(raw.fixed),
                         node->key->where};
}

static void read_gear(struct rig_build *build, const struct node *map)
{
    int count = load_count(build->load, map, GEAR_MAX, "pieces of gear");
    struct gear *gear = arena_alloc(build->load->arena, GEAR_MAX * sizeof *gear);
    const struct node *entry = map ? map->first : NULL;
    for (int i = 0; i < count; i++, entry = entry->next)
        gear[i] = read_gear_item(build->load, entry);
    build->plan.gear = gear;
    build->plan.gear_count = (uint8_t)count;
}

struct raw_mishap {
    const char *words, *looks;
    const struct node *can, *sets;
};

#define AT(member) offsetof(struct raw_mishap, member)
static const struct field mishap_fields[] = {
    {"words", FIELD_LABEL, REQUIRED, AT(words), NULL, NULL},
    {"looks", FIELD_TEXT, REQUIRED, AT(looks), NULL, NULL},
    {"can", FIELD_MAP, OPTIONAL, AT(can), NULL, NULL},
    {"sets", FIELD_MAP, OPTIONAL, AT(sets), NULL, NULL},
};
#undef AT
static const struct shape mishap_shape = {"a mishap", mishap_fields,
                                          sizeof mishap_fields / sizeof *mishap_fields};

static struct mishap read_mishap(struct load *load, const struct node *node)
{
    struct raw_mishap raw = {.words = "", .looks = ""};
    const char *name;
    load_name(load, node->key, &name);
    load_fields(load, node, &mishap_shape, &raw);
    return (struct mishap){.name = node->key->text,
                           .words = raw.words,
                           .looks = raw.looks,
                           .can = load_read_conditions(load, raw.can),
                           .sets = load_read_effects(load, raw.sets),
                           .where = node->key->where};
}

static void read_mishaps(struct rig_build *build, const struct node *map)
{
    int count = load_count(build->load, map, MISHAPS_MAX, "mishaps");
    struct mishap *mishaps =
        arena_alloc(build->load->arena, MISHAPS_MAX * sizeof *mishaps);
    const struct node *entry = map ? map->first : NULL;
    for (int i = 0; i < count; i++, entry = entry->next)
        mishaps[i] = read_mishap(build->load, entry);
    build->plan.mishaps = mishaps;
    build->plan.mishap_count = (uint8_t)count;
}

const struct rig_plan *load_rig(const struct source *source, enum board board,
                                struct arena *arena, struct diags *diags)
{
    struct load load = load_start(source, NULL, arena, diags);
    const struct node *root = load_open(&load, FILE_RIG);
    struct raw_rig raw = {.name = "", .title = ""};
    if (!root || !load_fields(&load, root, &rig_shape, &raw))
        return NULL;
    struct rig_build *build = arena_alloc(arena, sizeof *build);
    build->load = &load;
    build->plan.name = raw.name;
    build->plan.title = raw.title;
    build->plan.source = source;
    build->plan.board = board;
    load.plan = &build->plan;
    load_read_stations(build, raw.stations);
    load_read_parts(build, raw.parts);
    build->plan.lee_part = (int8_t)(raw.lee ? load_find_part(&load, raw.lee) : -1);
    read_roles(build, raw.roles);
    read_gear(build, raw.gear);
    read_mishaps(build, raw.mishaps);
    build->plan.rules = load_read_rules(&load, raw.rules);
    build->load = NULL;
    return load_failed(&load) ? NULL : &build->plan;
}
