/* Figures with their unit as people type them: "400m", "0.2 nm", "6kn", "12 mph". */
#ifndef BASE_QUANTITY_H
#define BASE_QUANTITY_H

#include <stdbool.h>

enum quantity {
    QUANTITY_LENGTH,  /* m; also km, nm, mi, ft, yd */
    QUANTITY_SPEED,   /* kn, also without a unit; m/s, km/h, mph */
    QUANTITY_LENGTHS, /* boat lengths: lengths */
    QUANTITY_TIME,    /* s; also m or min */
    QUANTITY_ANGLE    /* deg, also without a unit */
};

/* Reads WORD into OUT, in the first unit named above; false where it is no such figure.
 * Digits and one point, a minus for a speed only; no locale, no exponent. */
bool quantity_read(const char *word, enum quantity quantity, double *out);

#endif
