#include "screens/canvas.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "screens/glyphs.h"

enum {
    GLYPH_ELLIPSIS = 0x2026,
    GLYPH_LEFT_HALF = 0x258c,
    GLYPH_RIGHT_HALF = 0x2590,
};

static int clamp(int value, int least, int greatest)
{
    return value < least ? least : value > greatest ? greatest : value;
}

static struct cell *cell_at(struct canvas *canvas, int row, int column)
{
    return &canvas->cells[row * CANVAS_COLUMNS_MAX + column];
}

const struct cell *canvas_cell(const struct canvas *canvas, int row, int column)
{
    assert(row >= 0 && row < canvas->rows && column >= 0 && column < canvas->columns);
    return &canvas->cells[row * CANVAS_COLUMNS_MAX + column];
}

static bool is_inside(const struct canvas *canvas, int row, int column)
{
    return row >= 0 && row < canvas->rows && column >= 0 && column < canvas->columns;
}

void canvas_clear(struct canvas *canvas, int rows, int columns)
{
    canvas->rows = clamp(rows, 1, CANVAS_ROWS_MAX);
    canvas->columns = clamp(columns, 1, CANVAS_COLUMNS_MAX);
    canvas_park_cursor(canvas, canvas->rows - 1, canvas->columns - 1, false);
    for (int row = 0; row < canvas->rows; row++)
        for (int column = 0; column < canvas->columns; column++)
            *cell_at(canvas, row, column) = (struct cell){.glyph = ' '};
}

struct area canvas_area(const struct canvas *canvas)
{
    return (struct area){0, 0, canvas->rows, canvas->columns};
}

void canvas_park_cursor(struct canvas *canvas, int row, int column, bool shown)
{
    canvas->cursor_row = clamp(row, 0, canvas->rows - 1);
    canvas->cursor_column = clamp(column, 0, canvas->columns - 1);
    canvas->cursor_shown = shown;
}

/* Blanks the other half of a wide character of which one half is to be overwritten. */
static void part_wide(struct canvas *canvas, int row, int column)
{
    struct cell *cell = cell_at(canvas, row, column);
    if (cell->glyph == 0 && column > 0) {
        cell[-1].glyph = ' ';
        cell[-1].mark = 0;
    } else if (column + 1 < canvas->columns && cell[1].glyph == 0) {
        cell[1].glyph = ' ';
    }
}

static void put_narrow(struct canvas *canvas, int row, int column, enum style style,
                       uint32_t glyph)
{
    if (!is_inside(canvas, row, column))
        return;
    part_wide(canvas, row, column);
    if (canvas->ascii)
        glyph = (unsigned char)glyph_to_ascii(glyph);
    *cell_at(canvas, row, column) = (struct cell){glyph, 0, (uint8_t)style};
}

static void put_wide(struct canvas *canvas, int row, int column, enum style style,
                     uint32_t glyph)
{
    bool whole = is_inside(canvas, row, column) && is_inside(canvas, row, column + 1);
    if (!whole || canvas->ascii) {
        /* Half of it would hang over the edge, so what is inside is left blank. */
        uint32_t instead = whole ? '?' : ' ';
        put_narrow(canvas, row, column, style, instead);
        put_narrow(canvas, row, column + 1, style, instead);
        return;
    }
    part_wide(canvas, row, column);
    part_wide(canvas, row, column + 1);
    *cell_at(canvas, row, column) = (struct cell){glyph, 0, (uint8_t)style};
    *cell_at(canvas, row, column + 1) = (struct cell){0, 0, (uint8_t)style};
}

/* Adds a combining character to the character before COLUMN, if it has none yet. */
static void put_mark(struct canvas *canvas, int row, int column, uint32_t glyph)
{
    if (canvas->ascii || !is_inside(canvas, row, column - 1))
        return;
    struct cell *cell = cell_at(canvas, row, column - 1);
    if (cell->glyph == 0 && column >= 2)
        cell--;
    if (!cell->mark && cell->glyph != ' ')
        cell->mark = glyph;
}

static int put_glyph(struct canvas *canvas, int row, int column, enum style style,
                     uint32_t glyph)
{
    glyph = glyph_clean(glyph);
    int width = glyph_width(glyph);
    if (width == 2)
        put_wide(canvas, row, column, style, glyph);
    else if (width == 1)
        put_narrow(canvas, row, column, style, glyph);
    else if (glyph)
        put_mark(canvas, row, column, glyph);
    return width;
}

/* Writes TEXT up to END (NULL: all of it) as far as it fits before column LIMIT. */
static int put_until(struct canvas *canvas, int row, int column, int limit,
                     enum style style, const char *text, const char *end)
{
    while (!end || text < end) {
        uint32_t glyph = glyph_read(&text);
        if (!glyph || column + glyph_width(glyph_clean(glyph)) > limit)
            break;
        column += put_glyph(canvas, row, column, style, glyph);
    }
    return column;
}

