#include "bill/way_back.h"

#include "bill/internal.h"
#include "rig/carry.h"

#include <string.h>

enum { RESCUE_PLAYS = 200 };

/* A recovery of the library and what it takes these hands. */
struct rescue {
    const struct procedure *procedure;
    int breadth; /* states its begin allows, in values: less is nearer */
    bool is_timed, has_bill;
    struct bill_spread spread;
};

struct looking {
    const struct library *library;
    const struct bill *bill;
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill_wish *wish;
    struct arena *arena;
    struct way_back *out;
    struct rig rig;
    int rescue_count[2]; /* by board */
    struct rescue rescues[2][LIBRARY_MAX];
    bool seen[MISHAPS_MAX]; /* it can happen */
    bool known[MISHAPS_MAX], manned[MISHAPS_MAX];
};

static int breadth_of(const struct procedure *procedure)
{
    int breadth = 0;
    for (int p = 0; p < procedure->plan->part_count; p++)
        breadth += __builtin_popcount(procedure->begin[p].values);
    return breadth;
}

static void load_rescues(struct looking *l, enum board board)
{
    const struct load_choice choice = {.board = board};
    for (int i = 0; i < l->library->procedure_count; i++) {
        const struct source *source = l->library->procedures[i];
        const char *rig = load_rig_name(source, l->arena, diags_new(l->arena));
        if (!rig || strcmp(rig, l->procedure->plan->name) != 0)
            continue;
        const struct procedure *one =
            library_load(l->library, source, &choice, l->arena, diags_new(l->arena));
        if (one && one->family == FAMILY_RECOVERY)
            l->rescues[board][l->rescue_count[board]++] =
                (struct rescue){.procedure = one, .breadth = breadth_of(one)};
    }
}

static void time_rescue(const struct looking *l, struct rescue *rescue)
{
    struct bill bill;
    struct bill_wish wish;
    if (rescue->is_timed)
        return;
    rescue->is_timed = true;
    bill_wish_start(&wish);
    wish.pilot = l->wish->pilot;
    rescue->has_bill = bill_try(rescue->procedure, l->crew, &wish, &bill) == BILL_FOUND &&
                       bill_find_spread(&bill, rescue->procedure, l->crew, &wish,
                                        RESCUE_PLAYS, 1, &rescue->spread);
}

/* The nearest recovery that fits STATE after MISHAP; NULL where none does. */
static struct rescue *nearest(struct looking *l, const struct rig_state *state,
                              int mishap)
{
    const struct rig_plan *plan = l->procedure->plan;
    struct rig_state after = *state;
    struct rescue *best = NULL;
    rig_apply(&after, &plan->mishaps[mishap].sets);
    part_set known = carry_known(l->procedure, mishap);
    enum board board = carry_board(plan, &after, known, l->procedure->board);
    for (int i = 0; i < l->rescue_count[board]; i++) {
        struct rescue *rescue = &l->rescues[board][i];
        struct rig_state theirs;
        carry_parts(plan, &after, known, rescue->procedure, &theirs);
        if (!carry_misfits(rescue->procedure, &theirs) &&
            (!best || rescue->breadth < best->breadth))
            best = rescue;
    }
    return best;
}

static void look_at(struct looking *l, const struct rig_state *state, int mishap)
{
    struct rescue *rescue = nearest(l, state, mishap);
    l->seen[mishap] = true;
    if (!rescue)
        return;
    l->known[mishap] = true;
    time_rescue(l, rescue);
    if (!rescue->has_bill)
        return;
    l->manned[mishap] = true;
    if (l->out->procedure && rescue->spread.nine_ms <= l->out->spread.nine_ms)
        return;
    l->out->mishap = mishap;
    l->out->procedure = rescue->procedure;
    l->out->spread = rescue->spread;
}

static void look_at_all(struct looking *l, const struct rig_state *state,
                        const char *without)
{
    const struct rig_plan *plan = l->procedure->plan;
    for (int m = 0; m < plan->mishap_count; m++)
        if (!(without && strncmp(plan->mishaps[m].name, without, strlen(without)) == 0) &&
            carry_can_happen(l->procedure, state, m))
            look_at(l, state, m);
}

/* The step whose event comes next on the clock of the bill; -1 at the end. */
static int next_event(const struct looking *l, const struct rig_state *state)
{
    int next = -1;
    int32_t soonest = INT32_MAX;
    for (int i = 0; i < l->bill->slot_count; i++) {
        const struct bill_slot *slot = &l->bill->slots[i];
        bool begun = state->begun >> slot->step & 1;
        int32_t at_ms = begun ? slot->end_ms : slot->start_ms;
        if (!((state->done | state->skipped) >> slot->step & 1) && at_ms < soonest) {
            soonest = at_ms;
            next = slot->step;
        }
    }
    return next;
}

void bill_find_way_back(const struct library *library, const struct bill *bill,
                        const struct procedure *procedure, const struct crew *crew,
                        const struct bill_wish *wish, const char *without,
                        struct arena *arena, struct way_back *out)
{
    struct looking *l = arena_alloc(arena, sizeof *l);
    struct rig_state state;
    *out = (struct way_back){.mishap = -1};
    *l = (struct looking){.library = library,
                          .bill = bill,
                          .procedure = procedure,
                          .crew = crew,
                          .wish = wish,
                          .arena = arena,
                          .out = out};
    bill_rig(bill, procedure, &l->rig);
    load_rescues(l, BOARD_PORT);
    load_rescues(l, BOARD_STARBOARD);
    rig_start(&l->rig, &state);
    look_at_all(l, &state, without);
    for (int s; (s = next_event(l, &state)) >= 0;) {
        if (state.begun >> s & 1)
            rig_end(&l->rig, &state, s);
        else
            rig_begin(&l->rig, &state, s);
        look_at_all(l, &state, without);
    }
    for (int m = 0; m < MISHAPS_MAX; m++) {
        out->mishap_count += l->seen[m];
        out->unknown_count += l->seen[m] && !l->known[m];
        out->unmanned_count += l->known[m] && !l->manned[m];
    }
}
