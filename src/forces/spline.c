#include "forces/spline.h"

#include <assert.h>
#include <math.h>

static double width_of(const struct spline *spline, int piece)
{
    return spline->x[piece + 1] - spline->x[piece];
}

static double secant(const struct spline *spline, int piece)
{
    return (spline->y[piece + 1] - spline->y[piece]) / width_of(spline, piece);
}

/* One line of the equations for the slopes: those before, at and after a point. */
struct line {
    double before, at, after, right;
};

static struct line inner_line(const struct spline *spline, int point)
{
    double left = width_of(spline, point - 1), right = width_of(spline, point);
    return (struct line){
        right, 2 * (left + right), left,
        3 * (right * secant(spline, point - 1) + left * secant(spline, point))};
}

/* NEAR is the piece at the end, FAR the one beside it. */
static struct line end_line(const struct spline *spline, int near, int far)
{
    double h = width_of(spline, near), g = width_of(spline, far);
    double right =
        ((3 * h + 2 * g) * g * secant(spline, near) + h * h * secant(spline, far)) /
        (h + g);
    return near < far ? (struct line){0, g, h + g, right}
                      : (struct line){h + g, g, 0, right};
}

/* Four points and more. */
static void solve(struct spline *spline)
{
    struct line lines[SPLINE_POINTS_MAX];
    int last = spline->count - 1;
    lines[0] = end_line(spline, 0, 1);
    lines[last] = end_line(spline, last - 1, last - 2);
    for (int i = 1; i < last; i++)
        lines[i] = inner_line(spline, i);
    for (int i = 1; i <= last; i++) {
        double times = lines[i].before / lines[i - 1].at;
        lines[i].at -= times * lines[i - 1].after;
        lines[i].right -= times * lines[i - 1].right;
    }
    spline->slope[last] = lines[last].right / lines[last].at;
    for (int i = last - 1; i >= 0; i--)
        spline->slope[i] =
            (lines[i].right - lines[i].after * spline->slope[i + 1]) / lines[i].at;
}

/* Through three points goes one parabola. */
static void bend_three(struct spline *spline)
{
    struct line middle = inner_line(spline, 1);
    spline->slope[1] = 2 * middle.right / (3 * middle.at);
    spline->slope[0] = 2 * secant(spline, 0) - spline->slope[1];
    spline->slope[2] = 2 * secant(spline, 1) - spline->slope[1];
}

/* SLOPE, or what of it is left between two secants. */
static double held(double slope, double before, double after)
{
    if (before * after <= 0)
        return 0;
    double most = 3 * fmin(fabs(before), fabs(after));
    return before > 0 ? fmax(0, fmin(slope, most)) : fmin(0, fmax(slope, -most));
}

void spline_bend(struct spline *spline)
{
    int last = spline->count - 1;
    assert(last >= 0 && spline->count <= SPLINE_POINTS_MAX);
    spline->slope[0] = 0;
    if (last == 1)
        spline->slope[0] = spline->slope[1] = secant(spline, 0);
    else if (last == 2)
        bend_three(spline);
    else if (last > 2)
        solve(spline);
    for (int i = 0; i <= last && last > 0; i++)
        spline->slope[i] = held(spline->slope[i], secant(spline, i ? i - 1 : 0),
                                secant(spline, i < last ? i : last - 1));
}

double spline_at(const struct spline *spline, double at)
{
    int piece = 0;
    assert(at >= spline->x[0] && at <= spline->x[spline->count - 1]);
    if (spline->count == 1)
        return spline->y[0];
    while (at > spline->x[piece + 1])
        piece++;
    double width = width_of(spline, piece), rise = secant(spline, piece);
    double first = spline->slope[piece], end = spline->slope[piece + 1];
    double cubic = (first + end - 2 * rise) / (width * width);
    double square = (3 * rise - 2 * first - end) / width;
    double step = at - spline->x[piece];
    return spline->y[piece] + step * (first + step * (square + step * cubic));
}
