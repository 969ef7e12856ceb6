/* Who wears which role: depth first over the roles, those with the fewest candidates
 * first, the better grade first; among the first bills found the best known roles win,
 * then the shortest time.  A set of roles one hand cannot wear even when every
 * other role has a hand of its own rules out every assignment that contains it (more
 * sharing only adds order), so such sets are played once and remembered.  Not so where a
 * line goes through several roles: in one hand they have it all along, and what could
 * not be done apart can be done together. */
#include "bill/bill_each.h"
#include "bill/internal.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum {
    CONFLICTS_USUAL = 5000,
    PLAYS_USUAL = 4000,
    NODES_PER_PLAY = 60000,
    COMPARED = 16
};

enum subset_fate { SUBSET_UNKNOWN, SUBSET_FITS, SUBSET_CLASHES, SUBSET_CUT_OFF };

struct assign {
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill_wish *wish;
    uint8_t roles[ROLES_MAX]; /* in the order of the search */
    int role_count;
    int candidate_count[ROLES_MAX]; /* by role */
    uint8_t candidates[ROLES_MAX][HANDS_MAX];
    role_set wears[HANDS_MAX];
    uint8_t *subsets;            /* enum subset_fate by role_set */
    role_set holders[PARTS_MAX]; /* by line; see find_holders */
    uint32_t plays_left;
    bool cut_off;
    struct played played;
    int compared, least_lacking; /* bills found; what the best one lacks in grades */
    struct bill *best;           /* where it goes */
};

void bill_wish_start(struct bill_wish *wish)
{
    *wish = (struct bill_wish){0};
    memset(wish->hand_of_role, -1, sizeof wish->hand_of_role);
}

/* With an autopilot the helm is anybody's, where all its steps are done at the pilot. */
static bool needs_grade(const struct procedure *procedure, const struct bill_wish *wish,
                        int role)
{
    if (!wish->pilot || !procedure->plan->roles[role].steers)
        return true;
    for (int s = 0; s < procedure->step_count; s++)
        if (procedure->steps[s].roles >> role & 1 && !procedure->steps[s].pilot)
            return true;
    return false;
}

enum grade bill_grade(const struct procedure *procedure, const struct crew *crew,
                      int hand, int role)
{
    return hand_grade(&crew->hands[hand], procedure->plan->roles[role].name);
}

static enum grade grade_of(const struct assign *a, int hand, int role)
{
    return bill_grade(a->procedure, a->crew, hand, role);
}

bool bill_can_hold(const struct procedure *procedure, const struct crew *crew, int hand,
                   int role)
{
    double holds_n = crew->hands[hand].holds_n;
    return holds_n <= 0 || holds_n >= procedure->holds_n[role];
}

bool bill_may_wear(const struct procedure *procedure, const struct crew *crew,
                   const struct bill_wish *wish, int hand, int role)
{
    if (!crew->hands[hand].aboard || !bill_can_hold(procedure, crew, hand, role))
        return false;
    if (wish->hand_of_role[role] >= 0)
        return wish->hand_of_role[role] == hand;
    return !needs_grade(procedure, wish, role) ||
           bill_grade(procedure, crew, hand, role) != GRADE_NONE;
}

bool bill_is_new(const struct procedure *procedure, const struct crew *crew,
                 const struct bill_wish *wish, int hand, int role)
{
    return bill_grade(procedure, crew, hand, role) <= GRADE_NEW &&
           needs_grade(procedure, wish, role);
}

int bill_lacks(enum grade grade)
{
    static const int lacks[] = {[GRADE_NONE] = 0, [GRADE_NEW] = 3, [GRADE_ABLE] = 1};
    return grade == GRADE_SURE ? 0 : lacks[grade];
}

static void find_candidates(struct assign *a, int role)
{
    for (int grade = GRADE_SURE; grade >= GRADE_NONE; grade--)
        for (int h = 0; h < a->crew->hand_count; h++)
            if ((int)grade_of(a, h, role) == grade &&
                bill_may_wear(a->procedure, a->crew, a->wish, h, role))
                a->candidates[role][a->candidate_count[role]++] = (uint8_t)h;
}

static void order_roles(struct assign *a)
{
    const struct rig_plan *plan = a->procedure->plan;
    for (int role = 0; role < plan->role_count; role++) {
        if (!rig_role_needed(a->procedure, role, a->wish->pilot))
            continue;
        find_candidates(a, role);
        int at = a->role_count++;
        while (at > 0 &&
               a->candidate_count[a->roles[at - 1]] > a->candidate_count[role]) {
            a->roles[at] = a->roles[at - 1];
            at--;
        }
        a->roles[at] = (uint8_t)role;
    }
}

