/* Measures vet's engines, and writes the same models for spin; bench_vet.sh sets the two
 * side by side.  Not a test: nothing is asserted.
 *
 *   bench_vet model grid K N          Promela: K roles of N steps, one event each
 *   bench_vet model counters K N      Promela: the same in spin's smallest form
 *   bench_vet model cards K N E       Promela: K cards of N steps with start and finish,
 *                                     E arrows between them, 12 parts
 *   bench_vet sweep grid|counters|cards ...    the same, swept
 *   bench_vet search cards ...        the same, searched
 *
 * What is measured is one line: states, transitions, processor seconds, bytes of the
 * states (0: not known), peak kilobytes of the process. */
#include "../unit/made_up.h"

#include "vet/engines.h"
#include "vet/sweep_plan.h"

#include <inttypes.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

enum { PARTS = 12, STEPS = 64, ARROWS = 64 };

/* Cards with arrows between them.  A part is written by one role alone, so its value
 * follows from how far that role is. */
struct cards {
    int roles, steps, arrow_count;
    struct {
        int from, to; /* steps, number ROLE * steps + place */
    } arrows[ARROWS];
};

static unsigned next_random(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u; /* an ordinary linear congruence */
    return *seed >> 16;
}

static bool has_arrow(const struct cards *cards, int from, int to)
{
    for (int i = 0; i < cards->arrow_count; i++)
        if (cards->arrows[i].from == from && cards->arrows[i].to == to)
            return true;
    return false;
}

/* Arrows between different roles, from a place on the card to one further down: no circle
 * comes of them. */
static struct cards draw_cards(int roles, int steps, int arrows)
{
    struct cards cards = {.roles = roles, .steps = steps};
    unsigned seed = 1;
    while (cards.arrow_count < arrows && cards.arrow_count < ARROWS) {
        int a = (int)(next_random(&seed) % (unsigned)roles),
            b = (int)(next_random(&seed) % (unsigned)roles),
            i = (int)(next_random(&seed) % (unsigned)steps),
            j = (int)(next_random(&seed) % (unsigned)steps);
        int from = a * steps + i, to = b * steps + j;
        if (a == b || i >= j || has_arrow(&cards, from, to))
            continue;
        cards.arrows[cards.arrow_count].from = from;
        cards.arrows[cards.arrow_count++].to = to;
    }
    return cards;
}

static bool is_waited_for(const struct cards *cards, int step)
{
    for (int i = 0; i < cards->arrow_count; i++)
        if (cards->arrows[i].from == step)
            return true;
    return false;
}

/* The part that STEP writes: one of those of its role. */
static int part_of(const struct cards *cards, int step)
{
    int role = step / cards->steps,
        own = (PARTS - role + cards->roles - 1) / cards->roles;
    return role + step % cards->steps % own * cards->roles;
}

/* ---- the models for spin: a process a role, whose place is where it stands ---- */

static void write_grid(int roles, int steps)
{
    for (int r = 0; r < roles; r++)
        printf("byte p%d;\n", r);
    for (int r = 0; r < roles; r++) {
        printf("active proctype r%d() {\n", r);
        for (int s = 0; s < steps; s++)
            printf("  d_step { p%d = %d };\n", r, s % 4 + 1);
        printf("end: false\n}\n");
    }
}

/* The same grid in spin's smallest form: one process, a counter a role. */
static void write_counters(int roles, int steps)
{
    for (int r = 0; r < roles; r++)
        printf("byte c%d;\n", r);
    printf("active proctype r() {\nend: do\n");
    for (int r = 0; r < roles; r++)
        printf("  :: d_step { (c%d < %d) -> c%d++ }\n", r, steps, r);
    printf("  od\n}\n");
}

static void write_start(const struct cards *cards, int step)
{
    printf("  d_step { (1");
    for (int i = 0; i < cards->arrow_count; i++)
        if (cards->arrows[i].to == step)
            printf(" && f%d", cards->arrows[i].from);
    printf(") -> p%d = 1 };\n", part_of(cards, step));
}

static void write_cards(const struct cards *cards)
{
    for (int p = 0; p < PARTS; p++)
        printf("byte p%d;\n", p);
    for (int s = 0; s < cards->roles * cards->steps; s++)
        if (is_waited_for(cards, s))
            printf("bool f%d;\n", s);
    for (int r = 0; r < cards->roles; r++) {
        printf("active proctype r%d() {\n", r);
        for (int i = 0; i < cards->steps; i++) {
            int step = r * cards->steps + i;
            write_start(cards, step);
            printf("  d_step { p%d = 2", part_of(cards, step));
            if (is_waited_for(cards, step))
                printf("; f%d = 1", step);
            printf(" };\n");
        }
        printf("end: false\n}\n");
    }
}

