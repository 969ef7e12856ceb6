/* Vet's engines against each other, and against a second search written for this test
 * alone, on thousands of random procedures: wherever an engine decides, verdict, findings
 * and shortest lengths are those of vet_search, and every way it shows can be gone. */
#include "mix_crew.h"
#include "mix_kinds.h"

#include "vet/checker.h"
#include "vet/engines.h"

#include <inttypes.h>
#include <math.h>

enum { ROUNDS = 4000, FLAVOURS = 2 };

static const char *const flavour_names[FLAVOURS] = {"wild", "orderly"};

static const struct vet_limits no_limits = {0};

struct engine {
    const char *name;
    void (*run)(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
                struct vet_report *out);
    bool counts, counts_orders;  /* it says states and transitions; orders */
    bool has_limits;             /* it looks at them */
    int decides_least[FLAVOURS]; /* of ROUNDS */
};

static void run_second(const struct rig *rig, const struct vet_limits *limits,
                       bool one_begin, struct vet_report *out)
{
    (void)limits;
    struct arena *arena = arena_new();
    struct second seen;
    second_search(&seen, rig, one_begin, arena, out);
    arena_free(arena);
}

/* A sweep with as little memory as it can do with: most groups of cells are never met. */
static void run_tight(const struct rig *rig, const struct vet_limits *limits,
                      bool one_begin, struct vet_report *out)
{
    struct vet_limits tight = *limits;
    out->cut_off = true;
    for (tight.bytes = 64; out->cut_off && tight.bytes < 1 << 22; tight.bytes *= 2)
        vet_sweep(rig, &tight, one_begin, out);
}

static const struct engine engines[] = {
    {"search", vet_search, true, true, true, {ROUNDS, ROUNDS}},
    {"second", run_second, true, true, false, {ROUNDS, ROUNDS}},
    {"order", vet_order, false, false, true, {1800, 2800}},
    {"sweep", vet_sweep, true, false, true, {3500, 3800}},
    {"tight sweep", run_tight, true, false, true, {3500, 3800}},
    {"slices", vet_slices, false, false, true, {2200, 2800}},
    {"quickly", vet_quickly, false, false, true, {ROUNDS, ROUNDS}},
    {"fully", vet_fully, true, true, true, {ROUNDS, ROUNDS}},
};
enum { ENGINES = sizeof engines / sizeof engines[0] };

static void print_found(const struct vet_report *report, const struct vet_found *found)
{
    printf("    %s %d of %d %d, %d moves:", vet_verdict_name(found->kind),
           (int)found->finding.kind, found->finding.index, found->finding.other,
           found->way_count);
    for (int i = 0; i < found->way_count; i++)
        printf(" %cs%d", found->way[i].finish ? '-' : '+', found->way[i].step);
    printf(" from");
    for (int p = 0; p < MIX_PARTS; p++)
        printf(" %c", 'a' + found->begin.part[p]);
    printf("%s\n", report->found_count == VET_FOUND_MAX ? " (list full)" : "");
}

static void print_report(const char *name, const struct vet_report *report)
{
    printf("  %s: %s, %" PRIu64 " states, %" PRIu64 " transitions, %" PRIu64
           " begins, %.17g orders\n",
           name, vet_verdict_name(report->verdict), report->states, report->transitions,
           report->begins, report->orders);
    for (int i = 0; i < report->found_count; i++)
        print_found(report, &report->found[i]);
}

static void print_case(const struct mix *mix, unsigned seed)
{
    printf("case %u\n%s%s%s", seed, mix->rig_text.at, mix->steps.at, mix->crew.at);
}

/* The way to the same in REPORT; -1: it is not there. */
static int length_in(const struct vet_report *report, const struct vet_found *found)
{
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == found->kind &&
            finding_same(&report->found[i].finding, &found->finding))
            return report->found[i].way_count;
    return -1;
}

/* All that A has, B has, and the way is as long. */
static bool found_alike(const struct vet_report *a, const struct vet_report *b)
{
    for (int i = 0; i < a->found_count; i++)
        if (length_in(b, &a->found[i]) != a->found[i].way_count)
            return false;
    return true;
}

static const char *goes_nowhere(const struct mix *mix, const struct vet_report *report)
{
    for (int i = 0; i < report->found_count; i++)
        if (!vet_replay(&mix->rig, &report->found[i]))
            return "way, that cannot be gone";
    return NULL;
}

/* A report that may not hold all there is: what it holds is there, no nearer. */
static const char *says_too_much(const struct mix *mix,
                                 const struct vet_report *reference,
                                 const struct vet_report *report)
{
    for (int i = 0; i < report->found_count; i++) {
        int length = length_in(reference, &report->found[i]);
        if (length < 0 || length > report->found[i].way_count)
            return "findings";
    }
    return goes_nowhere(mix, report);
}

/* NULL where ENGINE's report is as vet_search's, else what differs. */
static const char *differs(const struct engine *engine, const struct mix *mix,
                           const struct vet_report *reference,
                           const struct vet_report *report)
{
    if (report->verdict != reference->verdict)
        return "verdict";
    if (report->begins != reference->begins)
        return "begins";
    if (engine->counts && (report->states != reference->states ||
                           report->transitions != reference->transitions))
        return "states or transitions";
    if (engine->counts_orders &&
        fabs(report->orders - reference->orders) > 1e-9 * reference->orders)
        return "orders";
    bool whole =
        report->found_count < VET_FOUND_MAX && reference->found_count < VET_FOUND_MAX;
    if (whole && (!found_alike(report, reference) || !found_alike(reference, report)))
        return "findings";
    return goes_nowhere(mix, report);
}

