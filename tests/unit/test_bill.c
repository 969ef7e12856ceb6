/* The bill: who can do it and who cannot, held against a search of every sharing of the
 * roles that prunes nothing; stored and read back; pins; the words of a refusal. */
#include "made_up.h"
#include "shipped.h"

#include "bill/bill.h"

struct jibe {
    struct arena *arena;
    const struct procedure *procedure;
    struct bill bill;
    struct bill_why why;
};

static enum bill_verdict bill_of(struct jibe *j, const char *hands, const char *options[],
                                 int count)
{
    j->arena = arena_new();
    struct library *library = shipped_library(j->arena);
    j->procedure = shipped_load(library, library_find(library, "dip-pole-jibe"),
                                BOARD_STARBOARD, options, count, j->arena);
    struct bill_wish wish;
    bill_wish_start(&wish);
    return bill_make(j->procedure, shipped_crew("crew", hands, j->arena), &wish, &j->bill,
                     &j->why);
}

static void explain(const struct jibe *j, enum bill_verdict verdict, struct text *out)
{
    text_add(out, "");
    bill_explain(verdict, &j->why, j->procedure, out);
}

START_TEST(too_few_are_told_what_is_missing)
{
    struct jibe j;
    struct text words = {0};
    ck_assert_int_eq(bill_of(&j, "Ottilie Juno", NULL, 0), BILL_NONE);
    explain(&j, BILL_NONE, &words);
    ck_assert_ptr_nonnull(strstr(words.at, "No bill for the 2 hands aboard."));
    ck_assert_ptr_nonnull(strstr(words.at, "Nobody aboard knows: Guy, Sheet"));
    ck_assert_ptr_nonnull(strstr(words.at, "At least 5 hands are needed"));
    ck_assert_ptr_nonnull(strstr(words.at, "asks for 5 hands or more"));
    text_free(&words);
    arena_free(j.arena);
}
END_TEST

START_TEST(five_hands_need_self_tailers)
{
    static const char *const five = "Ottilie Bram Tamsin Lubo Juno";
    const char *options[] = {"self-tailers=yes", "foreguy-mark=yes"};
    struct jibe j;
    struct text words = {0};
    ck_assert_int_eq(bill_of(&j, five, NULL, 0), BILL_NONE);
    ck_assert_uint_eq(j.why.needed, 5);
    explain(&j, BILL_NONE, &words);
    ck_assert_ptr_nonnull(strstr(words.at, "There are hands enough"));
    text_free(&words);
    arena_free(j.arena);
    ck_assert_int_eq(bill_of(&j, five, options, 2), BILL_FOUND);
    ck_assert_int_eq(j.bill.lane_count, 5);
    arena_free(j.arena);
}
END_TEST

START_TEST(a_pilot_is_asked_for_where_it_is_needed)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, "sock-takedown-two", BOARD_PORT, arena);
    const struct crew *crew = shipped_crew("pair", NULL, arena);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    ck_assert_int_eq(bill_make(procedure, crew, &wish, &bill, &why), BILL_NONE);
    struct text words = {0};
    bill_explain(BILL_NONE, &why, procedure, &words);
    ck_assert_ptr_nonnull(strstr(words.at, "autopilot"));
    text_free(&words);
    wish.pilot = true;
    ck_assert_int_eq(bill_make(procedure, crew, &wish, &bill, &why), BILL_FOUND);
    arena_free(arena);
}
END_TEST

/* Merle and Anselm know no helm: they can press the pilot's buttons and no more. */
START_TEST(helm_work_beyond_the_pilot_needs_a_hand_who_knows_it)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0}, words = {0};
    made_up_rig(&rig, 1, 1, "  wheel: {words: Wheel, station: here, steers: yes}\n");
    made_up_head(&steps, 1);
    text_add(&steps, "goal: {p0: a}\nsteps:\n  - step: turn\n    role: wheel\n    at: "
                     "here\n    do: Turn.\n    takes: [1 s, 2 s, 3 s]\n");
    const struct procedure *by_hand = made_up_load(&rig, &steps, arena);
    text_add(&steps, "    pilot: yes\n");
    const struct procedure *at_pilot = made_up_load(&rig, &steps, arena);
    const struct crew *crew = shipped_crew("pair", NULL, arena);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    wish.pilot = true;
    ck_assert_int_eq(bill_make(at_pilot, crew, &wish, &bill, &why), BILL_FOUND);
    ck_assert_int_eq(bill_make(by_hand, crew, &wish, &bill, &why), BILL_NONE);
    bill_explain(BILL_NONE, &why, by_hand, &words);
    ck_assert_ptr_nonnull(strstr(words.at, "Nobody aboard knows: Wheel"));
    wish.pilot = false;
    ck_assert_int_eq(bill_make(at_pilot, crew, &wish, &bill, &why), BILL_NONE);
    text_free(&words);
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

