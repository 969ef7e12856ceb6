/* What is loaded for the choice at the muster: every procedure with how it fits, the
 * chosen one with its bill. */
#include "screens/app_parts.h"

#include "cards/sheets.h"
#include "screens/suggest.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

enum {
    CONFLICTS_LIVE = 20000, /* any key takes the best so far */
    SILENT_MS = 200,        /* a bill that takes no longer is not spoken of */
    SPEAK_EVERY_MS = 250
};

void app_drop_kit(struct app *app)
{
    text_free(&app->kit.trouble);
    text_free(&app->kit.pinned);
    text_free(&app->kit.proof);
    text_free(&app->kit.refused);
    arena_free(app->kit.arena);
    app->kit = (struct kit){0};
}

static void copy_crew(struct app *app)
{
    const struct crew *crew = app->world.crew;
    struct hand *hands =
        arena_alloc(app->kit.arena, crew->hand_count * sizeof *hands + 1);
    for (int h = 0; h < crew->hand_count; h++) {
        hands[h] = crew->hands[h];
        hands[h].aboard = app->aboard[h];
    }
    app->kit.crew = *crew;
    app->kit.crew.hands = hands;
}

/* The options as the loader wants them: "name=yes". */
static int option_words(struct app *app, const struct procedure *procedure,
                        const char **out)
{
    for (int i = 0; i < app->option_count; i++)
        out[i] = arena_printf(app->kit.arena, "%s=%s", procedure->options[i].name,
                              app->option_on[i] ? "yes" : "no");
    return app->option_count;
}

static void load_procedure_again(struct app *app, struct diags *diags)
{
    struct kit *kit = &app->kit;
    const struct library *library = app->world.library;
    const struct source *source = library->procedures[app->procedure];
    struct load_choice choice = {.board = app->board};
    kit->procedure = library_load(library, source, &choice, kit->arena, diags);
    if (!kit->procedure || !app->option_count)
        return;
    const char *words[OPTIONS_MAX];
    choice.option_count = option_words(app, kit->procedure, words);
    choice.options = words;
    kit->procedure = library_load(library, source, &choice, kit->arena, diags);
}

static int compare_fits(const void *a, const void *b)
{
    const struct fit *first = a, *second = b;
    if (first->family != second->family)
        return first->family - second->family;
    return strcmp(first->title, second->title);
}

/* The file of that index as written, on the board chosen. */
static const struct procedure *as_written(struct app *app, int i)
{
    struct shelf *shelf = &app->shelves[app->board];
    const struct load_choice choice = {.board = app->board};
    shelf->arena = shelf->arena ? shelf->arena : arena_new();
    if (!shelf->loaded[i])
        shelf->procedures[i] =
            library_load(app->world.library, app->world.library->procedures[i], &choice,
                         shelf->arena, diags_new(shelf->arena));
    shelf->loaded[i] = true;
    return shelf->procedures[i];
}

void app_clear_shelves(struct app *app)
{
    for (int board = 0; board < 2; board++)
        if (app->shelves[board].arena)
            arena_free(app->shelves[board].arena);
    memset(app->shelves, 0, sizeof app->shelves);
}

static struct fit fit_of(struct app *app, int i)
{
    struct kit *kit = &app->kit;
    const struct source *source = app->world.library->procedures[i];
    const struct procedure *procedure = as_written(app, i);
    struct fit fit = {.index = i,
                      .title = library_name(source, kit->arena),
                      .family = FAMILY_CARE + 1,
                      .verdict = BILL_NONE};
    if (!procedure)
        return fit;
    struct bill_wish wish;
    struct bill bill;
    bill_wish_start(&wish);
    wish.pilot = app->pilot;
    wish.any_will_do = true;
    fit.title = procedure->title;
    fit.family = (int)procedure->family;
    fit.loads = true;
    fit.verdict = bill_try(procedure, &kit->crew, &wish, &bill);
    return fit;
}

static void find_fits(struct app *app)
{
    struct kit *kit = &app->kit;
    kit->fit_count = app->world.library->procedure_count;
    for (int i = 0; i < kit->fit_count; i++)
        kit->fits[i] = fit_of(app, i);
    qsort(kit->fits, (size_t)kit->fit_count, sizeof kit->fits[0], compare_fits);
    for (int i = 0; i < kit->fit_count; i++)
        if (kit->fits[i].index == app->procedure)
            app->at[PANE_PROCEDURES] = i;
}

void app_unpin_all(struct app *app)
{
    memset(app->pinned, -1, sizeof app->pinned);
}

