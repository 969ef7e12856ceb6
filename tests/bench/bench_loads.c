/* Measures one million load evaluations: force, corners, pole and turns for a wind that
 * is another each time.  Prints the time; asserts nothing but that there is a figure. */
#include "forces/capstan.h"
#include "forces/loads.h"
#include "forces/pole.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { EVALUATIONS = 1000000 };

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static int evaluate(const struct pole_rig *rig, int i)
{
    struct sail_wind wind = {3 + i % 97 * 0.1, 80 + i % 89, air_standard()};
    struct sail_force force;
    struct vector pulls[CORNER_COUNT];
    struct pole_angle angle;
    struct pole_hold hold;
    if (!sail_force(FLOWN_SYMMETRIC, 92, &wind, &force) ||
        !pole_angle(rig, wind.angle_deg, &angle))
        return -1;
    sail_corners(&force, pulls);
    if (!pole_hold(rig, angle.deg, pulls[CORNER_TACK], &hold))
        return -1;
    return capstan_turns(sail_corner_n(&force), HAND_SUSTAINED_N) +
           capstan_turns(hold.guy_n, HAND_SUSTAINED_N);
}

int main(void)
{
    const struct boat boat = {.length_m = 10.6,
                              .i_m = 14.6,
                              .j_m = 4.1,
                              .spl_m = 4.2,
                              .pole = POLE_DIP,
                              .mast_end_least_m = 0.9,
                              .mast_end_most_m = 3.0};
    struct pole_rig rig;
    if (!pole_rig_of_boat(&boat, &rig))
        return EXIT_FAILURE;
    long turns = 0, none = 0;
    double start = seconds();
    for (int i = 0; i < EVALUATIONS; i++) {
        int one = evaluate(&rig, i);
        none += one < 0;
        turns += one > 0 ? one : 0;
    }
    printf("%d load evaluations: %.3f s (%ld turns in all, %ld without a figure)\n",
           EVALUATIONS, seconds() - start, turns, none);
    return none == EVALUATIONS ? EXIT_FAILURE : EXIT_SUCCESS;
}
