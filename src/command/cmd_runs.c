#include "command/commands.h"

#include "base/text.h"
#include "cards/sheets.h"
#include "screens/resume.h"

#include <stdlib.h>
#include <string.h>

static const struct flag flags[] = {
    {'j', "json", NULL, "as JSON"}, {'l', "logbook", "FILE", "another logbook"}, {0}};

struct listing {
    struct text *out;
    struct json *json; /* NULL: as text */
};

static void list_one(const struct logbook_run *record, void *payload)
{
    struct listing *listing = payload;
    if (listing->json)
        sheet_run_json(record, listing->json);
    else
        sheet_run_line(record, listing->out);
}

static bool list(struct logbook *logbook, bool as_json, struct text *out)
{
    struct json json = {.out = out};
    struct listing listing = {out, as_json ? &json : NULL};
    if (as_json) {
        json_open(&json, NULL, '{');
        json_integer(&json, "format", 1);
        json_open(&json, "runs", '[');
    }
    bool fine = logbook_each(logbook, 0, list_one, &listing);
    if (as_json) {
        json_close(&json, ']');
        json_close(&json, '}');
        json_end(&json);
    } else if (!out->at) {
        text_add(out, "The logbook is empty.\n");
    }
    return fine;
}

/* The step an event is about, or the question and its answer; "" where neither. */
static void say_about(const struct procedure *procedure, const struct run_event *event,
                      struct text *out)
{
    switch (event->kind) {
    case RUN_MADE:
    case RUN_BEGUN:
    case RUN_TOO:
    case RUN_EARLY:
    case RUN_CAUGHT_UP:
    case RUN_SKIPPED:
    case RUN_RECKONED:
        text_add(out, procedure->steps[event->step].name);
        break;
    case RUN_CHECKED:
        text_printf(out, "%s %s", event->value ? "yes:" : "NO:",
                    procedure->checks[event->step].question);
        break;
    default:
        break;
    }
}

static void show_events(const struct resumed *resumed, struct json *json,
                        struct text *out)
{
    for (size_t i = 0; i < resumed->event_count; i++) {
        const struct run_event *event = &resumed->events[i];
        struct text about = {0};
        text_add(&about, "");
        say_about(resumed->procedure, event, &about);
        if (json) {
            json_open(json, NULL, '{');
            json_integer(json, "at_ms", event->at_ms);
            json_string(json, "event", run_kind_name(event->kind));
            json_string(json, "about", about.at);
            json_integer(json, "value", event->value);
            json_string(json, "text", event->text);
            json_close(json, '}');
        } else {
            text_add(out, "  ");
            text_add_seconds(out, event->at_ms);
            text_printf(out, "  %s%s%s%s\n", run_kind_name(event->kind),
                        *about.at || *event->text ? " " : "", about.at, event->text);
        }
        text_free(&about);
    }
}

/* One run: its line, its debrief, its events. */
static void show(const struct resumed *resumed, bool as_json, struct text *out)
{
    if (as_json) {
        struct json json = {.out = out};
        json_open(&json, NULL, '{');
        json_integer(&json, "format", 1);
        json_open(&json, "runs", '[');
        sheet_run_json(&resumed->record, &json);
        json_close(&json, ']');
        json_open(&json, "events", '[');
        show_events(resumed, &json, out);
        json_close(&json, ']');
        json_close(&json, '}');
        json_end(&json);
        return;
    }
    struct debrief debrief;
    int64_t last =
        resumed->event_count ? resumed->events[resumed->event_count - 1].at_ms : 0;
    debrief_make(&resumed->run, last, &debrief);
    sheet_run_line(&resumed->record, out);
    text_printf(out, "Proof: %s. Program %s.\n", resumed->record.proof,
                resumed->record.version);
    sheet_debrief(&resumed->run, resumed->crew, &debrief, out);
    text_add(out, "Events, seconds since the run was opened:\n");
    show_events(resumed, NULL, out);
}

static int look(struct context *context, const char *path, const char *which, bool json)
{
    struct text why = {0}, out = {0};
    struct logbook *logbook = logbook_open(path, &why);
    bool fine = logbook != NULL;
    if (fine && !which) {
        fine = list(logbook, json, &out);
    } else if (fine) {
        struct resumed *resumed = arena_alloc(context->arena, sizeof *resumed);
        fine = resume_read(logbook, atoll(which), context->arena, context->diags, resumed,
                           &why);
        if (fine)
            show(resumed, json, &out);
    }
    if (why.at)
        fprintf(stderr, "foreguy: %s\n", why.at);
    context_report(context);
    fine = fine && context_print(&out);
    logbook_close(logbook);
    text_free(&why);
    text_free(&out);
    return fine ? STATUS_FINE : STATUS_COULD_NOT;
}

static int run(struct context *context, int argc, char **argv)
{
    bool json = false;
    const char *path = context_logbook_path(context);
    const char *value;
    for (int c; (c = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (c == FLAGS_HELP)
            return command_help(&command_runs);
        if (c == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        if (c == 'l')
            path = value;
        json |= c == 'j';
    }
    const char *which = flags_operands() < argc ? argv[flags_operands()] : NULL;
    if (argc - flags_operands() > 1 ||
        (which && strspn(which, "0123456789") != strlen(which)))
        return command_misused(&command_runs, "name one run by its number, or none");
    return look(context, path, which, json);
}

const struct command command_runs = {
    "runs", "[RUN] [--logbook FILE] [--json]",
    "List the runs of the logbook, or show one with its splits and events", flags, run};
