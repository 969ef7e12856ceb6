#include "bill/internal.h"

#include <assert.h>
#include <math.h>

int32_t bill_grid(double ms)
{
    return (int32_t)(ceil(ms / GRID_MS - 1e-9) * GRID_MS);
}

int32_t bill_dm(double metres)
{
    return (int32_t)lround(metres * 10);
}

static bool comes_before(const struct rig *rig, int first, int second)
{
    const struct step *step = &rig->procedure->steps[second];
    if ((step->after | step->after_started) >> first & 1)
        return true;
    for (int c = 0; c < rig->card_count; c++) {
        const struct rig_card *card = &rig->cards[c];
        for (int i = 0; i + 1 < card->count && !card->free_order; i++)
            if (card->steps[i] == first && card->steps[i + 1] == second)
                return true;
    }
    return false;
}

void play_prepare(struct play *play)
{
    int count = play->rig->procedure->step_count;
    for (int s = 0; s < count; s++) {
        play->takes_ms[s] = bill_grid(play->takes_ms[s]);
        play->rest_ms[s] = play->takes_ms[s];
    }
    /* as many rounds as there are steps settle every path; a card may contradict the
     * file's arrows, so the rounds are bounded */
    bool changed = true;
    for (int round = 0; changed && round < count; round++) {
        changed = false;
        for (int a = 0; a < count; a++)
            for (int b = 0; b < count; b++)
                if (a != b && comes_before(play->rig, a, b) &&
                    play->rest_ms[a] < play->takes_ms[a] + play->rest_ms[b]) {
                    play->rest_ms[a] = play->takes_ms[a] + play->rest_ms[b];
                    changed = true;
                }
    }
}

int32_t play_walk_ms(const struct play *play, int lane, int from, int to)
{
    double metres = rig_plan_distance_m(play->rig->plan, from, to);
    return bill_grid(metres / play->pace_m_s[lane] * 1000);
}

/* The first finding of AFTER that is not in BEFORE; NULL where there is none. */
static const struct finding *first_new(const struct findings *before,
                                       const struct findings *after)
{
    for (int i = 0; i < after->count; i++)
        if (!findings_have(before, &after->at[i]))
            return &after->at[i];
    return NULL;
}

bool play_may_start(const struct rig *rig, const struct rig_state *state, int step,
                    struct finding *out)
{
    struct findings before = {0}, found = {0};
    rig_find_start(rig, state, step, &found);
    struct rig_state next = *state;
    rig_begin(rig, &next, step);
    rig_find(rig, &next, &found);
    if (!found.count)
        return true;
    rig_find(rig, state, &before);
    const struct finding *new = first_new(&before, &found);
    if (new &&out)
        *out = *new;
    return !new;
}

bool play_may_finish(const struct rig *rig, const struct rig_state *state, int step)
{
    struct findings before = {0}, found = {0};
    rig_find_finish(rig, state, step, &found);
    struct rig_state next = *state;
    rig_end(rig, &next, step);
    rig_find(rig, &next, &found);
    if (!found.count)
        return true;
    rig_find(rig, state, &before);
    return !first_new(&before, &found);
}

/* The moving parts of a timed play. */
struct clockwork {
    struct rig_state state;
    int32_t now_ms;
    int32_t ends_ms[STEPS_MAX];
    int32_t free_ms[LANES_MAX];
    uint8_t stands[LANES_MAX];
    bool moved[LANES_MAX]; /* since the begin */
};

/* Steps done before the begin stand in the bill at 0; those begun start again there. */
static void wind_up(const struct play *play, struct clockwork *clock, struct played *out)
{
    *clock = (struct clockwork){0};
    *out = (struct played){.stuck_step = -1};
    rig_start(play->rig, &clock->state);
    for (int lane = 0; lane < play->rig->lane_count; lane++)
        clock->stands[lane] = play->home[lane];
    step_set done = clock->state.done | clock->state.skipped;
    step_set begun = done | clock->state.begun;
    for (int s = 0; s < play->rig->procedure->step_count; s++) {
        if (!(begun >> s & 1))
            continue;
        clock->ends_ms[s] = done >> s & 1 ? 0 : play->takes_ms[s];
        out->slots[out->slot_count++] =
            (struct bill_slot){(uint8_t)s, 0, clock->ends_ms[s]};
    }
}

/* The hand of LANE stands at a step that was begun before the begin, or at several: two
 * hands had them, and one of those is lost.  When it can be AT. */
static int32_t arrival_from_begun_ms(const struct play *play,
                                     const struct clockwork *clock, int lane, int at)
{
    const struct rig *rig = play->rig;
    step_set begun = rig_running(&rig->start);
    int32_t latest = -1;
    for (int s = 0; s < rig->procedure->step_count; s++) {
        if (!(begun >> s & 1) || !(rig->lanes_of_step[s] >> lane & 1))
            continue;
        int32_t ms =
            clock->ends_ms[s] + play_walk_ms(play, lane, rig->procedure->steps[s].at, at);
        latest = ms > latest ? ms : latest;
    }
    return latest;
}

