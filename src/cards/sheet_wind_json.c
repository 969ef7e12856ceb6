#include "cards/sheet_wind.h"

#include <math.h>

static double kn(double m_s)
{
    return m_s / WIND_KNOT_M_S;
}

/* Speed and angle, to port negative; PULL 0 where there is nothing to compare. */
static void put_wind(struct json *json, const char *name, struct wind wind, double pull)
{
    json_open(json, name, '{');
    json_figure(json, "speed_kn", kn(wind.speed_m_s), 2);
    json_figure(json, "angle_deg", wind.angle_deg, 1);
    if (pull > 0)
        json_figure(json, "pull_times", pull, 2);
    json_close(json, '}');
}

static void put_from(struct json *json, const char *name, struct compass_wind wind)
{
    json_open(json, name, '{');
    json_figure(json, "from_deg", wind.from_deg, 1);
    json_figure(json, "speed_kn", kn(wind.speed_m_s), 2);
    json_close(json, '}');
}

static void put_track(struct json *json, const char *name, struct track track)
{
    json_open(json, name, '{');
    json_figure(json, "toward_deg", track.toward_deg, 1);
    json_figure(json, "speed_kn", kn(track.speed_m_s), 2);
    json_close(json, '}');
}

static void put_winds(const struct wind_sheet *sheet, struct json *json)
{
    const struct outlook *outlook = &sheet->outlook;
    int beaufort = wind_beaufort_kn(kn(sheet->true_wind.speed_m_s));
    put_wind(json, "true_wind", sheet->true_wind, 0);
    json_integer(json, "beaufort", beaufort);
    json_string(json, "beaufort_name", wind_beaufort_name(beaufort));
    json_figure(json, "boat_speed_kn", kn(sheet->way.speed_m_s), 2);
    json_bool(json, "boat_speed_by_polar", sheet->speed_from_polar);
    json_bool(json, "angle_by_polar", sheet->angle_from_polar);
    json_figure(json, "leeway_deg", sheet->way.leeway_deg, 1);
    json_figure(json, "gust_factor", sheet->gust_factor, 2);
    json_bool(json, "gust_said", sheet->gust_said);
    json_open(json, "apparent", '{');
    put_wind(json, "now", outlook->now, 0);
    put_wind(json, "other_board", outlook->jibed, 0);
    put_wind(json, "half_speed", outlook->half, outlook->half_pull);
    put_wind(json, "stopped", outlook->stopped, outlook->stopped_pull);
    put_wind(json, "gust", outlook->gust, outlook->gust_pull);
    json_close(json, '}');
    if (!sheet->has_heading)
        return;
    json_figure(json, "heading_deg", sheet->heading_deg, 1);
    put_from(json, "over_water", sheet->over_water);
    put_from(json, "over_ground", sheet->over_ground);
    put_track(json, "course", sheet->ground);
}

static void put_sails(const struct wind_sheet *sheet, struct json *json)
{
    static const char *const measured[] = {[MEASURED_HEADSAIL] = "headsail",
                                           [MEASURED_SPINNAKER] = "spinnaker",
                                           [MEASURED_NEITHER] = "neither"};
    json_open(json, "sails", '[');
    for (int i = 0; i < sheet->sail_count; i++) {
        const struct sail_verdict *verdict = &sheet->sails[i];
        enum measured kind = sail_measured(verdict->sail);
        struct text reasons = {0};
        text_add(&reasons, "");
        sheet_add_reasons(verdict, &reasons);
        json_open(json, NULL, '{');
        json_string(json, "sail", verdict->sail->name);
        json_figure(json, "area_m2", sail_area_m2(verdict->sail), 1);
        if (kind != MEASURED_NOT)
            json_string(json, "measured", measured[kind]);
        json_bool(json, "fits", verdict->fits);
        json_bool(json, "take", i == sheet->sail);
        json_bool(json, "by_code", verdict->by_code);
        json_string(json, "reasons", reasons.at);
        json_close(json, '}');
        text_free(&reasons);
    }
    json_close(json, ']');
}

static void put_methods(const struct wind_sheet *sheet, struct json *json)
{
    json_integer(json, "hands", sheet->today->hands);
    json_open(json, "methods", '[');
    for (int i = 0; i < sheet->method_count; i++) {
        unsigned against = sheet->methods[i].against;
        json_open(json, NULL, '{');
        json_string(json, "procedure", sheet->methods[i].procedure->name);
        json_bool(json, "suits", !(against & ~(unsigned)METHOD_CAUTION));
        json_bool(json, "few_hands", against & METHOD_FEW_HANDS);
        json_bool(json, "needs_pilot", against & METHOD_PILOT);
        json_bool(json, "other_pole", against & METHOD_POLE);
        json_bool(json, "above_its_wind", against & METHOD_WIND);
        json_bool(json, "caution", against & METHOD_CAUTION);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_leg(struct json *json, const struct downwind_leg *leg)
{
    json_open(json, NULL, '{');
    json_string(json, "tack", leg->starboard ? "starboard" : "port");
    json_figure(json, "heading_deg", leg->heading_deg, 1);
    json_figure(json, "angle_deg", leg->angle_deg, 1);
    json_figure(json, "speed_kn", kn(leg->speed_m_s), 2);
    json_figure(json, "course_deg", leg->ground.toward_deg, 1);
    json_figure(json, "time_s", leg->time_s, 1);
    json_close(json, '}');
}

static void put_downwind(const struct wind_sheet *sheet, struct json *json)
{
    const struct downwind_ways *ways = sheet->ways;
    json_open(json, "downwind", '{');
    json_figure(json, "angle_deg", sheet->best->angle_deg, 1);
    json_figure(json, "speed_kn", kn(sheet->best->speed_m_s), 2);
    json_figure(json, "made_good_kn", kn(sheet->best->made_good_m_s), 2);
    json_figure(json, "jibe_through_deg", sheet->best->through_deg, 1);
    json_bool(json, "at_the_end_of_the_polar", sheet->best->at_the_end);
    if (ways) {
        json_open(json, "straight", '[');
        if (ways->has_straight)
            put_leg(json, &ways->straight);
        json_close(json, ']');
        json_open(json, "legs", '[');
        for (int i = 0; i < 2 && ways->has_legs; i++)
            put_leg(json, &ways->legs[i]);
        json_close(json, ']');
        json_figure(json, "saved_s", ways->saved_s, 1);
        json_integer(json, "jibes_in_the_logbook", sheet->jibe_count);
        if (sheet->jibe_count)
            json_figure(json, "median_jibe_s", sheet->jibe_median_s, 1);
        if (sheet->jibe_cost_s > 0)
            json_integer(json, "jibes_that_pay",
                         downwind_jibes_that_pay(ways, sheet->jibe_cost_s));
    }
    json_close(json, '}');
}

void sheet_wind_json(const struct wind_sheet *sheet, struct text *out)
{
    struct json json = {.out = out};
    json_open(&json, NULL, '{');
    json_integer(&json, "format", 1);
    put_winds(sheet, &json);
    put_sails(sheet, &json);
    put_methods(sheet, &json);
    if (sheet->best)
        put_downwind(sheet, &json);
    json_open(&json, "cautions", '[');
    for (int i = 0; i < sheet->caution_count; i++) {
        json_open(&json, NULL, '{');
        json_string(&json, "signal", signal_name(sheet->cautions[i]->signal));
        json_string(&json, "reason", sheet->cautions[i]->reason);
        json_string(&json, "act", sheet->cautions[i]->act);
        json_close(&json, '}');
    }
    json_close(&json, ']');
    json_close(&json, '}');
    json_end(&json);
}
