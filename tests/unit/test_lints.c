/* Lints on small procedures made for each of them, against the search on random ones, and
 * none at all on what is shipped.  tests/bad has their words. */
#include "made_up_random.h"

#include "vet/lints.h"

static const struct vet_limits no_limits = {0};

static int count_kind(const struct lints *lints, enum lint_kind kind)
{
    int count = 0;
    for (int i = 0; i < lints->count; i++)
        count += lints->at[i].kind == kind;
    return count;
}

/* A procedure of the made-up rig with three parts and RULES_AND_MISHAPS, which begins
 * with BEGIN and has the steps of STEPS. */
static const struct procedure *make(struct arena *arena, const char *name,
                                    const char *family, const char *rules_and_mishaps,
                                    const char *begin, const char *steps)
{
    struct text rig = {0}, text = {0};
    made_up_rig(&rig, 2, 3, rules_and_mishaps);
    text_printf(&text,
                "format: 1\nprocedure: %s\ntitle: Made up\nfamily: %s\nrig: made-up\n"
                "begin: {%s}\nsteps:\n%s",
                name, family, begin, steps);
    const struct procedure *procedure = made_up_load(&rig, &text, arena);
    text_free(&rig);
    text_free(&text);
    return procedure;
}

static const char *one_step(struct arena *arena, const char *more)
{
    struct text text = {0};
    made_up_step(&text, "one", 0, more);
    const char *copy = arena_copy(arena, text.at, text.length);
    text_free(&text);
    return copy;
}

#define RULE(what)                                                                       \
    "rules:\n  - {rule: the-rule, " what ", hurts: crew, signal: danger, because: It "   \
    "hurts.}\n"
#define MISHAP(can, sets)                                                                \
    "mishaps:\n  m: {words: It goes wrong, looks: Wrong., can: {" can "}, sets: {" sets  \
    "}}\n"

/* A part counts as used by whatever reads or changes it; a recovery also uses what its
 * begin does not allow. */
START_TEST(test_idle_parts)
{
    static const struct {
        const char *family, *rig, *begin, *more;
        int idle;
    } cases[] = {
        {"care", "", "p0: a, p1: a", "    finish: {p0: b}\n", 1},
        {"care", "", "p0: a, p1: a", "    need: {p0: a, p1: a}\n", 0},
        {"care", "", "p0: a, p1: a", "    wait: {p0: a}\n    tends: p1\n", 0},
        {"care", "", "p0: a, p1: a", "    tends: {line: p0, none-when: {p1: b}}\n", 0},
        {"care", RULE("never: {p1: b, p0: b}"), "p0: a, p1: a", "", 0},
        {"care", RULE("never: {p1: b, p2: b}"), "p0: a, p1: a", "    finish: {p0: b}\n",
         1}, /* a rule that is not held reads nothing */
        {"care", MISHAP("p1: a", "p0: c"), "p0: a, p1: a", "", 0},
        {"recovery", "", "p0: a, p1: a", "    finish: {p0: b}\n", 0},
        {"recovery", "", "p0: a, p1: [a, b, c]", "    finish: {p0: b}\n", 1}};
    ck_assert_int_lt(_i, (int)(sizeof cases / sizeof cases[0]));
    struct arena *arena = arena_new();
    struct lints lints = {0};
    const struct procedure *procedure =
        make(arena, "case", cases[_i].family, cases[_i].rig, cases[_i].begin,
             one_step(arena, cases[_i].more));
    lints_of_procedure(procedure, &lints);
    ck_assert_int_eq(count_kind(&lints, LINT_PART_IDLE), cases[_i].idle);
    ck_assert(!cases[_i].idle || lints.at[0].part == 1);
    ck_assert(!cases[_i].idle || lints.at[0].where.line == 6);
    arena_free(arena);
}
END_TEST

/* A rule of one's own that takes two wrong begins is idle, one wrong begin is what a rule
 * is for; a line in hand that nobody lets go is never untended. */
