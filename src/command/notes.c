#include "command/notes.h"

#include "cards/sheet_lints.h"

#include <string.h>

/* With the options as they are, or OPTION ("name=yes") set; NULL where it does not load,
 * which is told where that file is vetted. */
static const struct procedure *load(struct notes *notes, int i, enum board board,
                                    const char *option)
{
    struct context *context = notes->context;
    const struct load_choice choice = {board, &option, option ? 1 : 0};
    struct diags *diags = diags_new(context->arena);
    return library_load(&context->library, context->library.procedures[i], &choice,
                        context->arena, diags);
}

static void load_file(struct notes *notes, int i, enum board board)
{
    struct arena *arena = notes->context->arena;
    const struct procedure **all = notes->all[board];
    const struct procedure *plain = load(notes, i, board, NULL);
    if (!plain)
        return;
    all[notes->count[board]++] = plain;
    for (int o = 0; o < plain->option_count; o++) {
        const char *other = arena_printf(arena, "%s=%s", plain->options[o].name,
                                         plain->options[o].on ? "no" : "yes");
        const struct procedure *procedure = load(notes, i, board, other);
        if (procedure)
            all[notes->count[board]++] = procedure;
    }
}

static void load_all(struct notes *notes, enum board board)
{
    const struct library *library = &notes->context->library;
    size_t most = (size_t)library->procedure_count * (1 + OPTIONS_MAX) + 1;
    if (notes->all[board])
        return;
    notes->all[board] =
        arena_alloc(notes->context->arena, most * sizeof *notes->all[board]);
    for (int i = 0; i < library->procedure_count; i++)
        load_file(notes, i, board);
}

/* Those of the loaded procedures that are of the rig of that source. */
static int select_of(struct notes *notes, enum board board, const struct source *rig,
                     const struct procedure ***out)
{
    load_all(notes, board);
    size_t room = (size_t)notes->count[board] + 1;
    int count = 0;
    *out = arena_alloc(notes->context->arena, room * sizeof **out);
    for (int i = 0; i < notes->count[board]; i++)
        if (notes->all[board][i]->plan->source == rig)
            (*out)[count++] = notes->all[board][i];
    return count;
}

/* Says of a recovery if it is never wanted, on its own board or from the other one. */
static void look_for_a_use(struct notes *notes, const struct procedure *recovery,
                           struct lints *lints)
{
    const struct procedure **of_board[2], **both;
    const struct source *rig = recovery->plan->source;
    enum board other = recovery->board == BOARD_PORT ? BOARD_STARBOARD : BOARD_PORT;
    int here = select_of(notes, recovery->board, rig, &of_board[0]);
    int there = select_of(notes, other, rig, &of_board[1]);
    both = arena_alloc(notes->context->arena, (size_t)(here + there + 1) * sizeof *both);
    for (int i = 0; i < here + there; i++)
        both[i] = i < here ? of_board[0][i] : of_board[1][i - here];
    lints_of_recovery(recovery, both, here + there, lints);
}

void notes_of_procedure(struct notes *notes, const struct rig *rig,
                        const struct vet_report *report, const struct vet_limits *limits,
                        struct diags *out)
{
    const struct procedure *procedure = rig->procedure;
    struct lints *lints = arena_alloc(notes->context->arena, sizeof *lints);
    lints_of_procedure(procedure, lints);
    if (report->verdict != VET_SAFE)
        lints_of_orders(rig, limits, lints);
    if (procedure->family == FAMILY_RECOVERY)
        look_for_a_use(notes, procedure, lints);
    sheet_lints(procedure->plan, procedure, lints, out);
}

void notes_of_rigs(struct notes *notes, struct diags *out)
{
    const struct library *library = &notes->context->library;
    for (int i = 0; i < library->rig_count; i++) {
        const struct procedure **procedures;
        int count = select_of(notes, BOARD_STARBOARD, library->rigs[i], &procedures);
        struct lints *lints = arena_alloc(notes->context->arena, sizeof *lints);
        if (!count)
            continue;
        lints_of_rig(procedures[0]->plan, procedures, count, lints);
        sheet_lints(procedures[0]->plan, NULL, lints, out);
    }
}
