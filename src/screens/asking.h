/* The line above the footer: a message, a question, or text being typed. */
#ifndef SCREENS_ASKING_H
#define SCREENS_ASKING_H

#include "screens/app.h"

/* The question or the typing takes KEY; false when nothing is being asked. */
bool asking_takes(struct app *app, uint32_t key, bool text);

/* What stands on that line. */
void asking_write(const struct app *app, struct text *out);

/* The keys that mean something while it stands there, for the footer; NULL: those of the
 * screen. */
const char *asking_keys(const struct app *app);

#endif