/* When the hands of STEP can be where it is done. */
static int32_t arrival_ms(const struct play *play, const struct clockwork *clock, int s)
{
    const struct rig *rig = play->rig;
    int at = rig->procedure->steps[s].at;
    int32_t latest = 0;
    for (int lane = 0; lane < rig->lane_count; lane++) {
        if (!(rig->lanes_of_step[s] >> lane & 1))
            continue;
        int32_t begun_ms = arrival_from_begun_ms(play, clock, lane, at);
        latest = begun_ms > latest ? begun_ms : latest;
        if (begun_ms >= 0 && !clock->moved[lane])
            continue;
        int32_t ms =
            clock->free_ms[lane] + play_walk_ms(play, lane, clock->stands[lane], at);
        latest = ms > latest ? ms : latest;
    }
    return latest;
}

static void start_step(const struct play *play, struct clockwork *clock, int s,
                       struct played *out)
{
    const struct rig *rig = play->rig;
    rig_begin(rig, &clock->state, s);
    clock->ends_ms[s] = clock->now_ms + play->takes_ms[s];
    for (int lane = 0; lane < rig->lane_count; lane++)
        if (rig->lanes_of_step[s] >> lane & 1) {
            clock->stands[lane] = rig->procedure->steps[s].at;
            clock->moved[lane] = true;
        }
    out->slots[out->slot_count++] =
        (struct bill_slot){(uint8_t)s, clock->now_ms, clock->ends_ms[s]};
}

static void finish_step(const struct play *play, struct clockwork *clock, int s,
                        struct played *out)
{
    const struct rig *rig = play->rig;
    rig_end(rig, &clock->state, s);
    for (int lane = 0; lane < rig->lane_count; lane++)
        if (rig->lanes_of_step[s] >> lane & 1)
            clock->free_ms[lane] = clock->now_ms;
    for (int i = 0; i < out->slot_count; i++)
        if (out->slots[i].step == s)
            out->slots[i].end_ms = clock->now_ms;
    out->total_ms = clock->now_ms;
}

/* The ready step of highest priority that breaks nothing and whose hands have arrived;
 * -1 where none.  NEXT_MS gets the first arrival still to come. */
static int pick_start(const struct play *play, const struct clockwork *clock,
                      struct played *out, int32_t *next_ms)
{
    step_set ready = rig_ready(play->rig, &clock->state);
    int best = -1;
    for (int s = 0; s < play->rig->procedure->step_count; s++) {
        struct finding finding;
        if (!(ready >> s & 1))
            continue;
        if (!play_may_start(play->rig, &clock->state, s, &finding)) {
            out->stuck_on = finding;
            out->stuck_step = s;
            continue;
        }
        int32_t ms = arrival_ms(play, clock, s);
        if (ms > clock->now_ms)
            *next_ms = ms < *next_ms ? ms : *next_ms;
        else if (best < 0 || play->rest_ms[s] > play->rest_ms[best])
            best = s;
    }
    return best;
}

static bool finish_due(const struct play *play, struct clockwork *clock,
                       struct played *out)
{
    bool any = true, fine = true;
    while (any && fine) {
        any = false;
        step_set may = rig_may_end(play->rig, &clock->state);
        for (int s = 0; s < play->rig->procedure->step_count && fine; s++)
            if (may >> s & 1 && clock->ends_ms[s] <= clock->now_ms) {
                fine = play_may_finish(play->rig, &clock->state, s);
                finish_step(play, clock, s, out);
                any = true;
                may = rig_may_end(play->rig, &clock->state);
            }
    }
    return fine;
}

static int32_t next_end_ms(const struct play *play, const struct clockwork *clock)
{
    int32_t next = INT32_MAX;
    step_set running = rig_running(&clock->state);
    for (int s = 0; s < play->rig->procedure->step_count; s++)
        if (running >> s & 1 && clock->ends_ms[s] > clock->now_ms &&
            clock->ends_ms[s] < next)
            next = clock->ends_ms[s];
    return next;
}

bool play_begins_right(const struct play *play)
{
    struct findings found = {0};
    rig_find(play->rig, &play->rig->start, &found);
    return !found.count || play->begins_wrong;
}

void play_greedy(const struct play *play, struct played *out)
{
    struct clockwork clock;
    wind_up(play, &clock, out);
    if (!play_begins_right(play))
        return;
    while (finish_due(play, &clock, out)) {
        if (rig_ended(play->rig, &clock.state)) {
            out->ended = !rig_short_of_goal(play->rig, &clock.state);
            return;
        }
        int32_t next = INT32_MAX;
        int s;
        while ((s = pick_start(play, &clock, out, &next)) >= 0)
            start_step(play, &clock, s, out);
        int32_t end = next_end_ms(play, &clock);
        next = end < next ? end : next;
        if (next == INT32_MAX)
            return; /* stuck */
        clock.now_ms = next;
    }
}

void play_time(const struct play *play, const struct play_event *order, int count,
               struct played *out)
{
    struct clockwork clock;
    wind_up(play, &clock, out);
    for (int i = 0; i < count; i++) {
        int s = order[i].step;
        int32_t ms = order[i].finish ? clock.ends_ms[s] : arrival_ms(play, &clock, s);
        clock.now_ms = ms > clock.now_ms ? ms : clock.now_ms;
        if (order[i].finish)
            finish_step(play, &clock, s, out);
        else
            start_step(play, &clock, s, out);
    }
    assert(rig_ended(play->rig, &clock.state));
    out->ended = true;
}
