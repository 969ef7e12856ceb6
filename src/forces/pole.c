#include "forces/pole.h"

#include <math.h>

static const double radian = 3.14159265358979323846 / 180;

static bool is_within(double value, double least, double most)
{
    return value >= least && value <= most; /* false for what is no number */
}

bool pole_rig_of_boat(const struct boat *boat, struct pole_rig *out)
{
    double length_m = boat->spl_m > 0 ? boat->spl_m : boat->j_m;
    if (boat->pole == POLE_NONE || !(boat->i_m > 0 && boat->j_m > 0) ||
        !(boat->mast_end_most_m > 0) || !(boat->length_m > boat->j_m))
        return false;
    *out = (struct pole_rig){
        .i_m = boat->i_m,
        .j_m = boat->j_m,
        .length_m = length_m,
        .least_m = boat->mast_end_least_m,
        .most_m = boat->mast_end_most_m,
        .sailing_m = (boat->mast_end_least_m + boat->mast_end_most_m) / 2,
        .pulpit_m = 0.7,
        .gap_m = 0.2,
        .guy_lead = {-0.75 * (boat->length_m - boat->j_m), 0.15 * boat->length_m, 0},
        .foreguy_lead = {boat->j_m / 2, 0, 0},
        .lift_sheave = {0, 0, 0.6 * boat->i_m}};
    return true;
}

/* How far the wind's angle from the pole is from square: 15 degrees at 90, none aft of
 * 120. */
static double over_square_deg(double wind_deg)
{
    return wind_deg >= 120 ? 0 : wind_deg <= 90 ? 15 : (120 - wind_deg) / 2;
}

/* The pole end a hand off the stay: the stay stands on the middle line, J forward. */
static double forward_stop_deg(const struct pole_rig *rig)
{
    return asin(fmin(rig->gap_m / rig->length_m, 1)) / radian;
}

bool pole_angle(const struct pole_rig *rig, double wind_deg, struct pole_angle *out)
{
    if (!is_within(wind_deg, 0, 180))
        return false;
    *out = (struct pole_angle){.wanted_deg = wind_deg - 90 + over_square_deg(wind_deg),
                               .forward_stop_deg = forward_stop_deg(rig),
                               .aft_stop_deg = 90};
    out->deg = fmin(fmax(out->wanted_deg, out->forward_stop_deg), out->aft_stop_deg);
    return true;
}

static struct vector level_end(const struct pole_rig *rig, double angle_deg)
{
    return (struct vector){rig->length_m * cos(angle_deg * radian),
                           rig->length_m * sin(angle_deg * radian), rig->sailing_m};
}

static double distance(struct vector from, struct vector to)
{
    return vector_length(vector_minus(to, from));
}

/* Just above the pulpit the end may be this far forward; the inboard end stands as far
 * above it as a pole that reaches no further forward hangs down. */
bool pole_dip(const struct pole_rig *rig, struct pole_dip *out)
{
    double forward_m =
        rig->j_m * (1 - rig->pulpit_m / rig->i_m) - rig->gap_m; /* of the mast */
    if (!(rig->length_m > 0 && rig->i_m > rig->pulpit_m && forward_m > 0))
        return false;
    double reach_m = fmin(forward_m, rig->length_m);
    double hang_m = sqrt(rig->length_m * rig->length_m - reach_m * reach_m);
    double inboard_m = fmax(rig->pulpit_m + hang_m, rig->least_m);
    double drop = asin(fmin((inboard_m - rig->pulpit_m) / rig->length_m, 1));
    struct vector dipped = {rig->length_m * cos(drop), 0, rig->pulpit_m};
    struct vector square = level_end(rig, POLE_TRIP_MOST_DEG);
    *out = (struct pole_dip){.passes = inboard_m <= rig->most_m,
                             .inboard_m = inboard_m,
                             .drop_deg = drop / radian,
                             .lift_ease_m = distance(rig->lift_sheave, dipped) -
                                            distance(rig->lift_sheave, square),
                             .foreguy_m = fmax(distance(rig->foreguy_lead, dipped),
                                               distance(rig->foreguy_lead, square))};
    return true;
}

bool pole_hold(const struct pole_rig *rig, double angle_deg, struct vector tack_pull,
               struct pole_hold *out)
{
    if (!is_within(angle_deg, 0, 90) || !is_within(rig->sailing_m, 0, 20) ||
        !is_within(vector_length(tack_pull), 0, 1e9))
        return false;
    struct vector end = level_end(rig, angle_deg);
    struct vector guy = vector_toward(end, rig->guy_lead);
    struct vector pole = vector_toward((struct vector){0, 0, rig->sailing_m}, end);
    struct vector down[3] = {guy, pole, vector_toward(end, rig->foreguy_lead)};
    struct vector up[3] = {guy, pole, vector_toward(end, rig->lift_sheave)};
    double pulls[3];
    bool by_foreguy = vector_balance(tack_pull, down, pulls) && pulls[2] >= 0;
    if (!by_foreguy && !(vector_balance(tack_pull, up, pulls) && pulls[2] >= 0))
        return false;
    if (pulls[0] < 0)
        return false;
    *out = (struct pole_hold){.guy_n = pulls[0],
                              .compression_n = pulls[1],
                              .lift_n = by_foreguy ? 0 : pulls[2],
                              .foreguy_n = by_foreguy ? pulls[2] : 0};
    return true;
}

double pole_column_share(double length_m, double diameter_m, double other_length_m,
                         double other_diameter_m)
{
    if (!(length_m > 0 && diameter_m > 0 && other_length_m > 0 && other_diameter_m > 0))
        return -1;
    double slender = diameter_m / length_m * (other_length_m / other_diameter_m);
    return slender * slender;
}
