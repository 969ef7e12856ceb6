/* What the files of the app share. */
#ifndef SCREENS_APP_PARTS_H
#define SCREENS_APP_PARTS_H

#include "screens/app.h"

/* Frees the kit. */
void app_drop_kit(struct app *app);

/* Frees what was loaded of the library. */
void app_clear_shelves(struct app *app);

/* Sets the options given on the command line, as "name=yes", and loads the kit again. */
void app_take_options(struct app *app, const struct load_choice *choice);

/* Closes the session and frees what it was loaded from. */
void app_drop_session(struct app *app);

#endif
