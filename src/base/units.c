#include "base/units.h"

#include <string.h>

/* Exact by definition: the foot is 0.3048 m, the pound 0.45359237 kg (1959), and standard
 * gravity 9.80665 m/s2 (1901). */
static const double foot_m = 0.3048, pound_force_n = 0.45359237 * 9.80665;

bool units_read(const char *word, enum units *out)
{
    bool us = strcmp(word, "us") == 0;
    if (!us && strcmp(word, "metric") != 0)
        return false;
    *out = us ? UNITS_US : UNITS_METRIC;
    return true;
}

double units_length(enum units units, double metres)
{
    return units == UNITS_US ? metres / foot_m : metres;
}

double units_area(enum units units, double square_metres)
{
    return units == UNITS_US ? square_metres / (foot_m * foot_m) : square_metres;
}

double units_force(enum units units, double newtons)
{
    return units == UNITS_US ? newtons / pound_force_n : newtons;
}

const char *units_length_name(enum units units)
{
    return units == UNITS_US ? "ft" : "m";
}

const char *units_area_name(enum units units)
{
    return units == UNITS_US ? "ft2" : "m2";
}

const char *units_force_name(enum units units)
{
    return units == UNITS_US ? "lbf" : "N";
}
