#include "load/yaml_tree.h"

#include "load/check_bytes.h"
#include "model/limits.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

/* More than any file within the limits needs; keeps the search for duplicate keys short.
 */
enum { NODES_MAX = 20000 };

/* A list or mapping that is still open. */
struct frame {
    struct node *node, *last;
    struct node *key; /* of a mapping: the key whose value comes next */
};

struct builder {
    yaml_parser_t parser;
    const struct source *source;
    struct arena *arena;
    struct diags *diags;
    struct frame frames[DEPTH_MAX];
    int depth, nodes, documents;
    struct node *root;
};

enum progress { GO_ON, DONE, STOPPED };

static struct span place_of(const struct builder *builder, yaml_mark_t from,
                            yaml_mark_t to)
{
    struct span span = {builder->source, (uint32_t)from.line + 1,
                        (uint32_t)from.column + 1, 1};
    if (from.line == to.line && to.column > from.column)
        span.length = (uint32_t)(to.column - from.column);
    if (span.line > builder->source->line_count)
        span.line = builder->source->line_count;
    return span;
}

static struct node *make_node(struct builder *builder, enum node_kind kind,
                              const yaml_event_t *event)
{
    struct node *node = arena_alloc(builder->arena, sizeof *node);
    node->kind = kind;
    node->text = "";
    node->where = place_of(builder, event->start_mark, event->end_mark);
    if (kind == NODE_LIST || kind == NODE_MAP)
        node->where.length = 1;
    return node;
}

static void add_entry(struct builder *builder, struct frame *frame, struct node *value)
{
    struct node *key = frame->key;
    frame->key = NULL;
    if (key->kind != NODE_TEXT)
        return;
    const struct node *first = node_get(frame->node, key->text);
    if (first) {
        diag_add(builder->diags, MESSAGE_DUPLICATE_KEY, key->where, key->text,
                 first->key->where.line);
        return;
    }
    value->key = key;
    if (frame->last)
        frame->last->next = value;
    else
        frame->node->first = value;
    frame->last = value;
    frame->node->count++;
}

static void take_key(struct builder *builder, struct frame *frame, struct node *key)
{
    if (key->kind == NODE_LIST || key->kind == NODE_MAP) {
        diag_add(builder->diags, MESSAGE_KEY_KIND, key->where);
        key = make_node(builder, NODE_BROKEN, &(yaml_event_t){0});
    } else if (key->kind == NODE_TEXT && !key->quoted && strcmp(key->text, "<<") == 0) {
        diag_add(builder->diags, MESSAGE_MERGE_KEY, key->where);
        key->kind = NODE_BROKEN;
    }
    frame->key = key;
}

static void add_node(struct builder *builder, struct node *node)
{
    if (!builder->depth) {
        builder->root = node;
        return;
    }
    struct frame *frame = &builder->frames[builder->depth - 1];
    if (frame->node->kind == NODE_MAP && !frame->key) {
        take_key(builder, frame, node);
    } else if (frame->node->kind == NODE_MAP) {
        add_entry(builder, frame, node);
    } else {
        if (frame->last)
            frame->last->next = node;
        else
            frame->node->first = node;
        frame->last = node;
        frame->node->count++;
    }
}

static void refuse_extras(struct builder *builder, const struct node *node,
                          const yaml_char_t *anchor, const yaml_char_t *tag)
{
    if (anchor)
        diag_add(builder->diags, MESSAGE_ANCHOR, node->where);
    if (tag)
        diag_add(builder->diags, MESSAGE_TAG, node->where);
}

static void add_scalar(struct builder *builder, const yaml_event_t *event)
{
    struct node *node = make_node(builder, NODE_TEXT, event);
    const char *value = (const char *)event->data.scalar.value;
    size_t length = event->data.scalar.length;
    node->quoted = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
    node->text = arena_copy(builder->arena, value, length);
    refuse_extras(builder, node, event->data.scalar.anchor, event->data.scalar.tag);
    if (memchr(value, 0, length)) {
        diag_add(builder->diags, MESSAGE_NUL, node->where);
        node->kind = NODE_BROKEN;
    }
    add_node(builder, node);
}

