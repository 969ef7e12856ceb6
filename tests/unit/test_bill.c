/* The bill: who can do it and who cannot; stored and read back; pins; the words of a
 * refusal. */
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
    bill_explain(verdict, &j->why, j->procedure, UNITS_METRIC, out);
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
    ck_assert_ptr_nonnull(strstr(words.at, "Together too much for those who know them"));
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
    bill_explain(BILL_NONE, &why, procedure, UNITS_METRIC, &words);
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
    bill_explain(BILL_NONE, &why, by_hand, UNITS_METRIC, &words);
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

/* A whole text with one thing wrong in it, or nothing. */
static const struct damage {
    const char *from, *to;
    bool read;
} damages[] = {{"", "", true},
               {"pilot no", "pilot maybe", false},
               {"hand Ben: r2", "hand Ben: r2 r0", false}, /* r0 is worn already */
               {"hand Ben: r2", "hand Ann: r2", false},    /* one lane a hand */
               {"hand Ann: r0", "hand Ann: r0 r1", false}, /* they do the joint step */
               {"slot s1 1000 3000", "slot s1 1000 3000 x", false},
               {"slot s1 1000 3000", "slot s1 99999999999 3000", false},
               {"slot s1 1000 3000", "slot s2 1000 3000", false},
               {"slot s2 3000 5000", "slot s2 500 5000", false}, /* not by their start */
               {"slot s2 3000 5000\n", "", false},
               {"done s0", "done s0\nskipped s0", false},
               {"begun s1", "begun s9", false},
               {"part p1 b", "part p1 d", false},
               {"part p1 b", "part p1 b b", false},
               {"tends p0 0 0", "tends p0 7 0", false},
               {"tends p0 0 0", "tends p0 0 2", false}, /* that step takes no line */
               {"tends p0 0 0", "tends p0 0 63", false},
               {"takes p0 1", "takes p0 0", false}, /* from oneself */
               {"takes p0 1", "takes p1 1", false}, /* nobody has it */
               {"takes p0 1", "takes p0 9", false}};

static const char whole[] = "pilot no\nhand Ann: r0\nhand Cem: r1\nhand Ben: r2\n"
                            "slot s0 0 1000\nslot s1 1000 3000\nslot s2 3000 5000\n"
                            "from state\npart p0 a\ntends p0 0 0\ntakes p0 1\n"
                            "part p1 b\ndone s0\nbegun s1\n";

START_TEST(a_stored_bill_is_believed_only_where_it_fits)
{
    const struct damage *damage = &damages[_i];
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0}, stored = {0}, again = {0};
    static const char people[] = "format: 1\ncrew: Three\nhands:\n  - hand: Ann\n"
                                 "  - hand: Ben\n  - hand: Cem\n";
    struct diags *diags = diags_new(arena);
    const struct crew *crew =
        load_crew(source_new(arena, "crew", people, sizeof people - 1), arena, diags);
    made_up_rig(&rig, 3, 2, "");
    made_up_head(&steps, 2);
    text_add(&steps, "goal: {p0: a}\nsteps:\n");
    made_up_step(&steps, "s0", 0, "    tends: p0\n");
    made_up_step(&steps, "s1", 1, "    takes-over: p0\n");
    text_add(&steps, "  - step: s2\n    roles: [r0, r1, r2]\n    at: here\n"
                     "    do: Do it.\n    takes: [1 s, 2 s, 3 s]\n");
    const struct procedure *procedure = made_up_load(&rig, &steps, arena);
    const char *at = strstr(whole, damage->from);
    text_add_bytes(&stored, whole, (size_t)(at - whole));
    text_add(&stored, damage->to);
    text_add(&stored, at + strlen(damage->from));
    struct bill bill;
    ck_assert_int_eq(bill_read(stored.at, procedure, crew, &bill), damage->read);
    if (damage->read) {
        struct rig of_bill;
        bill_rig(&bill, procedure, &of_bill);
        bill_write(&bill, procedure, crew, &again);
        ck_assert_str_eq(again.at, stored.at);
        ck_assert_int_eq(of_bill.start.taker[0], 1);
    }
    text_free(&rig);
    text_free(&steps);
    text_free(&stored);
    text_free(&again);
    arena_free(arena);
}
END_TEST

/* Its own role on a card of no order: the bill prints one, the live run takes any. */
START_TEST(free_order_stays_free)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, 1, 1,
                "  f: {words: Free, station: here, sees: [p0], order: free}\n");
    made_up_head(&steps, 1);
    text_add(&steps, "goal: {p0: a}\nsteps:\n");
    made_up_step(&steps, "kept", 0, "");
    made_up_step(&steps, "one", 0, "");
    made_up_step(&steps, "two", 0, "");
    for (char *role = steps.at; (role = strstr(role, "step: "));) {
        role += strlen("step: ");
        if (strncmp(role, "kept", 4) != 0)
            memcpy(strstr(role, "role: r0"), "role: f ", 8);
    }
    const struct procedure *procedure = made_up_load(&rig, &steps, arena);
    static const char people[] =
        "format: 1\ncrew: Two\nhands:\n  - hand: Ann\n    knows: "
        "{r0: able}\n  - hand: Ben\n    knows: {f: able}\n";
    struct diags *diags = diags_new(arena);
    const struct crew *crew =
        load_crew(source_new(arena, "crew", people, sizeof people - 1), arena, diags);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    struct rig of_bill;
    struct rig_state state;
    bill_wish_start(&wish);
    ck_assert_int_eq(bill_make(procedure, crew, &wish, &bill, &why), BILL_FOUND);
    bill_rig(&bill, procedure, &of_bill);
    rig_start(&of_bill, &state);
    ck_assert_uint_eq(rig_ready(&of_bill, &state), 7);
    rig_end(&of_bill, &state, procedure_step(procedure, "two"));
    ck_assert_uint_eq(rig_ready(&of_bill, &state), 3);
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
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
    tcase_add_loop_test(tests, a_stored_bill_is_believed_only_where_it_fits, 0,
                        (int)(sizeof damages / sizeof damages[0]));
    tcase_add_test(tests, free_order_stays_free);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
