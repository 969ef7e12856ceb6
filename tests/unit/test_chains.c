/* A crew never does one manoeuvre alone: what one leaves behind is what the next begins
 * from.  From every end of every order of the one, on both boards, the next one fits as a
 * live run judges it (rig/carry.h). */
#include "shipped.h"

#include "rig/carry.h"
#include "vet/values.h"
#include "vet/vet.h"

enum { CHAIN_MAX = 8 };

static const char *const chains[][CHAIN_MAX] = {
    {"bear-away-set", "dip-pole-jibe", "dip-pole-jibe", "leeward-takedown"},
    {"bear-away-set", "end-for-end-lazy-guys", "end-for-end-lazy-guys",
     "leeward-takedown"},
    {"short-handed-jibe", "short-handed-jibe"},
    {"bear-away-set", "end-for-end-jibe", "end-for-end-jibe", "leeward-takedown"},
    {"jibe-set", "dip-pole-jibe", "leeward-takedown", "repack", "rig-up",
     "bear-away-set"},
    {"jibe-set", "windward-takedown"},
    {"bear-away-set", "windward-takedown", "repack", "rig-up"},
    {"bear-away-set", "hatch-takedown", "repack", "rig-up"},
    {"bear-away-set", "dip-pole-jibe", "letterbox-takedown"},
    {"halyard-recovery", "repack", "rig-up"},
    {"guy-stuck-recovery", "repack"},
    {"shrimp-recovery", "repack", "rig-up"},
    {"sheet-lost-recovery", "leeward-takedown"},
    {"sheet-lost-recovery", "letterbox-takedown"},
    {"jaw-stuck-recovery", "dip-pole-jibe", "leeward-takedown"},
    {"car-jam-recovery", "leeward-takedown"},
    {"car-jam-recovery", "letterbox-takedown"},
    {"pole-broken-recovery", "repack"},
    {"pole-short-recovery", "leeward-takedown"},
    {"asym-set", "asym-inside-jibe", "asym-outside-jibe", "asym-leeward-drop"},
    {"sock-hoist", "sock-takedown"},
    {"sock-hoist", "snuff-jibe", "sock-takedown-two"},
    {"cruising-jibe", "cruising-jibe", "sock-takedown-two"},
    {"asym-set", "asym-inside-jibe", "asym-letterbox"},
    {"asym-broach-recovery", "asym-leeward-drop"},
    {"asym-wrap-recovery", "asym-leeward-drop"},
    {"asym-collapse-recovery", "asym-inside-jibe"},
    {"asym-roll-recovery", "asym-leeward-drop"},
    {"asym-round-down-recovery", "asym-leeward-drop"},
    {"asym-tack-recovery", "asym-leeward-drop"},
    {"asym-sheet-lost-recovery", "asym-leeward-drop"},
    {"asym-sheet-lost-recovery", "sock-takedown"},
    {"sheet-stuck-recovery", "asym-leeward-drop"},
    {"sheet-stuck-recovery", "asym-letterbox"},
    {"asym-broach-recovery", "asym-inside-jibe"},
    {"chute-launch", "chute-jibe", "chute-jibe", "chute-recovery", "chute-launch"},
    {"chute-launch-stopped", "chute-launch"},
    {"chute-broach-recovery", "chute-recovery"},
    {"chute-roll-recovery", "chute-recovery"},
    {"chute-fouled-recovery", "chute-launch"},
    {"chute-scoop-recovery", "chute-launch"},
    {"chute-halyard-recovery", "chute-launch"},
    {"code-zero-hoist", "code-zero-unroll", "code-zero-jibe", "code-zero-furl",
     "code-zero-unroll", "code-zero-furl", "code-zero-lower", "code-zero-hoist"},
    {"code-zero-furler-recovery", "code-zero-lower"},
    {"code-zero-furler-recovery", "code-zero-unroll"},
};

enum { CHAINS = sizeof chains / sizeof chains[0] };

/* Two neighbours of a chain. */
struct link {
    const struct rig *rig; /* of the one */
    const struct procedure *next[2];
    int ends;
};

/* Nothing in FROM changes the part, and NEXT takes one of the values it may begin with: a
 * sail with a sock or without, a pilot or none. */
static bool is_settled_before(const struct procedure *from, const struct procedure *next,
                              int part)
{
    return !values_set(from, part) && from->begin[part].values & next->begin[part].values;
}

static bool follow(void *payload, const struct rig_state *state)
{
    struct link *link = payload;
    if (!rig_ended(link->rig, state))
        return false;
    const struct procedure *from = link->rig->procedure;
    part_set known = carry_known(from, -1);
    const struct procedure *next =
        link->next[carry_board(from->plan, state, known, from->board)];
    struct rig_state carried = {0};
    carry_parts(from->plan, state, known, next, &carried);
    part_set misfits = carry_misfits(next, &carried);
    for (int p = 0; p < next->plan->part_count; p++)
        ck_assert_msg(!(misfits >> p & 1) || is_settled_before(from, next, p),
                      "%s leaves the %s %s, which %s does not take", from->name,
                      next->plan->parts[p].words,
                      next->plan->parts[p].values[carried.part[p]].words, next->name);
    link->ends++;
    return false;
}

static void check_link(const struct library *library, const char *one, const char *other,
                       enum board board)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    const struct procedure *from = shipped_named(library, one, board, arena);
    struct link link = {
        .rig = rig,
        .next = {shipped_named(library, other, BOARD_PORT, arena),
                 shipped_named(library, other, BOARD_STARBOARD, arena)},
    };
    const struct vet_limits limits = {.each = follow, .each_payload = &link};
    ck_assert(vet_rig_of_roles(from, from->pilot_needed, rig));
    vet_search(rig, &limits, false, report);
    ck_assert(!report->cut_off);
    ck_assert_int_gt(link.ends, 0);
    arena_free(arena);
}

START_TEST(each_fits_the_one_before)
{
    struct arena *arena = arena_new();
    const struct library *library = shipped_library(arena);
    for (int i = 1; i < CHAIN_MAX && chains[_i][i]; i++)
        for (int board = BOARD_PORT; board <= BOARD_STARBOARD; board++)
            check_link(library, chains[_i][i - 1], chains[_i][i], (enum board)board);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("chains");
    TCase *tests = tcase_create("chains");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, each_fits_the_one_before, 0, CHAINS);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