int canvas_put(struct canvas *canvas, int row, int column, enum style style,
               const char *text)
{
    /* Beyond the edge nothing shows, so only the width is still counted. */
    for (uint32_t glyph; (glyph = glyph_read(&text));)
        column += put_glyph(canvas, row, column, style, glyph);
    return column;
}

int canvas_printf(struct canvas *canvas, int row, int column, enum style style,
                  const char *format, ...)
{
    char line[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line, sizeof line, format, arguments);
    va_end(arguments);
    return canvas_put(canvas, row, column, style, line);
}

int canvas_put_cut(struct canvas *canvas, int row, int column, int columns,
                   enum style style, const char *text)
{
    if (columns <= 0)
        return 0;
    int width = glyph_text_width(text);
    if (width <= columns)
        return canvas_put(canvas, row, column, style, text) - column;
    int end = put_until(canvas, row, column, column + columns - 1, style, text, NULL);
    return end + put_glyph(canvas, row, end, style, GLYPH_ELLIPSIS) - column;
}

int canvas_put_right(struct canvas *canvas, int row, int column, int columns,
                     enum style style, const char *text)
{
    int spare = columns - glyph_text_width(text);
    return canvas_put_cut(canvas, row, column + (spare > 0 ? spare : 0), columns, style,
                          text);
}

int canvas_put_middle(struct canvas *canvas, int row, int column, int columns,
                      enum style style, const char *text)
{
    int spare = columns - glyph_text_width(text);
    return canvas_put_cut(canvas, row, column + (spare > 0 ? spare / 2 : 0), columns,
                          style, text);
}

int canvas_wrap(struct canvas *canvas, struct area area, enum style style,
                const char *text)
{
    if (area.columns <= 0)
        return 0;
    int limit = area.column + area.columns;
    int used = 0;
    while (text && *text && used < area.rows) {
        size_t length;
        int row = area.row + used++;
        const char *next = glyph_break_line(text, area.columns, &length);
        int end = put_until(canvas, row, area.column, limit, style, text, text + length);
        if (next && used == area.rows)
            put_glyph(canvas, row, end < limit ? end : limit - 1, style, GLYPH_ELLIPSIS);
        text = next;
    }
    return used;
}

int canvas_count_rows(const char *text, int columns)
{
    if (columns <= 0)
        return 0;
    int rows = 0;
    for (size_t length; text && *text; rows++)
        text = glyph_break_line(text, columns, &length);
    return rows;
}

/* The part of AREA that lies on the canvas; without rows or columns if none does. */
static struct area clip(const struct canvas *canvas, struct area area)
{
    int bottom = clamp(area.row + area.rows, 0, canvas->rows);
    int right = clamp(area.column + area.columns, 0, canvas->columns);
    area.row = clamp(area.row, 0, bottom);
    area.column = clamp(area.column, 0, right);
    area.rows = bottom - area.row;
    area.columns = right - area.column;
    return area;
}

void canvas_fill(struct canvas *canvas, struct area area, enum style style,
                 uint32_t glyph)
{
    area = clip(canvas, area);
    for (int row = 0; row < area.rows; row++)
        for (int column = 0; column < area.columns; column++)
            put_narrow(canvas, area.row + row, area.column + column, style, glyph);
}

void canvas_restyle(struct canvas *canvas, struct area area, enum style style)
{
    area = clip(canvas, area);
    for (int row = 0; row < area.rows; row++)
        for (int column = 0; column < area.columns; column++)
            cell_at(canvas, area.row + row, area.column + column)->style = (uint8_t)style;
}

void canvas_rule(struct canvas *canvas, int row, int column, int columns,
                 enum style style)
{
    canvas_fill(canvas, (struct area){row, column, 1, columns}, style, 0x2500);
}

void canvas_upright(struct canvas *canvas, int row, int column, int rows,
                    enum style style)
{
    canvas_fill(canvas, (struct area){row, column, rows, 1}, style, 0x2502);
}

struct area canvas_box(struct canvas *canvas, struct area area, enum style style,
                       const char *title)
{
    struct area inside = {area.row + 1, area.column + 1,
                          area.rows > 2 ? area.rows - 2 : 0,
                          area.columns > 2 ? area.columns - 2 : 0};
    if (area.rows < 2 || area.columns < 2)
        return inside;
    int bottom = area.row + area.rows - 1;
    int right = area.column + area.columns - 1;
    canvas_rule(canvas, area.row, inside.column, inside.columns, style);
    canvas_rule(canvas, bottom, inside.column, inside.columns, style);
    canvas_upright(canvas, inside.row, area.column, inside.rows, style);
    canvas_upright(canvas, inside.row, right, inside.rows, style);
    put_narrow(canvas, area.row, area.column, style, 0x250c);
    put_narrow(canvas, area.row, right, style, 0x2510);
    put_narrow(canvas, bottom, area.column, style, 0x2514);
    put_narrow(canvas, bottom, right, style, 0x2518);
    if (title && inside.columns > 4) {
        int used = canvas_put_cut(canvas, area.row, area.column + 3, inside.columns - 4,
                                  style, title);
        put_narrow(canvas, area.row, area.column + 2, style, ' ');
        put_narrow(canvas, area.row, area.column + 3 + used, style, ' ');
    }
    return inside;
}

