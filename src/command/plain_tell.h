/* What plain mode says of a live run.  Everything goes to standard output at once. */
#ifndef COMMAND_PLAIN_TELL_H
#define COMMAND_PLAIN_TELL_H

#include "screens/session.h"

/* The call said last: each is said once. */
struct called {
    int step;     /* -1: none */
    bool planned; /* as planned, with nothing marked */
    bool over;    /* that the plan is over */
};

/* Prints and frees TEXT. */
void tell_text(struct text *text);

/* The event done last and what followed from it. */
void tell_out(const struct session *session);

/* The open question, and the call that is due, planned or waited for, in CALLED. */
void tell_called(const struct session *session, struct called *called);

/* Where everybody is: the steps running, what waits and why, the lines held, what was
 * broken and is not put away yet. */
void tell_where(const struct session *session);

#endif
