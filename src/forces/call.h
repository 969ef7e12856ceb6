/* When to call a manoeuvre: from the way to go, the speed and how long it takes this
 * crew.  Pure figures; nothing here knows of procedures. */
#ifndef FORCES_CALL_H
#define FORCES_CALL_H

#include <stdbool.h>

/* What is known. */
struct call_now {
    double distance_m; /* to the mark or hazard, 0 to 1e6 */
    double speed_kn;   /* through the water, 0.1 to 60 */
    double current_kn; /* that sets the boat along: positive towards it, -20 to 20 */
    double length_m;   /* of the boat, 3 to 60 */
    double nine_s;     /* the manoeuvre in nine of ten times, 0 to 1e5 */
    double slow_s;     /* with every step slow */
    double recovery_s; /* one recovery in nine of ten times; 0: none is needed */
    double margin_s;   /* kept in hand, 0 to 1e4 */
    double stand_by_s; /* from the stand-by to the go */
    bool is_hazard;    /* the go leaves room for a failure, not only the last moment */
};

/* A moment on the way; all of one and the same moment. */
struct call_moment {
    double before_s, before_m, lengths; /* of the mark or hazard */
    double from_now_s;                  /* negative: it has passed */
};

struct call_plan {
    double ground_m_s; /* over the ground, towards it */
    double there_s;    /* until it is reached */
    struct call_moment stand_by, go, last_safe;
    double sea_room_m;   /* for all of it, a failure and its recovery, and to turn up */
    double twice_slow_m; /* the rule of thumb: twice the slow time, and to turn up */
};

/* The moments.  Go: nine of ten times and the margin before the mark (common practice:
 * nine in ten of this crew's own times and 5 s, 10 s in a sea); of a hazard the last safe
 * moment.  Last safe: one recovery sooner, so that one failure has room.  To turn up five
 * boat lengths are kept (common practice).  False where something known is no number, out
 * of its range, or the boat does not come nearer. */
bool call_make(const struct call_now *now, struct call_plan *out);

#endif