START_TEST(a_pinned_role_is_worn_by_that_hand)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, "dip-pole-jibe", BOARD_STARBOARD, arena);
    const struct crew *crew = shipped_crew("crew", NULL, arena);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    int bow = rig_plan_role(procedure->plan, "bow");
    int fenna = 0;
    while (strcmp(crew->hands[fenna].name, "Fenna") != 0)
        fenna++;
    wish.hand_of_role[bow] = (int8_t)fenna;
    ck_assert_int_eq(bill_make(procedure, crew, &wish, &bill, &why), BILL_FOUND);
    for (int lane = 0; lane < bill.lane_count; lane++)
        ck_assert_int_eq(bill.wears[lane] >> bow & 1, bill.hand[lane] == fenna);
    arena_free(arena);
}
END_TEST

START_TEST(a_search_cut_off_claims_nothing)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, "dip-pole-jibe", BOARD_STARBOARD, arena);
    const struct crew *crew =
        shipped_crew("crew", "Ottilie Ines Tamsin Lubo Juno Fenna", arena);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    ck_assert_int_eq(bill_make(procedure, crew, &wish, &bill, &why), BILL_NONE);
    wish.plays_max = 1;
    enum bill_verdict verdict = bill_make(procedure, crew, &wish, &bill, &why);
    ck_assert(verdict == BILL_UNDECIDED || why.plays == 0);
    arena_free(arena);
}
END_TEST

static const char *const damaged[] = {"",
                                      "pilot no\n",
                                      "hand Nobody: helm\n",
                                      "hand Bram: no-such-role\n",
                                      "slot no-such-step 0 100\n",
                                      "slot trip 100 0\n",
                                      "slot trip -5 10\n",
                                      "nonsense\n",
                                      "from state\npart no-such-part a\n",
                                      "from state\ntends lift 99 0\n"};

START_TEST(damaged_texts_are_refused)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, "dip-pole-jibe", BOARD_STARBOARD, arena);
    struct bill bill;
    ck_assert(
        !bill_read(damaged[_i], procedure, shipped_crew("crew", NULL, arena), &bill));
    arena_free(arena);
}
END_TEST

/* Every order of events, nothing remembered, nothing pruned: can the goal be reached? */
static bool reaches(const struct rig *rig, const struct rig_state *state)
{
    if (rig_ended(rig, state))
        return !rig_short_of_goal(rig, state);
    step_set starts = rig_ready(rig, state), ends = rig_may_end(rig, state);
    for (int s = 0; s < rig->procedure->step_count; s++)
        for (int finish = 0; finish < 2; finish++) {
            if (!((finish ? ends : starts) >> s & 1))
                continue;
            struct findings found = {0};
            struct rig_state next = *state;
            if (finish) {
                rig_find_finish(rig, state, s, &found);
                rig_end(rig, &next, s);
            } else {
                rig_find_start(rig, state, s, &found);
                rig_begin(rig, &next, s);
            }
            rig_find(rig, &next, &found);
            if (!found.count && reaches(rig, &next))
                return true;
        }
    return false;
}

/* Every way of giving the roles to the hands who know them. */
static bool any_sharing(const struct procedure *procedure, const struct crew *crew,
                        int8_t lanes[ROLES_MAX], int role)
{
    if (role == procedure->plan->role_count) {
        struct rig rig;
        struct rig_state state;
        if (!rig_make(&rig, procedure, lanes, crew->hand_count, true))
            return false;
        rig_start(&rig, &state);
        struct findings found = {0};
        rig_find(&rig, &state, &found);
        return !found.count && reaches(&rig, &state);
    }
    if (!(procedure->roles >> role & 1))
        return any_sharing(procedure, crew, lanes, role + 1);
    for (int h = 0; h < crew->hand_count; h++) {
        lanes[role] = (int8_t)h;
        if (hand_grade(&crew->hands[h], procedure->plan->roles[role].name) &&
            any_sharing(procedure, crew, lanes, role + 1))
            return true;
    }
    return false;
}

