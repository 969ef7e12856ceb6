/* Every way of giving the roles and every order of events, each put on the clock and
 * nothing pruned: what a bill is held against. */
#ifndef UNIT_EVERY_WAY_H
#define UNIT_EVERY_WAY_H

#include "bill/internal.h"
#include "shipped.h"
#include "vet/engines.h"

#include <check.h>
#include <string.h>

/* What is least after the time, each among those that are least in all before. */
struct merits {
    int changes, lacking;
    int32_t busiest_ms, way_dm;
};

/* Every order of one assignment after another. */
struct every {
    const struct procedure *procedure;
    const struct crew *crew;
    struct bill_wish wish;
    struct bill base; /* who wears what */
    int8_t hand_of_role[ROLES_MAX];
    struct play_event order[2 * STEPS_MAX];
    int orders, orders_max;                /* looked at, and the most */
    int32_t shortest_ms, shortest_safe_ms; /* INT32_MAX: none */
    struct merits merits;                  /* of the best of the shortest safe ones */
};

static inline int lacking_of(const struct every *e, const struct bill *bill)
{
    int lacking = 0;
    for (int lane = 0; lane < bill->lane_count; lane++)
        for (int role = 0; role < ROLES_MAX; role++)
            if (bill->wears[lane] >> role & 1)
                lacking +=
                    bill_lacks(bill_grade(e->procedure, e->crew, bill->hand[lane], role));
    return lacking;
}

/* How long the busiest hand is in steps, each at the time of the role it is in. */
static inline int32_t busiest_of(const struct every *e, const struct bill *bill)
{
    int32_t busiest_ms = 0;
    for (int lane = 0; lane < bill->lane_count; lane++) {
        int32_t busy_ms = 0;
        for (int role = 0; role < ROLES_MAX; role++)
            for (int s = 0; s < e->procedure->step_count; s++)
                if (bill->wears[lane] >> role & 1 &&
                    e->procedure->steps[s].roles >> role & 1)
                    busy_ms += bill_grid(
                        bill_takes_ms(e->procedure, &e->wish, s,
                                      bill_is_new(e->procedure, e->crew, &e->wish,
                                                  bill->hand[lane], role)));
        busiest_ms = busy_ms > busiest_ms ? busy_ms : busiest_ms;
    }
    return busiest_ms;
}

/* Each hand walks from its home through its steps as they start. */
static inline int32_t way_of(const struct every *e, const struct bill *bill)
{
    int32_t way_dm = 0;
    for (int lane = 0; lane < bill->lane_count; lane++) {
        int at = bill_home(e->procedure, bill->wears[lane]);
        for (int i = 0; i < bill->slot_count; i++) {
            const struct step *step = &e->procedure->steps[bill->slots[i].step];
            if (!(step->roles & bill->wears[lane]))
                continue;
            double metres = rig_plan_distance_m(e->procedure->plan, at, step->at);
            way_dm += (int32_t)(metres * 10 + 0.5);
            at = step->at;
        }
    }
    return way_dm;
}

/* Of each name the hands that have it, less one. */
static inline int changes_of(const struct every *e, const struct bill *bill)
{
    const struct rig_plan *plan = e->procedure->plan;
    int pairs = 0, names = 0;
    for (int role = 0; role < plan->role_count; role++) {
        uint64_t hands = 0;
        bool is_first = true;
        for (int other = 0; other < plan->role_count; other++) {
            if (strcmp(plan->roles[role].name, plan->roles[other].name) != 0)
                continue;
            is_first &= other >= role;
            for (int lane = 0; lane < bill->lane_count; lane++)
                if (bill->wears[lane] >> other & 1)
                    hands |= (uint64_t)1 << bill->hand[lane];
        }
        pairs += is_first ? __builtin_popcountll(hands) : 0;
        names += is_first && hands;
    }
    return pairs - names;
}

static inline struct merits merits_of(const struct every *e, const struct bill *bill)
{
    return (struct merits){changes_of(e, bill), lacking_of(e, bill), busiest_of(e, bill),
                           way_of(e, bill)};
}

