/* Slips on small procedures where one can say what each must do: which is one hand's
 * swap, what a need is worth, what carries nothing, how many slips a rule takes. */
#include "made_up_random.h"

#include "vet/slip_try.h"

static const struct vet_limits no_limits = {0};

struct case_ {
    struct arena *arena;
    struct text rig_text, steps;
    const struct procedure *procedure;
    struct rig *rig;
    struct slips *slips;
};

static void begin_case(struct case_ *c, int roles, int parts, const char *rules)
{
    *c = (struct case_){.arena = arena_new()};
    made_up_rig(&c->rig_text, roles, parts, rules);
    made_up_head(&c->steps, parts);
    text_add(&c->steps, "goal: {p1: [a, b, c]}\nsteps:\n");
}

static void slip_case(struct case_ *c)
{
    c->procedure = made_up_load(&c->rig_text, &c->steps, c->arena);
    c->rig = arena_alloc(c->arena, sizeof *c->rig);
    c->slips = arena_alloc(c->arena, sizeof *c->slips);
    ck_assert(vet_rig_of_roles(c->procedure, true, c->rig));
    vet_slips(c->rig, &no_limits, c->slips);
}

static void end_case(struct case_ *c)
{
    text_free(&c->rig_text);
    text_free(&c->steps);
    arena_free(c->arena);
}

/* The slip of that kind of STEP, and of OTHER where it is named; NULL: there is none. */
static const struct slip *slip_of(const struct case_ *c, enum slip_kind kind,
                                  const char *step, const char *other)
{
    for (int i = 0; i < c->slips->count; i++) {
        const struct slip *slip = &c->slips->at[i];
        if (slip->kind == kind && slip->step == procedure_step(c->procedure, step) &&
            (!other || slip->other == procedure_step(c->procedure, other)))
            return slip;
    }
    return NULL;
}

static enum rule_guard guard_of(const struct case_ *c, const struct slip_pairs *pairs)
{
    enum rule_guard guards[RULES_MAX];
    vet_guards(c->rig, c->slips, pairs, guards);
    return guards[0];
}

#define RULE(what)                                                                       \
    "rules:\n  - {rule: the-rule, " what ", hurts: crew, signal: danger, because: It "   \
    "hurts.}\n"

/* Two neighbours of one hand: done the other way round the rule breaks. */
START_TEST(test_swap_hurts)
{
    struct case_ c;
    begin_case(&c, 2, 2, RULE("never: {p0: a, p1: b}"));
    made_up_step(&c.steps, "unload", 0, "    finish: {p0: b}\n");
    made_up_step(&c.steps, "open", 0, "    start: {p1: b}\n");
    made_up_step(&c.steps, "look", 1, "");
    made_up_step(&c.steps, "tell", 1, "");
    slip_case(&c);
    const struct slip *swap = slip_of(&c, SLIP_SWAP, "open", "unload");
    ck_assert_ptr_nonnull(swap);
    ck_assert_int_eq(swap->outcome, VET_BROKEN);
    ck_assert(slip_breaks(swap, 0));
    ck_assert_uint_eq(swap->events, 1);
    ck_assert(!swap->barred);
    ck_assert_int_eq(slip_of(&c, SLIP_SWAP, "tell", "look")->outcome, VET_SAFE);
    ck_assert_ptr_null(slip_of(&c, SLIP_SWAP, "look", "open")); /* another hand's */
    ck_assert_ptr_null(slip_of(&c, SLIP_SWAP, "unload", "open"));
    end_case(&c);
}
END_TEST

/* An arrow, straight or by way of another hand, bars the swap; a wait does not: somebody
 * may still wait for ever, but by what the rig does. */
START_TEST(test_swap_barred)
{
    static const char *const cues[] = {"    after: [one]\n", "    after: [other]\n",
                                       "    after: [{step: one, started: yes}]\n",
                                       "    wait: {p0: b}\n"};
    struct case_ c;
    begin_case(&c, 2, 2, "");
    made_up_step(&c.steps, "one", 0, "    finish: {p0: b}\n");
    made_up_step(&c.steps, "other", 1, "    after: [one]\n");
    made_up_step(&c.steps, "two", 0, cues[_i]);
    slip_case(&c);
    const struct slip *swap = slip_of(&c, SLIP_SWAP, "two", "one");
    ck_assert_int_eq(swap->outcome, VET_STALL);
    ck_assert_int_eq(swap->barred, _i < 3);
    end_case(&c);
}
END_TEST

