/* Shortest bills: held against every way of giving the roles and every order of events,
 * each put on the clock, nothing pruned; joint steps, tended lines, hand-overs, places,
 * shared gear, grades and paces among them.  And every shipped procedure with the demo
 * crew, two hands and more: proved shortest, or proved that there is none. */
#include "every_way.h"
#include "made_up_random.h"

#include "bill/bill_reason.h"

START_TEST(test_every_way)
{
    struct counted counted = {0};
    for (unsigned round = 0; round < 300; round++) {
        unsigned seed = round * 8u + (unsigned)_i, first = seed;
        struct arena *arena = arena_new();
        const char *text;
        int roles = 2 + (int)(round % 3);
        struct every e;
        every_start(&e, 60000);
        e.procedure = random_procedure(arena, &seed, roles, &text);
        e.crew = random_crew(arena, &seed, roles);
        give_paces(e.crew, &seed);
        e.wish.pilot = round % 2;
        e.wish.hands_most = round % 5 == 0 ? 2 : 0;
        if (e.procedure)
            hold_against_every_way(&e, text, first, &counted);
        arena_free(arena);
    }
    ck_assert_int_gt(counted.found, 5);
    ck_assert_int_gt(counted.none, 100);
    ck_assert_int_le(counted.open, 100);
    ck_assert_int_ge(counted.proved * 4, counted.found * 3);
    ck_assert_int_ge(counted.way * 2, counted.found);
}
END_TEST

/* The same with six and seven steps; of those with too many orders nothing is asked. */
START_TEST(test_every_way_of_seven)
{
    struct counted counted = {0};
    for (unsigned round = 0; round < 300; round++) {
        unsigned seed = 40000u + round * 8u + (unsigned)_i, first = seed;
        struct arena *arena = arena_new();
        const char *text;
        struct every e;
        every_start(&e, 20000);
        e.procedure = random_procedure_of(arena, &seed, 3, 6 + (int)(round % 2), &text);
        e.crew = random_crew(arena, &seed, 3);
        give_paces(e.crew, &seed);
        if (e.procedure)
            hold_against_every_way(&e, text, first, &counted);
        arena_free(arena);
    }
    ck_assert_int_gt(counted.found, 0);
    ck_assert_int_gt(counted.none, 100);
    ck_assert_int_ge(counted.proved * 2, counted.found);
}
END_TEST

/* One hand gives a line to itself, and takes it only two steps later: it has it all
 * along, and the rule that it is tended is kept.  8, 2 and 3 s one after the other. */
START_TEST(test_given_to_oneself)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, 2, 2, "");
    made_up_head(&steps, 2);
    text_add(&steps, "tended: {p0: {role: r0}}\ngoal: {p1: [a, b]}\nsteps:\n"
                     "  - step: s0\n    role: r0\n    at: here\n    do: Do it.\n"
                     "    takes: [1 s, 8 s, 9 s]\n    hands-over: p0\n"
                     "    finish: {p1: a}\n");
    made_up_step(&steps, "s1", 1, "    start: {p0: b}\n    after: [s0]\n");
    text_add(&steps, "  - step: s2\n    role: r1\n    at: here\n    do: Do it.\n"
                     "    takes: [1 s, 3 s, 9 s]\n    takes-over: p0\n"
                     "    start: {p1: b}\n    wait: {p0: [b, c]}\n"
                     "rules:\n  - {rule: held, tended: p0, while: {p0: a}, hurts: crew, "
                     "signal: warning, because: It hurts.}\n");
    const struct knows knows[] = {{"r0", GRADE_SURE, {NULL, 0, 0, 0}},
                                  {"r1", GRADE_SURE, {NULL, 0, 0, 0}}};
    const struct hand hand = {.name = "One",
                              .knows = knows,
                              .knows_count = 2,
                              .aboard = true,
                              .pace_m_s = 1,
                              .limits = ""};
    const struct crew crew = {.name = "One", .hands = &hand, .hand_count = 1};
    struct bill_wish wish;
    struct bill bill;
    bill_wish_start(&wish);
    ck_assert_int_eq(
        exact_make(made_up_load(&rig, &steps, arena), &crew, &wish, 5000, &bill),
        BILL_FOUND);
    ck_assert_int_eq(bill.total_ms, 13000);
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

/* The first N of the demo crew aboard. */
static const struct crew *first_hands(const struct crew *crew, int n, struct arena *arena)
{
    struct crew *copy = arena_alloc(arena, sizeof *copy);
    struct hand *hands = arena_alloc(arena, crew->hand_count * sizeof *hands);
    *copy = *crew;
    copy->hands = hands;
    for (int h = 0; h < crew->hand_count; h++) {
        hands[h] = crew->hands[h];
        hands[h].aboard = h < n;
    }
    return copy;
}

