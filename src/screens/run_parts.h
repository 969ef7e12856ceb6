/* The parts of the run screen, shared by its files. */
#ifndef SCREENS_RUN_PARTS_H
#define SCREENS_RUN_PARTS_H

#include "screens/app.h"

extern const struct key_entry run_keys[];

/* What the footer says of a key: nothing of a warning where none stands. */
const char *run_hint(const struct app *app, const struct key_entry *entry);

/* A digit makes that lane's step; 0 is lane 10. */
void run_digit(struct app *app, int digit);

/* Lines of the hands: now, waiting and why, holding. */
void run_draw_lanes(const struct app *app, struct canvas *canvas, struct area area);

/* The call in big letters with the clock beside it where there is room.  Returns the
 * rows used. */
int run_draw_call(const struct app *app, struct canvas *canvas, struct area area);

#endif