/* A joint step stands on two cards; a swap is one hand's, on its own card. */
START_TEST(test_swap_of_a_joint_step)
{
    struct case_ c;
    begin_case(&c, 2, 2, "");
    made_up_step(&c.steps, "first", 0, "");
    made_up_step(&c.steps, "second", 1, "");
    text_add(&c.steps, "  - step: both\n    roles: [r0, r1]\n    at: here\n    do: Do "
                       "it.\n    takes: [1 s, 2 s, 3 s]\n");
    slip_case(&c);
    ck_assert_int_eq(slip_of(&c, SLIP_SWAP, "both", "first")->outcome, VET_SAFE);
    ck_assert_int_eq(slip_of(&c, SLIP_SWAP, "both", "second")->outcome, VET_SAFE);
    struct changed *changed = arena_alloc(c.arena, sizeof *changed);
    changed_copy(c.rig, changed);
    changed_slip(changed, c.rig, slip_of(&c, SLIP_SWAP, "both", "first"));
    ck_assert_uint_eq(changed->rig.cards[0].steps[0], 2);
    ck_assert_uint_eq(changed->rig.cards[1].steps[0], 1); /* the other hand's stays */
    end_case(&c);
}
END_TEST

/* Ignoring a need breaks nothing by itself.  It is worth something where it alone tells
 * of a slip, nothing where a rule tells of the same. */
START_TEST(test_need_ignored)
{
    const char *const rules[] = {"", RULE("when: {start: open}, need: {p0: b}")};
    struct case_ c;
    begin_case(&c, 2, 2, "");
    made_up_step(&c.steps, "unload", 0, "    finish: {p0: b}\n");
    made_up_step(&c.steps, "open", 1,
                 "    after: [unload]\n    need: {p0: b}\n    finish: {p1: b}\n");
    text_add(&c.steps, rules[_i]);
    slip_case(&c);
    const struct slip *ignored = slip_of(&c, SLIP_NEED, "open", NULL);
    const struct slip *forgotten = slip_of(&c, SLIP_OMIT, "unload", NULL);
    ck_assert_int_eq(ignored->outcome, VET_SAFE);
    ck_assert_int_eq(forgotten->outcome, VET_BROKEN);
    ck_assert_uint_eq(forgotten->unmet, 2); /* bit 1: open */
    ck_assert_int_eq(slip_carries_nothing(c.slips, ignored), _i == 1);
    ck_assert_ptr_null(slip_of(&c, SLIP_NEED, "unload", NULL)); /* it has none */
    end_case(&c);
}
END_TEST

/* With both cues each can be missed, without any it hurts: only the two together carry.
 */
START_TEST(test_cues_that_carry_nothing)
{
    struct case_ c;
    begin_case(&c, 2, 2, RULE("never: {p0: a, p1: b}"));
    made_up_step(&c.steps, "unload", 0, "    finish: {p0: b}\n");
    made_up_step(&c.steps, "look", 0, "    after: [unload]\n");
    made_up_step(&c.steps, "open", 1,
                 "    after: [unload]\n    wait: {p0: b}\n    start: {p1: b}\n");
    made_up_step(&c.steps, "tell", 1, "    after: [look]\n");
    slip_case(&c);
    const struct slip *after = slip_of(&c, SLIP_AFTER, "open", "unload");
    const struct slip *wait = slip_of(&c, SLIP_WAIT, "open", NULL);
    const struct slip *all = slip_of(&c, SLIP_SOON, "open", NULL);
    ck_assert(slip_carries_nothing(c.slips, after));
    ck_assert(slip_carries_nothing(c.slips, wait));
    ck_assert(slip_carries_nothing(c.slips, slip_of(&c, SLIP_AFTER, "look", "unload")));
    ck_assert_int_eq(all->outcome, VET_BROKEN);
    ck_assert(!slip_is_single(all));
    ck_assert(!slip_carries_nothing(c.slips, all));
    ck_assert_ptr_null(slip_of(&c, SLIP_SOON, "tell", NULL)); /* one cue: in the list */
    ck_assert_ptr_null(slip_of(&c, SLIP_SOON, "unload", NULL));
    end_case(&c);
}
END_TEST

