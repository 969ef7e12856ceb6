/* What a polar says of sailing downwind.  Between its figures runs the spline of spline.h
 * along the angles of each wind, then the curve of curve.h across the winds; beyond them
 * nothing is reckoned.  Winds are over the water.  False, and OUT left alone, where the
 * polar does not say or what is given makes no sense. */
#ifndef FORCES_DOWNWIND_H
#define FORCES_DOWNWIND_H

#include "forces/wind.h"
#include "model/polar.h"

/* The best way downwind. */
struct downwind_best {
    double angle_deg, speed_m_s; /* true wind angle to sail at, and how fast */
    double made_good_m_s;        /* straight down the wind */
    double through_deg;          /* the turn of a jibe from there to the other board */
    bool at_the_end;             /* the polar says nothing of deeper angles */
};

/* A mark to leeward. */
struct downwind_task {
    struct compass_wind wind;
    struct track current;
    double bearing_deg, distance_m; /* 0 to 360; above 0 */
};

/* A leg on one board. */
struct downwind_leg {
    bool starboard; /* starboard tack: the wind comes from there */
    double angle_deg, heading_deg, speed_m_s;
    struct track ground; /* on this track over the ground the mark is laid */
    double time_s;
};

/* Ways to the mark.  The two legs, in either order, may be cut into more and as long. */
struct downwind_ways {
    struct downwind_best best;
    struct downwind_leg straight, legs[2];
    bool has_straight; /* the polar says how fast she goes straight there */
    bool has_legs;     /* at the best angle it takes both boards */
    double legs_s;     /* of both, without what the jibes cost */
    double saved_s;    /* by the legs, before the jibes; 0 where one is not known */
};

/* Speed of the boat at ANGLE (-180 to 180) to the true wind. */
bool downwind_speed(const struct polar *polar, double wind_m_s, double angle_deg,
                    double *out_m_s);

/* The angle of the greatest speed made good downwind. */
bool downwind_find_best(const struct polar *polar, double wind_m_s,
                        struct downwind_best *out);

/* Straight to the mark, and on both boards at the best angle. */
bool downwind_find_ways(const struct polar *polar, const struct downwind_task *task,
                        struct downwind_ways *out);

/* How many jibes of COST_S seconds each what the legs save pays for; one at least is
 * needed. */
int downwind_jibes_that_pay(const struct downwind_ways *ways, double cost_s);

#endif
