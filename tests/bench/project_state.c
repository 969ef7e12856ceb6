/* A benchmark project as a problem of the kernel, and its checker. */
#include "project.h"

#include <string.h>

int32_t project_horizon(const struct project *project)
{
    int32_t sum = 0;
    for (int32_t i = 0; i < project->jobs; i++)
        sum += project->duration[i];
    return sum;
}

/* The order that follows from the stated one. */
static void close_order(const struct project *project, bool before[JOBS_MAX][JOBS_MAX])
{
    memcpy(before, project->before, sizeof project->before);
    for (int32_t k = 0; k < project->jobs; k++)
        for (int32_t i = 0; i < project->jobs; i++)
            for (int32_t j = 0; j < project->jobs && before[i][k]; j++)
                before[i][j] = before[i][j] || before[k][j];
}

static bool cannot_overlap(const struct project *project, int32_t i, int32_t j)
{
    if (project->duration[i] == 0 || project->duration[j] == 0)
        return false;
    for (int32_t r = 0; r < project->resources; r++)
        if (project->demand[i][r] + project->demand[j][r] > project->capacity[r])
            return true;
    return false;
}

/* One of the two comes first: a switch says which. */
static void state_pair(const struct project *project, struct kernel *kernel,
                       const int32_t *start, int32_t i, int32_t j)
{
    int32_t first = kernel_switch(kernel);
    kernel_edge(kernel, kernel_on(first), start[i], start[j], project->duration[i]);
    kernel_edge(kernel, kernel_not(kernel_on(first)), start[j], start[i],
                project->duration[j]);
}

static void state_resource(const struct project *project, struct kernel *kernel,
                           const int32_t *start, int32_t resource)
{
    struct kernel_task tasks[JOBS_MAX];
    int32_t count = 0;
    for (int32_t i = 0; i < project->jobs; i++)
        if (project->demand[i][resource] && project->duration[i])
            tasks[count++] = (struct kernel_task){start[i],
                                                  0,
                                                  start[i],
                                                  project->duration[i],
                                                  project->demand[i][resource],
                                                  kernel_always()};
    kernel_capacity(kernel, tasks, count, project->capacity[resource]);
}

int32_t project_state(const struct project *project, struct kernel *kernel,
                      int32_t horizon, int32_t start[JOBS_MAX])
{
    static bool before[JOBS_MAX][JOBS_MAX];
    close_order(project, before);
    int32_t makespan = kernel_integer(kernel, 0, horizon);
    for (int32_t i = 0; i < project->jobs; i++) {
        start[i] = kernel_integer(kernel, 0, horizon);
        kernel_edge(kernel, kernel_always(), start[i], makespan, project->duration[i]);
        kernel_advise(kernel, start[i], NULL, 0);
    }
    for (int32_t i = 0; i < project->jobs; i++)
        for (int32_t j = 0; j < project->jobs; j++) {
            if (project->before[i][j])
                kernel_edge(kernel, kernel_always(), start[i], start[j],
                            project->duration[i]);
            if (i < j && !before[i][j] && !before[j][i] && cannot_overlap(project, i, j))
                state_pair(project, kernel, start, i, j);
        }
    for (int32_t r = 0; r < project->resources; r++)
        state_resource(project, kernel, start, r);
    kernel_minimise(kernel, makespan);
    return makespan;
}

const char *project_check(const struct project *project, const int32_t start[JOBS_MAX],
                          int32_t makespan)
{
    for (int32_t i = 0; i < project->jobs; i++) {
        if (start[i] < 0 || start[i] + project->duration[i] > makespan)
            return "a job is not inside the makespan";
        for (int32_t j = 0; j < project->jobs; j++)
            if (project->before[i][j] && start[j] < start[i] + project->duration[i])
                return "a job starts before one it follows has ended";
    }
    for (int32_t r = 0; r < project->resources; r++)
        for (int32_t second = 0; second < makespan; second++) {
            int32_t used = 0;
            for (int32_t i = 0; i < project->jobs; i++)
                if (start[i] <= second && second < start[i] + project->duration[i])
                    used += project->demand[i][r];
            if (used > project->capacity[r])
                return "a resource is used beyond its capacity";
        }
    return NULL;
}