/* Plays the assignment of lane_wears; false where it does not reach its end. */
static bool play_lanes(struct assign *a, const role_set *lane_wears, const int *lane_hand,
                       int lanes, struct rig *rig)
{
    struct play play;
    a->played = (struct played){.stuck_step = -1};
    if (!play_make(a->procedure, a->crew, a->wish, lane_wears, lane_hand, lanes, rig,
                   &play))
        return false;
    play_greedy(&play, &a->played);
    if (a->played.ended)
        return true;
    struct played stuck = a->played;
    struct arena *arena = arena_new();
    struct play_event order[2 * STEPS_MAX];
    uint32_t nodes = NODES_PER_PLAY;
    int count = 0;
    enum play_search result = play_search(&play, arena, &nodes, order, &count);
    arena_free(arena);
    a->cut_off |= result == PLAY_CUT_OFF;
    if (result == PLAY_FOUND)
        play_time(&play, order, count, &a->played);
    else
        a->played = stuck;
    return result == PLAY_FOUND;
}

static part_set lines_in(const struct tendings *tendings)
{
    part_set lines = 0;
    for (int i = 0; i < tendings->count; i++)
        lines |= (part_set)1 << tendings->at[i].line;
    return lines;
}

/* Of each line the roles that take it, hold it or let it go. */
static void find_holders(struct assign *a)
{
    const struct procedure *procedure = a->procedure;
    for (int line = 0; line < procedure->plan->part_count; line++) {
        for (int i = 0; i < procedure->tended_count; i++)
            if (procedure->tended[i].tending.line == line)
                a->holders[line] |= (role_set)(1u << procedure->tended[i].role);
        for (int s = 0; s < procedure->step_count; s++) {
            const struct step *step = &procedure->steps[s];
            part_set lines = lines_in(&step->tends) | lines_in(&step->takes_over) |
                             step->releases | step->hands_over;
            a->holders[line] |= lines >> line & 1 ? step->roles : 0;
        }
    }
}

/* What SET cannot do no larger set can: no line goes through roles outside it. */
static bool rules_out(const struct assign *a, role_set set)
{
    for (int line = 0; line < a->procedure->plan->part_count; line++) {
        role_set holders = a->holders[line];
        if (holders & (role_set)(holders - 1) && holders & (role_set)~set)
            return false;
    }
    return true;
}

/* One hand in the roles of SET, every other role with a hand of its own. */
static bool subset_fits(struct assign *a, role_set set)
{
    if (!rules_out(a, set))
        return true;
    if (a->subsets[set])
        return a->subsets[set] != SUBSET_CLASHES;
    role_set lane_wears[LANES_MAX] = {set};
    int lanes = 1;
    for (int i = 0; i < a->role_count; i++)
        if (!(set >> a->roles[i] & 1))
            lane_wears[lanes++] = (role_set)(1u << a->roles[i]);
    bool cut_before = a->cut_off;
    a->cut_off = false;
    struct rig rig;
    bool fits = play_lanes(a, lane_wears, NULL, lanes, &rig);
    a->subsets[set] = (uint8_t)(fits         ? SUBSET_FITS
                                : a->cut_off ? SUBSET_CUT_OFF
                                             : SUBSET_CLASHES);
    a->cut_off |= cut_before;
    return a->subsets[set] != SUBSET_CLASHES;
}

static int lanes_in_order(const struct assign *a, role_set lane_wears[LANES_MAX],
                          int lane_hand[LANES_MAX])
{
    int lanes = 0;
    role_set seen = 0;
    for (int role = 0; role < ROLES_MAX; role++)
        for (int h = 0; h < a->crew->hand_count; h++)
            if (a->wears[h] >> role & 1 && !(seen >> role & 1)) {
                seen |= a->wears[h];
                lane_wears[lanes] = a->wears[h];
                lane_hand[lanes++] = h;
            }
    return lanes;
}

/* What the hands lack to be sure of all their roles. */
static int lacking(const struct assign *a)
{
    int sum = 0;
    for (int h = 0; h < a->crew->hand_count; h++)
        for (int role = 0; role < a->procedure->plan->role_count; role++)
            if (a->wears[h] >> role & 1)
                sum += bill_lacks(grade_of(a, h, role));
    return sum;
}

