#include "command/commands.h"

#include "base/text.h"
#include "cards/sheets.h"
#include "command/choose.h"

static const struct flag flags[] = {
    {'j', "json", NULL, "as JSON"},
    {'b', "board", "port|starboard", "the tack at the begin (starboard)"},
    {'o', "option", "NAME=yes|no", "set an option of the procedure; may be repeated"},
    {'k', "wind", "WIND", "true wind: what the boat's lines then carry"},
    {'U', "units", "metric|us", "what figures are told in (metric)"},
    {'t', "boat", "FILE", "the boat (your boat.yaml, else the demo's)"},
    {0}};

enum { SLIP_STATES = 20000 };

/* Shows PROCEDURE with what comes of a step forgotten, one hand a role. */
static void show(struct context *context, const struct procedure *procedure, bool json,
                 enum units units, struct text *out)
{
    const struct vet_limits limits = {.states = SLIP_STATES};
    struct rig *rig = arena_alloc(context->arena, sizeof *rig);
    struct slips *forgotten = arena_alloc(context->arena, sizeof *forgotten);
    if (vet_rig_of_roles(procedure, procedure->pilot_needed, rig))
        vet_omissions(rig, &limits, forgotten);
    if (json)
        sheet_procedure_json(procedure, forgotten, out);
    else
        sheet_procedure(procedure, rig, forgotten, units, out);
}

static int see(struct context *context, struct chosen *chosen, const char *name,
               bool json)
{
    context_fill_library(context);
    const struct source *source = context_procedure(context, name);
    chosen->load.options = chosen->options;
    bool wants_boat = chosen->weather.is_said || chosen->boat_path;
    if (wants_boat && !choose_boat(context, chosen)) {
        context_report(context);
        return STATUS_COULD_NOT;
    }
    const struct procedure *procedure =
        source ? library_load(&context->library, source, &chosen->load, context->arena,
                              context->diags)
               : NULL;
    if (context_report(context) || !procedure)
        return STATUS_COULD_NOT;
    struct text out = {0};
    show(context, procedure, json, chosen->units, &out);
    bool fine = context_print(&out);
    text_free(&out);
    return fine ? STATUS_FINE : STATUS_COULD_NOT;
}

static int run(struct context *context, int argc, char **argv)
{
    bool json = false;
    struct chosen chosen;
    choose_start(&chosen);
    const char *value;
    for (int c; (c = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (c == FLAGS_HELP)
            return command_help(&command_see);
        if (c == 'b' && !choose_board(&chosen, value))
            return command_misused(&command_see, "the board is port or starboard");
        if (c == 'o' && !choose_option(&chosen, value))
            return command_misused(&command_see, "too many options");
        const char *wrong = c == 'k'   ? choose_wind(&chosen, value)
                            : c == 'U' ? choose_units(&chosen, value)
                                       : NULL;
        if (wrong)
            return command_misused(&command_see, wrong);
        chosen.boat_path = c == 't' ? value : chosen.boat_path;
        if (c == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        json |= c == 'j';
    }
    if (argc - flags_operands() != 1)
        return command_misused(&command_see, "name one procedure or file");
    return see(context, &chosen, argv[flags_operands()], json);
}

const struct command command_see = {
    "see",
    "NAME|FILE [--board SIDE] [--option NAME=yes|no]... [--wind WIND]\n"
    "                   [--boat FILE] [--units UNITS] [--json]",
    "Show a procedure: checks, steps, calls, what must never be", flags, run};
