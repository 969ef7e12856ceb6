/* The pole as a strut: concurrent forces against textbook problems, the dip against a
 * root found by the GNU Scientific Library, and what must hold for every pole. */
#include "outside.h"

#include "forces/loads.h"
#include "forces/pole.h"

static const double radian = M_PI / 180;

static struct vector flat(double angle_deg)
{
    return (struct vector){cos(angle_deg * radian), 0, sin(angle_deg * radian)};
}

/* Two members in a plane; the third, square to it, carries nothing. */
static void hold_flat(struct vector load, double first_deg, double second_deg,
                      double out[2])
{
    const struct vector along[3] = {flat(first_deg), flat(second_deg), {0, 1, 0}};
    double pulls[3];
    ck_assert(vector_balance(load, along, pulls));
    ck_assert_double_eq_tol(pulls[2], 0, 1e-9);
    out[0] = pulls[0];
    out[1] = pulls[1];
}

/* Beer & Johnston, Vector Mechanics: Statics, problem 2.45: 400 lb, the sides of the
 * force triangle opposite 95, 25 and 60 degrees: boom 169.7 lb, cable 348 lb.
 * Problem 2.44: 5 kN, 60, 115 and 5 degrees: 5.23 kN and 0.503 kN.  Head to tail the
 * sides turn by what is left to 180. */
START_TEST(two_members)
{
    double pulls[2];
    hold_flat(vector_times(flat(0), 400), 120, 205, pulls);
    ck_assert_double_eq_tol(pulls[0], 169.7, 0.05);
    ck_assert_double_eq_tol(pulls[1], 347.73, 0.005);
    hold_flat(vector_times(flat(0), 5), 175, 295, pulls);
    ck_assert_double_eq_tol(pulls[0], 5.23, 0.005);
    ck_assert_double_eq_tol(pulls[1], 0.503, 0.0005);
}
END_TEST

/* A derrick boom guyed by two cables, from a statics text whose answers were quoted in
 * public (physicsforums 256828): boom AB 1742 N in compression, AC 1517 N, AD 403 N.  A
 * block of 20 kg hangs on a rope that runs over a pulley at A to E.  The quotation has
 * D's last coordinate with the other sign, which does not give the book's answers. */
START_TEST(boom_with_two_guys)
{
    struct vector a = {0, 0, 6}, e = {6, 0, 1.5};
    double weight = 20 * 9.81;
    struct vector load = vector_add((struct vector){0, 0, -weight},
                                    vector_times(vector_toward(a, e), weight));
    const struct vector along[3] = {vector_toward(a, (struct vector){-6, -3, 0}),
                                    vector_toward(a, (struct vector){-10.5, -8, 0}),
                                    vector_toward(a, (struct vector){-6, 7, 0})};
    double pulls[3];
    ck_assert(vector_balance(load, along, pulls));
    ck_assert_double_eq_tol(-pulls[0], 1742, 0.5);
    ck_assert_double_eq_tol(pulls[1], 1517, 0.5);
    ck_assert_double_eq_tol(pulls[2], 403, 0.5);
    struct vector sum = load;
    for (int i = 0; i < 3; i++)
        sum = vector_add(sum, vector_times(along[i], pulls[i]));
    ck_assert_double_lt(vector_length(sum), 1e-9);
}
END_TEST

/* A boom of 12 m at 30 degrees, 1 kN at its middle and 2.5 kN at its tip, a cable at 15
 * degrees to it: 10.0382 kN (expertsmind 30118576; its pin reaction looks wrong and is
 * not used).  Serway, P12.43: a level beam of 6 m and 200 N, 80 N at its tip, 700 N at 1
 * m, a wire at 60 degrees: 343 N.  What lies on the boom counts at the tip by its share
 * of the length. */
START_TEST(loads_along_the_boom)
{
    double pulls[2];
    hold_flat((struct vector){0, 0, -(1 * 6.0 / 12 + 2.5)}, 30, 195, pulls);
    ck_assert_double_eq_tol(pulls[1], 10.0382, 0.00005);
    hold_flat((struct vector){0, 0, -(200 * 0.5 + 80 + 700 * 1.0 / 6)}, 0, 120, pulls);
    ck_assert_double_eq_tol(pulls[1], 343, 0.5);
}
END_TEST

