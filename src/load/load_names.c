/* Words of a file to the numbers of the rig plan. */
#include "load/internal.h"

#include "load/scalars.h"

#include <string.h>

/* The name of a pair behind its stored name: port-guy, guy. */
static const char *pair_name(const char *stored)
{
    return strchr(stored, '-') + 1;
}

static bool is(const char *name, const char *other)
{
    return *other && strcmp(name, other) == 0;
}

/* A named thing of the rig as the look-up sees it. */
struct entry {
    const char *name, *alias;
};

static struct entry part_entry(const struct load *load, int i)
{
    return (struct entry){load->plan->parts[i].name, load->plan->parts[i].alias};
}

static struct entry station_entry(const struct load *load, int i)
{
    return (struct entry){load->plan->stations[i].name, load->plan->stations[i].alias};
}

static struct entry role_entry(const struct load *load, int i)
{
    return (struct entry){load->plan->roles[i].name, ""};
}

static struct entry gear_entry(const struct load *load, int i)
{
    return (struct entry){load->plan->gear[i].name, ""};
}

static struct entry step_entry(const struct load *load, int i)
{
    return (struct entry){load->steps->at[i], ""};
}

/* One kind of thing with a name. */
struct kind {
    const char *what, *none;
    struct entry (*entry)(const struct load *load, int i);
};

static const struct kind parts = {"no part of the rig", "the rig has no parts",
                                  part_entry};
static const struct kind stations = {"no station", "the rig has no stations",
                                     station_entry};
static const struct kind roles = {"no role of the rig", "the rig has no roles",
                                  role_entry};
static const struct kind gear = {"no gear of the rig", "the rig file names no gear",
                                 gear_entry};
static const struct kind steps = {"no step", "the procedure has no steps", step_entry};

static int find(const struct load *load, const struct kind *kind, int count,
                const char *name)
{
    for (int i = 0; i < count; i++) {
        struct entry entry = kind->entry(load, i);
        if (is(name, entry.name) || is(name, entry.alias))
            return i;
    }
    return -1;
}

/* The first of the pair NAME; -1 where it is no pair. */
static int find_pair(const struct load *load, const struct kind *kind, int count,
                     const char *name)
{
    for (int i = 0; i < count; i++) {
        struct entry entry = kind->entry(load, i);
        if (*entry.alias && is(name, pair_name(entry.name)))
            return i;
    }
    return -1;
}

static void report_name(struct load *load, const struct kind *kind, int count,
                        const struct node *name)
{
    struct choices choices = {.count = 0};
    for (int i = 0; i < count; i++) {
        struct entry entry = kind->entry(load, i);
        choices_add(&choices, *entry.alias ? entry.alias : entry.name);
    }
    choices.listed = choices.count;
    for (int i = 0; i < count; i++) {
        struct entry entry = kind->entry(load, i);
        choices_add(&choices, *entry.alias ? entry.name : "");
    }
    diag_add(
        load->diags, MESSAGE_UNKNOWN_NAME, name->where,
        load_shown(load->arena, name->text), kind->what,
        choices_advice(&choices, name->text, "choose from", kind->none, load->arena));
}

static int look_up(struct load *load, const struct kind *kind, int count,
                   const struct node *name)
{
    if (!load_is(load, name, NODE_TEXT, "one name"))
        return -1;
    int found = find(load, kind, count, name->text);
    if (found >= 0)
        return found;
    int pair = find_pair(load, kind, count, name->text);
    if (pair < 0)
        report_name(load, kind, count, name);
    else
        diag_add(load->diags, MESSAGE_WHICH_SIDE, name->where, name->text,
                 kind->entry(load, pair).alias, kind->entry(load, pair + 1).alias);
    return -1;
}

int load_find_part(struct load *load, const struct node *name)
{
    return load->plan ? look_up(load, &parts, load->plan->part_count, name) : -1;
}

int load_find_station(struct load *load, const struct node *name)
{
    return load->plan ? look_up(load, &stations, load->plan->station_count, name) : -1;
}

int load_find_role(struct load *load, const struct node *name)
{
    return load->plan ? look_up(load, &roles, load->plan->role_count, name) : -1;
}

