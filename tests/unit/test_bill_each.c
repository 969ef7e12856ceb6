/* Each step on its own: how a role is shared out among hands, and that the bills of it
 * are the best there are.  A small case is worked out by hand; random ones are held
 * against every way of giving the pieces and every order of events. */
#include "every_way.h"
#include "made_up_random.h"

#include "bill/bill_each.h"

/* The steps of ROLE in the order of its card. */
static int card_of(const struct procedure *procedure, int role, int steps[STEPS_MAX])
{
    int count = 0;
    for (int s = 0; s < procedure->step_count; s++)
        if (procedure->steps[s].roles >> role & 1)
            steps[count++] = s;
    return count;
}

/* The piece of the role of that name that does STEP. */
static int piece_of(const struct procedure *shared, int step, const char *name)
{
    for (int role = 0; role < shared->plan->role_count; role++)
        if (shared->steps[step].roles >> role & 1 &&
            strcmp(shared->plan->roles[role].name, name) == 0)
            return role;
    return -1;
}

/* The lines that a step takes in hand, or lets go. */
static part_set lines(const struct tendings *some, const struct tendings *more)
{
    part_set set = 0;
    for (int i = 0; i < some->count; i++)
        set |= (part_set)1 << some->at[i].line;
    for (int i = 0; i < more->count; i++)
        set |= (part_set)1 << more->at[i].line;
    return set;
}

/* Nobody lets go what another has taken: from taking to letting go it is one piece. */
static int check_lines(const struct procedure *procedure, const struct procedure *shared,
                       int role)
{
    int steps[STEPS_MAX], held_on = 0, count = card_of(procedure, role, steps);
    const char *name = procedure->plan->roles[role].name;
    part_set held = 0;
    for (int i = 0; i < count; i++) {
        const struct step *step = &procedure->steps[steps[i]];
        if (held) {
            ck_assert_int_eq(piece_of(shared, steps[i], name),
                             piece_of(shared, steps[i - 1], name));
            held_on++;
        }
        held |= lines(&step->tends, &step->takes_over);
        held &= ~(step->releases | step->hands_over);
    }
    return held_on;
}

static void check_card(const struct procedure *procedure, const struct procedure *shared,
                       int role)
{
    int steps[STEPS_MAX], count = card_of(procedure, role, steps);
    const struct role *one = &procedure->plan->roles[role];
    for (int i = 1; i < count; i++) {
        int before = piece_of(shared, steps[i - 1], one->name),
            piece = piece_of(shared, steps[i], one->name);
        ck_assert(before >= 0 && piece >= before);
        if (one->steers || one->one_hand)
            ck_assert_int_eq(piece, before);
        ck_assert(piece == before || shared->steps[steps[i]].after >> steps[i - 1] & 1);
    }
}

START_TEST(test_shipped_shared_out)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_load(shipped_library(arena), _i, BOARD_PORT, NULL, 0, arena);
    const struct procedure *shared = bill_share_out(procedure, arena);
    for (int role = 0; role < procedure->plan->role_count; role++) {
        check_card(procedure, shared, role);
        check_lines(procedure, shared, role);
    }
    for (int s = 0; s < procedure->step_count; s++) {
        const struct call *call = &procedure->steps[s].call,
                          *same = &shared->steps[s].call;
        ck_assert_int_eq(__builtin_popcount(procedure->steps[s].roles),
                         __builtin_popcount(shared->steps[s].roles));
        if (call->by >= 0)
            ck_assert_str_eq(procedure->plan->roles[call->by].name,
                             shared->plan->roles[same->by].name);
    }
    for (int i = 0; i < procedure->check_count; i++)
        ck_assert_str_eq(procedure->plan->roles[procedure->checks[i].ask].name,
                         shared->plan->roles[shared->checks[i].ask].name);
    arena_free(arena);
}
END_TEST

/* What one hand may do for a role another may do as well: it takes no longer. */
START_TEST(test_shipped_no_longer)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_load(shipped_library(arena), _i, BOARD_PORT, NULL, 0, arena);
    const struct procedure *shared = bill_share_out(procedure, arena);
    const struct crew *crew = shipped_crew("crew", NULL, arena);
    struct bill kept, each;
    struct bill_wish wish;
    bill_wish_start(&wish);
    wish.pilot = procedure->pilot_needed;
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &kept), BILL_FOUND);
    ck_assert_int_eq(bill_try(shared, crew, &wish, &each), BILL_FOUND);
    ck_assert(each.proved && is_safe(shared, &each));
    ck_assert_int_le(each.total_ms, kept.total_ms);
    ck_assert(bill_holds(&each, shared, crew, &wish));
    arena_free(arena);
}
END_TEST

/* Three rounds of two steps of 2 s, each round of two other roles out of three: with two
 * hands two of the roles are one hand's, and the round of these two takes it 4 s, in all
 * 8 s.  Shared out each round takes 2 s, in all 6 s, and one role has to change hands. */
