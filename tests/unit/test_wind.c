/* The wind triangle: round trips, both boards alike, current, and what is refused. */
#include "forces/wind.h"

#include <check.h>
#include <math.h>
#include <string.h>

static const double angles[] = {-180, -150, -95.5, -90, -40, -0.5,
                                0,    0.5,  37,    90,  150, 180};

enum { ANGLE_COUNT = sizeof angles / sizeof *angles };

static void same(struct wind a, struct wind b)
{
    ck_assert_double_eq_tol(a.speed_m_s, b.speed_m_s, 1e-9);
    if (a.speed_m_s > 1e-6)
        ck_assert_double_eq_tol(remainder(a.angle_deg - b.angle_deg, 360), 0, 1e-6);
}

START_TEST(there_and_back)
{
    for (double speed = 0; speed < 40; speed += 3.7)
        for (double boat = 0; boat < 15; boat += 2.3)
            for (double leeway = -20; leeway <= 20; leeway += 5) {
                struct wind first = {speed, angles[_i]}, apparent, back;
                struct way way = {boat, leeway};
                ck_assert(wind_apparent(first, way, &apparent));
                ck_assert(wind_true(apparent, way, &back));
                same(first, back);
            }
}
END_TEST

START_TEST(port_is_the_mirror_of_starboard)
{
    struct wind one, other;
    ck_assert(wind_apparent((struct wind){7, angles[_i]}, (struct way){3, 4}, &one));
    ck_assert(wind_apparent((struct wind){7, -angles[_i]}, (struct way){3, -4}, &other));
    other.angle_deg = -other.angle_deg;
    same(one, other);
}
END_TEST

/* Closed forms: as fast as the apparent wind, the true one is half again aft of the beam.
 */
START_TEST(as_fast_as_the_apparent_wind)
{
    for (double angle = 5; angle < 180; angle += 5) {
        struct wind found;
        ck_assert(wind_true((struct wind){6, angle}, (struct way){6, 0}, &found));
        ck_assert_double_eq_tol(found.angle_deg, 90 + angle / 2, 1e-9);
    }
}
END_TEST

/* Leeway alone: with no wind there is only the wind of her own way, from where she goes.
 */
START_TEST(leeway)
{
    struct wind found;
    ck_assert(wind_apparent((struct wind){0, 0}, (struct way){4, -6}, &found));
    same(found, (struct wind){4, -6});
}
END_TEST

/* Over the ground, heading, leeway and current are all one wind by two ways. */
START_TEST(over_water_and_over_ground)
{
    struct way way = {3.2, 5};
    struct track current = {40, 1.1}, track;
    struct wind apparent;
    struct compass_wind ground, water, again;
    double heading = 200;
    for (int i = 0; i < ANGLE_COUNT; i++) {
        double from = wind_compass_deg(heading + angles[i]);
        ck_assert(wind_to_ground((struct compass_wind){from, 8}, current, &ground));
        ck_assert(wind_to_water(ground, current, &water));
        ck_assert_double_eq_tol(water.speed_m_s, 8, 1e-9);
        ck_assert(wind_track(heading, way, current, &track));
        ck_assert(wind_apparent((struct wind){8, angles[i]}, way, &apparent));
        struct readings readings = {track, heading, wind_compass_deg(apparent.angle_deg),
                                    apparent.speed_m_s};
        ck_assert(wind_over_ground(&readings, &again));
        ck_assert_double_eq_tol(again.speed_m_s, ground.speed_m_s, 1e-9);
        ck_assert_double_eq_tol(remainder(again.from_deg - ground.from_deg, 360), 0,
                                1e-9);
    }
}
END_TEST

/* Drifting with the current in a calm: a wind from where it goes, and none over ground.
 */
START_TEST(calm_in_a_current)
{
    struct compass_wind water, ground;
    struct track current = {90, 1};
    ck_assert(wind_to_water((struct compass_wind){0, 0}, current, &water));
    ck_assert_double_eq_tol(water.from_deg, 90, 1e-9);
    ck_assert_double_eq_tol(water.speed_m_s, 1, 1e-9);
    ck_assert(wind_to_ground(water, current, &ground));
    ck_assert(ground.from_deg == 0 && ground.speed_m_s == 0);
}
END_TEST

