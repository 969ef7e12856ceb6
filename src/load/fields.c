#include "load/fields.h"

#include <string.h>

static const struct field *find_field(const struct shape *shape, const char *key)
{
    for (size_t i = 0; i < shape->count; i++)
        if (strcmp(shape->fields[i].key, key) == 0)
            return &shape->fields[i];
    return NULL;
}

static void report_unknown(struct load *load, const struct node *key,
                           const struct shape *shape)
{
    struct choices choices = {.count = 0};
    for (size_t i = 0; i < shape->count; i++)
        choices_add(&choices, shape->fields[i].key);
    diag_add(load->diags, MESSAGE_UNKNOWN_KEY, key->where, shape->what,
             load_shown(load->arena, key->text),
             choices_advice(&choices, key->text, "it may have", "", load->arena));
}

static void keep_node(struct load *load, const struct node *node, enum node_kind kind,
                      const char *example, const struct node **out)
{
    if (load_is(load, node, kind, example))
        *out = node;
}

static void read_field(struct load *load, const struct node *node,
                       const struct field *field, void *out)
{
    void *member = (char *)out + field->offset;
    switch (field->kind) {
    case FIELD_NAME:
        load_name(load, node, member);
        break;
    case FIELD_LABEL:
        load_text(load, node, LOAD_LABEL_MAX, member);
        break;
    case FIELD_TEXT:
        load_text(load, node, LOAD_TEXT_MAX, member);
        break;
    case FIELD_DATE:
        load_date(load, node, member);
        break;
    case FIELD_YES:
        load_yes(load, node, member);
        break;
    case FIELD_WHOLE:
        load_whole(load, node, field->range, member);
        break;
    case FIELD_QUANTITY:
        load_quantity(load, node, field->range, member);
        break;
    case FIELD_CHOICE:
        load_choice(load, node, field->words, member);
        break;
    case FIELD_SCALAR:
        keep_node(load, node, NODE_TEXT, "a word", member);
        break;
    case FIELD_LIST:
        keep_node(load, node, NODE_LIST, "[a, b] or lines that begin with '- '", member);
        break;
    case FIELD_MAP:
        keep_node(load, node, NODE_MAP, "{name: value}", member);
        break;
    case FIELD_ANY:
        if (node->kind != NODE_BROKEN)
            *(const struct node **)member = node;
        break;
    }
}

bool load_fields(struct load *load, const struct node *node, const struct shape *shape,
                 void *out)
{
    if (!load_is(load, node, NODE_MAP, "{name: value}"))
        return false;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        const struct field *field = find_field(shape, entry->key->text);
        if (field)
            read_field(load, entry, field, out);
        else
            report_unknown(load, entry->key, shape);
    }
    for (size_t i = 0; i < shape->count; i++)
        if (shape->fields[i].required && !node_get(node, shape->fields[i].key))
            diag_add(load->diags, MESSAGE_MISSING, node->where, shape->what,
                     shape->fields[i].key, shape->fields[i].key);
    return true;
}