static const struct procedure *three_rounds(struct arena *arena)
{
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, 3, 1, "");
    made_up_head(&steps, 1);
    text_add(&steps, "goal: {p0: a}\nsteps:\n");
    made_up_step(&steps, "one", 0, "");
    made_up_step(&steps, "two", 1, "");
    made_up_step(&steps, "three", 0, "    after: [one, two]\n");
    made_up_step(&steps, "four", 2, "    after: [one, two]\n");
    made_up_step(&steps, "five", 1, "    after: [three, four]\n");
    made_up_step(&steps, "six", 2, "    after: [three, four]\n");
    const struct procedure *procedure = made_up_load(&rig, &steps, arena);
    text_free(&rig);
    text_free(&steps);
    return procedure;
}

static const struct crew *two_hands(struct arena *arena)
{
    static const struct knows knows[] = {{"r0", GRADE_SURE, {NULL, 0, 0, 0}},
                                         {"r1", GRADE_SURE, {NULL, 0, 0, 0}},
                                         {"r2", GRADE_SURE, {NULL, 0, 0, 0}}};
    struct crew *crew = arena_alloc(arena, sizeof *crew);
    struct hand *hands = arena_alloc(arena, 2 * sizeof *hands);
    for (int h = 0; h < 2; h++)
        hands[h] = (struct hand){.name = h ? "Two" : "One",
                                 .knows = knows,
                                 .knows_count = 3,
                                 .aboard = true,
                                 .pace_m_s = 1,
                                 .limits = ""};
    *crew = (struct crew){.name = "Two", .hands = hands, .hand_count = 2};
    return crew;
}

START_TEST(test_three_rounds)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure = three_rounds(arena),
                           *shared = bill_share_out(procedure, arena);
    const struct crew *crew = two_hands(arena);
    struct bill_wish wish;
    struct bill bill;
    bill_wish_start(&wish);
    ck_assert(!bill_is_shared_out(procedure) && bill_is_shared_out(shared));
    ck_assert_int_eq(bill_try(procedure, crew, &wish, &bill), BILL_FOUND);
    ck_assert(bill.proved && bill.total_ms == 8000);
    ck_assert_int_eq(bill_role_changes(&bill, procedure), 0);
    ck_assert_int_eq(bill_try(shared, crew, &wish, &bill), BILL_FOUND);
    ck_assert(bill.proved && bill.total_ms == 6000);
    ck_assert_int_eq(bill_role_changes(&bill, shared), 1);
    ck_assert(bill.settled & BILL_FEWEST_CHANGES);
    arena_free(arena);
}
END_TEST

/* A line in the hand keeps the steps to its release together; so does the helm. */
START_TEST(test_pieces)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, 2, 1, "");
    made_up_head(&steps, 1);
    text_add(&steps, "goal: {p0: a}\nsteps:\n");
    made_up_step(&steps, "before", 0, "");
    made_up_step(&steps, "take", 0, "    tends: p0\n");
    made_up_step(&steps, "haul", 0, "    call: {by: r1, say: Haul}\n");
    made_up_step(&steps, "let-go", 0, "    releases: p0\n");
    made_up_step(&steps, "last", 0, "");
    made_up_step(&steps, "other", 1, "");
    const struct procedure *shared =
        bill_share_out(made_up_load(&rig, &steps, arena), arena);
    static const role_set wanted[] = {1, 2, 2, 2, 4, 8};
    for (int s = 0; s < 6; s++)
        ck_assert_uint_eq(shared->steps[s].roles, wanted[s]);
    ck_assert_int_eq(shared->steps[2].call.by, 3);
    ck_assert_int_eq(bill_first_kin(shared, 2), 0);
    ck_assert_int_eq(bill_first_kin(shared, 3), 3);
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

START_TEST(test_every_way)
{
    struct counted counted = {0};
    int shared_out = 0;
    for (unsigned round = 0; round < 300; round++) {
        unsigned seed = 7000u + round * 8u + (unsigned)_i, first = seed;
        struct arena *arena = arena_new();
        const char *text;
        int roles = 1 + (int)(round % 3);
        struct every e;
        every_start(&e, 60000);
        const struct procedure *procedure = random_procedure(arena, &seed, roles, &text);
        e.crew = random_crew(arena, &seed, roles);
        give_paces(e.crew, &seed);
        e.wish.hands_most = round % 5 == 0 ? 2 : 0;
        if (procedure) {
            e.procedure = bill_share_out(procedure, arena);
            shared_out += bill_is_shared_out(e.procedure);
            hold_against_every_way(&e, text, first, &counted);
        }
        arena_free(arena);
    }
    ck_assert_int_gt(shared_out, 100);
    ck_assert_int_gt(counted.found, 5);
    ck_assert_int_gt(counted.none, 50);
    ck_assert_int_ge(counted.proved * 4, counted.found * 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill, each step");
    TCase *tests = tcase_create("each step");
    tcase_set_timeout(tests, 240);
    tcase_add_loop_test(tests, test_shipped_shared_out, 0, SHIPPED_COUNT);
    tcase_add_loop_test(tests, test_shipped_no_longer, 0, SHIPPED_COUNT);
    tcase_add_test(tests, test_three_rounds);
    tcase_add_test(tests, test_pieces);
    tcase_add_loop_test(tests, test_every_way, 0, 8);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
