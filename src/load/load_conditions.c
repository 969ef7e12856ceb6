/* Conditions, effects and tended lines out of mappings of parts. */
#include "load/fields.h"

#include <string.h>

/* The part an entry is about, and that it is read; -1 where it is no part or stands in
 * SEEN already under its other name. */
static int entry_part(struct load *load, const struct node *entry, part_set *seen)
{
    int part = load_find_part(load, entry->key);
    if (part < 0)
        return -1;
    load_note_read(load, part, entry->key->where);
    if (*seen & (part_set)1 << part) {
        diag_add(load->diags, MESSAGE_SAME_PART, entry->key->where, entry->key->text);
        return -1;
    }
    *seen |= (part_set)1 << part;
    return part;
}

value_set load_read_values(struct load *load, int part, const struct node *node)
{
    value_set values = 0;
    for (const struct node *item = node_first_item(node); item;
         item = node_next_item(node, item)) {
        int value = load_find_value(load, part, item);
        if (value >= 0)
            values |= (value_set)1 << value;
    }
    if (node->kind == NODE_LIST && !node->count)
        diag_add(load->diags, MESSAGE_NO_VALUES, node->where);
    return values;
}

struct conditions load_read_conditions(struct load *load, const struct node *node)
{
    struct conditions out = {NULL, 0};
    if (!node || !load_is(load, node, NODE_MAP, "{part: value}"))
        return out;
    struct condition *at = arena_alloc(load->arena, node->count * sizeof *at);
    part_set seen = 0;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        int part = entry_part(load, entry, &seen);
        value_set values = load_read_values(load, part, entry);
        if (part >= 0 && values)
            at[out.count++] =
                (struct condition){(uint8_t)part, values, entry->key->where};
    }
    out.at = at;
    return out;
}

struct effects load_read_effects(struct load *load, const struct node *node)
{
    struct effects out = {NULL, 0};
    if (!node || !load_is(load, node, NODE_MAP, "{part: value}"))
        return out;
    struct effect *at = arena_alloc(load->arena, node->count * sizeof *at);
    part_set seen = 0;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        int part = entry_part(load, entry, &seen);
        int value = load_find_value(load, part, entry);
        if (part >= 0 && value >= 0)
            at[out.count++] =
                (struct effect){(uint8_t)part, (uint8_t)value, entry->key->where};
    }
    out.at = at;
    return out;
}

struct raw_tending {
    const struct node *line, *none_when;
};

struct tending load_read_tending(struct load *load, const struct node *node, int line)
{
    struct tending tending = {(uint8_t)line, {NULL, 0}};
    tending.none_when = load_read_conditions(load, node);
    return tending;
}

static bool read_tending_item(struct load *load, const struct node *item,
                              struct tending *out)
{
    static const struct field fields[] = {
        {"line", FIELD_SCALAR, REQUIRED, offsetof(struct raw_tending, line), NULL, NULL},
        {"none-when", FIELD_MAP, OPTIONAL, offsetof(struct raw_tending, none_when), NULL,
         NULL},
    };
    static const struct shape shape = {"a tended line", fields, 2};
    struct raw_tending raw = {item, NULL};
    if (item->kind != NODE_TEXT) {
        raw.line = NULL;
        load_fields(load, item, &shape, &raw);
    }
    int line = raw.line ? load_find_line(load, raw.line) : -1;
    if (line < 0)
        return false;
    *out = load_read_tending(load, raw.none_when, line);
    return true;
}

struct tendings load_read_tendings(struct load *load, const struct node *node)
{
    struct tendings out = {NULL, 0};
    if (!node)
        return out;
    struct tending *at = arena_alloc(load->arena, PARTS_MAX * sizeof *at);
    part_set seen = 0;
    for (const struct node *item = node_first_item(node); item;
         item = node_next_item(node, item)) {
        struct tending tending;
        if (!read_tending_item(load, item, &tending))
            continue;
        if (seen & (part_set)1 << tending.line)
            diag_add(load->diags, MESSAGE_LINE_TWICE, item->where);
        else
            at[out.count++] = tending;
        seen |= (part_set)1 << tending.line;
    }
    out.at = at;
    return out;
}

part_set load_read_lines(struct load *load, const struct node *node)
{
    part_set lines = 0;
    if (!node)
        return 0;
    for (const struct node *item = node_first_item(node); item;
         item = node_next_item(node, item)) {
        int line = load_find_line(load, item);
        if (line >= 0 && lines & (part_set)1 << line)
            diag_add(load->diags, MESSAGE_LINE_TWICE, item->where);
        else if (line >= 0)
            lines |= (part_set)1 << line;
    }
    return lines;
}
