/* Conditions over the parts of the rig and what changes them.  Part numbers are those of
 * the rig plan; a set of values is a bit mask over the part's values. */
#ifndef MODEL_CONDITION_H
#define MODEL_CONDITION_H

#include "base/source.h"
#include "model/limits.h"

#include <stdint.h>

typedef uint64_t step_set;
typedef uint64_t part_set;
typedef uint32_t value_set;
typedef uint32_t role_set;

/* Part PART has one of VALUES. */
struct condition {
    uint8_t part;
    value_set values;
    struct span where;
};

/* All of them hold; an empty list always holds. */
struct conditions {
    const struct condition *at;
    uint8_t count;
};

/* Part PART is set to value VALUE. */
struct effect {
    uint8_t part, value;
    struct span where;
};

struct effects {
    const struct effect *at;
    uint8_t count;
};

/* The signal words of ANSI Z535, least first. */
enum signal { SIGNAL_NONE, SIGNAL_NOTICE, SIGNAL_CAUTION, SIGNAL_WARNING, SIGNAL_DANGER };

enum hurts { HURTS_SPEED, HURTS_GEAR, HURTS_BOAT, HURTS_CREW };

/* The tack: where the wind comes from at the procedure's begin.  The stored state of the
 * rig knows only sides; old and new, windward and leeward are resolved when a file is
 * loaded for a board. */
enum board { BOARD_PORT, BOARD_STARBOARD };

enum side { SIDE_NONE, SIDE_PORT, SIDE_STARBOARD };

#endif
