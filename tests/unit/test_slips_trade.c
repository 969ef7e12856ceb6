/* The slips of the shipped cards against what the trade's notes say of them: which step
 * hurts when its hand goes without any cue, and which when it is left out, by which rule.
 * Source: common practice, trade notes 3.4 (rules by their numbers of 3.2), computed
 * there from the trade's own cards by other means.  Every step on which ours differs is
 * in the table with the reason, and no other one may. */
#include "shipped.h"

#include "vet/slips.h"

static const struct vet_limits no_limits = {0};

/* The numbered rules in the words of our rig files: one of them is broken. */
static const struct numbered {
    const char *number, *rules;
} numbered[] = {{"R7", "heads-before-boom"},
                {"R8", "boom-crosses-on-the-run boom-crosses-unprevented"},
                {"R9", "no-bare-sock-line no-turn-round-a-hand"},
                {"R10", "halyard-turns"},
                {"R12", "foot-before-halyard"},
                {"R14", "retrieve-before-blow hatch-line-before-blow"},
                {"R14", "slot-line-before-the-guy"},
                {"R15", "retrieve-kept windward-retrieve-kept"},
                {"R15", "hatch-line-kept slot-line-kept"},
                {"R14", "clew-in-hand-before-the-tack slot-in-hand-before-the-tack"},
                {"R15", "clew-kept slot-kept"},
                {"R17", "trip-unloaded"},
                {"R18", "mast-end-off-unloaded"},
                {"R20", "foreguy-lets-it-swing foreguy-lets-the-pole-across"},
                {"R22", "pole-hangs-on-its-lift"},
                {"R23", "no-load-till-made no-heading-up-till-made"},
                {"R24", "inboard-high-to-dip"},
                {"R25", "bow-in-before-load"},
                {"R28", "tack-out-first sprit-out-first"},
                {"R29", "no-fill-before-made no-sheeting-before-made"},
                {"R27", "leads-outside"},
                {"R30", "hoist-deep"},
                {"R32", "clew-across-before-boom"},
                {"R33", "clew-away-before-the-haul"},
                {"R34", "one-sheet-works"},
                {"R35", "soft-before-snuff"},
                {"R37", "furl-line-in-hand furl-under-tension no-rolling-under-load"},
                {"R40", "all-ready-before-the-turn ready-before-the-hoist"}};

/* A step, and the rules it breaks or the reason why it hurts here and not there. */
struct said {
    const char *step, *what;
};

enum { SAID_MAX = 12 };

#define SPLIT  "ours is two steps where the trade's card has one joint step"
#define TURNS  "ours turns deep as a step that moves; the trade's card is deep at its end"
#define TURNED "R10 there; ours begins with turns on, so nobody has the tail"
#define POLE   "ours takes the pole down with the lift in hand; there it is one step"
#define ROUND  "ours goes on to the rounding; the trade's card ends before it"
#define HATCH  "ours shuts the hatch before she comes up"
#define COURSE "ours may unload before she runs: then she turns with the halyard running"
#define CORNER                                                                           \
    "ours holds the guy before the sheet goes as a rule; there it is a cue alone"
#define TRIP "ours holds the boom till after the trip as a rule; there it is a cue alone"
#define FOOT "ours takes the line and the clew in two steps"
#define SOON                                                                             \
    "with us a forgotten step is believed done from the first moment, and whoever "      \
    "waits for it alone goes at once; there it is only when its turn comes"

#define ASIDE                                                                            \
    "ours is held to a rule that the trade has for two sheets; the one sheet is led to " \
    "the new side and is both"
#define TETHER "our steps forward need the tether clipped on; the trade's need nothing"

