#include "forces/downwind.h"

#include "forces/curve.h"
#include "forces/spline.h"

#include <math.h>

#define RADIANS(degrees) ((degrees) * (3.14159265358979323846 / 180))
#define DISTANCE_MOST_M  1e6
#define SCAN_DEG         0.25
#define FINE_DEG         1e-9
#define JIBES_MOST       1000000

/* What is known of one wind: angles and speeds. */
static void take_wind(const struct polar *polar, int wind, struct spline *out)
{
    out->count = 0;
    for (int a = 0; a < polar->angle_count; a++) {
        if (isnan(polar->speed_m_s[wind][a]))
            continue;
        out->x[out->count] = polar->angle_deg[a];
        out->y[out->count++] = polar->speed_m_s[wind][a];
    }
    if (out->count)
        spline_bend(out);
}

static bool covers(const struct spline *points, double x)
{
    return points->count && x >= points->x[0] && x <= points->x[points->count - 1];
}

/* What is known of each wind, for one question. */
struct across {
    double value[POLAR_WINDS_MAX];
    bool has[POLAR_WINDS_MAX];
};

/* True where the winds that WIND is, or lies between, are known. */
static bool has_beside(const struct polar *polar, const struct across *across,
                       double wind_m_s)
{
    for (int w = 0; w < polar->wind_count; w++) {
        if (polar->wind_m_s[w] == wind_m_s)
            return across->has[w];
        if (w + 1 < polar->wind_count && polar->wind_m_s[w] < wind_m_s &&
            wind_m_s < polar->wind_m_s[w + 1])
            return across->has[w] && across->has[w + 1];
    }
    return false;
}

static bool read_across(const struct polar *polar, const struct across *across,
                        double wind_m_s, double *out)
{
    double x[POLAR_WINDS_MAX], y[POLAR_WINDS_MAX];
    int count = 0;
    if (!has_beside(polar, across, wind_m_s))
        return false;
    for (int w = 0; w < polar->wind_count; w++) {
        if (!across->has[w])
            continue;
        x[count] = polar->wind_m_s[w];
        y[count++] = across->value[w];
    }
    *out = curve_at(x, y, count, wind_m_s);
    return true;
}

bool downwind_speed(const struct polar *polar, double wind_m_s, double angle_deg,
                    double *out_m_s)
{
    double angle = fabs(angle_deg);
    struct across across;
    struct spline points;
    if (!wind_speed_is_sane(wind_m_s) || !(angle <= 180))
        return false;
    for (int w = 0; w < polar->wind_count; w++) {
        take_wind(polar, w, &points);
        across.has[w] = covers(&points, angle);
        if (across.has[w])
            across.value[w] = spline_at(&points, angle);
    }
    return read_across(polar, &across, wind_m_s, out_m_s);
}

static double made_good(const struct spline *points, double angle_deg)
{
    return -cos(RADIANS(angle_deg)) * spline_at(points, angle_deg);
}

/* The greatest speed made good between LEAST and MOST, where it has one summit. */
static double climb(const struct spline *points, double least, double most)
{
    while (most - least > FINE_DEG) {
        double third = (most - least) / 3;
        if (made_good(points, least + third) < made_good(points, most - third))
            least += third;
        else
            most -= third;
    }
    return (least + most) / 2;
}

/* The best angle of one wind; false where nothing aft of the beam is known. */
static bool best_of(const struct spline *points, double *angle_deg)
{
    if (!points->count || points->x[points->count - 1] <= 90)
        return false;
    double least = fmax(points->x[0], 90), most = points->x[points->count - 1];
    double best = most;
    for (double angle = least; angle < most; angle += SCAN_DEG)
        if (made_good(points, angle) > made_good(points, best))
            best = angle;
    double found =
        climb(points, fmax(least, best - SCAN_DEG), fmin(most, best + SCAN_DEG));
    *angle_deg = made_good(points, found) > made_good(points, best) ? found : best;
    return true;
}

bool downwind_find_best(const struct polar *polar, double wind_m_s,
                        struct downwind_best *out)
{
    struct across angles = {0}, speeds = {0}, ends = {0};
    struct spline points;
    struct downwind_best best;
    double at_the_end = 0;
    if (!wind_speed_is_sane(wind_m_s))
        return false;
    for (int w = 0; w < polar->wind_count; w++) {
        take_wind(polar, w, &points);
        bool has = best_of(&points, &angles.value[w]);
        angles.has[w] = speeds.has[w] = ends.has[w] = has;
        if (!has)
            continue;
        double last = points.x[points.count - 1];
        speeds.value[w] = made_good(&points, angles.value[w]);
        ends.value[w] = angles.value[w] == last && last < 180;
    }
    if (!read_across(polar, &angles, wind_m_s, &best.angle_deg) ||
        !read_across(polar, &speeds, wind_m_s, &best.made_good_m_s) ||
        !read_across(polar, &ends, wind_m_s, &at_the_end))
        return false;
    best.speed_m_s = -best.made_good_m_s / cos(RADIANS(best.angle_deg));
    best.through_deg = 2 * (180 - best.angle_deg);
    best.at_the_end = at_the_end > 0;
    *out = best;
    return true;
}

