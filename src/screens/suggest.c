#include "screens/suggest.h"

enum { OPTIONS_TRIED_MAX = 5 }; /* of them every choice is tried: 31 bills at most */

static int count_bits(unsigned set)
{
    int count = 0;
    for (; set; set &= set - 1)
        count++;
    return count;
}

/* Whether there is a bill with the options of CHANGED turned. */
static bool has_bill(const struct library *library, const struct source *source,
                     const struct procedure *procedure, const struct crew *crew,
                     bool pilot, unsigned changed)
{
    struct arena *arena = arena_new();
    const char *words[OPTIONS_MAX];
    for (int i = 0; i < procedure->option_count; i++)
        words[i] =
            arena_printf(arena, "%s=%s", procedure->options[i].name,
                         procedure->options[i].on != (changed >> i & 1) ? "yes" : "no");
    struct load_choice choice = {.board = procedure->board,
                                 .options = words,
                                 .option_count = procedure->option_count};
    const struct procedure *other =
        library_load(library, source, &choice, arena, diags_new(arena));
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    wish.pilot = pilot;
    bool found = other && bill_make(other, crew, &wish, &bill, &why) == BILL_FOUND;
    arena_free(arena);
    return found;
}

void suggest_options(const struct library *library, const struct source *source,
                     const struct procedure *procedure, const struct crew *crew,
                     bool pilot, struct text *out)
{
    int count = procedure->option_count < OPTIONS_TRIED_MAX ? procedure->option_count
                                                            : OPTIONS_TRIED_MAX;
    for (int size = 1; size <= count; size++)
        for (unsigned changed = 1; changed < 1u << count; changed++) {
            if (count_bits(changed) != size ||
                !has_bill(library, source, procedure, crew, pilot, changed))
                continue;
            text_add(out, "It can be done with:");
            for (int i = 0; i < count; i++)
                if (changed >> i & 1)
                    text_printf(out, " %s=%s", procedure->options[i].name,
                                procedure->options[i].on ? "no" : "yes");
            text_add(out, ".\n");
            return;
        }
}
