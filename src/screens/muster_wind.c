/* The wind as it is typed at the muster, and what it means for the sails. */
#include "screens/muster_parts.h"

#include "base/quantity.h"
#include "cards/sheet_wind.h"

#include <stdio.h>
#include <string.h>

enum { WIND_MOST_KN = 80, BOAT_MOST_KN = 60, ANGLE_MOST_DEG = 180, WORDS_MAX = 3 };

/* True wind, boat speed and true angle; COUNT of them are said. */
struct typed {
    double figures[WORDS_MAX];
    double gust_kn; /* behind the wind, as in weather reports: 14g19; 0: not said */
    int count;
};

/* Cuts the gust off WORD; false where it is none above the wind. */
static bool take_gust(char *word, double *gust_kn)
{
    char *gust = strchr(word, 'g');
    double wind_kn;
    if (!gust)
        return true;
    *gust = '\0';
    return quantity_read(word, QUANTITY_SPEED, &wind_kn) &&
           quantity_read(gust + 1, QUANTITY_SPEED, gust_kn) && *gust_kn >= wind_kn &&
           *gust_kn <= WIND_MOST_KN;
}

/* Reads up to three figures with blanks between them. */
static bool read_typed(const char *words, struct typed *out)
{
    static const enum quantity quantities[] = {QUANTITY_SPEED, QUANTITY_SPEED,
                                               QUANTITY_ANGLE};
    static const double most[] = {WIND_MOST_KN, BOAT_MOST_KN, ANGLE_MOST_DEG};
    *out = (struct typed){.count = 0};
    for (words += strspn(words, " "); *words; words += strspn(words, " ")) {
        char word[RUN_TEXT_MAX];
        size_t length = strcspn(words, " ");
        if (out->count == WORDS_MAX || length >= sizeof word)
            return false;
        memcpy(word, words, length);
        word[length] = '\0';
        double *figure = &out->figures[out->count];
        if (out->count == 0 && !take_gust(word, &out->gust_kn))
            return false;
        if (!quantity_read(word, quantities[out->count], figure) || *figure < 0 ||
            *figure > most[out->count])
            return false;
        out->count++;
        words += length;
    }
    return true;
}

/* What is typed just now, else what was. */
static const char *words_now(const struct app *app)
{
    if (app->asking == TYPING_WIND)
        return app->typed;
    return *app->wind_said ? app->wind_said : app->wind;
}

/* The apparent wind; with no angle said the wind is dead aft. */
static bool find_apparent(const char *words, struct sail_weather *out)
{
    struct typed typed;
    if (!read_typed(words, &typed) || typed.count < 2)
        return false;
    double angle = typed.count > 2 ? typed.figures[2] : ANGLE_MOST_DEG;
    *out = (struct sail_weather){.true_wind = {typed.figures[0] * WIND_KNOT_M_S, angle},
                                 .gust_m_s = typed.gust_kn * WIND_KNOT_M_S};
    return wind_apparent(out->true_wind,
                         (struct way){typed.figures[1] * WIND_KNOT_M_S, 0},
                         &out->apparent);
}

bool muster_take_wind(struct app *app)
{
    struct typed typed;
    if (strlen(app->typed) >= sizeof app->wind_said || !read_typed(app->typed, &typed))
        return false;
    char knots[sizeof app->wind] = "";
    if (typed.count)
        snprintf(knots, sizeof knots, "%.4g", /* what is decided, is by the gust */
                 typed.gust_kn > 0 ? typed.gust_kn : typed.figures[0]);
    app_take_wind(app, knots);
    snprintf(app->wind_said, sizeof app->wind_said, "%.31s", app->typed);
    app_load_kit(app);
    return true;
}

void muster_type_wind(struct app *app)
{
    const char *words = words_now(app);
    memset(app->typed, 0, sizeof app->typed);
    memcpy(app->typed, words, strlen(words));
    app->asking = TYPING_WIND;
}

void muster_ask_wind(const struct app *app, struct text *out)
{
    struct sail_weather weather;
    if (find_apparent(app->typed, &weather))
        text_printf(out, "Wind %s_ apparent %.1f kn, %.0f deg", app->typed,
                    weather.apparent.speed_m_s / WIND_KNOT_M_S,
                    weather.apparent.angle_deg);
    else
        text_printf(out, "True wind, boat speed, angle: %s_", app->typed);
}

void muster_put_apparent(const struct app *app, struct roll *roll)
{
    struct sail_weather weather;
    struct typed typed;
    struct text text = {0};
    if (!find_apparent(words_now(app), &weather) || !read_typed(words_now(app), &typed))
        return;
    text_printf(&text, "Apparent %.1f kn at %.0f deg: boat speed %.1f kn, true wind ",
                weather.apparent.speed_m_s / WIND_KNOT_M_S, weather.apparent.angle_deg,
                typed.figures[1]);
    if (typed.count > 2)
        text_printf(&text, "at %.0f deg.", typed.figures[2]);
    else
        text_add(&text, "taken dead aft.");
    if (typed.gust_kn > 0)
        text_printf(&text, " Gusts %.0f kn: limits and loads go by them.", typed.gust_kn);
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
    struct sail_weather weather;
    int count = 0;
    if (!boat || !find_apparent(words_now(app), &weather))
        return;
    for (int i = 0; i < boat->sail_count; i++)
        if (boat->sails[i].kind <= SAIL_CODE &&
            sail_judge(&boat->sails[i], &weather, &verdicts[count]))
            count++;
    if (count)
        roll_head(roll, "SAILS");
    for (int i = 0; i < count; i++)
        put_sail(&verdicts[i], i == sail_choose(verdicts, count), roll);
}
