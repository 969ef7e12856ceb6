#include "bill/bill_reason.h"

#include "bill/internal.h"
#include "vet/turned.h"

#include <string.h>

struct reasoning {
    const struct bill *bill;
    const struct procedure *procedure;
    const struct crew *crew;
    struct rig rig;
    const struct lattice *l; /* with waits as arrows */
    struct bill_reasons *out;
};

static int32_t start_of(const struct reasoning *r, int step)
{
    return bill_slot_of(r->bill, step)->start_ms;
}

static int32_t end_of(const struct reasoning *r, int step)
{
    return bill_slot_of(r->bill, step)->end_ms;
}

static int32_t time_of(const struct reasoning *r, int event)
{
    return event % 2 ? end_of(r, event / 2) : start_of(r, event / 2);
}

static int32_t walk_ms(const struct reasoning *r, int lane, int from, int to)
{
    double metres = rig_plan_distance_m(r->procedure->plan, from, to);
    return bill_grid(metres / r->crew->hands[r->bill->hand[lane]].pace_m_s * 1000);
}

/* The step LANE does last before STEP; -1: none. */
static int done_before(const struct reasoning *r, int lane, int step)
{
    int last = -1;
    for (int i = 0; i < r->bill->slot_count; i++) {
        int s = r->bill->slots[i].step;
        if (s != step && r->rig.lanes_of_step[s] >> lane & 1 &&
            end_of(r, s) <= start_of(r, step) &&
            (last < 0 || end_of(r, s) >= end_of(r, last)) &&
            !((r->rig.start.done | r->rig.start.skipped) >> s & 1))
            last = s;
    }
    return last;
}

/* Its hand comes from elsewhere just in time; false where it was there before. */
static bool comes_from(const struct reasoning *r, int step, struct bill_reason *out)
{
    for (int lane = 0; lane < r->rig.lane_count; lane++) {
        if (!(r->rig.lanes_of_step[step] >> lane & 1))
            continue;
        int last = done_before(r, lane, step);
        int from = last >= 0 ? r->procedure->steps[last].at
                             : bill_home(r->procedure, r->bill->wears[lane]);
        int32_t walk = walk_ms(r, lane, from, r->procedure->steps[step].at);
        int32_t free = last >= 0 ? end_of(r, last) : 0;
        if (free + walk != start_of(r, step))
            continue;
        out->because = walk ? BECAUSE_WALK : last >= 0 ? BECAUSE_HAND : BECAUSE_GO;
        out->of = (int8_t)last;
        out->lane = (int8_t)lane;
        out->walk_ms = walk;
        return true;
    }
    return false;
}

/* The arrow that opens STEP at the moment it starts; false where none does. */
static bool is_opened(const struct reasoning *r, int step, struct bill_reason *out)
{
    const struct step *s = &r->procedure->steps[step];
    for (int e = 0; e < EVENTS_MAX; e++) {
        if (!events_have(&r->l->arrows[2 * step], e) ||
            time_of(r, e) != start_of(r, step))
            continue;
        step_set bit = (step_set)1 << e / 2;
        bool is_after = (e % 2 ? s->after : s->after_started) & bit;
        if (!is_after && r->rig.lanes_of_step[step] & r->rig.lanes_of_step[e / 2])
            continue; /* the hand's own order */
        out->because = is_after ? BECAUSE_AFTER : BECAUSE_WAIT;
        out->of = (int8_t)(e / 2);
        out->of_start = e % 2 == 0;
        return true;
    }
    return false;
}

static void find_reason(const struct reasoning *r, int step, struct bill_reason *out)
{
    *out = (struct bill_reason){.step = (uint8_t)step, .of = -1, .lane = -1};
    if (is_opened(r, step, out) || comes_from(r, step, out))
        return;
    out->because = start_of(r, step) ? BECAUSE_ROOM : BECAUSE_GO;
}

/* STEP ends late because the taker of its line has it only then. */
static bool is_taken_late(const struct reasoning *r, int step, struct bill_reason *out)
{
    step_set takers = rig_takers(&r->rig, step);
    for (int t = 0; t < r->procedure->step_count; t++)
        if (takers >> t & 1 && end_of(r, t) == end_of(r, step)) {
            *out = (struct bill_reason){.step = (uint8_t)step,
                                        .because = BECAUSE_TAKER,
                                        .of = (int8_t)t,
                                        .lane = -1};
            return true;
        }
    return false;
}

