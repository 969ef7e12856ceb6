/* Hands pinned to roles on the command line: "ROLE=HAND". */
#ifndef COMMAND_PINS_H
#define COMMAND_PINS_H

#include "base/arena.h"
#include "bill/bill.h"

/* Adds the pin of WORDS to WISH, whose pilot is set; false with a message that names the
 * nearest role or hand. */
bool pins_take(const char *words, const struct procedure *procedure,
               const struct crew *crew, struct arena *arena, struct bill_wish *wish);

#endif
