#include "cards/sheet_wind.h"

#include "cards/words.h"

#include <math.h>
#include <string.h>

static double kn(double m_s)
{
    return m_s / WIND_KNOT_M_S;
}

/* The side a wind comes from; "" where that is neither. */
static const char *side_of(double angle_deg)
{
    double off = fabs(angle_deg);
    if (off < 0.05 || off > 179.95)
        return "";
    return angle_deg < 0 ? " to port" : " to starboard";
}

void sheet_add_wind(struct wind wind, struct text *out)
{
    if (wind.speed_m_s > 0)
        text_printf(out, "%.1f kn at %.0f deg%s", kn(wind.speed_m_s),
                    fabs(wind.angle_deg), side_of(wind.angle_deg));
    else
        text_add(out, "none");
}

/* "  Stopped             14.0 kn at 150 deg to starboard   pull 2.5 times" */
static void add_line(const char *name, struct wind wind, double pull, struct text *out)
{
    struct text words = {0};
    sheet_add_wind(wind, &words);
    if (pull > 0)
        text_printf(out, "  %-22s %-32s pull %.1f times\n", name, words.at, pull);
    else
        text_printf(out, "  %-22s %s\n", name, words.at);
    text_free(&words);
}

static void add_outlook(const struct wind_sheet *sheet, struct text *out)
{
    const struct outlook *outlook = &sheet->outlook;
    struct text gust = {0};
    text_add(out, "Apparent wind:\n");
    add_line("now", outlook->now, 0, out);
    add_line("on the other board", outlook->jibed, 0, out);
    add_line("slowed to half", outlook->half, outlook->half_pull, out);
    add_line("stopped", outlook->stopped, outlook->stopped_pull, out);
    text_printf(&gust, "in a gust of %.1f kn",
                kn(sheet->true_wind.speed_m_s) * sheet->gust_factor);
    add_line(gust.at, outlook->gust, outlook->gust_pull, out);
    text_free(&gust);
}

static void add_compass(const struct wind_sheet *sheet, struct text *out)
{
    if (!sheet->has_heading)
        return;
    text_printf(out, "Heading %03.0f: the true wind comes from %03.0f over the water",
                sheet->heading_deg, sheet->over_water.from_deg);
    if (sheet->has_current)
        text_printf(out, ", from %03.0f at %.1f kn over the ground",
                    sheet->over_ground.from_deg, kn(sheet->over_ground.speed_m_s));
    text_printf(out, ".\nCourse over the ground %03.0f at %.1f kn.\n",
                sheet->ground.toward_deg, kn(sheet->ground.speed_m_s));
}

static void add_head(const struct wind_sheet *sheet, struct text *out)
{
    double knots = kn(sheet->true_wind.speed_m_s);
    int beaufort = wind_beaufort_kn(knots);
    text_add(out, "True wind ");
    sheet_add_wind(sheet->true_wind, out);
    text_printf(out, ": Beaufort %d, %s.\nBoat speed %.1f kn%s", beaufort,
                wind_beaufort_name(beaufort), kn(sheet->way.speed_m_s),
                sheet->speed_from_polar ? " by her polar" : "");
    if (fabs(sheet->way.leeway_deg) >= 0.05)
        text_printf(out, ", leeway %.1f deg%s", fabs(sheet->way.leeway_deg),
                    side_of(sheet->way.leeway_deg));
    text_add(out, sheet->angle_from_polar ? ", at its best angle downwind.\n" : ".\n");
}

void sheet_add_reasons(const struct sail_verdict *verdict, struct text *out)
{
    static const char *const words[] = {
        [REASON_TRUE_LIGHT] = "too little true wind: %.1f kn, from %.0f kn",
        [REASON_TRUE_STRONG] = "too much true wind: %.1f kn, to %.0f kn",
        [REASON_GUST] = "too much wind in the gusts: %.1f kn, to %.0f kn",
        [REASON_TRUE_HIGH] = "true angle too small: %.0f deg, from %.0f deg",
        [REASON_TRUE_DEEP] = "true angle too deep: %.0f deg, to %.0f deg",
        [REASON_APPARENT_LIGHT] = "too little apparent wind: %.1f kn, from %.0f kn",
        [REASON_APPARENT_STRONG] = "too much apparent wind: %.1f kn, to %.0f kn",
        [REASON_APPARENT_HIGH] = "apparent angle too small: %.0f deg, from %.0f deg",
        [REASON_APPARENT_DEEP] = "apparent angle too deep: %.0f deg, to %.0f deg",
        [REASON_CLOTH] = "too much apparent wind for the cloth: %.1f kn, to %.0f kn",
        [REASON_CLOTH_NEAR] = "near what the cloth takes: %.1f kn apparent, to %.0f kn",
        [REASON_CLOTH_STOPPED] = "stopped she sees %.1f kn, and the cloth takes %.0f kn"};
    for (int i = 0; i < verdict->reason_count; i++) {
        const struct sail_reason *reason = &verdict->reasons[i];
        text_add(out, i ? "; " : "");
        text_printf(out, words[reason->kind], reason->is, reason->limit);
    }
}