/* A wrong begin that hurts only where it is wrong at once is seen before the go; where it
 * shows later a check must ask. */
START_TEST(test_begins_that_are_seen)
{
    static const struct {
        const char *more, *check;
        bool seen, unasked;
    } cases[] = {{"", "", true, false},
                 {"    finish: {p1: b}\n", "", false, true},
                 {"    finish: {p1: b}\n", "p0", false, false},
                 {"    finish: {p1: b}\n", "p1", false, true}};
    struct case_ c;
    begin_case(&c, 1, 2, RULE("never: {p0: c, p1: b}"));
    char *begin = strstr(c.steps.at, "p0: a, p1: a");
    ck_assert_ptr_nonnull(begin);
    struct text listed = {0};
    text_printf(&listed, "%.*sp0: a, p1: [a, b]%s", (int)(begin - c.steps.at), c.steps.at,
                begin + strlen("p0: a, p1: a"));
    text_free(&c.steps);
    c.steps = listed;
    made_up_step(&c.steps, "one", 0, cases[_i].more);
    if (*cases[_i].check)
        text_printf(&c.steps,
                    "checks:\n  - {ask: r0, question: Is it so?, answer: It is, covers: "
                    "%s}\n",
                    cases[_i].check);
    slip_case(&c);
    const struct slip *wrong = NULL;
    for (int i = 0; i < c.slips->count; i++)
        if (c.slips->at[i].kind == SLIP_BEGIN && c.slips->at[i].other == 2)
            wrong = wrong ? wrong : &c.slips->at[i];
    ck_assert_ptr_nonnull(wrong);
    ck_assert_int_eq(wrong->step, 0); /* p0: c */
    ck_assert_int_eq(wrong->outcome, VET_BROKEN);
    ck_assert_uint_eq(wrong->events, 0); /* with p1: b */
    ck_assert_int_eq(wrong->seen, cases[_i].seen);
    ck_assert_int_eq(slip_unasked(c.rig, wrong), cases[_i].unasked);
    end_case(&c);
}
END_TEST

/* One, two and three cues between the step and the accident; a begin that is wrong, and
 * two; and two steps of one hand, which no order brings together. */
START_TEST(test_slips_it_takes)
{
    static const struct {
        const char *rules, *cues;
        enum rule_guard alone, with_pairs;
    } cases[] = {{RULE("never-together: [unload, open]"), "    after: [unload]\n",
                  GUARD_ONE, GUARD_ONE},
                 {RULE("never-together: [unload, open]"),
                  "    after: [unload]\n    wait: {p0: b}\n", GUARD_MORE, GUARD_TWO},
                 {RULE("never-together: [unload, open]"),
                  "    after: [unload]\n    wait: {p0: b, p2: b}\n", GUARD_MORE,
                  GUARD_MORE},
                 {RULE("never: {p1: c}"), "", GUARD_ONE, GUARD_ONE},
                 {RULE("never: {p1: c, p0: c}"), "", GUARD_IDLE, GUARD_TWO},
                 {RULE("never-together: [unload, look]"), "", GUARD_IDLE, GUARD_IDLE}};
    struct case_ c;
    begin_case(&c, 2, 3, "");
    made_up_step(&c.steps, "unload", 0, "    finish: {p0: b, p2: b}\n");
    made_up_step(&c.steps, "look", 0, "");
    made_up_step(&c.steps, "open", 1, cases[_i].cues);
    text_add(&c.steps, cases[_i].rules);
    slip_case(&c);
    struct slip_pairs *pairs = arena_alloc(c.arena, sizeof *pairs);
    vet_pairs(c.rig, c.slips, &no_limits, pairs);
    ck_assert_int_eq(guard_of(&c, NULL), cases[_i].alone);
    ck_assert_int_eq(guard_of(&c, pairs), cases[_i].with_pairs);
    end_case(&c);
}
END_TEST

/* Guarded by the card and by an arrow: one hand could do it the other way round, so the
 * rule is at stake, and it takes both to break it. */
