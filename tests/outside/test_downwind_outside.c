/* Downwind angles against certificates of the Offshore Racing Congress, and the curve
 * against that of the GNU Scientific Library.
 *
 * The certificates are data of the machine (shared/data/polars, whose SOURCE.md says
 * where they come from): one printed club certificate of 2011, and eleven records of the
 * list of 2025, here called record 1 to 11.  They are read in place and skipped aloud
 * where they are absent.  The tolerances are those found over all 3198 records of that
 * list. */
#include "outside.h"

#include "forces/curve.h"
#include "forces/downwind.h"
#include "forces/spline.h"

#include <glob.h>
#include <string.h>

#ifdef HAVE_GSL
#include <gsl/gsl_interp.h>
#include <gsl/gsl_linalg.h>
#endif

enum { WINDS_MOST = 9, RECORDS = 11, TABULATED = 8, VALUES_MOST = 32 };

static const double tabulated[TABULATED] = {52, 60, 75, 90, 110, 120, 135, 150};

/* One line of a certificate: a wind. */
struct column {
    double wind, speed[TABULATED], gybe_angle, run;
};

struct record {
    struct column at[WINDS_MOST];
    int count;
};

/* The file that PATTERN stands for. */
static FILE *open_data(const char *pattern)
{
    static const char *const folders[] = {FOREGUY_SOURCE_DIR "/../shared/data/polars",
                                          "/work/shared/data/polars"};
    FILE *file = NULL;
    for (size_t i = 0; i < 2 && !file; i++) {
        char path[500];
        glob_t found;
        snprintf(path, sizeof path, "%s/%s", folders[i], pattern);
        if (glob(path, 0, NULL, &found) == 0)
            file = fopen(found.gl_pathv[0], "r");
        globfree(&found);
    }
    if (!file)
        printf("skipped: %s is not on this machine\n", pattern);
    return file;
}

/* The numbers of a line; what is no number counts as 0. */
static int numbers(char *line, double *out)
{
    int count = 0;
    for (char *at = line; at && count < VALUES_MOST; at = strchr(at, ',')) {
        at += *at == ',';
        out[count++] = strtod(at, NULL);
    }
    return count;
}

static struct column column_of(const double *value)
{
    struct column column = {.wind = value[0], .gybe_angle = value[11], .run = value[12]};
    memcpy(column.speed, value + 3, sizeof column.speed);
    return column;
}

/* The records of the list; false where it is absent.  At 4 knots the list repeats the
 * angles of 6 knots in every record, so that line is left out. */
static bool read_list(struct record records[RECORDS])
{
    FILE *file = open_data("orc2025_sample.csv");
    char line[1000], name[100] = "";
    double value[VALUES_MOST];
    int record = -1;
    if (!file)
        return false;
    ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
    while (fgets(line, sizeof line, file)) {
        size_t length = strcspn(line, ",");
        if (strncmp(name, line, length + 1) != 0) {
            snprintf(name, sizeof name, "%.*s", (int)length + 1, line);
            records[++record].count = 0;
        }
        ck_assert_int_ge(numbers(line, value), 21);
        struct column column = column_of(value + 8);
        if (column.wind > 4)
            records[record].at[records[record].count++] = column;
    }
    fclose(file);
    ck_assert_int_eq(record + 1, RECORDS);
    return true;
}

/* A polar of the tabulated angles, and of the gybe angle where it is WITH_GYBE. */
static void make_polar(const struct column *column, bool with_gybe, struct polar *polar)
{
    *polar = (struct polar){.wind_count = 1};
    polar->wind_m_s[0] = column->wind * WIND_KNOT_M_S;
    double gybe_speed = column->run / cos((180 - column->gybe_angle) * M_PI / 180);
    bool is_in = !with_gybe;
    for (int i = 0; i < TABULATED; i++) {
        if (!is_in && column->gybe_angle < tabulated[i]) {
            polar->angle_deg[polar->angle_count] = column->gybe_angle;
            polar->speed_m_s[0][polar->angle_count++] = gybe_speed * WIND_KNOT_M_S;
            is_in = true;
        }
        is_in |= column->gybe_angle == tabulated[i];
        polar->angle_deg[polar->angle_count] = tabulated[i];
        polar->speed_m_s[0][polar->angle_count++] = column->speed[i] * WIND_KNOT_M_S;
    }
    if (!is_in) {
        polar->angle_deg[polar->angle_count] = column->gybe_angle;
        polar->speed_m_s[0][polar->angle_count++] = gybe_speed * WIND_KNOT_M_S;
    }
}

