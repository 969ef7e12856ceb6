/* A crew can stop at any moment, and anything can befall the rig there.  From every state
 * that any order of a shipped procedure comes to between its begin and its end, as it is
 * and with each mishap that can happen in it, a recovery or a takedown fits, or the same
 * procedure begun again; judged as a live run does (rig/carry.h).  States where none fits
 * are listed in tests/golden/way-out.txt with what is in the way. */
#include "golden.h"

#include "rig/carry.h"
#include "vet/vet.h"

enum { GROUPS_MAX = 256, CHOICES_MAX = 1 + OPTIONS_MAX };

/* The states of one procedure in the values of its parts, each once. */
struct states {
    struct arena *arena;
    const struct rig *rig;
    struct rig_state *at;
    size_t count, room;
    size_t *table; /* index + 1; 0: free */
    size_t table_room;
};

static size_t place_of(const struct states *states, const struct rig_state *state)
{
    uint64_t sum = 0xcbf29ce484222325u; /* FNV-1a */
    for (int p = 0; p < states->rig->plan->part_count; p++)
        sum = (sum ^ state->part[p]) * 0x100000001b3u;
    size_t at = (sum ^ sum >> 32) & (states->table_room - 1);
    while (states->table[at] && memcmp(states->at[states->table[at] - 1].part,
                                       state->part, states->rig->plan->part_count) != 0)
        at = (at + 1) & (states->table_room - 1);
    return at;
}

static void grow(struct states *states)
{
    states->room = states->room ? states->room * 2 : 64;
    struct rig_state *wider =
        arena_alloc(states->arena, states->room * sizeof *states->at);
    if (states->count)
        memcpy(wider, states->at, states->count * sizeof *wider);
    states->at = wider;
    states->table_room = 2 * states->room;
    states->table =
        arena_alloc(states->arena, states->table_room * sizeof *states->table);
    memset(states->table, 0, states->table_room * sizeof *states->table);
    for (size_t i = 0; i < states->count; i++)
        states->table[place_of(states, &states->at[i])] = i + 1;
}

static bool keep(void *payload, const struct rig_state *state)
{
    struct states *states = payload;
    if (state->begun == states->rig->start.begun || rig_ended(states->rig, state))
        return false;
    if (states->count == states->room)
        grow(states);
    size_t at = place_of(states, state);
    if (states->table[at])
        return false;
    states->at[states->count++] = *state;
    states->table[at] = states->count;
    return false;
}

/* States that nothing fits, by the mishap and what comes nearest: the values that are in
 * the way in some of them. */
struct group {
    int mishap, states;
    const struct procedure *nearest; /* as written; NULL: there is nothing */
    value_set misfits[PARTS_MAX];
};

/* Why nothing fits after a mishap, and what the crew does then. */
static const struct reason {
    const char *from, *mishap, *why;
} reasons[] = {
    {"leeward-takedown", "person-overboard",
     "turning deep with the foot in hand: deep in a moment, then the card for the foot "
     "first"},
    {"letterbox-takedown", "person-overboard",
     "turning deep with the foot in hand: deep in a moment, then the card for the foot "
     "first"},
    {"chute-person-recovery", "person",
     "a second person while sail and lines trail: they are taken in first, the steps "
     "left"},
    {"code-zero-person-recovery", "person",
     "a second person while the sail trails or the engine drives: the steps left first"},
};

struct tally {
    struct arena *arena;
    const struct procedure *const *on_board[2]; /* of all files, by the board */
    int file_count;
    const struct procedure *from;
    int seen[2], fit[2]; /* without a mishap, with one */
    struct group groups[GROUPS_MAX];
    int group_count;
};

/* A recovery is one only for a rig in trouble. */
static bool is_way_out(const struct procedure *from, int mishap,
                       const struct procedure *to)
{
    bool in_trouble = mishap >= 0 || from->family == FAMILY_RECOVERY;
    return strcmp(from->plan->name, to->plan->name) == 0 &&
           (to->family == FAMILY_TAKEDOWN || strcmp(from->name, to->name) == 0 ||
            (to->family == FAMILY_RECOVERY && in_trouble));
}

