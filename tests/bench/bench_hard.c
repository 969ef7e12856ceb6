/* One published project for bench_solvers.sh, from the same start for every solver: the
 * best of 30 schedules made by a simple rule is the horizon.
 *   bench_hard solve FILE   proves it with the kernel: "makespan conflicts"
 *   bench_hard clasp FILE   writes the facts for project.lp
 *   bench_hard gecode FILE  writes the data for project.mzn */
#include "project.h"

#include <stdlib.h>
#include <string.h>

enum { TRIES = 30, CONFLICTS = 10000000 };

static int solve(const struct project *project, int32_t horizon,
                 const int32_t known[JOBS_MAX])
{
    int32_t start[JOBS_MAX], at[JOBS_MAX];
    struct arena *arena = arena_new();
    struct kernel *kernel = kernel_new(arena, NULL);
    int32_t makespan = project_state(project, kernel, horizon, start);
    for (int32_t j = 0; j < project->jobs; j++)
        kernel_hint(kernel, start[j], known[j]);
    bool proved = kernel_solve(kernel, CONFLICTS) == KERNEL_PROVED;
    const char *flaw = NULL;
    if (proved) {
        for (int32_t j = 0; j < project->jobs; j++)
            at[j] = kernel_value(kernel, start[j]);
        flaw = project_check(project, at, kernel_value(kernel, makespan));
    }
    if (proved && !flaw)
        printf("%d %lld\n", (int)kernel_value(kernel, makespan),
               (long long)kernel_figures(kernel).conflicts);
    else
        printf("- %s\n", flaw ? flaw : "not proved");
    arena_free(arena);
    return proved && !flaw ? EXIT_SUCCESS : EXIT_FAILURE;
}

int main(int argc, char **argv)
{
    static struct project project;
    if (argc != 3 || !project_read_sm(argv[2], &project)) {
        fputs("usage: bench_hard solve|clasp|gecode FILE.sm\n", stderr);
        return 2;
    }
    int32_t known[JOBS_MAX], horizon = project_serial(&project, TRIES, known);
    if (strcmp(argv[1], "solve") == 0)
        return solve(&project, horizon, known);
    if (strcmp(argv[1], "clasp") == 0)
        project_write_facts(&project, horizon, stdout);
    else
        project_write_data(&project, horizon, stdout);
    return EXIT_SUCCESS;
}