static void add_area(const struct wind_sheet *sheet, const struct sail *sail,
                     struct text *out)
{
    text_printf(out, "%.0f %s", units_area(sheet->units, sail_area_m2(sail)),
                units_area_name(sheet->units));
}

static const char *measured_words(const struct sail *sail)
{
    static const char *const words[] = {
        [MEASURED_NOT] = "",
        [MEASURED_HEADSAIL] = ", by its measurements a headsail",
        [MEASURED_SPINNAKER] = ", by its measurements a spinnaker",
        [MEASURED_NEITHER] = ", by its measurements neither headsail nor spinnaker"};
    return words[sail_measured(sail)];
}

static void add_sails(const struct wind_sheet *sheet, struct text *out)
{
    bool by_code = false;
    text_add(out, sheet->sail_count ? "\nSails:\n" : "");
    for (int i = 0; i < sheet->sail_count; i++) {
        const struct sail_verdict *verdict = &sheet->sails[i];
        by_code |= verdict->by_code;
        text_printf(out, "  %-4s %s%s%s, ",
                    i == sheet->sail ? "TAKE"
                    : verdict->fits  ? "fits"
                                     : "no",
                    verdict->sail->name, *verdict->sail->code ? " " : "",
                    verdict->sail->code);
        add_area(sheet, verdict->sail, out);
        text_add(out, measured_words(verdict->sail));
        text_add(out, verdict->reason_count ? ": " : "");
        sheet_add_reasons(verdict, out);
        text_add(out, "\n");
    }
    if (by_code)
        text_add(out, "What the boat file does not say of a sail is taken from its code "
                      "(common practice).\n");
}

static void add_against(const struct wind_method *method, const struct wind_sheet *sheet,
                        struct text *out)
{
    const struct procedure *p = method->procedure;
    const char *between = ": ";
    if (method->against & METHOD_FEW_HANDS) {
        text_printf(out, "%sneeds %d hands, %d aboard", between, p->hands_least,
                    sheet->today->hands);
        between = "; ";
    }
    if (method->against & METHOD_PILOT) {
        text_printf(out, "%sneeds an autopilot that steers", between);
        between = "; ";
    }
    if (method->against & METHOD_POLE) {
        text_printf(out, "%sneeds a pole of the kind %s", between,
                    pole_ends_name(p->pole));
        between = "; ";
    }
    if (method->against & METHOD_WIND)
        text_printf(out, "%s%.1f kn true, not above %.0f kn", between,
                    sheet->today->wind_kn, p->stop_kn);
    if (method->against & METHOD_CAUTION)
        text_printf(out, "%s%.1f kn true, caution from %.0f kn", between,
                    sheet->today->wind_kn, p->caution_kn);
}

static void add_methods(const struct wind_sheet *sheet, struct text *out)
{
    if (sheet->method_count)
        text_printf(out, "\nMethods for %d hands%s:\n", sheet->today->hands,
                    sheet->today->pilot ? " and the autopilot" : "");
    for (int i = 0; i < sheet->method_count; i++) {
        const struct wind_method *method = &sheet->methods[i];
        bool suits = !(method->against & ~(unsigned)METHOD_CAUTION);
        text_printf(out, "  %-5s %-9s %s", suits ? "suits" : "no",
                    family_name(method->procedure->family), method->procedure->title);
        add_against(method, sheet, out);
        text_add(out, "\n");
    }
}

static void add_clock(double seconds, struct text *out)
{
    long whole = lround(seconds);
    text_printf(out, "%ld:%02ld", whole / 60, whole % 60);
}

static void add_leg(const char *name, const struct downwind_leg *leg, struct text *out)
{
    text_printf(out,
                "  %-9s %s tack, heading %03.0f, %.0f deg to the wind, %.1f kn, over the "
                "ground %03.0f: ",
                name, leg->starboard ? "starboard" : "port", leg->heading_deg,
                leg->angle_deg, kn(leg->speed_m_s), leg->ground.toward_deg);
    add_clock(leg->time_s, out);
    text_add(out, "\n");
}

/* "At 20 s each, 1 jibe pays" */
static void add_count(const struct downwind_ways *ways, double cost_s, struct text *out)
{
    int pay = downwind_jibes_that_pay(ways, cost_s);
    text_printf(out, "At %.0f s each, %d jibe%s; one at least is needed.\n", cost_s, pay,
                pay == 1 ? " pays" : "s pay");
}

