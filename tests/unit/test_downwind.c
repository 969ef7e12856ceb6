/* Downwind from a polar: read from a file and from the boat file alike, the best angle of
 * polars with a known one, ways to a mark, and what is not reckoned. */
#include "load_world.h"

#include "forces/downwind.h"
#include "forces/spline.h"

#include <math.h>

#define RADIANS(degrees) ((degrees) * (3.14159265358979323846 / 180))

static double kn(double m_s)
{
    return m_s / WIND_KNOT_M_S;
}

/* Speeds of F in three winds at every fifth angle from 90 to 180. */
static struct polar made(double (*f)(double wind_kn, double angle_deg))
{
    struct polar polar = {.wind_count = 3};
    for (int w = 0; w < 3; w++)
        polar.wind_m_s[w] = (8 + 4 * w) * WIND_KNOT_M_S;
    for (int angle = 90; angle <= 180; angle += 5) {
        polar.angle_deg[polar.angle_count] = angle;
        for (int w = 0; w < 3; w++)
            polar.speed_m_s[w][polar.angle_count] = f(8 + 4 * w, angle) * WIND_KNOT_M_S;
        polar.angle_count++;
    }
    return polar;
}

static double same_everywhere(double wind_kn, double angle_deg)
{
    (void)angle_deg;
    return wind_kn / 2;
}

/* So that the speed made good has its summit at 150. */
static double best_at_150(double wind_kn, double angle_deg)
{
    double off = (angle_deg - 150) / 60;
    double made_good = wind_kn / 3 * (1 - off * off);
    return angle_deg > 91 ? made_good / -cos(RADIANS(angle_deg)) : 1;
}

START_TEST(a_speed_and_what_is_beyond)
{
    struct polar polar = made(same_everywhere);
    double speed = 7;
    ck_assert(downwind_speed(&polar, 10 * WIND_KNOT_M_S, -142, &speed));
    ck_assert_double_eq_tol(kn(speed), 5, 1e-9);
    speed = 7;
    ck_assert(!downwind_speed(&polar, 7.9 * WIND_KNOT_M_S, 120, &speed));
    ck_assert(!downwind_speed(&polar, 16.1 * WIND_KNOT_M_S, 120, &speed));
    ck_assert(!downwind_speed(&polar, 10 * WIND_KNOT_M_S, 89, &speed));
    ck_assert(!downwind_speed(&polar, NAN, 120, &speed));
    ck_assert(!downwind_speed(&polar, -5, 120, &speed));
    ck_assert(!downwind_speed(&polar, 10 * WIND_KNOT_M_S, NAN, &speed));
    ck_assert(!downwind_speed(&polar, 10 * WIND_KNOT_M_S, INFINITY, &speed));
    /* one of the winds beside it says nothing of that angle */
    polar.speed_m_s[1][polar.angle_count - 1] = NAN;
    ck_assert(downwind_speed(&polar, 10 * WIND_KNOT_M_S, 175, &speed));
    ck_assert(!downwind_speed(&polar, 10 * WIND_KNOT_M_S, 176, &speed));
    ck_assert(downwind_speed(&polar, 8 * WIND_KNOT_M_S, 176, &speed));
}
END_TEST

START_TEST(best_angles)
{
    struct polar run = made(same_everywhere), reach = made(best_at_150);
    struct downwind_best best;
    ck_assert(downwind_find_best(&run, 14 * WIND_KNOT_M_S, &best));
    ck_assert_double_eq_tol(best.angle_deg, 180, 1e-6);
    ck_assert_double_eq_tol(kn(best.made_good_m_s), 7, 1e-9);
    ck_assert(best.through_deg < 1e-6 && !best.at_the_end);
    ck_assert(downwind_find_best(&reach, 12 * WIND_KNOT_M_S, &best));
    ck_assert_double_eq_tol(best.angle_deg, 150, 1);
    ck_assert_double_eq_tol(best.through_deg, 60, 2);
    ck_assert_double_eq_tol(kn(best.made_good_m_s), 4, 0.01);
    ck_assert_double_eq_tol(kn(best.speed_m_s), 4 / cos(RADIANS(30)), 0.05);
    reach.angle_count = 10; /* it ends at 135 */
    ck_assert(downwind_find_best(&reach, 12 * WIND_KNOT_M_S, &best));
    ck_assert(best.angle_deg == 135 && best.at_the_end);
    reach.angle_count = 1; /* at 90 */
    ck_assert(!downwind_find_best(&reach, 12 * WIND_KNOT_M_S, &best));
    ck_assert(!downwind_find_best(&run, 30 * WIND_KNOT_M_S, &best));
    ck_assert(!downwind_find_best(&run, NAN, &best));
}
END_TEST

