/* How each style looks on a terminal with 256 colours, with 8 and with none.  Filled
 * styles put black on one of four colours that stay apart for colour-blind eyes; the
 * terminal's own background is never painted over, as it cannot be known.  Pure. */
#ifndef SCREENS_LOOKS_H
#define SCREENS_LOOKS_H

#include <stdbool.h>
#include <stdint.h>

#include "screens/canvas.h"

struct look {
    short front, back; /* colour numbers of the terminal; -1 is its own */
    bool bold, underline, reverse;
};

/* The look of STYLE where the terminal has COLOURS colours (0 to 256).  A DRAWING (a
 * line, block or bar) has the colour of the filling, on the background as it is. */
struct look look_of(enum style style, int colours, bool drawing);

/* Whether GLYPH is a line or a block. */
bool look_is_drawing(uint32_t glyph);

#endif
