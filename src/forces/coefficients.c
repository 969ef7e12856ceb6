#include "forces/coefficients.h"

#include "forces/curve.h"

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

enum { KNOTS_MAX = sizeof symmetric / sizeof *symmetric };

bool coefficients_at(enum flown flown, double angle_deg, struct coefficients *out)
{
    const struct table *table = &tables[flown];
    if (!(angle_deg >= table->knots[0].angle_deg && angle_deg <= 180))
        return false;
    double angles[KNOTS_MAX], lifts[KNOTS_MAX], drags[KNOTS_MAX];
    for (int i = 0; i < table->count; i++) {
        angles[i] = table->knots[i].angle_deg;
        lifts[i] = table->knots[i].lift;
        drags[i] = table->knots[i].drag;
    }
    *out = (struct coefficients){curve_at(angles, lifts, table->count, angle_deg),
                                 curve_at(angles, drags, table->count, angle_deg)};
    return true;
}
