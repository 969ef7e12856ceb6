/* What a bench counts. */
#include "tally.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

double tally_now_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

void tally_add(struct tally *tally, const char *name, bool proved, double took_s,
               int64_t conflicts)
{
    tally->conflicts += conflicts;
    tally->proved += proved;
    if (tally->tried < TALLY_MAX)
        tally->seconds[tally->tried] = took_s;
    tally->tried++;
    tally->sum_s += took_s;
    if (took_s > tally->worst_s) {
        tally->worst_s = took_s;
        snprintf(tally->worst, sizeof tally->worst, "%s", name);
    }
}

void tally_complain(struct tally *tally, const char *name, const char *what)
{
    printf("WRONG %s: %s\n", name, what);
    tally->wrong++;
}

static int by_size(const void *a, const void *b)
{
    double first = *(const double *)a, second = *(const double *)b;
    return (first > second) - (first < second);
}

void tally_tell(const char *what, struct tally *tally)
{
    if (!tally->tried) {
        printf("%s: not there, skipped\n", what);
        return;
    }
    int kept = tally->tried < TALLY_MAX ? tally->tried : TALLY_MAX;
    qsort(tally->seconds, (size_t)kept, sizeof tally->seconds[0], by_size);
    printf("%s: %d of %d proved, %d wrong; median %.4f s, worst %.2f s (%s), all %.1f s, "
           "%lld conflicts\n",
           what, tally->proved, tally->tried, tally->wrong, tally->seconds[kept / 2],
           tally->worst_s, tally->worst, tally->sum_s, (long long)tally->conflicts);
}
