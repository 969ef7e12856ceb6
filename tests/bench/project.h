/* The benchmark projects of the literature, for the bench of the kernel: jobs with
 * durations, precedences and demands on resources, the makespan to be shortest.  Data is
 * read in place, never kept here. */
#ifndef BENCH_PROJECT_H
#define BENCH_PROJECT_H

#include "bill/kernel.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

enum { JOBS_MAX = 128, RESOURCES_MAX = 16 };

struct project {
    int32_t jobs, resources;
    int32_t capacity[RESOURCES_MAX];
    int32_t duration[JOBS_MAX];
    int32_t demand[JOBS_MAX][RESOURCES_MAX];
    bool before[JOBS_MAX][JOBS_MAX]; /* the first ends before the second starts */
};

/* PSPLIB .sm, Patterson .rcp, job shop (pairs of machine and duration); false where FILE
 * is not readable as that. */
bool project_read_sm(const char *path, struct project *out);
bool project_read_rcp(const char *path, struct project *out);
bool project_read_shop(const char *path, struct project *out);

/* States the project; START gets the variable of each job's start.  Gives the makespan.
 */
int32_t project_state(const struct project *project, struct kernel *kernel,
                      int32_t horizon, int32_t start[JOBS_MAX]);

/* The sum of all durations: a schedule of that length there is. */
int32_t project_horizon(const struct project *project);

/* The best of TRIES schedules made by a simple rule and chance; gives its makespan. */
int32_t project_serial(const struct project *project, int32_t tries,
                       int32_t start[JOBS_MAX]);

/* The time from the start of each job to the end by the order alone. */
void project_tails(const struct project *project, int32_t tail[JOBS_MAX]);

/* The project for clasp (project.lp) and for MiniZinc (project.mzn). */
void project_write_facts(const struct project *project, int32_t horizon, FILE *file);
void project_write_data(const struct project *project, int32_t horizon, FILE *file);

/* NULL, or what is wrong with a schedule of that makespan.  Shares nothing with the
 * kernel: adds up demands second by second. */
const char *project_check(const struct project *project, const int32_t start[JOBS_MAX],
                          int32_t makespan);

#endif
