/* Vet: counts against formulas, small procedures with each verdict, the slips of the
 * shipped jibe against the trade. */
#include "made_up.h"
#include "shipped.h"

#include "vet/checker.h"
#include "vet/repair.h"
#include "vet/slips.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct vet_limits no_limits = {0};

struct case_ {
    struct arena *arena;
    struct text rig, steps;
    const struct procedure *procedure;
    struct rig *made;
    struct vet_report *report;
};

static void begin_case(struct case_ *c, int roles, int parts, const char *more)
{
    *c = (struct case_){.arena = arena_new()};
    made_up_rig(&c->rig, roles, parts, more);
    made_up_head(&c->steps, parts);
}

static void vet_case(struct case_ *c)
{
    c->procedure = made_up_load(&c->rig, &c->steps, c->arena);
    c->made = arena_alloc(c->arena, sizeof *c->made);
    c->report = arena_alloc(c->arena, sizeof *c->report);
    ck_assert(vet_rig_of_roles(c->procedure, true, c->made));
    vet_search(c->made, &no_limits, false, c->report);
    for (int i = 0; i < c->report->found_count; i++)
        ck_assert(vet_replay(c->made, &c->report->found[i]));
}

static void end_case(struct case_ *c)
{
    text_free(&c->rig);
    text_free(&c->steps);
    arena_free(c->arena);
}

/* k roles of n steps without arrows: (2n+1)^k states, 2nk (2n+1)^(k-1) transitions and
 * (2nk)! / (2n)!^k orders: elementary counting (each start and finish is one event). */
START_TEST(test_formula)
{
    static const int sizes[][2] = {{1, 4}, {2, 3}, {3, 2}, {3, 4}, {4, 3}};
    int k = sizes[_i][0], n = sizes[_i][1];
    struct case_ c;
    begin_case(&c, k, 1, "");
    text_add(&c.steps, "goal: {p0: a}\nsteps:\n");
    for (int r = 0; r < k; r++)
        for (int s = 0; s < n; s++) {
            char name[16];
            snprintf(name, sizeof name, "s%d-%d", r, s);
            made_up_step(&c.steps, name, r, "");
        }
    vet_case(&c);
    double orders = exp(lgamma(2.0 * n * k + 1) - k * lgamma(2.0 * n + 1));
    ck_assert_int_eq(c.report->verdict, VET_SAFE);
    ck_assert_uint_eq(c.report->states, (uint64_t)lround(pow(2 * n + 1, k)));
    ck_assert_uint_eq(c.report->transitions,
                      (uint64_t)lround(2.0 * n * k * pow(2 * n + 1, k - 1)));
    ck_assert_double_eq_tol(c.report->orders / orders, 1, 1e-9);
    end_case(&c);
}
END_TEST

/* Two roles: the second opens what the first still loads, unless it waits. */
static void add_two(struct case_ *c, const char *second)
{
    text_add(&c->steps, "goal: {p0: b, p1: c}\nsteps:\n");
    made_up_step(&c->steps, "unload", 0, "    finish: {p0: b}\n");
    made_up_step(&c->steps, "open", 1, second);
}

static const char *const rule_open =
    "rules:\n  - {rule: never-open-loaded, never: {p0: a, p1: b}, hurts: crew, signal: "
    "warning, because: It flies open.}\n";

START_TEST(test_broken_and_mended)
{
    struct case_ c;
    begin_case(&c, 2, 2, rule_open);
    add_two(&c, "    start: {p1: b}\n    finish: {p1: c}\n");
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, VET_BROKEN);
    ck_assert_int_eq(c.report->found_count, 1);
    ck_assert_int_eq(c.report->found[0].way_count, 1);
    ck_assert_int_eq(c.report->found[0].finding.kind, FINDING_RULE);
    struct vet_mend mend = vet_repair(c.made, c.report, &c.report->found[0], &no_limits);
    ck_assert_str_eq(c.procedure->steps[mend.first].name, "unload");
    ck_assert_str_eq(c.procedure->steps[mend.then].name, "open");
    ck_assert(mend.all);
    end_case(&c);
    begin_case(&c, 2, 2, rule_open);
    add_two(&c, "    start: {p1: b}\n    finish: {p1: c}\n    wait: {p0: b}\n");
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, VET_SAFE);
    ck_assert_uint_eq(c.report->states, 5);
    ck_assert_double_eq(c.report->orders, 1);
    end_case(&c);
}
END_TEST

