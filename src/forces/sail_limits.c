#include "forces/sail_limits.h"

#include <math.h>

/* What the apparent wind is and may become, in knots, by enum limit_wind. */
struct winds {
    double kn[LIMIT_STOPPED + 1];
};

static struct winds find_winds(const struct weather *weather)
{
    struct winds winds = {{[LIMIT_STOPPED] = weather_limit_kn(weather)}};
    struct wind true_wind = {weather->true_kn * WIND_KNOT_M_S, weather->angle_deg};
    struct way way = {weather->boat_kn * WIND_KNOT_M_S, 0};
    bool has_gust = weather->gust_kn > 0 && weather->true_kn > 0;
    double factor = has_gust ? weather->gust_kn / weather->true_kn : 1;
    struct outlook outlook;
    if (!weather->boat_said || !wind_outlook(true_wind, way, factor, &outlook))
        return winds;
    winds.kn[LIMIT_NOW] =
        fmax(outlook.now.speed_m_s, outlook.jibed.speed_m_s) / WIND_KNOT_M_S;
    winds.kn[LIMIT_IN_GUST] = outlook.gust.speed_m_s / WIND_KNOT_M_S;
    winds.kn[LIMIT_HALF] = outlook.half.speed_m_s / WIND_KNOT_M_S;
    return winds;
}

double sail_strongest_kn(const struct weather *weather)
{
    struct winds winds = find_winds(weather);
    double most = 0;
    for (int wind = LIMIT_NOW; wind <= LIMIT_STOPPED; wind++)
        most = fmax(most, winds.kn[wind]);
    return most;
}

static void add(struct sail_limits *out, struct sail_limit limit)
{
    out->at[out->count++] = limit;
    out->stop |= limit.stops;
}

/* The first of the apparent winds that is above MOST_KN: the others follow from it. */
static bool hold_apparent(const struct winds *winds, double most_kn,
                          struct sail_limit *out)
{
    for (int wind = LIMIT_NOW; wind <= LIMIT_STOPPED; wind++)
        if (winds->kn[wind] > most_kn) {
            *out = (struct sail_limit){.wind = (enum limit_wind)wind,
                                       .is_kn = winds->kn[wind],
                                       .most_kn = most_kn,
                                       .stops = wind < LIMIT_HALF};
            return true;
        }
    return false;
}

static void hold_true(const struct weather *weather, const struct sail_most *most,
                      struct sail_limits *out)
{
    if (weather_limit_kn(weather) > most->true_kn)
        add(out,
            (struct sail_limit){.wind = weather->gust_kn > 0 ? LIMIT_GUST : LIMIT_TRUE,
                                .is_kn = weather_limit_kn(weather),
                                .most_kn = most->true_kn,
                                .by_code = most->by_code,
                                .stops = !most->by_code});
}

static void hold_cloth(const struct winds *winds, const struct sail_most *most,
                       struct sail_limits *out)
{
    struct sail_limit limit = {
        .wind = LIMIT_NEAR, .is_kn = winds->kn[LIMIT_NOW], .most_kn = most->cloth_kn};
    if (hold_apparent(winds, most->cloth_kn, &limit) ||
        limit.is_kn > most->cloth_near_kn) {
        limit.of_cloth = true;
        add(out, limit);
    }
}

void sail_limits_find(const struct sail *sail, const struct weather *weather,
                      struct sail_limits *out)
{
    struct sail_most most = sail_most_wind(sail);
    struct winds winds = find_winds(weather);
    struct sail_limit limit;
    *out = (struct sail_limits){.count = 0};
    hold_true(weather, &most, out);
    if (hold_apparent(&winds, most.apparent_kn, &limit)) {
        limit.by_code = most.by_code;
        limit.stops &= !most.by_code;
        add(out, limit);
    }
    hold_cloth(&winds, &most, out);
}
