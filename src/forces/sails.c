#include "forces/sails.h"

#include <math.h>

#define HALF_SHARE 0.75 /* of the foot: where headsails end and spinnakers begin */

double sail_area_m2(const struct sail *sail)
{
    if (sail->area_m2 > 0)
        return sail->area_m2;
    return (sail->luff_m + sail->leech_m) / 2 * (sail->foot_m + 4 * sail->half_m) / 6;
}

double sail_half_share(const struct sail *sail)
{
    return sail->foot_m > 0 ? sail->half_m / sail->foot_m : 0;
}

enum measured sail_measured(const struct sail *sail)
{
    if (sail->perpendicular_m > 0 && sail->headsail_half_m > 0 &&
        sail->headsail_half_m <= HALF_SHARE * sail->perpendicular_m)
        return MEASURED_HEADSAIL;
    if (sail->foot_m <= 0 || sail->half_m <= 0)
        return MEASURED_NOT;
    return sail->half_m >= HALF_SHARE * sail->foot_m ? MEASURED_SPINNAKER
                                                     : MEASURED_NEITHER;
}

int sail_code_number(const char *code)
{
    int number = -1;
    for (; *code; code++) {
        if (*code < '0' || *code > '9')
            continue;
        if (number >= 0)
            return -1; /* two figures are no code */
        number = *code - '0';
    }
    return number <= 6 ? number : -1;
}

/* A range; 0 to MOST where nothing is said. */
struct band {
    double least, most;
};

/* What a sail is for. */
struct bands {
    struct band true_kn, true_deg, apparent_kn, apparent_deg;
};

enum { WIND_MOST_KN = 80, ANGLE_MOST_DEG = 180 };

#define ANY_WIND                                                                         \
    {                                                                                    \
        0, WIND_MOST_KN                                                                  \
    }
#define ANY_ANGLE                                                                        \
    {                                                                                    \
        0, ANGLE_MOST_DEG                                                                \
    }
/* By the number of the code: odd for reaching, even for running, higher for more wind.
 * Common practice. */
static const struct bands of_code[] = {
    {ANY_WIND, ANY_ANGLE, {1, 16}, {38, 80}},
    {{3, 8}, ANY_ANGLE, ANY_WIND, {60, 90}},
    {{7, 16}, ANY_ANGLE, ANY_WIND, {90, 155}},
    {{12, 22}, ANY_ANGLE, ANY_WIND, {70, 110}},
    {{16, 28}, ANY_ANGLE, ANY_WIND, {110, 160}},
    {{20, 30}, ANY_ANGLE, ANY_WIND, {70, 110}},
    {{28, WIND_MOST_KN}, ANY_ANGLE, ANY_WIND, {120, 170}},
};

/* Apparent wind by the weight of the cloth: near its limit, and the limit.  Common
 * practice. */
static const struct band of_cloth[] = {
    [CLOTH_NOT_SAID] = {WIND_MOST_KN, WIND_MOST_KN},
    [CLOTH_HALF] = {10, 12},
    [CLOTH_THREE_QUARTERS] = {15, 18},
    [CLOTH_ONE_AND_A_HALF] = {22, 25},
    [CLOTH_TWO_AND_MORE] = {WIND_MOST_KN, WIND_MOST_KN},
};

static bool says(struct band band, double most)
{
    return band.least > 0 || band.most < most;
}

/* What SAIL is for, and whether its winds or its angles are those of its code. */
static struct bands bands_of(const struct sail *sail, bool *wind_by_code, bool *by_code)
{
    struct bands own = {{sail->wind_least_kn, sail->wind_most_kn},
                        {sail->angle_least_deg, sail->angle_most_deg},
                        {sail->apparent_least_kn, sail->apparent_most_kn},
                        {sail->apparent_least_deg, sail->apparent_most_deg}};
    int number = sail_code_number(sail->code);
    bool says_wind =
        says(own.true_kn, WIND_MOST_KN) || says(own.apparent_kn, WIND_MOST_KN);
    bool says_angle =
        says(own.true_deg, ANGLE_MOST_DEG) || says(own.apparent_deg, ANGLE_MOST_DEG);
    *wind_by_code = number >= 0 && !says_wind;
    *by_code = number >= 0 && !(says_wind && says_angle);
    if (*wind_by_code) {
        own.true_kn = of_code[number].true_kn;
        own.apparent_kn = of_code[number].apparent_kn;
    }
    if (*by_code && !says_angle) {
        own.true_deg = of_code[number].true_deg;
        own.apparent_deg = of_code[number].apparent_deg;
    }
    return own;
}

