/* A smooth curve through the points of a table that is monotone where the table is
 * (Steffen 1990, "A simple method for monotonic interpolation in one dimension"): it
 * never goes above or below the two points it runs between. */
#ifndef FORCES_CURVE_H
#define FORCES_CURVE_H

/* The curve through the COUNT points (X, Y) at AT; X grows and AT is within it. */
double curve_at(const double *x, const double *y, int count, double at);

#endif
