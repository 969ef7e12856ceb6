#include "screens/looks.h"

#include <assert.h>

enum { BOLD = 1, UNDERLINE = 2, REVERSE = 4 };

/* Colours of text and filling with 256 colours, then with 8; -1 is the terminal's own.
 * `mono` has to tell apart without colour what must not be missed. */
static const struct {
    short text_256, fill_256, text_8, fill_8;
    unsigned char coloured, mono;
} styles[STYLE_COUNT] = {
    [STYLE_PLAIN] = {-1, -1, -1, -1, 0, 0},
    [STYLE_STRONG] = {-1, -1, -1, -1, BOLD, BOLD},
    /* The grey that contrasts alike with black and with white, 4.5 to 1. */
    [STYLE_FAINT] = {243, -1, -1, -1, 0, 0},
    [STYLE_TITLE] = {-1, -1, -1, -1, BOLD | REVERSE, BOLD | REVERSE},
    [STYLE_CALL] = {-1, -1, -1, -1, BOLD, BOLD},
    [STYLE_NOW] = {16, 32, 7, 4, BOLD, BOLD | REVERSE},
    [STYLE_DONE] = {16, 36, 0, 2, 0, 0},
    [STYLE_NEXT] = {-1, -1, -1, -1, BOLD, BOLD},
    [STYLE_HOLDING] = {-1, -1, -1, -1, UNDERLINE, UNDERLINE},
    [STYLE_OVERDUE] = {16, 214, 0, 3, 0, BOLD | REVERSE},
    [STYLE_CAUTION] = {16, 214, 0, 3, 0, BOLD | REVERSE},
    [STYLE_DANGER] = {231, 160, 7, 1, BOLD, BOLD | REVERSE},
    [STYLE_WARNING] = {16, 166, 7, 1, 0, BOLD | REVERSE},
    [STYLE_NOTICE] = {-1, -1, -1, -1, BOLD | UNDERLINE, BOLD | UNDERLINE},
    [STYLE_PORT] = {166, -1, 1, -1, BOLD, BOLD},
    [STYLE_STARBOARD] = {29, -1, 2, -1, BOLD, BOLD},
    [STYLE_SELECTED] = {16, 32, 7, 4, 0, REVERSE},
    [STYLE_KEY] = {-1, -1, -1, -1, BOLD, BOLD},
};

struct look look_of(enum style style, int colours, bool drawing)
{
    assert(style < STYLE_COUNT);
    struct look look = {-1, -1, false, false, false};
    if (colours >= 256) {
        look.front = styles[style].text_256;
        look.back = styles[style].fill_256;
    } else if (colours >= 8) {
        look.front = styles[style].text_8;
        look.back = styles[style].fill_8;
    }
    int shape = colours >= 8 ? styles[style].coloured : styles[style].mono;
    look.bold = shape & BOLD;
    look.underline = (shape & UNDERLINE) && !drawing;
    /* A full block in reverse would be a hole. */
    look.reverse = (shape & REVERSE) && !drawing;
    if (drawing && look.back != -1) {
        look.front = look.back;
        look.back = -1;
    }
    return look;
}

bool look_is_drawing(uint32_t glyph)
{
    return glyph >= 0x2500 && glyph < 0x25a0;
}
