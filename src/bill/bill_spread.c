#include "bill/bill_spread.h"

#include "bill/internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PLAYS_MAX = 4096 };

/* ---- chance, the same on every machine ---- */

/* splitmix64: Steele, Lea and Flood, OOPSLA 2014, from memory. */
static uint64_t next_random(uint64_t *seed)
{
    uint64_t z = *seed += 0x9e3779b97f4a7c15u;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

/* Between 0 and 1, neither of them. */
static double unit_random(uint64_t *seed)
{
    return ((double)(next_random(seed) >> 11) + 0.5) / 9007199254740992.0; /* 2^53 */
}

static double normal_random(uint64_t *seed)
{
    double radius = sqrt(-2 * log(unit_random(seed)));
    return radius * cos(6.283185307179586 * unit_random(seed));
}

/* Of the gamma distribution with SHAPE >= 1: Marsaglia and Tsang, ACM TOMS 26, 2000, from
 * memory. */
static double gamma_random(double shape, uint64_t *seed)
{
    double d = shape - 1.0 / 3, c = 1 / sqrt(9 * d);
    for (;;) {
        double x = normal_random(seed), v = 1 + c * x;
        v = v * v * v;
        if (v > 0 && log(unit_random(seed)) < 0.5 * x * x + d - d * v + d * log(v))
            return d * v;
    }
}

static double pert_random(double best, double usual, double slow, uint64_t *seed)
{
    if (slow <= best)
        return usual;
    double a = gamma_random(1 + 4 * (usual - best) / (slow - best), seed),
           b = gamma_random(1 + 4 * (slow - usual) / (slow - best), seed);
    return best + (slow - best) * a / (a + b);
}

/* ---- plays ---- */

/* Between which times a step of the bill lies. */
struct reach {
    double best_ms, usual_ms, slow_ms;
};

static struct reach reach_of(const struct step *step, int32_t usual_ms, bool is_new)
{
    double best = step->takes.best_ms, slow = step->takes.slow_ms, usual = usual_ms;
    if (is_new)
        return (struct reach){step->takes.usual_ms, usual,
                              2 * usual - step->takes.usual_ms};
    return (struct reach){best < usual ? best : usual, usual,
                          slow > usual ? slow : usual};
}

static bool is_new_to_somebody(const struct bill *bill, const struct procedure *procedure,
                               const struct crew *crew, const struct bill_wish *wish,
                               int step)
{
    for (int lane = 0; lane < bill->lane_count; lane++)
        for (int role = 0; role < ROLES_MAX; role++)
            if (bill->wears[lane] & procedure->steps[step].roles & (role_set)1 << role &&
                bill_is_new(procedure, crew, wish, bill->hand[lane], role))
                return true;
    return false;
}

/* To the nearest of the grid: always up would add up over the steps. */
static int32_t to_grid(double ms)
{
    return (int32_t)lround(ms / GRID_MS) * GRID_MS;
}

static int32_t total_of(struct play *play)
{
    struct played played;
    play_prepare(play);
    play_greedy(play, &played);
    return played.ended ? played.total_ms : -1;
}

static int by_length(const void *a, const void *b)
{
    int32_t one = *(const int32_t *)a, other = *(const int32_t *)b;
    return one < other ? -1 : one > other;
}

/* The smallest that NUMERATOR in DENOMINATOR are no longer than (the inverse of the
 * distribution, Hyndman and Fan's type 1). */
static int32_t share_of(const int32_t *totals, int count, int numerator, int denominator)
{
    int rank = (count * numerator + denominator - 1) / denominator;
    return totals[rank > 0 ? rank - 1 : 0];
}

static bool start_play(const struct bill *bill, const struct procedure *procedure,
                       const struct crew *crew, const struct bill_wish *wish,
                       struct rig *rig, struct play *play)
{
    int hands[LANES_MAX];
    for (int lane = 0; lane < bill->lane_count; lane++)
        hands[lane] = bill->hand[lane];
    if (!play_make(procedure, crew, wish, bill->wears, hands, bill->lane_count, rig,
                   play))
        return false;
    bill_rig(bill, procedure, rig);
    play->begins_wrong = bill->from_state;
    return true;
}

bool bill_find_spread(const struct bill *bill, const struct procedure *procedure,
                      const struct crew *crew, const struct bill_wish *wish, int plays,
                      uint64_t seed, struct bill_spread *out)
{
    struct rig rig;
    struct play play;
    struct reach reach[STEPS_MAX];
    int32_t totals[PLAYS_MAX];
    *out = (struct bill_spread){0};
    if (!start_play(bill, procedure, crew, wish, &rig, &play))
        return false;
    for (int s = 0; s < procedure->step_count; s++) {
        bool is_new = is_new_to_somebody(bill, procedure, crew, wish, s);
        reach[s] = reach_of(&procedure->steps[s],
                            bill_takes_ms(procedure, wish, s, is_new), is_new);
        play.takes_ms[s] = (int32_t)reach[s].slow_ms;
    }
    out->slow_ms = total_of(&play);
    for (int i = 0; i < plays && i < PLAYS_MAX; i++) {
        for (int s = 0; s < procedure->step_count; s++)
            play.takes_ms[s] = to_grid(pert_random(reach[s].best_ms, reach[s].usual_ms,
                                                   reach[s].slow_ms, &seed));
        int32_t total_ms = total_of(&play);
        if (total_ms >= 0)
            totals[out->plays++] = total_ms;
    }
    if (!out->plays || out->slow_ms < 0)
        return false;
    qsort(totals, (size_t)out->plays, sizeof *totals, by_length);
    out->median_ms = share_of(totals, out->plays, 1, 2);
    out->nine_ms = share_of(totals, out->plays, 9, 10);
    return true;
}
