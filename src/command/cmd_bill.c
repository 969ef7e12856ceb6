#include "command/commands.h"

#include "base/text.h"
#include "bill/bill_each.h"
#include "cards/sheet_loads.h"
#include "cards/sheets.h"
#include "command/choose.h"
#include "command/pins.h"
#include "command/progress.h"
#include "screens/session.h"

#include <stdlib.h>
#include <string.h>

enum { CONFLICTS_PATIENT = 200000 }; /* a minute or so; Ctrl-C takes the best so far */

static const struct flag flags[] = {
    {'H', "hands", "A,B,...", "exactly these are aboard"},
    {'n', "hands-count", "N", "at most so many of those aboard"},
    {'p', "pin", "ROLE=HAND", "the hand wears the role; may be repeated"},
    {'e', "each-step", NULL, "each step may be another hand's, not only each role"},
    {'w', "what-if", NULL,
     "more and fewer hands, one away, two who swap, one who learns"},
    {'c', "crew", "FILE", "the crew file"},
    {'U', "units", "metric|us", "what figures are told in (metric)"},
    {'t', "boat", "FILE", "the boat: her stations say how far hands walk"},
    {'k', "wind", "WIND", "true wind: what her lines then take of the hands"},
    {'b', "board", "port|starboard", "the tack at the begin (starboard)"},
    {'o', "option", "NAME=yes|no", "set an option of the procedure; may be repeated"},
    {'a', "pilot", NULL, "the autopilot steers"},
    {'j', "json", NULL, "as JSON"},
    {0}};

struct billing {
    struct context *context;
    struct progress progress;
    struct bill_patience patience;
    uint64_t conflicts; /* dead ends so far */
    struct chosen chosen;
    struct bill_wish wish;
    const char *pin_words[ROLES_MAX];
    int pin_count;
    bool each_step, what_if, as_json, unsafe;
    const struct procedure *procedure; /* with --each-step its roles are shared out */
    const struct procedure *written;   /* as it is in the file */
    const struct crew *crew;
};

static bool load(struct billing *b, const char *name)
{
    struct chosen_files files;
    if (!choose_files(b->context, &b->chosen, name, &files))
        return false;
    b->written = files.procedure;
    b->procedure =
        b->each_step ? bill_share_out(b->written, b->context->arena) : b->written;
    b->crew = files.crew;
    return true;
}

static bool take_pins(struct billing *b)
{
    b->wish.pilot = b->chosen.pilot || b->procedure->pilot_needed;
    for (int i = 0; i < b->pin_count; i++)
        if (!pins_take(b->pin_words[i], b->procedure, b->crew, b->context->arena,
                       &b->wish))
            return false;
    return true;
}

/* True where it says all there is to say of why there is no bill. */
static bool show_pins(struct billing *b, const struct bill *bill,
                      enum bill_verdict verdict, struct text *out, struct json *json)
{
    if (!b->pin_count)
        return false;
    struct pins *pins = arena_alloc(b->context->arena, sizeof *pins);
    bill_ask_pins(b->procedure, b->crew, &b->wish, verdict, pins);
    if (b->as_json)
        sheet_pins_json(b->procedure, b->crew, &b->wish, bill, pins, json);
    else
        sheet_pins(b->procedure, b->crew, &b->wish, bill, pins, out);
    return pins->clash != 0;
}

static const struct what_if *ask_what_if(struct billing *b, const struct bill *bill)
{
    struct what_if *what_if = arena_alloc(b->context->arena, sizeof *what_if);
    bill_what_if(b->procedure, b->crew, &b->wish, bill, what_if);
    return what_if;
}

/* What it brings that the roles are shared out. */
static void show_saved(struct billing *b, const struct bill *bill, struct text *out)
{
    struct bill *kept = arena_alloc(b->context->arena, sizeof *kept);
    struct bill_wish wish = b->wish;
    struct text cost = {0};
    memset(wish.hand_of_role, -1, sizeof wish.hand_of_role);
    for (int i = 0; i < b->pin_count; i++)
        pins_take(b->pin_words[i], b->written, b->crew, b->context->arena, &wish);
    if (bill_try(b->written, b->crew, &wish, kept) != BILL_FOUND) {
        text_add(out, "With each role in one hand no bill was found.\n");
        return;
    }
    text_add(out, "With each role in one hand: ");
    text_add_seconds(out, kept->total_ms);
    text_add(out, " s, ");
    sheet_bill_proof(kept, out);
    sheet_cost(bill->total_ms - kept->total_ms, &cost);
    text_printf(out, "; sharing the roles out %s.\n", cost.at);
    text_free(&cost);
}

static void show_found(struct billing *b, const struct bill *bill, struct text *out)
{
    struct bill_reasons *reasons = arena_alloc(b->context->arena, sizeof *reasons);
    struct text proof = {0};
    bill_find_reasons(bill, b->procedure, b->crew, reasons);
    b->unsafe = !session_prove(b->procedure, bill, &proof);
    if (b->as_json) {
        struct json json = {.out = out};
        json_open(&json, NULL, '{');
        json_integer(&json, "format", 1);
        sheet_bill_json(b->procedure, b->crew, bill, reasons, &json);
        show_pins(b, bill, BILL_FOUND, out, &json);
        json_string(&json, "vet", proof.at);
        if (b->what_if)
            sheet_what_if_json(b->procedure, b->crew, ask_what_if(b, bill), &json);
        json_close(&json, '}');
        json_end(&json);
        text_free(&proof);
        return;
    }
    show_pins(b, bill, BILL_FOUND, out, NULL);
    sheet_bill(b->procedure, b->crew, bill, out);
    text_printf(out, "Vet: %s.\n", proof.at);
    text_free(&proof);
    sheet_loads(b->procedure, b->chosen.units, out);
    sheet_reasons(b->procedure, b->crew, bill, reasons, b->chosen.units, out);
    if (b->each_step)
        show_saved(b, bill, out);
    if (b->what_if)
        sheet_what_if(b->procedure, b->crew, bill, ask_what_if(b, bill), out);
}

