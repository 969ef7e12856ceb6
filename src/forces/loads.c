#include "forces/loads.h"

#include <math.h>

static const double radian = 3.14159265358979323846 / 180;

/* Sine and cosine of 2 atan(2 x 1/4): the angle at the edge of an arc a quarter as deep
 * as its chord. */
static const double out_of_plane = 0.8, in_plane = 0.6;

bool sail_force(enum flown flown, double area_m2, const struct sail_wind *wind,
                struct sail_force *out)
{
    struct coefficients c;
    double density, pressure;
    if (!(area_m2 > 0 && area_m2 <= 2000) || !air_density(&wind->air, &density) ||
        !air_dynamic_pressure_pa(density, wind->speed_m_s, &pressure) ||
        !coefficients_at(flown, wind->angle_deg, &c))
        return false;
    double lift = c.lift * pressure * area_m2, drag = c.drag * pressure * area_m2;
    double sine = sin(wind->angle_deg * radian), cosine = cos(wind->angle_deg * radian);
    *out = (struct sail_force){.pressure_pa = pressure,
                               .lift_n = lift,
                               .drag_n = drag,
                               .total_n = hypot(lift, drag),
                               .drive_n = lift * sine - drag * cosine,
                               .side_n = lift * cosine + drag * sine};
    return true;
}

double sail_corner_n(const struct sail_force *force)
{
    return force->total_n / 3 / out_of_plane;
}

double sail_genoa_sheet_n(double area_m2, double wind_kn)
{
    static const double kg_m2_kn2 = 0.02104, gravity_n_kg = 9.80665;
    if (!(area_m2 > 0 && area_m2 <= 2000) || !(wind_kn >= 0 && wind_kn <= 200))
        return -1;
    return kg_m2_kn2 * gravity_n_kg * area_m2 * wind_kn * wind_kn;
}

void sail_corners(const struct sail_force *force, struct vector out[CORNER_COUNT])
{
    double pull = sail_corner_n(force);
    if (!(pull > 0)) {
        out[CORNER_TACK] = out[CORNER_CLEW] = out[CORNER_HEAD] = (struct vector){0};
        return;
    }
    struct vector square = {force->drive_n / force->total_n,
                            -force->side_n / force->total_n, 0};
    struct vector to_clew = {square.windward, -square.forward, 0}; /* from the tack */
    double across = in_plane * sqrt(0.75), up = in_plane * 0.5;
    struct vector lift = {0, 0, 1};
    struct vector even = vector_times(square, out_of_plane);
    struct vector rise = vector_add(even, vector_times(lift, up));
    out[CORNER_TACK] =
        vector_times(vector_add(rise, vector_times(to_clew, across)), pull);
    out[CORNER_CLEW] =
        vector_times(vector_add(rise, vector_times(to_clew, -across)), pull);
    out[CORNER_HEAD] =
        vector_times(vector_add(even, vector_times(lift, -in_plane)), pull);
}
