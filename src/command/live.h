/* The screens on the real terminal, and the screens played from a key script. */
#ifndef COMMAND_LIVE_H
#define COMMAND_LIVE_H

#include "command/script.h"
#include "screens/app.h"

/* Runs the screens until they are left.  Returns the exit status; *SIGNAL is the signal
 * that ended them, 0 for none. */
int live_run(const struct app_world *world, const struct app_choice *choice, bool ascii,
             int *signal);

/* Plays SCRIPT without a terminal on a canvas of 80 by 24.  Lines are key names,
 * `wait MS`, `type TEXT`, `size ROWS COLUMNS`, `show` (prints the screen) and `styles`
 * (prints it with its styles).  The last screen is printed at the end. */
int live_script(const struct app_world *world, const struct app_choice *choice,
                bool ascii, struct script *script);

#endif
