/* Forces and places in space: forward, to windward, up; metres or newtons. */
#ifndef FORCES_VECTORS_H
#define FORCES_VECTORS_H

#include <stdbool.h>

struct vector {
    double forward, windward, up;
};

struct vector vector_add(struct vector a, struct vector b);
struct vector vector_minus(struct vector a, struct vector b);
struct vector vector_times(struct vector a, double factor);
double vector_dot(struct vector a, struct vector b);
struct vector vector_cross(struct vector a, struct vector b);
double vector_length(struct vector a);

/* The direction from FROM to TO; nothing where they are one place. */
struct vector vector_toward(struct vector from, struct vector to);

/* How hard three members along ALONG must pull (push where negative) at a point so that
 * they hold LOAD there: OUT[0] ALONG[0] + ... = -LOAD.  False where the three lie in one
 * plane, or nearly, and cannot hold every load. */
bool vector_balance(struct vector load, const struct vector along[3], double out[3]);

#endif