START_TEST(test_idle_rules)
{
    static const struct {
        const char *rule, *more;
        int idle;
    } cases[] = {{RULE("never: {p0: b, p1: a}"), "    finish: {p0: b}\n", 0},
                 {RULE("never: {p0: b, p1: a}"), "", 0},
                 {RULE("never: {p0: b, p1: b}"), "", 1},
                 {RULE("never: {p0: b, p1: b}"), "    start: {p0: b}\n", 0},
                 {RULE("always: {p0: [a, b], p1: a}"), "", 0},
                 {RULE("tended: p0, while: {p1: a}"), "", 1},
                 {RULE("tended: p0, while: {p1: a}"), "    releases: p0\n", 0},
                 {RULE("tended: p1, while: {p0: a}"), "", 0}};
    ck_assert_int_lt(_i, (int)(sizeof cases / sizeof cases[0]));
    struct arena *arena = arena_new();
    struct lints lints = {0};
    const char *steps = arena_printf(arena, "%s%stended: {p0: r0}\n",
                                     one_step(arena, cases[_i].more), cases[_i].rule);
    lints_of_procedure(make(arena, "case", "care", "", "p0: a, p1: a", steps), &lints);
    ck_assert_int_eq(count_kind(&lints, LINT_RULE_IDLE), cases[_i].idle);
    arena_free(arena);
}
END_TEST

/* Of several begins the goal must be made from each. */
START_TEST(test_goal_nobody_writes)
{
    static const struct {
        const char *begin, *more;
        int unwritten;
    } cases[] = {{"p0: a", "", 1},
                 {"p0: b", "", 0},
                 {"p0: [b, a]", "", 1},
                 {"p0: a", "    finish: {p0: b}\n", 0},
                 {"p0: a", "    finish: {p0: c}\n", 1},
                 {"p0: a", "    start: {p0: b}\n    finish: {p0: c}\n", 0}};
    ck_assert_int_lt(_i, (int)(sizeof cases / sizeof cases[0]));
    struct arena *arena = arena_new();
    struct lints lints = {0};
    const char *steps =
        arena_printf(arena, "%sgoal: {p0: b}\n", one_step(arena, cases[_i].more));
    lints_of_procedure(make(arena, "case", "care", "", cases[_i].begin, steps), &lints);
    ck_assert_int_eq(count_kind(&lints, LINT_GOAL_UNWRITTEN), cases[_i].unwritten);
    arena_free(arena);
}
END_TEST

/* The moving value is the one from start to finish; a rule of the rig that is not held
 * here speaks of it all the same. */
START_TEST(test_moving_values)
{
    static const struct {
        const char *rig, *more;
        int unruled;
    } cases[] = {
        {"", "    start: {p0: b}\n    finish: {p0: c}\n", 1},
        {"", "    start: {p0: b}\n", 0},
        {"", "    finish: {p0: b}\n", 0},
        {RULE("never: {p0: b, p1: b}"), "    start: {p0: b}\n    finish: {p0: c}\n", 0},
        {RULE("never: {p0: c, p1: b}"), "    start: {p0: b}\n    finish: {p0: c}\n", 1},
        {RULE("never: {p0: [a, b], p2: b}"), "    start: {p0: b}\n    finish: {p0: c}\n",
         0}};
    ck_assert_int_lt(_i, (int)(sizeof cases / sizeof cases[0]));
    struct arena *arena = arena_new();
    struct lints lints = {0};
    lints_of_procedure(make(arena, "case", "care", cases[_i].rig, "p0: a, p1: a",
                            one_step(arena, cases[_i].more)),
                       &lints);
    ck_assert_int_eq(count_kind(&lints, LINT_MOVING_UNRULED), cases[_i].unruled);
    arena_free(arena);
}
END_TEST

/* What a recovery begins with must come from somewhere: a step, a mishap, a begin; and
 * all of it at once. */
START_TEST(test_recoveries)
{
    static const struct {
        const char *rig, *begin;
        int never, together;
    } cases[] = {{"", "p0: b", 0, 0},                       /* a step makes it so */
                 {"", "p0: c", 1, 0},                       /* nothing does */
                 {MISHAP("p0: b", "p0: c"), "p0: c", 0, 0}, /* a mishap does */
                 {MISHAP("p0: c", "p0: c"), "p0: c", 0, 1}, /* one that cannot happen */
                 {"", "p0: b, p1: a", 0, 1},                /* both change at once */
                 {MISHAP("p0: b", "p1: a"), "p0: b, p1: a", 0, 0},
                 {"", "p0: [c, b], p1: [c, b]", 0, 0},
                 {"", "p0: a, p2: c", 0, 0}}; /* nobody else speaks of p2 */
    ck_assert_int_lt(_i, (int)(sizeof cases / sizeof cases[0]));
    struct arena *arena = arena_new();
    const char *more = "    finish: {p0: b, p1: b}\n";
    const struct procedure *all[2];
    all[0] =
        make(arena, "work", "care", cases[_i].rig, "p0: a, p1: a", one_step(arena, more));
    all[1] = make(arena, "rescue", "recovery", cases[_i].rig, cases[_i].begin,
                  one_step(arena, ""));
    struct lints lints = {0};
    lints_of_recovery(all[1], all, 2, &lints);
    ck_assert_int_eq(count_kind(&lints, LINT_BEGIN_NEVER), cases[_i].never);
    ck_assert_int_eq(count_kind(&lints, LINT_BEGINS_NEVER), cases[_i].together);
    lints.count = 0;
    lints_of_recovery(all[0], all, 2, &lints);     /* it is no recovery */
    lints_of_recovery(all[1], all + 1, 1, &lints); /* there is nothing to compare with */
    ck_assert_int_eq(lints.count, 0);
    arena_free(arena);
}
END_TEST

