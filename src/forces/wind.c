#include "forces/wind.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>

#define LEEWAY_MOST_DEG  45.0
#define GUST_FACTOR_MOST 5.0
#define CALM_M_S         1e-9 /* what rounding leaves of a calm */
#define RADIANS(degrees) ((degrees) * (3.14159265358979323846 / 180))
#define DEGREES(radians) ((radians) * (180 / 3.14159265358979323846))

/* Ahead and to starboard, or north and east. */
struct vector {
    double ahead, abeam;
};

bool wind_speed_is_sane(double speed_m_s)
{
    return speed_m_s >= 0 && speed_m_s <= WIND_SPEED_MOST_M_S; /* false for NaN */
}

static bool is_compass(double direction_deg)
{
    return direction_deg >= 0 && direction_deg <= 360;
}

static bool is_wind(struct wind wind)
{
    return wind_speed_is_sane(wind.speed_m_s) && fabs(wind.angle_deg) <= 180;
}

static bool is_way(struct way way)
{
    return wind_speed_is_sane(way.speed_m_s) && fabs(way.leeway_deg) <= LEEWAY_MOST_DEG;
}

static bool is_track(struct track track)
{
    return wind_speed_is_sane(track.speed_m_s) && is_compass(track.toward_deg);
}

double wind_folded_deg(double angle_deg)
{
    double folded = remainder(angle_deg, 360);
    return folded == -180 ? 180 : folded;
}

double wind_compass_deg(double direction_deg)
{
    double turned = fmod(direction_deg, 360);
    turned = turned < 0 ? turned + 360 : turned;
    return turned >= 360 ? 0 : turned;
}

static struct vector polar(double speed, double angle_deg)
{
    return (struct vector){speed * cos(RADIANS(angle_deg)),
                           speed * sin(RADIANS(angle_deg))};
}

/* Speed and angle of A + SIGN * B; a calm has no angle. */
static void sum(struct vector a, double sign, struct vector b, double *speed,
                double *angle_deg)
{
    struct vector v = {a.ahead + sign * b.ahead, a.abeam + sign * b.abeam};
    *speed = hypot(v.ahead, v.abeam);
    *angle_deg =
        *speed > CALM_M_S ? wind_folded_deg(DEGREES(atan2(v.abeam, v.ahead))) : 0;
    if (*speed <= CALM_M_S)
        *speed = 0;
}

/* A boat under way makes a wind from where she goes; it comes on top of the true one. */
static bool turn(struct wind wind, struct way way, double sign, struct wind *out)
{
    if (!is_wind(wind) || !is_way(way))
        return false;
    sum(polar(wind.speed_m_s, wind.angle_deg), sign, polar(way.speed_m_s, way.leeway_deg),
        &out->speed_m_s, &out->angle_deg);
    return true;
}

bool wind_true(struct wind apparent, struct way way, struct wind *out)
{
    return turn(apparent, way, -1, out);
}

bool wind_apparent(struct wind true_wind, struct way way, struct wind *out)
{
    return turn(true_wind, way, 1, out);
}

/* North is 360 and a calm 0, as weather reports have it. */
static double reported_from(double speed, double from_deg)
{
    double direction = wind_compass_deg(from_deg);
    return speed > 0 && direction == 0 ? 360 : direction;
}

bool wind_over_ground(const struct readings *readings, struct compass_wind *out)
{
    if (!is_track(readings->ground) || !is_compass(readings->heading_deg) ||
        !is_compass(readings->wind_deg) || !wind_speed_is_sane(readings->wind_m_s))
        return false;
    double from;
    sum(polar(readings->wind_m_s, readings->heading_deg + readings->wind_deg), -1,
        polar(readings->ground.speed_m_s, readings->ground.toward_deg), &out->speed_m_s,
        &from);
    out->from_deg = reported_from(out->speed_m_s, from);
    return true;
}

