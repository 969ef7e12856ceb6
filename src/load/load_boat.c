#include "load/load.h"

#include "load/fields.h"

enum { WINCHES_MAX = 32 };

static const struct range length_range = {UNIT_M, 3, 60, "3 m to 60 m"};
static const struct range rig_range = {UNIT_M, 0.5, 80, "0.5 m to 80 m"};
static const struct range height_range = {UNIT_M, 0, 10, "0 m to 10 m"};
static const struct range area_range = {UNIT_M2, 1, 2000, "1 m2 to 2000 m2"};
static const struct range wind_range = {UNIT_KN, 0, 80, "0 kn to 80 kn"};
static const struct range angle_range = {UNIT_DEG, 0, 180, "0 deg to 180 deg"};
static const struct range ratio_range = {UNIT_NONE, 1, 200, "1 to 200"};

/* A pair [least, most] of quantities; both keep what they were where NODE is NULL. */
static void read_pair(struct load *load, const struct node *list,
                      const struct range *range, double *least, double *most)
{
    if (!list)
        return;
    if (list->count != 2) {
        diag_add(load->diags, MESSAGE_PAIR_COUNT, list->where);
        return;
    }
    bool first = load_quantity(load, list->first, range, least);
    if (load_quantity(load, list->first->next, range, most) && first && *least > *most)
        diag_add(load->diags, MESSAGE_PAIR_ORDER, list->where);
}

static void read_dimensions(struct load *load, const struct node *node, struct boat *boat)
{
#define AT(member) offsetof(struct boat, member)
    static const struct field fields[] = {
        {"I", FIELD_QUANTITY, OPTIONAL, AT(i_m), &rig_range, NULL},
        {"J", FIELD_QUANTITY, OPTIONAL, AT(j_m), &rig_range, NULL},
        {"P", FIELD_QUANTITY, OPTIONAL, AT(p_m), &rig_range, NULL},
        {"E", FIELD_QUANTITY, OPTIONAL, AT(e_m), &rig_range, NULL},
        {"ISP", FIELD_QUANTITY, OPTIONAL, AT(isp_m), &rig_range, NULL},
        {"SPL", FIELD_QUANTITY, OPTIONAL, AT(spl_m), &rig_range, NULL},
        {"TPS", FIELD_QUANTITY, OPTIONAL, AT(tps_m), &rig_range, NULL},
    };
#undef AT
    static const struct shape shape = {"a boat's rig", fields,
                                       sizeof fields / sizeof *fields};
    if (node)
        load_fields(load, node, &shape, boat);
}

struct raw_pole {
    int ends;
    const struct node *mast_end;
};

static void read_pole(struct load *load, const struct node *node, struct boat *boat)
{
    static const char *const ends_words[] = {"none", "end-for-end", "dip", NULL};
    static const struct field fields[] = {
        {"ends", FIELD_CHOICE, REQUIRED, offsetof(struct raw_pole, ends), NULL,
         ends_words},
        {"mast-end", FIELD_LIST, OPTIONAL, offsetof(struct raw_pole, mast_end), NULL,
         NULL},
    };
    static const struct shape shape = {"a pole", fields, 2};
    struct raw_pole raw = {POLE_NONE, NULL};
    if (!node || !load_fields(load, node, &shape, &raw))
        return;
    boat->pole = (enum pole_ends)raw.ends;
    boat->pole_said = true;
    read_pair(load, raw.mast_end, &height_range, &boat->mast_end_least_m,
              &boat->mast_end_most_m);
}

struct raw_sail {
    struct sail sail;
    const struct node *wind, *angle, *apparent, *apparent_angle;
    int kind, cloth;
};

#define AT(member) offsetof(struct raw_sail, member)
static const char *const cloths[] = {"0.5 oz", "0.75 oz", "1.5 oz", "2.2 oz", NULL};
static const char *const sail_kinds[] = {"symmetric", "asymmetric", "code",
                                         "main",      "jib",        NULL};
