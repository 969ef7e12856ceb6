/* What figures are told in: each system's figures and names, and the way back. */
#include "base/units.h"

#include "base/quantity.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>

START_TEST(named)
{
    enum units units = UNITS_US;
    ck_assert(units_read("metric", &units) && units == UNITS_METRIC);
    ck_assert(units_read("us", &units) && units == UNITS_US);
    static const char *const wrong[] = {"", "US", "imperial", "metric "};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        ck_assert(!units_read(wrong[i], &units) && units == UNITS_US);
}
END_TEST

/* NIST Special Publication 811 (2008), appendix B: 1 ft = 0.3048 m, 1 ft2 = 0.09290304
 * m2, 1 lbf = 4.448222 N; from memory. */
START_TEST(figures)
{
    ck_assert_double_eq_tol(units_length(UNITS_US, 0.3048), 1, 1e-12);
    ck_assert_double_eq_tol(units_area(UNITS_US, 0.09290304), 1, 1e-12);
    ck_assert_double_eq_tol(units_force(UNITS_US, 4.448222), 1, 1e-6);
    ck_assert_double_eq(units_length(UNITS_METRIC, 7), 7);
    ck_assert_double_eq(units_area(UNITS_METRIC, 7), 7);
    ck_assert_double_eq(units_force(UNITS_METRIC, 7), 7);
}
END_TEST

/* What is told in a unit is read in it as the same. */
START_TEST(told_and_read)
{
    for (int units = UNITS_METRIC; units <= UNITS_US; units++) {
        char word[40];
        double back;
        snprintf(word, sizeof word, "%.6f%s", units_length((enum units)units, 123.4),
                 units_length_name((enum units)units));
        ck_assert(quantity_read(word, QUANTITY_LENGTH, &back));
        ck_assert_double_eq_tol(back, 123.4, 1e-5);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("units");
    TCase *tests = tcase_create("units");
    tcase_add_test(tests, named);
    tcase_add_test(tests, figures);
    tcase_add_test(tests, told_and_read);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
