/* The system figures are told in: one at a time, as it is set.  Speeds are in knots, long
 * distances in nautical miles and angles in degrees either way. */
#ifndef BASE_UNITS_H
#define BASE_UNITS_H

#include <stdbool.h>

enum units { UNITS_METRIC, UNITS_US };

/* "metric" or "us"; false otherwise. */
bool units_read(const char *word, enum units *out);

/* METRES, SQUARE METRES and NEWTONS in that system, and what it calls them. */
double units_length(enum units units, double metres);
double units_area(enum units units, double square_metres);
double units_force(enum units units, double newtons);
const char *units_length_name(enum units units); /* "m", "ft" */
const char *units_area_name(enum units units);   /* "m2", "ft2" */
const char *units_force_name(enum units units);  /* "N", "lbf" */

#endif
