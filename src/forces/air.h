/* The density of air and the pressure of moving air.  Pure functions; false, with OUT
 * left alone, where what they are given is not finite or beyond what a boat could meet.
 *
 * Moist air is a mixture of two ideal gases: density = dry / (287.05 T) +
 * vapour / (461.495 T); saturation after Magnus, 6.112 exp(17.62 t / (t + 243.12)) hPa.
 */
#ifndef FORCES_AIR_H
#define FORCES_AIR_H

#include <stdbool.h>

struct air {
    double celsius;     /* -60 to 60 */
    double pressure_pa; /* 80 000 to 110 000 */
    double vapour_pa;   /* the part of the pressure that is water vapour */
};

/* The standard atmosphere at sea level: 15 degrees, 101 325 Pa, dry. */
struct air air_standard(void);

/* The pressure of the vapour at HUMIDITY, 0 to 1, or at the dew point with 1. */
bool air_vapour_pa(double celsius, double humidity, double *out);

/* Kilogrammes a cubic metre. */
bool air_density(const struct air *air, double *out);

/* Half the density times the square of the speed, Pa; up to 120 m/s. */
bool air_dynamic_pressure_pa(double density_kg_m3, double speed_m_s, double *out);

#endif
