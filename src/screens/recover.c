#include "screens/recover.h"

#include "rig/carry.h"

#include <stdlib.h>
#include <string.h>

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
    part_set misfits = carry_misfits(procedure, &offer->state);
    offer->first_off = -1;
    for (int p = 0; p < procedure->plan->part_count; p++) {
        if (procedure->begin[p].values)
            offer->breadth += count_values(procedure->begin[p].values) - 1;
        if (!(misfits >> p & 1))
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
    int names = strcmp(first->procedure->name, second->procedure->name);
    return names ? names : first->turned - second->turned;
}

/* What is looked for and where; the same for all procedures of the library. */
struct looking {
    const struct library *library;
    const struct run *run;
    struct rig_state state; /* of the run's rig, after the mishap */
    part_set known;
    enum board board;
    struct arena *arena;
    struct offers *out;
};

/* Where there are too many the furthest one gives way. */
static struct offer *next_place(struct offers *out, const struct offer *offer)
{
    if (out->count < OFFERS_MAX)
        return &out->at[out->count++];
    qsort(out->at, OFFERS_MAX, sizeof out->at[0], compare);
    struct offer *last = &out->at[OFFERS_MAX - 1];
    return compare(offer, last) < 0 ? last : NULL;
}

/* False where it does not fit as it is. */
static bool add_offer(const struct looking *looking, const struct procedure *procedure,
                      int turned)
{
    struct offer offer = {.procedure = procedure, .turned = turned};
    carry_parts(looking->run->rig->plan, &looking->state, looking->known, procedure,
                &offer.state);
    measure(&offer);
    tend_lines(&offer);
    struct offer *place = next_place(looking->out, &offer);
    if (place)
        *place = offer;
    return offer.off == 0;
}

/* The procedure with these options; NULL where it does not load so. */
static const struct procedure *load_with(const struct looking *looking,
                                         const struct source *source,
                                         const struct procedure *as_written,
                                         const bool on[])
{
    const char *words[OPTIONS_MAX];
    struct load_choice choice = {.board = looking->board, .options = words};
    choice.option_count = as_written ? as_written->option_count : 0;
    for (int i = 0; i < choice.option_count; i++)
        words[i] = arena_printf(looking->arena, "%s=%s", as_written->options[i].name,
                                on[i] ? "yes" : "no");
    return library_load(looking->library, source, &choice, looking->arena,
                        diags_new(looking->arena));
}

/* Options are as in the run where it has them too, else as the file has them: what the
 * crew settled at the brief still holds.  True where one is not as in the file. */
static bool settle_options(const struct procedure *of_run, const struct procedure *loaded,
                           bool on[])
{
    bool differs = false;
    for (int i = 0; i < loaded->option_count; i++) {
        on[i] = loaded->options[i].on;
        for (int j = 0; j < of_run->option_count; j++)
            if (strcmp(of_run->options[j].name, loaded->options[i].name) == 0)
                on[i] = of_run->options[j].on;
        differs |= on[i] != loaded->options[i].on;
    }
    return differs;
}

/* SOURCE with the options that are settled, and where it fits with each one turned. */
static void look_at(const struct looking *looking, const struct source *source)
{
    bool on[OPTIONS_MAX];
    const struct procedure *written = load_with(looking, source, NULL, NULL);
    if (!written)
        return;
    const struct procedure *settled = written;
    if (settle_options(looking->run->rig->procedure, written, on))
        settled = load_with(looking, source, written, on);
    if (settled && !add_offer(looking, settled, -1))
        return;
    for (int i = 0; i < written->option_count; i++) {
        on[i] = !on[i];
        const struct procedure *other = load_with(looking, source, written, on);
        on[i] = !on[i];
        if (other)
            add_offer(looking, other, i);
    }
}

void recover_offers(const struct library *library, const struct run *run, int mishap,
                    struct arena *arena, struct offers *out)
{
    const struct rig_plan *plan = run->rig->plan;
    struct looking looking = {.library = library,
                              .run = run,
                              .state = run->now.rig,
                              .known = carry_known(run->rig->procedure, mishap),
                              .arena = arena,
                              .out = out};
    if (mishap >= 0)
        rig_apply(&looking.state, &plan->mishaps[mishap].sets);
    looking.board =
        carry_board(plan, &looking.state, looking.known, run->rig->procedure->board);
    out->count = 0;
    for (int i = 0; i < library->procedure_count; i++) {
        const char *rig = load_rig_name(library->procedures[i], arena, diags_new(arena));
        if (rig && strcmp(rig, plan->name) == 0)
            look_at(&looking, library->procedures[i]);
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
