#include "cards/sheet_call.h"

#include "cards/sheet_loads.h"
#include "cards/words.h"

#include <math.h>

static void add_clock(double seconds, struct text *out)
{
    double whole = floor(fabs(seconds) + 0.5);
    const char *sign = seconds < 0 && whole > 0 ? "-" : "";
    text_printf(out, "%s%d:%02d", sign, (int)(whole / 60), (int)fmod(whole, 60));
}

/* "  Go          52 s   161 m  15.2 lengths   in 1:17" */
static void add_moment(const char *name, const struct call_moment *moment,
                       enum units units, struct text *out)
{
    text_printf(out, "  %-10s %6.0f s  %6.0f %s  %5.1f lengths   ", name,
                moment->before_s, units_length(units, moment->before_m),
                units_length_name(units), moment->lengths);
    if (moment->from_now_s < 0) {
        text_add(out, "PASSED ");
        add_clock(-moment->from_now_s, out);
        text_add(out, " ago\n");
    } else {
        text_add(out, "in ");
        add_clock(moment->from_now_s, out);
        text_add(out, "\n");
    }
}

static void add_times(const struct call_sheet *sheet, struct text *out)
{
    text_add(out, "These hands: planned ");
    text_add_seconds(out, sheet->bill->total_ms);
    text_add(out, " s, half of all times to ");
    text_add_seconds(out, sheet->times->spread.median_ms);
    text_add(out, " s, nine in ten to ");
    text_add_seconds(out, sheet->times->spread.nine_ms);
    text_add(out, " s, all slow ");
    text_add_seconds(out, sheet->times->spread.slow_ms);
    text_add(out, " s.\n");
}

static void add_recovery(const struct call_sheet *sheet, struct text *out)
{
    const struct way_back *back = &sheet->times->back;
    if (!back->mishap_count) {
        text_add(out, "No mishap of this rig can come up on the way.\n");
        return;
    }
    if (back->procedure) {
        text_printf(out,
                    "One recovery, the slowest of those that fit: %s, nine in ten to ",
                    back->procedure->title);
        text_add_seconds(out, back->spread.nine_ms);
        text_add(out, " s.\n");
    }
    if (back->unknown_count)
        text_printf(out,
                    "CAUTION: for %d of %d mishaps that can come up no recovery is "
                    "known.\n",
                    back->unknown_count, back->mishap_count);
    if (back->unmanned_count)
        text_printf(out, "CAUTION: for %d of them these hands have no bill.\n",
                    back->unmanned_count);
}

void sheet_call(const struct call_sheet *sheet, struct text *out)
{
    const struct call_plan *plan = sheet->plan;
    const struct call_now *now = sheet->now;
    const char *where = now->is_hazard ? "hazard" : "mark";
    enum units units = sheet->units;
    const char *ft = units_length_name(units);
    text_printf(out, "%s, %s tack: the %s is %.0f %s away, ", sheet->procedure->title,
                board_name(sheet->procedure->board), where,
                units_length(units, now->distance_m), ft);
    add_clock(plan->there_s, out);
    text_printf(out, " at %.1f kn%s.\n", plan->ground_m_s * 3600 / 1852,
                now->current_kn < 0 || now->current_kn > 0 ? " over the ground" : "");
    add_times(sheet, out);
    add_recovery(sheet, out);
    text_printf(out, "Before the %s, with %.0f s in hand:\n", where, now->margin_s);
    bool sooner = plan->last_safe.before_s > plan->stand_by.before_s;
    if (sooner)
        add_moment("Last safe", &plan->last_safe, units, out);
    add_moment("Stand by", &plan->stand_by, units, out);
    add_moment("Go", &plan->go, units, out);
    if (!sooner)
        add_moment("Last safe", &plan->last_safe, units, out);
    text_add(out,
             now->is_hazard
                 ? "The go of a hazard is the last safe one: begun later, one failure "
                   "has no room.\n"
                 : "A go later than the last safe one leaves no room for one failure "
                   "and its recovery.\n");
    text_printf(out,
                "Sea room: %.0f %s for all of it, one failure and its recovery, and five "
                "lengths to turn up;\ntwice the slow time and five lengths are %.0f %s "
                "(common practice).\n",
                units_length(units, plan->sea_room_m), ft,
                units_length(units, plan->twice_slow_m), ft);
    sheet_loads(sheet->procedure, units, out);
    text_add(out, "Estimates from the times of the file; the skipper decides.\n");
}

static void json_tenths(struct json *json, const char *name, double figure)
{
    json_integer(json, name, llround(figure * 10));
}

static void json_moment(struct json *json, const char *name,
                        const struct call_moment *moment)
{
    json_open(json, name, '{');
    json_integer(json, "before_ms", llround(moment->before_s * 1000));
    json_tenths(json, "before_dm", moment->before_m);
    json_tenths(json, "tenths_of_a_length", moment->lengths);
    json_integer(json, "from_now_ms", llround(moment->from_now_s * 1000));
    json_close(json, '}');
}

void sheet_call_json(const struct call_sheet *sheet, struct text *out)
{
    struct json json = {.out = out};
    const struct way_back *back = &sheet->times->back;
    json_open(&json, NULL, '{');
    json_integer(&json, "format", 1);
    json_string(&json, "procedure", sheet->procedure->name);
    json_string(&json, "board", board_name(sheet->procedure->board));
    json_integer(&json, "planned_ms", sheet->bill->total_ms);
    json_integer(&json, "median_ms", sheet->times->spread.median_ms);
    json_integer(&json, "nine_in_ten_ms", sheet->times->spread.nine_ms);
    json_integer(&json, "slow_ms", sheet->times->spread.slow_ms);
    if (back->procedure) {
        json_string(&json, "recovery", back->procedure->name);
        json_integer(&json, "recovery_ms", back->spread.nine_ms);
    }
    json_integer(&json, "mishaps", back->mishap_count);
    json_integer(&json, "mishaps_without_recovery", back->unknown_count);
    json_integer(&json, "recoveries_without_bill", back->unmanned_count);
    json_integer(&json, "margin_ms", llround(sheet->now->margin_s * 1000));
    json_integer(&json, "there_ms", llround(sheet->plan->there_s * 1000));
    json_moment(&json, "stand_by", &sheet->plan->stand_by);
    json_moment(&json, "go", &sheet->plan->go);
    json_moment(&json, "last_safe", &sheet->plan->last_safe);
    json_tenths(&json, "sea_room_dm", sheet->plan->sea_room_m);
    json_tenths(&json, "twice_slow_dm", sheet->plan->twice_slow_m);
    sheet_loads_json(sheet->procedure, &json);
    json_close(&json, '}');
    json_end(&json);
}
