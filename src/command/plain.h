/* The line-by-line mode for screen readers and pipes: one line an event, newest last, no
 * cursor movement.  An empty line makes the step that is due. */
#ifndef COMMAND_PLAIN_H
#define COMMAND_PLAIN_H

#include "base/units.h"
#include "command/script.h"
#include "screens/session.h"

/* Plays the session from SCRIPT (NULL: from standard input) to its end, with figures in
 * UNITS; UNPROVED: the
 * crew has said on purpose that it runs a procedure that is not proved.  Returns the
 * exit status. */
int plain_run(struct session *session, struct script *script, enum units units,
              bool unproved);

#endif
