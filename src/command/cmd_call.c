#include "command/commands.h"

#include "base/quantity.h"
#include "base/text.h"
#include "bill/call_times.h"
#include "cards/sheet_call.h"
#include "command/choose.h"

enum { CALM_S = 5, SEA_S = 10 };

static const struct flag flags[] = {
    {'d', "distance", "400m|0.2nm|8lengths", "to the mark or hazard (needed)"},
    {'s', "speed", "KN", "through the water (needed)"},
    {'u', "current", "KN", "that sets you along; against you: negative"},
    {'z', "hazard", NULL, "what lies ahead is a hazard: leave room for a failure"},
    {'r', "rough", NULL, "a sea is running: 10 s in hand, not 5 s"},
    {'H', "hands", "A,B,...", "exactly these are aboard"},
    {'c', "crew", "FILE", "the crew file"},
    {'U', "units", "metric|us", "what figures are told in (metric)"},
    {'t', "boat", "FILE", "the boat: her length"},
    {'k', "wind", "WIND", "true wind: what her lines then take of the hands"},
    {'b', "board", "port|starboard", "the tack at the begin (starboard)"},
    {'o', "option", "NAME=yes|no", "set an option of the procedure; may be repeated"},
    {'a', "pilot", NULL, "the autopilot steers"},
    {'j', "json", NULL, "as JSON"},
    {0}};

struct calling {
    struct context *context;
    struct chosen chosen;
    struct call_now now;
    const char *distance;
    bool has_speed, as_json;
    struct chosen_files files;
};

/* Distance and length of the boat; false with a message. */
static bool take_distance(struct calling *c)
{
    double lengths;
    c->now.length_m = c->files.boat->length_m;
    if (quantity_read(c->distance, QUANTITY_LENGTH, &c->now.distance_m))
        return true;
    if (quantity_read(c->distance, QUANTITY_LENGTHS, &lengths)) {
        c->now.distance_m = lengths * c->now.length_m;
        return true;
    }
    fputs("foreguy: the distance has a unit: 400m, 0.2nm, 300yd, 8lengths\n", stderr);
    return false;
}

/* Works it all out; false with a message. */
static bool reckon(struct calling *c, const struct bill *bill,
                   const struct bill_wish *wish, struct call_sheet *sheet)
{
    struct call_times *times = arena_alloc(c->context->arena, sizeof *times);
    struct call_plan *plan = arena_alloc(c->context->arena, sizeof *plan);
    if (!bill_find_call_times(&c->context->library, bill, c->files.procedure,
                              c->files.crew, wish, c->context->arena, times)) {
        fputs("foreguy: with other times this bill does not come to its end\n", stderr);
        return false;
    }
    bill_fill_call(times, &c->now);
    *sheet = (struct call_sheet){c->files.procedure, bill, times, &c->now, plan,
                                 c->chosen.units};
    if (call_make(&c->now, plan))
        return true;
    fputs("foreguy: the mark is not reached: 0 to 1000 km, 0.1 to 60 kn, and a current "
          "that does not hold you up\n",
          stderr);
    return false;
}

static int call(struct calling *c)
{
    struct bill *bill = arena_alloc(c->context->arena, sizeof *bill);
    struct bill_wish wish;
    struct bill_why why;
    struct call_sheet sheet;
    struct text out = {0};
    bill_wish_start(&wish);
    wish.pilot = c->chosen.pilot || c->files.procedure->pilot_needed;
    enum bill_verdict verdict =
        bill_make(c->files.procedure, c->files.crew, &wish, bill, &why);
    if (verdict != BILL_FOUND)
        bill_explain(verdict, &why, c->files.procedure, c->chosen.units, &out);
    else if (!reckon(c, bill, &wish, &sheet))
        return STATUS_COULD_NOT;
    else if (c->as_json)
        sheet_call_json(&sheet, &out);
    else
        sheet_call(&sheet, &out);
    bool printed = context_print(&out);
    bool too_late = verdict == BILL_FOUND && sheet.plan->last_safe.from_now_s < 0;
    text_free(&out);
    return !printed                            ? STATUS_COULD_NOT
           : verdict != BILL_FOUND || too_late ? STATUS_FOUND
                                               : STATUS_FINE;
}

/* NULL, or what is wrong with the value of flag F. */
static const char *take_flag(struct calling *c, int f, const char *value)
{
    switch (f) {
    case 'd':
        c->distance = value;
        return NULL;
    case 's':
        c->has_speed = quantity_read(value, QUANTITY_SPEED, &c->now.speed_kn);
        return c->has_speed ? NULL : "the speed is a figure like 6kn";
    case 'u':
        return quantity_read(value, QUANTITY_SPEED, &c->now.current_kn)
                   ? NULL
                   : "the current is a figure like 1.5kn or -1kn";
    case 'b':
        return choose_board(&c->chosen, value) ? NULL : "the board is port or starboard";
    case 'U':
        return choose_units(&c->chosen, value);
    case 'k':
        return choose_wind(&c->chosen, value);
    case 'o':
        return choose_option(&c->chosen, value) ? NULL : "too many options";
    default:
        break;
    }
    c->now.is_hazard |= f == 'z';
    c->now.margin_s = f == 'r' ? SEA_S : c->now.margin_s;
    c->chosen.hands = f == 'H' ? value : c->chosen.hands;
    c->chosen.crew_path = f == 'c' ? value : c->chosen.crew_path;
    c->chosen.boat_path = f == 't' ? value : c->chosen.boat_path;
    c->chosen.pilot |= f == 'a';
    c->as_json |= f == 'j';
    return NULL;
}

static int run(struct context *context, int argc, char **argv)
{
    struct calling c = {.context = context, .now = {.margin_s = CALM_S}};
    choose_start(&c.chosen);
    const char *value;
    for (int f; (f = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (f == FLAGS_HELP)
            return command_help(&command_call);
        if (f == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        const char *wrong = take_flag(&c, f, value);
        if (wrong)
            return command_misused(&command_call, wrong);
    }
    if (argc - flags_operands() != 1)
        return command_misused(&command_call, "name one procedure or file");
    if (!c.distance || !c.has_speed)
        return command_misused(&command_call, "--distance and --speed are needed");
    return choose_files(context, &c.chosen, argv[flags_operands()], &c.files) &&
                   take_distance(&c)
               ? call(&c)
               : STATUS_COULD_NOT;
}

const struct command command_call = {
    "call",
    "NAME|FILE --distance D --speed KN [--current KN] [--hazard] [--rough]\n"
    "                    [--hands A,B,...] [--crew FILE] [--boat FILE] [--board SIDE]\n"
    "                    [--option NAME=yes|no]... [--wind WIND] [--units UNITS] "
    "[--pilot] [--json]",
    "When to say stand by and go, the last safe moment, the sea room", flags, run};
