/* Projects of several skills, for the bench of the kernel: each activity needs persons
 * for its skills; a person gives one of the skills they have to an activity, for all of
 * its duration, and is at one activity at a time; the makespan is to be shortest. */
#ifndef BENCH_SKILLS_H
#define BENCH_SKILLS_H

#include "bill/kernel.h"

#include <stdbool.h>
#include <stdint.h>

enum { ACTS_MAX = 64, PERSONS_MAX = 32, SKILLS_MAX = 8 };

struct skills {
    int32_t acts, skills, persons;
    int32_t duration[ACTS_MAX], needs[ACTS_MAX][SKILLS_MAX];
    bool has[PERSONS_MAX][SKILLS_MAX];
    bool before[ACTS_MAX][ACTS_MAX]; /* the first ends before the second starts */
};

/* The variables of one such project; -1 where there is none. */
struct skills_variables {
    int32_t makespan, start[ACTS_MAX];
    int32_t gives[ACTS_MAX][PERSONS_MAX][SKILLS_MAX];
};

/* MSPSP-InstLib .dzn; false where the file is not readable as that. */
bool skills_read(const char *path, struct skills *out);

void skills_state(const struct skills *skills, struct kernel *kernel,
                  struct skills_variables *out);

/* NULL, or what is wrong with the solution found: looks only at what it says. */
const char *skills_check(const struct skills *skills, const struct kernel *kernel,
                         const struct skills_variables *variables);

#endif
