/* Letters large enough to be read from across the cockpit: a bitmap of 5 by 7 dots
 * drawn with half blocks, so a dot is about square.  At scale s a letter takes 6 s
 * columns (one dot of them the gap) and 3.5 s rows, rounded up.  Pure. */
#ifndef SCREENS_BIG_LETTERS_H
#define SCREENS_BIG_LETTERS_H

#include "screens/canvas.h"

enum { BIG_LETTERS_SCALE_MAX = 8 };

/* The largest scale, 1 to BIG_LETTERS_SCALE_MAX, at which TEXT, wrapped at words and
 * with no word broken, fits into COLUMNS by ROWS; 0 when none does: write it in bold. */
int big_letters_fit(const char *text, int columns, int rows);

/* Rows and columns that TEXT takes at SCALE when wrapped into COLUMNS. */
int big_letters_rows(const char *text, int scale, int columns);
int big_letters_columns(const char *text, int scale, int columns);

/* Draws TEXT at SCALE (1 or more) from the top left of AREA, wrapped into its columns;
 * small letters are drawn as capitals and what has no bitmap as '?'.  Returns the rows
 * used, 0 if the text does not fit (then nothing is drawn). */
int big_letters_draw(struct canvas *canvas, struct area area, int scale, enum style style,
                     const char *text);

#endif
