#include "cards/sheet_loads.h"

#include "cards/words.h"
#include "forces/capstan.h"

#include <math.h>

static const char note[] =
    "An estimate for planning hands and turns, never for sizing gear.";

/* An estimate is told to two figures and no more. */
static double rounded(double force)
{
    double step = force < 100 ? 1 : force < 1000 ? 10 : 100;
    return floor(force / step + 0.5) * step;
}

static void add_force(double newtons, enum units units, struct text *out)
{
    text_printf(out, "%.0f %s", rounded(units_force(units, newtons)),
                units_force_name(units));
}

/* To a tenth of a square metre, or to a square foot. */
static double told_area(enum units units, double area_m2)
{
    double tenths = units == UNITS_US ? 1 : 10;
    return floor(units_area(units, area_m2) * tenths + 0.5) / tenths;
}

static void add_length(double metres, enum units units, struct text *out)
{
    text_printf(out, "%.1f %s", units_length(units, metres), units_length_name(units));
}

void sheet_loads_head(const struct load_report *report, enum units units,
                      struct text *out)
{
    text_printf(out, "LOADS in %.4g kn of true wind%s: %s, %.5g %s", report->wind_kn,
                report->has_force ? ", as if she lay stopped in it" : "",
                report->sail->name, told_area(units, report->area_m2),
                units_area_name(units));
    if (!report->in_range)
        text_printf(out, " (the boat file has it for %.4g to %.4g kn)",
                    report->sail->wind_least_kn, report->sail->wind_most_kn);
    if (!report->has_force) {
        text_printf(
            out,
            ". In %.1f kn, the most it can see, its sheet is taken to carry what a "
            "genoa's does. %s",
            report->strongest_kn, note);
        return;
    }
    text_printf(out, ", the wind at %d degrees. ", PLAN_ANGLE_DEG);
    add_force(report->force.total_n, units, out);
    text_printf(out, " in all, each corner 1/2.4 of it. %s", note);
}

static void add_hold(const struct load_report *report, const struct line_load *line,
                     enum units units, struct text *out)
{
    if (line->turns == 0) {
        text_add(out, "held bare in one hand");
    } else if (line->turns > 0) {
        text_printf(out, "%d turn%s leave%s ", line->turns, line->turns == 1 ? "" : "s",
                    line->turns == 1 ? "s" : "");
        add_force(line->hold_n, units, out);
        text_add(out, " in the hand");
    } else if (report->has_winches) {
        text_printf(out, "%d turns still leave ", TURNS_MOST);
        add_force(line->hold_n, units, out);
    } else {
        text_add(out, "no winch to hold it");
    }
}

/* Why there is no figure. */
static void add_unknown(enum load_kind kind, struct text *out)
{
    switch (kind) {
    case LOAD_SOCK:
        text_add(out,
                 ": no figure is known: little while the sail is soft, and more than "
                 "anybody holds if it fills. No turn round a hand; let it run");
        break;
    case LOAD_RETRIEVE:
        text_add(out,
                 ": no figure is known: little while the sail is soft and in the lee "
                 "of the main, and more than anybody holds if it fills");
        break;
    case LOAD_GUY:
    case LOAD_LIFT:
    case LOAD_FOREGUY:
        text_add(out, ": not known, the boat file needs I, J, SPL and the pole's range");
        break;
    default:
        text_add(out, ": no figure is known: look at what its maker says");
        break;
    }
}

bool sheet_load(const struct load_report *report, enum load_kind kind, enum units units,
                struct text *out)
{
    static const char *const names[] = {
        "sheet",   "guy",       "halyard",         "tack",        "lift",
        "foreguy", "sock line", "retrieving line", "furling line"};
    const struct line_load *line = &report->loads[kind];
    if (!line->used)
        return false;
    text_add(out, names[kind - LOAD_SHEET]);
    if (!line->known) {
        add_unknown(kind, out);
        return true;
    }
    text_add(out, " ");
    add_force(line->load_n, units, out);
    text_add(out, ": ");
    add_hold(report, line, units, out);
    text_printf(out, "; %s to move it", line->hands == 2 ? "both hands" : "one hand");
    if (line->turns && report->has_winches) {
        text_add(out, ", ");
        add_force(line->handle_n, units, out);
        text_add(out, " at the handle");
    }
    if (line->turns) {
        text_add(out, "; a block that turns it back takes ");
        add_force(line->block_n, units, out);
    }
    text_add(out, line->too_much ? ". MORE THAN HANDS HOLD" : "");
    return true;
}

