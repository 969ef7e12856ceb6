/* The shipped procedures played at random: never a finding, never a stall, always at the
 * goal, from every begin they allow. Then with one cue or step taken out, which breaks
 * the rule the trade names; and with every mishap met on the way, which has its recovery.
 */
#include "shipped.h"

#include "screens/recover.h"
#include "vet/checker.h"

#include <stdint.h>

enum { PLAYS = 2000, BROKEN_PLAYS = 20000 };

/* Begins at any of the values the procedure allows. */
static void begin_anywhere(const struct rig *rig, unsigned *seed, struct rig_state *out)
{
    rig_start(rig, out);
    for (int p = 0; p < rig->plan->part_count; p++) {
        value_set allowed = rig->procedure->begin[p].values;
        for (unsigned turns = allowed ? shipped_random(seed) % 8 : 0; turns; turns--)
            do
                out->part[p] = (uint8_t)((out->part[p] + 1) % VALUES_MAX);
            while (!(allowed >> out->part[p] & 1));
    }
}

/* One event: any ready step starts or any running one that may finish does. False where
 * nothing can go on. What is wrong is added to FOUND. */
static bool any_event(const struct rig *rig, unsigned *seed, struct rig_state *state,
                      struct findings *found)
{
    step_set starts = rig_ready(rig, state), ends = rig_may_end(rig, state);
    if (!(starts | ends))
        return false;
    int step;
    bool finish;
    do {
        step = (int)(shipped_random(seed) % rig->procedure->step_count);
        finish = shipped_random(seed) & 1;
    } while (!((finish ? ends : starts) >> step & 1));
    if (finish) {
        rig_find_finish(rig, state, step, found);
        rig_end(rig, state, step);
    } else {
        rig_find_start(rig, state, step, found);
        rig_begin(rig, state, step);
    }
    rig_find(rig, state, found);
    return true;
}

static void play_well(const struct rig *rig, unsigned *seed)
{
    struct rig_state state;
    struct findings found = {0};
    begin_anywhere(rig, seed, &state);
    rig_find(rig, &state, &found);
    while (!rig_ended(rig, &state)) {
        ck_assert_msg(any_event(rig, seed, &state, &found), "%s stalls",
                      rig->procedure->name);
        ck_assert_msg(!found.count, "%s: something is wrong", rig->procedure->name);
    }
    ck_assert_uint_eq(rig_short_of_goal(rig, &state), 0);
}

START_TEST(is_played_to_its_goal_at_random)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    unsigned seed = 20261125u + (unsigned)_i;
    const struct procedure *plain = shipped_load(library, _i, BOARD_PORT, NULL, 0, arena);
    unsigned sets = 2u << plain->option_count; /* both boards, every choice of options */
    for (unsigned set = 0; set < sets; set++) {
        const char *options[OPTIONS_MAX];
        for (int o = 0; o < plain->option_count; o++)
            options[o] = arena_printf(arena, "%s=%s", plain->options[o].name,
                                      set >> (o + 1) & 1 ? "yes" : "no");
        const struct procedure *procedure =
            shipped_load(library, _i, set & 1 ? BOARD_STARBOARD : BOARD_PORT, options,
                         plain->option_count, arena);
        struct rig *rig = arena_alloc(arena, sizeof *rig);
        ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
        for (unsigned play = 0; play < PLAYS / sets + 1; play++)
            play_well(rig, &seed);
    }
    arena_free(arena);
}
END_TEST

/* Some play of RIG has the rule of that name broken. */
static bool breaks(const struct rig *rig, const char *rule, step_set skipped)
{
    unsigned seed = 11u;
    for (int play = 0; play < BROKEN_PLAYS; play++) {
        struct rig_state state;
        struct findings found = {0};
        rig_start(rig, &state);
        state.skipped |= skipped;
        while (!rig_ended(rig, &state) && any_event(rig, &seed, &state, &found))
            ;
        for (int i = 0; i < found.count; i++)
            if (found.at[i].kind == FINDING_RULE &&
                strcmp(rig->procedure->rules.at[found.at[i].index].name, rule) == 0)
                return true;
    }
    return false;
}

/* Common practice (what single slips do on these cards): without this step, or with this
 * step begun on no cue at all, that rule is broken. */
struct slip_known {
    const char *procedure, *step, *rule;
};