static const struct card {
    const char *procedure;
    struct said no_cue[SAID_MAX], more_no_cue[SAID_MAX];
    struct said left_out[SAID_MAX], more_left_out[SAID_MAX];
} cards[] = {
    {"bear-away-set", /* a2 */
     {{"bear-away", "R40"}, {"hoist", "R28 R30"}, {"sheet-on", "R29"}},
     {{"lock", SPLIT}},
     {{"stand-by", "R40"}, {"pole-up", "R22"}, {"turn-on", "R10"}},
     {{"tail", SPLIT}}},
    {"end-for-end-jibe", /* c */
     {{"bear-away", "R40"},
      {"mast-off", "R18 R20"},
      {"foreguy-fast", "R20"},
      {"guy-on", "R18"},
      {"head-up", "R8"}},
     {{0}},
     {{"stand-by", "R40"}, {"unload", "R18"}, {"new-on", "R18 R20"}, {"heads", "R7"}},
     {{"mast-on", "the trade's own need of head-up; a rule of ours"}}},
    {"dip-pole-jibe", /* d */
     {{"bear-away", "R40"},
      {"trip", "R17"},
      {"dip", "R24"},
      {"swing", "R24"},
      {"clip", "R20"},
      {"lift-up", "R20"},
      {"guy-on", "R25 R23 R17"},
      {"head-up", "R8"}},
     {{"boom", TRIP}},
     {{"stand-by", "R40"}, {"foreguy-ease", "R20"}, {"heads", "R7"}, {"bow-in", "R25"}},
     {{"lift-up", SOON}, {"trip", TRIP}}},
    {"leeward-takedown", /* i; "foot" on no cue is harmless with us: ease waits for blow
                          */
     {{"blow", "R14"}, {"ease", "R12 R15"}, {"corners", "R14 R15"}},
     {{"deep", TURNS}, {"head-up", ROUND}, {"lift-off", POLE}, {"pole-down", POLE}},
     {{0}},
     {{"stand-by", TURNS},
      {"halyard-ready", TURNED},
      {"pole-down", POLE},
      {"bring-in", ROUND}}},
    {"windward-takedown", /* j */
     {{"run", "R40"}, {"pole-off", "R17"}, {"ease", "R12 R15"}, {"corners", "R15"}},
     {{"unload", COURSE},
      {"lift-down", POLE},
      {"lift-off", POLE},
      {"sheet-off", CORNER},
      {"foot", CORNER},
      {"head-up", ROUND}},
     {{"stand-by", "R40"}, {"unload", "R17"}},
     {{"halyard-ready", TURNED},
      {"pole-off", POLE},
      {"pole-down", POLE},
      {"bring-in", ROUND}}},
    {"hatch-takedown", /* k1 */
     {{"blow", "R14"}, {"ease", "R12 R15"}, {"slack", "R14 R15"}},
     {{"deep", TURNS},
      {"hatch", HATCH},
      {"clew", FOOT},
      {"pull", FOOT},
      {"shut", HATCH},
      {"lift-off", POLE},
      {"head-up", ROUND}},
     {{0}},
     {{"stand-by", TURNS},
      {"take-line", FOOT},
      {"clew", "there too, by the need of blow; but " SOON},
      {"halyard-ready", TURNED},
      {"blow", POLE},
      {"pull", ROUND},
      {"slack", ROUND},
      {"shut", HATCH},
      {"pole-down", POLE}}},
    {"letterbox-takedown", /* k2 */
     {{"dump", "R12 R15"}, {"let-go", "R14"}, {"pull", "R14 R15"}},
     {{"deep", TURNS}},
     {{0}},
     {{"stand-by", TURNS}, {"halyard-ready", TURNED}, {"rest", SPLIT}}},
    {"sock-takedown", /* g3 */
     {{"snuff", "R35"}},
     {{0}},
     {{"stand-by", "R40"}, {"line", "R9"}, {"turns-on", "R10"}},
     {{"clip-on", SPLIT}}},
    {"sock-takedown-two", /* h */
     {{"snuff", "R35"}},
     {{0}},
     {{"stand-by", "R40"}, {"line", "R9"}, {"turns-on", "R10"}},
     {{"clip-on", TETHER}}},
    {"code-zero-furl", /* n, its first half */
     {{"roll", "R37"}},
     {{"wrap", "ours tells a sheet let fly from one eased with a turn kept"}},
     {{"stand-by", "R40"}},
     {{"line", SOON}}},
    {"code-zero-lower", /* n, its second half */
     {{"lower", "R12"}},
     {{0}},
     {{"turns-on", "R10"}},
     {{0}}},
    {"chute-launch", /* l1 */
     {{0}},
     {{"hoist", "there it waits for the course as well as for its helm; so does ours, "
                "but without any cue it goes high"}},
     {{"stand-by", "R40"}, {"sprit", "R28"}},
     {{"free", "ours asks that the lazy sheet is out of its cleat"}}},
    {"asym-set", /* b2 */
     {{"bear-away", "R40"}, {"hoist", "R30"}, {"trim", "R29"}},
     {{"lock", SPLIT}},
     {{"stand-by", "R40"}, {"turn-on", "R10"}},
     {{"tail", SPLIT}, {"sprit", "a rule of our card: the sprit before the tack"}}},
    {"asym-inside-jibe", /* e1; without haul-new it is R3 there, our fill holds the line
                          */
     {{"bear-away", "R40"}, {"haul-new", "R34"}, {"boom", "R32"}, {"head-up", "R8"}},
     {{0}},
     {{"stand-by", "R40"}, {"haul-new", "R34"}, {"heads", "R7"}},
     {{0}}},
    {"asym-outside-jibe", /* e2; as e1 */
     {{"bear-away", "R40"}, {"boom", "R32"}, {"haul-new", "R33 R34"}, {"head-up", "R8"}},
     {{0}},
     {{"stand-by", "R40"}, {"heads", "R7"}, {"haul-new", "R34"}},
     {{0}}},
    {"cruising-jibe", /* f1; without haul R3 there, our new-fast has no hand left */
     {{"haul", "R33 R34"}},
     {{0}},
     {{"stand-by", "R40"}, {"preventer-off", "R8"}, {"heads", "R7"}, {"haul", "R34"}},
     {{"sheet-fast", "ours is two hands on the main, with none left for the sheet"},
      {"new-fast", "ours is two hands on the tack line, with none left for the sheet"}}},
    {"snuff-jibe", /* f2 */
     {{"snuff", "R35"}},
     {{"preventer-off", ASIDE}, {"trim", ASIDE}},
     {{"stand-by", "R40"}, {"preventer-off", "R8"}, {"heads", "R7"}},
     {{"clip-on", TETHER},
      {"line", "ours may begin with the line bare in the hand"},
      {"relead", ASIDE},
      {"raise", ASIDE}}},
    {"asym-wrap-recovery", /* q, the halyard eased in the hand */
     {{"boom", "R8"}},
     {{"leech", "our sail may be on a loaded sheet; see sheet-off"}},
     {{"heads", "R7"}},
     {{"preventer-off", "ours begins with the preventer on as well as off"},
      {"sheet-off", "ours begins with either sheet loaded in the hand"},
      {"go-clip", TETHER}}},
    {"asym-leeward-drop", /* i, with the tack line for the guy */
     {{"blow", "R14"}, {"foot", "R14"}, {"ease", "R12 R15 R14"}, {"corners", "R14 R15"}},
     {{"deep", "ours is a turn, which R40 holds; there it is a course at once"},
      {"head-up", "there nobody turns up on the card"}},
     {{"halyard-ready", "R10"}},
     {{"stand-by", "as deep without its cue"},
      {"tack-ready", "there nobody makes the line ready to run"},
      {"bring-in", "our head-up needs the foot aboard"}}},
    {"asym-letterbox", /* k2, as i */
     {{"dump", "R12 R15"}, {"let-go", "R14"}, {"pull", "R15 R14"}},
     {{"deep", "ours is a turn, which R40 holds; there it is a course at once"}},
     {{"halyard-ready", "R10"}},
     {{"stand-by", "as deep without its cue"}, {"start-in", SOON}}},
    {"sock-hoist", /* g2 */
     {{"hoist", "R27 R30"}},
     {{0}},
     {{"stand-by", "R40"}, {"turn-on", "R10"}, {"line", "R9"}},
     {{"on-the-wind", "ours begins with the pilot on a heading as well; R2 is held"},
      {"clip-on", TETHER},
      {"trace", SOON},
      {"line-fast", "ours ends at the halyard, and the line is held forward"}}},
    {"chute-recovery", /* l2 */
     {{"off", "R12 R15"}},
     {{0}},
     {{"stand-by", "R40"}, {"pull", "R15"}},
     {{0}}},
    {"wrap-recovery", /* q */
     {{"boom", "R8"}},
     {{0}},
     {{"heads", "R7"}},
     {{"preventer-off", "ours begins with the preventer on as well as off"}}},
    {"broach-recovery", /* o: no slip of it breaks a rule */
     {{0}},
     {{"retrim", "ours is not trimmed while anybody is on the lee deck"}},
     {{0}},
     {{"lee-clear", "ours is not trimmed while anybody is on the lee deck"}}}};