static void add_dip(const struct load_report *report, enum units units, struct text *out)
{
    const struct pole_dip *dip = &report->dip;
    text_printf(out, " Squared to %d to %d degrees before the trip and no further.",
                POLE_TRIP_LEAST_DEG, POLE_TRIP_MOST_DEG);
    text_add(out, " To dip it, the inboard end goes up to ");
    add_length(dip->inboard_m, units, out);
    if (!dip->passes) {
        text_add(out, ", but only ");
        add_length(report->pole.most_m, units, out);
        text_add(out, " are there: the outboard end does not pass inside the forestay.");
        return;
    }
    text_add(out, " at least; lift mark ");
    add_length(dip->lift_ease_m, units, out);
    text_add(out, " of line from its sailing mark, foreguy mark ");
    add_length(dip->foreguy_m, units, out);
    text_add(out, " from its lead.");
}

void sheet_loads_pole(const struct load_report *report, enum units units,
                      struct text *out)
{
    if (!report->has_pole)
        return;
    const struct pole_hold *hold = &report->hold;
    text_printf(out, "Pole %.0f degrees from the bow: ", report->angle.deg);
    add_force(hold->compression_n, units, out);
    text_add(out, " into the mast, ");
    add_force(hold->lift_n > 0 ? hold->lift_n : hold->foreguy_n, units, out);
    text_printf(out,
                " on the %s. Against the forestay (%.0f degrees) the same pull takes ",
                hold->lift_n > 0 ? "lift" : "foreguy", report->angle.forward_stop_deg);
    add_force(report->at_stay.guy_n, units, out);
    text_add(out, " on the guy and ");
    add_force(report->at_stay.compression_n, units, out);
    text_add(out, " into the mast.");
    if (report->column_share < 1)
        text_printf(out,
                    " Longer than J, it carries %.0f %% as a column of what one as long "
                    "as J does.",
                    report->column_share * 100);
    if (report->has_dip)
        add_dip(report, units, out);
    if (report->end_for_end)
        text_printf(out, " End for end is usual to %.3g %s and %.4g kn: this is %s.",
                    units_length(units, POLE_END_FOR_END_MOST_M),
                    units_length_name(units), POLE_END_FOR_END_MOST_KN,
                    report->within_end_for_end ? "within" : "BEYOND");
}

static void add_steps(const struct procedure *procedure, step_set steps, struct text *out)
{
    const char *between = " ";
    for (int s = 0; s < procedure->step_count; s++)
        if (steps >> s & 1) {
            text_add(out, between);
            words_step(procedure, s, out);
            between = ", ";
        }
    text_add(out, ".");
}

void sheet_loads_steps(const struct procedure *procedure, struct text *out)
{
    const struct load_report *report = procedure->loads;
    if (report->too_much) {
        text_add(out, "WARNING: nobody can hold what these steps work:");
        add_steps(procedure, report->too_much, out);
    }
    if (report->two_hands) {
        text_add(out, report->too_much ? " " : "");
        text_add(out, "Under load these take both hands:");
        add_steps(procedure, report->two_hands, out);
    }
}

/* PARAGRAPH, which is used up, as a line behind BEFORE; nothing where it is empty. */
static void add_line(const char *before, struct text *paragraph, struct text *out)
{
    if (paragraph->at)
        text_printf(out, "%s%s\n", before, paragraph->at);
    text_free(paragraph);
    *paragraph = (struct text){0};
}

