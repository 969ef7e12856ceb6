#include "bill/bill_move.h"
#include "bill/internal.h"

#include <string.h>

enum { NODES_MOST = 20000 };

struct moving {
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill *bill;
    struct rig rig; /* of the bill, with the card as it would be */
    struct play play;
    struct played played;
};

static void add_step(const struct moving *m, int step, struct text *out)
{
    const char *between = "";
    for (int lane = 0; lane < m->bill->lane_count; lane++)
        if (m->rig.lanes_of_step[step] >> lane & 1) {
            text_printf(out, "%s%s", between, m->crew->hands[m->bill->hand[lane]].name);
            between = ", ";
        }
    text_printf(out, " \"%s\"", m->procedure->steps[step].name);
}

static int first_of(step_set set)
{
    int step = 0;
    while (!(set >> step & 1))
        step++;
    return step;
}

/* One of the hand's roles asks for FIRST before SECOND: by an `after`, or by its card. */
static bool is_fixed(const struct moving *m, int lane, int first, int second,
                     struct text *why)
{
    const struct step *one = &m->procedure->steps[first];
    const struct step *two = &m->procedure->steps[second];
    if ((two->after | two->after_started) >> first & 1) {
        add_step(m, second, why);
        text_printf(why, " comes after \"%s\".", one->name);
        return true;
    }
    for (int role = 0; role < m->procedure->plan->role_count; role++) {
        const struct role *shared = &m->procedure->plan->roles[role];
        if (one->roles & two->roles & m->bill->wears[lane] & (1u << role) &&
            !shared->free_order) {
            text_printf(why, "The card of %s has \"%s\" before \"%s\".", shared->words,
                        one->name, two->name);
            return true;
        }
    }
    return false;
}

/* The state in which the play got stuck: its events again, in the order of their times;
 * at one time the ends come first. */
static void replay_stuck(const struct moving *m, struct rig_state *state)
{
    rig_start(&m->rig, state);
    const struct played *played = &m->played;
    for (int left = 2 * played->slot_count; left; left--) {
        const struct bill_slot *next = NULL;
        bool is_end = false;
        int32_t next_ms = INT32_MAX;
        for (int i = 0; i < played->slot_count; i++) {
            const struct bill_slot *slot = &played->slots[i];
            bool begun = state->begun >> slot->step & 1;
            int32_t ms = begun ? slot->end_ms : slot->start_ms;
            if (state->done >> slot->step & 1 || ms > next_ms ||
                (ms == next_ms && (!begun || is_end)) ||
                (begun && !(rig_may_end(&m->rig, state) >> slot->step & 1)))
                continue;
            next = slot;
            next_ms = ms;
            is_end = begun;
        }
        if (next && is_end)
            rig_end(&m->rig, state, next->step);
        else if (next)
            rig_begin(&m->rig, state, next->step);
    }
}

/* What the next step of the changed card waits for. */
static void say_stuck(const struct moving *m, int step, struct text *why)
{
    struct rig_state state;
    replay_stuck(m, &state);
    struct rig_block block = rig_blocked(&m->rig, &state, step);
    step_set before = block.after | block.after_started;
    add_step(m, step, why);
    text_add(why, before || block.needs ? " would wait for " : " would wait for ever");
    if (before || block.needs) {
        add_step(m, first_of(before ? before : block.needs), why);
        text_add(why, ", which could not be made before it");
    } else if (block.waits) {
        const struct conditions *wait = &m->procedure->steps[step].wait;
        text_add(why, ": ");
        bill_say_condition(m->procedure->plan, &wait->at[first_of(block.waits)], why);
        text_add(why, " would not come");
    }
    text_add(why, ".");
}

static void say_why(const struct moving *m, int step, struct text *why)
{
    if (m->played.stuck_step < 0) {
        say_stuck(m, step, why);
        return;
    }
    text_add(why, "At ");
    add_step(m, m->played.stuck_step, why);
    text_add(why, ": ");
    bill_say_finding(&m->played.stuck_on, &m->rig, m->bill, m->crew, why);
    text_add(why, ".");
}

static bool play_moved(struct moving *m)
{
    play_greedy(&m->play, &m->played);
    if (m->played.ended)
        return true;
    struct played stuck = m->played;
    struct arena *arena = arena_new();
    struct play_event order[2 * STEPS_MAX];
    uint32_t nodes = NODES_MOST;
    int count = 0;
    bool found = play_search(&m->play, arena, &nodes, order, &count) == PLAY_FOUND;
    arena_free(arena);
    if (found)
        play_time(&m->play, order, count, &m->played);
    else
        m->played = stuck;
    return found;
}

static void make_play(struct moving *m, const struct bill_wish *wish)
{
    struct rig by_roles;
    int hands[LANES_MAX];
    for (int lane = 0; lane < m->bill->lane_count; lane++)
        hands[lane] = m->bill->hand[lane];
    play_make(m->procedure, m->crew, wish, m->bill->wears, hands, m->bill->lane_count,
              &by_roles, &m->play);
    m->play.rig = &m->rig;
}

/* The card of LANE in the bill's order. */
static int card_of(const struct moving *m, int lane, uint8_t steps[STEPS_MAX])
{
    int count = 0;
    for (int i = 0; i < m->bill->slot_count; i++)
        if (m->rig.lanes_of_step[m->bill->slots[i].step] >> lane & 1)
            steps[count++] = m->bill->slots[i].step;
    return count;
}

static void take_times(const struct moving *m, struct bill *out)
{
    *out = *m->bill;
    memcpy(out->slots, m->played.slots, sizeof out->slots);
    out->total_ms = m->played.total_ms;
    out->proved = out->total_ms == out->least_ms;
}

bool bill_move(const struct bill *bill, const struct procedure *procedure,
               const struct crew *crew, const struct bill_wish *wish, int lane, int step,
               bool later, struct bill *out, struct text *why)
{
    struct moving m = {.procedure = procedure, .crew = crew, .bill = bill};
    uint8_t card[STEPS_MAX];
    bill_rig(bill, procedure, &m.rig);
    int count = card_of(&m, lane, card), at = 0;
    while (at < count && card[at] != step)
        at++;
    int first = later ? at : at - 1;
    if (first < 0 || first + 1 >= count) {
        text_add(why, later ? "It is the last of this card." : "It is the first of it.");
        return false;
    }
    uint8_t one = card[first], two = card[first + 1];
    if (is_fixed(&m, lane, one, two, why))
        return false;
    card[first] = two;
    card[first + 1] = one;
    rig_set_card(&m.rig, lane, card, count);
    make_play(&m, wish);
    if (!play_moved(&m)) {
        say_why(&m, two, why);
        return false;
    }
    struct bill moved;
    take_times(&m, &moved);
    if (!bill_holds(&moved, procedure, crew, wish)) {
        text_add(why, "The hands could not do it in that order.");
        return false;
    }
    *out = moved;
    return true;
}