static const struct field sail_fields[] = {
    {"sail", FIELD_LABEL, REQUIRED, AT(sail.name), NULL, NULL},
    {"code", FIELD_LABEL, OPTIONAL, AT(sail.code), NULL, NULL},
    {"kind", FIELD_CHOICE, REQUIRED, AT(kind), NULL, sail_kinds},
    {"area", FIELD_QUANTITY, OPTIONAL, AT(sail.area_m2), &area_range, NULL},
    {"SLU", FIELD_QUANTITY, OPTIONAL, AT(sail.luff_m), &rig_range, NULL},
    {"SLE", FIELD_QUANTITY, OPTIONAL, AT(sail.leech_m), &rig_range, NULL},
    {"SFL", FIELD_QUANTITY, OPTIONAL, AT(sail.foot_m), &rig_range, NULL},
    {"SHW", FIELD_QUANTITY, OPTIONAL, AT(sail.half_m), &rig_range, NULL},
    {"LP", FIELD_QUANTITY, OPTIONAL, AT(sail.perpendicular_m), &rig_range, NULL},
    {"HHW", FIELD_QUANTITY, OPTIONAL, AT(sail.headsail_half_m), &rig_range, NULL},
    {"true-wind", FIELD_LIST, OPTIONAL, AT(wind), NULL, NULL},
    {"angle", FIELD_LIST, OPTIONAL, AT(angle), NULL, NULL},
    {"apparent-wind", FIELD_LIST, OPTIONAL, AT(apparent), NULL, NULL},
    {"apparent-angle", FIELD_LIST, OPTIONAL, AT(apparent_angle), NULL, NULL},
    {"cloth", FIELD_CHOICE, OPTIONAL, AT(cloth), NULL, cloths},
};
#undef AT
static const struct shape sail_shape = {"a sail", sail_fields,
                                        sizeof sail_fields / sizeof *sail_fields};

/* A sail's area, or the four measurements it follows from. */
static void check_area(struct load *load, const struct node *node)
{
    static const char *const measurements[] = {"SLU", "SLE", "SFL", "SHW"};
    int missing = 0;
    for (size_t i = 0; i < sizeof measurements / sizeof *measurements; i++)
        missing += !node_get(node, measurements[i]);
    const struct node *name = node_get(node, "sail");
    if (!node_get(node, "area") && missing)
        diag_add(load->diags, MESSAGE_SAIL_AREA, name ? name->where : node->where);
}

static struct sail read_sail(struct load *load, const struct node *node)
{
    struct raw_sail raw = {.sail = {.name = "",
                                    .code = "",
                                    .wind_most_kn = wind_range.most,
                                    .angle_most_deg = angle_range.most,
                                    .apparent_most_kn = wind_range.most,
                                    .apparent_most_deg = angle_range.most,
                                    .where = node->where},
                           .cloth = -1};
    if (!load_fields(load, node, &sail_shape, &raw))
        return raw.sail;
    check_area(load, node);
    read_pair(load, raw.wind, &wind_range, &raw.sail.wind_least_kn,
              &raw.sail.wind_most_kn);
    read_pair(load, raw.angle, &angle_range, &raw.sail.angle_least_deg,
              &raw.sail.angle_most_deg);
    read_pair(load, raw.apparent, &wind_range, &raw.sail.apparent_least_kn,
              &raw.sail.apparent_most_kn);
    read_pair(load, raw.apparent_angle, &angle_range, &raw.sail.apparent_least_deg,
              &raw.sail.apparent_most_deg);
    raw.sail.kind = (enum sail_kind)raw.kind;
    raw.sail.cloth = (enum sail_cloth)(raw.cloth + 1);
    return raw.sail;
}

static struct winch read_winch(struct load *load, const struct node *node)
{
    static const struct field fields[] = {
        {"winch", FIELD_LABEL, REQUIRED, offsetof(struct winch, name), NULL, NULL},
        {"ratio", FIELD_QUANTITY, REQUIRED, offsetof(struct winch, power_ratio),
         &ratio_range, NULL},
        {"self-tailing", FIELD_YES, OPTIONAL, offsetof(struct winch, self_tailing), NULL,
         NULL},
    };
    static const struct shape shape = {"a winch", fields, 3};
    struct winch winch = {.name = "", .where = node->where};
    load_fields(load, node, &shape, &winch);
    return winch;
}

/* Reports names that stand twice under KEY in the items of LIST. */
static void check_item_names(struct load *load, const struct node *list, int count,
                             const char *key)
{
    const struct node *names[SAILS_MAX];
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < count; i++, item = item->next) {
        const struct node *name = node_get(item, key);
        names[i] = name && name->kind == NODE_TEXT ? name : NULL;
    }
    load_check_names(load, names, count);
}

static void read_sails(struct load *load, const struct node *list, struct boat *boat)
{
    int count = load_count(load, list, SAILS_MAX, "sails");
    struct sail *sails = arena_alloc(load->arena, (size_t)count * sizeof *sails);
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < count; i++, item = item->next)
        sails[i] = read_sail(load, item);
    check_item_names(load, list, count, "sail");
    boat->sails = sails;
    boat->sail_count = (uint8_t)count;
}

static void read_winches(struct load *load, const struct node *list, struct boat *boat)
{
    int count = load_count(load, list, WINCHES_MAX, "winches");
    struct winch *winches = arena_alloc(load->arena, (size_t)count * sizeof *winches);
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < count; i++, item = item->next)
        winches[i] = read_winch(load, item);
    check_item_names(load, list, count, "winch");
    boat->winches = winches;
    boat->winch_count = (uint8_t)count;
}