static void play_leaf(struct assign *a)
{
    role_set lane_wears[LANES_MAX];
    int lane_hand[LANES_MAX];
    int lanes = lanes_in_order(a, lane_wears, lane_hand), lack = lacking(a);
    const struct bill_patience *patience = a->wish->patience;
    const struct bill_progress progress = {PLAYS_USUAL - a->plays_left,
                                           a->compared ? a->best->total_ms : 0};
    if (patience && patience->stop(patience->payload, &progress))
        a->plays_left = 0;
    if (!a->plays_left) {
        a->cut_off = true;
        return;
    }
    a->plays_left--;
    struct rig rig;
    if (!play_lanes(a, lane_wears, lane_hand, lanes, &rig))
        return;
    bool better = !a->compared || lack < a->least_lacking ||
                  (lack == a->least_lacking && a->played.total_ms < a->best->total_ms);
    a->compared++;
    if (!better)
        return;
    a->least_lacking = lack;
    play_bill(&a->played, a->wish, lane_wears, lane_hand, lanes, &rig, a->best);
}

static int count_hands(const struct assign *a)
{
    int count = 0;
    for (int h = 0; h < a->crew->hand_count; h++)
        count += a->wears[h] != 0;
    return count;
}

static void assign_from(struct assign *a, int depth)
{
    if (depth == a->role_count) {
        play_leaf(a);
        return;
    }
    int role = a->roles[depth];
    for (int i = 0; i < a->candidate_count[role] && a->plays_left; i++) {
        int hand = a->candidates[role][i];
        role_set with = (role_set)(a->wears[hand] | 1u << role);
        if (a->wears[hand] && !subset_fits(a, with))
            continue;
        role_set before = a->wears[hand];
        if (!before && a->wish->hands_most && count_hands(a) == a->wish->hands_most)
            continue;
        a->wears[hand] = with;
        assign_from(a, depth + 1);
        a->wears[hand] = before;
        if (a->compared == COMPARED)
            return;
    }
    a->cut_off |= !a->plays_left;
}

static int count_roles(role_set set)
{
    int count = 0;
    for (; set; set &= (role_set)(set - 1))
        count++;
    return count;
}

static role_set all_roles(const struct assign *a)
{
    role_set all = 0;
    for (int i = 0; i < a->role_count; i++)
        all |= (role_set)(1u << a->roles[i]);
    return all;
}

static bool pair_clashes(struct assign *a, int first, int second)
{
    return !subset_fits(a, (role_set)(1u << first | 1u << second));
}

/* The largest set of roles no two of which one hand can wear: a lower bound on hands. */
static void find_apart(struct assign *a, struct bill_why *why)
{
    role_set clashes[ROLES_MAX] = {0};
    for (int i = 0; i < a->role_count; i++)
        for (int j = 0; j < i; j++)
            if (pair_clashes(a, a->roles[i], a->roles[j])) {
                clashes[a->roles[i]] |= (role_set)(1u << a->roles[j]);
                clashes[a->roles[j]] |= (role_set)(1u << a->roles[i]);
            }
    role_set all = all_roles(a);
    for (uint32_t set = 1; set <= all; set++) {
        role_set roles = (role_set)set;
        if ((set & ~(uint32_t)all) || count_roles(roles) <= why->needed)
            continue;
        bool apart = true;
        for (int role = 0; role < ROLES_MAX && apart; role++)
            if (roles >> role & 1)
                apart = !((role_set)(roles & ~(1u << role)) & (role_set)~clashes[role]);
        if (apart) {
            why->needed = (uint8_t)count_roles(roles);
            why->apart = roles;
        }
    }
}

/* The two roles were asked of one hand. */
static bool is_asked_of_one(const struct assign *a, int role, int other)
{
    const int8_t *hand = a->wish->hand_of_role;
    return hand[role] >= 0 && hand[role] == hand[other];
}

/* The clash most worth telling: between roles asked of one hand, else between the two
 * least obvious ones of the apart set. */
static void find_clash(struct assign *a, struct bill_why *why, bool asked)
{
    why->clash_step = -1;
    for (int i = a->role_count - 1; i >= 0 && !why->clash; i--)
        for (int j = i - 1; j >= 0 && !why->clash; j--) {
            int role = a->roles[i], other = a->roles[j];
            role_set pair = (role_set)(1u << role | 1u << other);
            if (asked ? !is_asked_of_one(a, role, other) || !pair_clashes(a, role, other)
                      : (why->apart & pair) != pair)
                continue;
            a->subsets[pair] = SUBSET_UNKNOWN; /* play it again for its finding */
            subset_fits(a, pair);
            why->clash = pair;
            why->clash_finding = a->played.stuck_on;
            why->clash_step = (int8_t)a->played.stuck_step;
        }
}

