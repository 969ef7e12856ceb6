#include "screens/glyphs.h"

#include <assert.h>

struct range {
    uint32_t first, last;
};

/* Marks that combine with the letter before them: they take no column. */
static const struct range combining[] = {
    {0x0300, 0x036f},   {0x0483, 0x0489},   {0x0591, 0x05bd}, {0x0610, 0x061a},
    {0x064b, 0x065f},   {0x0670, 0x0670},   {0x06d6, 0x06dc}, {0x093c, 0x093c},
    {0x0941, 0x0948},   {0x094d, 0x094d},   {0x0e31, 0x0e31}, {0x0e34, 0x0e3a},
    {0x0e47, 0x0e4e},   {0x1ab0, 0x1aff},   {0x1dc0, 0x1dff}, {0x20d0, 0x20f0},
    {0x302a, 0x302d},   {0x3099, 0x309a},   {0xfe00, 0xfe0f}, {0xfe20, 0xfe2f},
    {0x1f3fb, 0x1f3ff}, {0xe0100, 0xe01ef},
};

/* East Asian letters and emoji: two columns. */
static const struct range wide[] = {
    {0x1100, 0x115f},   {0x231a, 0x231b},   {0x2329, 0x232a},   {0x23e9, 0x23ec},
    {0x23f0, 0x23f0},   {0x23f3, 0x23f3},   {0x25fd, 0x25fe},   {0x2614, 0x2615},
    {0x2648, 0x2653},   {0x267f, 0x267f},   {0x2693, 0x2693},   {0x26a1, 0x26a1},
    {0x26aa, 0x26ab},   {0x26bd, 0x26be},   {0x26c4, 0x26c5},   {0x26ce, 0x26ce},
    {0x26d4, 0x26d4},   {0x26ea, 0x26ea},   {0x26f2, 0x26f3},   {0x26f5, 0x26f5},
    {0x26fa, 0x26fa},   {0x26fd, 0x26fd},   {0x2705, 0x2705},   {0x270a, 0x270b},
    {0x2728, 0x2728},   {0x274c, 0x274c},   {0x274e, 0x274e},   {0x2753, 0x2755},
    {0x2757, 0x2757},   {0x2795, 0x2797},   {0x27b0, 0x27b0},   {0x27bf, 0x27bf},
    {0x2b1b, 0x2b1c},   {0x2b50, 0x2b50},   {0x2b55, 0x2b55},   {0x2e80, 0x303e},
    {0x3041, 0x4dbf},   {0x4e00, 0xa4cf},   {0xa960, 0xa97c},   {0xac00, 0xd7a3},
    {0xf900, 0xfaff},   {0xfe10, 0xfe19},   {0xfe30, 0xfe6f},   {0xff00, 0xff60},
    {0xffe0, 0xffe6},   {0x16fe0, 0x18cff}, {0x1b000, 0x1b2ff}, {0x1f004, 0x1f004},
    {0x1f0cf, 0x1f0cf}, {0x1f18e, 0x1f18e}, {0x1f191, 0x1f19a}, {0x1f200, 0x1f64f},
    {0x1f680, 0x1f6ff}, {0x1f900, 0x1faff}, {0x20000, 0x3fffd},
};

/* Invisible characters that join text or turn its direction: never shown, so that a
 * name in a file cannot rearrange the screen. */
static const struct range steering[] = {
    {0x00ad, 0x00ad}, {0x061c, 0x061c}, {0x180e, 0x180e},
    {0x200b, 0x200f}, {0x2028, 0x202e}, {0x2060, 0x206f},
    {0xfeff, 0xfeff}, {0xfff9, 0xfffb}, {0xe0000, 0xe007f},
};

static const struct {
    uint32_t glyph;
    char ascii;
} stand_ins[] = {
    {0x00a0, ' '}, {0x00b0, 'o'}, {0x00b1, '~'},  {0x00b2, '2'},  {0x00b7, '.'},
    {0x00d7, 'x'}, {0x00f7, '/'}, {0x2010, '-'},  {0x2011, '-'},  {0x2012, '-'},
    {0x2013, '-'}, {0x2014, '-'}, {0x2018, '\''}, {0x2019, '\''}, {0x201c, '"'},
    {0x201d, '"'}, {0x2022, '*'}, {0x2026, '~'},  {0x2032, '\''}, {0x2033, '"'},
    {0x2190, '<'}, {0x2191, '^'}, {0x2192, '>'},  {0x2193, 'v'},  {0x2212, '-'},
    {0x2248, '~'}, {0x2260, '!'}, {0x2264, '<'},  {0x2265, '>'},  {0x2500, '-'},
    {0x2502, '|'}, {0x2550, '='}, {0x2551, '|'},  {0x2580, '"'},  {0x2584, '='},
    {0x2588, '#'}, {0x258c, '|'}, {0x2590, '|'},  {0x2591, ':'},  {0x2592, ':'},
    {0x2593, '#'}, {0x25a0, '#'}, {0x25b2, '^'},  {0x25ba, '>'},  {0x25bc, 'v'},
    {0x25c4, '<'},
};

