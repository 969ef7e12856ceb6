/* A smooth curve through the points of a table: the cubic spline whose first two and last
 * two pieces are one cubic each (de Boor 1978, "A Practical Guide to Splines": not a
 * knot), its slopes then held to what keeps it monotone between any two points (Hyman
 * 1983, "Accurate monotonicity preserving cubic interpolation"): it never goes above or
 * below the two points it runs between.  Against the optimum of a velocity prediction it
 * is nearer than the curve of curve.h, which knows only the neighbours of a point. */
#ifndef FORCES_SPLINE_H
#define FORCES_SPLINE_H

#include "model/polar.h"

enum { SPLINE_POINTS_MAX = POLAR_ANGLES_MAX };

struct spline {
    double x[SPLINE_POINTS_MAX], y[SPLINE_POINTS_MAX]; /* x grows */
    double slope[SPLINE_POINTS_MAX];                   /* of spline_bend */
    int count;
};

/* Finds the slopes at the points of SPLINE, of which there is one at least. */
void spline_bend(struct spline *spline);

/* The curve at AT, which is within it. */
double spline_at(const struct spline *spline, double at);

#endif
