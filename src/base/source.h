/* The text of one file and where its lines are, so that a message can show the line.
 * Lines and columns count from 1, columns in characters.  A source borrows nothing:
 * name, text and line table live in the arena it was made in. */
#ifndef BASE_SOURCE_H
#define BASE_SOURCE_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct text;

struct source {
    const char *name;          /* as the user wrote it */
    const char *at;            /* NUL-terminated copy */
    size_t length;             /* bytes */
    const size_t *line_starts; /* byte offset of each line */
    uint32_t line_count;
};

/* A place in a source; line 0 means the file as a whole. */
struct span {
    const struct source *source;
    uint32_t line, column, length;
};

/* Copies NAME and TEXT into the arena and finds the lines. */
const struct source *source_new(struct arena *arena, const char *name, const char *text,
                                size_t length);

/* Writes the line of SPAN and below it a caret and tildes under the place; long lines
 * are cut around the place.  Nothing for line 0. */
void source_show(const struct span *span, struct text *out);

/* The start of line LINE (from 1) and its length in bytes without the line end. */
const char *source_line(const struct source *source, uint32_t line, size_t *length);

#endif
