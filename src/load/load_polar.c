/* A polar: a table of speeds, in a file of its own (values between commas) or within the
 * boat file.  Both are made into the same rows of nodes, so both are read alike. */
#include "load/load.h"

#include "load/check_bytes.h"
#include "load/fields.h"

#include <math.h>
#include <string.h>

#define KNOT_M_S (1852.0 / 3600.0)

static const struct range wind_range = {UNIT_KN, 0.5, 80, "0.5 kn to 80 kn"};
static const struct range angle_range = {UNIT_DEG, 0, 180, "0 deg to 180 deg"};
static const struct range bare_angle_range = {UNIT_NONE, 0, 180, "0 to 180"};
static const struct range speed_range = {UNIT_KN, 0, 60, "0 kn to 60 kn"};
static const struct range bare_speed_range = {UNIT_NONE, 0, 60, "0 to 60"};

/* One line: what stands before the speeds, and the speeds. */
struct row {
    const struct node *first, *cells[POLAR_WINDS_MAX];
    int count;
};

/* The units of angles and speeds: written beside each, or in the first line for all. */
struct units {
    const struct range *angle, *speed;
};

static void report_order(struct load *load, const struct node *node)
{
    diag_add(load->diags, MESSAGE_POLAR_ORDER, node->where,
             load_shown(load->arena, node->text));
}

static void read_winds(struct load *load, const struct row *row, struct polar *polar)
{
    for (int w = 0; w < row->count; w++) {
        double knots = 0;
        if (!load_quantity(load, row->cells[w], &wind_range, &knots))
            continue;
        polar->wind_m_s[w] = knots * KNOT_M_S;
        if (w && polar->wind_m_s[w] <= polar->wind_m_s[w - 1])
            report_order(load, row->cells[w]);
    }
    polar->wind_count = (uint8_t)row->count;
}

static bool is_not_known(const struct node *cell)
{
    return cell->kind == NODE_TEXT && (!*cell->text || strcmp(cell->text, "none") == 0);
}

static void read_row(struct load *load, const struct row *row, const struct units *units,
                     struct polar *polar)
{
    int a = polar->angle_count;
    double angle = 0;
    if (!load_quantity(load, row->first, units->angle, &angle))
        return;
    if (row->count != polar->wind_count) {
        diag_add(load->diags, MESSAGE_POLAR_CELLS, row->first->where, row->count,
                 (int)polar->wind_count);
        return;
    }
    if (a && angle <= polar->angle_deg[a - 1]) {
        report_order(load, row->first);
        return;
    }
    polar->angle_deg[a] = angle;
    for (int w = 0; w < row->count; w++) {
        double knots = 0;
        bool is_open = is_not_known(row->cells[w]);
        bool has = !is_open && load_quantity(load, row->cells[w], units->speed, &knots);
        polar->speed_m_s[w][a] = has ? knots * KNOT_M_S : NAN;
    }
    polar->angle_count++;
}

/* The values of line LINE in ROW, which stand between commas; false where it has none. */
static bool split_line(struct load *load, uint32_t line, struct row *row)
{
    size_t length;
    const char *text = source_line(load->source, line, &length);
    size_t at = 0;
    *row = (struct row){.count = -1};
    if (strspn(text, " ") >= length || *text == '#')
        return false;
    while (at <= length && row->count < POLAR_WINDS_MAX) {
        size_t from = at;
        while (at < length && text[at] != ',')
            at++;
        size_t end = at++;
        while (from < end && text[from] == ' ')
            from++;
        while (end > from && (text[end - 1] == ' ' || text[end - 1] == '\r'))
            end--;
        struct node *node = arena_alloc(load->arena, sizeof *node);
        node->text = arena_copy(load->arena, text + from, end - from);
        node->where = (struct span){load->source, line, (uint32_t)from + 1,
                                    (uint32_t)(end > from ? end - from : 1)};
        if (row->count < 0)
            row->first = node;
        else
            row->cells[row->count] = node;
        row->count++;
    }
    if (at <= length)
        diag_add(load->diags, MESSAGE_TOO_MANY, row->first->where, "winds of a polar",
                 POLAR_WINDS_MAX);
    return true;
}