static void find_chain(struct reasoning *r)
{
    int step = -1;
    for (int i = 0; i < r->bill->slot_count; i++)
        if (step < 0 || r->bill->slots[i].end_ms > end_of(r, step))
            step = r->bill->slots[i].step;
    while (step >= 0 && r->out->count < STEPS_MAX) {
        struct bill_reason *reason = &r->out->chain[r->out->count++];
        if (!is_taken_late(r, step, reason))
            find_reason(r, step, reason);
        step = reason->of;
    }
}

/* STEP can end no later than END, so that what comes behind it is not late. */
static int32_t latest_before(const struct reasoning *r, int step, int other,
                             const int32_t late_ms[STEPS_MAX])
{
    int32_t starts = late_ms[other] - (end_of(r, other) - start_of(r, other));
    int32_t latest = INT32_MAX;
    if (events_have(&r->l->arrows[2 * other], 2 * step + 1))
        latest = starts;
    if (events_have(&r->l->arrows[2 * other], 2 * step))
        latest = starts + end_of(r, step) - start_of(r, step);
    for (int lane = 0; lane < r->rig.lane_count; lane++)
        if (r->rig.lanes_of_step[other] >> lane & 1 &&
            done_before(r, lane, other) == step) {
            int32_t walk = walk_ms(r, lane, r->procedure->steps[step].at,
                                   r->procedure->steps[other].at);
            latest = starts - walk < latest ? starts - walk : latest;
        }
    if (rig_takers(&r->rig, other) >> step & 1)
        latest = late_ms[other] < latest ? late_ms[other] : latest;
    return latest;
}

/* From the end backwards; as many rounds as there are steps settle everything. */
static void find_slack(struct reasoning *r)
{
    int32_t late_ms[STEPS_MAX];
    int count = r->procedure->step_count;
    for (int s = 0; s < count; s++)
        late_ms[s] = r->bill->total_ms;
    for (int round = 0; round < count; round++)
        for (int s = 0; s < count; s++)
            for (int t = 0; t < count; t++) {
                int32_t latest = s == t ? INT32_MAX : latest_before(r, s, t, late_ms);
                late_ms[s] = latest < late_ms[s] ? latest : late_ms[s];
            }
    for (int s = 0; s < count; s++)
        r->out->slack_ms[s] = late_ms[s] - end_of(r, s);
}

static void find_busy(struct reasoning *r)
{
    for (int s = 0; s < r->procedure->step_count; s++)
        for (int lane = 0; lane < r->rig.lane_count; lane++)
            if (r->rig.lanes_of_step[s] >> lane & 1)
                r->out->busy_ms[lane] += end_of(r, s) - start_of(r, s);
}

/* Each hand from where it stands at the go, step by step in the order of their starts. */
static void find_way(struct reasoning *r)
{
    for (int lane = 0; lane < r->rig.lane_count; lane++) {
        int at = bill_home(r->procedure, r->bill->wears[lane]);
        for (int i = 0; i < r->bill->slot_count; i++) {
            int s = r->bill->slots[i].step;
            if (!(r->rig.lanes_of_step[s] >> lane & 1))
                continue;
            int next = r->procedure->steps[s].at;
            r->out->way_dm += bill_dm(rig_plan_distance_m(r->procedure->plan, at, next));
            at = next;
        }
    }
}

void bill_find_reasons(const struct bill *bill, const struct procedure *procedure,
                       const struct crew *crew, struct bill_reasons *out)
{
    struct arena *arena = arena_new();
    struct reasoning *r = arena_alloc(arena, sizeof *r);
    struct turned *turned = arena_alloc(arena, sizeof *turned);
    *out = (struct bill_reasons){0};
    *r = (struct reasoning){
        .bill = bill, .procedure = procedure, .crew = crew, .out = out};
    bill_rig(bill, procedure, &r->rig);
    const struct lattice *lattice = lattice_make(&r->rig, true, arena);
    if (lattice) {
        value_set first[VARIABLES_MAX];
        lattice_first(lattice, first);
        turn_waits(lattice, first, arena, turned);
        r->l = &turned->l;
        find_chain(r);
        find_slack(r);
    }
    find_busy(r);
    find_way(r);
    arena_free(arena);
}
