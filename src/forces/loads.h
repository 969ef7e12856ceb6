/* What a kite pulls: force, drive and side force, and the pull at its three corners.
 * An estimate for planning hands and turns, never for sizing gear.  Pure functions;
 * false, with OUT left alone, where there is no figure.
 *
 * Assumption for the corners: they carry equal shares of the force, which acts square to
 * the plane through them, and the sail leaves that plane at its corners as an arc of a
 * circle a quarter as deep as its chord does: at 53.13 degrees.  Each line then pulls
 * (force / 3) / sin 53.13 = force / 2.4, and the three pulls add up to the force. */
#ifndef FORCES_LOADS_H
#define FORCES_LOADS_H

#include "forces/air.h"
#include "forces/coefficients.h"
#include "forces/vectors.h"

enum corner { CORNER_TACK, CORNER_CLEW, CORNER_HEAD, CORNER_COUNT };

/* The apparent wind, from the windward bow. */
struct sail_wind {
    double speed_m_s, angle_deg;
    struct air air;
};

struct sail_force {
    double pressure_pa; /* of the moving air */
    double lift_n, drag_n, total_n;
    double drive_n; /* forward */
    double side_n;  /* to leeward */
};

/* The force on AREA_M2 (up to 2000) of sail. */
bool sail_force(enum flown flown, double area_m2, const struct sail_wind *wind,
                struct sail_force *out);

/* How the sail pulls at each corner. */
void sail_corners(const struct sail_force *force, struct vector out[CORNER_COUNT]);

/* The pull of each corner, in newtons. */
double sail_corner_n(const struct sail_force *force);

/* The sheet of a flat sail of AREA_M2 (up to 2000) in WIND_KN (to 200) of apparent wind,
 * in newtons, by the rule of a rigging handbook for a genoa's (B. Toss, The Complete
 * Rigger's Apprentice, p. 407): kilogrammes = 0.02104 m2 kn2.  Negative for nonsense. */
double sail_genoa_sheet_n(double area_m2, double wind_kn);

#endif