START_TEST(test_guarded_by_card_and_arrow)
{
    struct case_ c;
    begin_case(&c, 1, 3, RULE("never: {p0: c, p1: b, p2: b}"));
    made_up_step(&c.steps, "first", 0, "    start: {p0: c}\n    finish: {p0: b}\n");
    made_up_step(&c.steps, "second", 0,
                 "    after: [first]\n    finish: {p1: b, p2: b}\n");
    slip_case(&c);
    struct slip_pairs *pairs = arena_alloc(c.arena, sizeof *pairs);
    vet_pairs(c.rig, c.slips, &no_limits, pairs);
    ck_assert(slip_of(&c, SLIP_SWAP, "second", "first")->barred);
    ck_assert_int_eq(guard_of(&c, NULL), GUARD_MORE);
    ck_assert_int_eq(guard_of(&c, pairs), GUARD_TWO);
    end_case(&c);
}
END_TEST

/* The arrow from first to last follows from the two by way of middle; where middle is
 * forgotten it does not, and the pair hurts. */
START_TEST(test_an_arrow_that_followed)
{
    struct case_ c;
    begin_case(&c, 3, 2, "");
    made_up_step(&c.steps, "first", 0, "");
    made_up_step(&c.steps, "middle", 1, "    after: [first]\n");
    made_up_step(&c.steps, "last", 2, "    after: [first, middle]\n");
    text_add(&c.steps, RULE("never-together: [first, last]"));
    slip_case(&c);
    struct slip_pairs *pairs = arena_alloc(c.arena, sizeof *pairs);
    vet_pairs(c.rig, c.slips, &no_limits, pairs);
    ck_assert_int_eq(slip_of(&c, SLIP_AFTER, "last", "first")->outcome, VET_SAFE);
    bool found = false;
    for (int i = 0; i < pairs->count; i++)
        found |= pairs->at[i].a.kind == SLIP_OMIT && pairs->at[i].a.step == 1 &&
                 pairs->at[i].b.kind == SLIP_AFTER && pairs->at[i].b.other == 0;
    ck_assert(found);
    end_case(&c);
}
END_TEST

/* On a card of free order nothing follows from the card, and there is nothing to swap. */
START_TEST(test_free_order)
{
    struct case_ c;
    begin_case(&c, 1, 2, "");
    made_up_step(&c.steps, "first", 0, "");
    made_up_step(&c.steps, "second", 0, "    after: [first]\n");
    text_add(&c.steps, RULE("before: [first, second]"));
    slip_case(&c);
    ck_assert_int_eq(slip_of(&c, SLIP_AFTER, "second", "first")->outcome, VET_SAFE);
    c.rig->cards[0].free_order = true;
    vet_slips(c.rig, &no_limits, c.slips);
    ck_assert_int_eq(slip_of(&c, SLIP_AFTER, "second", "first")->outcome, VET_BROKEN);
    ck_assert_ptr_null(slip_of(&c, SLIP_SWAP, "second", "first"));
    end_case(&c);
}
END_TEST

static bool stop_after(void *left)
{
    return --*(int *)left < 0;
}

/* Stopped, what was not tried is undecided, never harmless. */
START_TEST(test_stopped)
{
    struct case_ c;
    begin_case(&c, 2, 2, RULE("never: {p0: a, p1: b}"));
    made_up_step(&c.steps, "unload", 0, "    finish: {p0: b}\n");
    made_up_step(&c.steps, "open", 1, "    wait: {p0: b}\n    start: {p1: b}\n");
    slip_case(&c);
    ck_assert(!c.slips->cut);
    int left = 2, undecided = 0;
    const struct vet_limits limits = {.stop = stop_after, .payload = &left};
    struct slips *stopped = arena_alloc(c.arena, sizeof *stopped);
    struct slip_pairs *pairs = arena_alloc(c.arena, sizeof *pairs);
    vet_slips(c.rig, &limits, stopped);
    ck_assert_int_eq(stopped->count, c.slips->count);
    for (int i = 0; i < stopped->count; i++) {
        undecided += stopped->at[i].outcome == VET_UNDECIDED;
        ck_assert(stopped->at[i].outcome == VET_UNDECIDED ||
                  stopped->at[i].outcome == c.slips->at[i].outcome);
    }
    ck_assert_int_ge(undecided, stopped->count - 2);
    ck_assert(stopped->cut);
    vet_pairs(c.rig, c.slips, &limits, pairs);
    ck_assert_int_eq(pairs->tried, 0);
    ck_assert(pairs->cut);
    end_case(&c);
}
END_TEST