static inline bool is_better(const struct merits *a, const struct merits *b)
{
    return a->changes != b->changes         ? a->changes < b->changes
           : a->lacking != b->lacking       ? a->lacking < b->lacking
           : a->busiest_ms != b->busiest_ms ? a->busiest_ms < b->busiest_ms
                                            : a->way_dm < b->way_dm;
}

static inline bool is_safe(const struct procedure *procedure, const struct bill *bill)
{
    static struct rig rig;
    static struct vet_report report;
    const struct vet_limits limits = {.states = 20000};
    bill_rig(bill, procedure, &rig);
    vet_quickly(&rig, &limits, true, &report);
    return report.verdict == VET_SAFE;
}

static inline void put_on_the_clock(struct every *e, int count)
{
    struct bill bill = e->base;
    if (!play_order(e->procedure, e->crew, &e->wish, e->order, count, &bill))
        return;
    if (bill.total_ms < e->shortest_ms)
        e->shortest_ms = bill.total_ms;
    struct merits merits = merits_of(e, &bill);
    bool better = bill.total_ms != e->shortest_safe_ms
                      ? bill.total_ms < e->shortest_safe_ms
                      : is_better(&merits, &e->merits);
    if (!better || !is_safe(e->procedure, &bill))
        return;
    e->shortest_safe_ms = bill.total_ms;
    e->merits = merits;
}

static inline void try_orders(struct every *e, const struct rig *rig,
                              const struct rig_state *state, int count)
{
    if (rig_ended(rig, state)) {
        if (++e->orders <= e->orders_max && !rig_short_of_goal(rig, state))
            put_on_the_clock(e, count);
        return;
    }
    step_set starts = rig_ready(rig, state), ends = rig_may_end(rig, state);
    for (int s = 0; s < rig->procedure->step_count && e->orders <= e->orders_max; s++)
        for (int finish = 0; finish < 2; finish++) {
            if (!((finish ? ends : starts) >> s & 1) ||
                !(finish ? play_may_finish(rig, state, s)
                         : play_may_start(rig, state, s, NULL)))
                continue;
            struct rig_state next = *state;
            if (finish)
                rig_end(rig, &next, s);
            else
                rig_begin(rig, &next, s);
            e->order[count] = (struct play_event){(uint8_t)s, finish};
            try_orders(e, rig, &next, count + 1);
        }
}

static inline void try_assigned(struct every *e)
{
    int8_t lane_of_role[ROLES_MAX];
    struct rig rig;
    struct rig_state state;
    struct findings found = {0};
    memset(lane_of_role, -1, sizeof lane_of_role);
    e->base = (struct bill){0};
    for (int role = 0; role < e->procedure->plan->role_count; role++) {
        int hand = e->hand_of_role[role], lane = 0;
        if (hand < 0)
            continue;
        while (lane < e->base.lane_count && e->base.hand[lane] != hand)
            lane++;
        e->base.hand[lane] = (uint8_t)hand;
        e->base.wears[lane] = (role_set)(e->base.wears[lane] | 1u << role);
        e->base.lane_count = (uint8_t)(e->base.lane_count + (lane == e->base.lane_count));
        lane_of_role[role] = (int8_t)lane;
    }
    if (e->wish.hands_most && e->base.lane_count > e->wish.hands_most)
        return;
    if (!rig_make(&rig, e->procedure, lane_of_role, e->base.lane_count, e->wish.pilot))
        return;
    if (e->wish.start)
        rig_start_from(&rig, e->wish.start);
    rig_start(&rig, &state);
    rig_find(&rig, &state, &found);
    if (!found.count || e->wish.start) /* a recovery may begin in what has gone wrong */
        try_orders(e, &rig, &state, 0);
}

static inline void every_try(struct every *e, int role)
{
    if (role == e->procedure->plan->role_count) {
        try_assigned(e);
        return;
    }
    e->hand_of_role[role] = -1;
    if (!rig_role_needed(e->procedure, role, e->wish.pilot)) {
        every_try(e, role + 1);
        return;
    }
    for (int h = 0; h < e->crew->hand_count; h++)
        if (bill_may_wear(e->procedure, e->crew, &e->wish, h, role)) {
            e->hand_of_role[role] = (int8_t)h;
            every_try(e, role + 1);
        }
}

