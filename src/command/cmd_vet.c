#include "command/commands.h"

#include "base/text.h"
#include "cards/sheet_lints.h"
#include "cards/sheet_vet.h"
#include "command/choose.h"
#include "command/notes.h"
#include "command/progress.h"
#include "vet/mirror.h"
#include "vet/promela.h"

#include <errno.h>
#include <string.h>

static const struct flag flags[] = {
    {'s', "slips", NULL, "try every single slip as well"},
    {'2', "pairs", NULL, "and every two slips at once; takes longer"},
    {'c', "crews", NULL, "and every way of sharing the roles; takes longer"},
    {'o', "option", "NAME=yes|no", "set an option; may be repeated"},
    {'a', "pilot", NULL, "the autopilot steers"},
    {'k', "wind", "WIND", "true wind: with the loads of the boat's lines"},
    {'t', "boat", "FILE", "the boat (your boat.yaml, else the demo's)"},
    {'m', "promela", "FILE", "write the first one's model for spin to FILE"},
    {'j', "json", NULL, "as JSON"},
    {0}};

struct vetting {
    struct context *context;
    struct chosen chosen;
    struct text *out;
    struct json *json;   /* NULL: as text */
    const char *promela; /* where the model goes; NULL: nowhere, or written already */
    bool slips, pairs, crews, unsafe, failed;
    bool mirrored; /* what is vetted now stands for both boards */
    struct progress progress;
    struct vet_limits limits; /* none but Ctrl-C */
    struct text not_vetted;   /* names of what that left out */
    struct notes notes;
    struct diags *of_rigs; /* noted of the rigs, where all procedures are vetted */
    /* too large for the stack */
    struct rig rig;
    struct vet_report report;
    struct vet_mend mends[VET_FOUND_MAX];
    struct races races;
    struct slips slip_list;
    struct slip_pairs pair_list;
    struct shares shares;
};

static void work_at(struct vetting *v, const char *doing, const uint64_t *states)
{
    progress_at(&v->progress, v->rig.procedure->name, doing, "states", states);
}

static void search_more(struct vetting *v)
{
    if (v->slips) {
        work_at(v, "slips, ", &v->slip_list.states);
        vet_slips(&v->rig, &v->limits, &v->slip_list);
    }
    if (v->pairs) {
        work_at(v, "pairs of slips, ", &v->pair_list.states);
        vet_pairs(&v->rig, &v->slip_list, &v->limits, &v->pair_list);
    }
    if (v->crews) {
        work_at(v, "sharing the roles, ", &v->shares.states);
        vet_shares(v->rig.procedure, v->rig.pilot, v->rig.procedure->hands_least,
                   &v->limits, &v->shares);
    }
}

/* An arrow that mends all is enough: it stands for everything found. */
static void mend(struct vetting *v)
{
    for (int i = 0; i < v->report.found_count; i++) {
        work_at(v, "what mends it, ", &v->report.states);
        v->mends[i] =
            i && v->mends[i - 1].all
                ? v->mends[i - 1]
                : vet_repair(&v->rig, &v->report, &v->report.found[i], &v->limits);
    }
}

static void show(struct vetting *v)
{
    mend(v);
    search_more(v);
    vet_races(&v->rig, &v->races);
    work_at(v, "notes, ", &v->report.states);
    struct diags *found = diags_new(v->context->arena);
    notes_of_procedure(&v->notes, &v->rig, &v->report, &v->limits, found);
    if (v->json) {
        const struct vetted vetted = {&v->rig,
                                      &v->report,
                                      v->mends,
                                      &v->races,
                                      v->slips ? &v->slip_list : NULL,
                                      v->pairs ? &v->pair_list : NULL,
                                      v->crews ? &v->shares : NULL,
                                      found,
                                      v->mirrored};
        sheet_vet_json(&vetted, v->json);
        return;
    }
    sheet_vet_line(&v->rig, &v->report, v->mirrored, v->out);
    sheet_vet_found(&v->rig, &v->report, v->mends, v->out);
    diags_write(found, v->out);
    sheet_vet_races(v->rig.procedure, &v->races, v->out);
    if (v->slips)
        sheet_vet_slips(&v->rig, &v->slip_list, v->pairs ? &v->pair_list : NULL, v->out);
    if (v->crews)
        sheet_vet_shares(v->rig.procedure, v->rig.pilot, &v->shares, v->out);
}

/* What is ready is seen at once: the rest may take long, or never come. */
static void print(struct vetting *v)
{
    progress_clear(&v->progress);
    v->failed |= !context_print(v->out);
    text_free(v->out);
    *v->out = (struct text){0};
}

static void write_model(struct vetting *v)
{
    struct text model = {0};
    vet_promela(&v->rig, false, &model);
    FILE *file = fopen(v->promela, "w");
    if (!file || fwrite(model.at, 1, model.length, file) != model.length)
        fprintf(stderr, "foreguy: %s cannot be written: %s\n", v->promela,
                strerror(errno));
    v->failed |= !file;
    if (file)
        v->failed |= fclose(file) != 0;
    v->promela = NULL;
    text_free(&model);
}

/* NULL where the file does not load; what is wrong is told once, not for each board. */
static const struct procedure *load(struct vetting *v, const struct source *source,
                                    enum board board, bool tell)
{
    struct diags *diags = diags_new(v->context->arena);
    v->chosen.load.board = board;
    v->chosen.load.options = v->chosen.options;
    const struct procedure *procedure = library_load(
        &v->context->library, source, &v->chosen.load, v->context->arena, diags);
    struct text messages = {0};
    diags_write(diags, &messages);
    if (messages.at && (tell || !procedure))
        fputs(messages.at, stderr);
    text_free(&messages);
    v->failed |= !procedure;
    return procedure;
}

