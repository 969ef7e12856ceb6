/* One million winds worked out in one run: apparent now, on the other board, at half
 * speed, stopped and in a gust, and back to the true wind.  Prints the time; asserts
 * nothing. Usage: bench_wind */
#include "forces/wind.h"

#include <stdio.h>
#include <time.h>

enum { WINDS = 1000000 };

int main(void)
{
    struct timespec from, to;
    double sum = 0;
    clock_gettime(CLOCK_MONOTONIC, &from);
    for (int i = 0; i < WINDS; i++) {
        struct wind wind = {2 + i % 300 * 0.05, i % 361 - 180}, back;
        struct way way = {1 + i % 70 * 0.1, i % 9 - 4};
        struct outlook outlook;
        if (!wind_outlook(wind, way, 1.4, &outlook) ||
            !wind_true(outlook.now, way, &back))
            return 1;
        sum += back.speed_m_s + outlook.gust_pull;
    }
    clock_gettime(CLOCK_MONOTONIC, &to);
    double s =
        (double)(to.tv_sec - from.tv_sec) + (double)(to.tv_nsec - from.tv_nsec) / 1e9;
    printf("%d winds: %.3f s (sum %.3f)\n", WINDS, s, sum);
    return 0;
}