static inline void every_start(struct every *e, int orders_max)
{
    *e = (struct every){.orders_max = orders_max,
                        .shortest_ms = INT32_MAX,
                        .shortest_safe_ms = INT32_MAX};
    bill_wish_start(&e->wish);
}

/* Different hands walk at different paces. */
static inline void give_paces(const struct crew *crew, unsigned *seed)
{
    static const double paces[] = {0.6, 1.0, 1.0, 1.3};
    struct hand *hands = (struct hand *)crew->hands; /* the test's own */
    for (int h = 0; h < crew->hand_count; h++)
        hands[h].pace_m_s = paces[shipped_random(seed) % 4];
}

struct counted {
    int found, none, open, proved, way;
};

/* Each claim that is made is true; behind one that is not made the others are about
 * something else. */
static inline void hold_merits(const struct every *e, const struct bill *bill,
                               const char *text, unsigned seed)
{
    struct merits merits = merits_of(e, bill);
    if (bill->settled & BILL_FEWEST_CHANGES)
        ck_assert_msg(merits.changes == e->merits.changes,
                      "seed %u: changes %d, not %d\n%s", seed, merits.changes,
                      e->merits.changes, text);
    if (!(bill->settled & BILL_BEST_KNOWN))
        return;
    ck_assert_msg(merits.lacking == e->merits.lacking, "seed %u: lacks %d, not %d\n%s",
                  seed, merits.lacking, e->merits.lacking, text);
    if (!(bill->settled & BILL_LEAST_BUSY))
        return;
    ck_assert_msg(merits.busiest_ms == e->merits.busiest_ms, "seed %u: %d, not %d\n%s",
                  seed, merits.busiest_ms, e->merits.busiest_ms, text);
    if (bill->settled & BILL_LEAST_WAY)
        ck_assert_msg(merits.way_dm == e->merits.way_dm, "seed %u: %d dm, not %d\n%s",
                      seed, merits.way_dm, e->merits.way_dm, text);
}

static inline void hold_against_every_way(struct every *e, const char *text,
                                          unsigned seed, struct counted *counted)
{
    struct bill bill;
    every_try(e, 0);
    if (e->orders > e->orders_max)
        return;
    enum bill_verdict verdict =
        exact_make(e->procedure, e->crew, &e->wish, 200000, &bill);
    bool safe = verdict == BILL_FOUND && is_safe(e->procedure, &bill);
    /* one that is not safe may be given where it is not proved that none is */
    int32_t wanted_ms =
        e->shortest_safe_ms < INT32_MAX && (safe || verdict != BILL_FOUND || bill.proved)
            ? e->shortest_safe_ms
            : e->shortest_ms;
    if (verdict == BILL_UNDECIDED) {
        counted->open++;
        return;
    }
    ck_assert_msg((verdict == BILL_FOUND) == (wanted_ms < INT32_MAX),
                  "seed %u: verdict %d, wanted %d\n%s", seed, (int)verdict, wanted_ms,
                  text);
    counted->none += verdict == BILL_NONE;
    if (verdict != BILL_FOUND)
        return;
    ck_assert_msg(bill_holds(&bill, e->procedure, e->crew, &e->wish), "seed %u\n%s", seed,
                  text);
    ck_assert_msg(bill.total_ms >= wanted_ms && bill.least_ms <= wanted_ms,
                  "seed %u: %d, %d or more, not %d\n%s", seed, bill.total_ms,
                  bill.least_ms, wanted_ms, text);
    ck_assert_msg(!bill.proved || bill.total_ms == wanted_ms, "seed %u: %d, not %d\n%s",
                  seed, bill.total_ms, wanted_ms, text);
    if (bill.proved && safe) {
        hold_merits(e, &bill, text, seed);
        counted->way += (bill.settled & BILL_LEAST_WAY) != 0;
    }
    counted->found++;
    counted->proved += bill.proved;
}

#endif