static enum progress open_node(struct builder *builder, const yaml_event_t *event)
{
    bool list = event->type == YAML_SEQUENCE_START_EVENT;
    struct node *node = make_node(builder, list ? NODE_LIST : NODE_MAP, event);
    if (list)
        refuse_extras(builder, node, event->data.sequence_start.anchor,
                      event->data.sequence_start.tag);
    else
        refuse_extras(builder, node, event->data.mapping_start.anchor,
                      event->data.mapping_start.tag);
    if (builder->depth == DEPTH_MAX) {
        diag_add(builder->diags, MESSAGE_TOO_DEEP, node->where, DEPTH_MAX);
        return STOPPED;
    }
    add_node(builder, node);
    builder->frames[builder->depth++] = (struct frame){node, NULL, NULL};
    return GO_ON;
}

static void add_alias(struct builder *builder, const yaml_event_t *event)
{
    struct node *node = make_node(builder, NODE_BROKEN, event);
    diag_add(builder->diags, MESSAGE_ALIAS, node->where);
    add_node(builder, node);
}

static enum progress start_document(struct builder *builder, const yaml_event_t *event)
{
    if (++builder->documents == 1)
        return GO_ON;
    diag_add(builder->diags, MESSAGE_SEVERAL_DOCUMENTS,
             place_of(builder, event->start_mark, event->end_mark));
    return DONE;
}

static enum progress take_event(struct builder *builder, const yaml_event_t *event)
{
    if (++builder->nodes > NODES_MAX) {
        diag_add(builder->diags, MESSAGE_TOO_MUCH,
                 place_of(builder, event->start_mark, event->end_mark));
        return STOPPED;
    }
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        return start_document(builder, event);
    case YAML_SCALAR_EVENT:
        add_scalar(builder, event);
        return GO_ON;
    case YAML_ALIAS_EVENT:
        add_alias(builder, event);
        return GO_ON;
    case YAML_SEQUENCE_START_EVENT:
    case YAML_MAPPING_START_EVENT:
        return open_node(builder, event);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        builder->depth--;
        return GO_ON;
    case YAML_STREAM_END_EVENT:
        return DONE;
    default:
        return GO_ON;
    }
}

static void report_syntax(struct builder *builder)
{
    const yaml_parser_t *parser = &builder->parser;
    if (parser->error == YAML_MEMORY_ERROR) {
        fputs("foreguy: out of memory\n", stderr);
        exit(2);
    }
    yaml_mark_t mark = parser->problem_mark;
    if (parser->error == YAML_READER_ERROR)
        mark = parser->mark;
    else if (parser->context && mark.line + 1 >= builder->source->line_count)
        mark = parser->context_mark; /* at the end: rather where it was opened */
    diag_add(builder->diags, MESSAGE_NOT_YAML, place_of(builder, mark, mark),
             parser->problem ? parser->problem : "it cannot be read");
}

static enum progress read_events(struct builder *builder)
{
    enum progress progress = GO_ON;
    while (progress == GO_ON) {
        yaml_event_t event;
        if (!yaml_parser_parse(&builder->parser, &event)) {
            report_syntax(builder);
            return STOPPED;
        }
        progress = take_event(builder, &event);
        yaml_event_delete(&event);
    }
    return progress;
}

const struct node *yaml_tree_read(const struct source *source, struct arena *arena,
                                  struct diags *diags)
{
    if (!load_check_bytes(source, diags))
        return NULL;
    struct builder *builder = arena_alloc(arena, sizeof *builder);
    builder->source = source;
    builder->arena = arena;
    builder->diags = diags;
    if (!yaml_parser_initialize(&builder->parser)) {
        fputs("foreguy: out of memory\n", stderr);
        exit(2);
    }
    size_t mark = strncmp(source->at, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    yaml_parser_set_input_string(&builder->parser,
                                 (const unsigned char *)source->at + mark,
                                 source->length - mark);
    enum progress progress = read_events(builder);
    yaml_parser_delete(&builder->parser);
    if (progress == STOPPED)
        return NULL;
    if (!builder->root)
        diag_add(diags, MESSAGE_EMPTY, (struct span){source, 0, 0, 0});
    return builder->root;
}

const struct node *node_get(const struct node *map, const char *key)
{
    if (map->kind != NODE_MAP)
        return NULL;
    for (const struct node *entry = map->first; entry; entry = entry->next)
        if (strcmp(entry->key->text, key) == 0)
            return entry;
    return NULL;
}

const struct node *node_first_item(const struct node *node)
{
    return node->kind == NODE_LIST ? node->first : node;
}

const struct node *node_next_item(const struct node *node, const struct node *item)
{
    return node->kind == NODE_LIST ? item->next : NULL;
}
