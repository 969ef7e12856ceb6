/* Air: density and dynamic pressure against published tables and worked examples. */
#include "outside.h"

#include "forces/air.h"

static const double pascal_psf = 47.880259; /* a pound-force a square foot */
static const double mph_m_s = 0.44704;

static double density_of(double celsius, double vapour_pa)
{
    struct air air = {celsius, 101325, vapour_pa};
    double density = 0;
    ck_assert(air_density(&air, &density));
    return density;
}

static double pressure_psf(double mph)
{
    double pascal = 0;
    /* 0.0765 lb/ft3, the density the ASCE's constant is made from */
    ck_assert(air_dynamic_pressure_pa(0.0765 * 0.45359237 / pow(0.3048, 3), mph * mph_m_s,
                                      &pascal));
    return pascal / pascal_psf;
}

/* The standard atmosphere: 1.225 kg/m3 at 15 degrees, 101 325 Pa, dry, R = 287.05
 * (airgunguild.com, worked example: 1.2250). */
START_TEST(standard_atmosphere)
{
    struct air air = air_standard();
    double density;
    ck_assert(air_density(&air, &density));
    ck_assert_double_eq_tol(density, 1.2250, 0.00005);
}
END_TEST

/* A table of moist air at 760 mmHg and a dew point of 10 degrees (constructionwork.com,
 * of the kind in chemistry handbooks).  A trap: the formula printed under it takes the
 * whole vapour pressure off and does not give the table; 0.3783 of it does, and that is
 * what a mixture of two ideal gases comes to. */
static const struct {
    double celsius, kg_m3;
} moist[] = {{0, 1.287}, {10, 1.241}, {20, 1.199}, {40, 1.122}, {60, 1.055}};

START_TEST(moist_air_table)
{
    double vapour_pa = 0;
    ck_assert(air_vapour_pa(10, 1, &vapour_pa));
    ck_assert_double_eq_tol(vapour_pa / 133.322, 9.2, 0.05); /* mmHg, as printed there */
    double density = density_of(moist[_i].celsius, vapour_pa);
    ck_assert_double_eq_tol(density, moist[_i].kg_m3, 0.001);
    double printed = 1.2929 * (273.13 / (moist[_i].celsius + 273.13)) * (760 - 9.2) / 760;
    ck_assert_double_gt(fabs(printed - moist[_i].kg_m3), 0.005);
}
END_TEST

/* Saturation after Magnus, 6.112 exp(17.62 t / (t + 243.12)) hPa, as on a humid-air
 * calculator's page; a share of it is that share of the pressure. */
START_TEST(saturation)
{
    for (double celsius = -20; celsius <= 50; celsius += 2.5)
        for (double humidity = 0; humidity <= 1; humidity += 0.25) {
            double vapour_pa = -1;
            double hpa = 6.112 * exp(17.62 * celsius / (celsius + 243.12));
            ck_assert(air_vapour_pa(celsius, humidity, &vapour_pa));
            ck_assert_double_eq_tol(vapour_pa, humidity * hpa * 100, 1e-6);
        }
}
END_TEST

/* Dry air by temperature: an engineering table as carried by an open velocity prediction
 * (ydeos_aerodynamics, air.py), with "air at 0 C is 13 % denser than at 35 C". */
START_TEST(dry_air_table)
{
    ck_assert_double_eq_tol(density_of(0, 0), 1.293, 0.0015);
    ck_assert_double_eq_tol(density_of(20, 0), 1.205, 0.0015);
    ck_assert_double_eq_tol(density_of(40, 0), 1.127, 0.0015);
    ck_assert_double_eq_tol(density_of(0, 0) / density_of(35, 0), 1.13, 0.005);
}
END_TEST

/* More humidity, less dense air (a note after Kay & Laby). */
START_TEST(humidity_makes_air_light)
{
    for (int celsius = -10; celsius <= 40; celsius += 5) {
        double last = 10;
        for (int percent = 0; percent <= 100; percent += 10) {
            double vapour_pa = 0;
            ck_assert(air_vapour_pa(celsius, percent / 100.0, &vapour_pa));
            double density = density_of(celsius, vapour_pa);
            ck_assert_double_lt(density, last);
            last = density;
        }
    }
}
END_TEST

/* 0.00256 psf a square mph: ASCE 7-10, C27.3.2.  Worked on: 0.064 psf at 5 mph, 0.256 at
 * 10, 32 lb and 128 lb on 500 square feet (riggingdoctor.com, 2015); Kz 0.90, Kd 0.85,
 * 100 mph: 19.58 psf (worked example after ASCE 7-05). */
START_TEST(wind_pressure)
{
    ck_assert_double_eq_tol(pressure_psf(1), 0.00256, 0.000005);
    ck_assert_double_eq_tol(pressure_psf(5), 0.064, 0.0005);
    ck_assert_double_eq_tol(pressure_psf(10), 0.256, 0.0005);
    ck_assert_double_eq_tol(500 * pressure_psf(5), 32, 0.1);
    ck_assert_double_eq_tol(500 * pressure_psf(10), 128, 0.2);
    ck_assert_double_eq_tol(0.90 * 0.85 * pressure_psf(100), 19.58, 0.03);
}
END_TEST

/* A gust 40 % stronger about doubles the load: 1.96 (DEC Notes, a sailing topic). */
START_TEST(gust_doubles)
{
    double before = 0, after = 0;
    ck_assert(air_dynamic_pressure_pa(1.225, 10, &before));
    ck_assert(air_dynamic_pressure_pa(1.225, 14, &after));
    ck_assert_double_eq_tol(after / before, 1.96, 1e-12);
}
END_TEST

START_TEST(nonsense_is_refused)
{
    static const double wrong[] = {NAN, INFINITY, -INFINITY, -1e9, 1e9};
    double out = 42;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        ck_assert(!air_density(&(struct air){wrong[i], 101325, 0}, &out));
        ck_assert(!air_density(&(struct air){15, wrong[i], 0}, &out));
        ck_assert(!air_density(&(struct air){15, 101325, wrong[i]}, &out));
        ck_assert(!air_vapour_pa(wrong[i], 0.5, &out));
        ck_assert(!air_vapour_pa(15, wrong[i], &out));
        ck_assert(!air_dynamic_pressure_pa(wrong[i], 10, &out));
        ck_assert(!air_dynamic_pressure_pa(1.225, wrong[i], &out));
    }
    ck_assert_double_eq(out, 42);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("air outside");
    tcase_add_test(tests, standard_atmosphere);
    tcase_add_loop_test(tests, moist_air_table, 0, sizeof moist / sizeof *moist);
    tcase_add_test(tests, saturation);
    tcase_add_test(tests, dry_air_table);
    tcase_add_test(tests, humidity_makes_air_light);
    tcase_add_test(tests, wind_pressure);
    tcase_add_test(tests, gust_doubles);
    tcase_add_test(tests, nonsense_is_refused);
    return outside_run(tests);
}
