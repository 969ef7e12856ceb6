/* Characters and the columns they take: UTF-8 read safely, widths from our own table
 * (never the C library's, which differs from one system to the next), plain ASCII
 * stand-ins, and lines broken at words.  Pure; borrows all text. */
#ifndef SCREENS_GLYPHS_H
#define SCREENS_GLYPHS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Reads one character and moves *TEXT behind it; at the end of the text returns 0 and
 * does not move.  A byte that is not part of valid UTF-8 is read as '?'. */
uint32_t glyph_read(const char **text);

/* What may be shown of a code point: control characters become '?', characters that
 * steer the direction or joining of text become 0 (nothing). */
uint32_t glyph_clean(uint32_t glyph);

/* Columns a clean glyph takes: 0 (combining), 1 or 2. */
int glyph_width(uint32_t glyph);

/* The ASCII character that stands in for GLYPH: letters without their accents, lines
 * and blocks as `-|+#="`, '?' for all else. */
char glyph_to_ascii(uint32_t glyph);

/* Writes GLYPH as UTF-8 without a NUL; returns the number of bytes, 1 to 4. */
int glyph_write(uint32_t glyph, char out[4]);

/* Columns that TEXT takes on one line. */
int glyph_text_width(const char *text);

/* Finds the first line of TEXT when wrapped at words into COLUMNS (1 or more): *LENGTH
 * is its bytes without the blanks at its end.  A newline ends a line; a word longer
 * than the line is broken.  Returns where the next line begins, NULL behind the last. */
const char *glyph_break_line(const char *text, int columns, size_t *length);

#endif
