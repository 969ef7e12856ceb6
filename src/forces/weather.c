#include "forces/weather.h"

#include "base/quantity.h"

#include <string.h>

enum { WIND_MOST_KN = 80, BOAT_MOST_KN = 60, ANGLE_MOST_DEG = 180 };

static bool is_digit(char c)
{
    return (c >= '0' && c <= '9') || c == '.';
}

/* The next figure of *WORDS with its unit, which may stand apart, in OUT; its length. */
static size_t next_word(const char **words, char out[WEATHER_TEXT_MAX])
{
    const char *word = *words + strspn(*words, " ");
    size_t length = strcspn(word, " "), blanks = strspn(word + length, " ");
    const char *unit = word + length + blanks;
    if (length && is_digit(word[length - 1]) && *unit && !is_digit(*unit) && *unit != '-')
        length += blanks + strcspn(unit, " ");
    memcpy(out, word, length);
    out[length] = '\0';
    *words = word + length;
    return length;
}

static bool read_figure(const char *word, enum quantity quantity, double most,
                        double *out)
{
    double figure;
    if (!quantity_read(word, quantity, &figure) || !(figure >= 0 && figure <= most))
        return false;
    *out = figure;
    return true;
}

/* The wind, and the gust behind it. */
static enum weather_wrong read_wind(char *word, struct weather *out)
{
    char *gust = strchr(word, 'g');
    if (gust)
        *gust = '\0';
    if (!read_figure(word, QUANTITY_SPEED, WIND_MOST_KN, &out->true_kn))
        return WEATHER_WIND;
    if (gust && (!read_figure(gust + 1, QUANTITY_SPEED, WIND_MOST_KN, &out->gust_kn) ||
                 out->gust_kn < out->true_kn))
        return WEATHER_GUST;
    return WEATHER_FINE;
}

enum weather_wrong weather_read(const char *words, struct weather *out)
{
    struct weather read = {.angle_deg = ANGLE_MOST_DEG};
    char word[WEATHER_TEXT_MAX];
    if (strlen(words) >= sizeof word)
        return WEATHER_MORE;
    read.is_said = next_word(&words, word) > 0;
    enum weather_wrong wrong = read.is_said ? read_wind(word, &read) : WEATHER_FINE;
    if (wrong)
        return wrong;
    read.boat_said = next_word(&words, word) > 0;
    if (read.boat_said && !read_figure(word, QUANTITY_SPEED, BOAT_MOST_KN, &read.boat_kn))
        return WEATHER_BOAT;
    read.angle_said = next_word(&words, word) > 0;
    if (read.angle_said &&
        !read_figure(word, QUANTITY_ANGLE, ANGLE_MOST_DEG, &read.angle_deg))
        return WEATHER_ANGLE;
    if (next_word(&words, word))
        return WEATHER_MORE;
    *out = read;
    return WEATHER_FINE;
}

double weather_limit_kn(const struct weather *weather)
{
    return weather->gust_kn > 0 ? weather->gust_kn : weather->true_kn;
}

bool weather_apparent(const struct weather *weather, struct sail_weather *out)
{
    if (!weather->boat_said)
        return false;
    struct sail_weather found = {
        .true_wind = {weather->true_kn * WIND_KNOT_M_S, weather->angle_deg},
        .gust_m_s = weather->gust_kn * WIND_KNOT_M_S};
    struct way way = {weather->boat_kn * WIND_KNOT_M_S, 0};
    if (!wind_apparent(found.true_wind, way, &found.apparent))
        return false;
    *out = found;
    return true;
}
