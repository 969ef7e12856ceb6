/* "Did you mean": the end of a message about a word that is not known. */
#ifndef LOAD_NEAREST_H
#define LOAD_NEAREST_H

#include "base/arena.h"

enum { CHOICES_MAX = 192 };

/* The words there are; empty ones are not taken. */
struct choices {
    const char *at[CHOICES_MAX];
    size_t count;
    size_t listed; /* how many are shown where none is near; 0: all */
};

void choices_add(struct choices *choices, const char *word);

/* The choice a slip of the finger or two away from WRONG; NULL where there is none. */
const char *choices_nearest(const struct choices *choices, const char *wrong);

/* "did you mean 'x'?" where one is near, else LEAD and the choices ("choose from a, b"),
 * else ("there are no choices") NONE. */
const char *choices_advice(const struct choices *choices, const char *wrong,
                           const char *lead, const char *none, struct arena *arena);

/* TEXT as a message may show it: short, and without control characters. */
const char *load_shown(struct arena *arena, const char *text);

#endif
