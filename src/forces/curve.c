#include "forces/curve.h"

#include <assert.h>
#include <math.h>

struct table {
    const double *x, *y;
    int count;
};

static double width_of(const struct table *table, int interval)
{
    return table->x[interval + 1] - table->x[interval];
}

static double secant(const struct table *table, int interval)
{
    return (table->y[interval + 1] - table->y[interval]) / width_of(table, interval);
}

static double sign(double value)
{
    return value < 0 ? -1 : 1;
}

/* The slope at POINT: that of the parabola through the neighbours, held down so that the
 * curve is monotone; at an end that of the straight line there. */
static double slope_at(const struct table *table, int point)
{
    if (point == 0)
        return secant(table, 0);
    if (point == table->count - 1)
        return secant(table, point - 1);
    double before = secant(table, point - 1), after = secant(table, point);
    double left = width_of(table, point - 1), right = width_of(table, point);
    double parabola = (before * right + after * left) / (left + right);
    double most = fmin(fmin(fabs(before), fabs(after)), 0.5 * fabs(parabola));
    return (sign(before) + sign(after)) * most;
}

double curve_at(const double *x, const double *y, int count, double at)
{
    assert(count > 0 && at >= x[0] && at <= x[count - 1]);
    if (count == 1)
        return y[0];
    const struct table table = {x, y, count};
    int interval = 0;
    while (at > x[interval + 1])
        interval++;
    double width = width_of(&table, interval), rise = secant(&table, interval);
    double first = slope_at(&table, interval), last = slope_at(&table, interval + 1);
    double cubic = (first + last - 2 * rise) / (width * width);
    double square = (3 * rise - 2 * first - last) / width;
    double step = at - x[interval];
    return y[interval] + step * (first + step * (square + step * cubic));
}
