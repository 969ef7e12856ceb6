#include "load/rig_places.h"

#include "load/fields.h"

struct raw_station {
    const char *words;
    double forward_m, starboard_m, out_m;
    const struct node *sides, *reach;
    int fixed; /* -1: not said */
};

static const struct range ahead = {UNIT_M, -60, 60, "-60 m to 60 m"};
static const struct range across = {UNIT_M, -20, 20, "-20 m to 20 m"};
static const struct range outward = {UNIT_M, 0, 20, "0 m to 20 m"};

static struct raw_station read_raw(struct load *load, const struct node *node)
{
    struct raw_station raw = {.words = "", .fixed = -1};
#define AT(member) offsetof(struct raw_station, member)
    const struct field fields[] = {
        {"words", FIELD_LABEL, REQUIRED, AT(words), NULL, NULL},
        {"forward", FIELD_QUANTITY, REQUIRED, AT(forward_m), &ahead, NULL},
        {"starboard", FIELD_QUANTITY, OPTIONAL, AT(starboard_m), &across, NULL},
        {"out", FIELD_QUANTITY, OPTIONAL, AT(out_m), &outward, NULL},
        {"sides", FIELD_MAP, OPTIONAL, AT(sides), NULL, NULL},
        {"fixed", FIELD_CHOICE, OPTIONAL, AT(fixed), NULL, load_side_words()},
        {"reach", FIELD_LIST, OPTIONAL, AT(reach), NULL, NULL},
    };
#undef AT
    const struct shape shape = {"a station", fields, sizeof fields / sizeof *fields};
    load_fields(load, node, &shape, &raw);
    return raw;
}

/* Which of the keys that place a station across the boat go together. */
static void check_across(struct load *load, const struct node *node,
                         const struct raw_station *raw)
{
    const struct node *out = node_get(node, "out"), *direct = node_get(node, "starboard");
    bool sided = raw->sides || raw->fixed >= 0;
    if (raw->sides && raw->fixed >= 0)
        diag_add(load->diags, MESSAGE_SIDES_FIXED, node->key->where, node->key->text);
    else if (sided && !out)
        diag_add(load->diags, MESSAGE_OUT_MISSING, node->key->where, node->key->text);
    else if (sided && direct)
        diag_add(load->diags, MESSAGE_OUT_AND_STARBOARD, direct->key->where);
    else if (!sided && out)
        diag_add(load->diags, MESSAGE_OUT_STRAY, out->key->where);
}

/* One stored station; NAMES where it is one of a pair. */
static void add_station(struct rig_build *build, const struct node *node,
                        const struct raw_station *raw, const struct side_names *names,
                        enum side side)
{
    struct load *load = build->load;
    struct station *station = &build->stations[build->plan.station_count++];
    *station = (struct station){.name = node->key->text,
                                .words = raw->words,
                                .forward_m = raw->forward_m,
                                .starboard_m = raw->starboard_m,
                                .alias = "",
                                .where = node->key->where};
    if (side != SIDE_NONE)
        station->starboard_m = side == SIDE_PORT ? -raw->out_m : raw->out_m;
    if (!names)
        return;
    const char *word = load_side_word(side);
    station->name = arena_printf(load->arena, "%s-%s", word, node->key->text);
    station->words = arena_printf(load->arena, "%s %s", word, raw->words);
    station->alias = load_side_name(load, names, side);
}

static void read_station(struct rig_build *build, const struct node *node)
{
    struct load *load = build->load;
    struct side_names names;
    const char *name;
    load_name(load, node->key, &name);
    struct raw_station raw = read_raw(load, node);
    check_across(load, node, &raw);
    bool pair = load_read_side_names(load, raw.sides, false, &names);
    if (build->plan.station_count + (pair ? 2 : 1) > STATIONS_MAX) {
        diag_add(load->diags, MESSAGE_TOO_MANY, node->key->where,
                 "stations (each side of a pair is one)", STATIONS_MAX);
    } else if (pair) {
        add_station(build, node, &raw, &names, SIDE_PORT);
        add_station(build, node, &raw, &names, SIDE_STARBOARD);
    } else {
        add_station(build, node, &raw, NULL, load_fixed_side(raw.fixed));
    }
}

static void check_station_names(struct rig_build *build)
{
    struct place_name names[STATIONS_MAX];
    for (int i = 0; i < build->plan.station_count; i++)
        names[i] = (struct place_name){build->stations[i].name, build->stations[i].alias,
                                       build->stations[i].where};
    load_check_places(build->load, names, build->plan.station_count);
}

/* The reach written at NODE is that of every station made of it, FROM up to before TO. */
static void read_reach(struct rig_build *build, const struct node *node, int from, int to)
{
    const struct node *list = node_get(node, "reach");
    for (int i = from; i < to; i++) {
        struct station *station = &build->stations[i];
        enum side side = SIDE_NONE;
        if (*station->alias)
            side = i == from ? SIDE_PORT : SIDE_STARBOARD;
        station->reach = 1u << i;
        if (!list || list->kind != NODE_LIST)
            continue;
        for (const struct node *item = list->first; item; item = item->next)
            station->reach |= load_find_stations(build->load, item, side);
    }
}

void load_read_stations(struct rig_build *build, const struct node *map)
{
    build->stations =
        arena_alloc(build->load->arena, STATIONS_MAX * sizeof *build->stations);
    build->plan.stations = build->stations;
    if (!map)
        return;
    for (const struct node *entry = map->first; entry; entry = entry->next)
        read_station(build, entry);
    check_station_names(build);
    int from = 0;
    for (const struct node *entry = map->first; entry; entry = entry->next) {
        int to = from;
        while (to < build->plan.station_count &&
               build->stations[to].where.line == entry->key->where.line &&
               build->stations[to].where.column == entry->key->where.column)
            to++;
        read_reach(build, entry, from, to);
        from = to;
    }
}
