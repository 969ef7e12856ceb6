/* How much a file may hold; the loader says so where a file holds more. */
#ifndef MODEL_LIMITS_H
#define MODEL_LIMITS_H

enum {
    STEPS_MAX = 64,     /* one bit each in a step_set */
    RIG_ROLES_MAX = 16, /* of a rig file */
    ROLES_MAX = 32,  /* where a role is split among hands; one bit each in a role_set */
    HANDS_MAX = 64,  /* people in a crew file */
    PARTS_MAX = 64,  /* one bit each in a part_set */
    VALUES_MAX = 32, /* values of one part, one bit each */
    STATIONS_MAX = 32,
    GEAR_MAX = 32,
    MISHAPS_MAX = 64,
    RULES_MAX = 128, /* the rig's and the procedure's own together */
    CHECKS_MAX = 32,
    OPTIONS_MAX = 16,
    FILE_BYTES_MAX = 4 * 1024 * 1024,
    DEPTH_MAX = 64 /* nesting of the YAML */
};

#endif
