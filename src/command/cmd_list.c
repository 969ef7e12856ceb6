#include "command/commands.h"

#include "base/text.h"
#include "cards/sheets.h"

static const struct flag flags[] = {{'j', "json", NULL, "as JSON"}, {0}};

/* A file that does not load is named and reported; the others are still listed. */
static bool list_one(struct context *context, int i, bool json, struct json *array,
                     struct text *out)
{
    struct load_choice choice = {.board = BOARD_STARBOARD};
    struct diags *diags = diags_new(context->arena);
    const struct procedure *procedure =
        library_load(&context->library, context->library.procedures[i], &choice,
                     context->arena, diags);
    struct text messages = {0};
    diags_write(diags, &messages);
    if (messages.at)
        fputs(messages.at, stderr);
    text_free(&messages);
    if (procedure && json)
        sheet_list_json(procedure, array);
    else if (procedure)
        sheet_list_line(procedure, out);
    return procedure != NULL;
}

static int run(struct context *context, int argc, char **argv)
{
    bool json = false;
    const char *value;
    for (int c; (c = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (c == FLAGS_HELP)
            return command_help(&command_list);
        if (c == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        json = true;
    }
    if (flags_operands() < argc)
        return command_misused(&command_list, "it takes no arguments");
    context_fill_library(context);
    struct text out = {0};
    struct json array = {.out = &out};
    if (json) {
        json_open(&array, NULL, '{');
        json_integer(&array, "format", 1);
        json_open(&array, "procedures", '[');
    }
    bool fine = !context_report(context);
    for (int i = 0; i < context->library.procedure_count; i++)
        fine &= list_one(context, i, json, &array, &out);
    if (json) {
        json_close(&array, ']');
        json_close(&array, '}');
        json_end(&array);
    } else if (!out.at) {
        text_add(&out, "No procedures found; set FOREGUY_DATA to the folder that holds "
                       "procedures/.\n");
        fine = false;
    }
    fine &= context_print(&out);
    text_free(&out);
    return fine ? STATUS_FINE : STATUS_COULD_NOT;
}

const struct command command_list = {"list", "[--json]", "List the procedures there are",
                                     flags, run};