START_TEST(test_need_is_an_obligation)
{
    struct case_ c;
    begin_case(&c, 2, 2, "");
    add_two(&c, "    need: {p0: b}\n    finish: {p1: c}\n");
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, VET_BROKEN);
    ck_assert_int_eq(c.report->found[0].finding.kind, FINDING_NEED);
    ck_assert_int_eq(c.report->found[0].way_count, 1);
    end_case(&c);
}
END_TEST

/* Somebody may still hold the line when another reaches for it. */
START_TEST(test_a_line_is_not_snatched)
{
    struct case_ c;
    struct text said = {0};
    begin_case(&c, 2, 2, "");
    text_add(&c.steps, "goal: {p0: a}\nsteps:\n");
    made_up_step(&c.steps, "have", 0, "    tends: p1\n");
    made_up_step(&c.steps, "let-go", 0, "    releases: p1\n");
    made_up_step(&c.steps, "want", 1,
                 _i ? "    tends: p1\n    after: [let-go]\n"
                    : "    tends: p1\n    after: [have]\n");
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, _i ? VET_SAFE : VET_BROKEN);
    if (!_i) {
        const struct vet_found *found = &c.report->found[0];
        ck_assert_int_eq(found->finding.kind, FINDING_TAKEN);
        ck_assert_int_eq(found->way_count, 3);
        ck_assert(vet_replay(c.made, found));
        bill_say_finding(&found->finding, c.made, NULL, NULL, &said);
        ck_assert_str_eq(said.at, "want takes the part 1 out of another's hand");
    }
    text_free(&said);
    end_case(&c);
}
END_TEST

/* The chance can close: p0 is b only while the first role has not gone on to c. */
START_TEST(test_stall)
{
    struct case_ c;
    begin_case(&c, 2, 2, "");
    text_add(&c.steps, "goal: {p0: c}\nsteps:\n");
    made_up_step(&c.steps, "to-b", 0, "    finish: {p0: b}\n");
    made_up_step(&c.steps, "to-c", 0, "    finish: {p0: c}\n");
    made_up_step(&c.steps, "when-b", 1, "    wait: {p0: b}\n");
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, VET_STALL);
    ck_assert_int_eq(c.report->found[0].way_count, 4);
    end_case(&c);
}
END_TEST

START_TEST(test_wrong_end)
{
    struct case_ c;
    begin_case(&c, 2, 1, "");
    text_add(&c.steps, "goal: {p0: c}\nsteps:\n");
    made_up_step(&c.steps, "to-b", 0, "    finish: {p0: b}\n");
    made_up_step(&c.steps, "to-c", 1, "    finish: {p0: c}\n");
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, VET_WRONG_END); /* the writes race */
    ck_assert_int_eq(c.report->found[0].way_count, 4);
    end_case(&c);
}
END_TEST

START_TEST(test_every_begin)
{
    struct case_ c;
    begin_case(&c, 1, 2, rule_open);
    char *begin = strstr(c.steps.at, "p0: a, p1: a");
    ck_assert_ptr_nonnull(begin);
    struct text listed = {0};
    text_add_bytes(&listed, c.steps.at, (size_t)(begin - c.steps.at));
    text_add(&listed, "p0: [c, b, a], p1: a");
    text_add(&listed, begin + strlen("p0: a, p1: a"));
    text_free(&c.steps);
    c.steps = listed;
    text_add(&c.steps, "goal: {p1: c}\nsteps:\n");
    made_up_step(&c.steps, "open", 0, "    start: {p1: b}\n    finish: {p1: c}\n");
    vet_case(&c);
    ck_assert_uint_eq(c.report->begins, 3);
    ck_assert_int_eq(c.report->verdict, VET_BROKEN); /* only from the third of them */
    vet_search(c.made, &no_limits, true, c.report);
    ck_assert_uint_eq(c.report->begins, 1);
    ck_assert_int_eq(c.report->verdict, VET_SAFE);
    end_case(&c);
}
END_TEST

START_TEST(test_limit_claims_nothing)
{
    struct case_ c;
    begin_case(&c, 3, 1, "");
    text_add(&c.steps, "goal: {p0: a}\nsteps:\n");
    for (int r = 0; r < 3; r++)
        for (int s = 0; s < 4; s++) {
            char name[16];
            snprintf(name, sizeof name, "s%d-%d", r, s);
            made_up_step(&c.steps, name, r, "");
        }
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, VET_SAFE);
    const struct vet_limits limits = {.states = 728};
    vet_search(c.made, &limits, false, c.report);
    ck_assert_int_eq(c.report->verdict, VET_UNDECIDED);
    ck_assert_uint_eq(c.report->states, 728);
    end_case(&c);
}
END_TEST

