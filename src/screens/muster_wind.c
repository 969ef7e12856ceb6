/* The wind as it is typed at the muster, and what it means for the sails. */
#include "screens/muster_parts.h"

#include "cards/sheet_wind.h"

#include <string.h>

/* What is typed just now, else what was; false where it is no wind. */
static bool find_weather(const struct app *app, struct weather *out)
{
    *out = app->weather;
    return app->asking != TYPING_WIND || !weather_read(app->typed, out);
}

enum weather_wrong muster_take_wind(struct app *app)
{
    enum weather_wrong wrong = app_take_wind(app, app->typed);
    if (!wrong)
        app_load_kit(app);
    return wrong;
}

void muster_type_wind(struct app *app)
{
    memset(app->typed, 0, sizeof app->typed);
    memcpy(app->typed, app->wind, strlen(app->wind));
    app->asking = TYPING_WIND;
}

void muster_ask_wind(const struct app *app, struct text *out)
{
    struct weather weather;
    struct sail_weather sails;
    if (find_weather(app, &weather) && weather_apparent(&weather, &sails))
        text_printf(out, "Wind %s_ apparent %.1f kn, %.0f deg", app->typed,
                    sails.apparent.speed_m_s / WIND_KNOT_M_S, sails.apparent.angle_deg);
    else
        text_printf(out, "True wind, boat speed, angle: %s_", app->typed);
}

void muster_put_apparent(const struct app *app, struct roll *roll)
{
    struct weather weather;
    struct sail_weather sails;
    struct text text = {0};
    if (!find_weather(app, &weather) || !weather_apparent(&weather, &sails))
        return;
    text_printf(&text, "Apparent %.1f kn at %.0f deg: boat speed %.1f kn, true wind ",
                sails.apparent.speed_m_s / WIND_KNOT_M_S, sails.apparent.angle_deg,
                weather.boat_kn);
    if (weather.angle_said)
        text_printf(&text, "at %.0f deg.", weather.angle_deg);
    else
        text_add(&text, "taken dead aft.");
    if (weather.gust_kn > 0)
        text_printf(&text, " Gusts %.0f kn: limits and loads go by them.",
                    weather.gust_kn);
    roll_wrap(roll, 0, STYLE_PLAIN, text.at);
    text_free(&text);
}

static void put_sail(const struct sail_verdict *verdict, bool is_taken, struct roll *roll)
{
    struct text text = {0};
    text_printf(&text, "%s %s%s%s",
                is_taken        ? "TAKE"
                : verdict->fits ? "fits"
                                : "no",
                verdict->sail->name, *verdict->sail->code ? " " : "",
                verdict->sail->code);
    text_add(&text, verdict->reason_count ? ": " : ".");
    sheet_add_reasons(verdict, &text);
    roll_wrap(roll, 0, is_taken ? STYLE_STRONG : STYLE_PLAIN, text.at);
    text_free(&text);
}

void muster_put_sails(const struct app *app, struct roll *roll)
{
    const struct boat *boat = app->world.boat;
    struct sail_verdict verdicts[SAILS_MAX];
    struct weather weather;
    struct sail_weather sails;
    int count = 0;
    if (!boat || !find_weather(app, &weather) || !weather_apparent(&weather, &sails))
        return;
    for (int i = 0; i < boat->sail_count; i++)
        if (boat->sails[i].kind <= SAIL_CODE &&
            sail_judge(&boat->sails[i], &sails, &verdicts[count]))
            count++;
    if (count)
        roll_head(roll, "SAILS");
    for (int i = 0; i < count; i++)
        put_sail(&verdicts[i], i == sail_choose(verdicts, count), roll);
}