/* The pins that mean something now; those of hands ashore are gone. */
static void wish_for_pins(struct app *app)
{
    struct kit *kit = &app->kit;
    bill_wish_start(&kit->wish);
    kit->wish.pilot = app->pilot;
    kit->wish.conflicts_max = CONFLICTS_LIVE;
    for (int role = 0; role < ROLES_MAX; role++) {
        int hand = app->pinned[role];
        if (hand >= 0 && !kit->crew.hands[hand].aboard)
            app->pinned[role] = -1;
        else if (hand >= 0 && rig_role_needed(kit->procedure, role, app->pilot))
            kit->wish.hand_of_role[role] = (int8_t)hand;
    }
}

static int64_t clock_ms(const struct app *app)
{
    return app->world.clock->now_ms(app->world.clock->self);
}

/* Says how far the bill is where that takes long; a key that waits ends it. */
static bool is_bill_stopped(void *payload, const struct bill_progress *progress)
{
    struct app *app = payload;
    struct kit *kit = &app->kit;
    int64_t now_ms = clock_ms(app);
    if (!app->world.key_waits || now_ms < kit->speaks_ms)
        return false;
    kit->speaks_ms = now_ms + SPEAK_EVERY_MS;
    text_free(&kit->trouble);
    text_printf(&kit->trouble, "Working out the bill: %" PRIu64 " dead ends, ",
                progress->conflicts);
    if (progress->found_ms)
        text_add_seconds(&kit->trouble, progress->found_ms);
    text_add(&kit->trouble, progress->found_ms ? " s found.\n" : "nothing found yet.\n");
    text_add(&kit->trouble, "Any key goes on with the best so far.\n");
    app->world.show(app, app->world.self);
    return app->world.key_waits(app->world.self);
}

/* The bill of the wish; while it is worked out there is none. */
static enum bill_verdict search_bill(struct app *app, struct bill *bill,
                                     struct bill_why *why)
{
    struct kit *kit = &app->kit;
    const struct bill_patience patience = {is_bill_stopped, app};
    kit->speaks_ms = clock_ms(app) + SILENT_MS;
    kit->verdict = BILL_UNDECIDED;
    kit->wish.patience = &patience;
    enum bill_verdict verdict =
        bill_make(kit->procedure, &kit->crew, &kit->wish, bill, why);
    kit->wish.patience = NULL;
    text_free(&kit->trouble);
    return verdict;
}

void app_make_bill(struct app *app)
{
    struct kit *kit = &app->kit;
    struct bill_why why;
    struct bill bill;
    text_free(&kit->trouble);
    text_free(&kit->pinned);
    text_free(&kit->proof);
    text_free(&kit->refused);
    kit->moved = false;
    wish_for_pins(app);
    kit->verdict = search_bill(app, &bill, &why);
    kit->bill = kit->verdict == BILL_FOUND ? bill : (struct bill){0};
    const struct bill *found = kit->verdict == BILL_FOUND ? &kit->bill : NULL;
    kit->pins = (struct pins){.free_verdict = kit->verdict, .free = kit->bill};
    if (bill_pinned(&kit->wish)) {
        bill_ask_pins(kit->procedure, &kit->crew, &kit->wish, kit->verdict, &kit->pins);
        sheet_pins(kit->procedure, &kit->crew, &kit->wish, found, &kit->pins,
                   &kit->pinned);
    }
    if (kit->pins.clash)
        return;
    if (kit->verdict != BILL_FOUND)
        suggest_options(app->world.library,
                        app->world.library->procedures[app->procedure], kit->procedure,
                        &kit->crew, app->pilot, &kit->trouble);
    bill_explain(kit->verdict, &why, kit->procedure, app->world.units, &kit->trouble);
}

void app_load_kit(struct app *app)
{
    app_drop_kit(app);
    app->kit.arena = arena_new();
    app->kit.verdict = BILL_NONE;
    copy_crew(app);
    if (app->pinned_for != app->procedure)
        app_unpin_all(app);
    app->pinned_for = app->procedure;
    if (!app->world.library->procedure_count) {
        text_add(&app->kit.trouble, "No procedures were found.\n");
        return;
    }
    find_fits(app);
    struct diags *diags = diags_new(app->kit.arena);
    load_procedure_again(app, diags);
    diags_write(diags, &app->kit.trouble);
    if (app->kit.procedure)
        app_make_bill(app);
}

void app_take_options(struct app *app, const struct load_choice *choice)
{
    const struct procedure *procedure = app->kit.procedure;
    if (!procedure || !choice || !choice->option_count)
        return;
    app->option_count = procedure->option_count;
    for (int i = 0; i < procedure->option_count; i++) {
        app->option_on[i] = procedure->options[i].on;
        size_t length = strlen(procedure->options[i].name);
        for (int j = 0; j < choice->option_count; j++)
            if (strncmp(choice->options[j], procedure->options[i].name, length) == 0 &&
                choice->options[j][length] == '=')
                app->option_on[i] = strcmp(choice->options[j] + length + 1, "yes") == 0;
    }
    app_load_kit(app);
}
