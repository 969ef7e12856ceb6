#include "forces/call.h"

#include <math.h>

/* 1852 m in 3600 s: the international nautical mile (First International Extraordinary
 * Hydrographic Conference, Monaco 1929). */
static const double m_s_in_kn = 1852.0 / 3600;

enum { TURN_UP_LENGTHS = 5 };

static bool is_within(double figure, double least, double most)
{
    return isfinite(figure) && figure >= least && figure <= most;
}

static bool is_known(const struct call_now *now)
{
    return is_within(now->distance_m, 0, 1e6) && is_within(now->speed_kn, 0.1, 60) &&
           is_within(now->current_kn, -20, 20) && is_within(now->length_m, 3, 60) &&
           is_within(now->nine_s, 0, 1e5) && is_within(now->slow_s, 0, 1e5) &&
           is_within(now->recovery_s, 0, 1e5) && is_within(now->margin_s, 0, 1e4) &&
           is_within(now->stand_by_s, 0, 1e4);
}

static struct call_moment moment(const struct call_now *now, const struct call_plan *plan,
                                 double before_s)
{
    double before_m = before_s * plan->ground_m_s;
    return (struct call_moment){.before_s = before_s,
                                .before_m = before_m,
                                .lengths = before_m / now->length_m,
                                .from_now_s = plan->there_s - before_s};
}

bool call_make(const struct call_now *now, struct call_plan *out)
{
    *out = (struct call_plan){0};
    if (!is_known(now))
        return false;
    double ground_m_s = (now->speed_kn + now->current_kn) * m_s_in_kn;
    if (ground_m_s < 0.05)
        return false; /* it is never reached */
    double done_s = now->nine_s + now->margin_s, safe_s = done_s + now->recovery_s;
    double turn_m = TURN_UP_LENGTHS * now->length_m;
    out->ground_m_s = ground_m_s;
    out->there_s = now->distance_m / ground_m_s;
    out->last_safe = moment(now, out, safe_s);
    out->go = moment(now, out, now->is_hazard ? safe_s : done_s);
    out->stand_by = moment(now, out, out->go.before_s + now->stand_by_s);
    out->sea_room_m = safe_s * ground_m_s + turn_m;
    out->twice_slow_m = 2 * now->slow_s * ground_m_s + turn_m;
    return true;
}
