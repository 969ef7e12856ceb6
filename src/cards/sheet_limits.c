#include "cards/sheet_loads.h"

#include <math.h>

static void add_limit(const struct sail_limit *limit, struct text *out)
{
    static const char *const words[] = {
        [LIMIT_TRUE] = "true wind %.1f kn, not above %.4g kn",
        [LIMIT_GUST] = "gusts %.1f kn, not above %.4g kn",
        [LIMIT_NOW] = "apparent wind %.1f kn on either board, not above %.4g kn",
        [LIMIT_IN_GUST] = "apparent wind %.1f kn in the gusts, not above %.4g kn",
        [LIMIT_HALF] = "apparent wind %.1f kn slowed to half, not above %.4g kn",
        [LIMIT_STOPPED] = "%.1f kn on her when she stops, not above %.4g kn",
        [LIMIT_NEAR] = "apparent wind %.1f kn, near the %.4g kn"};
    text_printf(out, words[limit->wind], limit->is_kn, limit->most_kn);
    text_add(out, limit->of_cloth  ? " of the cloth"
                  : limit->by_code ? " by its code"
                                   : "");
}

bool sheet_limits(const struct load_report *report, bool stops, struct text *out)
{
    const char *between = "";
    for (int i = 0; i < report->limits.count; i++) {
        const struct sail_limit *limit = &report->limits.at[i];
        if (limit->stops != stops)
            continue;
        text_add(out, between);
        if (!*between)
            text_printf(out, "%s: ", report->sail->name);
        add_limit(limit, out);
        between = "; ";
    }
    return *between;
}

void sheet_limits_json(const struct load_report *report, struct json *json)
{
    static const char *const winds[] = {
        [LIMIT_TRUE] = "true",         [LIMIT_GUST] = "gust",
        [LIMIT_NOW] = "apparent",      [LIMIT_IN_GUST] = "apparent_in_gust",
        [LIMIT_HALF] = "half_speed",   [LIMIT_STOPPED] = "stopped",
        [LIMIT_NEAR] = "near_the_most"};
    json_open(json, "sail_limits", '[');
    for (int i = 0; i < report->limits.count; i++) {
        const struct sail_limit *limit = &report->limits.at[i];
        json_open(json, NULL, '{');
        json_string(json, "wind", winds[limit->wind]);
        json_integer(json, "tenths_kn", llround(limit->is_kn * 10));
        json_integer(json, "most_tenths_kn", llround(limit->most_kn * 10));
        json_bool(json, "of_cloth", limit->of_cloth);
        json_bool(json, "by_code", limit->by_code);
        json_bool(json, "stops", limit->stops);
        json_close(json, '}');
    }
    json_close(json, ']');
}
