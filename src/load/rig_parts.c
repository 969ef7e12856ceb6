#include "load/rig_places.h"

#include "base/text.h"
#include "load/fields.h"

#include <string.h>

struct raw_part {
    const char *words;
    const struct node *values, *sides, *side_values, *tended_at, *loaded;
    int fixed, load; /* -1: not said */
};

static struct raw_part read_raw(struct load *load, const struct node *node)
{
    struct raw_part raw = {.words = "", .fixed = -1, .load = -1};
#define AT(member) offsetof(struct raw_part, member)
    const struct field fields[] = {
        {"words", FIELD_LABEL, REQUIRED, AT(words), NULL, NULL},
        {"values", FIELD_MAP, OPTIONAL, AT(values), NULL, NULL},
        {"sides", FIELD_MAP, OPTIONAL, AT(sides), NULL, NULL},
        {"side-values", FIELD_MAP, OPTIONAL, AT(side_values), NULL, NULL},
        {"tended-at", FIELD_SCALAR, OPTIONAL, AT(tended_at), NULL, NULL},
        {"fixed", FIELD_CHOICE, OPTIONAL, AT(fixed), NULL, load_side_words()},
        {"load", FIELD_CHOICE, OPTIONAL, AT(load), NULL, load_kind_words()},
        {"loaded", FIELD_ANY, OPTIONAL, AT(loaded), NULL, NULL},
    };
#undef AT
    const struct shape shape = {"a part", fields, sizeof fields / sizeof *fields};
    load_fields(load, node, &shape, &raw);
    return raw;
}

/* The text at NODE with SIDE for every {side}. */
static const char *fill_side(struct load *load, const struct node *node, const char *side)
{
    const char *words = "", *hole = "{side}";
    load_text(load, node, LOAD_TEXT_MAX, &words);
    struct text filled = {0};
    text_add(&filled, "");
    const char *at = words;
    for (const char *found; (found = strstr(at, hole)); at = found + strlen(hole)) {
        text_add_bytes(&filled, at, (size_t)(found - at));
        text_add(&filled, side);
    }
    if (at == words && *words)
        diag_add(load->diags, MESSAGE_NO_SIDE, node->where);
    text_add(&filled, at);
    const char *copy = arena_copy(load->arena, filled.at, filled.length);
    text_free(&filled);
    return copy;
}

static uint8_t add_side_values(struct load *load, const struct node *node,
                               struct part_value *values)
{
    struct side_names names;
    if (!load_read_side_names(load, node, true, &names))
        return 0;
    for (int i = 0; i < 2; i++) {
        enum side side = i == 0 ? SIDE_PORT : SIDE_STARBOARD;
        const char *word = load_side_word(side);
        values[i] = (struct part_value){
            word, names.words ? fill_side(load, names.words, word) : word,
            load_side_name(load, &names, side)};
    }
    return 2;
}

static void check_value_names(struct load *load, const struct part_value *values,
                              int count, const struct node *map,
                              const struct node *side_values)
{
    struct place_name names[VALUES_MAX];
    const struct node *entry = map ? map->first : NULL;
    for (int i = 0; i < count; i++) {
        names[i] = (struct place_name){values[i].name, values[i].alias, {NULL, 0, 0, 0}};
        if (*values[i].alias) {
            names[i].where = side_values->key->where;
        } else {
            names[i].where = entry->key->where;
            entry = entry->next;
        }
    }
    load_check_places(load, names, count);
}

/* The values of a part: those of the sides first, the same on both boards. */
static uint8_t read_values(struct load *load, const struct raw_part *raw,
                           const struct node *part, const struct part_value **out)
{
    struct part_value *values = arena_alloc(load->arena, VALUES_MAX * sizeof *values);
    uint8_t count = add_side_values(load, raw->side_values, values);
    int more = load_count(load, raw->values, VALUES_MAX - count, "values of a part");
    const struct node *entry = raw->values ? raw->values->first : NULL;
    for (int i = 0; i < more; i++, entry = entry->next) {
        struct part_value *value = &values[count++];
        *value = (struct part_value){entry->key->text, "", ""};
        load_name(load, entry->key, &value->name);
        load_text(load, entry, LOAD_LABEL_MAX, &value->words);
    }
    check_value_names(load, values, count, raw->values, raw->side_values);
    if (count < 2)
        diag_add(load->diags, MESSAGE_FEW_VALUES, part->key->where, part->key->text);
    *out = values;
    return count;
}

