/* Where there is no bill: would one of the procedure's options make one possible? */
#ifndef SCREENS_SUGGEST_H
#define SCREENS_SUGGEST_H

#include "base/text.h"
#include "bill/bill.h"
#include "load/library.h"

/* Tries the other choices of the options of PROCEDURE, loaded from SOURCE, the fewest
 * changes first, and appends one sentence to OUT when one gives a bill. */
void suggest_options(const struct library *library, const struct source *source,
                     const struct procedure *procedure, const struct crew *crew,
                     bool pilot, struct text *out);

#endif
