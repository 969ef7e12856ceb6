/* How fast a boat sails: her speed by true wind and true wind angle.  Read-only once
 * loaded; lives in the arena of its file. */
#ifndef MODEL_POLAR_H
#define MODEL_POLAR_H

#include "base/source.h"

#include <stdint.h>

enum { POLAR_WINDS_MAX = 24, POLAR_ANGLES_MAX = 90 };

struct polar {
    const struct source *source;
    double wind_m_s[POLAR_WINDS_MAX];                    /* grows */
    double angle_deg[POLAR_ANGLES_MAX];                  /* grows, 0 to 180 */
    double speed_m_s[POLAR_WINDS_MAX][POLAR_ANGLES_MAX]; /* NaN: not said */
    uint8_t wind_count, angle_count;
};

#endif
