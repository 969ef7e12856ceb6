#include "base/source.h"

#include "base/text.h"
#include "base/utf8.h"

#include <assert.h>
#include <string.h>

enum { SHOW_MAX = 100 }; /* characters of a line that are shown */

const struct source *source_new(struct arena *arena, const char *name, const char *text,
                                size_t length)
{
    struct source *source = arena_alloc(arena, sizeof *source);
    source->name = arena_copy(arena, name, strlen(name));
    source->at = arena_copy(arena, text, length);
    source->length = length;
    uint32_t count = 1;
    for (size_t i = 0; i < length; i++)
        count += text[i] == '\n';
    size_t *starts = arena_alloc(arena, count * sizeof *starts);
    uint32_t line = 1;
    for (size_t i = 0; i < length; i++)
        if (text[i] == '\n')
            starts[line++] = i + 1;
    source->line_starts = starts;
    source->line_count = count;
    return source;
}

const char *source_line(const struct source *source, uint32_t line, size_t *length)
{
    assert(line >= 1 && line <= source->line_count);
    size_t start = source->line_starts[line - 1];
    size_t end =
        line < source->line_count ? source->line_starts[line] - 1 : source->length;
    if (end > start && source->at[end - 1] == '\r')
        end--;
    *length = end - start;
    return source->at + start;
}

static bool starts_character(char c)
{
    return ((unsigned char)c & 0xC0) != 0x80;
}

/* The byte offset of character number N (from 0), at most LENGTH. */
static size_t character_offset(const char *line, size_t length, size_t n)
{
    size_t seen = 0;
    for (size_t i = 0; i < length; i++)
        if (starts_character(line[i]) && seen++ == n)
            return i;
    return length;
}

/* Appends LENGTH bytes of a line with a blank for a tab and a question mark for whatever
 * a terminal could take for something else than text. */
static void add_shown(struct text *out, const char *at, size_t length)
{
    while (length) {
        uint32_t code = 0;
        size_t bytes = utf8_decode(at, length, &code);
        bool text = bytes && !utf8_is_control(code);
        bytes = bytes ? bytes : 1;
        if (text)
            text_add_bytes(out, at, bytes);
        else
            text_add(out, *at == '\t' ? " " : "?");
        at += bytes;
        length -= bytes;
    }
}

void source_show(const struct span *span, struct text *out)
{
    if (!span->source || span->line < 1 || span->line > span->source->line_count)
        return;
    size_t length;
    const char *line = source_line(span->source, span->line, &length);
    size_t column = span->column ? span->column - 1 : 0;
    size_t first = column > SHOW_MAX / 2 ? column - SHOW_MAX / 2 : 0;
    size_t from = character_offset(line, length, first);
    size_t to = character_offset(line, length, first + SHOW_MAX);
    text_add(out, "    ");
    add_shown(out, line + from, to - from);
    text_add(out, "\n    ");
    for (size_t i = first; i < column; i++)
        text_add(out, " ");
    text_add(out, "^");
    for (size_t i = 1; i < span->length && column + i < first + SHOW_MAX; i++)
        text_add(out, "~");
    text_add(out, "\n");
}