/* The leg at ANGLE (to starboard positive) to the true wind. */
static bool make_leg(const struct downwind_task *task, double angle_deg, double speed_m_s,
                     struct downwind_leg *leg)
{
    leg->starboard = angle_deg >= 0;
    leg->angle_deg = fabs(angle_deg);
    leg->heading_deg = wind_compass_deg(task->wind.from_deg - angle_deg);
    leg->speed_m_s = speed_m_s;
    return wind_track(leg->heading_deg, (struct way){speed_m_s, 0}, task->current,
                      &leg->ground);
}

/* How fast LEG goes along and across the way to the mark; starboard of it positive. */
static double along(const struct downwind_task *task, const struct downwind_leg *leg)
{
    return leg->ground.speed_m_s *
           cos(RADIANS(leg->ground.toward_deg - task->bearing_deg));
}

static double across(const struct downwind_task *task, const struct downwind_leg *leg)
{
    return leg->ground.speed_m_s *
           sin(RADIANS(leg->ground.toward_deg - task->bearing_deg));
}

static bool leg_at(const struct polar *polar, const struct downwind_task *task,
                   double angle_deg, struct downwind_leg *leg)
{
    double speed;
    return downwind_speed(polar, task->wind.speed_m_s, angle_deg, &speed) &&
           make_leg(task, angle_deg, speed, leg);
}

/* The leg between the angles LEAST and MOST that goes straight to the mark: she passes it
 * on one side with the one and on the other side with the other. */
static bool straighten(const struct polar *polar, const struct downwind_task *task,
                       double least, double most, struct downwind_leg *leg)
{
    struct downwind_leg first;
    if (!leg_at(polar, task, least, &first))
        return false;
    while (most - least > FINE_DEG) {
        double middle = (least + most) / 2;
        if (!leg_at(polar, task, middle, leg))
            return false;
        if ((across(task, leg) > 0) == (across(task, &first) > 0))
            least = middle;
        else
            most = middle;
    }
    return leg_at(polar, task, least, leg);
}

/* Keeps LEG where it is the fastest straight way so far. */
static void keep_fastest(const struct downwind_task *task, struct downwind_leg *leg,
                         struct downwind_ways *ways)
{
    double speed = along(task, leg);
    if (speed <= 0)
        return;
    leg->time_s = task->distance_m / speed;
    if (ways->has_straight && ways->straight.time_s <= leg->time_s)
        return;
    ways->straight = *leg;
    ways->has_straight = true;
}

/* Tries the angles of both boards, degree by degree. */
static void find_straight(const struct polar *polar, const struct downwind_task *task,
                          struct downwind_ways *ways)
{
    struct downwind_leg before = {0}, leg;
    bool has_before = false;
    for (int angle = -180; angle <= 180; angle++) {
        bool has = leg_at(polar, task, angle, &leg);
        bool is_passed = has && has_before && along(task, &leg) > 0 &&
                         (across(task, &leg) > 0) != (across(task, &before) > 0);
        before = leg;
        has_before = has;
        if (is_passed && straighten(polar, task, angle - 1, angle, &leg))
            keep_fastest(task, &leg, ways);
    }
}

/* How long to stay on each board so that both together end at the mark. */
static void share_legs(const struct downwind_task *task, struct downwind_ways *ways)
{
    struct downwind_leg *one = &ways->legs[0], *other = &ways->legs[1];
    double along_one = along(task, one), along_other = along(task, other);
    double across_one = across(task, one), across_other = across(task, other);
    double area = along_one * across_other - along_other * across_one;
    if (area == 0)
        return;
    one->time_s = task->distance_m * across_other / area;
    other->time_s = -task->distance_m * across_one / area;
    ways->has_legs = one->time_s > 0 && other->time_s > 0;
    ways->legs_s = ways->has_legs ? one->time_s + other->time_s : 0;
}

bool downwind_find_ways(const struct polar *polar, const struct downwind_task *task,
                        struct downwind_ways *out)
{
    struct downwind_ways ways = {.has_straight = false};
    struct compass_wind checked;
    if (!(task->distance_m > 0 && task->distance_m <= DISTANCE_MOST_M) ||
        !(task->bearing_deg >= 0 && task->bearing_deg <= 360) ||
        !wind_to_ground(task->wind, task->current, &checked) ||
        !downwind_find_best(polar, task->wind.speed_m_s, &ways.best) ||
        !make_leg(task, ways.best.angle_deg, ways.best.speed_m_s, &ways.legs[0]) ||
        !make_leg(task, -ways.best.angle_deg, ways.best.speed_m_s, &ways.legs[1]))
        return false;
    find_straight(polar, task, &ways);
    share_legs(task, &ways);
    if (ways.has_straight && ways.has_legs)
        ways.saved_s = fmax(0, ways.straight.time_s - ways.legs_s);
    *out = ways;
    return true;
}

int downwind_jibes_that_pay(const struct downwind_ways *ways, double cost_s)
{
    if (!(cost_s > 0))
        return 0;
    return (int)fmin(ways->saved_s / cost_s, JIBES_MOST);
}