static struct downwind_best best_down(const struct column *column, bool with_gybe)
{
    struct polar polar;
    struct downwind_best best;
    make_polar(column, with_gybe, &polar);
    ck_assert(downwind_find_best(&polar, column->wind * WIND_KNOT_M_S, &best));
    return best;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

struct errors {
    double angle[RECORDS * WINDS_MOST], made_good[RECORDS * WINDS_MOST];
    int count;
};

static void add_error(const struct column *column, bool with_gybe, struct errors *errors)
{
    struct downwind_best best = best_down(column, with_gybe);
    for (int i = 0; i < TABULATED; i++)
        ck_assert_double_le(-column->speed[i] * cos(tabulated[i] * M_PI / 180),
                            column->run + 0.05);
    if (with_gybe)
        ck_assert_double_ge(best.made_good_m_s / WIND_KNOT_M_S, column->run - 1e-9);
    errors->angle[errors->count] = fabs(best.angle_deg - column->gybe_angle);
    errors->made_good[errors->count++] =
        fabs(best.made_good_m_s / WIND_KNOT_M_S - column->run);
}

static void sort(struct errors *errors)
{
    qsort(errors->angle, (size_t)errors->count, sizeof *errors->angle, by_size);
    qsort(errors->made_good, (size_t)errors->count, sizeof *errors->made_good, by_size);
}

/* With the gybe point put in the speed made good comes back: no tabulated angle beats the
 * certificate's own run by more than 0.05 kn, and what is found between them neither is
 * slower nor beats it by more than 0.164 kn (what a cubic spline kept to in 99 of 100
 * cases of the whole list).  The angle is looser, because the speed is flat there: over
 * the whole list a cubic spline was found within 0.5 degrees (median) and 3.0 (nine of
 * ten), and ours is held to that. */
START_TEST(gybe_angles_with_their_point)
{
    struct record records[RECORDS];
    struct errors errors = {.count = 0};
    if (!read_list(records))
        return;
    for (int r = 0; r < RECORDS; r++)
        for (int c = 0; c < records[r].count; c++)
            add_error(&records[r].at[c], true, &errors);
    ck_assert_int_eq(errors.count, RECORDS * (WINDS_MOST - 1));
    sort(&errors);
    ck_assert_double_le(errors.angle[errors.count / 2], 0.5);
    ck_assert_double_le(errors.angle[errors.count * 9 / 10], 3.0);
    ck_assert_double_le(errors.made_good[errors.count / 2], 0.005);
    ck_assert_double_le(errors.made_good[errors.count - 1], 0.164);
}
END_TEST

/* From the eight tabulated angles alone, where the gybe angle is among them: over the
 * 9712 such columns of the list median 1.2 degrees, nine of ten 3.4, never more than 10.8
 * by a cubic spline, 1.3, 3.9 and 10.9 by a monotone cubic.  The 27 that are here are
 * harder: worked out for comparison, the natural spline has a median of 1.6 on them, the
 * spline without a knot 1.7, the monotone cubic of those figures 1.8, and with nine of
 * ten 4.0.  So the median that is held is theirs, and the rest is the list's. */
START_TEST(gybe_angles_from_the_table_alone)
{
    struct record records[RECORDS];
    struct errors errors = {.count = 0};
    if (!read_list(records))
        return;
    for (int r = 0; r < RECORDS; r++)
        for (int c = 0; c < records[r].count; c++)
            if (records[r].at[c].gybe_angle <= 150)
                add_error(&records[r].at[c], false, &errors);
    ck_assert_int_gt(errors.count, 20);
    sort(&errors);
    ck_assert_double_le(errors.angle[errors.count / 2], 1.8);
    ck_assert_double_le(errors.angle[errors.count * 9 / 10], 4);
    ck_assert_double_le(errors.angle[errors.count - 1], 10.8);
}
END_TEST

/* A whole record as one polar: at each wind, and between two, where the best angles of
 * both bound it. */
START_TEST(between_two_winds)
{
    struct record records[RECORDS];
    if (!read_list(records))
        return;
    for (int r = 0; r < RECORDS; r++)
        for (int c = 0; c + 1 < records[r].count; c++) {
            struct polar low, high, both = {.wind_count = 2};
            make_polar(&records[r].at[c], false, &low);
            make_polar(&records[r].at[c + 1], false, &high);
            both.angle_count = TABULATED;
            memcpy(both.angle_deg, low.angle_deg, sizeof both.angle_deg);
            memcpy(both.speed_m_s[0], low.speed_m_s[0], sizeof both.speed_m_s[0]);
            memcpy(both.speed_m_s[1], high.speed_m_s[0], sizeof both.speed_m_s[1]);
            both.wind_m_s[0] = low.wind_m_s[0];
            both.wind_m_s[1] = high.wind_m_s[0];
            struct downwind_best first, last, best;
            double wind = (low.wind_m_s[0] + high.wind_m_s[0]) / 2;
            ck_assert(downwind_find_best(&both, low.wind_m_s[0], &first));
            ck_assert(downwind_find_best(&both, high.wind_m_s[0], &last));
            ck_assert(downwind_find_best(&both, wind, &best));
            ck_assert_double_eq_tol(best.made_good_m_s,
                                    (first.made_good_m_s + last.made_good_m_s) / 2, 1e-9);
            ck_assert_double_ge(best.angle_deg + 1e-9,
                                fmin(first.angle_deg, last.angle_deg));
            ck_assert_double_le(best.angle_deg - 1e-9,
                                fmax(first.angle_deg, last.angle_deg));
        }
}
END_TEST

/* The printed certificate: its knots and its seconds a mile are one speed to 0.0051 kn in
 * all 70 pairs, and the angle and speed down the wind come back at every wind. */
START_TEST(printed_certificate)
{
    FILE *file = open_data("orc_club_2011_*.csv");
    char line[1000];
    double value[VALUES_MOST];
    int winds = 0;
    if (!file)
        return;
    ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
    for (; fgets(line, sizeof line, file); winds++) {
        ck_assert_int_eq(numbers(line, value), 23);
        struct column column = column_of(value);
        ck_assert_double_eq_tol(column.run, 3600 / value[22], 0.0051);
        ck_assert_double_eq_tol(value[2], 3600 / value[13], 0.0051);
        for (int i = 0; i < TABULATED; i++)
            ck_assert_double_eq_tol(column.speed[i], 3600 / value[14 + i], 0.0051);
        struct downwind_best best = best_down(&column, true);
        ck_assert_double_eq_tol(best.made_good_m_s / WIND_KNOT_M_S, column.run, 0.05);
        ck_assert_double_eq_tol(best.angle_deg, column.gybe_angle, 7.4);
        ck_assert_double_eq_tol(best.through_deg, 2 * (180 - best.angle_deg), 1e-9);
    }
    fclose(file);
    ck_assert_int_eq(winds, 7);
}
END_TEST

#ifdef HAVE_GSL
/* The same method in GSL (gsl_interp_steffen), on tables drawn at random. */
START_TEST(the_curve_of_gsl)
{
    unsigned state = (unsigned)_i + 1;
    double x[12], y[12];
    int count = 3 + _i % 10;
    for (int i = 0; i < count; i++) {
        state = state * 1664525u + 1013904223u;
        x[i] = (i ? x[i - 1] : 0) + 0.1 + (state >> 16) % 1000 / 50.0;
        state = state * 1664525u + 1013904223u;
        y[i] = (state >> 16) % 1000 / 100.0 - 5;
    }
    gsl_interp *curve = gsl_interp_alloc(gsl_interp_steffen, (size_t)count);
    ck_assert_int_eq(gsl_interp_init(curve, x, y, (size_t)count), GSL_SUCCESS);
    for (int i = 0; i <= 400; i++) {
        double at = fmin(x[0] + (x[count - 1] - x[0]) * i / 400, x[count - 1]);
        ck_assert_double_eq_tol(curve_at(x, y, count, at),
                                gsl_interp_eval(curve, x, y, at, NULL), 1e-11);
    }
    gsl_interp_free(curve);
}
END_TEST

/* A table drawn at random that rises all the way, so evenly that a spline through it does
 * too. */
static void draw_rising(unsigned state, struct spline *out)
{
    out->count = 4 + (int)(state % 12);
    for (int i = 0; i < out->count; i++) {
        state = state * 1664525u + 1013904223u;
        double step = 1 + (state >> 16) % 1000 / 2000.0;
        state = state * 1664525u + 1013904223u;
        double rise = step * (1 + (state >> 16) % 1000 / 2000.0);
        out->x[i] = i ? out->x[i - 1] + step : 0;
        out->y[i] = i ? out->y[i - 1] + rise : 0;
    }
}

/* The same spline by its second derivatives, its equations solved by GSL. */
static void solve_by_gsl(const struct spline *spline, gsl_vector *bends)
{
    size_t count = (size_t)spline->count;
    const double *x = spline->x, *y = spline->y;
    gsl_matrix *left = gsl_matrix_calloc(count, count);
    gsl_vector *right = gsl_vector_calloc(count);
    gsl_permutation *order = gsl_permutation_alloc(count);
    int sign;
    for (size_t i = 1; i + 1 < count; i++) {
        double h = x[i] - x[i - 1], g = x[i + 1] - x[i];
        gsl_matrix_set(left, i, i - 1, h);
        gsl_matrix_set(left, i, i, 2 * (h + g));
        gsl_matrix_set(left, i, i + 1, g);
        gsl_vector_set(right, i, 6 * ((y[i + 1] - y[i]) / g - (y[i] - y[i - 1]) / h));
    }
    for (size_t end = 0; end < 2; end++) { /* the third derivative does not jump */
        size_t row = end ? count - 1 : 0, k = end ? count - 2 : 1;
        double h = x[k] - x[k - 1], g = x[k + 1] - x[k];
        gsl_matrix_set(left, row, k - 1, g);
        gsl_matrix_set(left, row, k, -(h + g));
        gsl_matrix_set(left, row, k + 1, h);
    }
    ck_assert_int_eq(gsl_linalg_LU_decomp(left, order, &sign), GSL_SUCCESS);
    ck_assert_int_eq(gsl_linalg_LU_solve(left, order, right, bends), GSL_SUCCESS);
    gsl_permutation_free(order);
    gsl_vector_free(right);
    gsl_matrix_free(left);
}

/* Where nothing has to be held down the slopes are those of the plain spline; elsewhere
 * they are those, brought into what keeps the curve monotone. */
START_TEST(the_spline_by_gsl)
{
    struct spline spline;
    draw_rising((unsigned)_i * 7919u + 5, &spline);
    spline_bend(&spline);
    gsl_vector *bends = gsl_vector_alloc((size_t)spline.count);
    solve_by_gsl(&spline, bends);
    for (int i = 0; i < spline.count; i++) {
        int piece = i + 1 < spline.count ? i : i - 1;
        double h = spline.x[piece + 1] - spline.x[piece];
        double rise = (spline.y[piece + 1] - spline.y[piece]) / h;
        double first = gsl_vector_get(bends, (size_t)piece);
        double last = gsl_vector_get(bends, (size_t)piece + 1);
        double plain = piece == i ? rise - h * (2 * first + last) / 6
                                  : rise + h * (first + 2 * last) / 6;
        double least = rise;
        if (i && piece == i)
            least = fmin(rise, (spline.y[i] - spline.y[i - 1]) /
                                   (spline.x[i] - spline.x[i - 1]));
        ck_assert_double_eq_tol(spline.slope[i], fmax(0, fmin(plain, 3 * least)), 1e-9);
    }
    gsl_vector_free(bends);
}
END_TEST

struct made_good {
    const struct polar *polar;
    double wind_m_s;
};

/* How the speed made good changes with the angle; 0 at the best one. */
static double slope(double angle, void *payload)
{
    const struct made_good *m = payload;
    double before, after, step = 1e-5;
    ck_assert(downwind_speed(m->polar, m->wind_m_s, angle - step, &before) &&
              downwind_speed(m->polar, m->wind_m_s, angle + step, &after));
    return (-after * cos((angle + step) * M_PI / 180) +
            before * cos((angle - step) * M_PI / 180)) /
           (2 * step);
}

/* Where the best angle lies within the table, it is a root of that slope. */
START_TEST(the_best_angle_is_a_root)
{
    struct record records[RECORDS];
    int held = 0;
    if (!read_list(records))
        return;
    for (int r = 0; r < RECORDS; r++)
        for (int c = 0; c < records[r].count; c++) {
            struct polar polar;
            make_polar(&records[r].at[c], true, &polar);
            double angle = best_down(&records[r].at[c], true).angle_deg, root;
            struct made_good m = {&polar, polar.wind_m_s[0]};
            bool is_within = angle + 0.02 < polar.angle_deg[polar.angle_count - 1] &&
                             slope(angle - 0.01, &m) > 0 && slope(angle + 0.01, &m) < 0;
            if (is_within) {
                ck_assert(outside_root(slope, &m, angle - 0.01, angle + 0.01, &root));
                ck_assert_double_eq_tol(angle, root, 1e-3);
                held++;
            }
        }
    ck_assert_int_gt(held, 20);
}
END_TEST
#endif

int main(void)
{
    TCase *tests = tcase_create("downwind outside");
    tcase_add_test(tests, gybe_angles_with_their_point);
    tcase_add_test(tests, gybe_angles_from_the_table_alone);
    tcase_add_test(tests, between_two_winds);
    tcase_add_test(tests, printed_certificate);
#ifdef HAVE_GSL
    tcase_add_loop_test(tests, the_curve_of_gsl, 0, 200);
    tcase_add_loop_test(tests, the_spline_by_gsl, 0, 200);
    tcase_add_test(tests, the_best_angle_is_a_root);
#else
    puts("skipped: the curve against GSL; built without libgsl-dev");
#endif
    return outside_run(tests);
}