static struct group *group_of(struct tally *tally, int mishap,
                              const struct procedure *nearest)
{
    for (int i = 0; i < tally->group_count; i++)
        if (tally->groups[i].mishap == mishap && tally->groups[i].nearest == nearest)
            return &tally->groups[i];
    ck_assert_int_lt(tally->group_count, GROUPS_MAX);
    struct group *group = &tally->groups[tally->group_count++];
    *group = (struct group){.mishap = mishap, .nearest = nearest};
    return group;
}

static void add_to_group(struct group *group, const struct rig_state *carried)
{
    group->states++;
    if (!group->nearest)
        return;
    part_set misfits = carry_misfits(group->nearest, carried);
    for (int p = 0; p < PARTS_MAX; p++)
        if (misfits >> p & 1)
            group->misfits[p] |= (value_set)1 << carried->part[p];
}

/* STATE, a state of what is tallied, after MISHAP (-1: none). */
static void look_for_a_way_out(struct tally *tally, struct rig_state state, int mishap)
{
    const struct rig_plan *plan = tally->from->plan;
    part_set known = carry_known(tally->from, mishap);
    const struct procedure *nearest = NULL;
    struct rig_state carried = {0}, nearest_state = {0};
    int least = PARTS_MAX + 1;
    if (mishap >= 0)
        rig_apply(&state, &plan->mishaps[mishap].sets);
    enum board board = carry_board(plan, &state, known, tally->from->board);
    for (int i = 0; i < tally->file_count && least; i++) {
        const struct procedure *to = tally->on_board[board][i];
        if (!is_way_out(tally->from, mishap, to))
            continue;
        carry_parts(plan, &state, known, to, &carried);
        int off = __builtin_popcountll(carry_misfits(to, &carried));
        if (off < least) {
            least = off;
            nearest = to;
            nearest_state = carried;
        }
    }
    tally->seen[mishap >= 0]++;
    tally->fit[mishap >= 0] += !least;
    if (least)
        add_to_group(group_of(tally, mishap, nearest), &nearest_state);
}

/* Every state of FROM, as it is and with each mishap that can happen in it. */
static void tally_states(struct tally *tally, const struct procedure *from)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    struct states states = {.arena = arena, .rig = rig};
    const struct vet_limits limits = {.each = keep, .each_payload = &states};
    ck_assert(vet_rig_of_roles(from, from->pilot_needed, rig));
    vet_search(rig, &limits, false, report);
    ck_assert(!report->cut_off);
    tally->from = from;
    for (size_t i = 0; i < states.count; i++) {
        look_for_a_way_out(tally, states.at[i], -1);
        for (int m = 0; m < from->plan->mishap_count; m++)
            if (carry_can_happen(from, &states.at[i], m))
                look_for_a_way_out(tally, states.at[i], m);
    }
    arena_free(arena);
}

static int compare(const void *a, const void *b)
{
    const struct group *first = a, *second = b;
    if (first->mishap != second->mishap)
        return first->mishap - second->mishap;
    return second->states - first->states;
}

static void add_misfits(const struct group *group, struct text *out)
{
    const struct rig_plan *plan = group->nearest->plan;
    const char *between = " but for";
    for (int p = 0; p < plan->part_count; p++) {
        const struct part *part = &plan->parts[p];
        if (!group->misfits[p])
            continue;
        text_printf(out, "%s %s", between, *part->alias ? part->alias : part->name);
        between = ",";
        for (int v = 0; v < part->value_count; v++)
            if (group->misfits[p] >> v & 1)
                text_printf(out, " %s",
                            *part->values[v].alias ? part->values[v].alias
                                                   : part->values[v].name);
    }
}

/* A gap after a mishap has a reason, or the test fails. */
static void add_reason(const struct procedure *from, const char *mishap, struct text *out)
{
    const char *why =
        from->family == FAMILY_RECOVERY
            ? "a second trouble on top of the first: what is under way is finished first"
        : from->family == FAMILY_JIBE
            ? "half way across: over first by the steps left, then a recovery fits"
            : NULL;
    for (size_t i = 0; i < sizeof reasons / sizeof reasons[0]; i++)
        if (strcmp(reasons[i].from, from->name) == 0 &&
            strcmp(reasons[i].mishap, mishap) == 0)
            why = reasons[i].why;
    ck_assert_msg(why, "%s, %s: no way out of some states and no reason", from->name,
                  mishap);
    text_printf(out, "    %s\n", why);
}

