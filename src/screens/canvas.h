/* The grid of cells that every screen draws into; the terminal shows it, tests and
 * `--keys` print it.  Pure and of fixed size: nothing here allocates but the writers
 * at the end.  A cell has a character and a style, and a style is a meaning, never a
 * colour.  Everything is clipped: any position, size and text is allowed, a grid of one
 * cell too.  Rows and columns count from 0 at the top left. */
#ifndef SCREENS_CANVAS_H
#define SCREENS_CANVAS_H

#include <stdbool.h>
#include <stdint.h>

struct text;

/* A bigger terminal shows the canvas in its top left corner. */
enum { CANVAS_ROWS_MAX = 120, CANVAS_COLUMNS_MAX = 300 };

enum style {
    STYLE_PLAIN,
    STYLE_STRONG,
    STYLE_FAINT, /* less important, still readable everywhere */
    STYLE_TITLE, /* the title bar */
    STYLE_CALL,  /* said aloud now */
    STYLE_NOW,
    STYLE_DONE,
    STYLE_NEXT,
    STYLE_HOLDING, /* a tended line, a hand that waits */
    STYLE_OVERDUE,
    STYLE_CAUTION, /* signal words: CAUTION, DANGER, WARNING, NOTICE */
    STYLE_DANGER,
    STYLE_WARNING,
    STYLE_NOTICE,
    STYLE_PORT,
    STYLE_STARBOARD,
    STYLE_SELECTED,
    STYLE_KEY, /* the name of a key in a hint */
    STYLE_COUNT
};

/* What a bar says; each kind has its own shape in both character sets. */
enum bar { BAR_NOW, BAR_DONE, BAR_LATER, BAR_CRITICAL, BAR_HOLDING };

struct cell {
    uint32_t glyph; /* 0 in the second cell of a wide character */
    uint32_t mark;  /* one combining character, 0 for none */
    uint8_t style;  /* enum style */
};

struct area {
    int row, column, rows, columns;
};

struct canvas {
    int rows, columns;
    bool ascii;                    /* draw with ASCII alone, at the same columns */
    bool cursor_shown;             /* while text is typed */
    int cursor_row, cursor_column; /* parked here even when not shown */
    struct cell cells[CANVAS_ROWS_MAX * CANVAS_COLUMNS_MAX];
};

/* Makes the canvas ROWS by COLUMNS (kept within 1 and the greatest) and blank; keeps
 * `ascii`. */
void canvas_clear(struct canvas *canvas, int rows, int columns);

/* The whole canvas. */
struct area canvas_area(const struct canvas *canvas);

/* The cell at a place inside the canvas. */
const struct cell *canvas_cell(const struct canvas *canvas, int row, int column);

/* Where the terminal's cursor rests (screen readers follow it); SHOWN while typing. */
void canvas_park_cursor(struct canvas *canvas, int row, int column, bool shown);

/* Writes TEXT on one line; returns the column behind it, inside the canvas or not. */
int canvas_put(struct canvas *canvas, int row, int column, enum style style,
               const char *text);

/* The same with printf's words; at most 1023 bytes. */
int canvas_printf(struct canvas *canvas, int row, int column, enum style style,
                  const char *format, ...) __attribute__((format(printf, 5, 6)));

/* Writes TEXT into COLUMNS columns, cut with an ellipsis if it is longer; returns the
 * columns used. */
int canvas_put_cut(struct canvas *canvas, int row, int column, int columns,
                   enum style style, const char *text);

/* As canvas_put_cut, against the right end of the columns or in their middle. */
int canvas_put_right(struct canvas *canvas, int row, int column, int columns,
                     enum style style, const char *text);
int canvas_put_middle(struct canvas *canvas, int row, int column, int columns,
                      enum style style, const char *text);

/* Writes TEXT wrapped at words into AREA; a text that is too long ends in an ellipsis.
 * Returns the rows used. */
int canvas_wrap(struct canvas *canvas, struct area area, enum style style,
                const char *text);

/* Rows that TEXT takes when wrapped into COLUMNS. */
int canvas_count_rows(const char *text, int columns);

/* Sets every cell of AREA to one character of one column. */
void canvas_fill(struct canvas *canvas, struct area area, enum style style,
                 uint32_t glyph);

/* Gives the cells of AREA another style and leaves their characters. */
void canvas_restyle(struct canvas *canvas, struct area area, enum style style);

/* A line across COLUMNS columns, or down ROWS rows. */
void canvas_rule(struct canvas *canvas, int row, int column, int columns,
                 enum style style);
void canvas_upright(struct canvas *canvas, int row, int column, int rows,
                    enum style style);

/* A frame along the edge of AREA, with TITLE (NULL for none) in its upper line;
 * returns the area inside. */
struct area canvas_box(struct canvas *canvas, struct area area, enum style style,
                       const char *title);

/* A bar on one row from FROM_HALF to END_HALF, counted in half columns from the
 * canvas's left edge; nothing when the one is not before the other. */
void canvas_bar(struct canvas *canvas, int row, int from_half, int end_half, enum bar bar,
                enum style style);

/* Appends the rows, blanks at their ends and empty rows at the end left out. */
void canvas_write_text(const struct canvas *canvas, struct text *out);

/* The same with the styles: each row behind '|', and where it has a style other than
 * plain a line behind ':' with the letter of each cell's style below it. */
void canvas_write_styled(const struct canvas *canvas, struct text *out);

/* The letter canvas_write_styled uses; ' ' for plain. */
char canvas_style_letter(enum style style);

#endif
