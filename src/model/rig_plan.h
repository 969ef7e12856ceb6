/* A rig description as loaded: parts and their values, stations, roles, gear, mishaps and
 * the rules common to all procedures of this rig.  Read-only once loaded; everything
 * lives in the arena of its files.  A paired part of the file (old-guy, new-guy) stands
 * here as two parts, one a side (port-guy, starboard-guy); part and value numbers do not
 * depend on the board, the rules do. */
#ifndef MODEL_RIG_PLAN_H
#define MODEL_RIG_PLAN_H

#include "model/rule.h"

#include <stdbool.h>

struct part_value {
    const char *name;  /* as stored: "loaded", "port" */
    const char *words; /* for the screen: "loaded", "holding the port guy" */
    const char *alias; /* of a side value, on this board: "old-guy"; "" where none */
};

/* Which load of the kite a line carries. */
enum load_kind {
    LOAD_NONE,
    LOAD_SHEET,
    LOAD_GUY,
    LOAD_HALYARD,
    LOAD_TACK,
    LOAD_LIFT,
    LOAD_FOREGUY,
    /* of these no figure is known */
    LOAD_SOCK,
    LOAD_RETRIEVE,
    LOAD_FURL,
    LOAD_COUNT
};

struct part {
    const char *name;  /* as stored: "port-guy", "halyard" */
    const char *words; /* for the screen: "port guy", "kite halyard" */
    enum side side;    /* of a paired part or one fixed to a side */
    int8_t tended_at;  /* station where it is tended; -1: not a line */
    enum load_kind load;
    value_set loaded; /* the values in which it carries its load */
    uint8_t value_count;
    const struct part_value *values;
    const char *alias; /* of a paired part, on this board: "old-guy"; "" where none */
    struct span where;
};

/* Metres from the mast: forward is positive to the bow, starboard to starboard. */
struct station {
    const char *name, *words;
    double forward_m, starboard_m;
    uint32_t reach;    /* stations whose work can be done from here, itself among them */
    const char *alias; /* of a paired station, on this board; "" where none */
    struct span where;
};

struct role {
    const char *name, *words;
    uint8_t station; /* the usual one */
    part_set sees;   /* parts this role can see or hear */
    bool steers;     /* the helm: never left unless a pilot steers */
    bool free_order; /* its card has no order of its own */
    bool one_hand;   /* its steps are never shared out: a part tells where its hand is */
    struct span where;
};

/* Shared gear: a winch, a handle. */
struct gear {
    const char *name, *words;
    enum side side; /* where it is fixed to one */
    struct span where;
};

/* What befalls the rig without anyone's step. */
struct mishap {
    const char *name, *words;
    const char *looks;     /* how it is recognised */
    struct conditions can; /* when it can happen */
    struct effects sets;
    struct span where;
};

struct rig_plan {
    const char *name, *title;
    const struct source *source;
    enum board board; /* for which the aliases and rules hold */
    const struct part *parts;
    const struct station *stations;
    const struct role *roles;
    const struct gear *gear;
    const struct mishap *mishaps;
    struct rules rules;
    int8_t lee_part; /* its value "port" or "starboard" is the lee side: the boom; -1 */
    uint8_t part_count, station_count, role_count, gear_count, mishap_count;
};

/* The words of a rig file for the loads, from LOAD_SHEET on, ended by NULL. */
const char *const *load_kind_words(void);

/* Look-up by stored name; -1 where there is none. */
int rig_plan_part(const struct rig_plan *plan, const char *name);
int rig_plan_role(const struct rig_plan *plan, const char *name);
int rig_plan_station(const struct rig_plan *plan, const char *name);
int part_find_value(const struct part *part, const char *name);

/* ROLES without those that have the name of an earlier one of them: where a role is
 * shared out among hands its name is there several times, and is to be said once. */
role_set rig_plan_names_once(const struct rig_plan *plan, role_set roles);

/* The distance between two stations in metres. */
double rig_plan_distance_m(const struct rig_plan *plan, int from, int to);

#endif