/* What no procedure of a rig names, and a rule none comes within two wrong parts of. */
START_TEST(test_rigs)
{
    struct arena *arena = arena_new();
    const char *rig = "rules:\n"
                      "  - {rule: near, never: {p0: c, p1: c}, hurts: crew, signal: "
                      "danger, because: It hurts.}\n"
                      "  - {rule: elsewhere, never: {p2: c}, hurts: crew, signal: "
                      "danger, because: It hurts.}\n";
    const struct procedure *one =
        make(arena, "work", "care", rig, "p0: a, p1: a", one_step(arena, ""));
    const struct procedure *two =
        make(arena, "more", "care", rig, "p2: a", one_step(arena, ""));
    const struct procedure *all[] = {one, two};
    struct lints lints = {0};
    lints_of_rig(one->plan, all, 1, &lints);
    ck_assert_int_eq(lints.count, 2);
    ck_assert_int_eq(lints.at[0].kind, LINT_RIG_PART_IDLE);
    ck_assert_int_eq(lints.at[0].part, 2);
    ck_assert_int_eq(lints.at[1].kind, LINT_RIG_RULE_IDLE);
    ck_assert_int_eq(lints.at[1].index, 1);
    lints.count = 0;
    lints_of_rig(one->plan, all, 2, &lints);
    ck_assert_int_eq(lints.count, 0);
    arena_free(arena);
}
END_TEST

static bool stalls(const struct vet_report *report)
{
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == VET_STALL)
            return true;
    return false;
}

/* A wait that can be missed and a step that never starts are stalls of the search; a safe
 * procedure has none of what only orders tell. */
START_TEST(test_orders_against_the_search)
{
    int missed = 0, never = 0, goal = 0, safe = 0;
    for (unsigned round = 0; round < 1500; round++) {
        unsigned seed = round * 7919u + 5u;
        const char *text;
        struct arena *arena = arena_new();
        struct rig *rig = arena_alloc(arena, sizeof *rig);
        struct vet_report *report = arena_alloc(arena, sizeof *report);
        const struct procedure *procedure = random_procedure(arena, &seed, 2, &text);
        struct lints lints = {0};
        if (procedure && vet_rig_of_roles(procedure, true, rig)) {
            vet_search(rig, &no_limits, false, report);
            lints_of_orders(rig, &no_limits, &lints);
            int now_missed = count_kind(&lints, LINT_WAIT_PASSES);
            int now_never = count_kind(&lints, LINT_STEP_NEVER);
            ck_assert_msg(!(now_missed + now_never) || stalls(report), "%s", text);
            ck_assert(!lints.count || report->verdict != VET_SAFE);
            missed += now_missed > 0;
            never += now_never > 0;
            goal += count_kind(&lints, LINT_GOAL_NEVER);
            safe += report->verdict == VET_SAFE;
        }
        arena_free(arena);
    }
    ck_assert_int_gt(missed, 20); /* each kind is exercised */
    ck_assert_int_gt(never, 20);
    ck_assert_int_gt(goal, 20);
    ck_assert_int_gt(safe, 20);
}
END_TEST

/* What never was so is not missed; where card and arrow contradict each other, both steps
 * are told; of steps that follow from another one, the first. */
