/* Races: two things whose order is left to chance where it matters.  Not wrong by itself:
 * vet searches both orders.  The writes count that no arrow and no wait sets apart. */
#ifndef VET_RACES_H
#define VET_RACES_H

#include "vet/vet.h"

enum race_kind {
    RACE_VALUE, /* both set the part, to different values: the later one stays */
    RACE_CHANCE /* `other` waits for the part, `event` can take the chance away for good
                 */
};

struct race {
    enum race_kind kind;
    uint8_t part;
    struct vet_event event, other;
};

enum { RACES_MAX = 64 };

struct races {
    int count;
    struct race at[RACES_MAX];
};

/* Lists the races of RIG; false where it is not of the kind that can be asked. */
bool vet_races(const struct rig *rig, struct races *out);

#endif
