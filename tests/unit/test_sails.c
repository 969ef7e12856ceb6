/* The inventory held against the wind: each reason a sail is refused, and which is taken;
 * which procedures suit the hands. */
#include "load_world.h"

#include "forces/methods.h"
#include "forces/sails.h"

#include <math.h>

static struct sail sail_of(const char *code)
{
    return (struct sail){.name = "a sail",
                         .code = code,
                         .area_m2 = 80,
                         .wind_most_kn = 80,
                         .angle_most_deg = 180,
                         .apparent_most_kn = 80,
                         .apparent_most_deg = 180};
}

/* True and apparent wind, knots and degrees. */
static struct sail_weather weather_of(double true_kn, double angle, double apparent_kn,
                                      double apparent_angle)
{
    return (struct sail_weather){{true_kn * WIND_KNOT_M_S, angle},
                                 {apparent_kn * WIND_KNOT_M_S, apparent_angle},
                                 0};
}

static unsigned reasons_of(struct sail sail, struct sail_weather weather, bool *fits)
{
    struct sail_verdict verdict;
    unsigned found = 0;
    ck_assert(sail_judge(&sail, &weather, &verdict));
    for (int i = 0; i < verdict.reason_count; i++)
        found |= 1u << verdict.reasons[i].kind;
    *fits = verdict.fits;
    return found;
}

static void refused(struct sail sail, struct sail_weather weather,
                    enum sail_reason_kind reason)
{
    bool fits;
    ck_assert_uint_eq(reasons_of(sail, weather, &fits), 1u << reason);
    ck_assert(fits == (reason >= REASON_CAUTIONS));
}

START_TEST(every_reason)
{
    struct sail sail = sail_of("");
    sail.wind_least_kn = 5;
    sail.wind_most_kn = 18;
    sail.angle_least_deg = 130;
    sail.angle_most_deg = 170;
    sail.apparent_least_kn = 3;
    sail.apparent_most_kn = 20;
    sail.apparent_least_deg = 100;
    sail.apparent_most_deg = 165;
    bool fits;
    ck_assert_uint_eq(reasons_of(sail, weather_of(12, -150, 8, -130), &fits), 0);
    ck_assert(fits);
    refused(sail, weather_of(4.9, 150, 4, 130), REASON_TRUE_LIGHT);
    refused(sail, weather_of(18.1, 150, 12, 130), REASON_TRUE_STRONG);
    refused(sail, weather_of(12, 129, 8, 110), REASON_TRUE_HIGH);
    refused(sail, weather_of(12, -171, 6, -160), REASON_TRUE_DEEP);
    refused(sail, weather_of(6, 150, 2.9, 130), REASON_APPARENT_LIGHT);
    refused(sail, weather_of(17, 135, 20.1, 110), REASON_APPARENT_STRONG);
    refused(sail, weather_of(12, 135, 12, 99), REASON_APPARENT_HIGH);
    refused(sail, weather_of(12, 169, 6, 166), REASON_APPARENT_DEEP);
    struct sail_weather gusts = weather_of(14, 150, 9, 130);
    gusts.gust_m_s = 19 * WIND_KNOT_M_S;
    refused(sail, gusts, REASON_GUST);
    sail.cloth = CLOTH_HALF;
    refused(sail, weather_of(12, 150, 11, 130), REASON_CLOTH_NEAR);
    refused(sail, weather_of(14, 150, 9, 130), REASON_CLOTH_STOPPED);
    ck_assert_uint_eq(reasons_of(sail, weather_of(17, 150, 13, 130), &fits),
                      1u << REASON_CLOTH);
    ck_assert(!fits);
}
END_TEST

/* A file that says nothing of a range leaves it to the code. */
START_TEST(codes)
{
    ck_assert_int_eq(sail_code_number("S2"), 2);
    ck_assert_int_eq(sail_code_number("A3"), 3);
    ck_assert_int_eq(sail_code_number("code 0"), 0);
    ck_assert_int_eq(sail_code_number("S7"), -1);
    ck_assert_int_eq(sail_code_number("S12"), -1);
    ck_assert_int_eq(sail_code_number("runner"), -1);
    ck_assert_int_eq(sail_code_number(""), -1);
    refused(sail_of("S2"), weather_of(17, 150, 11, 130), REASON_TRUE_STRONG);
    refused(sail_of("S2"), weather_of(12, 100, 14, 70), REASON_APPARENT_HIGH);
    refused(sail_of("A3"), weather_of(15, 150, 9, 120), REASON_APPARENT_DEEP);
    refused(sail_of("0"), weather_of(17, 60, 17, 50), REASON_APPARENT_STRONG);
    refused(sail_of("S6"), weather_of(27, 150, 20, 140), REASON_TRUE_LIGHT);
    struct sail_weather weather = weather_of(17, 150, 11, 130);
    struct sail_verdict verdict;
    struct sail own = sail_of("S2");
    ck_assert(sail_judge(&own, &weather, &verdict) && verdict.by_code);
    own.wind_most_kn = 20; /* the wind is the file's own, the angle the code's */
    ck_assert(sail_judge(&own, &weather, &verdict) && verdict.by_code && verdict.fits);
    own.angle_least_deg = 100;
    ck_assert(sail_judge(&own, &weather, &verdict) && !verdict.by_code && verdict.fits);
    struct sail none = sail_of("big one");
    ck_assert(sail_judge(&none, &weather, &verdict) && !verdict.by_code && verdict.fits);
}
END_TEST

