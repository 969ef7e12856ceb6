/* Hands pinned to roles: no pin makes a bill of known roles shorter, the bill keeps the
 * pins, and of pins that leave no bill the fewest are named. */
#include "shipped.h"

#include "bill/bill_pins.h"

enum { ROUNDS = 12 };

struct pinning {
    const struct procedure *procedure;
    const struct crew *crew;
    struct bill_wish wish;
    bool known; /* every hand in what it knows */
};

static void start(struct pinning *p, int i, struct arena *arena)
{
    p->procedure =
        shipped_load(shipped_library(arena), i, BOARD_STARBOARD, NULL, 0, arena);
    p->crew = shipped_crew("crew", NULL, arena);
}

/* Two or three pins; few hands, so that they meet. */
static void pin_some(struct pinning *p, unsigned *seed)
{
    bill_wish_start(&p->wish);
    p->wish.pilot = p->procedure->pilot_needed;
    p->known = true;
    for (int i = 0; i < 3; i++) {
        int role = (int)(shipped_random(seed) % (unsigned)p->procedure->plan->role_count);
        int hand = (int)(shipped_random(seed) % 4) + (int)(shipped_random(seed) % 2) * 4;
        if (!rig_role_needed(p->procedure, role, p->wish.pilot))
            continue;
        p->wish.hand_of_role[role] = (int8_t)hand;
        p->known &= hand_grade(&p->crew->hands[hand],
                               p->procedure->plan->roles[role].name) != GRADE_NONE;
    }
}

static void check_found(const struct pinning *p, const struct bill *bill,
                        const struct pins *pins)
{
    ck_assert(bill_holds(bill, p->procedure, p->crew, &p->wish));
    ck_assert_int_eq(pins->clash, 0);
    for (int lane = 0; lane < bill->lane_count; lane++)
        for (int role = 0; role < ROLES_MAX; role++)
            if (bill->wears[lane] >> role & 1 && p->wish.hand_of_role[role] >= 0)
                ck_assert_int_eq(bill->hand[lane], p->wish.hand_of_role[role]);
    if (p->known && pins->free.proved)
        ck_assert_int_ge(bill->total_ms, pins->free.total_ms);
}

static enum bill_verdict try_only(const struct pinning *p, role_set pinned)
{
    struct bill_wish wish = p->wish;
    struct bill bill;
    for (int role = 0; role < ROLES_MAX; role++)
        if (!(pinned >> role & 1))
            wish.hand_of_role[role] = -1;
    return bill_try(p->procedure, p->crew, &wish, &bill);
}

static void check_clash(const struct pinning *p, const struct pins *pins)
{
    ck_assert_int_ne(pins->clash, 0);
    ck_assert_int_eq(try_only(p, pins->clash), BILL_NONE);
    for (int role = 0; role < ROLES_MAX; role++)
        if (pins->clash >> role & 1)
            ck_assert_int_ne(try_only(p, (role_set)(pins->clash & ~(1u << role))),
                             BILL_NONE);
    if (pins->why.clash_asked)
        ck_assert_int_eq(pins->why.clash & ~pins->clash, 0);
}

START_TEST(test_pins)
{
    struct arena *arena = arena_new();
    struct pinning p;
    unsigned seed = (unsigned)_i * 100u + 7u;
    start(&p, _i, arena);
    for (int round = 0; round < ROUNDS; round++) {
        struct bill bill;
        struct pins pins;
        pin_some(&p, &seed);
        enum bill_verdict verdict = bill_try(p.procedure, p.crew, &p.wish, &bill);
        bill_ask_pins(p.procedure, p.crew, &p.wish, verdict, &pins);
        if (verdict == BILL_FOUND)
            check_found(&p, &bill, &pins);
        else if (verdict == BILL_NONE && pins.free_verdict == BILL_FOUND)
            check_clash(&p, &pins);
    }
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill pins");
    TCase *tests = tcase_create("pins");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, test_pins, 0, SHIPPED_COUNT);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