void sheet_loads(const struct procedure *procedure, enum units units, struct text *out)
{
    const struct load_report *report = procedure->loads;
    struct text line = {0};
    if (!report)
        return;
    sheet_limits(report, true, &line);
    add_line("WARNING: ", &line, out);
    sheet_limits(report, false, &line);
    add_line("CAUTION: ", &line, out);
    sheet_loads_head(report, units, &line);
    add_line("", &line, out);
    for (int kind = LOAD_SHEET; kind < LOAD_COUNT; kind++) {
        sheet_load(report, (enum load_kind)kind, units, &line);
        add_line("  ", &line, out);
    }
    sheet_loads_pole(report, units, &line);
    add_line("", &line, out);
    sheet_loads_steps(procedure, &line);
    add_line("", &line, out);
}

static void json_newtons(struct json *json, const char *name, double newtons)
{
    json_integer(json, name, llround(rounded(newtons)));
}

static void json_load(struct json *json, enum load_kind kind,
                      const struct line_load *line)
{
    json_open(json, NULL, '{');
    json_string(json, "load", load_kind_words()[kind - LOAD_SHEET]);
    if (line->known) {
        json_newtons(json, "load_n", line->load_n);
        json_newtons(json, "block_n", line->block_n);
        json_integer(json, "turns", line->turns);
        json_newtons(json, "hold_n", line->hold_n);
        json_newtons(json, "handle_n", line->handle_n);
        json_integer(json, "hands_to_move", line->hands);
        json_bool(json, "too_much", line->too_much);
    }
    json_close(json, '}');
}

static void json_steps(struct json *json, const char *name,
                       const struct procedure *procedure, step_set steps)
{
    json_open(json, name, '[');
    for (int s = 0; s < procedure->step_count; s++)
        if (steps >> s & 1)
            json_string(json, NULL, procedure->steps[s].name);
    json_close(json, ']');
}

static void json_pole(struct json *json, const struct load_report *report)
{
    json_open(json, "pole", '{');
    json_integer(json, "from_bow_deg", llround(report->angle.deg));
    json_newtons(json, "guy_n", report->hold.guy_n);
    json_newtons(json, "compression_n", report->hold.compression_n);
    json_newtons(json, "lift_n", report->hold.lift_n);
    json_newtons(json, "foreguy_n", report->hold.foreguy_n);
    json_newtons(json, "guy_at_the_stay_n", report->at_stay.guy_n);
    json_integer(json, "column_percent_of_j", llround(report->column_share * 100));
    if (report->end_for_end)
        json_bool(json, "within_end_for_end", report->within_end_for_end);
    if (report->has_dip) {
        json_bool(json, "dips", report->dip.passes);
        json_integer(json, "inboard_end_dm", llround(report->dip.inboard_m * 10));
        json_integer(json, "lift_ease_dm", llround(report->dip.lift_ease_m * 10));
        json_integer(json, "foreguy_dm", llround(report->dip.foreguy_m * 10));
    }
    json_close(json, '}');
}

void sheet_loads_json(const struct procedure *procedure, struct json *json)
{
    const struct load_report *report = procedure->loads;
    if (!report)
        return;
    json_open(json, "loads", '{');
    json_integer(json, "true_wind_tenths_kn", llround(report->wind_kn * 10));
    json_string(json, "sail", report->sail->name);
    json_string(json, "note", note);
    sheet_limits_json(report, json);
    if (report->has_force)
        json_newtons(json, "total_n", report->force.total_n);
    json_open(json, "lines", '[');
    for (int kind = LOAD_SHEET; kind < LOAD_COUNT; kind++)
        if (report->loads[kind].used)
            json_load(json, (enum load_kind)kind, &report->loads[kind]);
    json_close(json, ']');
    if (report->has_pole)
        json_pole(json, report);
    json_steps(json, "both_hands", procedure, report->two_hands);
    json_steps(json, "too_much", procedure, report->too_much);
    json_close(json, '}');
}
