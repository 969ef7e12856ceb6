/* The closing table of the library, tests/golden/closing.txt: each procedure file with
 * its steps, the rules it is held to, by whom it can be done, and what a slip of it
 * hurts. Slips of steps and wrong begins are counted apart; of each rule that a slip
 * breaks the first slip is named.  As written, starboard. */
#include "golden.h"

#include "cards/slip_words.h"

static const struct vet_limits no_limits = {0};
static const char *const crews[] = {"crew", "pair", "dinghy"};

enum { CREWS = sizeof crews / sizeof crews[0] };

static void check_form(const struct procedure *p)
{
    int waits = 0, calls = 0;
    for (int s = 0; s < p->step_count; s++) {
        waits += p->steps[s].wait.count > 0;
        calls += *p->steps[s].call.say && *p->steps[s].reply;
    }
    ck_assert_msg(waits && calls, "%s: a wait and a call with its reply", p->name);
    ck_assert_msg(p->check_count, "%s: a check before the go", p->name);
}

/* A way to man a procedure. */
struct manning {
    int file, hands;
    unsigned turned; /* options that are not as written */
    bool pilot;      /* steers, though the file does not ask for it */
    const char *crew;
};

/* True where a bill is found for it; it is told in OUT then. */
static bool add_bill(const struct library *library, const struct manning *manning,
                     struct text *out, struct arena *arena)
{
    const struct procedure *plain =
        shipped_load(library, manning->file, BOARD_STARBOARD, NULL, 0, arena);
    const char *options[OPTIONS_MAX];
    int count = 0;
    for (int o = 0; o < plain->option_count; o++)
        if (manning->turned >> o & 1)
            options[count++] = arena_printf(arena, "%s=%s", plain->options[o].name,
                                            plain->options[o].on ? "no" : "yes");
    const struct procedure *procedure =
        shipped_load(library, manning->file, BOARD_STARBOARD, options, count, arena);
    struct bill_wish wish;
    struct bill bill;
    bill_wish_start(&wish);
    wish.pilot = manning->pilot || procedure->pilot_needed;
    wish.hands_most = (uint8_t)manning->hands;
    if (bill_try(procedure, shipped_crew(manning->crew, NULL, arena), &wish, &bill) !=
        BILL_FOUND)
        return false;
    text_printf(out, "    %d hands of %s", manning->hands, manning->crew);
    text_add(out, wish.pilot ? ", the pilot steers" : "");
    for (int i = 0; i < count; i++)
        text_printf(out, ", %s", options[i]);
    text_add(out, "\n");
    return true;
}

/* The first that is found, with the fewest options turned and no pilot where it goes
 * without. */
static void add_bills(const struct library *library, const struct procedure *procedure,
                      int file, int hands, struct text *out, struct arena *arena)
{
    struct manning manning = {.file = file, .hands = hands};
    int options = procedure->option_count;
    for (int pilot = 0; pilot < 2; pilot++)
        for (int most = 0; most <= options; most++)
            for (int c = 0; c < CREWS; c++)
                for (unsigned turned = 0; turned < 1u << options; turned++) {
                    manning.pilot = pilot;
                    manning.crew = crews[c];
                    manning.turned = turned;
                    if (__builtin_popcount(turned) == most &&
                        add_bill(library, &manning, out, arena))
                        return;
                }
    ck_abort_msg("%s: no demo crew of %d does it", procedure->name, hands);
}

/* How many slips of steps, or wrong begins, break rule R; the first of them. */
static int count_slips(const struct slips *slips, int r, bool of_begin,
                       const struct slip **first)
{
    int count = 0;
    for (int i = 0; i < slips->count; i++) {
        const struct slip *slip = &slips->at[i];
        if (slip_breaks(slip, r) && (slip->kind == SLIP_BEGIN) == of_begin && !count++)
            *first = slip;
    }
    return count;
}

/* A line for each rule that a slip of a step breaks; their number. */
static int add_hurting(const struct rig *rig, const struct slips *slips, struct text *out)
{
    int hurting = 0;
    for (int r = 0; r < rig->procedure->rules.count; r++) {
        const struct rule *rule = &rig->procedure->rules.at[r];
        const struct slip *first = NULL;
        int count = count_slips(slips, r, false, &first);
        if (!count)
            continue;
        struct text words = {0};
        sheet_add_slip(rig, first, &words);
        text_printf(out, "    %-8s %-28s %2d  %s\n", signal_name(rule->signal),
                    rule->name, count, words.at);
        text_free(&words);
        hurting++;
    }
    return hurting;
}

/* The rules that only a wrong begin breaks. */
static void add_begins(const struct rig *rig, const struct slips *slips, struct text *out)
{
    const struct slip *first = NULL;
    int begins = 0;
    for (int r = 0; r < rig->procedure->rules.count; r++)
        if (!count_slips(slips, r, false, &first) && count_slips(slips, r, true, &first))
            text_printf(out, "%s %s", begins++ ? "," : "    a wrong begin:",
                        rig->procedure->rules.at[r].name);
    text_add(out, begins ? "\n" : "");
}

static void add_procedure(const struct library *library, int file, struct text *out)
{
    struct arena *arena = arena_new();
    const struct procedure *p =
        shipped_load(library, file, BOARD_STARBOARD, NULL, 0, arena);
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    check_form(p);
    text_printf(out, "%s: %s, %d steps, held to %d rules\n", p->name,
                family_name(p->family), p->step_count, p->rules.count);
    add_bills(library, p, file, p->hands_least, out, arena);
    if (p->hands_usual != p->hands_least)
        add_bills(library, p, file, p->hands_usual, out, arena);
    ck_assert(vet_rig_of_roles(p, p->pilot_needed, rig));
    vet_slips(rig, &no_limits, slips);
    int hurting = add_hurting(rig, slips, out);
    add_begins(rig, slips, out);
    ck_assert_msg(hurting, "%s: no slip of a step breaks a rule", p->name);
    arena_free(arena);
}

START_TEST(every_file_is_in_the_table)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    struct text table = {0};
    text_add(&table,
             "Each rule that slips break: how many slips of steps, how many wrong\n"
             "begins, and the first of them.\n");
    for (int i = 0; i < library->procedure_count; i++) {
        text_add(&table, "\n");
        add_procedure(library, i, &table);
    }
    golden_check("closing.txt", &table);
    text_free(&table);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("closing");
    TCase *tests = tcase_create("table");
    tcase_set_timeout(tests, 300);
    tcase_add_test(tests, every_file_is_in_the_table);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
