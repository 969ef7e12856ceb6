#include "forces/coefficients.h"

#include <math.h>

struct knot {
    double angle_deg, lift, drag;
};

struct table {
    const struct knot *knots;
    int count;
};

static const struct knot symmetric[] = {
    {28, 0.000, 0.213},  {41, 0.978, 0.321},  {50, 1.241, 0.425},  {60, 1.454, 0.587},
    {67, 1.456, 0.598},  {75, 1.437, 0.619},  {100, 1.190, 0.850}, {115, 0.951, 0.911},
    {130, 0.706, 0.935}, {150, 0.425, 0.935}, {180, 0.000, 0.935}};

/* The lift at 180 is -0.120 in one transcription, +0.120 in the other; the sign taken is
 * the one that goes on from 0.250 at 150. */
static const struct knot asymmetric[] = {
    {28, 0.026, 0.191},  {41, 1.018, 0.280},  {50, 1.277, 0.366},  {60, 1.471, 0.523},
    {67, 1.513, 0.448},  {75, 1.444, 0.556},  {100, 1.137, 0.757}, {115, 0.829, 0.790},
    {130, 0.560, 0.776}, {150, 0.250, 0.620}, {180, -0.120, 0.400}};

static const struct knot asymmetric_pole[] = {
    {28, 0.085, 0.170},  {41, 1.114, 0.238},  {50, 1.360, 0.306},  {60, 1.513, 0.459},
    {67, 1.548, 0.392},  {75, 1.479, 0.493},  {100, 1.207, 0.791}, {115, 0.956, 0.894},
    {130, 0.706, 0.936}, {150, 0.425, 0.936}, {180, 0.000, 0.936}};

static const struct knot mainsail[] = {
    {0, 0.000, 0.043},   {7, 0.862, 0.026},   {9, 1.052, 0.023},  {12, 1.164, 0.023},
    {28, 1.347, 0.033},  {60, 1.239, 0.113},  {90, 1.125, 0.383}, {120, 0.838, 0.969},
    {150, 0.296, 1.316}, {180, -0.112, 1.345}};

static const struct knot mainsail_high[] = {
    {0, 0.000, 0.034},   {7, 0.948, 0.017},   {9, 1.138, 0.015},  {12, 1.250, 0.015},
    {28, 1.427, 0.026},  {60, 1.269, 0.113},  {90, 1.125, 0.383}, {120, 0.838, 0.969},
    {150, 0.296, 1.316}, {180, -0.112, 1.345}};

#define TABLE(knots)                                                                     \
    {                                                                                    \
        knots, sizeof(knots) / sizeof *(knots)                                           \
    }
static const struct table tables[FLOWN_COUNT] = {
    [FLOWN_SYMMETRIC] = TABLE(symmetric),
    [FLOWN_ASYMMETRIC] = TABLE(asymmetric),
    [FLOWN_ASYMMETRIC_POLE] = TABLE(asymmetric_pole),
    [FLOWN_MAIN] = TABLE(mainsail),
    [FLOWN_MAIN_HIGH_LIFT] = TABLE(mainsail_high)};
#undef TABLE

/* One column of a table: lift or drag. */
static double value_at(const struct table *table, int knot, bool drag)
{
    return drag ? table->knots[knot].drag : table->knots[knot].lift;
}

static double width_of(const struct table *table, int interval)
{
    return table->knots[interval + 1].angle_deg - table->knots[interval].angle_deg;
}

static double secant(const struct table *table, int interval, bool drag)
{
    return (value_at(table, interval + 1, drag) - value_at(table, interval, drag)) /
           width_of(table, interval);
}

static double sign(double value)
{
    return value < 0 ? -1 : 1;
}

/* The slope of the curve at KNOT: that of the parabola through the neighbours, held down
 * so that the curve is monotone; at an end that of the straight line there. */
static double slope_at(const struct table *table, int knot, bool drag)
{
    if (knot == 0)
        return secant(table, 0, drag);
    if (knot == table->count - 1)
        return secant(table, knot - 1, drag);
    double before = secant(table, knot - 1, drag), after = secant(table, knot, drag);
    double left = width_of(table, knot - 1), right = width_of(table, knot);
    double parabola = (before * right + after * left) / (left + right);
    double most = fmin(fmin(fabs(before), fabs(after)), 0.5 * fabs(parabola));
    return (sign(before) + sign(after)) * most;
}

static double curve_at(const struct table *table, int interval, double angle_deg,
                       bool drag)
{
    double width = width_of(table, interval), rise = secant(table, interval, drag);
    double first = slope_at(table, interval, drag);
    double last = slope_at(table, interval + 1, drag);
    double at = angle_deg - table->knots[interval].angle_deg;
    double cubic = (first + last - 2 * rise) / (width * width);
    double square = (3 * rise - 2 * first - last) / width;
    return value_at(table, interval, drag) + at * (first + at * (square + at * cubic));
}

bool coefficients_at(enum flown flown, double angle_deg, struct coefficients *out)
{
    const struct table *table = &tables[flown];
    if (!(angle_deg >= table->knots[0].angle_deg && angle_deg <= 180))
        return false;
    int interval = 0;
    while (angle_deg > table->knots[interval + 1].angle_deg)
        interval++;
    *out = (struct coefficients){curve_at(table, interval, angle_deg, false),
                                 curve_at(table, interval, angle_deg, true)};
    return true;
}
