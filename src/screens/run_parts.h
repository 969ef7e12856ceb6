/* The parts of the run screen, shared by its files. */
#ifndef SCREENS_RUN_PARTS_H
#define SCREENS_RUN_PARTS_H

#include "screens/app.h"

extern const struct key_entry run_keys[];

/* What the footer says of a key: nothing where it means nothing as things stand. */
const char *run_hint(const struct app *app, const struct key_entry *entry);

/* A digit makes that lane's step; 0 is lane 10. */
void run_digit(struct app *app, int digit);

/* Lines of the hands: now, waiting and why, holding. */
void run_draw_lanes(const struct app *app, struct canvas *canvas, struct area area);

/* The call in big letters with the clock beside it where there is room.  Returns the
 * rows used. */
int run_draw_call(const struct app *app, struct canvas *canvas, struct area area);

/* The rows it would use. */
int run_count_call(const struct app *app, int columns, int rows);

/* What is said below the call: what was broken, who does it, what is done, what warns.
 * The rows it takes in COLUMNS when nothing is cut; the rows drawn. */
int run_count_said(const struct app *app, int columns);
int run_draw_said(const struct app *app, struct canvas *canvas, struct area area);

/* Of that only what was broken. */
int run_count_broken(const struct app *app, int columns);
int run_draw_broken(const struct app *app, struct canvas *canvas, struct area area);

/* What comes next and its cautions, where there is room left. */
void run_draw_beside(const struct app *app, struct canvas *canvas, struct area area);

#endif