/* Where the legs end, over the ground. */
static void ends(const struct downwind_ways *ways, double *north, double *east)
{
    *north = *east = 0;
    for (int i = 0; i < 2; i++) {
        double run = ways->legs[i].ground.speed_m_s * ways->legs[i].time_s;
        *north += run * cos(RADIANS(ways->legs[i].ground.toward_deg));
        *east += run * sin(RADIANS(ways->legs[i].ground.toward_deg));
    }
}

START_TEST(both_legs_end_at_the_mark)
{
    struct polar polar = made(best_at_150);
    for (int bearing = 160; bearing <= 200; bearing += 4) {
        struct downwind_task task = {{360, 6}, {_i * 30, 0.5}, bearing, 2000};
        struct downwind_ways ways;
        double north, east;
        ck_assert(downwind_find_ways(&polar, &task, &ways));
        if (ways.has_straight) {
            ck_assert_double_eq_tol(ways.straight.ground.toward_deg, bearing, 1e-5);
            ck_assert_double_eq_tol(ways.straight.ground.speed_m_s * ways.straight.time_s,
                                    2000, 1e-3);
        }
        if (!ways.has_legs)
            continue;
        ends(&ways, &north, &east);
        ck_assert_double_eq_tol(north, 2000 * cos(RADIANS(bearing)), 1e-6);
        ck_assert_double_eq_tol(east, 2000 * sin(RADIANS(bearing)), 1e-6);
        ck_assert(ways.legs[0].starboard && !ways.legs[1].starboard);
    }
}
END_TEST

/* Straight down the wind without current: both boards alike, by hand: 12 kn, 150 degrees,
 * 4 kn made good: a mile takes a quarter of an hour; straight, at 3 kn, twenty minutes.
 */
START_TEST(a_mile_straight_to_leeward)
{
    struct polar polar = made(best_at_150);
    struct downwind_task task = {{360, 12 * WIND_KNOT_M_S}, {0, 0}, 180, 1852};
    struct downwind_ways ways;
    ck_assert(downwind_find_ways(&polar, &task, &ways));
    ck_assert(ways.has_straight && ways.has_legs);
    ck_assert_double_eq_tol(ways.legs_s, 900, 3);
    ck_assert_double_eq_tol(ways.straight.time_s, 1200, 1);
    ck_assert_double_eq_tol(ways.saved_s, 300, 4);
    ck_assert_double_eq_tol(ways.legs[0].time_s, ways.legs[1].time_s, 1e-6);
    ck_assert_double_eq_tol(ways.legs[0].heading_deg, 210, 1);
    ck_assert_double_eq_tol(ways.legs[1].heading_deg, 150, 1);
    ck_assert_int_eq(downwind_jibes_that_pay(&ways, 31), 9);
    ck_assert_int_eq(downwind_jibes_that_pay(&ways, 400), 0);
    ck_assert_int_eq(downwind_jibes_that_pay(&ways, 0), 0);
    ck_assert_int_eq(downwind_jibes_that_pay(&ways, NAN), 0);
    task.bearing_deg = 100; /* a reach: no legs at the best angle */
    ck_assert(downwind_find_ways(&polar, &task, &ways));
    ck_assert(ways.has_straight && !ways.has_legs && ways.saved_s == 0);
    ck_assert_double_eq_tol(ways.straight.angle_deg, 100, 1e-6);
    ck_assert(!ways.straight.starboard);
}
END_TEST

START_TEST(no_way_from_nonsense)
{
    struct polar polar = made(best_at_150);
    const struct downwind_task good = {{360, 6}, {0, 0}, 180, 1000};
    static const double wrong[] = {NAN, INFINITY, -1, 1e9};
    for (int i = 0; i < 4; i++)
        for (int field = 0; field < 6; field++) {
            struct downwind_task task = good;
            double *fields[] = {&task.wind.from_deg,      &task.wind.speed_m_s,
                                &task.current.toward_deg, &task.current.speed_m_s,
                                &task.bearing_deg,        &task.distance_m};
            struct downwind_ways ways = {.legs_s = 3};
            *fields[field] = wrong[i];
            ck_assert(!downwind_find_ways(&polar, &task, &ways));
            ck_assert(ways.legs_s == 3);
        }
}
END_TEST

static const char csv[] = "# Plover, measured\ndeg, 6 kn, 10 kn\n\n90,5.1,6.8\n"
                          "150,,5.4\n152.5,3.4,\n";
static const char boat[] =
    "format: 1\nboat: Plover\nlength: 10 m\npolar:\n  true-wind: [6 kn, 10 kn]\n"
    "  speeds:\n    - {angle: 90 deg, speed: [5.1 kn, 6.8 kn]}\n"
    "    - {angle: 150 deg, speed: [none, 5.4 kn]}\n"
    "    - {angle: 152.5 deg, speed: [3.4 kn, none]}\n";

