#include "base/diag.h"

#include "base/text.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DIAG_TEXT_MAX = 600 };

struct diags {
    struct arena *arena;
    struct diag *list;
    size_t count, room, errors, reports;
    bool sorted;
};

struct message_entry {
    const char *name;
    enum level level;
    const char *text;
};

static const struct message_entry messages[] = {
#define MESSAGE(id, level, text) {#id, level, text},
#include "base/messages.h"
#undef MESSAGE
};

static const char *const level_words[] = {"note", "warning", "error"};

struct diags *diags_new(struct arena *arena)
{
    struct diags *diags = arena_alloc(arena, sizeof *diags);
    diags->arena = arena;
    return diags;
}

static void grow(struct diags *diags)
{
    size_t room = diags->room ? diags->room * 2 : 16;
    struct diag *list = arena_alloc(diags->arena, room * sizeof *list);
    if (diags->count)
        memcpy(list, diags->list, diags->count * sizeof *list);
    diags->list = list;
    diags->room = room;
}

static bool known(const struct diags *diags, const struct diag *new)
{
    for (size_t i = 0; i < diags->count; i++) {
        const struct diag *old = &diags->list[i];
        if (old->message == new->message && old->where.source == new->where.source &&
            old->where.line == new->where.line &&
            old->where.column == new->where.column &&strcmp(old->text, new->text) == 0)
            return true;
    }
    return false;
}

void diag_add(struct diags *diags, enum message message, struct span where, ...)
{
    assert(message < MESSAGE_COUNT);
    char text[DIAG_TEXT_MAX];
    va_list arguments;
    va_start(arguments, where);
    vsnprintf(text, sizeof text, messages[message].text, arguments);
    va_end(arguments);
    struct diag diag = {message, where, text};
    diags->reports += messages[message].level == LEVEL_ERROR;
    if (known(diags, &diag))
        return;
    if (diags->count == diags->room)
        grow(diags);
    diag.text = arena_copy(diags->arena, text, strlen(text));
    diags->list[diags->count++] = diag;
    diags->errors += messages[message].level == LEVEL_ERROR;
    diags->sorted = false;
}

size_t diags_count(const struct diags *diags)
{
    return diags->count;
}

size_t diags_errors(const struct diags *diags)
{
    return diags->errors;
}

size_t diags_reports(const struct diags *diags)
{
    return diags->reports;
}

static int compare(const void *a, const void *b)
{
    const struct diag *first = a, *second = b;
    const char *name_a = first->where.source ? first->where.source->name : "";
    const char *name_b = second->where.source ? second->where.source->name : "";
    int order = strcmp(name_a, name_b);
    if (order)
        return order;
    if (first->where.line != second->where.line)
        return first->where.line < second->where.line ? -1 : 1;
    if (first->where.column != second->where.column)
        return first->where.column < second->where.column ? -1 : 1;
    return strcmp(first->text, second->text);
}

const struct diag *diags_at(struct diags *diags, size_t i)
{
    assert(i < diags->count);
    if (!diags->sorted && diags->count > 1)
        qsort(diags->list, diags->count, sizeof *diags->list, compare);
    diags->sorted = true;
    return &diags->list[i];
}

void diags_write(struct diags *diags, struct text *out)
{
    for (size_t i = 0; i < diags->count; i++) {
        const struct diag *diag = diags_at(diags, i);
        text_add(out, diag->where.source ? diag->where.source->name : "foreguy");
        if (diag->where.line)
            text_printf(out, ":%u:%u", diag->where.line, diag->where.column);
        text_printf(out, ": %s: %s\n", level_words[messages[diag->message].level],
                    diag->text);
        source_show(&diag->where, out);
    }
}

enum level message_level(enum message message)
{
    return messages[message].level;
}

const char *message_name(enum message message)
{
    return messages[message].name;
}
