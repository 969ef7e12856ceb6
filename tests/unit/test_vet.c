/* Vet: counts against formulas, verdicts against a search that shares no code with it,
 * small procedures with each verdict, the slips of the shipped jibe against the trade. */
#include "made_up.h"
#include "shipped.h"

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
    int step;
    int repair = vet_repair(c.made, &c.report->found[0], &no_limits, &step);
    ck_assert_str_eq(c.procedure->steps[repair].name, "unload");
    ck_assert_str_eq(c.procedure->steps[step].name, "open");
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

/* A search that shares nothing with vet_search: depth first, states in a plain list. */
struct other {
    const struct rig *rig;
    struct rig_state seen[4096];
    int count;
    bool broken, stall, wrong_end, full;
};

static bool other_knows(const struct other *o, const struct rig_state *state)
{
    for (int i = 0; i < o->count; i++)
        if (memcmp(&o->seen[i], state, sizeof *state) == 0)
            return true;
    return false;
}

static void other_visit(struct other *o, const struct rig_state *state)
{
    if (o->full || other_knows(o, state))
        return;
    if (o->count == 4096) {
        o->full = true;
        return;
    }
    o->seen[o->count++] = *state;
    struct findings found = {0};
    rig_find(o->rig, state, &found);
    step_set ready = rig_ready(o->rig, state), may_end = rig_may_end(o->rig, state);
    for (int s = 0; s < o->rig->procedure->step_count; s++) {
        struct rig_state next = *state;
        if (ready >> s & 1) {
            rig_find_start(o->rig, state, s, &found);
            rig_begin(o->rig, &next, s);
            other_visit(o, &next);
        }
        next = *state;
        if (may_end >> s & 1) {
            rig_find_finish(o->rig, state, s, &found);
            rig_end(o->rig, &next, s);
            other_visit(o, &next);
        }
    }
    o->broken |= found.count > 0;
    if (!ready && !may_end && !rig_ended(o->rig, state))
        o->stall = true;
    if (rig_ended(o->rig, state) && rig_short_of_goal(o->rig, state))
        o->wrong_end = true;
}

static unsigned next_random(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u; /* an ordinary linear congruence */
    return *seed >> 16;
}

static void add_random_step(struct text *out, unsigned *seed, int s, int roles, int parts)
{
    struct text more = {0};
    text_add(&more, "");
    int first = (int)(next_random(seed) % (unsigned)parts);
    if (next_random(seed) % 3 == 0)
        text_printf(&more, "    start: {p%d: %c}\n", first, 'a' + next_random(seed) % 3);
    if (next_random(seed) % 3)
        text_printf(&more, "    finish: {p%d: %c}\n", first, 'a' + next_random(seed) % 3);
    if (next_random(seed) % 3 == 0)
        text_printf(&more, "    wait: {p%d: [%c, %c]}\n",
                    (int)(next_random(seed) % (unsigned)parts), 'b',
                    next_random(seed) % 2 ? 'a' : 'c');
    if (next_random(seed) % 6 == 0)
        text_printf(&more, "    need: {p%d: [a, b]}\n",
                    (int)(next_random(seed) % (unsigned)parts));
    if (s > 0 && next_random(seed) % 3 == 0)
        text_printf(&more, "    after: [s%d]\n", (int)(next_random(seed) % (unsigned)s));
    else if (s > 0 && next_random(seed) % 4 == 0)
        text_printf(&more, "    after: [{step: s%d, started: yes}]\n",
                    (int)(next_random(seed) % (unsigned)s));
    if (next_random(seed) % 5 == 0)
        text_printf(&more, "    tends: p%d\n    hands: 2\n", first);
    char name[16];
    snprintf(name, sizeof name, "s%d", s);
    made_up_step(out, name, (int)(next_random(seed) % (unsigned)roles), more.at);
    text_free(&more);
}

START_TEST(test_agrees_with_another_search)
{
    int outcomes[4] = {0};
    for (unsigned round = 0; round < 400; round++) {
        unsigned seed = round * 7919u + 17u;
        int roles = 2 + (int)(next_random(&seed) % 2),
            parts = 2 + (int)(next_random(&seed) % 2);
        struct case_ c;
        begin_case(&c, roles, parts,
                   "rules:\n  - {rule: one, never: {p0: b, p1: b}, hurts: crew, signal: "
                   "danger, because: One.}\n");
        text_printf(&c.steps, "goal: {p0: [%c, b]}\nsteps:\n",
                    next_random(&seed) % 2 ? 'a' : 'c');
        int steps = 3 + (int)(next_random(&seed) % 3);
        for (int s = 0; s < steps; s++)
            add_random_step(&c.steps, &seed, s, roles, parts);
        vet_case(&c);
        struct other *o = arena_alloc(c.arena, sizeof *o);
        struct rig_state start;
        o->rig = c.made;
        rig_start(c.made, &start);
        other_visit(o, &start);
        ck_assert(!o->full);
        ck_assert_uint_eq(c.report->states, (uint64_t)o->count);
        enum vet_verdict expected = o->broken      ? VET_BROKEN
                                    : o->stall     ? VET_STALL
                                    : o->wrong_end ? VET_WRONG_END
                                                   : VET_SAFE;
        ck_assert_int_eq(c.report->verdict, expected);
        outcomes[expected]++;
        end_case(&c);
    }
    for (int i = 0; i < 4; i++)
        ck_assert_int_gt(outcomes[i], 5); /* each kind is exercised */
}
END_TEST

/* Common practice, the card of the dip-pole jibe: forgetting the stand-by call, freeing
 * the foreguy, the warning of heads and coming in from the pulpit each hurt by a named
 * rule; forgetting to raise the lift lets the foreguy be made fast too soon. */
START_TEST(test_slips_of_the_jibe)
{
    static const char *const hurting[] = {"stand-by", "foreguy-ease", "heads", "bow-in",
                                          "lift-up"};
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
        cues_hurting +=
            slips->at[i].outcome == VET_BROKEN && slips->at[i].kind != SLIP_BEGIN;
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
    tcase_add_test(large, test_agrees_with_another_search);
    tcase_add_loop_test(large, test_slips_of_the_jibe, 0, 2);
    suite_add_tcase(suite, large);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