/* Common practice, the card of the dip-pole jibe: forgetting the stand-by call, freeing
 * the foreguy, the warning of heads and coming in from the pulpit each hurt by a named
 * rule; forgetting the trip lets the boom over with the old guy in the jaw, forgetting to
 * raise the lift lets the foreguy be made fast too soon. */
START_TEST(test_slips_of_the_jibe)
{
    static const char *const hurting[] = {"stand-by", "foreguy-ease", "trip",
                                          "heads",    "bow-in",       "lift-up"};
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_named(shipped_library(arena), "dip-pole-jibe",
                      _i ? BOARD_PORT : BOARD_STARBOARD, arena);
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    ck_assert(vet_rig_of_roles(procedure, false, rig));
    vet_omissions(rig, &no_limits, slips);
    uint8_t steps[STEPS_MAX];
    int count = slips_must_not_miss(slips, steps);
    ck_assert_int_eq(count, (int)(sizeof hurting / sizeof hurting[0]));
    for (int i = 0; i < count; i++) {
        bool named = false;
        for (int j = 0; j < count; j++)
            named |= strcmp(procedure->steps[steps[i]].name, hurting[j]) == 0;
        ck_assert_msg(named, "%s", procedure->steps[steps[i]].name);
    }
    ck_assert_str_eq(procedure->steps[steps[0]].name, "heads"); /* DANGER first */
    arena_free(arena);
}
END_TEST

/* Either of two guards is enough; without both it breaks: only the pair hurts. */
START_TEST(test_pairs_and_wrong_begins)
{
    struct case_ c;
    begin_case(&c, 2, 2, rule_open);
    add_two(&c, "    start: {p1: b}\n    finish: {p1: c}\n    wait: {p0: b}\n    after: "
                "[unload]\n");
    text_add(&c.steps, "checks:\n  - {ask: r0, question: Is p0 as it should be?, answer: "
                       "It is, covers: p0}\n");
    vet_case(&c);
    ck_assert_int_eq(c.report->verdict, VET_SAFE);
    struct slips *slips = arena_alloc(c.arena, sizeof *slips);
    struct slip_pairs *pairs = arena_alloc(c.arena, sizeof *pairs);
    vet_slips(c.made, &no_limits, slips);
    int begins = 0, unasked = 0, cues_hurting = 0;
    for (int i = 0; i < slips->count; i++) {
        begins += slips->at[i].kind == SLIP_BEGIN;
        unasked += slip_unasked(c.made, &slips->at[i]);
        cues_hurting += slips->at[i].outcome == VET_BROKEN &&
                        slips->at[i].kind != SLIP_BEGIN && slip_is_single(&slips->at[i]);
    }
    ck_assert_int_eq(begins, 4);  /* b and c of each part */
    ck_assert_int_eq(unasked, 0); /* p1: b is wrong at once, everybody sees it */
    ck_assert_int_eq(cues_hurting, 0);
    vet_pairs(c.made, slips, &no_limits, pairs);
    bool both = false;
    for (int i = 0; i < pairs->count; i++)
        both |= pairs->at[i].a.kind == SLIP_AFTER && pairs->at[i].b.kind == SLIP_WAIT;
    ck_assert(both);
    end_case(&c);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("vet");
    TCase *small = tcase_create("small");
    tcase_add_loop_test(small, test_formula, 0, 5);
    tcase_add_test(small, test_broken_and_mended);
    tcase_add_test(small, test_need_is_an_obligation);
    tcase_add_loop_test(small, test_a_line_is_not_snatched, 0, 2);
    tcase_add_test(small, test_stall);
    tcase_add_test(small, test_wrong_end);
    tcase_add_test(small, test_every_begin);
    tcase_add_test(small, test_limit_claims_nothing);
    tcase_add_test(small, test_pairs_and_wrong_begins);
    suite_add_tcase(suite, small);
    TCase *large = tcase_create("large");
    tcase_set_timeout(large, 100);
    tcase_add_loop_test(large, test_slips_of_the_jibe, 0, 2);
    suite_add_tcase(suite, large);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
