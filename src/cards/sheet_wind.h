/* The wind, the sails, the methods and the way downwind, as text and as JSON. */
#ifndef CARDS_SHEET_WIND_H
#define CARDS_SHEET_WIND_H

#include "base/text.h"
#include "base/units.h"
#include "forces/cautions.h"
#include "forces/downwind.h"
#include "forces/methods.h"
#include "forces/sails.h"

/* A procedure and what speaks against it. */
struct wind_method {
    const struct procedure *procedure;
    unsigned against;
};

struct wind_sheet {
    enum units units;      /* of the text */
    struct wind true_wind; /* over the water */
    struct way way;
    struct outlook outlook;
    double gust_factor;
    bool gust_said, speed_from_polar, angle_from_polar;
    bool has_heading, has_current;
    double heading_deg;
    struct track current, ground;
    struct compass_wind over_water, over_ground;
    const struct sail_verdict *sails;
    const struct wind_method *methods;
    int sail_count, sail, method_count; /* SAIL: the one to take; -1: none */
    const struct method_today *today;
    const struct downwind_best *best; /* NULL: the polar does not say */
    const struct downwind_ways *ways; /* NULL: not asked */
    const struct downwind_task *task;
    double jibe_cost_s; /* 0: not said */
    int jibe_count;     /* timed jibes in the logbook, and how long half of them took */
    double jibe_median_s;
    const struct caution *cautions[CAUTIONS_MAX];
    int caution_count;
};

void sheet_wind(const struct wind_sheet *sheet, struct text *out);
void sheet_wind_json(const struct wind_sheet *sheet, struct text *out);

/* "11.6 kn at 165 deg to port"; a wind dead ahead or astern has no side. */
void sheet_add_wind(struct wind wind, struct text *out);

/* "too little true wind: 4.0 kn, from 5 kn", all of them. */
void sheet_add_reasons(const struct sail_verdict *verdict, struct text *out);

#endif