START_TEST(what_the_wind_becomes)
{
    struct outlook outlook;
    ck_assert(wind_outlook((struct wind){15, 180}, (struct way){7, 0}, 1.4, &outlook));
    same(outlook.now, (struct wind){8, 180});
    same(outlook.jibed, (struct wind){8, 180});
    same(outlook.half, (struct wind){11.5, 180});
    same(outlook.stopped, (struct wind){15, 180});
    same(outlook.gust, (struct wind){14, 180});
    ck_assert_double_eq_tol(outlook.half_pull, 11.5 * 11.5 / 64, 1e-9);
    ck_assert_double_eq_tol(outlook.stopped_pull, 225.0 / 64, 1e-9);
    ck_assert_double_eq_tol(outlook.gust_pull, 196.0 / 64, 1e-9);
    ck_assert(wind_outlook((struct wind){9, 150}, (struct way){4, 0}, 1, &outlook));
    ck_assert_double_eq_tol(outlook.jibed.angle_deg, -outlook.now.angle_deg, 1e-12);
    /* she runs as fast as the wind: nothing is felt, and nothing is divided by it */
    ck_assert(wind_outlook((struct wind){5, 180}, (struct way){5, 0}, 1, &outlook));
    ck_assert(outlook.now.speed_m_s == 0 && outlook.stopped_pull == 0);
}
END_TEST

static const double wrong[] = {NAN, INFINITY, -INFINITY, -0.001, 1e6, 1e300};

START_TEST(no_number_for_no_wind)
{
    double x = wrong[_i];
    struct wind kept = {3, 4};
    struct wind fine = {5, 90};
    struct way way = {3, 0};
    struct track current = {0, 1}, no_track = {0, x}, track = {7, 7};
    struct compass_wind compass = {9, 9};
    struct outlook outlook = {.half_pull = 5};
    ck_assert(!wind_true((struct wind){x, 90}, way, &kept));
    ck_assert(!wind_apparent((struct wind){x, 90}, way, &kept));
    ck_assert(!wind_true(fine, (struct way){x, 0}, &kept));
    ck_assert(!wind_outlook((struct wind){x, 90}, way, 1, &outlook));
    ck_assert(!wind_outlook(fine, (struct way){x, 0}, 1, &outlook));
    ck_assert(!wind_outlook(fine, way, x, &outlook));
    ck_assert(!wind_outlook((struct wind){90, 90}, way, 2, &outlook));
    ck_assert(!wind_track(10, way, no_track, &track));
    ck_assert(!wind_track(x == -0.001 ? -1 : x, way, current, &track));
    ck_assert(!wind_to_water((struct compass_wind){0, x}, current, &compass));
    ck_assert(!wind_to_ground((struct compass_wind){0, 1}, no_track, &compass));
    ck_assert_int_eq(wind_beaufort_kn(x), -1);
    ck_assert_int_eq(wind_beaufort_m_s(x), -1);
    if (x != -0.001) {
        ck_assert(!wind_true((struct wind){5, x}, way, &kept));
        ck_assert(!wind_apparent(fine, (struct way){3, x}, &kept));
    }
    ck_assert(kept.speed_m_s == 3 && kept.angle_deg == 4 && outlook.half_pull == 5);
    ck_assert(track.toward_deg == 7 && track.speed_m_s == 7 && compass.from_deg == 9);
}
END_TEST

START_TEST(angles_are_folded)
{
    ck_assert(wind_folded_deg(-180) == 180 && wind_folded_deg(190) == -170);
    ck_assert(wind_folded_deg(360) == 0 && wind_folded_deg(540) == 180);
    ck_assert(wind_compass_deg(-10) == 350 && wind_compass_deg(360) == 0);
    ck_assert(wind_compass_deg(725) == 5 && wind_compass_deg(-1e-300) == 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wind");
    TCase *tests = tcase_create("wind");
    tcase_add_loop_test(tests, there_and_back, 0, ANGLE_COUNT);
    tcase_add_loop_test(tests, port_is_the_mirror_of_starboard, 0, ANGLE_COUNT);
    tcase_add_test(tests, as_fast_as_the_apparent_wind);
    tcase_add_test(tests, leeway);
    tcase_add_test(tests, over_water_and_over_ground);
    tcase_add_test(tests, calm_in_a_current);
    tcase_add_test(tests, what_the_wind_becomes);
    tcase_add_loop_test(tests, no_number_for_no_wind, 0, sizeof wrong / sizeof *wrong);
    tcase_add_test(tests, angles_are_folded);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
