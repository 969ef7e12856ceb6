/* Shares: how many ways there are against a table, one small procedure for each outcome,
 * the shipped jibes against what merging can and cannot do. */
#include "made_up.h"
#include "shipped.h"

#include "vet/shares.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static const struct vet_limits no_limits = {0};

struct case_ {
    struct arena *arena;
    struct text rig, steps;
    struct shares *shares;
};

static void begin_case(struct case_ *c, int roles, int parts)
{
    *c = (struct case_){.arena = arena_new()};
    made_up_rig(&c->rig, roles, parts, "");
    made_up_head(&c->steps, parts);
}

static void share_case(struct case_ *c)
{
    const struct procedure *procedure = made_up_load(&c->rig, &c->steps, c->arena);
    c->shares = arena_alloc(c->arena, sizeof *c->shares);
    vet_shares(procedure, true, 1, &no_limits, c->shares);
}

static void end_case(struct case_ *c)
{
    text_free(&c->rig);
    text_free(&c->steps);
    arena_free(c->arena);
}

/* The Stirling numbers of the second kind S(6, n), the ways to part six into n heaps:
 * NIST Digital Library of Mathematical Functions, table 26.8.2 (from memory), which its
 * recurrence 26.8.22 gives as well. */
static uint32_t stirling_by_recurrence(int n, int k)
{
    if (n == 0 || k == 0)
        return n == k;
    return (uint32_t)k * stirling_by_recurrence(n - 1, k) +
           stirling_by_recurrence(n - 1, k - 1);
}

START_TEST(test_ways)
{
    static const uint32_t stirling[] = {0, 1, 31, 90, 65, 15, 1};
    struct case_ c;
    begin_case(&c, 6, 1);
    text_add(&c.steps, "goal: {p0: a}\nsteps:\n");
    for (int r = 0; r < 6; r++) {
        char name[16];
        snprintf(name, sizeof name, "s%d", r);
        made_up_step(&c.steps, name, r, "");
    }
    share_case(&c);
    ck_assert_int_eq(c.shares->role_count, 6);
    for (int hands = 1; hands <= 6; hands++) {
        ck_assert_uint_eq(stirling_by_recurrence(6, hands), stirling[hands]);
        ck_assert_uint_eq(c.shares->of_hands[hands].ways, stirling[hands]);
        ck_assert_uint_eq(c.shares->of_hands[hands].any_order, stirling[hands]);
    }
    ck_assert_int_eq(c.shares->pair_count, 15);
    end_case(&c);
}
END_TEST

static const struct share_pair *only_pair(const struct case_ *c)
{
    ck_assert_int_eq(c->shares->pair_count, 1);
    return &c->shares->pairs[0];
}

/* Who holds a line here cannot work with two hands: not while holding it. */
static void add_holder(struct case_ *c)
{
    text_add(&c->steps, "goal: {p0: b}\nsteps:\n");
    made_up_step(&c->steps, "take", 0, "    tends: p0\n");
}

START_TEST(test_file_order_only)
{
    struct case_ c;
    begin_case(&c, 2, 1);
    add_holder(&c);
    made_up_step(&c.steps, "let-go", 0, "    releases: p0\n    finish: {p0: b}\n");
    made_up_step(&c.steps, "heave", 1, "    hands: 2\n");
    share_case(&c);
    ck_assert_int_eq(only_pair(&c)->outcome, SHARE_FILE_ORDER);
    ck_assert_uint_eq(c.shares->of_hands[1].file_order, 1);
    ck_assert_uint_eq(c.shares->of_hands[2].any_order, 1);
    end_case(&c);
}
END_TEST

START_TEST(test_not_one_hand)
{
    struct case_ c;
    begin_case(&c, 2, 1);
    add_holder(&c);
    made_up_step(&c.steps, "heave", 1, "    hands: 2\n    after: [take]\n");
    made_up_step(&c.steps, "let-go", 0,
                 "    releases: p0\n    finish: {p0: b}\n    after: [heave]\n");
    share_case(&c);
    const struct share_pair *pair = only_pair(&c);
    ck_assert_int_eq(pair->outcome, SHARE_NOT);
    ck_assert_int_eq(pair->verdict, VET_BROKEN);
    ck_assert_int_eq(pair->finding.kind, FINDING_HANDS);
    end_case(&c);
}
END_TEST

START_TEST(test_joint)
{
    struct case_ c;
    begin_case(&c, 2, 1);
    text_add(&c.steps, "goal: {p0: a}\nsteps:\n  - step: both\n    roles: [r0, r1]\n    "
                       "at: here\n    do: Do it.\n    takes: [1 s, 2 s, 3 s]\n");
    share_case(&c);
    ck_assert_int_eq(only_pair(&c)->outcome, SHARE_JOINT);
    struct rig rig;
    const struct procedure *procedure = made_up_load(&c.rig, &c.steps, c.arena);
    ck_assert(!share_pair_rig(procedure, true, only_pair(&c), &rig));
    end_case(&c);
}
END_TEST

START_TEST(test_limit_claims_nothing)
{
    struct case_ c;
    begin_case(&c, 2, 1);
    text_add(&c.steps, "goal: {p0: a}\nsteps:\n");
    made_up_step(&c.steps, "one", 0, "");
    made_up_step(&c.steps, "other", 1, "");
    const struct procedure *procedure = made_up_load(&c.rig, &c.steps, c.arena);
    const struct vet_limits few = {.states = 3};
    c.shares = arena_alloc(c.arena, sizeof *c.shares);
    vet_shares(procedure, true, 1, &few, c.shares);
    ck_assert_int_eq(only_pair(&c)->outcome, SHARE_OPEN);
    ck_assert_uint_eq(c.shares->of_hands[2].open, 1);
    end_case(&c);
}
END_TEST

/* Merging only takes orders away: no share breaks a rule.  Whoever steers leaves the helm
 * for no work forward (common practice: the helm is never left). */
START_TEST(test_shipped)
{
    static const char *const files[] = {"dip-pole-jibe", "end-for-end-jibe",
                                        "bear-away-set"};
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_named(shipped_library(arena), files[_i], BOARD_STARBOARD, arena);
    struct shares *shares = arena_alloc(arena, sizeof *shares);
    vet_shares(procedure, false, 5, &no_limits, shares);
    ck_assert_uint_eq(shares->of_hands[shares->role_count].any_order, 1);
    int helm_refused = 0;
    for (int hands = shares->least; hands <= shares->role_count; hands++) {
        ck_assert_uint_eq(shares->of_hands[hands].rules_broken, 0);
        ck_assert_uint_eq(shares->of_hands[hands].open, 0);
    }
    for (int i = 0; i < shares->pair_count; i++) {
        const struct share_pair *pair = &shares->pairs[i];
        helm_refused += pair->outcome == SHARE_NOT && pair->finding.kind == FINDING_HELM;
    }
    ck_assert_int_ge(helm_refused, 2);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("shares");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 100);
    tcase_add_test(all, test_ways);
    tcase_add_test(all, test_file_order_only);
    tcase_add_test(all, test_not_one_hand);
    tcase_add_test(all, test_joint);
    tcase_add_test(all, test_limit_claims_nothing);
    tcase_add_loop_test(all, test_shipped, 0, 3);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
