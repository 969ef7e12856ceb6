/* How the kernel does on published projects of several skills: each one solved, held
 * against the published makespan and checked; processor time on one core.
 *   bench_skills DATA-FOLDER [CONFLICTS]
 * with mspsp_instlib in it: set-1a (after Almeida, Correia, Saldanha-da-Gama 2015) and
 * the makespans proved by Young, Feydy and Schutt (CP 2017) in results_young2017.csv.
 * Ends with 1 where a proved value is not the published one, with 77 where there is no
 * data. */
#include "skills.h"
#include "tally.h"

#include <stdio.h>
#include <stdlib.h>

static void solve(const struct skills *skills, const char *name, int32_t published,
                  int64_t conflicts, struct tally *tally)
{
    static struct skills_variables of;
    struct arena *arena = arena_new();
    double before = tally_now_s();
    struct kernel *kernel = kernel_new(arena, NULL);
    skills_state(skills, kernel, &of);
    enum kernel_verdict verdict = kernel_solve(kernel, conflicts);
    double took = tally_now_s() - before;
    if (verdict == KERNEL_PROVED || verdict == KERNEL_FOUND) {
        int32_t value = kernel_value(kernel, of.makespan);
        const char *flaw = skills_check(skills, kernel, &of);
        if (flaw)
            tally_complain(tally, name, flaw);
        if (value < published || (verdict == KERNEL_PROVED && value != published))
            tally_complain(tally, name, "not the published makespan");
    } else if (verdict == KERNEL_INFEASIBLE) {
        tally_complain(tally, name, "said to have no solution");
    }
    tally_add(tally, name, verdict == KERNEL_PROVED, took,
              kernel_figures(kernel).conflicts);
    arena_free(arena);
}

int main(int argc, char **argv)
{
    static struct tally tally;
    static struct skills skills;
    char path[1024], line[256], name[128];
    int proved, bound, makespan;
    if (argc < 2) {
        fputs("usage: bench_skills DATA-FOLDER [CONFLICTS]\n", stderr);
        return 2;
    }
    int64_t conflicts = argc > 2 ? atoll(argv[2]) : 1000000;
    snprintf(path, sizeof path, "%s/mspsp_instlib/results_young2017.csv", argv[1]);
    FILE *file = fopen(path, "r");
    while (file && fgets(line, sizeof line, file)) {
        if (sscanf(line, "set-1a,%127[^,],%d,%d,%d", name, &proved, &bound, &makespan) !=
                4 ||
            !proved)
            continue;
        snprintf(path, sizeof path, "%s/mspsp_instlib/set-1a/%s", argv[1], name);
        if (skills_read(path, &skills))
            solve(&skills, name, makespan, conflicts, &tally);
        else
            tally_complain(&tally, name, "cannot be read");
    }
    if (file)
        fclose(file);
    tally_tell("mspsp set-1a", &tally);
    return tally.wrong ? EXIT_FAILURE : tally.tried ? EXIT_SUCCESS : 77;
}
