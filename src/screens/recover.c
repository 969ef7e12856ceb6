#include "screens/recover.h"

#include <stdlib.h>
#include <string.h>

/* The parts the run knows: those its procedure names, and those the mishap sets. */
static part_set known_parts(const struct run *run, int mishap)
{
    const struct rig_plan *plan = run->rig->plan;
    part_set known = 0;
    for (int p = 0; p < plan->part_count; p++)
        if (run->rig->procedure->begin[p].values)
            known |= (part_set)1 << p;
    if (mishap >= 0)
        for (int i = 0; i < plan->mishaps[mishap].sets.count; i++)
            known |= (part_set)1 << plan->mishaps[mishap].sets.at[i].part;
    return known;
}

/* The rig's state in the parts of another loading of the same rig, by name.  Of a part
 * nobody has said anything about the procedure's own begin is taken. */
static void carry_parts(const struct rig_plan *from, const struct rig_state *state,
                        part_set known, const struct procedure *to, struct rig_state *out)
{
    for (int p = 0; p < to->plan->part_count; p++) {
        const struct part *part = &to->plan->parts[p];
        int old = rig_plan_part(from, part->name);
        out->part[p] = to->begin[p].first;
        if (old < 0 || !(known >> old & 1))
            continue;
        int value = part_find_value(part, from->parts[old].values[state->part[old]].name);
        out->part[p] = (uint8_t)(value < 0 ? 0 : value);
    }
}

static enum board board_of(const struct rig_plan *plan, const struct rig_state *state,
                           enum board before)
{
    if (plan->lee_part < 0)
        return before;
    const struct part *part = &plan->parts[plan->lee_part];
    const char *lee = part->values[state->part[plan->lee_part]].name;
    if (strcmp(lee, "port") == 0)
        return BOARD_STARBOARD;
    if (strcmp(lee, "starboard") == 0)
        return BOARD_PORT;
    return before;
}

static int count_values(value_set values)
{
    int count = 0;
    for (; values; values &= values - 1)
        count++;
    return count;
}

static void measure(struct offer *offer)
{
    const struct procedure *procedure = offer->procedure;
    offer->first_off = -1;
    for (int p = 0; p < procedure->plan->part_count; p++) {
        value_set allowed = procedure->begin[p].values;
        if (!allowed)
            continue;
        offer->breadth += count_values(allowed) - 1;
        if (allowed >> offer->state.part[p] & 1)
            continue;
        offer->off++;
        if (offer->first_off < 0)
            offer->first_off = p;
    }
}

/* Lines in hand at the procedure's begin; who holds them is settled with the bill. */
static void tend_lines(struct offer *offer)
{
    memset(offer->state.tender, -1, sizeof offer->state.tender);
    memset(offer->state.taker, -1, sizeof offer->state.taker);
    for (int i = 0; i < offer->procedure->tended_count; i++) {
        int line = offer->procedure->tended[i].tending.line;
        offer->state.tender[line] = 0;
        offer->state.tending[line] = (uint8_t)(STEPS_MAX + i);
    }
}

static int compare(const void *a, const void *b)
{
    const struct offer *first = a, *second = b;
    bool recovery_a = first->procedure->family == FAMILY_RECOVERY;
    bool recovery_b = second->procedure->family == FAMILY_RECOVERY;
    if (first->off != second->off)
        return first->off < second->off ? -1 : 1;
    if (recovery_a != recovery_b)
        return recovery_a ? -1 : 1;
    if (first->breadth != second->breadth)
        return first->breadth < second->breadth ? -1 : 1;
    return strcmp(first->procedure->name, second->procedure->name);
}

static void add_offer(const struct procedure *procedure, const struct run *run,
                      const struct rig_state *state, part_set known, struct offers *out)
{
    struct offer *offer = &out->at[out->count++];
    *offer = (struct offer){.procedure = procedure};
    carry_parts(run->rig->plan, state, known, procedure, &offer->state);
    measure(offer);
    tend_lines(offer);
}

void recover_offers(const struct library *library, const struct run *run, int mishap,
                    struct arena *arena, struct offers *out)
{
    const struct rig_plan *plan = run->rig->plan;
    struct rig_state state = run->now.rig;
    if (mishap >= 0)
        rig_apply(&state, &plan->mishaps[mishap].sets);
    struct load_choice choice = {.board =
                                     board_of(plan, &state, run->rig->procedure->board)};
    out->count = 0;
    for (int i = 0; i < library->procedure_count && out->count < OFFERS_MAX; i++) {
        struct diags *diags = diags_new(arena);
        const char *rig = load_rig_name(library->procedures[i], arena, diags);
        if (!rig || strcmp(rig, plan->name) != 0)
            continue;
        const struct procedure *procedure =
            library_load(library, library->procedures[i], &choice, arena, diags);
        if (procedure)
            add_offer(procedure, run, &state, known_parts(run, mishap), out);
    }
    qsort(out->at, (size_t)out->count, sizeof out->at[0], compare);
}

/* The hand who holds the line of that name in RUN; -1 where nobody does. */
static int holder(const struct run *run, const char *line)
{
    int part = rig_plan_part(run->rig->plan, line);
    int lane = part < 0 ? -1 : run->now.rig.tender[part];
    return lane < 0 ? -1 : run->bill->hand[lane];
}

enum bill_verdict recover_bill(const struct offer *offer, const struct run *run,
                               const struct crew *crew, struct bill *out,
                               struct bill_why *why, bool *kept)
{
    const struct procedure *procedure = offer->procedure;
    struct bill_wish wish;
    bill_wish_start(&wish);
    wish.pilot = run->rig->pilot;
    wish.start = &offer->state;
    for (int i = 0; i < procedure->tended_count; i++) {
        const struct begin_tended *tended = &procedure->tended[i];
        int hand = holder(run, procedure->plan->parts[tended->tending.line].name);
        const char *role = procedure->plan->roles[tended->role].name;
        if (hand >= 0 && hand_grade(&crew->hands[hand], role) != GRADE_NONE)
            wish.hand_of_role[tended->role] = (int8_t)hand;
    }
    *kept = true;
    enum bill_verdict verdict = bill_make(procedure, crew, &wish, out, why);
    if (verdict == BILL_FOUND)
        return verdict;
    *kept = false;
    memset(wish.hand_of_role, -1, sizeof wish.hand_of_role);
    return bill_make(procedure, crew, &wish, out, why);
}

enum bill_verdict recover_without(const struct run *run, int lane,
                                  const struct crew *crew, struct bill *out,
                                  struct bill_why *why)
{
    const struct rig *rig = run->rig;
    struct rig_state state = run->now.rig;
    step_set running = rig_running(&state);
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (running >> s & 1 && rig->lanes_of_step[s] >> lane & 1)
            state.begun &= ~((step_set)1 << s); /* somebody else begins it again */
    struct bill_wish wish;
    bill_wish_start(&wish);
    wish.pilot = rig->pilot;
    wish.start = &state;
    for (int role = 0; role < ROLES_MAX; role++) {
        int wearer = rig->lane_of_role[role];
        if (wearer >= 0 && wearer != lane)
            wish.hand_of_role[role] = (int8_t)run->bill->hand[wearer];
    }
    enum bill_verdict verdict = bill_make(rig->procedure, crew, &wish, out, why);
    if (verdict == BILL_FOUND)
        return verdict;
    memset(wish.hand_of_role, -1, sizeof wish.hand_of_role);
    return bill_make(rig->procedure, crew, &wish, out, why);
}