/* Searches the rig with SLIP made; RULE, where there is one, is the only rule. */
static void search_changed(const struct case_ *c, const struct slip *slip,
                           const struct rule *rule, struct vet_report *out)
{
    struct changed *changed = arena_alloc(c->arena, sizeof *changed);
    changed_copy(c->rig, changed);
    changed_slip(changed, c->rig, slip);
    if (rule)
        changed->procedure.rules = (struct rules){rule, 1};
    vet_search(&changed->rig, &no_limits, false, out);
}

/* SLIP's first step is begun in some order. */
static bool is_ever_begun(const struct case_ *c, const struct slip *slip)
{
    const struct atom begun = {.kind = ATOM_BEGUN, .index = slip->step};
    const struct clause clause = {&begun, 1};
    const struct rule rule = {
        .name = "begun", .form = RULE_NEVER, .clauses = &clause, .clause_count = 1};
    struct vet_report *report = arena_alloc(c->arena, sizeof *report);
    search_changed(c, slip, &rule, report);
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == VET_BROKEN &&
            report->found[i].finding.kind == FINDING_RULE)
            return true;
    return false;
}

struct seen {
    int implied, barred, swapped, carried;
};

/* What was not searched, or was said to be barred, is searched here. */
static void check_slip(const struct case_ *c, const struct slip *slip,
                       const struct vet_report *base, struct seen *seen)
{
    struct vet_report *report = arena_alloc(c->arena, sizeof *report);
    search_changed(c, slip, NULL, report);
    ck_assert_int_eq(slip->outcome, report->verdict);
    if (slip->kind == SLIP_SWAP) {
        ck_assert(!slip->barred || !is_ever_begun(c, slip));
        seen->barred += slip->barred;
        seen->swapped += !slip->barred;
    }
    if (slip->kind != SLIP_AFTER)
        return;
    struct slip_try try;
    slip_try_start(&try, c->rig, &no_limits, c->arena);
    changed_slip(try.changed, c->rig, slip);
    bool implied = slip_try_implied(&try, slip);
    ck_assert(!implied || (report->states == base->states &&
                           report->transitions == base->transitions));
    seen->implied += implied;
    seen->carried += !implied;
}

START_TEST(test_short_cuts_against_searches)
{
    struct seen seen = {0};
    for (unsigned round = 0; round < 400; round++) {
        unsigned seed = round * 7919u + 11u;
        int roles = 2 + one_of(&seed, 2);
        const char *text;
        struct case_ c = {.arena = arena_new()};
        c.procedure = random_procedure(c.arena, &seed, roles, &text);
        c.rig = arena_alloc(c.arena, sizeof *c.rig);
        c.slips = arena_alloc(c.arena, sizeof *c.slips);
        struct vet_report *base = arena_alloc(c.arena, sizeof *base);
        if (c.procedure && vet_rig_of_roles(c.procedure, true, c.rig)) {
            vet_slips(c.rig, &no_limits, c.slips);
            vet_search(c.rig, &no_limits, false, base);
            for (int i = 0; i < c.slips->count; i++)
                check_slip(&c, &c.slips->at[i], base, &seen);
        }
        arena_free(c.arena);
    }
    ck_assert_int_gt(seen.implied, 20); /* each kind is exercised */
    ck_assert_int_gt(seen.carried, 20);
    ck_assert_int_gt(seen.barred, 20);
    ck_assert_int_gt(seen.swapped, 20);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slips");
    TCase *tests = tcase_create("small");
    tcase_set_timeout(tests, 100);
    tcase_add_test(tests, test_swap_hurts);
    tcase_add_loop_test(tests, test_swap_barred, 0, 4);
    tcase_add_test(tests, test_swap_of_a_joint_step);
    tcase_add_loop_test(tests, test_need_ignored, 0, 2);
    tcase_add_test(tests, test_cues_that_carry_nothing);
    tcase_add_loop_test(tests, test_begins_that_are_seen, 0, 4);
    tcase_add_loop_test(tests, test_slips_it_takes, 0, 6);
    tcase_add_test(tests, test_guarded_by_card_and_arrow);
    tcase_add_test(tests, test_an_arrow_that_followed);
    tcase_add_test(tests, test_free_order);
    tcase_add_test(tests, test_stopped);
    tcase_add_test(tests, test_short_cuts_against_searches);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
