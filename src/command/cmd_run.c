#include "command/commands.h"

#include "base/text.h"
#include "command/choose.h"
#include "command/live.h"
#include "command/plain.h"

#include "screens/resume.h"
#include "screens/suggest.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>

/* What the command line asks for. */
struct wanted {
    struct chosen chosen;
    enum run_mode mode;
    const char *procedure, *keys_path, *logbook_path;
    int guard_ms; /* -1: the usual one */
    bool plain, resume, unproved, no_logbook, ascii, silent;
};

static const struct flag flags[] = {
    {'p', "plain", NULL, "line by line, for screen readers and pipes"},
    {'k', "keys", "FILE", "play keys (with --plain: lines) from FILE, on its own clock"},
    {'m', "mode", "walk|drill|afloat", "slowly, against the clock, for real (drill)"},
    {'b', "board", "port|starboard", "the tack at the begin (starboard)"},
    {'o', "option", "NAME=yes|no", "set an option of the procedure; may be repeated"},
    {'c', "crew", "FILE", "the crew (your crew.yaml, else the demo's)"},
    {'t', "boat", "FILE", "the boat (your boat.yaml, else the demo's)"},
    {'n', "hands", "NAME,NAME", "exactly these are aboard"},
    {'a', "pilot", NULL, "the autopilot steers"},
    {'U', "units", "metric|us", "what figures are told in (metric)"},
    {'w', "wind", "WIND", "true wind: loads her lines, and is written into the logbook"},
    {'u', "unproved", NULL, "run what is not proved, or above its wind, on purpose"},
    {'r', "resume", NULL, "take up the newest run that is still open"},
    {'l', "logbook", "FILE", "another logbook"},
    {'x', "no-logbook", NULL, "record nothing"},
    {'g', "guard", "MS", "the same key again within this is ignored (300)"},
    {'s', "silent", NULL, "no bell for what is overdue or planned"},
    {'7', "ascii", NULL, "draw with ASCII characters only"},
    {0}};

static bool set_mode(struct wanted *wanted, const char *word)
{
    for (int mode = RUN_WALK; mode <= RUN_AFLOAT; mode++)
        if (strcmp(word, run_mode_name((enum run_mode)mode)) == 0) {
            wanted->mode = (enum run_mode)mode;
            return true;
        }
    return false;
}

static bool set_guard(struct wanted *wanted, const char *word)
{
    char *end;
    long ms = strtol(word, &end, 10);
    if (!*word || *end || ms < 0 || ms > 2000)
        return false;
    wanted->guard_ms = (int)ms;
    return true;
}

/* Takes one flag; NULL or what is wrong with it. */
static const char *take_flag(struct wanted *wanted, int letter, const char *value)
{
    switch (letter) {
    case 'p':
        wanted->plain = true;
        break;
    case 'k':
        wanted->keys_path = value;
        break;
    case 'm':
        return set_mode(wanted, value) ? NULL : "the mode is walk, drill or afloat";
    case 'b':
        return choose_board(&wanted->chosen, value) ? NULL
                                                    : "the board is port or starboard";
    case 'o':
        return choose_option(&wanted->chosen, value) ? NULL : "too many options";
    case 'c':
        wanted->chosen.crew_path = value;
        break;
    case 't':
        wanted->chosen.boat_path = value;
        break;
    case 'n':
        wanted->chosen.hands = value;
        break;
    case 'a':
        wanted->chosen.pilot = true;
        break;
    case 'w':
        return choose_wind(&wanted->chosen, value);
    case 'U':
        return choose_units(&wanted->chosen, value);
    case 'u':
        wanted->unproved = true;
        break;
    case 'r':
        wanted->resume = true;
        break;
    case 'l':
        wanted->logbook_path = value;
        break;
    case 'x':
        wanted->no_logbook = true;
        break;
    case 'g':
        return set_guard(wanted, value) ? NULL : "the guard is 0 to 2000 milliseconds";
    case 's':
        wanted->silent = true;
        break;
    case '7':
        wanted->ascii = true;
        break;
    default:
        break;
    }
    return NULL;
}

