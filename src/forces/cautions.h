/* The usual cautions of sailing downwind: each a threshold and its reason, all of them
 * common practice.  None is a measure of danger, and none says that it is safe. */
#ifndef FORCES_CAUTIONS_H
#define FORCES_CAUTIONS_H

#include "forces/wind.h"
#include "model/condition.h"

enum { CAUTIONS_MAX = 8, CAUTION_FIGURES = 2 };

/* What a threshold is of. */
enum caution_measure {
    MEASURE_NONE,
    MEASURE_TRUE_KN,
    MEASURE_TRUE_DEG,
    MEASURE_APPARENT_KN,
    MEASURE_APPARENT_DEG,
    MEASURE_HALF_PULL, /* times the pull of now */
    MEASURE_GUST_PULL
};

/* It applies from AT, or up to it. */
struct caution_figure {
    enum caution_measure measure;
    double at;
    bool up_to;
};

struct caution {
    enum signal signal;
    struct caution_figure figures[CAUTION_FIGURES]; /* all of them */
    const char *reason, *act;
};

/* The cautions that apply now, in OUT; returns how many. */
int cautions_find(struct wind true_wind, const struct outlook *outlook,
                  const struct caution *out[CAUTIONS_MAX]);

/* What MEASURE is now: knots, degrees or times. */
double caution_measured(enum caution_measure measure, struct wind true_wind,
                        const struct outlook *outlook);

#endif
