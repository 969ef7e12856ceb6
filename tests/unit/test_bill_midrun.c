/* Bills that begin in the middle: every state along the bill of every shipped procedure,
 * with the same hands (never longer than what was left, nor shorter than proved), and
 * with each of them away in turn.  And made-up procedures from the middle, held against
 * every way. */
#include "every_way.h"
#include "made_up_random.h"
#include "mid_run.h"

/* A bill on its way: BILL's events in their order, one after the other. */
struct on_the_way {
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill *bill;
    struct rig rig;
    struct rig_state state;
    int32_t now_ms;
    int found, none; /* with a hand away */
};

/* Takes the next event that may be taken; false where there is none left. */
static bool go_on(struct on_the_way *w)
{
    int next = -1;
    int32_t next_ms = INT32_MAX;
    step_set ready = rig_ready(&w->rig, &w->state), may = rig_may_end(&w->rig, &w->state);
    for (int i = 0; i < w->bill->slot_count; i++) {
        const struct bill_slot *slot = &w->bill->slots[i];
        bool ends =
                 may >> slot->step & 1 && play_may_finish(&w->rig, &w->state, slot->step),
             starts = ready >> slot->step & 1 &&
                      play_may_start(&w->rig, &w->state, slot->step, NULL);
        int32_t ms = ends ? slot->end_ms : slot->start_ms;
        if ((ends || starts) && ms < next_ms) {
            next = slot->step;
            next_ms = ms;
        }
    }
    if (next < 0)
        return false;
    if (w->state.begun >> next & 1)
        rig_end(&w->rig, &w->state, next);
    else
        rig_begin(&w->rig, &w->state, next);
    w->now_ms = next_ms;
    return true;
}

/* What is left of the old bill when every step that has begun is begun again, and every
 * hand has first to come from home. */
static int32_t most_left_ms(const struct on_the_way *w)
{
    int32_t again_ms = 0, walk_ms = 0;
    for (int s = 0; s < w->procedure->step_count; s++)
        if (rig_running(&w->state) >> s & 1) {
            const struct bill_slot *slot = bill_slot_of(w->bill, s);
            int32_t ms = w->now_ms - slot->start_ms;
            again_ms = ms > again_ms ? ms : again_ms;
        }
    for (int s = 0; s < w->procedure->step_count; s++)
        for (int lane = 0; lane < w->bill->lane_count; lane++) {
            int home = bill_home(w->procedure, w->bill->wears[lane]);
            double m =
                rig_plan_distance_m(w->procedure->plan, home, w->procedure->steps[s].at);
            int32_t ms =
                bill_grid(m / w->crew->hands[w->bill->hand[lane]].pace_m_s * 1000);
            walk_ms = ms > walk_ms ? ms : walk_ms;
        }
    return w->bill->total_ms - w->now_ms + again_ms + walk_ms;
}

static void go_on_with_the_same(const struct on_the_way *w)
{
    struct bill bill;
    struct bill_wish wish;
    bill_wish_start(&wish);
    wish.pilot = w->bill->pilot;
    wish.start = &w->state;
    for (int lane = 0; lane < w->bill->lane_count; lane++)
        for (int role = 0; role < ROLES_MAX; role++)
            if (w->bill->wears[lane] >> role & 1)
                wish.hand_of_role[role] = (int8_t)w->bill->hand[lane];
    ck_assert_int_eq(bill_try(w->procedure, w->crew, &wish, &bill), BILL_FOUND);
    ck_assert(bill_holds(&bill, w->procedure, w->crew, &wish));
    ck_assert_msg(bill.total_ms <= most_left_ms(w), "%s: %d ms, was %d",
                  w->procedure->name, bill.total_ms, most_left_ms(w));
    ck_assert_int_le(bill.least_ms, bill.total_ms);
}

static void go_on_without(struct on_the_way *w, int lane)
{
    struct bill bill;
    struct bill_wish wish;
    struct rig_state state = w->state;
    struct crew crew = *w->crew;
    struct hand hands[HANDS_MAX];
    memcpy(hands, crew.hands, crew.hand_count * sizeof *hands);
    hands[w->bill->hand[lane]].aboard = false;
    crew.hands = hands;
    for (int s = 0; s < w->procedure->step_count; s++)
        if (rig_running(&state) >> s & 1 && w->rig.lanes_of_step[s] >> lane & 1)
            state.begun &= ~((step_set)1 << s);
    bill_wish_start(&wish);
    wish.pilot = w->bill->pilot;
    wish.start = &state;
    enum bill_verdict verdict = bill_try(w->procedure, &crew, &wish, &bill);
    ck_assert_int_ne(verdict, BILL_UNDECIDED);
    w->none += verdict == BILL_NONE;
    if (verdict != BILL_FOUND)
        return;
    ck_assert(bill_holds(&bill, w->procedure, &crew, &wish));
    for (int i = 0; i < bill.lane_count; i++)
        ck_assert_int_ne(bill.hand[i], w->bill->hand[lane]);
    w->found++;
}

START_TEST(test_shipped)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    struct bill bill;
    struct bill_wish wish;
    struct on_the_way w = {.procedure =
                               shipped_load(library, _i, BOARD_STARBOARD, NULL, 0, arena),
                           .crew = shipped_crew("crew", NULL, arena),
                           .bill = &bill};
    bill_wish_start(&wish);
    wish.pilot = w.procedure->pilot_needed;
    ck_assert_int_eq(bill_try(w.procedure, w.crew, &wish, &bill), BILL_FOUND);
    bill_rig(&bill, w.procedure, &w.rig);
    rig_start(&w.rig, &w.state);
    int events = 0;
    do {
        go_on_with_the_same(&w);
        for (int lane = 0; lane < bill.lane_count; lane++)
            go_on_without(&w, lane);
        events++;
    } while (go_on(&w));
    ck_assert_int_eq(events, 2 * w.procedure->step_count + 1);
    ck_assert_int_gt(w.found + w.none, events);
    arena_free(arena);
}
END_TEST

START_TEST(test_every_way)
{
    struct counted counted = {0};
    for (unsigned round = 0; round < 60; round++) {
        unsigned seed = round * 8u + (unsigned)_i, first = seed;
        struct arena *arena = arena_new();
        struct rig_state state;
        struct every e;
        const char *text;
        int roles = 2 + (int)(round % 3);
        every_start(&e, 3000);
        e.procedure = random_procedure(arena, &seed, roles, &text);
        e.crew = random_crew(arena, &seed, roles);
        give_paces(e.crew, &seed);
        e.wish.pilot = round % 2;
        if (e.procedure && mid_run_walk(e.procedure, e.wish.pilot, &seed, &state)) {
            e.wish.start = &state;
            hold_against_every_way(&e, text, first, &counted);
        }
        arena_free(arena);
    }
    ck_assert_int_gt(counted.found, 3);
    ck_assert_int_gt(counted.none, 10);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill, from the middle");
    TCase *tests = tcase_create("middle");
    tcase_set_timeout(tests, 240);
    tcase_add_loop_test(tests, test_shipped, 0, SHIPPED_COUNT);
    tcase_add_loop_test(tests, test_every_way, 0, 8);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