static struct boat_station read_station(struct load *load, const struct node *node)
{
    static const struct range ahead = {UNIT_M, -60, 60, "-60 m to 60 m"};
    static const struct range across = {UNIT_M, -20, 20, "-20 m to 20 m"};
    static const struct range outward = {UNIT_M, 0, 20, "0 m to 20 m"};
#define AT(member) offsetof(struct boat_station, member)
    static const struct field fields[] = {
        {"forward", FIELD_QUANTITY, OPTIONAL, AT(forward_m), &ahead, NULL},
        {"starboard", FIELD_QUANTITY, OPTIONAL, AT(starboard_m), &across, NULL},
        {"out", FIELD_QUANTITY, OPTIONAL, AT(out_m), &outward, NULL},
    };
#undef AT
    static const struct shape shape = {"a boat's station", fields, 3};
    struct boat_station station = {.where = node->key->where};
    load_name(load, node->key, &station.name);
    if (!load_fields(load, node, &shape, &station))
        return station;
    station.has_forward = node_get(node, "forward") != NULL;
    station.has_starboard = node_get(node, "starboard") != NULL;
    station.has_out = node_get(node, "out") != NULL;
    if (!node->first)
        diag_add(load->diags, MESSAGE_STATION_SAYS_NOTHING, station.where,
                 load_shown(load->arena, node->key->text));
    else if (station.has_starboard && station.has_out)
        diag_add(load->diags, MESSAGE_OUT_AND_STARBOARD,
                 node_get(node, "starboard")->key->where);
    return station;
}

static void read_stations(struct load *load, const struct node *map, struct boat *boat)
{
    int count = load_count(load, map, STATIONS_MAX, "stations");
    struct boat_station *stations =
        arena_alloc(load->arena, (size_t)count * sizeof *stations);
    const struct node *entry = map ? map->first : NULL;
    for (int i = 0; i < count; i++, entry = entry->next)
        stations[i] = read_station(load, entry);
    boat->stations = stations;
    boat->station_count = (uint8_t)count;
}

/* The name of a file, or the polar itself. */
static void read_polar(struct load *load, const struct node *node, struct boat *boat)
{
    if (node && node->kind == NODE_MAP)
        boat->polar = load_read_polar(load, node);
    else if (node)
        load_text(load, node, LOAD_TEXT_MAX, &boat->polar_file);
}

struct raw_boat {
    const char *name;
    double length_m;
    bool pilot;
    const struct node *format, *rig, *pole, *sails, *winches, *stations, *polar;
};

#define AT(member) offsetof(struct raw_boat, member)
static const struct field boat_fields[] = {
    {"format", FIELD_ANY, OPTIONAL, AT(format), NULL, NULL},
    {"boat", FIELD_LABEL, REQUIRED, AT(name), NULL, NULL},
    {"length", FIELD_QUANTITY, REQUIRED, AT(length_m), &length_range, NULL},
    {"rig", FIELD_MAP, OPTIONAL, AT(rig), NULL, NULL},
    {"pole", FIELD_MAP, OPTIONAL, AT(pole), NULL, NULL},
    {"pilot", FIELD_YES, OPTIONAL, AT(pilot), NULL, NULL},
    {"sails", FIELD_LIST, OPTIONAL, AT(sails), NULL, NULL},
    {"winches", FIELD_LIST, OPTIONAL, AT(winches), NULL, NULL},
    {"stations", FIELD_MAP, OPTIONAL, AT(stations), NULL, NULL},
    {"polar", FIELD_ANY, OPTIONAL, AT(polar), NULL, NULL},
};
#undef AT
static const struct shape boat_shape = {"a boat", boat_fields,
                                        sizeof boat_fields / sizeof *boat_fields};

const struct boat *load_boat(const struct source *source, struct arena *arena,
                             struct diags *diags)
{
    struct load load = load_start(source, NULL, arena, diags);
    const struct node *root = load_open(&load, FILE_BOAT);
    struct raw_boat raw = {.name = ""};
    if (!root || !load_fields(&load, root, &boat_shape, &raw))
        return NULL;
    struct boat *boat = arena_alloc(arena, sizeof *boat);
    boat->name = raw.name;
    boat->source = source;
    boat->length_m = raw.length_m;
    boat->pilot = raw.pilot;
    boat->polar_file = "";
    read_dimensions(&load, raw.rig, boat);
    read_pole(&load, raw.pole, boat);
    read_sails(&load, raw.sails, boat);
    read_winches(&load, raw.winches, boat);
    read_stations(&load, raw.stations, boat);
    read_polar(&load, raw.polar, boat);
    return load_failed(&load) ? NULL : boat;
}
