/* How much wind a sail is for against the wind there is: by its true wind, and by the
 * apparent wind now, in the gusts, slowed to half and stopped.  On the other board she is
 * taken to be as fast at the same angle, so the apparent wind is the same there.
 *
 * What is said of the sail in the boat file stops, and so does the limit of its cloth;
 * what is taken from its code, and what only comes when she slows down, is a caution. */
#ifndef FORCES_SAIL_LIMITS_H
#define FORCES_SAIL_LIMITS_H

#include "forces/weather.h"

enum limit_wind {
    LIMIT_TRUE,
    LIMIT_GUST, /* true wind in the gusts */
    LIMIT_NOW,  /* apparent, on either board */
    LIMIT_IN_GUST,
    LIMIT_HALF, /* slowed to half */
    LIMIT_STOPPED,
    LIMIT_NEAR, /* apparent now, near what the cloth takes */
};

/* A wind that is too much. */
struct sail_limit {
    enum limit_wind wind;
    double is_kn, most_kn;
    bool of_cloth, by_code, stops;
};

enum { SAIL_LIMITS_MAX = 3 }; /* true wind, apparent wind, cloth */

struct sail_limits {
    struct sail_limit at[SAIL_LIMITS_MAX];
    int count;
    bool stop; /* some of them do */
};

/* The most wind that a sail can see in WEATHER, in knots: apparent now, in the gusts or
 * slowed to half, or the true wind when she stops. */
double sail_strongest_kn(const struct weather *weather);

/* What WEATHER exceeds of SAIL's limits, at most one of each kind, the worst. */
void sail_limits_find(const struct sail *sail, const struct weather *weather,
                      struct sail_limits *out);

#endif
