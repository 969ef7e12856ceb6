/* Lift and drag of sails by the angle of the apparent wind, as published with the
 * velocity prediction of a rating rule (2013, as transcribed twice): for the sail alone
 * on its rated area, without induced drag.
 *
 * Between the knots of the table runs a cubic that is monotone where the table is
 * (Steffen 1990): it never overshoots a knot.  The publication's own interpolation is not
 * known. */
#ifndef FORCES_COEFFICIENTS_H
#define FORCES_COEFFICIENTS_H

#include <stdbool.h>

/* Which sail, and where its tack is. */
enum flown {
    FLOWN_SYMMETRIC,       /* on a pole */
    FLOWN_ASYMMETRIC,      /* on the centreline: bow or sprit */
    FLOWN_ASYMMETRIC_POLE, /* on a pole */
    FLOWN_MAIN,            /* a mainsail of usual lift */
    FLOWN_MAIN_HIGH_LIFT,
    FLOWN_COUNT
};

struct coefficients {
    double lift, drag;
};

/* The coefficients at ANGLE_DEG from the bow, from the first angle of the table (28 for a
 * spinnaker, 0 for a mainsail) to 180; false, with OUT left alone, where it has none. */
bool coefficients_at(enum flown flown, double angle_deg, struct coefficients *out);

#endif
