/* What the checks against published values and against the GNU Scientific Library share.
 * Where GSL is not installed its part is skipped, and says so. */
#ifndef OUTSIDE_OUTSIDE_H
#define OUTSIDE_OUTSIDE_H

#include <check.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#ifndef M_PI
#define M_PI 3.14159265358979323846
#endif

#ifdef HAVE_GSL
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

/* The root of F between LOW and HIGH, by Brent's method of GSL. */
static inline bool outside_root(double (*f)(double, void *), void *payload, double low,
                                double high, double *root)
{
    gsl_function function = {f, payload};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    ck_assert_int_eq(gsl_root_fsolver_set(solver, &function, low, high), GSL_SUCCESS);
    int status = GSL_CONTINUE;
    for (int i = 0; i < 200 && status == GSL_CONTINUE; i++) {
        ck_assert_int_eq(gsl_root_fsolver_iterate(solver), GSL_SUCCESS);
        status = gsl_root_test_interval(gsl_root_fsolver_x_lower(solver),
                                        gsl_root_fsolver_x_upper(solver), 1e-12, 1e-12);
    }
    ck_assert_int_eq(status, GSL_SUCCESS);
    *root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return true;
}
#else
static inline bool outside_root(double (*f)(double, void *), void *payload, double low,
                                double high, double *root)
{
    (void)f, (void)payload, (void)low, (void)high, (void)root;
    puts("skipped: a root by GSL; built without libgsl-dev");
    return false;
}
#endif

static inline int outside_run(TCase *tests)
{
    Suite *suite = suite_create("outside");
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

#endif
