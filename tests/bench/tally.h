/* What a bench counts: instances tried, proved and wrong, processor time of each. */
#ifndef BENCH_TALLY_H
#define BENCH_TALLY_H

#include <stdbool.h>
#include <stdint.h>

enum { TALLY_MAX = 512 };

struct tally {
    int tried, proved, wrong;
    int64_t conflicts;
    double seconds[TALLY_MAX], sum_s, worst_s;
    char worst[64];
};

/* Processor time of this process. */
double tally_now_s(void);

void tally_add(struct tally *tally, const char *name, bool proved, double took_s,
               int64_t conflicts);
void tally_complain(struct tally *tally, const char *name, const char *what);

/* One line; where nothing was tried it says so. */
void tally_tell(const char *what, struct tally *tally);

#endif