static void check_read(const struct polar *polar)
{
    ck_assert_ptr_nonnull(polar);
    ck_assert_int_eq(polar->wind_count, 2);
    ck_assert_int_eq(polar->angle_count, 3);
    ck_assert_double_eq_tol(kn(polar->wind_m_s[1]), 10, 1e-12);
    ck_assert_double_eq_tol(polar->angle_deg[2], 152.5, 1e-12);
    ck_assert_double_eq_tol(kn(polar->speed_m_s[0][0]), 5.1, 1e-12);
    ck_assert_double_eq_tol(kn(polar->speed_m_s[1][1]), 5.4, 1e-12);
    ck_assert(isnan(polar->speed_m_s[0][1]) && isnan(polar->speed_m_s[1][2]));
}

START_TEST(read_alike)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    check_read(
        load_polar(source_new(arena, "plover.csv", csv, sizeof csv - 1), arena, diags));
    const struct boat *plover =
        load_boat(source_new(arena, "boat.yaml", boat, sizeof boat - 1), arena, diags);
    ck_assert(plover && !*plover->polar_file);
    check_read(plover->polar);
    const char *named = "format: 1\nboat: Plover\nlength: 10 m\npolar: plover.csv\n";
    plover =
        load_boat(source_new(arena, "boat.yaml", named, strlen(named)), arena, diags);
    ck_assert(plover && !plover->polar);
    ck_assert_str_eq(plover->polar_file, "plover.csv");
    ck_assert_uint_eq(diags_count(diags), 0);
    arena_free(arena);
}
END_TEST

/* More winds and angles than fit are said, not written. */
START_TEST(too_long_and_too_wide)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct text text = {0};
    text_add(&text, "deg,6 kn\n");
    for (int i = 0; i <= POLAR_ANGLES_MAX; i++)
        text_printf(&text, "%d,5\n", i);
    ck_assert_ptr_null(
        load_polar(source_new(arena, "long.csv", text.at, text.length), arena, diags));
    text_free(&text);
    text_add(&text, "deg");
    for (int i = 0; i <= POLAR_WINDS_MAX; i++)
        text_printf(&text, ",%d kn", i + 1);
    ck_assert_ptr_null(
        load_polar(source_new(arena, "wide.csv", text.at, text.length), arena, diags));
    text_free(&text);
    ck_assert_uint_eq(diags_errors(diags), 2);
    arena_free(arena);
}
END_TEST

/* Between two points the spline neither leaves them nor turns, wherever they lie; it goes
 * through all of them. */
START_TEST(the_spline_stays_between)
{
    struct spline spline = {.count = 1 + _i % SPLINE_POINTS_MAX};
    unsigned state = (unsigned)_i + 1;
    for (int i = 0; i < spline.count; i++) {
        state = state * 1664525u + 1013904223u;
        spline.x[i] = (i ? spline.x[i - 1] : 0) + 0.01 + (state >> 16) % 1000 / 50.0;
        state = state * 1664525u + 1013904223u;
        spline.y[i] = (state >> 16) % 7 - 3.0;
    }
    spline_bend(&spline);
    for (int i = 0; i < spline.count; i++)
        ck_assert_double_eq_tol(spline_at(&spline, spline.x[i]), spline.y[i], 1e-9);
    for (int i = 0; i + 1 < spline.count; i++) {
        double before = spline.y[i], up = spline.y[i + 1] >= spline.y[i] ? 1 : -1;
        for (int step = 1; step <= 20; step++) {
            double at = spline.x[i] + (spline.x[i + 1] - spline.x[i]) * step / 20;
            double now = spline_at(&spline, fmin(at, spline.x[i + 1]));
            ck_assert_double_ge(up * (now - before), -1e-9);
            before = now;
        }
        ck_assert_double_eq_tol(before, spline.y[i + 1], 1e-9);
    }
}
END_TEST

/* A cubic that rises all the way comes back from any points of it, however few. */
START_TEST(the_spline_of_a_cubic)
{
    for (int count = 4; count <= 12; count++) {
        struct spline spline = {.count = count};
        for (int i = 0; i < count; i++) {
            double x = spline.x[i] = i + 0.1 * (i % 3);
            spline.y[i] = x * x * x / 300 + x;
        }
        spline_bend(&spline);
        for (double x = 0; x <= spline.x[count - 1]; x += 0.01)
            ck_assert_double_eq_tol(spline_at(&spline, x), x * x * x / 300 + x, 1e-9);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("downwind");
    TCase *tests = tcase_create("downwind");
    tcase_add_test(tests, a_speed_and_what_is_beyond);
    tcase_add_test(tests, best_angles);
    tcase_add_loop_test(tests, the_spline_stays_between, 0, 300);
    tcase_add_test(tests, the_spline_of_a_cubic);
    tcase_add_loop_test(tests, both_legs_end_at_the_mark, 0, 12);
    tcase_add_test(tests, a_mile_straight_to_leeward);
    tcase_add_test(tests, no_way_from_nonsense);
    tcase_add_test(tests, read_alike);
    tcase_add_test(tests, too_long_and_too_wide);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