static const struct slip_known forgotten[] = {
    {"bear-away-set", "stand-by", "all-ready-before-the-turn"},
    {"bear-away-set", "pole-up", "pole-hangs-on-its-lift"},
    {"bear-away-set", "turn-on", "halyard-turns"},
    {"end-for-end-jibe", "stand-by", "all-ready-before-the-turn"},
    {"end-for-end-jibe", "unload", "mast-end-off-unloaded"},
    {"end-for-end-jibe", "new-on", "mast-end-off-unloaded"},
    {"end-for-end-jibe", "heads", "heads-before-boom"},
    {"dip-pole-jibe", "stand-by", "all-ready-before-the-turn"},
    {"dip-pole-jibe", "foreguy-ease", "foreguy-lets-it-swing"},
    {"dip-pole-jibe", "heads", "heads-before-boom"},
    {"dip-pole-jibe", "bow-in", "bow-in-before-load"},
    {"jibe-set", "heads", "heads-before-boom"},
    {"jibe-set", "turn-on", "halyard-turns"},
    {"jibe-set", "pole-up", "pole-hangs-on-its-lift"},
    {"rig-up", "bag", "bag-before-corners"},
    {"rig-up", "lead", "leads-before-the-halyard"},
    {"rig-up", "corners", "corners-before-the-halyard"},
    {"repack", "strip", "stripped-before-it-goes-below"},
    {"leeward-takedown", "stand-by", "all-ready-before-the-turn"},
    {"leeward-takedown", "halyard-ready", "halyard-tended"},
    {"windward-takedown", "stand-by", "all-ready-before-the-turn"},
    {"windward-takedown", "unload", "trip-unloaded"},
    {"windward-takedown", "halyard-ready", "halyard-tended"},
    {"hatch-takedown", "stand-by", "all-ready-before-the-turn"},
    {"hatch-takedown", "take-line", "hatch-line-before-blow"},
    {"hatch-takedown", "halyard-ready", "halyard-tended"},
    {"hatch-takedown", "shut", "hatch-shut-before-she-comes-up"},
    {"letterbox-takedown", "stand-by", "all-ready-before-the-turn"},
    {"letterbox-takedown", "halyard-ready", "halyard-tended"},
    {"sock-takedown", "stand-by", "all-ready-before-the-turn"},
    {"sock-takedown", "line", "no-bare-sock-line"},
    {"sock-takedown", "turns-on", "halyard-turns"},
    {"sock-takedown-two", "stand-by", "all-ready-before-the-turn"},
    {"sock-takedown-two", "line", "no-bare-sock-line"},
    {"sock-takedown-two", "turns-on", "halyard-turns"},
    {"chute-recovery", "stand-by", "all-ready-before-the-turn"},
    {"chute-recovery", "pull", "retrieve-kept"},
    {"wrap-recovery", "heads", "heads-before-boom"},
    {"sock-stuck-recovery", "give", "halyard-turns"},
    {"shrimp-recovery", "stop", "stopped-before-the-edge"},
    {"shrimp-recovery", "bow-out", "nobody-forward-of-the-running-guy"},
    {"sheet-lost-recovery", "lee-clear", "lee-clear-before-the-clew-comes-in"},
    {"jaw-stuck-recovery", "ease-again", "trip-unloaded"},
    {"jaw-stuck-recovery", "heads", "heads-before-boom"},
    {"pole-short-recovery", "heads", "heads-before-boom"},
    {"sheet-stuck-recovery", "lee-clear", "lee-deck-clear"}};