/* The letters of U+00C0 to U+017F without their accents. */
static const char plain_letters[] = "AAAAAAACEEEEIIIIDNOOOOOxOUUUUYTs"
                                    "aaaaaaaceeeeiiiidnooooo/ouuuuyty"
                                    "AaAaAaCcCcCcCcDdDdEeEeEeEeEeGgGg"
                                    "GgGgHhHhIiIiIiIiIiIiJjKkkLlLlLlL"
                                    "lLlNnNnNnnNnOoOoOoOoRrRrRrSsSsSs"
                                    "SsTtTtTtUuUuUuUuUuUuWwYyYZzZzZzs";

static_assert(sizeof plain_letters == 0x180 - 0xc0 + 1, "one letter for each code point");

static bool is_in(uint32_t glyph, const struct range *ranges, size_t count)
{
    for (size_t i = 0; i < count && ranges[i].first <= glyph; i++)
        if (glyph <= ranges[i].last)
            return true;
    return false;
}

/* Bytes that follow the lead byte of a UTF-8 sequence, -1 if it cannot lead one. */
static int count_followers(unsigned char lead)
{
    if (lead < 0x80)
        return 0;
    if (lead >= 0xc2 && lead <= 0xdf)
        return 1;
    if ((lead & 0xf0) == 0xe0)
        return 2;
    return lead >= 0xf0 && lead <= 0xf4 ? 3 : -1;
}

uint32_t glyph_read(const char **text)
{
    static const uint32_t least[] = {0, 0x80, 0x800, 0x10000};
    const unsigned char *byte = (const unsigned char *)*text;
    if (!*byte)
        return 0;
    int followers = count_followers(*byte);
    uint32_t glyph = *byte;
    if (followers > 0)
        glyph &= 0x3fU >> followers;
    for (int i = 1; i <= followers; i++) {
        if ((byte[i] & 0xc0) != 0x80) {
            followers = -1;
            break;
        }
        glyph = glyph << 6 | (byte[i] & 0x3f);
    }
    if (followers < 0 || glyph < least[followers] || glyph > 0x10ffff ||
        (glyph >= 0xd800 && glyph <= 0xdfff)) {
        *text += 1;
        return '?';
    }
    *text += followers + 1;
    return glyph;
}

uint32_t glyph_clean(uint32_t glyph)
{
    if (glyph < 0x20 || (glyph >= 0x7f && glyph < 0xa0))
        return '?';
    if (glyph < 0x80)
        return glyph;
    return is_in(glyph, steering, sizeof steering / sizeof *steering) ? 0 : glyph;
}

int glyph_width(uint32_t glyph)
{
    if (glyph == 0)
        return 0;
    if (glyph < 0x300)
        return 1;
    if (is_in(glyph, combining, sizeof combining / sizeof *combining))
        return 0;
    return is_in(glyph, wide, sizeof wide / sizeof *wide) ? 2 : 1;
}

char glyph_to_ascii(uint32_t glyph)
{
    if (glyph >= 0x20 && glyph < 0x7f)
        return (char)glyph;
    for (size_t i = 0; i < sizeof stand_ins / sizeof *stand_ins; i++)
        if (stand_ins[i].glyph == glyph)
            return stand_ins[i].ascii;
    if (glyph >= 0xc0 && glyph < 0x180)
        return plain_letters[glyph - 0xc0];
    return glyph > 0x2500 && glyph < 0x2580 ? '+' : '?';
}

int glyph_write(uint32_t glyph, char out[4])
{
    int followers = glyph < 0x80 ? 0 : glyph < 0x800 ? 1 : glyph < 0x10000 ? 2 : 3;
    static const unsigned char lead[] = {0, 0xc0, 0xe0, 0xf0};
    out[0] = (char)(lead[followers] | (glyph >> (6 * followers)));
    for (int i = 1; i <= followers; i++)
        out[i] = (char)(0x80 | ((glyph >> (6 * (followers - i))) & 0x3f));
    return followers + 1;
}

int glyph_text_width(const char *text)
{
    int width = 0;
    for (uint32_t glyph; (glyph = glyph_read(&text));)
        width += glyph_width(glyph_clean(glyph));
    return width;
}

static const char *skip_blanks(const char *text)
{
    while (*text == ' ')
        text++;
    return text;
}

const char *glyph_break_line(const char *text, int columns, size_t *length)
{
    assert(columns > 0);
    const char *at = text, *word_end = NULL;
    for (int used = 0;;) {
        const char *here = at;
        uint32_t glyph = glyph_read(&at);
        if (glyph == 0 || glyph == '\n' || glyph == ' ') {
            /* A run of blanks counts once: the line ends where its first one stands. */
            if (here == text || here[-1] != ' ')
                word_end = here;
            if (glyph != ' ') {
                *length = (size_t)(word_end ? word_end - text : here - text);
                return glyph && *at ? at : NULL;
            }
        }
        used += glyph_width(glyph_clean(glyph));
        if (used <= columns || glyph == ' ')
            continue;
        const char *end = word_end && word_end > text ? word_end : here;
        if (end == text)
            end = at; /* a wide glyph on a line of one column: drawn clipped */
        *length = (size_t)(end - text);
        end = skip_blanks(end);
        /* A newline right behind the break is the same break. */
        end += *end == '\n';
        return *end ? end : NULL;
    }
}
