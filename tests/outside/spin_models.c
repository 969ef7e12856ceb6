/* Writes random procedures as models for spin, and what vet says of each, for spin.sh.
 *
 *   spin_models FOLDER COUNT      FOLDER/wild-0.pml, FOLDER/wild-0.expected, ...
 *
 * An expected file has one line: states, transitions, then the fewest moves to something
 * broken, to a stall and to a wrong end (-1: there is none). */
#include "../unit/mix_crew.h"

#include "vet/promela.h"

#include <inttypes.h>

static const char *const flavour_names[] = {"wild", "orderly"};

static FILE *open_file(const char *folder, enum mix_flavour flavour, unsigned seed,
                       const char *kind)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/%s-%u.%s", folder, flavour_names[flavour], seed,
             kind);
    FILE *file = fopen(path, "w");
    if (file)
        return file;
    perror(path);
    exit(EXIT_FAILURE);
}

static int fewest_moves(const struct vet_report *report, enum vet_verdict kind)
{
    int fewest = -1;
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == kind &&
            (fewest < 0 || report->found[i].way_count < fewest))
            fewest = report->found[i].way_count;
    return fewest;
}

static void write_case(const char *folder, enum mix_flavour flavour, unsigned seed)
{
    static const struct vet_limits no_limits = {0};
    struct mix mix;
    struct text model = {0};
    mix_new(&mix, flavour, seed);
    struct vet_report *report = arena_alloc(mix.arena, sizeof *report);
    vet_search(&mix.rig, &no_limits, mix.one_begin, report);
    vet_promela(&mix.rig, mix.one_begin, &model);
    FILE *file = open_file(folder, flavour, seed, "pml");
    fprintf(file, "/*\n%s%s%s*/\n%s", mix.rig_text.at, mix.steps.at, mix.crew.at,
            model.at);
    fclose(file);
    file = open_file(folder, flavour, seed, "expected");
    fprintf(file, "%" PRIu64 " %" PRIu64 " %d %d %d\n", report->states,
            report->transitions, fewest_moves(report, VET_BROKEN),
            fewest_moves(report, VET_STALL), fewest_moves(report, VET_WRONG_END));
    fclose(file);
    text_free(&model);
    mix_free(&mix);
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: spin_models FOLDER COUNT\n");
        return EXIT_FAILURE;
    }
    unsigned count = (unsigned)strtoul(argv[2], NULL, 10);
    for (unsigned i = 0; i < count; i++)
        write_case(argv[1], i % 2 ? MIX_ORDERLY : MIX_WILD, 100000 + i);
    return EXIT_SUCCESS;
}
