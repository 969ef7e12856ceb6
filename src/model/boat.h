/* The boat of a boat file.  Read-only once loaded; lives in the arena of its file.
 * Rig dimensions keep their trade letters; 0 means not said. */
#ifndef MODEL_BOAT_H
#define MODEL_BOAT_H

#include "base/source.h"
#include "model/polar.h"

#include <stdbool.h>
#include <stdint.h>

enum { SAILS_MAX = 64 };

enum pole_ends { POLE_NONE, POLE_END_FOR_END, POLE_DIP };
enum sail_kind { SAIL_SYMMETRIC, SAIL_ASYMMETRIC, SAIL_CODE, SAIL_MAIN, SAIL_JIB };

/* Nominal weights in ounces of the sailmaker's yard: 0.5, 0.75, 1.5, 2.2. */
enum sail_cloth {
    CLOTH_NOT_SAID,
    CLOTH_HALF,
    CLOTH_THREE_QUARTERS,
    CLOTH_ONE_AND_A_HALF,
    CLOTH_TWO_AND_MORE
};

struct sail {
    const char *name, *code; /* code: the file's own text */
    enum sail_kind kind;
    double area_m2;                          /* or from the measurements below */
    double luff_m, leech_m, foot_m, half_m;  /* SLU, SLE, SFL, SHW */
    double perpendicular_m, headsail_half_m; /* LP, HHW: measured as a headsail */
    /* what it is for; where nothing is said, all there may be */
    double wind_least_kn, wind_most_kn;     /* true */
    double angle_least_deg, angle_most_deg; /* of the true wind */
    double apparent_least_kn, apparent_most_kn;
    double apparent_least_deg, apparent_most_deg;
    enum sail_cloth cloth;
    struct span where;
};

struct winch {
    const char *name;
    double power_ratio;
    bool self_tailing;
    struct span where;
};

/* Where a station of the rig lies on this boat, metres as there; what is not said stays
 * as the rig has it.  `out` is for one that lies on both sides, `starboard` for one that
 * lies in one place. */
struct boat_station {
    const char *name;
    double forward_m, starboard_m, out_m;
    bool has_forward, has_starboard, has_out;
    struct span where;
};

struct boat {
    const char *name;
    const struct source *source;
    double length_m, i_m, j_m, p_m, e_m, isp_m, spl_m, tps_m;
    enum pole_ends pole;
    bool pole_said;
    double mast_end_least_m, mast_end_most_m; /* range of the inboard end above deck */
    bool pilot;                               /* has an autopilot */
    const struct sail *sails;
    const struct winch *winches;
    const struct boat_station *stations;
    const char *polar_file;    /* beside the boat file; "" where none */
    const struct polar *polar; /* what the boat file itself says; NULL: nothing */
    uint8_t sail_count, winch_count, station_count;
};

const char *sail_kind_name(enum sail_kind kind); /* "symmetric" ... */

/* "dip": a pole's ends, as in the boat file. */
const char *pole_ends_name(enum pole_ends ends);

#endif
