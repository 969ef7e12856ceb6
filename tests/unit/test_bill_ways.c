/* What the bill says, held against every way of sharing the roles and every order of
 * events, nothing pruned and nothing remembered: hand-overs, joint steps, places, needs,
 * shared gear and all forms of rules among them.  What is found is played again. */
#include "made_up_random.h"
#include "run_view.h"

#include "bill/bill.h"

enum { ORDERS_MAX = 200000 };

/* Can the goal be reached from STATE?  LEFT counts down; at 0 nobody knows. */
static bool reaches(const struct rig *rig, const struct rig_state *state, int *left)
{
    if (rig_ended(rig, state))
        return !rig_short_of_goal(rig, state);
    step_set starts = rig_ready(rig, state), ends = rig_may_end(rig, state);
    for (int s = 0; s < rig->procedure->step_count; s++)
        for (int finish = 0; finish < 2; finish++) {
            if (!((finish ? ends : starts) >> s & 1) || --*left < 0)
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
            if (!found.count && reaches(rig, &next, left))
                return true;
        }
    return false;
}

static bool works(const struct procedure *procedure, const int8_t lanes[ROLES_MAX],
                  int hands, int *left)
{
    struct rig rig;
    struct rig_state state;
    struct findings found = {0};
    if (!rig_make(&rig, procedure, lanes, hands, true))
        return false;
    rig_start(&rig, &state);
    rig_find(&rig, &state, &found);
    return !found.count && reaches(&rig, &state, left);
}

/* Every way of giving the roles from ROLE on to the hands who know them. */
static bool any_way(const struct procedure *procedure, const struct crew *crew,
                    int8_t lanes[ROLES_MAX], int role, int *left)
{
    if (role == procedure->plan->role_count)
        return works(procedure, lanes, crew->hand_count, left);
    if (!(procedure->roles >> role & 1))
        return any_way(procedure, crew, lanes, role + 1, left);
    for (int h = 0; h < crew->hand_count; h++) {
        lanes[role] = (int8_t)h;
        if (hand_grade(&crew->hands[h], procedure->plan->roles[role].name) &&
            any_way(procedure, crew, lanes, role + 1, left))
            return true;
    }
    return false;
}

/* The bill's events in the order of their times, in any order at the same time: ready,
 * nothing wrong, and then the goal. */
static bool plays_again(const struct rig *rig, const struct rig_state *state,
                        const struct bill *bill)
{
    if (rig_ended(rig, state))
        return !rig_short_of_goal(rig, state);
    int32_t first_ms = INT32_MAX;
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < bill->slot_count; i++) {
            const struct bill_slot *slot = &bill->slots[i];
            bool running = state->begun >> slot->step & 1;
            int32_t at = running ? slot->end_ms : slot->start_ms;
            if (state->done >> slot->step & 1)
                continue;
            if (pass == 0) {
                first_ms = at < first_ms ? at : first_ms;
                continue;
            }
            step_set may = running ? rig_may_end(rig, state) : rig_ready(rig, state);
            if (at > first_ms || !(may >> slot->step & 1))
                continue;
            struct findings found = {0};
            struct rig_state next = *state;
            if (running) {
                rig_find_finish(rig, state, slot->step, &found);
                rig_end(rig, &next, slot->step);
            } else {
                rig_find_start(rig, state, slot->step, &found);
                rig_begin(rig, &next, slot->step);
            }
            rig_find(rig, &next, &found);
            if (!found.count && plays_again(rig, &next, bill))
                return true;
        }
    return false;
}

static void play_again(const struct procedure *procedure, const struct bill *bill)
{
    struct rig rig;
    struct rig_state state;
    struct findings found = {0};
    bill_rig(bill, procedure, &rig);
    rig_start(&rig, &state);
    rig_find(&rig, &state, &found);
    ck_assert_int_eq(found.count, 0);
    ck_assert(plays_again(&rig, &state, bill));
}

static void check_stored(const struct procedure *procedure, const struct crew *crew,
                         const struct bill *bill)
{
    struct text stored = {0}, again = {0};
    struct bill read;
    bill_write(bill, procedure, crew, &stored);
    ck_assert(bill_read(stored.at, procedure, crew, &read));
    bill_write(&read, procedure, crew, &again);
    ck_assert_str_eq(stored.at, again.at);
    ck_assert(slots_same(&read, bill));
    text_free(&stored);
    text_free(&again);
}

START_TEST(agrees_with_every_way)
{
    int found = 0, none = 0, unloaded = 0;
    for (unsigned round = 0; round < 400; round++) {
        unsigned seed = round * 104729u + (unsigned)_i * 7919u + 11u;
        struct arena *arena = arena_new();
        const char *text;
        int roles = 2 + one_of(&seed, 3), left = ORDERS_MAX;
        const struct procedure *procedure = random_procedure(arena, &seed, roles, &text);
        const struct crew *crew = random_crew(arena, &seed, roles);
        struct bill_wish wish;
        struct bill_why why;
        struct bill bill, again;
        int8_t lanes[ROLES_MAX] = {0};
        if (!procedure) {
            unloaded++;
            arena_free(arena);
            continue;
        }
        bill_wish_start(&wish);
        wish.pilot = true;
        bool exists = any_way(procedure, crew, lanes, 0, &left);
        enum bill_verdict verdict = bill_make(procedure, crew, &wish, &bill, &why);
        if (exists || left >= 0)
            ck_assert_msg(verdict == (exists ? BILL_FOUND : BILL_NONE),
                          "round %u of %d: %s\n%s", round, _i,
                          exists ? "there is" : "none", text);
        if (verdict == BILL_FOUND) {
            play_again(procedure, &bill);
            check_stored(procedure, crew, &bill);
            ck_assert_int_eq(bill_make(procedure, crew, &wish, &again, &why), BILL_FOUND);
            ck_assert(slots_same(&again, &bill));
        }
        found += verdict == BILL_FOUND;
        none += verdict == BILL_NONE;
        arena_free(arena);
    }
    ck_assert_int_gt(found, 15); /* both outcomes are exercised */
    ck_assert_int_gt(none, 100);
    ck_assert_int_lt(unloaded, 200);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill, every way");
    TCase *tests = tcase_create("every way");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, agrees_with_every_way, 0, 4);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
