#include "forces/coefficients.h"

#include "forces/curve.h"

enum { KNOTS_MOST = 11 };

struct table {
    int count;
    double angle_deg[KNOTS_MOST], lift[KNOTS_MOST], drag[KNOTS_MOST];
};

static const struct table tables[FLOWN_COUNT] = {
    [FLOWN_SYMMETRIC] = {11,
                         {28, 41, 50, 60, 67, 75, 100, 115, 130, 150, 180},
                         {0.000, 0.978, 1.241, 1.454, 1.456, 1.437, 1.190, 0.951, 0.706,
                          0.425, 0.000},
                         {0.213, 0.321, 0.425, 0.587, 0.598, 0.619, 0.850, 0.911, 0.935,
                          0.935, 0.935}},
    /* The lift at 180 is -0.120 in one transcription, +0.120 in the other; the sign taken
     * is the one that goes on from 0.250 at 150. */
    [FLOWN_ASYMMETRIC] = {11,
                          {28, 41, 50, 60, 67, 75, 100, 115, 130, 150, 180},
                          {0.026, 1.018, 1.277, 1.471, 1.513, 1.444, 1.137, 0.829, 0.560,
                           0.250, -0.120},
                          {0.191, 0.280, 0.366, 0.523, 0.448, 0.556, 0.757, 0.790, 0.776,
                           0.620, 0.400}},
    [FLOWN_ASYMMETRIC_POLE] = {11,
                               {28, 41, 50, 60, 67, 75, 100, 115, 130, 150, 180},
                               {0.085, 1.114, 1.360, 1.513, 1.548, 1.479, 1.207, 0.956,
                                0.706, 0.425, 0.000},
                               {0.170, 0.238, 0.306, 0.459, 0.392, 0.493, 0.791, 0.894,
                                0.936, 0.936, 0.936}},
    [FLOWN_MAIN] = {10,
                    {0, 7, 9, 12, 28, 60, 90, 120, 150, 180},
                    {0.000, 0.862, 1.052, 1.164, 1.347, 1.239, 1.125, 0.838, 0.296,
                     -0.112},
                    {0.043, 0.026, 0.023, 0.023, 0.033, 0.113, 0.383, 0.969, 1.316,
                     1.345}},
    [FLOWN_MAIN_HIGH_LIFT] = {
        10,
        {0, 7, 9, 12, 28, 60, 90, 120, 150, 180},
        {0.000, 0.948, 1.138, 1.250, 1.427, 1.269, 1.125, 0.838, 0.296, -0.112},
        {0.034, 0.017, 0.015, 0.015, 0.026, 0.113, 0.383, 0.969, 1.316, 1.345}}};

bool coefficients_at(enum flown flown, double angle_deg, struct coefficients *out)
{
    const struct table *table = &tables[flown];
    if (!(angle_deg >= table->angle_deg[0] && angle_deg <= 180))
        return false;
    *out = (struct coefficients){
        curve_at(table->angle_deg, table->lift, table->count, angle_deg),
        curve_at(table->angle_deg, table->drag, table->count, angle_deg)};
    return true;
}