START_TEST(test_steps_that_never_start)
{
    static const struct {
        const char *first, *second, *third;
        int missed, never;
    } cases[] = {
        {"    finish: {p0: b}\n", "    wait: {p0: c}\n", "", 0, 1},
        {"    start: {p0: c}\n    finish: {p0: b}\n", "    wait: {p0: c}\n", "", 1, 0},
        {"    after: [two]\n", "", "    after: [two]\n", 0, 3},
        {"    wait: {p0: b}\n", "", "    finish: {p0: b}\n    after: [one]\n", 0, 1}};
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct text steps = {0};
    struct lints lints = {0};
    made_up_step(&steps, "one", 0, cases[_i].first);
    made_up_step(&steps, "two", _i == 2 ? 0 : 1, cases[_i].second);
    made_up_step(&steps, "three", 1, cases[_i].third);
    ck_assert(
        vet_rig_of_roles(make(arena, "case", "care", "", "p0: a", steps.at), true, rig));
    lints_of_orders(rig, &no_limits, &lints);
    ck_assert_int_eq(count_kind(&lints, LINT_WAIT_PASSES), cases[_i].missed);
    ck_assert_int_eq(count_kind(&lints, LINT_STEP_NEVER), cases[_i].never);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

/* Cut off, a search has not seen all: what never is is not told. */
START_TEST(test_a_limit_tells_nothing)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct text steps = {0};
    made_up_step(&steps, "one", 0, "    finish: {p0: b}\n");
    made_up_step(&steps, "two", 0, "    wait: {p0: b}\n");
    ck_assert(
        vet_rig_of_roles(make(arena, "case", "care", "", "p0: a", steps.at), true, rig));
    struct lints lints = {0};
    lints_of_orders(rig, &(struct vet_limits){.states = 2}, &lints);
    ck_assert_int_eq(lints.count, 0);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

/* Every shipped procedure on BOARD, with every option once as it is and once not. */
static int load_shipped(struct library *library, enum board board,
                        const struct procedure **out, struct arena *arena)
{
    int count = 0;
    for (int i = 0; i < library->procedure_count; i++) {
        out[count++] = shipped_load(library, i, board, NULL, 0, arena);
        const struct procedure *plain = out[count - 1];
        for (int o = 0; o < plain->option_count; o++) {
            const char *option = arena_printf(arena, "%s=%s", plain->options[o].name,
                                              plain->options[o].on ? "no" : "yes");
            out[count++] = shipped_load(library, i, board, &option, 1, arena);
        }
    }
    return count;
}

enum { LOADED_MAX = 2 * SHIPPED_COUNT * (1 + OPTIONS_MAX) }; /* on both boards */

static int select_of(const struct procedure *const *all, int count, const char *rig,
                     const struct procedure **out)
{
    int found = 0;
    for (int i = 0; i < count; i++)
        if (strcmp(all[i]->plan->name, rig) == 0)
            out[found++] = all[i];
    return found;
}

/* None of what is shipped has a lint; that all of it is safe: test_shipped.c. */
START_TEST(test_shipped)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure **all = arena_alloc(arena, LOADED_MAX * sizeof *all);
    const struct procedure **of_rig = arena_alloc(arena, LOADED_MAX * sizeof *of_rig);
    enum board board = (enum board)_i,
               other = board == BOARD_PORT ? BOARD_STARBOARD : BOARD_PORT;
    int count = load_shipped(library, board, all, arena);
    int both = count + load_shipped(library, other, all + count, arena);
    ck_assert_int_gt(count, SHIPPED_COUNT);
    struct lints lints = {0};
    for (int i = 0; i < count; i++) {
        int others = select_of(all, both, all[i]->plan->name, of_rig);
        lints_of_procedure(all[i], &lints);
        lints_of_recovery(all[i], of_rig, others, &lints);
        others = select_of(all, count, all[i]->plan->name, of_rig);
        lints_of_rig(all[i]->plan, of_rig, others, &lints);
        ck_assert_msg(!lints.count, "%s: a lint of kind %d at %s:%u", all[i]->name,
                      lints.at[0].kind, lints.at[0].where.source->name,
                      lints.at[0].where.line);
    }
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lints");
    TCase *tests = tcase_create("lints");
    tcase_set_timeout(tests, 100);
    tcase_add_loop_test(tests, test_idle_parts, 0, 9);
    tcase_add_loop_test(tests, test_idle_rules, 0, 8);
    tcase_add_loop_test(tests, test_goal_nobody_writes, 0, 6);
    tcase_add_loop_test(tests, test_moving_values, 0, 6);
    tcase_add_loop_test(tests, test_recoveries, 0, 8);
    tcase_add_test(tests, test_rigs);
    tcase_add_test(tests, test_orders_against_the_search);
    tcase_add_loop_test(tests, test_steps_that_never_start, 0, 4);
    tcase_add_test(tests, test_a_limit_tells_nothing);
    tcase_add_loop_test(tests, test_shipped, BOARD_PORT, BOARD_STARBOARD + 1);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