static void vet_one(struct vetting *v, const struct procedure *procedure)
{
    bool pilot = v->chosen.pilot || procedure->pilot_needed;
    if (!vet_rig_of_roles(procedure, pilot, &v->rig)) {
        v->failed = true;
        return;
    }
    if (v->promela)
        write_model(v);
    work_at(v, "", &v->report.states);
    vet_prove(&v->rig, &v->limits, false, &v->report);
    v->unsafe |= v->report.verdict != VET_SAFE;
    show(v);
}

/* Where one board is the mirror image of the other, one proof serves both. */
static void vet_both(struct vetting *v, const struct source *source)
{
    const struct procedure *starboard = load(v, source, BOARD_STARBOARD, true);
    const struct procedure *port = starboard ? load(v, source, BOARD_PORT, false) : NULL;
    struct text why = {0};
    v->mirrored = port && vet_mirrors(starboard, port, &why);
    if (starboard)
        vet_one(v, starboard);
    if (port && !v->mirrored) {
        vet_one(v, port);
        if (!v->json)
            sheet_vet_not_mirrored(why.at, v->out);
    }
    text_free(&why);
    if (!v->json)
        print(v);
}

static void vet_source(struct vetting *v, const struct source *source)
{
    if (!v->progress.stopped)
        vet_both(v, source);
    else
        text_printf(&v->not_vetted, "%s%s", v->not_vetted.at ? ", " : "",
                    library_name(source, v->context->arena));
}

static void end_text(struct vetting *v)
{
    diags_write(v->of_rigs, v->out);
    if (v->rig.procedure)
        sheet_vet_footer(&v->rig, v->out);
    if (v->progress.stopped)
        text_printf(v->out, "STOPPED: what is UNDECIDED may have been cut short.%s%s\n",
                    v->not_vetted.at ? " Not vetted: " : "",
                    v->not_vetted.at ? v->not_vetted.at : "");
}

static void end_json(struct vetting *v)
{
    json_close(v->json, ']');
    sheet_notes_json(v->of_rigs, v->json);
    json_bool(v->json, "stopped", v->progress.stopped);
    json_close(v->json, '}');
    json_end(v->json);
}

/* Stopped by hand the program ends as by that signal, once all is printed. */
static int end(struct vetting *v)
{
    progress_end(&v->progress);
    if (v->json)
        end_json(v);
    else
        end_text(v);
    v->failed |= context_report(v->context) || !context_print(v->out);
    text_free(&v->not_vetted);
    if (v->progress.stopped)
        raise(SIGINT);
    return v->failed ? STATUS_COULD_NOT : v->unsafe ? STATUS_FOUND : STATUS_FINE;
}

static int vet_all(struct vetting *v, int count, char **names)
{
    context_fill_library(v->context);
    bool wants_boat = v->chosen.weather.is_said || v->chosen.boat_path;
    if (wants_boat && !choose_boat(v->context, &v->chosen)) {
        context_report(v->context);
        return STATUS_COULD_NOT;
    }
    progress_start(&v->progress, &v->context->clock);
    v->limits = (struct vet_limits){.stop = progress_stop, .payload = &v->progress};
    struct json json = {.out = v->out};
    if (v->json) {
        v->json = &json;
        json_open(&json, NULL, '{');
        json_integer(&json, "format", 1);
        json_open(&json, "vetted", '[');
    }
    for (int i = 0; i < count; i++) {
        const struct source *source = context_procedure(v->context, names[i]);
        v->failed |= !source;
        if (source)
            vet_source(v, source);
    }
    for (int i = 0; !count && i < v->context->library.procedure_count; i++)
        vet_source(v, v->context->library.procedures[i]);
    v->of_rigs = diags_new(v->context->arena);
    if (!count && !v->progress.stopped)
        notes_of_rigs(&v->notes, v->of_rigs);
    return end(v);
}

static int run(struct context *context, int argc, char **argv)
{
    struct vetting *v = arena_alloc(context->arena, sizeof *v);
    struct text out = {0};
    struct json wanted = {0};
    v->context = context;
    v->notes.context = context;
    v->out = &out;
    choose_start(&v->chosen);
    const char *value;
    for (int c; (c = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (c == FLAGS_HELP)
            return command_help(&command_vet);
        if (c == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        if (c == 'o' && !choose_option(&v->chosen, value))
            return command_misused(&command_vet, "too many options");
        const char *wrong = c == 'k' ? choose_wind(&v->chosen, value) : NULL;
        if (wrong)
            return command_misused(&command_vet, wrong);
        v->chosen.boat_path = c == 't' ? value : v->chosen.boat_path;
        v->promela = c == 'm' ? value : v->promela;
        v->slips |= c == 's' || c == '2';
        v->pairs |= c == '2';
        v->crews |= c == 'c';
        v->chosen.pilot |= c == 'a';
        v->json = c == 'j' ? &wanted : v->json;
    }
    int first = flags_operands();
    int status = vet_all(v, argc - first, argv + first);
    text_free(&out);
    return status;
}

const struct command command_vet = {
    "vet",
    "[NAME|FILE]... [--slips] [--pairs] [--crews] [--option NAME=yes|no]...\n            "
    "       "
    "[--pilot] [--wind WIND] [--boat FILE] [--promela FILE] [--json]",
    "Prove a procedure safe in every order, or show the shortest way to the accident",
    flags, run};
