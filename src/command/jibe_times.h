/* How long jibes took, from the logbook. */
#ifndef COMMAND_JIBE_TIMES_H
#define COMMAND_JIBE_TIMES_H

#include "cards/sheet_wind.h"
#include "command/context.h"

/* Half of the timed runs (drill or afloat, to their end) of the jibes among METHODS took
 * *MEDIAN_S at most; returns how many there are, of the newest 200.  No logbook is made
 * for it, and one that cannot be read counts as none. */
int jibe_times(struct context *context, const struct wind_method *methods, int count,
               double *median_s);

#endif
