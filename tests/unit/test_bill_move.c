/* A step moved by hand on a card: of every step of every shipped procedure, either way.
 * What is taken is looked through and differs in that one place; what is not taken says
 * why, and vet agrees that the cards so changed can go wrong. */
#include "shipped.h"

#include "bill/bill_move.h"
#include "vet/engines.h"

struct counted {
    int taken, refused, barred;
};

static int card_of(const struct bill *bill, const struct procedure *procedure, int lane,
                   uint8_t card[STEPS_MAX])
{
    static struct rig rig;
    int count = 0;
    bill_rig(bill, procedure, &rig);
    for (int i = 0; i < bill->slot_count; i++)
        if (rig.lanes_of_step[bill->slots[i].step] >> lane & 1)
            card[count++] = bill->slots[i].step;
    return count;
}

static void check_taken(const struct bill *bill, const struct bill *moved,
                        const struct procedure *procedure, int lane, int step, bool later)
{
    for (int other = 0; other < bill->lane_count; other++) {
        uint8_t before[STEPS_MAX], after[STEPS_MAX];
        int count = card_of(bill, procedure, other, before);
        ck_assert_int_eq(card_of(moved, procedure, other, after), count);
        for (int i = 0; other == lane && i < count; i++)
            if (before[i] == step) {
                int beside = later ? i + 1 : i - 1;
                before[i] = before[beside];
                before[beside] = (uint8_t)step;
                break;
            }
        if (other == lane)
            ck_assert_mem_eq(before, after, (size_t)count);
    }
    ck_assert_int_ge(moved->total_ms, bill->least_ms);
    ck_assert_int_eq(moved->proved, moved->total_ms == bill->least_ms);
}

/* With the two changed over vet does not find the cards safe. */
static void check_refused(const struct bill *bill, const struct procedure *procedure,
                          int lane, int step, bool later)
{
    static struct rig rig;
    static struct vet_report report;
    const struct vet_limits limits = {.states = 200000};
    uint8_t card[STEPS_MAX];
    int count = card_of(bill, procedure, lane, card), at = 0;
    while (card[at] != step)
        at++;
    int beside = later ? at + 1 : at - 1;
    card[at] = card[beside];
    card[beside] = (uint8_t)step;
    bill_rig(bill, procedure, &rig);
    rig_set_card(&rig, lane, card, count);
    vet_quickly(&rig, &limits, false, &report);
    ck_assert_int_ne(report.verdict, VET_SAFE);
}

static void try_move(const struct bill *bill, const struct procedure *procedure,
                     const struct crew *crew, const struct bill_wish *wish, int lane,
                     int step, bool later, struct counted *counted)
{
    struct bill moved;
    struct text why = {0};
    if (bill_move(bill, procedure, crew, wish, lane, step, later, &moved, &why)) {
        ck_assert(bill_holds(&moved, procedure, crew, wish) && !why.at);
        check_taken(bill, &moved, procedure, lane, step, later);
        counted->taken++;
    } else {
        ck_assert_ptr_nonnull(why.at);
        bool barred = strstr(why.at, "It is the ") || strstr(why.at, "The card of ");
        if (!barred)
            check_refused(bill, procedure, lane, step, later);
        counted->barred += barred;
        counted->refused += !barred;
    }
    text_free(&why);
}

START_TEST(test_moves)
{
    static const struct {
        const char *name;
        uint8_t hands_most;
    } crews[] = {{"crew", 3}, {"crew", 4}, {"crew", 5},  {"crew", 6},
                 {"crew", 0}, {"pair", 0}, {"dinghy", 0}};
    struct counted counted = {0};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    for (int i = 0; i < SHIPPED_COUNT; i++)
        for (int c = 0; c < (int)(sizeof crews / sizeof crews[0]); c++) {
            const struct procedure *procedure =
                shipped_load(library, i, BOARD_STARBOARD, NULL, 0, arena);
            const struct crew *crew = shipped_crew(crews[c].name, NULL, arena);
            struct bill_wish wish;
            struct bill bill;
            bill_wish_start(&wish);
            wish.pilot = procedure->pilot_needed;
            wish.hands_most = crews[c].hands_most;
            if (bill_try(procedure, crew, &wish, &bill) != BILL_FOUND)
                continue;
            for (int lane = 0; lane < bill.lane_count; lane++) {
                uint8_t card[STEPS_MAX];
                int count = card_of(&bill, procedure, lane, card);
                for (int j = 0; j < 2 * count; j++)
                    try_move(&bill, procedure, crew, &wish, lane, card[j / 2], j % 2,
                             &counted);
            }
        }
    arena_free(arena);
    ck_assert_msg(counted.taken > 10 && counted.refused > 20 && counted.barred > 20,
                  "%d taken, %d refused, %d barred by the card", counted.taken,
                  counted.refused, counted.barred);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bill move");
    TCase *tests = tcase_create("moves");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, test_moves);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