enum { CARDS = sizeof cards / sizeof cards[0] };

static bool is_word(const char *words, const char *word, size_t length)
{
    for (const char *at = words; (at = strstr(at, word)); at++)
        if ((at == words || at[-1] == ' ') && (!at[length] || at[length] == ' '))
            return true;
    return false;
}

static bool breaks_number(const struct procedure *procedure, const struct slip *slip,
                          const char *number, size_t length)
{
    for (size_t n = 0; n < sizeof numbered / sizeof numbered[0]; n++) {
        if (strlen(numbered[n].number) != length ||
            memcmp(numbered[n].number, number, length) != 0)
            continue;
        for (int r = 0; r < procedure->rules.count; r++) {
            const char *name = procedure->rules.at[r].name;
            if (slip_breaks(slip, r) && is_word(numbered[n].rules, name, strlen(name)))
                return true;
        }
    }
    return false;
}

static void check_numbers(const struct procedure *procedure, const struct slip *slip,
                          const char *numbers)
{
    while (*numbers) {
        size_t length = strcspn(numbers, " ");
        ck_assert_msg(breaks_number(procedure, slip, numbers, length), "%s %s: not %s",
                      procedure->name, procedure->steps[slip->step].name, numbers);
        numbers += length + (numbers[length] == ' ');
    }
}

