#include "screens/big_letters.h"

#include <assert.h>
#include <stddef.h>

#include "screens/glyphs.h"

enum { DOTS_WIDE = 5, DOTS_HIGH = 7, DOTS_STEP = 6 };

/* The seven rows of each letter from the top, five dots in each. */
static const struct {
    char letter;
    char dots[DOTS_HIGH * (DOTS_WIDE + 1)];
} font[] = {
    {'A', ".###. #...# #...# ##### #...# #...# #...#"},
    {'B', "####. #...# #...# ####. #...# #...# ####."},
    {'C', ".###. #...# #.... #.... #.... #...# .###."},
    {'D', "####. #...# #...# #...# #...# #...# ####."},
    {'E', "##### #.... #.... ####. #.... #.... #####"},
    {'F', "##### #.... #.... ####. #.... #.... #...."},
    {'G', ".###. #...# #.... #.### #...# #...# .####"},
    {'H', "#...# #...# #...# ##### #...# #...# #...#"},
    {'I', ".###. ..#.. ..#.. ..#.. ..#.. ..#.. .###."},
    {'J', "..### ...#. ...#. ...#. ...#. #..#. .##.."},
    {'K', "#...# #..#. #.#.. ##... #.#.. #..#. #...#"},
    {'L', "#.... #.... #.... #.... #.... #.... #####"},
    {'M', "#...# ##.## #.#.# #.#.# #...# #...# #...#"},
    {'N', "#...# ##..# ##..# #.#.# #..## #..## #...#"},
    {'O', ".###. #...# #...# #...# #...# #...# .###."},
    {'P', "####. #...# #...# ####. #.... #.... #...."},
    {'Q', ".###. #...# #...# #...# #.#.# #..#. .##.#"},
    {'R', "####. #...# #...# ####. #.#.. #..#. #...#"},
    {'S', ".#### #.... #.... .###. ....# ....# ####."},
    {'T', "##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#.."},
    {'U', "#...# #...# #...# #...# #...# #...# .###."},
    {'V', "#...# #...# #...# #...# .#.#. .#.#. ..#.."},
    {'W', "#...# #...# #...# #.#.# #.#.# ##.## #...#"},
    {'X', "#...# #...# .#.#. ..#.. .#.#. #...# #...#"},
    {'Y', "#...# #...# .#.#. ..#.. ..#.. ..#.. ..#.."},
    {'Z', "##### ....# ...#. ..#.. .#... #.... #####"},
    {'0', ".###. #...# #..## #.#.# ##..# #...# .###."},
    {'1', "..#.. .##.. #.#.. ..#.. ..#.. ..#.. #####"},
    {'2', ".###. #...# ....# ..##. .#... #.... #####"},
    {'3', "####. ....# ....# .###. ....# ....# ####."},
    {'4', "...#. ..##. .#.#. #..#. ##### ...#. ...#."},
    {'5', "##### #.... ####. ....# ....# #...# .###."},
    {'6', ".###. #.... #.... ####. #...# #...# .###."},
    {'7', "##### ....# ...#. ...#. ..#.. ..#.. ..#.."},
    {'8', ".###. #...# #...# .###. #...# #...# .###."},
    {'9', ".###. #...# #...# .#### ....# ....# .###."},
    {'!', "..#.. ..#.. ..#.. ..#.. ..#.. ..... ..#.."},
    {'?', ".###. #...# ....# ..##. ..#.. ..... ..#.."},
    {'.', "..... ..... ..... ..... ..... .##.. .##.."},
    {',', "..... ..... ..... ..... .##.. ..#.. .#..."},
    {':', "..... .##.. .##.. ..... .##.. .##.. ....."},
    {'-', "..... ..... ..... ##### ..... ..... ....."},
    {'+', "..... ..#.. ..#.. ##### ..#.. ..#.. ....."},
    {'/', "....# ....# ...#. ..#.. .#... #.... #...."},
    {'\'', "..#.. ..#.. .#... ..... ..... ..... ....."},
    {'(', "...#. ..#.. .#... .#... .#... ..#.. ...#."},
    {')', ".#... ..#.. ...#. ...#. ...#. ..#.. .#..."},
};

static const char *find_dots(uint32_t glyph)
{
    char letter = glyph_to_ascii(glyph);
    if (letter >= 'a' && letter <= 'z')
        letter = (char)(letter - 'a' + 'A');
    const char *unknown = NULL;
    for (size_t i = 0; i < sizeof font / sizeof *font; i++) {
        if (font[i].letter == letter)
            return font[i].dots;
        if (font[i].letter == '?')
            unknown = font[i].dots;
    }
    return unknown;
}