struct sail_most sail_most_wind(const struct sail *sail)
{
    bool wind_by_code, by_code;
    struct bands bands = bands_of(sail, &wind_by_code, &by_code);
    struct band cloth = of_cloth[sail->cloth];
    return (struct sail_most){bands.true_kn.most, bands.apparent_kn.most, cloth.least,
                              cloth.most, wind_by_code};
}

static void add(struct sail_verdict *verdict, bool is_so, enum sail_reason_kind kind,
                double is, double limit)
{
    if (!is_so)
        return;
    verdict->reasons[verdict->reason_count++] = (struct sail_reason){kind, is, limit};
    verdict->fits &= kind >= REASON_CAUTIONS;
}

/* Below LEAST is for KIND, above MOST for the one behind it. */
static void hold(struct sail_verdict *verdict, enum sail_reason_kind below,
                 enum sail_reason_kind above, double is, struct band band)
{
    add(verdict, is < band.least, below, is, band.least);
    add(verdict, is > band.most, above, is, band.most);
}

bool sail_judge(const struct sail *sail, const struct sail_weather *weather,
                struct sail_verdict *out)
{
    double true_kn = weather->true_wind.speed_m_s / WIND_KNOT_M_S;
    double apparent_kn = weather->apparent.speed_m_s / WIND_KNOT_M_S;
    double true_deg = fabs(weather->true_wind.angle_deg);
    double apparent_deg = fabs(weather->apparent.angle_deg);
    double gust_kn = weather->gust_m_s / WIND_KNOT_M_S;
    if (!wind_speed_is_sane(weather->true_wind.speed_m_s) ||
        !wind_speed_is_sane(weather->apparent.speed_m_s) ||
        !wind_speed_is_sane(weather->gust_m_s) || !(true_deg <= ANGLE_MOST_DEG) ||
        !(apparent_deg <= ANGLE_MOST_DEG))
        return false;
    *out = (struct sail_verdict){.sail = sail, .fits = true};
    bool wind_by_code;
    struct bands bands = bands_of(sail, &wind_by_code, &out->by_code);
    struct band cloth = of_cloth[sail->cloth];
    hold(out, REASON_TRUE_LIGHT, REASON_TRUE_STRONG, true_kn, bands.true_kn);
    add(out, true_kn <= bands.true_kn.most && gust_kn > bands.true_kn.most, REASON_GUST,
        gust_kn, bands.true_kn.most);
    hold(out, REASON_TRUE_HIGH, REASON_TRUE_DEEP, true_deg, bands.true_deg);
    hold(out, REASON_APPARENT_LIGHT, REASON_APPARENT_STRONG, apparent_kn,
         bands.apparent_kn);
    hold(out, REASON_APPARENT_HIGH, REASON_APPARENT_DEEP, apparent_deg,
         bands.apparent_deg);
    add(out, apparent_kn > cloth.most, REASON_CLOTH, apparent_kn, cloth.most);
    add(out, apparent_kn > cloth.least && apparent_kn <= cloth.most, REASON_CLOTH_NEAR,
        apparent_kn, cloth.most);
    add(out, true_kn > cloth.most && apparent_kn <= cloth.most, REASON_CLOTH_STOPPED,
        true_kn, cloth.most);
    return true;
}

int sail_choose(const struct sail_verdict *verdicts, int count)
{
    int best = -1;
    for (int i = 0; i < count; i++) {
        if (!verdicts[i].fits)
            continue;
        const struct sail_verdict *kept = best < 0 ? NULL : &verdicts[best];
        bool is_calmer = kept && kept->reason_count && !verdicts[i].reason_count;
        bool is_worse = kept && !kept->reason_count && verdicts[i].reason_count;
        bool is_larger =
            kept && sail_area_m2(verdicts[i].sail) > sail_area_m2(kept->sail);
        if (!kept || is_calmer || (!is_worse && is_larger))
            best = i;
    }
    return best;
}