static const struct said *find(const struct said *list, const char *step)
{
    for (int i = 0; i < SAID_MAX && list[i].step; i++)
        if (strcmp(list[i].step, step) == 0)
            return &list[i];
    return NULL;
}

static void check_step(const struct procedure *procedure, const struct slip *slip,
                       const struct said *list, const struct said *more)
{
    const char *name = procedure->steps[slip->step].name;
    const struct said *said = find(list, name);
    if (said)
        check_numbers(procedure, slip, said->what);
    ck_assert_msg((slip->outcome == VET_BROKEN) == (said || find(more, name)),
                  "%s %s: the trade says otherwise", procedure->name, name);
}

/* The slip of STEP going without any cue; where it has but one, that one. */
static const struct slip *without_cue(const struct slips *slips, int step)
{
    const struct slip *one = NULL;
    for (int i = 0; i < slips->count; i++) {
        const struct slip *slip = &slips->at[i];
        if (slip->kind == SLIP_SOON && slip->step == step)
            return slip;
        if ((slip->kind == SLIP_AFTER || slip->kind == SLIP_WAIT) && slip->step == step)
            one = slip;
    }
    return one;
}

static void check_names(const struct procedure *procedure, const struct said *list)
{
    for (int i = 0; i < SAID_MAX && list[i].step; i++)
        ck_assert_msg(procedure_step(procedure, list[i].step) >= 0, "%s has no step %s",
                      procedure->name, list[i].step);
}

static void check_card(const struct card *card, enum board board)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_named(shipped_library(arena), card->procedure, board, arena);
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    vet_slips(rig, &no_limits, slips);
    ck_assert(!slips->cut && !slips->left_out);
    check_names(procedure, card->no_cue);
    check_names(procedure, card->more_no_cue);
    check_names(procedure, card->left_out);
    check_names(procedure, card->more_left_out);
    for (int s = 0; s < procedure->step_count; s++) {
        const struct slip *slip = without_cue(slips, s);
        ck_assert_int_eq(slips->at[s].kind, SLIP_OMIT);
        check_step(procedure, &slips->at[s], card->left_out, card->more_left_out);
        if (slip)
            check_step(procedure, slip, card->no_cue, card->more_no_cue);
    }
    arena_free(arena);
}

START_TEST(agrees_with_the_trade)
{
    check_card(&cards[_i], BOARD_STARBOARD);
    check_card(&cards[_i], BOARD_PORT);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slips of the trade's cards");
    TCase *tests = tcase_create("cards");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, agrees_with_the_trade, 0, CARDS);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