/* NULL with the reason in WHY, or with no reason where none is wanted. */
static struct logbook *open_logbook(struct context *context, const struct wanted *wanted,
                                    struct text *why)
{
    if (wanted->no_logbook)
        return NULL;
    const char *path =
        wanted->logbook_path ? wanted->logbook_path : context_logbook_path(context);
    return logbook_open(path, why);
}

static bool make_bill(struct context *context, const struct wanted *wanted,
                      const struct source *source, const struct procedure *procedure,
                      const struct crew *crew, struct bill *bill)
{
    struct bill_wish wish;
    struct bill_why why;
    bill_wish_start(&wish);
    wish.pilot = wanted->chosen.pilot;
    enum bill_verdict verdict = bill_make(procedure, crew, &wish, bill, &why);
    if (verdict == BILL_FOUND)
        return true;
    struct text out = {0};
    bill_explain(verdict, &why, procedure, wanted->chosen.units, &out);
    suggest_options(&context->library, source, procedure, crew, wish.pilot, &out);
    context_print(&out);
    text_free(&out);
    return false;
}

/* A new run of the procedure on the command line. */
static int open_new(struct context *context, struct wanted *wanted,
                    struct logbook *logbook, const struct clock *clock,
                    struct script *script)
{
    const struct source *source = context_procedure(context, wanted->procedure);
    wanted->chosen.load.options = wanted->chosen.options;
    const struct boat *boat = choose_boat(context, &wanted->chosen);
    const struct procedure *procedure =
        source ? library_load(&context->library, source, &wanted->chosen.load,
                              context->arena, context->diags)
               : NULL;
    const struct crew *crew = choose_crew(context, &wanted->chosen);
    if (context_report(context) || !procedure || !crew || !boat)
        return STATUS_COULD_NOT;
    struct bill bill;
    if (!make_bill(context, wanted, source, procedure, crew, &bill))
        return STATUS_FOUND;
    const struct session_start start = {
        .procedure = procedure,
        .crew = crew,
        .bill = &bill,
        .mode = wanted->mode,
        .options = choose_options_text(&wanted->chosen, context->arena),
        .boat_text = boat->source->at,
        .wind = wanted->chosen.wind,
        .version = FOREGUY_VERSION,
        .boot_id = context->boot_id};
    struct session *session = arena_alloc(context->arena, sizeof *session);
    session_open(session, &start, logbook, clock);
    return plain_run(session, script, wanted->chosen.units, wanted->unproved);
}

static int open_again(struct context *context, const struct wanted *wanted,
                      struct logbook *logbook, const struct clock *clock,
                      struct script *script)
{
    struct logbook_run record;
    if (!logbook || !logbook_find_open(logbook, context->arena, &record)) {
        fputs("foreguy: no run is open; 'foreguy runs' lists them\n", stderr);
        return STATUS_COULD_NOT;
    }
    const struct procedure *procedure;
    const struct crew *crew;
    struct session *session = arena_alloc(context->arena, sizeof *session);
    struct text why = {0};
    bool fine = resume_load(&record, context->arena, context->diags, &procedure, &crew) &&
                session_resume(session, &record, procedure, crew, logbook, clock,
                               context->boot_id, &why);
    context_report(context);
    if (why.at)
        fprintf(stderr, "foreguy: the run cannot be taken up: %s\n", why.at);
    text_free(&why);
    return fine ? plain_run(session, script, wanted->chosen.units, wanted->unproved)
                : STATUS_COULD_NOT;
}

/* A procedure named as a file joins the library, so that the muster shows it. */
static const char *name_in_library(struct context *context, const char *procedure)
{
    const struct source *source = context_procedure(context, procedure);
    if (!source)
        return NULL;
    const char *name = library_name(source, context->arena);
    if (library_find(&context->library, name) < 0)
        library_add(&context->library, source, false);
    return name;
}

