#include "forces/air.h"

#include <math.h>

static const double gas_dry = 287.05, gas_vapour = 461.495; /* J/(kg K) */

static bool is_within(double value, double least, double most)
{
    return value >= least && value <= most; /* false for what is no number */
}

struct air air_standard(void)
{
    return (struct air){.celsius = 15, .pressure_pa = 101325};
}

bool air_vapour_pa(double celsius, double humidity, double *out)
{
    if (!is_within(celsius, -60, 60) || !is_within(humidity, 0, 1))
        return false;
    *out = humidity * 611.2 * exp(17.62 * celsius / (celsius + 243.12));
    return true;
}

bool air_density(const struct air *air, double *out)
{
    if (!is_within(air->celsius, -60, 60) || !is_within(air->pressure_pa, 80e3, 110e3) ||
        !is_within(air->vapour_pa, 0, air->pressure_pa))
        return false;
    double kelvin = air->celsius + 273.15;
    *out = (air->pressure_pa - air->vapour_pa) / (gas_dry * kelvin) +
           air->vapour_pa / (gas_vapour * kelvin);
    return true;
}

bool air_dynamic_pressure_pa(double density_kg_m3, double speed_m_s, double *out)
{
    if (!is_within(density_kg_m3, 0.5, 2) || !is_within(speed_m_s, 0, 120))
        return false;
    *out = 0.5 * density_kg_m3 * speed_m_s * speed_m_s;
    return true;
}