START_TEST(test_shipped)
{
    static const char *const crews[] = {"crew", "pair", "dinghy"};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_load(library, _i, BOARD_STARBOARD, NULL, 0, arena);
    int found = 0;
    for (size_t c = 0; c < sizeof crews / sizeof crews[0]; c++) {
        const struct crew *crew = shipped_crew(crews[c], NULL, arena);
        for (int n = 2; n <= crew->hand_count; n++) {
            const struct crew *some = first_hands(crew, n, arena);
            struct bill_wish wish;
            struct bill bill;
            bill_wish_start(&wish);
            wish.pilot = procedure->pilot_needed;
            enum bill_verdict verdict = exact_make(procedure, some, &wish, 5000, &bill);
            ck_assert_int_ne(verdict, BILL_UNDECIDED);
            if (verdict == BILL_NONE)
                continue;
            ck_assert(bill.proved && bill.total_ms == bill.least_ms);
            ck_assert(bill_holds(&bill, procedure, some, &wish));
            ck_assert(is_safe(procedure, &bill));
            found++;
        }
    }
    ck_assert_int_gt(found, 0);
    arena_free(arena);
}
END_TEST

/* Nobody has slack on the chain, and each link of it is as long as it says. */
START_TEST(test_reasons)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_load(library, _i, BOARD_STARBOARD, NULL, 0, arena);
    const struct crew *crew = shipped_crew("crew", NULL, arena);
    struct bill_wish wish;
    struct bill bill;
    struct bill_why why;
    struct bill_reasons reasons;
    bill_wish_start(&wish);
    wish.pilot = procedure->pilot_needed;
    ck_assert_int_eq(bill_make(procedure, crew, &wish, &bill, &why), BILL_FOUND);
    bill_find_reasons(&bill, procedure, crew, &reasons);
    ck_assert_int_gt(reasons.count, 0);
    int32_t next_ms = bill.total_ms;
    for (int i = 0; i < reasons.count; i++) {
        const struct bill_reason *reason = &reasons.chain[i];
        const struct bill_slot *slot = bill_slot_of(&bill, reason->step);
        ck_assert_int_eq(reasons.slack_ms[reason->step], 0);
        ck_assert(i == 0 || reasons.chain[i - 1].because == BECAUSE_TAKER ||
                  (reasons.chain[i - 1].of_start ? slot->start_ms : slot->end_ms) ==
                      next_ms);
        next_ms = slot->start_ms - reason->walk_ms;
    }
    ck_assert_int_eq(next_ms, 0);
    for (int s = 0; s < procedure->step_count; s++)
        ck_assert_int_ge(reasons.slack_ms[s], 0);
    arena_free(arena);
}
END_TEST

/* The roles told to be too much are so, and no one of them can be spared: the others can
 * be done, if somebody takes that one off these hands. */
START_TEST(test_clash)
{
    static const char *const hands[] = {"Ottilie,Bram,Ines,Lubo,Fenna,Juno",
                                        "Tamsin,Ines,Lubo,Fenna,Juno,Quill"};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, "dip-pole-jibe", BOARD_STARBOARD, arena);
    const struct crew *crew = shipped_crew("crew", hands[_i], arena);
    struct bill_wish wish;
    struct bill bill;
    bill_wish_start(&wish);
    role_set clash = exact_clash(procedure, crew, &wish);
    ck_assert_int_gt(__builtin_popcount(clash), 0);
    ck_assert_int_eq(exact_make(procedure, crew, &wish, 5000, &bill), BILL_NONE);
    for (int spared = 0; spared < procedure->plan->role_count; spared++) {
        if (!(clash >> spared & 1))
            continue;
        /* everybody who is not in the clash, and the spared one, go to new hands */
        struct hand all[HANDS_MAX];
        struct crew more = *crew;
        int count = crew->hand_count;
        memcpy(all, crew->hands, crew->hand_count * sizeof *all);
        for (int role = 0; role < procedure->plan->role_count; role++) {
            struct knows *knows = arena_alloc(arena, sizeof *knows);
            *knows = (struct knows){.role = procedure->plan->roles[role].name,
                                    .grade = GRADE_ABLE};
            if (!(clash >> role & 1) || role == spared)
                all[count++] = (struct hand){.name = "More",
                                             .knows = knows,
                                             .knows_count = 1,
                                             .aboard = true,
                                             .pace_m_s = 1,
                                             .limits = ""};
        }
        more.hands = all;
        more.hand_count = (uint8_t)count;
        ck_assert_int_eq(exact_make(procedure, &more, &wish, 5000, &bill), BILL_FOUND);
    }
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill, shortest");
    TCase *tests = tcase_create("every way");
    tcase_set_timeout(tests, 240);
    tcase_add_loop_test(tests, test_every_way, 0, 8);
    tcase_add_loop_test(tests, test_every_way_of_seven, 0, 8);
    tcase_add_test(tests, test_given_to_oneself);
    tcase_add_loop_test(tests, test_shipped, 0, SHIPPED_COUNT);
    tcase_add_loop_test(tests, test_reasons, 0, SHIPPED_COUNT);
    tcase_add_loop_test(tests, test_clash, 0, 2);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
