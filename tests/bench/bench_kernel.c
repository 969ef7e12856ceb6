/* How the kernel does on published projects: each one solved, held against the published
 * optimum and checked; processor time on one core.  Data is read where it lies:
 *   bench_kernel DATA-FOLDER [CONFLICTS]
 * with psplib_j30 (Kolisch and Sprecher's PSPLIB), patterson_rcp and jobshop_ft in it.
 * What is not there is said.  Ends with 1 where a proved value is not the optimum. */
#include "project.h"
#include "tally.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void solve(const struct project *project, const char *name, int32_t optimum,
                  int64_t conflicts, struct tally *tally)
{
    int32_t start[JOBS_MAX], at[JOBS_MAX];
    struct arena *arena = arena_new();
    double before = tally_now_s();
    struct kernel *kernel = kernel_new(arena, NULL);
    int32_t makespan = project_state(project, kernel, project_horizon(project), start);
    kernel_minimise(kernel, makespan);
    enum kernel_verdict verdict = kernel_solve(kernel, conflicts);
    double took = tally_now_s() - before;
    if (verdict == KERNEL_PROVED || verdict == KERNEL_FOUND) {
        int32_t value = kernel_value(kernel, makespan);
        for (int32_t j = 0; j < project->jobs; j++)
            at[j] = kernel_value(kernel, start[j]);
        const char *flaw = project_check(project, at, value);
        if (flaw)
            tally_complain(tally, name, flaw);
        if (value < optimum || (verdict == KERNEL_PROVED && value != optimum))
            tally_complain(tally, name, "not the published optimum");
    } else if (verdict == KERNEL_INFEASIBLE) {
        tally_complain(tally, name, "said to have no solution");
    }
    tally_add(tally, name, verdict == KERNEL_PROVED, took,
              kernel_figures(kernel).conflicts);
    arena_free(arena);
}

/* A folder with its optimum.csv: name,optimum a line. */
static int bench_folder(const char *data, const char *folder, const char *ending,
                        bool (*read)(const char *, struct project *), int64_t conflicts)
{
    static struct tally tally;
    tally = (struct tally){0};
    char path[1024], line[256];
    snprintf(path, sizeof path, "%s/%s/optimum.csv", data, folder);
    FILE *file = fopen(path, "r");
    while (file && fgets(line, sizeof line, file)) {
        static struct project project;
        char name[64];
        int optimum;
        if (sscanf(line, "%63[^,],%d", name, &optimum) != 2)
            continue; /* the heading */
        char *dot = strchr(name, '.');
        snprintf(path, sizeof path, "%s/%s/%s%s", data, folder, name, dot ? "" : ending);
        if (read(path, &project))
            solve(&project, name, optimum, conflicts, &tally);
        else
            printf("%s cannot be read\n", path);
    }
    if (file)
        fclose(file);
    tally_tell(folder, &tally);
    return tally.wrong;
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        fputs("usage: bench_kernel DATA-FOLDER [CONFLICTS]\n", stderr);
        return 2;
    }
    int64_t conflicts = argc > 2 ? atoll(argv[2]) : 1000000;
    int wrong =
        bench_folder(argv[1], "patterson_rcp", ".rcp", project_read_rcp, conflicts);
    wrong += bench_folder(argv[1], "psplib_j30", ".sm", project_read_sm, conflicts);
    wrong += bench_folder(argv[1], "jobshop_ft", ".jss", project_read_shop, conflicts);
    return wrong ? EXIT_FAILURE : EXIT_SUCCESS;
}
