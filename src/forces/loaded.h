/* A procedure in a wind: what its lines carry then, and what that takes of the hands.
 * Estimates for planning hands and turns, never for sizing gear.
 *
 * Planned with is the wind as typed, as if the boat lay stopped in it: that is what comes
 * back when she broaches, wraps or stops surfing.  The sail is the one to take of those
 * of the rig's kind (sail_choose) where the boat's speed is said and one fits, else the
 * largest for that true wind, else the one for the most wind; it is trimmed at
 * PLAN_ANGLE_DEG of apparent wind in standard air.  Of a code 0 the sheet alone is
 * reckoned, as a genoa's in the most wind it can see; no figure is known of its halyard
 * and tack, nor of sock lines, retrieving lines and furling lines.  Its own limits are
 * held against the wind where it is set or jibed, and told where it is taken down.
 *
 * Where the boat has winches every line of a load goes to one, with TURNS_MOST turns at
 * most; where she has none it is held bare.  To move a line that carries more than
 * HAND_SUSTAINED_N takes both hands (one at the drum or handle, one on the tail), but for
 * self-tailing winches; to hold it behind turns takes one. */
#ifndef FORCES_LOADED_H
#define FORCES_LOADED_H

#include "base/arena.h"
#include "forces/loads.h"
#include "forces/pole.h"
#include "forces/sail_limits.h"
#include "model/procedure.h"

enum { PLAN_ANGLE_DEG = 130 };

/* One load, and what it takes. */
struct line_load {
    bool used;       /* some line of the procedure carries it */
    bool known;      /* there is a figure, and the boat file says enough for it */
    double load_n;   /* in the line */
    double block_n;  /* on a block that turns it right back */
    int turns;       /* for one hand to hold it: 0 bare, -1 not even TURNS_MOST */
    double hold_n;   /* what is left to hold behind these, or the most, turns */
    double least_n;  /* behind all the turns there are */
    double handle_n; /* at the handle of the weakest winch; 0: no winch */
    int hands;       /* to move it under load: 1 or 2 */
    bool too_much;   /* even both hands braced, or one for long, cannot hold it */
};

struct load_report {
    double wind_kn; /* what loads and limits go by */
    const struct sail *sail;
    struct sail_limits limits; /* of the sail; none where it is not set */
    bool has_force;            /* the force is known of such a sail: not of a code 0 */
    bool in_range;             /* the wind is one the boat file gives the sail for */
    double area_m2;
    struct sail_force force;
    double corner_n;     /* with the force */
    double sheet_n;      /* the same, or of a code 0 as of a genoa in strongest_kn */
    double strongest_kn; /* that this sail can see */
    bool has_winches;
    struct line_load loads[LOAD_COUNT];
    bool has_pole; /* the next are known */
    struct pole_rig pole;
    struct pole_angle angle;
    struct pole_hold hold;    /* at that angle */
    struct pole_hold at_stay; /* the same pull with the pole at its forward stop */
    bool end_for_end;         /* both its ends are alike */
    bool within_end_for_end;  /* neither too long for that nor in too much wind */
    double column_share;      /* of what a pole as long as J carries as a column */
    bool has_dip;
    struct pole_dip dip;
    step_set two_hands; /* steps that take both hands because of a load */
    step_set too_much;  /* steps that work a line nobody can hold */
};

/* The loads of PROCEDURE on BOAT in WEATHER.  False, and nothing in OUT, where boat, wind
 * (above 0 to 80 kn) or a sail of this rig are not known. */
bool loads_of_procedure(const struct procedure *procedure, const struct boat *boat,
                        const struct weather *weather, struct load_report *out);

/* PROCEDURE as it is done in that weather, in ARENA: steps that need both hands take
 * them, holds_n says what is left in the hand of each role, and loads has the report.
 * PROCEDURE itself where the loads are not known. */
const struct procedure *loaded_procedure(const struct procedure *procedure,
                                         const struct boat *boat,
                                         const struct weather *weather,
                                         struct arena *arena);

#endif