/* True where one more line fits; says so once where not. */
static bool has_room(struct load *load, const struct polar *polar, struct span where)
{
    if (polar->angle_count < POLAR_ANGLES_MAX)
        return true;
    diag_add(load->diags, MESSAGE_TOO_MANY, where, "angles of a polar", POLAR_ANGLES_MAX);
    return false;
}

static const struct polar *finished(struct load *load, const struct polar *polar,
                                    struct span where)
{
    if (!load_failed(load) && !polar->angle_count)
        diag_add(load->diags, MESSAGE_POLAR_EMPTY, where);
    return load_failed(load) ? NULL : polar;
}

const struct polar *load_polar(const struct source *source, struct arena *arena,
                               struct diags *diags)
{
    static const struct units units = {&bare_angle_range, &bare_speed_range};
    struct load load = load_start(source, NULL, arena, diags);
    struct polar *polar = arena_alloc(arena, sizeof *polar);
    struct row row;
    bool has_head = false;
    polar->source = source;
    if (!load_check_bytes(source, diags))
        return NULL;
    for (uint32_t line = 1; line <= source->line_count; line++) {
        if (!split_line(&load, line, &row))
            continue;
        if (!has_head) {
            has_head = strcmp(row.first->text, "deg") == 0 && row.count > 0;
            if (!has_head) {
                diag_add(diags, MESSAGE_POLAR_HEAD, row.first->where);
                return NULL;
            }
            read_winds(&load, &row, polar);
        } else if (!has_room(&load, polar, row.first->where)) {
            break;
        } else {
            read_row(&load, &row, &units, polar);
        }
    }
    return finished(&load, polar, (struct span){.source = source});
}

/* The items of LIST as the speeds of ROW. */
static void take_items(struct load *load, const struct node *list, struct row *row)
{
    row->count = load_count(load, list, POLAR_WINDS_MAX, "winds of a polar");
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < row->count; i++, item = item->next)
        row->cells[i] = item;
}

struct raw_row {
    const struct node *angle, *speed;
};

static void read_item(struct load *load, const struct node *node, struct polar *polar)
{
    static const struct units units = {&angle_range, &speed_range};
    static const struct field fields[] = {
        {"angle", FIELD_SCALAR, REQUIRED, offsetof(struct raw_row, angle), NULL, NULL},
        {"speed", FIELD_LIST, REQUIRED, offsetof(struct raw_row, speed), NULL, NULL},
    };
    static const struct shape shape = {"a line of a polar", fields, 2};
    struct raw_row raw = {NULL, NULL};
    if (!load_fields(load, node, &shape, &raw) || !raw.angle || !raw.speed)
        return;
    struct row row = {.first = raw.angle};
    take_items(load, raw.speed, &row);
    read_row(load, &row, &units, polar);
}

struct raw_polar {
    const struct node *winds, *speeds;
};

const struct polar *load_read_polar(struct load *load, const struct node *map)
{
    static const struct field fields[] = {
        {"true-wind", FIELD_LIST, REQUIRED, offsetof(struct raw_polar, winds), NULL,
         NULL},
        {"speeds", FIELD_LIST, REQUIRED, offsetof(struct raw_polar, speeds), NULL, NULL},
    };
    static const struct shape shape = {"a polar", fields, 2};
    struct raw_polar raw = {NULL, NULL};
    struct row head = {0};
    struct polar *polar = arena_alloc(load->arena, sizeof *polar);
    polar->source = load->source;
    if (!load_fields(load, map, &shape, &raw) || !raw.winds || !raw.speeds)
        return NULL;
    take_items(load, raw.winds, &head);
    read_winds(load, &head, polar);
    for (const struct node *item = raw.speeds->first; item; item = item->next) {
        if (!has_room(load, polar, item->where))
            break;
        read_item(load, item, polar);
    }
    return finished(load, polar, map->where);
}