bool wind_track(double heading_deg, struct way way, struct track current,
                struct track *out)
{
    if (!is_compass(heading_deg) || !is_way(way) || !is_track(current))
        return false;
    double toward;
    sum(polar(way.speed_m_s, heading_deg + way.leeway_deg), 1,
        polar(current.speed_m_s, current.toward_deg), &out->speed_m_s, &toward);
    out->toward_deg = wind_compass_deg(toward);
    return true;
}

static bool drift(struct compass_wind wind, struct track current, double sign,
                  struct compass_wind *out)
{
    if (!is_compass(wind.from_deg) || !wind_speed_is_sane(wind.speed_m_s) ||
        !is_track(current))
        return false;
    double from;
    sum(polar(wind.speed_m_s, wind.from_deg), sign,
        polar(current.speed_m_s, current.toward_deg), &out->speed_m_s, &from);
    out->from_deg = reported_from(out->speed_m_s, from);
    return true;
}

bool wind_to_water(struct compass_wind over_ground, struct track current,
                   struct compass_wind *out)
{
    return drift(over_ground, current, 1, out);
}

bool wind_to_ground(struct compass_wind over_water, struct track current,
                    struct compass_wind *out)
{
    return drift(over_water, current, -1, out);
}

/* The pull of a sail goes with the square of the wind it sees. */
static double pull(struct wind then, struct wind now)
{
    double ratio = now.speed_m_s > 0 ? then.speed_m_s / now.speed_m_s : 0;
    return ratio * ratio;
}

bool wind_outlook(struct wind true_wind, struct way way, double gust_factor,
                  struct outlook *out)
{
    struct outlook found;
    if (!(gust_factor >= 1 && gust_factor <= GUST_FACTOR_MOST) ||
        !wind_apparent(true_wind, way, &found.now))
        return false;
    struct wind gust = {true_wind.speed_m_s * gust_factor, true_wind.angle_deg};
    if (!wind_apparent(gust, way, &found.gust))
        return false;
    way.speed_m_s /= 2;
    wind_apparent(true_wind, way, &found.half);
    found.stopped = true_wind;
    found.jibed =
        (struct wind){found.now.speed_m_s, wind_folded_deg(-found.now.angle_deg)};
    found.half_pull = pull(found.half, found.now);
    found.stopped_pull = pull(found.stopped, found.now);
    found.gust_pull = pull(found.gust, found.now);
    *out = found;
    return true;
}

/* The Beaufort scale of the World Meteorological Organization: the least speed of each
 * number, in both units. */
static const struct {
    const char *name;
    double least_kn, least_m_s;
} beaufort[] = {
    {"calm", 0, 0},
    {"light air", 1, 0.3},
    {"light breeze", 4, 1.6},
    {"gentle breeze", 7, 3.4},
    {"moderate breeze", 11, 5.5},
    {"fresh breeze", 17, 8.0},
    {"strong breeze", 22, 10.8},
    {"near gale", 28, 13.9},
    {"gale", 34, 17.2},
    {"strong gale", 41, 20.8},
    {"storm", 48, 24.5},
    {"violent storm", 56, 28.5},
    {"hurricane", 64, 32.7},
};

enum { BEAUFORT_MOST = sizeof beaufort / sizeof *beaufort - 1 };

int wind_beaufort_kn(double speed_kn)
{
    if (!wind_speed_is_sane(speed_kn * WIND_KNOT_M_S))
        return -1;
    int number = BEAUFORT_MOST;
    while (speed_kn < beaufort[number].least_kn)
        number--;
    return number;
}

int wind_beaufort_m_s(double speed_m_s)
{
    if (!wind_speed_is_sane(speed_m_s))
        return -1;
    int number = BEAUFORT_MOST;
    while (speed_m_s < beaufort[number].least_m_s)
        number--;
    return number;
}

const char *wind_beaufort_name(int number)
{
    assert(number >= 0 && number <= BEAUFORT_MOST);
    return beaufort[number].name;
}