START_TEST(the_largest_that_fits)
{
    struct sail sails[4];
    struct sail_verdict verdicts[4];
    static const double areas[] = {60, 95, 90, 70};
    for (int i = 0; i < 4; i++) {
        sails[i] = sail_of("");
        sails[i].area_m2 = areas[i];
        verdicts[i] = (struct sail_verdict){.sail = &sails[i], .fits = true};
    }
    ck_assert_int_eq(sail_choose(verdicts, 4), 1);
    verdicts[1].reason_count = 1; /* a caution: another is taken */
    ck_assert_int_eq(sail_choose(verdicts, 4), 2);
    verdicts[0].fits = verdicts[2].fits = verdicts[3].fits = false;
    ck_assert_int_eq(sail_choose(verdicts, 4), 1);
    verdicts[1].fits = false;
    ck_assert_int_eq(sail_choose(verdicts, 4), -1);
    ck_assert_int_eq(sail_choose(verdicts, 0), -1);
}
END_TEST

START_TEST(no_verdict_on_no_wind)
{
    static const double wrong[] = {NAN, INFINITY, -1, 1e7};
    struct sail sail = sail_of("S2");
    for (int i = 0; i < 4; i++)
        for (int field = 0; field < 5; field++) {
            struct sail_weather weather = weather_of(12, 150, 8, 130);
            double *fields[] = {&weather.true_wind.speed_m_s, &weather.apparent.speed_m_s,
                                &weather.gust_m_s, &weather.true_wind.angle_deg,
                                &weather.apparent.angle_deg};
            struct sail_verdict verdict = {.reason_count = 7};
            if (field >= 3 && wrong[i] == -1)
                continue; /* port is as good as starboard */
            *fields[field] = wrong[i];
            ck_assert(!sail_judge(&sail, &weather, &verdict));
            ck_assert_int_eq(verdict.reason_count, 7);
        }
}
END_TEST

/* The boat file's own keys end up where they are read. */
START_TEST(read_from_the_boat_file)
{
    static const char text[] =
        "format: 1\nboat: A boat\nlength: 9 m\nsails:\n"
        "  - {sail: one, kind: code, area: 40 m2, cloth: 1.5 oz, apparent-wind: [1 kn, "
        "16 "
        "kn], apparent-angle: [38 deg, 80 deg], LP: 7 m, HHW: 4 m}\n"
        "  - {sail: two, kind: jib, SLU: 12 m, SLE: 11 m, SFL: 6 m, SHW: 3.1 m}\n";
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct boat *boat =
        load_boat(source_new(arena, "boat.yaml", text, sizeof text - 1), arena, diags);
    ck_assert(boat && !diags_count(diags) && !boat->pole_said);
    const struct sail *one = &boat->sails[0], *two = &boat->sails[1];
    ck_assert_int_eq(one->cloth, CLOTH_ONE_AND_A_HALF);
    ck_assert(one->apparent_least_kn == 1 && one->apparent_most_kn == 16);
    ck_assert(one->apparent_least_deg == 38 && one->apparent_most_deg == 80);
    ck_assert_int_eq(sail_measured(one), MEASURED_HEADSAIL);
    ck_assert(two->cloth == CLOTH_NOT_SAID && two->apparent_most_deg == 180);
    ck_assert_double_eq_tol(sail_area_m2(two), 11.5 * (6 + 4 * 3.1) / 6, 1e-12);
    arena_free(arena);
}
END_TEST

START_TEST(methods)
{
    struct rig_plan plan = {.name = "code-zero"};
    struct procedure procedure = {.plan = &plan,
                                  .hands_least = 4,
                                  .caution_kn = 15,
                                  .stop_kn = 20,
                                  .pole = POLE_DIP};
    struct sail sails[] = {sail_of("0"), sail_of("S2")};
    sails[0].kind = SAIL_CODE;
    struct boat boat = {.sails = sails, .sail_count = 2};
    struct method_today today = {&boat, 4, false, 12};
    ck_assert_uint_eq(method_against(&procedure, &today), 0);
    today.hands = 3;
    boat.pole_said = true;
    boat.pole = POLE_END_FOR_END;
    procedure.pilot_needed = true;
    today.wind_kn = 20.1;
    ck_assert_uint_eq(method_against(&procedure, &today),
                      METHOD_FEW_HANDS | METHOD_POLE | METHOD_PILOT | METHOD_WIND);
    today = (struct method_today){&boat, 9, true, 20};
    boat.pole = POLE_DIP;
    ck_assert_uint_eq(method_against(&procedure, &today), METHOD_CAUTION);
    procedure.caution_kn = procedure.stop_kn = 0;
    ck_assert_uint_eq(method_against(&procedure, &today), 0);
    ck_assert(method_is_rigged(&procedure, &boat));
    plan.name = "asymmetric";
    ck_assert(!method_is_rigged(&procedure, &boat));
    plan.name = "symmetric";
    ck_assert(method_is_rigged(&procedure, &boat));
    boat.sail_count = 0;
    plan.name = "hull-chute";
    ck_assert(method_is_rigged(&procedure, &boat));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sails");
    TCase *tests = tcase_create("sails");
    tcase_add_test(tests, every_reason);
    tcase_add_test(tests, codes);
    tcase_add_test(tests, the_largest_that_fits);
    tcase_add_test(tests, no_verdict_on_no_wind);
    tcase_add_test(tests, read_from_the_boat_file);
    tcase_add_test(tests, methods);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