/* ---- the same as a procedure ---- */

static const struct procedure *make_procedure(const struct cards *cards,
                                              struct arena *arena)
{
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, cards->roles, PARTS, "");
    made_up_head(&steps, PARTS);
    text_add(&steps, "steps:\n");
    for (int s = 0; s < cards->roles * cards->steps; s++) {
        char name[16];
        struct text more = {0};
        int part = part_of(cards, s);
        text_printf(&more, "    start: {p%d: b}\n    finish: {p%d: c}\n", part, part);
        bool any = false;
        for (int i = 0; i < cards->arrow_count; i++)
            if (cards->arrows[i].to == s) {
                text_printf(&more, "%ss%d", any ? ", " : "    after: [",
                            cards->arrows[i].from);
                any = true;
            }
        text_add(&more, any ? "]\n" : "");
        snprintf(name, sizeof name, "s%d", s);
        made_up_step(&steps, name, s / cards->steps, more.at);
        text_free(&more);
    }
    const struct procedure *procedure = made_up_read(&rig, &steps, arena);
    text_free(&rig);
    text_free(&steps);
    return procedure;
}

/* ---- measuring ---- */

static double now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static void print_measured(const struct vet_report *report, double seconds,
                           uint64_t bytes)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    printf("%" PRIu64 " %" PRIu64 " %.6f %" PRIu64 " %ld\n", report->states,
           report->transitions, seconds, bytes, usage.ru_maxrss);
}

/* The bytes of one bit a cell in all groups of blocks. */
static uint64_t bytes_of_cells(const struct lattice *lattice, struct arena *arena)
{
    const struct plan *plan = plan_make(lattice, arena);
    return plan ? plan->box.groups * (uint64_t)(plan->planes * plan->box.words) * 8 : 0;
}

/* Short ones are done again and again: the mean of a second. */
static void measure_sweep(const struct lattice *lattice, struct arena *arena)
{
    static const struct vet_limits limits = {.states = UINT64_MAX};
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    double start = now_s(), seconds;
    int times = 0;
    do {
        lattice_sweep(lattice, &limits, report);
        seconds = now_s() - start;
        times++;
    } while (seconds < 1);
    print_measured(report, seconds / times, bytes_of_cells(lattice, arena));
}

static void measure_search(const struct rig *rig, struct arena *arena)
{
    static const struct vet_limits limits = {.states = UINT32_MAX};
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    double start = now_s();
    vet_search(rig, &limits, true, report);
    print_measured(report, now_s() - start, 0);
}

static bool measure_cards(const struct cards *cards, bool sweep, struct arena *arena)
{
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    const struct procedure *procedure = make_procedure(cards, arena);
    if (!procedure || !vet_rig_of_roles(procedure, true, rig))
        return false;
    if (!sweep) {
        measure_search(rig, arena);
        return true;
    }
    const struct lattice *lattice = lattice_make(rig, true, arena);
    if (lattice)
        measure_sweep(lattice, arena);
    return lattice != NULL;
}

static int number(int argc, char **argv, int at)
{
    return at < argc ? atoi(argv[at]) : 0;
}

int main(int argc, char **argv)
{
    const char *what = argc > 1 ? argv[1] : "", *kind = argc > 2 ? argv[2] : "";
    int roles = number(argc, argv, 3), steps = number(argc, argv, 4);
    bool counters = strcmp(kind, "counters") == 0,
         grid = counters || strcmp(kind, "grid") == 0, model = strcmp(what, "model") == 0,
         sweep = strcmp(what, "sweep") == 0;
    if (roles < 1 || steps < 1 || roles * steps > (grid ? EVENTS_MAX : STEPS) ||
        (!grid && roles > PARTS)) {
        fprintf(stderr, "usage: bench_vet model|sweep|search grid|counters|cards ROLES "
                        "STEPS [ARROWS]\n");
        return EXIT_FAILURE;
    }
    struct arena *arena = arena_new();
    struct cards cards = draw_cards(roles, steps, grid ? 0 : number(argc, argv, 5));
    bool good = true;
    if (model && counters)
        write_counters(roles, steps);
    else if (model && grid)
        write_grid(roles, steps);
    else if (model)
        write_cards(&cards);
    else if (grid)
        measure_sweep(lattice_grid(roles, steps, arena), arena);
    else
        good = measure_cards(&cards, sweep, arena);
    arena_free(arena);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
