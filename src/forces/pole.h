/* The pole: where it goes for the wind, whether it can be dipped, and what holds it.
 * An estimate for planning hands and turns, never for sizing gear.  Pure functions.
 *
 * Places are in metres from the foot of the mast at deck level.  A boat file does not say
 * all of them; assumed are: the guy's lead on the rail three quarters of the way from the
 * mast to the stern and 15 % of the length out, the foreguy's on the middle line half way
 * to the forestay, the topping lift's sheave at 60 % of I, a pulpit 0.7 m high, 0.2 m
 * between pole and forestay, and the pole sailed level, half way up the range of its
 * inboard end. */
#ifndef FORCES_POLE_H
#define FORCES_POLE_H

#include "forces/vectors.h"
#include "model/boat.h"

/* Enough of a boat for its pole. */
struct pole_rig {
    double i_m, j_m;
    double length_m;        /* of the pole */
    double least_m, most_m; /* range of the inboard end above the deck */
    double sailing_m;       /* its height while sailing */
    double pulpit_m, gap_m; /* what the outboard end passes above, and aft of */
    struct vector guy_lead, foreguy_lead, lift_sheave;
};

/* False where BOAT does not have the pole, I, J and the range of the inboard end. */
bool pole_rig_of_boat(const struct boat *boat, struct pole_rig *out);

/* The angle of the pole from the bow for an apparent wind: square to the wind where it is
 * aft of 120 degrees, over-squared little by little further forward, by 15 degrees at 90
 * (common practice); held between its stops. */
struct pole_angle {
    double wanted_deg, deg;
    double forward_stop_deg; /* a hand off the forestay */
    double aft_stop_deg;     /* athwartships, where the shrouds are */
};
bool pole_angle(const struct pole_rig *rig, double wind_deg, struct pole_angle *out);

/* How far the pole is squared before it is tripped, and no further (common practice). */
enum { POLE_TRIP_LEAST_DEG = 60, POLE_TRIP_MOST_DEG = 70 };

/* Dipping: the outboard end swings through above the pulpit and aft of the forestay. */
struct pole_dip {
    bool passes;        /* with the inboard end within its range */
    double inboard_m;   /* the least height of the inboard end at which it does */
    double drop_deg;    /* the pole hangs down by this as it passes */
    double lift_ease_m; /* topping lift, from its mark with the pole squared and level to
                           its dip mark */
    double foreguy_m;   /* its jibe mark: from lead to pole end where that is furthest */
};
bool pole_dip(const struct pole_rig *rig, struct pole_dip *out);

/* End for end one hand lifts the pole off the mast and sends it across: the longest and
 * the most true wind for that (common practice). */
#define POLE_END_FOR_END_MOST_M  5.0
#define POLE_END_FOR_END_MOST_KN 15.0

/* What holds the outboard end against the pull of the tack: guy, pole and whichever of
 * topping lift and foreguy is needed. */
struct pole_hold {
    double guy_n;
    double compression_n; /* along the pole, into the mast */
    double lift_n, foreguy_n;
};

/* ANGLE_DEG from the bow, the pole level at its sailing height.  False where nothing can
 * hold it so: the guy would have to push. */
bool pole_hold(const struct pole_rig *rig, double angle_deg, struct vector tack_pull,
               struct pole_hold *out);

/* What a long thin tube carries as a column, as a share of what another of the same wall
 * proportions does: it goes as the square of diameter over length. */
double pole_column_share(double length_m, double diameter_m, double other_length_m,
                         double other_diameter_m);

#endif
