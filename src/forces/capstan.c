#include "forces/capstan.h"

#include <math.h>
#include <stdbool.h>

static const double pi = 3.14159265358979323846;
static const double load_most_n = 1e12;
static const double nonsense = -1;

static bool is_load(double load_n)
{
    return load_n >= 0 && load_n <= load_most_n;
}

double capstan_hold_n(double load_n, double friction, double turns)
{
    if (!is_load(load_n) || !(friction > 0 && friction <= 2) ||
        !(turns >= 0 && turns <= 20))
        return nonsense;
    return load_n * exp(-friction * 2 * pi * turns);
}

int capstan_turns(double load_n, double hold_n)
{
    if (!is_load(load_n) || !(hold_n > 0))
        return -1;
    if (load_n <= hold_n)
        return 0;
    for (int turns = TURNS_LEAST; turns <= TURNS_MOST; turns++)
        if (capstan_hold_n(load_n, CAPSTAN_FRICTION_LEAST, turns) <= hold_n)
            return turns;
    return -1;
}

double winch_handle_n(double load_n, double power_ratio)
{
    return is_load(load_n) && power_ratio >= 1 ? load_n / power_ratio : nonsense;
}

double block_load_n(double line_n, double angle_deg)
{
    if (!is_load(line_n) || !(angle_deg >= 0 && angle_deg <= 180))
        return nonsense;
    return 2 * line_n * sin(angle_deg / 2 * pi / 180);
}
