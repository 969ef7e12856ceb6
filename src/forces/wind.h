/* The wind triangle: true and apparent both ways, over the water and over the ground.
 * Pure functions in metres a second and degrees; knots only where a table is in knots.
 * Directions are where the wind comes from.  A function returns false and leaves OUT
 * alone where what it is given is not finite, negative where that means nothing, or
 * beyond what a boat could meet. */
#ifndef FORCES_WIND_H
#define FORCES_WIND_H

#include <stdbool.h>

#define WIND_KNOT_M_S       (1852.0 / 3600.0) /* the international nautical mile */
#define WIND_SPEED_MOST_M_S (200 * WIND_KNOT_M_S)

/* The wind as it is met aboard. */
struct wind {
    double speed_m_s;
    double angle_deg; /* off the bow, -180 to 180, to starboard positive; calm: 0 */
};

/* How the boat goes through the water. */
struct way {
    double speed_m_s;
    double leeway_deg; /* from the bow to where she goes, to starboard positive */
};

/* A velocity by the compass: a course and its speed, or a current and its drift. */
struct track {
    double toward_deg; /* 0 to 360, clockwise from north */
    double speed_m_s;
};

/* A wind by the compass. */
struct compass_wind {
    double from_deg; /* as reported: above 0 to 360, so that north is 360; calm: 0 */
    double speed_m_s;
};

/* What is read off the instruments of a boat over the ground: directions 0 to 360. */
struct readings {
    struct track ground; /* course and speed over the ground */
    double heading_deg;
    double wind_deg; /* apparent, clockwise from the bow */
    double wind_m_s;
};

/* The apparent wind now, and what becomes of it. */
struct outlook {
    struct wind now;
    struct wind jibed;   /* on the other board, as fast and at the same true angle */
    struct wind half;    /* she slows to half */
    struct wind stopped; /* she lies stopped, as in a broach */
    struct wind gust;
    double half_pull, stopped_pull, gust_pull; /* times the pull of now; 0: no wind now */
};

/* True where SPEED is one a wind or a boat may have. */
bool wind_speed_is_sane(double speed_m_s);

/* ANGLE as -180 to 180 (-180 becomes 180). */
double wind_folded_deg(double angle_deg);

/* DIRECTION as 0 to below 360. */
double wind_compass_deg(double direction_deg);

/* The true wind over the water from the apparent wind and back. */
bool wind_true(struct wind apparent, struct way way, struct wind *out);
bool wind_apparent(struct wind true_wind, struct way way, struct wind *out);

/* The true wind over the ground, from course, speed over the ground and heading. */
bool wind_over_ground(const struct readings *readings, struct compass_wind *out);

/* Course and speed over the ground of a boat on HEADING that makes WAY in CURRENT. */
bool wind_track(double heading_deg, struct way way, struct track current,
                struct track *out);

/* A wind over the ground as what drifts with CURRENT feels it, which is what sails and
 * polars mean by true; and back. */
bool wind_to_water(struct compass_wind over_ground, struct track current,
                   struct compass_wind *out);
bool wind_to_ground(struct compass_wind over_water, struct track current,
                    struct compass_wind *out);

/* What the apparent wind becomes, with gusts GUST_FACTOR (1 to 5) times the true wind. */
bool wind_outlook(struct wind true_wind, struct way way, double gust_factor,
                  struct outlook *out);

/* The Beaufort number, 0 to 12, by the table in knots or by that in metres a second; -1
 * for no speed.  The two tables are rounded apart, so they differ near some limits. */
int wind_beaufort_kn(double speed_kn);
int wind_beaufort_m_s(double speed_m_s);

/* "fresh breeze" for 5. */
const char *wind_beaufort_name(int beaufort);

#endif
