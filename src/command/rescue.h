/* The way out when the logbook's disk failed: on leaving, what is not recorded can be
 * written to another file. */
#ifndef COMMAND_RESCUE_H
#define COMMAND_RESCUE_H

#include "screens/session.h"

/* Where events of the session are not recorded and a logbook was wanted, asks on the
 * terminal (or takes standard input's next line) for another file and writes the run
 * there; an empty line takes the suggestion.  Call before the session is closed. */
void rescue_offer(struct session *session);

#endif