/* Letters that go on one line: the gap behind the last one may hang over. */
static int letters_in(int columns, int scale)
{
    return (columns + scale) / (DOTS_STEP * scale);
}

static int line_rows(int scale)
{
    return (DOTS_HIGH * scale + 1) / 2;
}

/* Blank rows between lines; at scale 1 the unused half row is the gap. */
static int gap_rows(int scale)
{
    return scale / 2;
}

/* Measures TEXT in letters; false if a word is longer than a line. */
static bool measure(const char *text, int letters, int *lines, int *longest)
{
    *lines = 0;
    *longest = 0;
    while (text && *text) {
        size_t length;
        const char *next = glyph_break_line(text, letters, &length);
        int width = 0;
        for (const char *at = text; at < text + length;)
            width += glyph_width(glyph_clean(glyph_read(&at)));
        if (width > *longest)
            *longest = width;
        /* Between whole words stands a blank or a newline. */
        char behind = text[length];
        if (next && behind != ' ' && behind != '\n')
            return false;
        *lines += 1;
        text = next;
    }
    return *longest <= letters;
}

static bool fits(const char *text, int scale, int columns, int rows)
{
    int letters = letters_in(columns, scale);
    int lines, longest;
    if (letters < 1 || !measure(text, letters, &lines, &longest))
        return false;
    return lines * line_rows(scale) + (lines - 1) * gap_rows(scale) <= rows;
}

int big_letters_fit(const char *text, int columns, int rows)
{
    int scale = BIG_LETTERS_SCALE_MAX;
    while (scale > 0 && !fits(text, scale, columns, rows))
        scale--;
    return scale;
}

int big_letters_rows(const char *text, int scale, int columns)
{
    assert(scale > 0);
    int letters = letters_in(columns, scale);
    int lines, longest;
    if (letters < 1 || !measure(text, letters, &lines, &longest) || lines == 0)
        return 0;
    return lines * line_rows(scale) + (lines - 1) * gap_rows(scale);
}

int big_letters_columns(const char *text, int scale, int columns)
{
    assert(scale > 0);
    int letters = letters_in(columns, scale);
    int lines, longest;
    if (letters < 1 || !measure(text, letters, &lines, &longest) || longest == 0)
        return 0;
    return longest * DOTS_STEP * scale - scale;
}

/* Whether there is ink at a place of a letter, in half rows and columns. */
static bool has_ink(const char *dots, int scale, int half, int column)
{
    int y = half / scale;
    return y < DOTS_HIGH && dots[y * (DOTS_WIDE + 1) + column / scale] == '#';
}

static uint32_t half_blocks(bool ascii, bool upper, bool lower)
{
    if (upper && lower)
        return ascii ? '#' : 0x2588;
    if (upper)
        return ascii ? '"' : 0x2580;
    return ascii ? '_' : 0x2584;
}

static void draw_letter(struct canvas *canvas, struct area cell, int scale,
                        enum style style, const char *dots)
{
    for (int row = 0; row < cell.rows; row++)
        for (int column = 0; column < cell.columns; column++) {
            bool upper = has_ink(dots, scale, row * 2, column);
            bool lower = has_ink(dots, scale, row * 2 + 1, column);
            if (!upper && !lower)
                continue;
            struct area dot = {cell.row + row, cell.column + column, 1, 1};
            canvas_fill(canvas, dot, style, half_blocks(canvas->ascii, upper, lower));
        }
}

static void draw_line(struct canvas *canvas, struct area line, int scale,
                      enum style style, const char *text, const char *end)
{
    while (text < end) {
        uint32_t glyph = glyph_clean(glyph_read(&text));
        int width = glyph_width(glyph);
        if (width > 0 && glyph != ' ') {
            struct area cell = {line.row, line.column, line.rows, DOTS_WIDE * scale};
            draw_letter(canvas, cell, scale, style, find_dots(glyph));
        }
        line.column += DOTS_STEP * scale * width;
    }
}

int big_letters_draw(struct canvas *canvas, struct area area, int scale, enum style style,
                     const char *text)
{
    int rows = big_letters_rows(text, scale, area.columns);
    if (rows == 0 || rows > area.rows)
        return 0;
    int letters = letters_in(area.columns, scale);
    struct area line = {area.row, area.column, line_rows(scale), area.columns};
    while (text && *text) {
        size_t length;
        const char *next = glyph_break_line(text, letters, &length);
        draw_line(canvas, line, scale, style, text, text + length);
        line.row += line.rows + gap_rows(scale);
        text = next;
    }
    return rows;
}