/* The station a part on SIDE is tended at: its own side of a pair; -1 where none. */
static int8_t tending_station(struct load *load, const struct node *name, enum side side)
{
    if (!name)
        return -1;
    uint32_t stations = load_find_stations(load, name, side);
    for (int8_t i = 0; i < load->plan->station_count; i++)
        if (stations == 1u << i)
            return i;
    if (stations)
        diag_add(load->diags, MESSAGE_TENDED_SIDE, name->where, name->text);
    return -1;
}

/* One stored part; NAMES where it is one of a pair. */
static void add_part(struct rig_build *build, const struct node *node,
                     const struct raw_part *raw, const struct side_names *names,
                     struct part part)
{
    struct load *load = build->load;
    part.name = node->key->text;
    part.words = raw->words;
    part.alias = "";
    part.where = node->key->where;
    part.tended_at = tending_station(load, raw->tended_at, part.side);
    if (names) {
        const char *word = load_side_word(part.side);
        part.name = arena_printf(load->arena, "%s-%s", word, node->key->text);
        part.words = arena_printf(load->arena, "%s %s", word, raw->words);
        part.alias = load_side_name(load, names, part.side);
    }
    build->parts[build->plan.part_count++] = part;
}

/* Reports that KEY of the part NODE stands without WITH. */
static void check_partner(struct load *load, const struct node *node, const char *key,
                          const char *with)
{
    if (node_get(node, key) && !node_get(node, with))
        diag_add(load->diags, MESSAGE_RULE_PARTNER, node_get(node, key)->key->where, key,
                 with);
}

/* The load of the parts from FIRST on, which are those of NODE. */
static void read_load(struct rig_build *build, const struct node *node,
                      const struct raw_part *raw, int first)
{
    struct load *load = build->load;
    check_partner(load, node, "load", "loaded");
    check_partner(load, node, "load", "tended-at");
    check_partner(load, node, "loaded", "load");
    if (!raw->loaded || raw->load < 0 || first == build->plan.part_count)
        return;
    value_set loaded = load_read_values(load, first, raw->loaded);
    for (int i = first; i < build->plan.part_count; i++) {
        build->parts[i].load = (enum load_kind)(raw->load + 1);
        build->parts[i].loaded = loaded;
    }
}

static void read_part(struct rig_build *build, const struct node *node)
{
    struct load *load = build->load;
    const char *name;
    load_name(load, node->key, &name);
    if (!load_is(load, node, NODE_MAP, "{words: ..., values: {...}}"))
        return;
    struct raw_part raw = read_raw(load, node);
    struct part part = {.side = load_fixed_side(raw.fixed)};
    part.value_count = read_values(load, &raw, node, &part.values);
    if (raw.sides && raw.fixed >= 0)
        diag_add(load->diags, MESSAGE_SIDES_FIXED, node->key->where, node->key->text);
    struct side_names names;
    int first = build->plan.part_count;
    bool pair = load_read_side_names(load, raw.sides, false, &names);
    if (build->plan.part_count + (pair ? 2 : 1) > PARTS_MAX) {
        diag_add(load->diags, MESSAGE_TOO_MANY, node->key->where,
                 "parts (each side of a pair is one)", PARTS_MAX);
    } else if (pair) {
        part.side = SIDE_PORT;
        add_part(build, node, &raw, &names, part);
        part.side = SIDE_STARBOARD;
        add_part(build, node, &raw, &names, part);
    } else {
        add_part(build, node, &raw, NULL, part);
    }
    read_load(build, node, &raw, first);
}

void load_read_parts(struct rig_build *build, const struct node *map)
{
    build->parts = arena_alloc(build->load->arena, PARTS_MAX * sizeof *build->parts);
    build->plan.parts = build->parts;
    if (!map)
        return;
    for (const struct node *entry = map->first; entry; entry = entry->next)
        read_part(build, entry);
    struct place_name names[PARTS_MAX];
    for (int i = 0; i < build->plan.part_count; i++)
        names[i] = (struct place_name){build->parts[i].name, build->parts[i].alias,
                                       build->parts[i].where};
    load_check_places(build->load, names, build->plan.part_count);
}