static const struct slip_known uncued[] = {
    {"bear-away-set", "bear-away", "all-ready-before-the-turn"},
    {"bear-away-set", "hoist", "tack-out-first"},
    {"bear-away-set", "hoist", "hoist-deep"},
    {"bear-away-set", "sheet-on", "no-fill-before-made"},
    {"end-for-end-jibe", "bear-away", "all-ready-before-the-turn"},
    {"end-for-end-jibe", "mast-off", "mast-end-off-unloaded"},
    {"end-for-end-jibe", "mast-off", "foreguy-lets-the-pole-across"},
    {"end-for-end-jibe", "foreguy-fast", "foreguy-lets-the-pole-across"},
    {"end-for-end-jibe", "guy-on", "mast-end-off-unloaded"},
    {"end-for-end-jibe", "head-up", "boom-crosses-on-the-run"},
    {"dip-pole-jibe", "bear-away", "all-ready-before-the-turn"},
    {"dip-pole-jibe", "trip", "trip-unloaded"},
    {"dip-pole-jibe", "dip", "inboard-high-to-dip"},
    {"dip-pole-jibe", "guy-on", "bow-in-before-load"},
    {"dip-pole-jibe", "guy-on", "no-load-till-made"},
    {"dip-pole-jibe", "head-up", "boom-crosses-on-the-run"},
    {"jibe-set", "round", "all-ready-before-the-turn"},
    {"jibe-set", "hoist", "tack-out-first"},
    {"jibe-set", "hoist", "boom-over-before-the-hoist"},
    {"jibe-set", "sheet-on", "corner-held-until-the-pole-has-it"},
    {"repack", "belly", "both-edges-before-the-belly"},
    {"leeward-takedown", "blow", "retrieve-before-blow"},
    {"leeward-takedown", "ease", "foot-before-halyard"},
    {"leeward-takedown", "corners", "retrieve-before-blow"},
    {"leeward-takedown", "corners", "retrieve-kept"},
    {"leeward-takedown", "head-up", "blanketed-drop"},
    {"windward-takedown", "run", "all-ready-before-the-turn"},
    {"windward-takedown", "pole-off", "trip-unloaded"},
    {"windward-takedown", "ease", "foot-before-halyard"},
    {"windward-takedown", "corners", "windward-retrieve-kept"},
    {"windward-takedown", "sheet-off", "guy-in-hand-before-the-sheet"},
    {"hatch-takedown", "hatch", "no-hoist-across-an-open-hatch"},
    {"hatch-takedown", "blow", "hatch-line-before-blow"},
    {"hatch-takedown", "ease", "foot-before-halyard"},
    {"hatch-takedown", "slack", "hatch-line-kept"},
    {"letterbox-takedown", "dump", "foot-before-halyard"},
    {"letterbox-takedown", "let-go", "slot-line-before-the-guy"},
    {"letterbox-takedown", "pull", "slot-line-kept"},
    {"sock-takedown", "snuff", "soft-before-snuff"},
    {"sock-takedown-two", "snuff", "soft-before-snuff"},
    {"sock-stuck-recovery", "lower", "sock-shut-before-halyard"},
    {"chute-recovery", "off", "foot-before-halyard"},
    {"chute-recovery", "off", "retrieve-kept"},
    {"halyard-recovery", "lower", "foot-before-halyard"},
    {"guy-stuck-recovery", "ease", "foot-before-halyard"},
    {"shrimp-recovery", "guy-run", "nobody-forward-of-the-running-guy"},
    {"sheet-lost-recovery", "lazy-in", "lee-clear-before-the-clew-comes-in"},
    {"jaw-stuck-recovery", "jerk", "trip-unloaded"},
    {"pole-broken-recovery", "corners", "retrieve-before-blow"},
    {"wrap-recovery", "boom", "boom-crosses-on-the-run"}};

START_TEST(forgotten_it_breaks_the_rule_the_trade_names)
{
    const struct slip_known *slip = &forgotten[_i];
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, slip->procedure, BOARD_STARBOARD, arena);
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    int step = procedure_step(procedure, slip->step);
    ck_assert_int_ge(step, 0);
    ck_assert_msg(breaks(rig, slip->rule, (step_set)1 << step), "%s without %s",
                  slip->procedure, slip->step);
    rig->start.skipped = (step_set)1 << step; /* vet finds it as well, and shows how */
    vet_search(rig, &(struct vet_limits){0}, true, report);
    ck_assert_int_eq(report->verdict, VET_BROKEN);
    for (int i = 0; i < report->found_count; i++)
        ck_assert(vet_replay(rig, &report->found[i]));
    arena_free(arena);
}
END_TEST

/* The same procedure in which STEP starts as soon as its hand is free. */
static const struct procedure *without_cue(const struct procedure *procedure, int step,
                                           struct arena *arena)
{
    struct procedure *copy = arena_alloc(arena, sizeof *copy);
    struct step *steps = arena_alloc(arena, procedure->step_count * sizeof *steps);
    *copy = *procedure;
    memcpy(steps, procedure->steps, procedure->step_count * sizeof *steps);
    steps[step].after = steps[step].after_started = 0;
    steps[step].wait.count = 0;
    copy->steps = steps;
    return copy;
}

START_TEST(on_no_cue_it_breaks_the_rule_the_trade_names)
{
    const struct slip_known *slip = &uncued[_i];
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_named(library, slip->procedure, BOARD_PORT, arena);
    int step = procedure_step(procedure, slip->step);
    ck_assert_int_ge(step, 0);
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    ck_assert(vet_rig_of_roles(without_cue(procedure, step, arena),
                               procedure->pilot_needed, rig));
    ck_assert_msg(breaks(rig, slip->rule, 0), "%s with %s on no cue: not %s",
                  slip->procedure, slip->step, slip->rule);
    arena_free(arena);
}
END_TEST