int load_find_gear(struct load *load, const struct node *name)
{
    return load->plan ? look_up(load, &gear, load->plan->gear_count, name) : -1;
}

int load_find_step(struct load *load, const struct node *name)
{
    if (load->steps)
        return look_up(load, &steps, load->steps->count, name);
    diag_add(load->diags, MESSAGE_STEP_IN_RIG, name->where);
    return -1;
}

int load_find_line(struct load *load, const struct node *name)
{
    int part = load_find_part(load, name);
    if (part < 0)
        return -1;
    load_note_read(load, part, name->where);
    if (load->plan->parts[part].tended_at >= 0)
        return part;
    struct choices lines = {.count = 0};
    for (int i = 0; i < load->plan->part_count; i++) {
        const struct part *line = &load->plan->parts[i];
        if (line->tended_at >= 0)
            choices_add(&lines, *line->alias ? line->alias : line->name);
    }
    diag_add(load->diags, MESSAGE_NOT_A_LINE, name->where, name->text,
             choices_advice(&lines, "", "choose from", "give a line its 'tended-at'",
                            load->arena));
    return -1;
}

part_set load_find_parts(struct load *load, const struct node *name)
{
    if (!load->plan)
        return 0;
    int pair = find_pair(load, &parts, load->plan->part_count, name->text);
    if (pair >= 0 && find(load, &parts, load->plan->part_count, name->text) < 0)
        return (part_set)3 << pair;
    int part = load_find_part(load, name);
    return part < 0 ? 0 : (part_set)1 << part;
}

uint32_t load_find_stations(struct load *load, const struct node *name, enum side side)
{
    int count = load->plan->station_count;
    int pair = find_pair(load, &stations, count, name->text);
    if (pair >= 0 && find(load, &stations, count, name->text) < 0)
        return side == SIDE_NONE ? 3u << pair : 1u << (pair + (side == SIDE_STARBOARD));
    int station = load_find_station(load, name);
    return station < 0 ? 0 : 1u << station;
}

int load_find_value(struct load *load, int part, const struct node *name)
{
    if (part < 0 || !load_is(load, name, NODE_TEXT, "one value"))
        return -1;
    const struct part *of = &load->plan->parts[part];
    struct choices choices = {.count = 0};
    for (int i = 0; i < of->value_count; i++) {
        const struct part_value *value = &of->values[i];
        if (is(name->text, value->name) || is(name->text, value->alias))
            return i;
        choices_add(&choices, *value->alias ? value->alias : value->name);
    }
    diag_add(load->diags, MESSAGE_UNKNOWN_VALUE, name->where,
             *of->alias ? of->alias : of->name, load_shown(load->arena, name->text),
             choices_advice(&choices, name->text, "it can be", "", load->arena));
    return -1;
}

void load_note_read(struct load *load, int part, struct span where)
{
    part_set bit = (part_set)1 << part;
    if (!load->needs_begin || (load->begin_parts | load->begin_missed) & bit)
        return;
    load->begin_missed |= bit;
    const struct part *missed = &load->plan->parts[part];
    const char *name = *missed->alias ? missed->alias : missed->name;
    diag_add(load->diags, MESSAGE_NOT_IN_BEGIN, where, name, name);
}

void load_check_names(struct load *load, const struct node *const *at, int count)
{
    for (int i = 1; i < count; i++)
        for (int j = 0; j < i; j++)
            if (at[i] && at[j] && strcmp(at[i]->text, at[j]->text) == 0) {
                diag_add(load->diags, MESSAGE_DUPLICATE_NAME, at[i]->where, at[i]->text,
                         at[j]->where.line);
                break;
            }
}

int load_count(struct load *load, const struct node *list, int most, const char *what)
{
    if (!list)
        return 0;
    int count = 0;
    for (const struct node *item = list->first; item; item = item->next)
        if (++count > most) {
            struct span where = item->key ? item->key->where : item->where;
            diag_add(load->diags, MESSAGE_TOO_MANY, where, what, most);
            return most;
        }
    return count;
}
