/* A benchmark project as data for other solvers: facts for project.lp, data for
 * project.mzn. */
#include "project.h"

/* The earliest start of each job by the order alone. */
static void find_heads(const struct project *project, int32_t head[JOBS_MAX])
{
    for (int32_t i = 0; i < project->jobs; i++)
        head[i] = 0;
    for (bool changed = true; changed;) {
        changed = false;
        for (int32_t i = 0; i < project->jobs; i++)
            for (int32_t j = 0; j < project->jobs; j++)
                if (project->before[i][j] && head[j] < head[i] + project->duration[i]) {
                    head[j] = head[i] + project->duration[i];
                    changed = true;
                }
    }
}

void project_write_facts(const struct project *project, int32_t horizon, FILE *file)
{
    int32_t head[JOBS_MAX], tail[JOBS_MAX];
    find_heads(project, head);
    project_tails(project, tail);
    fprintf(file, "horizon(%d). last(%d).\n", (int)horizon, (int)project->jobs);
    for (int32_t r = 0; r < project->resources; r++)
        fprintf(file, "capacity(%d,%d).\n", (int)r, (int)project->capacity[r]);
    for (int32_t i = 0; i < project->jobs; i++) {
        fprintf(file, "job(%d,%d). window(%d,%d,%d).\n", (int)i + 1,
                (int)project->duration[i], (int)i + 1, (int)head[i],
                (int)(horizon - tail[i]));
        for (int32_t j = 0; j < project->jobs; j++)
            if (project->before[i][j])
                fprintf(file, "before(%d,%d).\n", (int)i + 1, (int)j + 1);
        for (int32_t r = 0; r < project->resources; r++)
            if (project->demand[i][r])
                fprintf(file, "demand(%d,%d,%d).\n", (int)i + 1, (int)r,
                        (int)project->demand[i][r]);
    }
}

void project_write_data(const struct project *project, int32_t horizon, FILE *file)
{
    const char *comma = "";
    fprintf(file, "jobs = %d; resources = %d; horizon = %d;\nduration = [",
            (int)project->jobs, (int)project->resources, (int)horizon);
    for (int32_t i = 0; i < project->jobs; i++)
        fprintf(file, "%d,", (int)project->duration[i]);
    fprintf(file, "];\ncapacity = [");
    for (int32_t r = 0; r < project->resources; r++)
        fprintf(file, "%d,", (int)project->capacity[r]);
    fprintf(file, "];\ndemand = [");
    for (int32_t i = 0; i < project->jobs; i++) {
        fputs("|", file);
        for (int32_t r = 0; r < project->resources; r++)
            fprintf(file, "%d,", (int)project->demand[i][r]);
    }
    fprintf(file, "|];\nfollows = [");
    for (int32_t i = 0; i < project->jobs; i++) {
        fprintf(file, "%s{", comma);
        comma = ",";
        for (int32_t j = 0; j < project->jobs; j++)
            if (project->before[i][j])
                fprintf(file, "%d,", (int)j + 1);
        fputs("}", file);
    }
    fprintf(file, "];\n");
}
