#include "base/quantity.h"

#include <string.h>

/* Exact by definition: the inch is 25.4 mm (1959), the nautical mile 1852 m (1929). */
static const struct unit {
    enum quantity quantity;
    const char *name;
    double factor;
} units[] = {{QUANTITY_LENGTH, "m", 1},
             {QUANTITY_LENGTH, "km", 1000},
             {QUANTITY_LENGTH, "nm", 1852},
             {QUANTITY_LENGTH, "mi", 1609.344},
             {QUANTITY_LENGTH, "ft", 0.3048},
             {QUANTITY_LENGTH, "yd", 0.9144},
             {QUANTITY_SPEED, "", 1},
             {QUANTITY_SPEED, "kn", 1},
             {QUANTITY_SPEED, "m/s", 3600.0 / 1852},
             {QUANTITY_SPEED, "km/h", 1000.0 / 1852},
             {QUANTITY_SPEED, "mph", 1609.344 / 1852},
             {QUANTITY_LENGTHS, "lengths", 1},
             {QUANTITY_TIME, "s", 1},
             {QUANTITY_TIME, "m", 60},
             {QUANTITY_TIME, "min", 60},
             {QUANTITY_ANGLE, "", 1},
             {QUANTITY_ANGLE, "deg", 1}};

enum { DIGITS_MAX = 12 };

/* The digits at WORD; what follows them in *REST.  False where there are none. */
static bool read_number(const char *word, double *out, const char **rest)
{
    double value = 0, place = 1;
    int digits = 0, points = 0;
    for (; (*word >= '0' && *word <= '9') || *word == '.'; word++) {
        if (*word == '.') {
            points++;
            continue;
        }
        digits++;
        value = value * 10 + (*word - '0');
        place *= points ? 10 : 1;
    }
    *out = value / place;
    *rest = word;
    return digits && digits <= DIGITS_MAX && points <= 1;
}

bool quantity_read(const char *word, enum quantity quantity, double *out)
{
    double value;
    const char *unit;
    bool minus = *word == '-' && quantity == QUANTITY_SPEED;
    if (!read_number(word + minus, &value, &unit))
        return false;
    unit += *unit == ' ';
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (units[i].quantity == quantity && strcmp(units[i].name, unit) == 0) {
            *out = (minus ? -value : value) * units[i].factor;
            return true;
        }
    return false;
}
