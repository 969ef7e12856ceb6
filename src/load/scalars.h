/* The meaning of one scalar: names, text, yes and no, whole numbers, quantities with
 * their unit, dates, words of a list.  Each returns whether it could be read; what is
 * wrong is reported at the scalar and OUT keeps what it was.  Numbers do not depend on
 * the locale. */
#ifndef LOAD_SCALARS_H
#define LOAD_SCALARS_H

#include "load/internal.h"

enum { LOAD_LABEL_MAX = 40, LOAD_TEXT_MAX = 400 }; /* characters */

enum unit { UNIT_NONE, UNIT_S, UNIT_KN, UNIT_M, UNIT_DEG, UNIT_M2, UNIT_M_S, UNIT_N };

/* The values a number may have, in its unit (durations: seconds); WORDS say the same. */
struct range {
    enum unit unit;
    double least, most;
    const char *words;
};

/* Lower-case letters, digits and hyphens, beginning with a letter, at most 40. */
bool load_name(struct load *load, const struct node *node, const char **out);

/* Text of one paragraph and at most MOST characters. */
bool load_text(struct load *load, const struct node *node, size_t most, const char **out);

bool load_yes(struct load *load, const struct node *node, bool *out);
bool load_whole(struct load *load, const struct node *node, const struct range *range,
                int *out);
bool load_quantity(struct load *load, const struct node *node, const struct range *range,
                   double *out);
bool load_date(struct load *load, const struct node *node, const char **out);

/* The place of the scalar in WORDS, which ends with NULL. */
bool load_choice(struct load *load, const struct node *node, const char *const *words,
                 int *out);

/* True where NODE is of KIND; says so if not, with EXAMPLE of how to write it. */
bool load_is(struct load *load, const struct node *node, enum node_kind kind,
             const char *example);

#endif
