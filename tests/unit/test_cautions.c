/* The usual cautions: each begins at its threshold and not before. */
#include "forces/cautions.h"

#include <check.h>
#include <string.h>

static int count_of(double true_kn, double angle, double boat_kn, double gust,
                    const char *reason)
{
    const struct caution *found[CAUTIONS_MAX];
    struct wind wind = {true_kn * WIND_KNOT_M_S, angle};
    struct outlook outlook;
    int count = 0;
    ck_assert(
        wind_outlook(wind, (struct way){boat_kn * WIND_KNOT_M_S, 0}, gust, &outlook));
    for (int i = cautions_find(wind, &outlook, found); i-- > 0;) {
        count += strstr(found[i]->reason, reason) != NULL;
        ck_assert(found[i]->signal >= SIGNAL_CAUTION && *found[i]->act);
    }
    return count;
}

/* Just past each threshold, and just before it. */
static const struct {
    const char *reason;
    double past[4], before[4]; /* true wind, angle, boat speed, gust factor */
} edges[] = {
    {"she rolls", {15.1, 165.1, 6, 1}, {14.9, 165.1, 6, 1}},
    {"she rolls", {15.1, -165.1, 6, 1}, {15.1, -164.9, 6, 1}},
    {"by the lee", {6, 170.1, 3, 1}, {6, 169.9, 3, 1}},
    {"a broach", {18, 120, 7, 1}, {16, 120, 7, 1}},
    {"a broach", {18, 120, 7, 1}, {18, 160, 7, 1}},
    {"stops surfing", {20, 180, 11, 1}, {20, 180, 8, 1}},
    {"gust doubles", {12, 90, 0, 1.45}, {12, 90, 0, 1.4}},
    {"White crests", {17.1, 150, 7, 1}, {16.9, 150, 7, 1}},
};

START_TEST(each_at_its_threshold)
{
    const double *past = edges[_i].past, *before = edges[_i].before;
    ck_assert_int_eq(count_of(past[0], past[1], past[2], past[3], edges[_i].reason), 1);
    ck_assert_int_eq(
        count_of(before[0], before[1], before[2], before[3], edges[_i].reason), 0);
}
END_TEST

START_TEST(none_in_an_easy_wind)
{
    ck_assert_int_eq(count_of(9, 150, 5, 1, ""), 0);
    ck_assert_int_eq(count_of(0, 0, 0, 1, ""), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cautions");
    TCase *tests = tcase_create("cautions");
    tcase_add_loop_test(tests, each_at_its_threshold, 0, sizeof edges / sizeof *edges);
    tcase_add_test(tests, none_in_an_easy_wind);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