static int open_screens(struct context *context, struct wanted *wanted,
                        struct logbook *logbook, const char *trouble,
                        const struct clock *clock, struct script *script)
{
    const struct crew *crew = choose_crew(context, &wanted->chosen);
    const struct boat *boat = choose_boat(context, &wanted->chosen);
    const char *name =
        wanted->procedure ? name_in_library(context, wanted->procedure) : NULL;
    if (context_report(context) || !crew || !boat || (wanted->procedure && !name))
        return STATUS_COULD_NOT;
    wanted->chosen.load.options = wanted->chosen.options;
    const struct app_world world = {.library = &context->library,
                                    .crew = crew,
                                    .boat = boat,
                                    .logbook = logbook,
                                    .logbook_trouble = trouble,
                                    .clock = clock,
                                    .boot_id = context->boot_id,
                                    .version = FOREGUY_VERSION,
                                    .units = wanted->chosen.units,
                                    .silent = wanted->silent,
                                    .guard_ms = wanted->guard_ms};
    const struct app_choice choice = {.procedure = name,
                                      .board = wanted->chosen.load.board,
                                      .mode = wanted->mode,
                                      .pilot = wanted->chosen.pilot,
                                      .wind = wanted->chosen.wind,
                                      .resume = wanted->resume,
                                      .options = &wanted->chosen.load};
    if (script)
        return live_script(&world, &choice, wanted->ascii, script);
    int signal_number = 0;
    int status = live_run(&world, &choice, wanted->ascii, &signal_number);
    if (signal_number) {
        logbook_close(logbook); /* the run stays open in it, to be resumed */
        signal(signal_number, SIG_DFL);
        raise(signal_number);
    }
    return status;
}

static bool open_script(struct context *context, const char *path, struct script **script,
                        const struct clock **clock)
{
    const struct source *source = context_read(context, path);
    if (context_report(context) || !source)
        return false;
    *script = arena_alloc(context->arena, sizeof **script);
    script_start(*script, source);
    *clock = &(*script)->clock;
    return true;
}

static int start(struct context *context, struct wanted *wanted)
{
    struct script *script = NULL;
    const struct clock *clock = &context->clock;
    struct text why = {0};
    context_fill_library(context);
    if (wanted->keys_path && !open_script(context, wanted->keys_path, &script, &clock))
        return STATUS_COULD_NOT;
    struct logbook *logbook = open_logbook(context, wanted, &why);
    int status;
    if (!wanted->plain) {
        status = open_screens(context, wanted, logbook, why.at, clock, script);
    } else if (why.at) {
        fprintf(stderr,
                "foreguy: %s; --logbook FILE names another, --no-logbook goes "
                "without\n",
                why.at);
        status = STATUS_COULD_NOT;
    } else if (wanted->resume) {
        status = open_again(context, wanted, logbook, clock, script);
    } else {
        status = open_new(context, wanted, logbook, clock, script);
    }
    logbook_close(logbook);
    text_free(&why);
    return status;
}

static int run(struct context *context, int argc, char **argv)
{
    struct wanted wanted = {.mode = RUN_DRILL, .guard_ms = -1};
    choose_start(&wanted.chosen);
    const char *value;
    for (int c; (c = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (c == FLAGS_HELP)
            return command_help(&command_run);
        if (c == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        const char *wrong = take_flag(&wanted, c, value);
        if (wrong)
            return command_misused(&command_run, wrong);
    }
    int first = flags_operands();
    if (argc - first > 1)
        return command_misused(&command_run, "name one procedure or file");
    wanted.procedure = first < argc ? argv[first] : NULL;
    if (wanted.plain && !wanted.procedure && !wanted.resume)
        return command_misused(&command_run, "--plain needs a procedure or --resume");
    return start(context, &wanted);
}

const struct command command_run = {
    "run", "[NAME|FILE] [OPTION]...",
    "Brief, walk, drill or run a procedure; without a name at the muster", flags, run};