/* Where a recovery that fits is wanted: after each mishap that can befall this state. */
static int meet_mishaps(const struct library *library, struct run *run)
{
    const struct rig_plan *plan = run->rig->plan;
    int tried = 0;
    for (int m = 0; m < plan->mishap_count; m++) {
        if (!rig_holds(&run->now.rig, &plan->mishaps[m].can))
            continue;
        struct arena *arena = arena_new();
        struct offers *offers = arena_alloc(arena, sizeof *offers);
        recover_offers(library, run, m, arena, offers);
        const struct offer *first = &offers->at[0];
        ck_assert_msg(offers->count && !first->off, "%s in %s: %s has %s off",
                      plan->mishaps[m].name, run->rig->procedure->name,
                      first->procedure->name,
                      first->off ? first->procedure->plan->parts[first->first_off].name
                                 : "nothing");
        ck_assert_int_eq(first->procedure->family, FAMILY_RECOVERY);
        tried++;
        arena_free(arena);
    }
    return tried;
}

enum { EACH_STATE = 3 }; /* every third; offers read all the files again */

/* States of a play, and what can befall them; recoveries are met by their own.  All
 * states there are: test_way_out. */
START_TEST(every_mishap_on_the_way_has_its_recovery)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *procedure =
        shipped_load(library, _i, BOARD_PORT, NULL, 0, arena);
    struct run *run = arena_alloc(arena, sizeof *run);
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    unsigned seed = 5u + (unsigned)_i;
    int tried = 0;
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    run->rig = rig;
    if (procedure->family != FAMILY_RECOVERY) {
        struct findings found = {0};
        begin_anywhere(rig, &seed, &run->now.rig);
        int at = 0;
        do
            tried += at++ % EACH_STATE ? 0 : meet_mishaps(library, run);
        while (any_event(rig, &seed, &run->now.rig, &found));
    }
    ck_assert(tried || procedure->family == FAMILY_RECOVERY ||
              procedure->family == FAMILY_CARE); /* with no kite up nothing befalls it */
    arena_free(arena);
}
END_TEST

/* What a recovery leaves is what the next procedure can take up. */
static const struct chain {
    const char *recovery, *next;
} chains[] = {{"sock-wrap-recovery", "sock-takedown-two"},
              {"sock-wrap-recovery", "sock-takedown"},
              {"sheet-stuck-recovery", "sock-takedown-two"},
              {"sheet-stuck-recovery", "sock-takedown"}};

START_TEST(a_recovery_leads_on)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *recovery =
        shipped_named(library, chains[_i].recovery, BOARD_PORT, arena);
    struct run *run = arena_alloc(arena, sizeof *run);
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct offers *offers = arena_alloc(arena, sizeof *offers);
    struct findings found = {0};
    unsigned seed = 3u;
    ck_assert(vet_rig_of_roles(recovery, recovery->pilot_needed, rig));
    run->rig = rig;
    rig_start(rig, &run->now.rig);
    bool pair = strcmp(chains[_i].next, "sock-takedown-two") == 0;
    int helm = rig_plan_part(rig->plan, "helm");
    int steered = part_find_value(&rig->plan->parts[helm], pair ? "pilot" : "hand");
    run->now.rig.part[helm] = (uint8_t)steered;
    while (any_event(rig, &seed, &run->now.rig, &found))
        ;
    ck_assert(rig_ended(rig, &run->now.rig));
    recover_offers(library, run, -1, arena, offers);
    ck_assert_int_eq(offers->at[0].off, 0);
    ck_assert_str_eq(offers->at[0].procedure->name, chains[_i].next);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("shipped plays");
    TCase *tests = tcase_create("plays");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, is_played_to_its_goal_at_random, 0, SHIPPED_COUNT);
    tcase_add_loop_test(tests, forgotten_it_breaks_the_rule_the_trade_names, 0,
                        (int)(sizeof forgotten / sizeof forgotten[0]));
    tcase_add_loop_test(tests, on_no_cue_it_breaks_the_rule_the_trade_names, 0,
                        (int)(sizeof uncued / sizeof uncued[0]));
    tcase_add_loop_test(tests, every_mishap_on_the_way_has_its_recovery, 0,
                        SHIPPED_COUNT);
    tcase_add_loop_test(tests, a_recovery_leads_on, 0,
                        (int)(sizeof chains / sizeof chains[0]));
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
