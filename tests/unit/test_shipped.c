/* The shipped procedures: load without a word on both boards with every choice of their
 * options, are safe in every order, complete, and give a bill at the hands they claim.
 * How they are played and broken: test_shipped_plays.c. */
#include "run_view.h"
#include "shipped.h"

#include "vet/slips.h"

static const struct vet_limits no_limits = {0};

/* Which demo crew does it, with the fewest and the usual hands; options with the fewest.
 */
static const struct claim {
    const char *procedure, *crew, *least, *least_options;
    int times_good_s; /* the trade's own card time, good club crew; common practice */
    bool pilot;
} claims[] = {
    {"bear-away-set", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 31, false},
    {"dip-pole-jibe", "crew", "Ottilie Bram Tamsin Lubo Juno",
     "self-tailers=yes foreguy-mark=yes", 30, false},
    {"end-for-end-lazy-guys", "crew", "Ottilie Bram Tamsin Lubo Juno",
     "self-tailers=yes foreguy-mark=yes", 21, false},
    /* two hands against the figure of the solo jibe, trimmed to trimmed */
    {"short-handed-jibe", "pair", "Merle", NULL, 120, true},
    {"end-for-end-jibe", "crew", "Ottilie Bram Tamsin Fenna",
     "foreguy-mark=yes few-hands=yes", 21, false},
    {"jibe-set", "crew", "Ottilie Bram Ines Tamsin Lubo Juno", NULL, 0, false},
    {"rig-up", "crew", "Ottilie Lubo Juno", NULL, 93, false},
    {"repack", "crew", "Ottilie Fenna", NULL, 80, false},
    {"leeward-takedown", "crew", "Ottilie Bram Tamsin Fenna", "few-hands=yes", 30, false},
    {"windward-takedown", "crew", "Ottilie Bram Tamsin Lubo Juno", "few-hands=yes", 31,
     false},
    {"hatch-takedown", "crew", "Ottilie Bram Tamsin Lubo Juno", "few-hands=yes", 27,
     false},
    {"letterbox-takedown", "crew", "Ottilie Bram Tamsin Lubo", "few-hands=yes", 27,
     false},
    {"sock-takedown", "crew", "Ottilie Bram Juno", NULL, 59, false},
    {"sock-takedown-two", "pair", "Merle Anselm", NULL, 99, true},
    {"asym-set", "crew", "Ottilie Bram Lubo Juno", NULL, 34, false},
    {"sock-hoist", "pair", "Merle Anselm", NULL, 123, true},
    {"asym-inside-jibe", "crew", "Ottilie Bram Ines", NULL, 13, false},
    {"asym-outside-jibe", "pair", "Merle Anselm", NULL, 17, true},
    {"cruising-jibe", "pair", "Merle Anselm", NULL, 66, true},
    {"asym-leeward-drop", "crew", "Ottilie Tamsin Lubo Fenna", "few-hands=yes", 30,
     false},
    {"asym-letterbox", "crew", "Ottilie Bram Lubo", "few-hands=yes", 27, false},
    {"asym-broach-recovery", "pair", "Merle Anselm", "halyard-hand=no", 15, false},
    {"asym-wrap-recovery", "crew", "Ottilie Bram Fenna", "ease-halyard=no", 29, false},
    {"asym-collapse-recovery", "pair", "Merle Anselm", NULL, 0, false},
    {"asym-roll-recovery", "crew", "Ottilie Bram Lubo", NULL, 8, false},
    {"asym-round-down-recovery", "crew", "Ottilie Bram Tamsin Lubo", NULL, 0, false},
    {"asym-shrimp-recovery", "crew", "Ottilie Bram", "few-hands=yes", 41, false},
    {"asym-halyard-recovery", "crew", "Ottilie Bram Lubo", NULL, 0, false},
    {"asym-tack-recovery", "pair", "Merle Anselm", NULL, 0, true},
    {"asym-sheet-lost-recovery", "pair", "Merle Anselm", NULL, 0, true},
    {"asym-person-recovery", "pair", "Merle Anselm", "let-fly=yes", 62, true},
    {"snuff-jibe", "pair", "Merle Anselm", NULL, 97, true},
    {"chute-recovery", "dinghy", "Pia Tove", NULL, 13, false},
    {"broach-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 15, false},
    {"wrap-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 29, false},
    {"person-overboard-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 62,
     false},
    {"death-roll-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 8, false},
    {"round-down-recovery", "crew", "Ottilie Bram Ines Tamsin Lubo", NULL, 0, false},
    {"person-overboard-foot-first", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 0,
     false},
    {"person-overboard-few", "crew", "Ottilie Bram Tamsin", NULL, 0, false},
    {"halyard-recovery", "crew", "Ottilie Bram Tamsin Lubo", NULL, 0, false},
    {"guy-stuck-recovery", "crew", "Ottilie Bram Ines Tamsin Lubo", NULL, 0, false},
    {"shrimp-recovery", "crew", "Ottilie Bram Tamsin Fenna", "few-hands=yes", 41, false},
    {"sheet-lost-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 0, false},
    {"jaw-stuck-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 0, false},
    {"car-jam-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 0, false},
    {"pole-broken-recovery", "crew", "Ottilie Bram Ines Tamsin Lubo Juno", NULL, 0,
     false},
    {"pole-short-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", "second-hand=no", 0,
     false},
    {"pole-skied-recovery", "crew", "Ottilie Bram Tamsin Lubo Juno", NULL, 0, false},
    {"chute-fouled-recovery", "dinghy", "Pia Tove", NULL, 0, false},
    {"chute-scoop-recovery", "dinghy", "Pia Tove", NULL, 0, false},
    {"chute-launch-stopped", "dinghy", "Pia Tove", NULL, 0, false},
    {"chute-launch", "dinghy", "Pia Tove", NULL, 14, false},
    {"chute-jibe", "dinghy", "Pia Tove", NULL, 13, false}, /* as the inside jibe */
    {"chute-broach-recovery", "dinghy", "Pia Tove", NULL, 0, false},
    {"chute-roll-recovery", "dinghy", "Pia Tove", NULL, 8, false},
    {"chute-halyard-recovery", "dinghy", "Pia Tove", NULL, 0, false},
    {"chute-person-recovery", "dinghy", "Pia", NULL, 0, false},
    {"code-zero-hoist", "pair", "Merle Anselm", NULL, 0, true},
    {"code-zero-unroll", "pair", "Merle Anselm", NULL, 0, true},
    {"code-zero-jibe", "pair", "Merle Anselm", NULL, 0, true},
    {"code-zero-furl", "pair", "Merle Anselm", NULL, 30, true}, /* up to the line fast */
    {"code-zero-lower", "pair", "Merle Anselm", NULL, 0, true},
    {"code-zero-furler-recovery", "pair", "Merle Anselm", NULL, 0, true},
    {"code-zero-unrolled-recovery", "pair", "Merle Anselm", NULL, 0, true},
    {"code-zero-person-recovery", "pair", "Merle", NULL, 62, true},
    {"sheet-stuck-recovery", "pair", "Merle Anselm", NULL, 0, true},
    {"sock-stuck-recovery", "pair", "Merle Anselm", NULL, 0, true},
    {"sock-wrap-recovery", "pair", "Merle Anselm", NULL, 0, true}};

enum { CLAIMS = sizeof claims / sizeof claims[0] };

/* Others who can or cannot: without the pilot the helm takes a hand of its own, which
 * leaves too few where both others are at work at once. */
static const struct other {
    const char *procedure, *crew, *hands;
    bool pilot;
    enum bill_verdict verdict;
} others[] = {{"sock-takedown-two", "pair", NULL, false, BILL_NONE},
              {"sock-wrap-recovery", "pair", NULL, false, BILL_FOUND},
              {"sheet-stuck-recovery", "pair", NULL, false, BILL_FOUND},
              {"sock-stuck-recovery", "pair", NULL, false, BILL_NONE},
              {"sock-wrap-recovery", "crew", "Ottilie Bram Juno", false, BILL_FOUND},
              {"sheet-stuck-recovery", "crew", "Ottilie Bram Fenna", false, BILL_FOUND},
              {"sock-stuck-recovery", "crew", "Ottilie Bram Juno", false, BILL_FOUND},
              {"sock-takedown", "crew", "Ottilie Juno", false, BILL_NONE},
              {"dip-pole-jibe", "crew", "Ottilie Bram Tamsin Juno", false, BILL_NONE},
              {"chute-recovery", "dinghy", "Tove", false, BILL_NONE},
              {"chute-launch", "dinghy", "Tove", false, BILL_NONE},
              {"code-zero-jibe", "crew", "Ottilie Bram Juno", false, BILL_FOUND},
              {"code-zero-jibe", "pair", NULL, false, BILL_NONE}};

static int split(struct arena *arena, const char *text, const char *out[OPTIONS_MAX])
{
    int count = 0;
    while (text && *text) {
        size_t length = strcspn(text, " ");
        out[count++] = arena_copy(arena, text, length);
        text += length + (text[length] == ' ');
    }
    return count;
}

START_TEST(every_file_is_claimed)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    ck_assert_int_eq(library->procedure_count, CLAIMS);
    ck_assert_int_eq(library->procedure_count, SHIPPED_COUNT);
    for (int i = 0; i < CLAIMS; i++)
        ck_assert_msg(library_find(library, claims[i].procedure) >= 0, "%s",
                      claims[i].procedure);
    arena_free(arena);
}
END_TEST

static void check_safe(const struct procedure *procedure)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    vet_prove(rig, &no_limits, false, report);
    ck_assert_msg(report->verdict == VET_SAFE, "%s: %s", procedure->name,
                  vet_verdict_name(report->verdict));
    ck_assert_int_eq(report->checked, VET_CHECKED);
    arena_free(arena);
}

/* Calls CHECK with the procedure of claim I, on both boards with every choice of its
 * options. */
static void each_choice(int i, void (*check)(const struct procedure *procedure))
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    int file = library_find(library, claims[i].procedure);
    for (int board = BOARD_PORT; board <= BOARD_STARBOARD; board++) {
        const struct procedure *plain =
            shipped_load(library, file, (enum board)board, NULL, 0, arena);
        for (unsigned set = 0; set < 1u << plain->option_count; set++) {
            const char *options[OPTIONS_MAX];
            for (int o = 0; o < plain->option_count; o++)
                options[o] = arena_printf(arena, "%s=%s", plain->options[o].name,
                                          set >> o & 1 ? "yes" : "no");
            check(shipped_load(library, file, (enum board)board, options,
                               plain->option_count, arena));
        }
    }
    arena_free(arena);
}

START_TEST(loads_and_is_safe_with_every_choice)
{
    each_choice(_i, check_safe);
}
END_TEST

/* What the program's form asks of every card: a wait, a call with a reply, a check. */
START_TEST(is_complete)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *p =
        shipped_named(library, claims[_i].procedure, BOARD_STARBOARD, arena);
    int waits = 0, calls = 0, warnings = 0;
    for (int s = 0; s < p->step_count; s++) {
        waits += p->steps[s].wait.count > 0;
        calls += *p->steps[s].call.say && *p->steps[s].reply;
        warnings += p->steps[s].warn.signal != SIGNAL_NONE;
        size_t long_words = strlen(p->steps[s].warn.say) +
                            strlen(p->steps[s].warn.avoid) +
                            strlen(signal_name(p->steps[s].warn.signal));
        ck_assert_msg(!p->steps[s].warn.signal || long_words <= 78, "%s: %s", p->name,
                      p->steps[s].name); /* one line of the screen */
    }
    ck_assert_int_gt(waits, 0);
    ck_assert_int_eq(calls, p->step_count);
    ck_assert_int_gt(warnings, 0);
    ck_assert_int_gt(p->check_count, 0);
    ck_assert_int_gt(p->rules.count, 3);
    arena_free(arena);
}
END_TEST

/* Every bill is replayed through the rig in its own order. */
static void replay_bill(const struct procedure *procedure, const struct bill *bill)
{
    struct rig rig;
    struct rig_state state;
    bill_rig(bill, procedure, &rig);
    rig_start(&rig, &state);
    for (int done = 0; done < procedure->step_count;) {
        int32_t next = INT32_MAX;
        bool finish = false;
        int step = -1;
        for (int i = 0; i < bill->slot_count; i++) {
            const struct bill_slot *slot = &bill->slots[i];
            bool running = rig_running(&state) >> slot->step & 1;
            bool open = !(state.begun >> slot->step & 1);
            int32_t at = running ? slot->end_ms : slot->start_ms;
            if ((running || open) && (at < next || (at == next && running && !finish))) {
                next = at;
                finish = running;
                step = slot->step;
            }
        }
        struct findings found = {0};
        ck_assert_int_ge(step, 0);
        step_set may = finish ? rig_may_end(&rig, &state) : rig_ready(&rig, &state);
        ck_assert_msg(may >> step & 1, "%s is not ready in its bill",
                      procedure->steps[step].name);
        if (finish) {
            rig_find_finish(&rig, &state, step, &found);
            rig_end(&rig, &state, step);
            done++;
        } else {
            rig_find_start(&rig, &state, step, &found);
            rig_begin(&rig, &state, step);
        }
        rig_find(&rig, &state, &found);
        ck_assert_int_eq(found.count, 0);
    }
    ck_assert_uint_eq(rig_short_of_goal(&rig, &state), 0);
}

static void bill_for(const struct claim *claim, enum board board, const char *hands,
                     const char *option_text, struct arena *arena)
{
    struct library *library = shipped_library(arena);
    const char *options[OPTIONS_MAX];
    int count = split(arena, option_text, options);
    const struct procedure *procedure = shipped_load(
        library, library_find(library, claim->procedure), board, options, count, arena);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    wish.pilot = claim->pilot;
    const struct crew *crew = shipped_crew(claim->crew, hands, arena);
    ck_assert_msg(bill_make(procedure, crew, &wish, &bill, &why) == BILL_FOUND, "%s",
                  claim->procedure);
    replay_bill(procedure, &bill);
    struct text stored = {0};
    struct bill again;
    bill_write(&bill, procedure, crew, &stored);
    ck_assert(bill_read(stored.at, procedure, crew, &again));
    ck_assert(slots_same(&again, &bill));
    text_free(&stored);
    if (procedure->hands_least && hands) {
        int named = 1;
        for (const char *c = hands; *c; c++)
            named += *c == ' ';
        ck_assert_int_eq(named, procedure->hands_least);
    }
}

START_TEST(has_a_bill_for_the_hands_it_claims)
{
    struct arena *arena = arena_new();
    for (int board = BOARD_PORT; board <= BOARD_STARBOARD; board++) {
        bill_for(&claims[_i], (enum board)board, claims[_i].least,
                 claims[_i].least_options, arena);
        bill_for(&claims[_i], (enum board)board, NULL, NULL, arena);
    }
    arena_free(arena);
}
END_TEST

START_TEST(has_a_bill_or_honestly_none)
{
    const struct other *other = &others[_i];
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    struct text words = {0};
    for (int board = BOARD_PORT; board <= BOARD_STARBOARD; board++) {
        const struct procedure *procedure =
            shipped_named(library, other->procedure, (enum board)board, arena);
        struct bill_wish wish;
        struct bill_why why;
        struct bill bill;
        bill_wish_start(&wish);
        wish.pilot = other->pilot;
        enum bill_verdict verdict =
            bill_make(procedure, shipped_crew(other->crew, other->hands, arena), &wish,
                      &bill, &why);
        ck_assert_int_eq(verdict, other->verdict);
        if (verdict == BILL_FOUND)
            replay_bill(procedure, &bill);
        else
            bill_explain(verdict, &why, procedure, UNITS_METRIC, &words);
        ck_assert(verdict == BILL_FOUND || words.at);
    }
    text_free(&words);
    arena_free(arena);
}
END_TEST

/* Common practice: the good club time of the trade's card, walking left out there; ours
 * with walking stays within a third more, and is not shorter than four fifths. The set
 * ends with flaking the halyard, which its card counts apart (8 s). */
START_TEST(takes_about_the_time_of_the_trade)
{
    const struct claim *claim = &claims[_i];
    if (!claim->times_good_s)
        return;
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, claim->procedure, BOARD_STARBOARD, arena);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    wish.pilot = claim->pilot;
    ck_assert_int_eq(
        bill_make(procedure, shipped_crew(claim->crew, NULL, arena), &wish, &bill, &why),
        BILL_FOUND);
    double ratio = bill.total_ms / 1000.0 / claim->times_good_s;
    ck_assert_msg(ratio > 0.8 && ratio < 1.36, "%s: %.2f", claim->procedure, ratio);
    arena_free(arena);
}
END_TEST

/* A part that begins otherwise and hurts later on is asked about before the go. */
static void check_asked(const struct procedure *procedure)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    vet_slips(rig, &no_limits, slips);
    ck_assert_int_eq(slips->left_out, 0);
    int begins = 0;
    for (int i = 0; i < slips->count; i++) {
        const struct slip *slip = &slips->at[i];
        begins += slip->kind == SLIP_BEGIN;
        if (slip_unasked(rig, slip))
            ck_abort_msg("%s: nobody asks about %s", procedure->name,
                         rig->plan->parts[slip->step].words);
    }
    ck_assert_int_gt(begins, 5);
    arena_free(arena);
}

START_TEST(asks_about_every_begin_that_hurts_later)
{
    each_choice(_i, check_asked);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("shipped");
    TCase *tests = tcase_create("procedures");
    tcase_set_timeout(tests, 300);
    tcase_add_test(tests, every_file_is_claimed);
    tcase_add_loop_test(tests, loads_and_is_safe_with_every_choice, 0, CLAIMS);
    tcase_add_loop_test(tests, is_complete, 0, CLAIMS);
    tcase_add_loop_test(tests, has_a_bill_for_the_hands_it_claims, 0, CLAIMS);
    tcase_add_loop_test(tests, takes_about_the_time_of_the_trade, 0, CLAIMS);
    tcase_add_loop_test(tests, has_a_bill_or_honestly_none, 0,
                        (int)(sizeof others / sizeof others[0]));
    tcase_add_loop_test(tests, asks_about_every_begin_that_hurts_later, 0, CLAIMS);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