static void show_none(struct billing *b, enum bill_verdict verdict,
                      const struct bill_why *why, struct text *out)
{
    struct text words = {0};
    bill_explain(verdict, why, b->procedure, b->chosen.units, &words);
    struct json json = {.out = out};
    if (b->as_json) {
        json_open(&json, NULL, '{');
        json_integer(&json, "format", 1);
        json_string(&json, "procedure", b->procedure->name);
        json_string(&json, "none", words.at);
        sheet_loads_json(b->procedure, &json);
        show_pins(b, NULL, verdict, out, &json);
        json_close(&json, '}');
        json_end(&json);
    } else {
        if (!show_pins(b, NULL, verdict, out, NULL))
            text_add(out, words.at);
        sheet_loads(b->procedure, b->chosen.units, out);
        if (b->what_if)
            sheet_what_if(b->procedure, b->crew, NULL, ask_what_if(b, NULL), out);
    }
    text_free(&words);
}

static bool is_stopped(void *payload, const struct bill_progress *progress)
{
    struct billing *b = payload;
    b->conflicts = progress->conflicts;
    return progress_stop(&b->progress);
}

/* The bill, with a sign of life and Ctrl-C where that takes long: then the best so far.
 */
static enum bill_verdict search(struct billing *b, struct bill *bill,
                                struct bill_why *why)
{
    b->patience = (struct bill_patience){is_stopped, b};
    b->wish.patience = &b->patience;
    b->wish.conflicts_max = CONFLICTS_PATIENT;
    progress_start(&b->progress, &b->context->clock);
    progress_at(&b->progress, b->procedure->name, "", "dead ends", &b->conflicts);
    enum bill_verdict verdict = bill_make(b->procedure, b->crew, &b->wish, bill, why);
    progress_end(&b->progress);
    b->wish.patience = NULL;
    return verdict;
}

static int make(struct billing *b)
{
    struct bill *bill = arena_alloc(b->context->arena, sizeof *bill);
    struct bill_why why;
    struct text out = {0};
    enum bill_verdict verdict = search(b, bill, &why);
    if (verdict == BILL_FOUND)
        show_found(b, bill, &out);
    else
        show_none(b, verdict, &why, &out);
    bool printed = context_print(&out);
    text_free(&out);
    bool fine = verdict == BILL_FOUND && !b->unsafe;
    return !printed ? STATUS_COULD_NOT : fine ? STATUS_FINE : STATUS_FOUND;
}

static int run(struct context *context, int argc, char **argv)
{
    struct billing b = {.context = context};
    choose_start(&b.chosen);
    bill_wish_start(&b.wish);
    const char *value;
    for (int c; (c = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (c == FLAGS_HELP)
            return command_help(&command_bill);
        if (c == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        if (c == 'b' && !choose_board(&b.chosen, value))
            return command_misused(&command_bill, "the board is port or starboard");
        const char *wrong = c == 'k'   ? choose_wind(&b.chosen, value)
                            : c == 'U' ? choose_units(&b.chosen, value)
                                       : NULL;
        if (wrong)
            return command_misused(&command_bill, wrong);
        if (c == 'o' && !choose_option(&b.chosen, value))
            return command_misused(&command_bill, "too many options");
        if (c == 'n') {
            char *end;
            long count = strtol(value, &end, 10);
            if (end == value || *end || count < 1 || count > HANDS_MAX)
                return command_misused(&command_bill, "--hands-count is 1 to 64");
            b.wish.hands_most = (uint8_t)count;
        }
        if (c == 'p' && b.pin_count == ROLES_MAX)
            return command_misused(&command_bill, "too many pins");
        if (c == 'p')
            b.pin_words[b.pin_count++] = value;
        b.chosen.hands = c == 'H' ? value : b.chosen.hands;
        b.chosen.crew_path = c == 'c' ? value : b.chosen.crew_path;
        b.chosen.boat_path = c == 't' ? value : b.chosen.boat_path;
        b.chosen.pilot |= c == 'a';
        b.each_step |= c == 'e';
        b.what_if |= c == 'w';
        b.as_json |= c == 'j';
    }
    if (argc - flags_operands() != 1)
        return command_misused(&command_bill, "name one procedure or file");
    return load(&b, argv[flags_operands()]) && take_pins(&b) ? make(&b)
                                                             : STATUS_COULD_NOT;
}

const struct command command_bill = {
    "bill",
    "NAME|FILE [--hands A,B,...] [--hands-count N] [--pin ROLE=HAND]...\n"
    "                    [--each-step] [--what-if] [--crew FILE] [--boat FILE] [--board "
    "SIDE]\n"
    "                    [--option NAME=yes|no]... [--wind WIND] [--units UNITS] "
    "[--pilot] [--json]",
    "The fastest safe station bill for the hands aboard, with the reasons", flags, run};
