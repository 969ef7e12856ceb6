/* The wind in one line: each figure, units, gusts, and what is wrong with a line. */
#include "cards/words.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

static struct weather read_fine(const char *words)
{
    struct weather weather;
    ck_assert_msg(weather_read(words, &weather) == WEATHER_FINE, "'%s'", words);
    return weather;
}

START_TEST(each_figure_may_be_left_out)
{
    struct weather nothing = read_fine(""), wind = read_fine("14");
    ck_assert(!nothing.is_said && !wind.boat_said && wind.is_said);
    ck_assert_double_eq(weather_limit_kn(&nothing), 0);
    ck_assert_double_eq(weather_limit_kn(&wind), 14);
    struct weather gusty = read_fine("14g19");
    ck_assert_double_eq(gusty.true_kn, 14);
    ck_assert_double_eq(weather_limit_kn(&gusty), 19);
    struct weather way = read_fine("14g19 7"), all = read_fine("  14g19  7 150 ");
    ck_assert(way.boat_said && !way.angle_said && all.angle_said);
    ck_assert_double_eq(way.angle_deg, 180);
    ck_assert_double_eq(all.boat_kn, 7);
    ck_assert_double_eq(all.angle_deg, 150);
}
END_TEST

/* The mile is 1609.344 m (international yard and pound agreement of 1959), the nautical
 * mile 1852 m (International Hydrographic Bureau, 1929); both from memory. */
START_TEST(units)
{
    struct weather tight = read_fine("15mph 10km/h 150deg");
    struct weather apart = read_fine("15 mph 10 km/h 150 deg");
    ck_assert_double_eq_tol(tight.true_kn, 15 * 1609.344 / 1852, 1e-12);
    ck_assert_double_eq_tol(tight.boat_kn, 10 / 1.852, 1e-12);
    ck_assert_double_eq(apart.true_kn, tight.true_kn);
    ck_assert_double_eq(apart.boat_kn, tight.boat_kn);
    ck_assert_double_eq(apart.angle_deg, 150);
    struct weather gusty = read_fine("7m/sg10m/s 6 kn");
    ck_assert_double_eq_tol(gusty.gust_kn, 36 / 1.852, 1e-12);
    ck_assert_double_eq(gusty.boat_kn, 6);
}
END_TEST

START_TEST(what_is_wrong)
{
    static const struct {
        const char *words;
        enum weather_wrong wrong;
    } cases[] = {{"strong", WEATHER_WIND},
                 {"81", WEATHER_WIND},
                 {"-3", WEATHER_WIND},
                 {"nan", WEATHER_WIND},
                 {"inf", WEATHER_WIND},
                 {"1e3", WEATHER_WIND},
                 {"14 7g9", WEATHER_BOAT},
                 {"g19", WEATHER_WIND},
                 {"14g", WEATHER_GUST},
                 {"14g13", WEATHER_GUST},
                 {"14g81", WEATHER_GUST},
                 {"14g16g18", WEATHER_GUST},
                 {"14 61", WEATHER_BOAT},
                 {"14 -7", WEATHER_BOAT},
                 {"14 7 181", WEATHER_ANGLE},
                 {"14 7 aft", WEATHER_BOAT},
                 {"14 7 150 3", WEATHER_MORE},
                 {"14,7,150", WEATHER_WIND},
                 {"14                                              7", WEATHER_MORE}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct weather weather = {.true_kn = 3};
        enum weather_wrong wrong = weather_read(cases[i].words, &weather);
        ck_assert_msg(wrong == cases[i].wrong, "'%s' is %d", cases[i].words, wrong);
        ck_assert_double_eq(weather.true_kn, 3);
        ck_assert_ptr_nonnull(words_weather_wrong(wrong));
    }
}
END_TEST

/* 6 kn of boat straight before 14 kn of wind leave 8; without her speed nothing is
 * known. */
START_TEST(apparent)
{
    struct weather wind = read_fine("14"), run = read_fine("14g20 6");
    struct sail_weather sails;
    ck_assert(!weather_apparent(&wind, &sails));
    ck_assert(weather_apparent(&run, &sails));
    ck_assert_double_eq_tol(sails.apparent.speed_m_s / WIND_KNOT_M_S, 8, 1e-9);
    ck_assert_double_eq_tol(sails.gust_m_s / WIND_KNOT_M_S, 20, 1e-9);
    struct text text = {0};
    words_limit_wind(&run, &text);
    ck_assert_str_eq(text.at, "true wind in the gusts 20 kn");
    text_free(&text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("weather");
    TCase *tests = tcase_create("weather");
    tcase_add_test(tests, each_figure_may_be_left_out);
    tcase_add_test(tests, units);
    tcase_add_test(tests, what_is_wrong);
    tcase_add_test(tests, apparent);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