static void find_nobody(const struct procedure *procedure, const struct crew *crew,
                        const struct bill_wish *wish, struct bill_why *why)
{
    for (int role = 0; role < procedure->plan->role_count; role++) {
        bool somebody = !rig_role_needed(procedure, role, wish->pilot), is_weak = false;
        for (int h = 0; h < crew->hand_count && !somebody; h++) {
            somebody = bill_may_wear(procedure, crew, wish, h, role);
            is_weak |= crew->hands[h].aboard && !bill_can_hold(procedure, crew, h, role);
        }
        why->nobody |= (role_set)(!somebody && !is_weak) << role;
        why->too_weak |= (role_set)(!somebody && is_weak) << role;
    }
}

static void find_why(struct assign *a, struct bill_why *why)
{
    find_apart(a, why);
    find_clash(a, why, true);
    why->clash_asked = why->clash != 0;
    if (!why->clash)
        find_clash(a, why, false);
}

static int count_aboard(const struct crew *crew)
{
    int count = 0;
    for (int h = 0; h < crew->hand_count; h++)
        count += crew->hands[h].aboard;
    return count;
}

/* Plays one assignment after another, where the whole problem could not be stated. */
static bool search_bill(struct assign *a, struct bill *out, struct bill_why *why)
{
    uint32_t plays = a->plays_left;
    a->best = out;
    assign_from(a, 0);
    why->plays = plays - a->plays_left;
    return a->compared > 0;
}

static struct assign *start_assign(const struct procedure *procedure,
                                   const struct crew *crew, const struct bill_wish *wish,
                                   struct arena *arena)
{
    struct assign *a = arena_alloc(arena, sizeof *a);
    *a = (struct assign){.procedure = procedure,
                         .crew = crew,
                         .wish = wish,
                         .plays_left = wish->plays_max ? wish->plays_max : PLAYS_USUAL};
    a->subsets = arena_alloc(arena, (size_t)1 << procedure->plan->role_count);
    order_roles(a);
    find_holders(a);
    return a;
}

static enum bill_verdict try_bill(const struct procedure *procedure,
                                  const struct crew *crew, const struct bill_wish *wish,
                                  struct bill *out, struct bill_why *why)
{
    why->pilot = procedure->pilot_needed && !wish->pilot;
    if (why->pilot)
        return BILL_NONE;
    int64_t conflicts = wish->conflicts_max ? wish->conflicts_max : CONFLICTS_USUAL;
    enum bill_verdict verdict = exact_make(procedure, crew, wish, conflicts, out);
    if (verdict == BILL_NONE ||
        (verdict == BILL_FOUND && bill_holds(out, procedure, crew, wish)))
        return verdict;
    if (bill_is_shared_out(procedure))
        return verdict == BILL_FOUND ? BILL_UNDECIDED : verdict;
    struct arena *arena = arena_new();
    struct assign *a = start_assign(procedure, crew, wish, arena);
    bool found = search_bill(a, out, why) && bill_holds(out, procedure, crew, wish);
    bool cut_off = a->cut_off;
    arena_free(arena);
    return found ? BILL_FOUND : cut_off ? BILL_UNDECIDED : BILL_NONE;
}

enum bill_verdict bill_try(const struct procedure *procedure, const struct crew *crew,
                           const struct bill_wish *wish, struct bill *out)
{
    struct bill_why why = {0};
    return try_bill(procedure, crew, wish, out, &why);
}

enum bill_verdict bill_make(const struct procedure *procedure, const struct crew *crew,
                            const struct bill_wish *wish, struct bill *out,
                            struct bill_why *why)
{
    *why = (struct bill_why){.aboard = (uint8_t)count_aboard(crew),
                             .most = wish->hands_most,
                             .clash_step = -1};
    enum bill_verdict verdict = try_bill(procedure, crew, wish, out, why);
    if (verdict == BILL_FOUND || why->pilot)
        return verdict;
    struct arena *arena = arena_new();
    find_nobody(procedure, crew, wish, why);
    if (!bill_is_shared_out(procedure)) /* of so many pieces not every set is tried */
        find_why(start_assign(procedure, crew, wish, arena), why);
    if (verdict == BILL_NONE)
        why->too_much = exact_clash(procedure, crew, wish);
    arena_free(arena);
    return verdict;
}
