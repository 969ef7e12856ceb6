/* A key script and its clock: time stands still but for `wait MS` lines, so a script
 * gives the same run on any machine on any day.  Lines that begin with '#' and empty
 * ones are passed over; `enter` is the empty line of plain mode. */
#ifndef COMMAND_SCRIPT_H
#define COMMAND_SCRIPT_H

#include "base/clock.h"
#include "base/source.h"

struct script {
    const struct source *source;
    uint32_t line;   /* the next one, from 1 */
    int64_t now_ms;  /* since the script began */
    int64_t wait_ms; /* of the waits passed, what is still to be waited */
    struct clock clock;
};

/* Starts a script; its clock borrows the struct, which must not move. */
void script_start(struct script *script, const struct source *source);

/* Passes the waits that come next, for MOST_MS at most (negative: all of them); true
 * where these are over before the waits are. */
bool script_wait(struct script *script, int most_ms);

/* The next line that is not a wait, without blanks around it, in OUT (cut to ROOM);
 * waits are passed on the way.  False at the end. */
bool script_next(struct script *script, char *out, size_t room);

#endif