/* With a limit nothing is claimed that is not so, whatever was searched of it. */
static const char *oversteps(const struct engine *engine, const struct mix *mix,
                             const struct vet_report *reference,
                             struct vet_report *report)
{
    const struct vet_limits limits[] = {{.states = 1 + reference->states / 2},
                                        {.bytes = 512}};
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        engine->run(&mix->rig, &limits[i], mix->one_begin, report);
        if (report->verdict == VET_SAFE && reference->verdict != VET_SAFE)
            return "safe from a part of it";
        const char *what = says_too_much(mix, reference, report);
        if (what)
            return what;
    }
    return NULL;
}

/* Asked for the first thing found, one that is nearest comes first. */
static const char *misses_nearest(const struct engine *engine, const struct mix *mix,
                                  const struct vet_report *reference,
                                  struct vet_report *report)
{
    const struct vet_limits limits = {.first_only = true};
    engine->run(&mix->rig, &limits, mix->one_begin, report);
    if ((report->found_count == 0) != (reference->found_count == 0))
        return "nothing of what there is";
    for (int i = 0; i < reference->found_count; i++)
        if (reference->found[i].way_count < report->found[0].way_count)
            return "one that is not nearest";
    return NULL;
}

struct tally {
    int kinds[KIND_COUNT], decided[ENGINES], full_lists;
    uint64_t most_states;
};

/* One case and what was said of it. */
struct trial {
    enum mix_flavour flavour;
    unsigned seed;
    struct mix mix;
    struct vet_report *reference, *report;
};

static void expect_nothing(const struct trial *trial, const struct engine *engine,
                           const char *what)
{
    if (!what)
        return;
    print_case(&trial->mix, trial->seed);
    print_report("vet_search", trial->reference);
    print_report(engine->name, trial->report);
    fflush(stdout);
    ck_abort_msg("%s case %u, %s: another %s", flavour_names[trial->flavour], trial->seed,
                 engine->name, what);
}

static void try_engine(struct trial *trial, int number, struct tally *tally)
{
    const struct engine *engine = &engines[number];
    engine->run(&trial->mix.rig, &no_limits, trial->mix.one_begin, trial->report);
    if (trial->report->verdict == VET_UNDECIDED)
        return;
    if (trial->report->cut_off) {
        expect_nothing(trial, engine,
                       trial->report->verdict == VET_SAFE
                           ? "safe from a part of it"
                           : says_too_much(&trial->mix, trial->reference, trial->report));
        return;
    }
    tally->decided[number]++;
    expect_nothing(trial, engine,
                   differs(engine, &trial->mix, trial->reference, trial->report));
    if (!engine->has_limits)
        return;
    expect_nothing(trial, engine,
                   oversteps(engine, &trial->mix, trial->reference, trial->report));
    expect_nothing(trial, engine,
                   misses_nearest(engine, &trial->mix, trial->reference, trial->report));
}

static void compare_one(enum mix_flavour flavour, unsigned seed, struct tally *tally)
{
    struct trial trial = {.flavour = flavour, .seed = seed};
    struct mix *mix = &trial.mix;
    mix_new(mix, flavour, seed);
    trial.reference = arena_alloc(mix->arena, sizeof *trial.reference);
    trial.report = arena_alloc(mix->arena, sizeof *trial.report);
    vet_search(&mix->rig, &no_limits, mix->one_begin, trial.reference);
    tally->full_lists += trial.reference->found_count == VET_FOUND_MAX;
    if (trial.reference->states > tally->most_states)
        tally->most_states = trial.reference->states;
    for (int e = 0; e < ENGINES; e++)
        try_engine(&trial, e, tally);
    struct second seen;
    second_search(&seen, &mix->rig, mix->one_begin, mix->arena, trial.report);
    mix_count_kinds(mix, &seen, tally->kinds);
    mix_free(mix);
}

START_TEST(test_engines_agree)
{
    struct tally tally = {.kinds = {0}};
    for (unsigned seed = 0; seed < ROUNDS; seed++)
        compare_one((enum mix_flavour)_i, seed, &tally);
    printf("%s:", flavour_names[_i]);
    for (int k = 0; k < KIND_COUNT; k++)
        printf("%s %s %d", k ? "," : "", mix_kind_facts[k].what, tally.kinds[k]);
    printf("\n%" PRIu64 " states at most, %d lists of findings full\n", tally.most_states,
           tally.full_lists);
    for (int e = 0; e < ENGINES; e++)
        printf("%s decides %d of %d\n", engines[e].name, tally.decided[e], ROUNDS);
    ck_assert_int_eq(tally.full_lists, 0);
    for (int k = 0; k < KIND_COUNT; k++)
        ck_assert_msg(tally.kinds[k] >= mix_kind_facts[k].least[_i], "%s: only %d",
                      mix_kind_facts[k].what, tally.kinds[k]);
    for (int e = 0; e < ENGINES; e++)
        ck_assert_msg(tally.decided[e] >= engines[e].decides_least[_i],
                      "%s decides only %d", engines[e].name, tally.decided[e]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("engines");
    TCase *agree = tcase_create("agree");
    tcase_set_timeout(agree, 100);
    tcase_add_loop_test(agree, test_engines_agree, MIX_WILD, FLAVOURS);
    suite_add_tcase(suite, agree);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
