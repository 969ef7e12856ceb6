/* The wind as it is said in one line, "14g19 7 150": true wind with the gust behind it,
 * boat speed, true angle off the bow; what stands further back may be left out.  Each
 * figure may have a unit: "7 m/s 12 km/h 150 deg". */
#ifndef FORCES_WEATHER_H
#define FORCES_WEATHER_H

#include "forces/sails.h"

enum { WEATHER_TEXT_MAX = 48 }; /* bytes of the line, with its end */

struct weather {
    double true_kn;   /* 0 to 80; 0 where nothing is said */
    double gust_kn;   /* true wind in the gusts, to 80; 0: not said */
    double boat_kn;   /* through the water, 0 to 60 */
    double angle_deg; /* 0 to 180; dead aft where none is said */
    bool is_said, boat_said, angle_said;
};

/* What is wrong with such a line. */
enum weather_wrong {
    WEATHER_FINE,
    WEATHER_WIND,
    WEATHER_GUST,
    WEATHER_BOAT,
    WEATHER_ANGLE,
    WEATHER_MORE /* words behind the angle, or a line that is too long */
};

/* Reads WORDS, an empty line as nothing said; OUT is left alone where they are wrong. */
enum weather_wrong weather_read(const char *words, struct weather *out);

/* What limits and loads go by, in knots: the gust where one is said, else the wind. */
double weather_limit_kn(const struct weather *weather);

/* What sails are chosen by; false where the boat's speed is not said. */
bool weather_apparent(const struct weather *weather, struct sail_weather *out);

#endif