/* Lower halves keep the bars of neighbouring rows apart; the ASCII letters are not
 * those of glyph_to_ascii, so that the kinds stay apart as well. */
static const struct {
    uint32_t glyph;
    char ascii;
    bool halves; /* ends may stand in the middle of a cell */
} bars[] = {
    [BAR_NOW] = {0x2588, '=', true},      [BAR_DONE] = {0x2584, '#', true},
    [BAR_LATER] = {0x2500, '-', false},   [BAR_CRITICAL] = {0x2550, '>', false},
    [BAR_HOLDING] = {0x2591, ':', false},
};

void canvas_bar(struct canvas *canvas, int row, int from_half, int end_half, enum bar bar,
                enum style style)
{
    int right = canvas->columns * 2;
    int from = clamp(from_half, 0, right);
    int end = clamp(end_half, from, right);
    if (from == end)
        return;
    bool halves = bars[bar].halves && !canvas->ascii;
    uint32_t glyph = canvas->ascii ? (unsigned char)bars[bar].ascii : bars[bar].glyph;
    for (int column = from / 2; column * 2 < end; column++) {
        uint32_t shown = glyph;
        if (halves && column * 2 < from)
            shown = GLYPH_RIGHT_HALF;
        else if (halves && column * 2 + 1 == end)
            shown = GLYPH_LEFT_HALF;
        put_narrow(canvas, row, column, style, shown);
    }
}

static int row_length(const struct canvas *canvas, int row, bool styled)
{
    int length = canvas->columns;
    while (length > 0) {
        const struct cell *cell = canvas_cell(canvas, row, length - 1);
        if (cell->glyph != ' ' || (styled && cell->style != STYLE_PLAIN))
            break;
        length--;
    }
    return length;
}

static void write_row(const struct canvas *canvas, int row, struct text *out)
{
    int length = row_length(canvas, row, false);
    for (int column = 0; column < length; column++) {
        const struct cell *cell = canvas_cell(canvas, row, column);
        char bytes[4];
        if (cell->glyph)
            text_add_bytes(out, bytes, (size_t)glyph_write(cell->glyph, bytes));
        if (cell->mark)
            text_add_bytes(out, bytes, (size_t)glyph_write(cell->mark, bytes));
    }
    text_add(out, "\n");
}

static void write_style_row(const struct canvas *canvas, int row, struct text *out)
{
    char letters[CANVAS_COLUMNS_MAX];
    int length = 0;
    for (int column = 0; column < canvas->columns; column++) {
        enum style style = canvas_cell(canvas, row, column)->style;
        letters[column] = canvas_style_letter(style);
        if (style != STYLE_PLAIN)
            length = column + 1;
    }
    if (!length)
        return;
    text_add(out, ":");
    text_add_bytes(out, letters, (size_t)length);
    text_add(out, "\n");
}

static int count_written_rows(const struct canvas *canvas, bool styled)
{
    int rows = canvas->rows;
    while (rows > 0 && row_length(canvas, rows - 1, styled) == 0)
        rows--;
    return rows;
}

void canvas_write_text(const struct canvas *canvas, struct text *out)
{
    int rows = count_written_rows(canvas, false);
    for (int row = 0; row < rows; row++)
        write_row(canvas, row, out);
}

void canvas_write_styled(const struct canvas *canvas, struct text *out)
{
    int rows = count_written_rows(canvas, true);
    for (int row = 0; row < rows; row++) {
        text_add(out, "|");
        write_row(canvas, row, out);
        write_style_row(canvas, row, out);
    }
}

char canvas_style_letter(enum style style)
{
    static const char letters[] = {
        [STYLE_PLAIN] = ' ',     [STYLE_STRONG] = 'b',   [STYLE_FAINT] = 'f',
        [STYLE_TITLE] = 't',     [STYLE_CALL] = 'a',     [STYLE_NOW] = 'n',
        [STYLE_DONE] = 'd',      [STYLE_NEXT] = 'x',     [STYLE_HOLDING] = 'h',
        [STYLE_OVERDUE] = 'o',   [STYLE_CAUTION] = 'C',  [STYLE_DANGER] = 'D',
        [STYLE_WARNING] = 'W',   [STYLE_NOTICE] = 'N',   [STYLE_PORT] = 'P',
        [STYLE_STARBOARD] = 'S', [STYLE_SELECTED] = 's', [STYLE_KEY] = 'k',
    };
    static_assert(sizeof letters == STYLE_COUNT, "a letter for each style");
    assert(style < STYLE_COUNT);
    return letters[style];
}
