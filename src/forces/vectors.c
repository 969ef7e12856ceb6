#include "forces/vectors.h"

#include <math.h>

struct vector vector_add(struct vector a, struct vector b)
{
    return (struct vector){a.forward + b.forward, a.windward + b.windward, a.up + b.up};
}

struct vector vector_minus(struct vector a, struct vector b)
{
    return vector_add(a, vector_times(b, -1));
}

struct vector vector_times(struct vector a, double factor)
{
    return (struct vector){a.forward * factor, a.windward * factor, a.up * factor};
}

double vector_dot(struct vector a, struct vector b)
{
    return a.forward * b.forward + a.windward * b.windward + a.up * b.up;
}

struct vector vector_cross(struct vector a, struct vector b)
{
    return (struct vector){a.windward * b.up - a.up * b.windward,
                           a.up * b.forward - a.forward * b.up,
                           a.forward * b.windward - a.windward * b.forward};
}

double vector_length(struct vector a)
{
    return sqrt(vector_dot(a, a));
}

struct vector vector_toward(struct vector from, struct vector to)
{
    struct vector way = vector_minus(to, from);
    double length = vector_length(way);
    return length > 0 ? vector_times(way, 1 / length) : way;
}

bool vector_balance(struct vector load, const struct vector along[3], double out[3])
{
    struct vector held = vector_times(load, -1);
    double volume = vector_dot(along[0], vector_cross(along[1], along[2]));
    if (!(fabs(volume) > 1e-6)) /* also where it is no number */
        return false;
    out[0] = vector_dot(held, vector_cross(along[1], along[2])) / volume;
    out[1] = vector_dot(along[0], vector_cross(held, along[2])) / volume;
    out[2] = vector_dot(along[0], vector_cross(along[1], held)) / volume;
    return true;
}
