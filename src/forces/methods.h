/* Which procedures suit the hands and the wind.  What a procedure is for it says itself;
 * nothing here knows one by name. */
#ifndef FORCES_METHODS_H
#define FORCES_METHODS_H

#include "model/boat.h"
#include "model/procedure.h"

/* What speaks against a procedure; several at once. */
enum method_against {
    METHOD_FEW_HANDS = 1, /* it needs more hands */
    METHOD_PILOT = 2,     /* it is for an autopilot that steers */
    METHOD_POLE = 4,      /* it is for a pole with other ends */
    METHOD_WIND = 8,      /* more wind than it is for */
    METHOD_CAUTION = 16   /* it suits all the same: the wind it takes care in */
};

/* Who and what there is today. */
struct method_today {
    const struct boat *boat;
    int hands;
    bool pilot;
    double wind_kn; /* true, in the gusts where they are known */
};

/* What speaks against PROCEDURE today: a sum of the above, 0 for nothing. */
unsigned method_against(const struct procedure *procedure,
                        const struct method_today *today);

/* The boat carries a sail of the rig this procedure is for; also true where nothing is
 * said of her sails. */
bool method_is_rigged(const struct procedure *procedure, const struct boat *boat);

#endif