/* Whisker poles (A. Berens, DEC Notes): 271 inches carry about 35 % of what 161 do; at 15
 * feet a 3.0 inch tube about 73 % of a 3.5 inch one; 2 inches 64 % of 2.5. */
START_TEST(pole_as_a_column)
{
    ck_assert_double_eq_tol(pole_column_share(271, 3, 161, 3), 0.35, 0.005);
    ck_assert_double_eq_tol(pole_column_share(180, 3, 180, 3.5), 0.73, 0.006);
    ck_assert_double_eq_tol(pole_column_share(180, 2, 180, 2.5), 0.64, 0.0005);
    ck_assert_double_lt(pole_column_share(0, 2, 180, 2.5), 0);
    ck_assert_double_lt(pole_column_share(NAN, 2, 180, 2.5), 0);
}
END_TEST

static struct pole_rig invented(void)
{
    static const struct boat boat = {.length_m = 10.6,
                                     .i_m = 14.6,
                                     .j_m = 4.1,
                                     .spl_m = 4.2,
                                     .pole = POLE_DIP,
                                     .mast_end_least_m = 0.9,
                                     .mast_end_most_m = 3.0};
    struct pole_rig rig = {0};
    ck_assert(pole_rig_of_boat(&boat, &rig));
    return rig;
}

/* Square to the wind aft of 120, 75 degrees to it at 90 (common practice); never past the
 * stops. */
START_TEST(pole_to_the_wind)
{
    struct pole_rig rig = invented();
    struct pole_angle angle;
    double last = 0;
    for (double wind = 0; wind <= 180; wind += 0.5) {
        ck_assert(pole_angle(&rig, wind, &angle));
        ck_assert_double_ge(angle.deg, angle.forward_stop_deg);
        ck_assert_double_le(angle.deg, angle.aft_stop_deg);
        ck_assert_double_ge(angle.deg, last);
        last = angle.deg;
    }
    ck_assert(pole_angle(&rig, 90, &angle));
    ck_assert_double_eq(90 - angle.wanted_deg, 75);
    ck_assert(pole_angle(&rig, 140, &angle));
    ck_assert_double_eq(140 - angle.wanted_deg, 90);
    ck_assert_double_eq_tol(rig.length_m * sin(angle.forward_stop_deg * radian), 0.2,
                            1e-12);
}
END_TEST

/* How far aft of the stay, less the gap, the end passes at the height of the pulpit when
 * the inboard end is HEIGHT up. */
static double clearance(double height, void *payload)
{
    const struct pole_rig *rig = payload;
    double up = height - rig->pulpit_m;
    double stay = rig->j_m * (rig->i_m - rig->pulpit_m) / rig->i_m;
    return stay - rig->gap_m - sqrt(rig->length_m * rig->length_m - up * up);
}

START_TEST(dip_by_root)
{
    struct pole_rig rig = invented();
    struct pole_dip dip;
    double root = 0;
    ck_assert(pole_dip(&rig, &dip));
    ck_assert(dip.passes);
    if (outside_root(clearance, &rig, rig.pulpit_m, rig.pulpit_m + rig.length_m, &root))
        ck_assert_double_eq_tol(dip.inboard_m, root, 1e-9);
    rig.most_m = dip.inboard_m - 0.01;
    ck_assert(pole_dip(&rig, &dip));
    ck_assert(!dip.passes);
    rig.length_m = 3; /* reaches neither stay nor pulpit: it need not be raised */
    ck_assert(pole_dip(&rig, &dip));
    ck_assert(dip.passes);
    ck_assert_double_eq(dip.inboard_m, rig.least_m);
}
END_TEST

/* The end stays where it is: pull of the tack, guy, pole, lift and foreguy add up to
 * nothing; and the same on the other board. */