static void add_tally(struct tally *tally, struct text *out)
{
    const struct mishap *mishaps = tally->from->plan->mishaps;
    text_printf(out, "\n%s: %d of %d states, %d of %d with a mishap\n", tally->from->name,
                tally->fit[0], tally->seen[0], tally->fit[1], tally->seen[1]);
    qsort(tally->groups, (size_t)tally->group_count, sizeof tally->groups[0], compare);
    for (int i = 0; i < tally->group_count; i++) {
        const struct group *group = &tally->groups[i];
        text_printf(out, "  %-16s %5d  ",
                    group->mishap < 0 ? "no mishap" : mishaps[group->mishap].name,
                    group->states);
        text_add(out, group->nearest ? group->nearest->name : "nothing of this rig");
        if (group->nearest && group->nearest->board != tally->from->board)
            text_add(out, " on the other tack");
        if (group->nearest)
            add_misfits(group, out);
        text_add(out, "\n");
        if (group->mishap >= 0)
            add_reason(tally->from, mishaps[group->mishap].name, out);
    }
}

/* Procedure FILE on BOARD as written and with each option turned. */
static void tally_file(struct library *library, int file, enum board board,
                       struct tally *tally)
{
    const struct procedure *plain = tally->on_board[board][file];
    tally_states(tally, plain);
    for (int o = 0; o < plain->option_count; o++) {
        const char *turned = arena_printf(tally->arena, "%s=%s", plain->options[o].name,
                                          plain->options[o].on ? "no" : "yes");
        tally_states(tally, shipped_load(library, file, board, &turned, 1, tally->arena));
    }
}

/* The board makes no difference; what is told is of starboard. */
static void add_file(struct library *library, int file, struct tally *tallies,
                     int counts[4], struct text *out)
{
    for (int board = 0; board < 2; board++)
        tally_file(library, file, (enum board)board, &tallies[board]);
    for (int mishap = 0; mishap < 2; mishap++) {
        ck_assert_int_eq(tallies[0].seen[mishap], tallies[1].seen[mishap]);
        ck_assert_int_eq(tallies[0].fit[mishap], tallies[1].fit[mishap]);
        counts[2 * mishap] += tallies[1].seen[mishap];
        counts[2 * mishap + 1] += tallies[1].fit[mishap];
    }
    add_tally(&tallies[1], out);
}

START_TEST(every_state_has_a_way_out_or_is_listed)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *all[2][LIBRARY_MAX];
    for (int board = 0; board < 2; board++)
        for (int i = 0; i < library->procedure_count; i++)
            all[board][i] = shipped_load(library, i, (enum board)board, NULL, 0, arena);
    struct text table = {0};
    int counts[4] = {0};
    text_add(
        &table,
        "How many states have a way out. Of the others: the mishap, how many, and what\n"
        "comes nearest but for the values that are in the way. Without a mishap the way\n"
        "on is the steps that are left: vet proves that in every order they end at the\n"
        "goal, and the run keeps them while it is held.\n");
    for (int i = 0; i < library->procedure_count; i++) {
        struct tally *tallies = arena_alloc(arena, 2 * sizeof *tallies);
        for (int board = 0; board < 2; board++)
            tallies[board] = (struct tally){.arena = arena,
                                            .on_board = {all[0], all[1]},
                                            .file_count = library->procedure_count};
        add_file(library, i, tallies, counts, &table);
    }
    text_printf(&table, "\nIn all %d of %d states, %d of %d with a mishap\n", counts[1],
                counts[0], counts[3], counts[2]);
    printf("%d of %d states, %d of %d with a mishap\n", counts[1], counts[0], counts[3],
           counts[2]);
    fflush(stdout);
    golden_check("way-out.txt", &table);
    text_free(&table);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("way_out");
    TCase *tests = tcase_create("library");
    tcase_set_timeout(tests, 300);
    tcase_add_test(tests, every_state_has_a_way_out_or_is_listed);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