static void add_pays(const struct wind_sheet *sheet, struct text *out)
{
    const struct downwind_ways *ways = sheet->ways;
    if (!ways->has_straight)
        text_add(out, "How fast she goes straight there the polar does not say.\n");
    else if (ways->saved_s <= 0)
        text_add(out, "Straight is as quick: no jibe pays.\n");
    else
        text_printf(out,
                    "On both boards %.0f s are saved, before what the jibes cost: one "
                    "jibe pays if it costs less.\n",
                    ways->saved_s);
    if (ways->saved_s > 0 && sheet->jibe_cost_s > 0) {
        add_count(ways, sheet->jibe_cost_s, out);
    } else if (ways->saved_s > 0 && sheet->jibe_count) {
        text_printf(out,
                    "Jibes in the logbook took %.0f s (median of %d); one loses no more "
                    "than that.\n",
                    sheet->jibe_median_s, sheet->jibe_count);
        add_count(ways, sheet->jibe_median_s, out);
    }
}

static void add_ways(const struct wind_sheet *sheet, struct text *out)
{
    const struct downwind_ways *ways = sheet->ways;
    text_printf(out, "To the mark, %.2f nm bearing %03.0f:\n",
                sheet->task->distance_m / 1852, sheet->task->bearing_deg);
    if (ways->has_straight)
        add_leg("straight", &ways->straight, out);
    if (!ways->has_legs) {
        text_add(out, "At the best angle downwind one board alone passes it: no jibe is "
                      "needed.\n");
        return;
    }
    add_leg("one leg", &ways->legs[0], out);
    add_leg("the other", &ways->legs[1], out);
    text_add(out, "  both      ");
    add_clock(ways->legs_s, out);
    text_add(out, "; a leg lays the mark when it bears what that leg makes over the "
                  "ground\n");
    add_pays(sheet, out);
}

static void add_downwind(const struct wind_sheet *sheet, struct text *out)
{
    const struct downwind_best *best = sheet->best;
    if (!best)
        return;
    text_printf(
        out,
        "\nDownwind by her polar: best at %.0f deg, %.1f kn, %.1f kn made good; a "
        "jibe turns her through %.0f deg.\n",
        best->angle_deg, kn(best->speed_m_s), kn(best->made_good_m_s), best->through_deg);
    if (best->at_the_end)
        text_add(out, "The polar ends at that angle: deeper may be better.\n");
    if (sheet->ways)
        add_ways(sheet, out);
}

static void add_figure(const struct caution_figure *figure,
                       const struct wind_sheet *sheet, struct text *out)
{
    static const char *const words[] = {
        [MEASURE_TRUE_KN] = "%.1f kn true, %s %.0f kn",
        [MEASURE_TRUE_DEG] = "%.0f deg true, %s %.0f deg",
        [MEASURE_APPARENT_KN] = "%.1f kn apparent, %s %.0f kn",
        [MEASURE_APPARENT_DEG] = "%.0f deg apparent, %s %.0f deg",
        [MEASURE_HALF_PULL] = "at half her speed %.1f times the pull, %s %.0f",
        [MEASURE_GUST_PULL] = "in the gust %.1f times the pull, %s %.0f"};
    text_printf(out, words[figure->measure],
                caution_measured(figure->measure, sheet->true_wind, &sheet->outlook),
                figure->up_to ? "up to" : "from", figure->at);
}

static void add_cautions(const struct wind_sheet *sheet, struct text *out)
{
    text_add(out, sheet->caution_count ? "\nCautions (common practice):\n" : "");
    for (int i = 0; i < sheet->caution_count; i++) {
        const struct caution *caution = sheet->cautions[i];
        text_printf(out, "%s: %s (", signal_name(caution->signal), caution->reason);
        for (int f = 0; f < CAUTION_FIGURES; f++) {
            if (caution->figures[f].measure == MEASURE_NONE)
                continue;
            text_add(out, f ? "; " : "");
            add_figure(&caution->figures[f], sheet, out);
        }
        text_printf(out, ")\n  %s\n", caution->act);
    }
}

static void add_assumptions(const struct wind_sheet *sheet, struct text *out)
{
    text_printf(out,
                "\nTaken: the pull goes with the square of the apparent wind; on the "
                "other board she is as fast at the same angle; %s.\n",
                sheet->gust_said ? "the gust as said"
                                 : "a gust is 1.4 times the wind (common practice; say "
                                   "yours with --gust)");
    if (!sheet->has_current)
        text_add(out, "No current is said: over the water and over the ground are taken "
                      "as one.\n");
    text_add(out, "Estimates for planning; the skipper decides.\n");
}

void sheet_wind(const struct wind_sheet *sheet, struct text *out)
{
    add_head(sheet, out);
    add_compass(sheet, out);
    add_outlook(sheet, out);
    add_sails(sheet, out);
    add_methods(sheet, out);
    add_downwind(sheet, out);
    add_cautions(sheet, out);
    add_assumptions(sheet, out);
}