START_TEST(pole_end_in_balance)
{
    struct pole_rig rig = invented();
    int held = 0;
    for (double wind = 80; wind <= 175; wind += 2.5) {
        struct sail_wind air = {8, wind, air_standard()};
        struct sail_force force;
        struct vector pulls[CORNER_COUNT];
        struct pole_angle angle;
        struct pole_hold hold;
        ck_assert(sail_force(FLOWN_SYMMETRIC, 92, &air, &force));
        sail_corners(&force, pulls);
        ck_assert(pole_angle(&rig, wind, &angle));
        if (!pole_hold(&rig, angle.deg, pulls[CORNER_TACK], &hold))
            continue;
        struct vector end = {rig.length_m * cos(angle.deg * radian),
                             rig.length_m * sin(angle.deg * radian), rig.sailing_m};
        struct vector sum = pulls[CORNER_TACK];
        sum = vector_add(sum, vector_times(vector_toward(end, rig.guy_lead), hold.guy_n));
        sum = vector_add(
            sum, vector_times(vector_toward((struct vector){0, 0, rig.sailing_m}, end),
                              hold.compression_n));
        sum = vector_add(sum,
                         vector_times(vector_toward(end, rig.lift_sheave), hold.lift_n));
        sum = vector_add(
            sum, vector_times(vector_toward(end, rig.foreguy_lead), hold.foreguy_n));
        ck_assert_double_lt(vector_length(sum), 1e-6);
        held++;
    }
    ck_assert_int_gt(held, 30);
}
END_TEST

/* The nearer the pole is to the forestay, the harder guy and pole are loaded for the same
 * pull of the sail. */
START_TEST(grows_near_the_forestay)
{
    struct pole_rig rig = invented();
    double last_guy = 0, last_pole = 0;
    for (double wind = 150; wind >= 80; wind -= 5) {
        struct sail_wind air = {8, wind, air_standard()};
        struct sail_force force;
        struct vector pulls[CORNER_COUNT];
        struct pole_angle angle;
        struct pole_hold hold;
        ck_assert(sail_force(FLOWN_SYMMETRIC, 92, &air, &force));
        sail_corners(&force, pulls);
        ck_assert(pole_angle(&rig, wind, &angle));
        ck_assert(pole_hold(&rig, angle.deg, pulls[CORNER_TACK], &hold));
        double guy = hold.guy_n / sail_corner_n(&force);
        double pole = hold.compression_n / sail_corner_n(&force);
        ck_assert_double_gt(guy, last_guy);
        ck_assert_double_gt(pole, last_pole);
        last_guy = guy;
        last_pole = pole;
    }
    ck_assert_double_gt(last_guy, 2);
}
END_TEST

START_TEST(nonsense_is_refused)
{
    static const double wrong[] = {NAN, INFINITY, -INFINITY, -1, 1e300};
    struct pole_rig rig = invented();
    struct vector pull = {500, -100, 100};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        struct pole_hold hold = {.guy_n = 42};
        struct pole_angle angle;
        ck_assert(!pole_angle(&rig, wrong[i], &angle));
        ck_assert(!pole_hold(&rig, wrong[i], pull, &hold));
        struct pole_rig other = rig;
        other.sailing_m = wrong[i];
        ck_assert(!pole_hold(&other, 60, pull, &hold));
        ck_assert(!pole_hold(&rig, 60, vector_times(pull, fabs(wrong[i]) * 1e8), &hold) ||
                  wrong[i] == -1);
        ck_assert_double_gt(hold.guy_n, 0);
    }
    /* nothing to hold it against: the sail would have to push the pole aft */
    struct pole_hold hold;
    ck_assert(!pole_hold(&rig, 60, (struct vector){-500, 0, 0}, &hold));
    const struct vector one_plane[3] = {{1, 0, 0}, {0, 1, 0}, {0.6, 0.8, 0}};
    double pulls[3];
    ck_assert(!vector_balance(pull, one_plane, pulls));
    struct boat bare = {.length_m = 10};
    ck_assert(!pole_rig_of_boat(&bare, &rig));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("pole outside");
    tcase_add_test(tests, two_members);
    tcase_add_test(tests, boom_with_two_guys);
    tcase_add_test(tests, loads_along_the_boom);
    tcase_add_test(tests, pole_as_a_column);
    tcase_add_test(tests, pole_to_the_wind);
    tcase_add_test(tests, dip_by_root);
    tcase_add_test(tests, pole_end_in_balance);
    tcase_add_test(tests, grows_near_the_forestay);
    tcase_add_test(tests, nonsense_is_refused);
    return outside_run(tests);
}