static void random_step(struct text *steps, unsigned *seed, int s, int roles)
{
    struct text more = {0};
    char name[16];
    text_add(&more, "");
    int line = (int)(shipped_random(seed) % 2);
    if (shipped_random(seed) % 3 == 0)
        text_add(&more, "    hands: 2\n");
    if (shipped_random(seed) % 2)
        text_printf(&more, "    tends: p%d\n", line);
    else if (shipped_random(seed) % 2)
        text_printf(&more, "    releases: p%d\n", line);
    if (shipped_random(seed) % 2)
        text_printf(&more, "    finish: {p%d: %c}\n", line,
                    'a' + shipped_random(seed) % 3);
    if (shipped_random(seed) % 4 == 0)
        text_printf(&more, "    wait: {p%d: [b, c]}\n", (int)(shipped_random(seed) % 2));
    if (s && shipped_random(seed) % 3 == 0)
        text_printf(&more, "    after: [s%d]\n",
                    (int)(shipped_random(seed) % (unsigned)s));
    snprintf(name, sizeof name, "s%d", s);
    made_up_step(steps, name, (int)(shipped_random(seed) % (unsigned)roles), more.at);
    text_free(&more);
}

static const struct crew *random_crew(struct arena *arena, unsigned *seed, int roles)
{
    struct text text = {0};
    int hands = 1 + (int)(shipped_random(seed) % 3);
    text_add(&text, "format: 1\ncrew: Made up\nhands:\n");
    for (int h = 0; h < hands; h++) {
        text_printf(&text, "  - hand: Hand %c\n    aboard: yes\n    knows: {r%d: able",
                    'A' + h, (int)(shipped_random(seed) % (unsigned)roles));
        char *first = strrchr(text.at, 'r');
        int known = first[1] - '0';
        for (int r = 0; r < roles; r++)
            if (r != known && shipped_random(seed) % 2)
                text_printf(&text, ", r%d: sure", r);
        text_add(&text, "}\n");
    }
    struct diags *diags = diags_new(arena);
    const struct crew *crew =
        load_crew(source_new(arena, "crew", text.at, text.length), arena, diags);
    struct text messages = {0};
    diags_write(diags, &messages);
    ck_assert_msg(crew != NULL, "%s\n%s", messages.at, text.at);
    text_free(&messages);
    text_free(&text);
    return crew;
}

START_TEST(agrees_with_every_sharing_tried)
{
    int found = 0, none = 0;
    for (unsigned round = 0; round < 300; round++) {
        unsigned seed = round * 104729u + 3u;
        struct arena *arena = arena_new();
        struct text rig = {0}, steps = {0};
        int roles = 2 + (int)(shipped_random(&seed) % 2);
        made_up_rig(&rig, roles, 2,
                    "rules:\n  - {rule: kept, tended: p0, while: {p0: b}, hurts: crew, "
                    "signal: warning, because: It runs.}\n");
        made_up_head(&steps, 2);
        text_add(&steps, "goal: {p1: [a, b]}\nsteps:\n");
        int count = 3 + (int)(shipped_random(&seed) % 3);
        for (int s = 0; s < count; s++)
            random_step(&steps, &seed, s, roles);
        const struct procedure *procedure = made_up_load(&rig, &steps, arena);
        const struct crew *crew = random_crew(arena, &seed, roles);
        struct bill_wish wish;
        struct bill_why why;
        struct bill bill;
        bill_wish_start(&wish);
        wish.pilot = true;
        int8_t lanes[ROLES_MAX] = {0};
        bool exists = any_sharing(procedure, crew, lanes, 0);
        enum bill_verdict verdict = bill_make(procedure, crew, &wish, &bill, &why);
        ck_assert_msg(verdict == (exists ? BILL_FOUND : BILL_NONE), "round %u", round);
        found += exists;
        none += !exists;
        text_free(&rig);
        text_free(&steps);
        arena_free(arena);
    }
    ck_assert_int_gt(found, 50); /* both outcomes are exercised */
    ck_assert_int_gt(none, 50);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill");
    TCase *tests = tcase_create("bill");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, too_few_are_told_what_is_missing);
    tcase_add_test(tests, five_hands_need_self_tailers);
    tcase_add_test(tests, a_pilot_is_asked_for_where_it_is_needed);
    tcase_add_test(tests, helm_work_beyond_the_pilot_needs_a_hand_who_knows_it);
    tcase_add_test(tests, a_pinned_role_is_worn_by_that_hand);
    tcase_add_test(tests, a_search_cut_off_claims_nothing);
    tcase_add_loop_test(tests, damaged_texts_are_refused, 0,
                        (int)(sizeof damaged / sizeof damaged[0]));
    tcase_add_test(tests, agrees_with_every_sharing_tried);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
