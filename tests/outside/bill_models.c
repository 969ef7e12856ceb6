/* Writes shipped procedures with seeded random crews as data for procedure.mzn, and the
 * time of our bill for each, for outside_procedures.sh.
 *
 *   bill_models FOLDER COUNT      FOLDER/dip-pole-jibe-3.dzn, FOLDER/....expected
 *
 * An expected file has the time in tenths of a second; -1: no bill, proved. What the
 * model cannot say (parts whose order is open, waits that are no arrows) is named on the
 * output and not written. Waits are arrows as vet derives them; everything else about
 * hands, lines, places, ways and gear is said here again from the procedure, without the
 * bill's own statement of it. */
#include "../unit/shipped.h"

#include "bill/internal.h"
#include "vet/turned.h"

enum { ROWS_MAX = 20000, HOLDS_MAX = 128 };

/* A line in the hand of whoever wears all ROLES, between two events; -1: from the begin,
 * or for good. */
struct hold {
    int line, from, to;
    role_set roles;
    const struct tending *tending;
};

/* Never: all of `in` happened, none of `out`, all of `roles` in one hand; with a moment
 * just before that event; with `taker` in another hand than `holder`. */
struct row {
    struct event_set in, out;
    role_set roles;
    int moment, holder, taker;
};

struct model {
    const struct procedure *procedure;
    const struct crew *crew;
    struct bill_wish wish;
    struct rig rig;
    struct turned turned;
    bool said; /* everything could be said */
    int hold_count, row_count;
    struct hold holds[HOLDS_MAX];
    struct row rows[ROWS_MAX];
};

/* ---- what must never be ---- */

static void add_bounds(struct model *m, const struct row *row,
                       const struct bounds *bounds, int at)
{
    if (events_meet(&row->in, &row->out) ||
        (row->moment >= 0 && events_have(&row->in, row->moment)))
        return; /* it cannot be */
    if (at == bounds->count) {
        if (m->row_count == ROWS_MAX)
            m->said = false;
        else
            m->rows[m->row_count++] = *row;
        return;
    }
    const struct bound *bound = &bounds->at[at];
    const struct variable *v = &m->turned.l.variables[bound->variable];
    m->said &= v->ordered;
    for (int k = 0; v->ordered && k <= v->count; k++) {
        struct row next = *row;
        if (!(m->turned.behind[bound->variable][k] & bound->values))
            continue;
        if (k)
            events_add(&next.in, v->writers[k - 1].event);
        if (k < v->count)
            events_add(&next.out, v->writers[k].event);
        add_bounds(m, &next, bounds, at + 1);
    }
}

/* ROW while the COUNT holds of LIST take a hand each: all of their none-when conditions
 * fail, one is enough for that. */
static void add_holding(struct model *m, const struct row *row,
                        const struct hold *const *list, int count,
                        const struct bounds *bounds)
{
    if (count == 0) {
        add_bounds(m, row, bounds, 0);
        return;
    }
    struct row with = *row;
    const struct hold *hold = list[0];
    const struct conditions *none = &hold->tending->none_when;
    if (hold->from >= 0)
        events_add(&with.in, hold->from);
    if (hold->to >= 0)
        events_add(&with.out, hold->to);
    if (with.taker < 0)
        with.roles |= hold->roles;
    if (none->count == 0)
        add_holding(m, &with, list + 1, count - 1, bounds);
    for (int i = 0; i < none->count; i++) {
        struct bounds more = *bounds;
        enum bounding how = bound_part(&m->turned.l, &more, none->at[i].part,
                                       (value_set)~none->at[i].values);
        m->said &= how != BOUND_FULL;
        if (how == BOUND_FINE)
            add_holding(m, &with, list + 1, count - 1, &more);
    }
}

/* ROW with every choice of COUNT holds of different lines, none of BUT. */
static void add_lines(struct model *m, const struct row *row, const struct hold **list,
                      int have, int count, part_set but, int from)
{
    static const struct bounds none = {0};
    if (have >= count) {
        add_holding(m, row, list, have, &none);
        return;
    }
    for (int i = from; i < m->hold_count; i++) {
        part_set line = (part_set)1 << m->holds[i].line;
        if (but & line)
            continue;
        list[have] = &m->holds[i];
        add_lines(m, row, list, have + 1, count, but | line, i + 1);
    }
}

static struct row running(int step, int role)
{
    struct row row = {.moment = -1, .holder = -1, .taker = -1};
    row.roles = (role_set)(1u << role);
    events_add(&row.in, 2 * step);
    events_add(&row.out, 2 * step + 1);
    return row;
}

static int helm_of(const struct model *m)
{
    for (int role = 0; role < m->procedure->plan->role_count; role++)
        if (m->procedure->plan->roles[role].steers && !m->wish.pilot)
            return role;
    return -1;
}

/* A person has two hands: what a step and the helm leave, lines may take. */
static void add_hands(struct model *m, int step, int role, int helm)
{
    const struct step *s = &m->procedure->steps[step];
    const struct hold *list[4];
    struct row row = running(step, role);
    int used = s->hands;
    if (helm >= 0) {
        row.roles |= (role_set)(1u << helm);
        used += s->roles >> helm & 1 ? 0 : 1;
    }
    add_lines(m, &row, list, 0, 3 - used,
              s->tends.count || s->takes_over.count || s->releases || s->hands_over
                  ? rig_worked_lines(s)
                  : 0,
              0);
}

/* Who holds a line, or the helm, works only where it can be reached from. */
static void add_places(struct model *m, int step, int role, int helm)
{
    const struct rig_plan *plan = m->procedure->plan;
    int at = m->procedure->steps[step].at;
    static const struct bounds none = {0};
    for (int i = 0; i < m->hold_count; i++) {
        const struct hold *hold = &m->holds[i];
        struct row row = running(step, role);
        if (!(plan->stations[plan->parts[hold->line].tended_at].reach >> at & 1))
            add_holding(m, &row, &hold, 1, &none);
    }
    if (helm >= 0 && !(plan->stations[plan->roles[helm].station].reach >> at & 1)) {
        struct row row = running(step, role);
        row.roles |= (role_set)(1u << helm);
        add_bounds(m, &row, &none, 0);
    }
}

static const struct tending *tending_of(const struct tendings *tendings, int line)
{
    for (int i = 0; i < tendings->count; i++)
        if (tendings->at[i].line == line)
            return &tendings->at[i];
    return NULL;
}

/* A line that another holds is not taken out of that hand. */
static void add_taken(struct model *m, int step)
{
    static const struct bounds none = {0};
    const struct step *s = &m->procedure->steps[step];
    for (int i = 0; i < m->hold_count; i++) {
        const struct hold *hold = &m->holds[i];
        struct row row = {.moment = 2 * step,
                          .holder = __builtin_ctz(hold->roles),
                          .taker = __builtin_ctz(s->roles)};
        if (tending_of(&s->tends, hold->line) && !(s->roles & hold->roles))
            add_holding(m, &row, &hold, 1, &none);
    }
}

static void add_hold(struct model *m, int line, role_set roles, int from, int to,
                     const struct tending *tending)
{
    if (m->hold_count == HOLDS_MAX)
        m->said = false;
    else
        m->holds[m->hold_count++] = (struct hold){line, from, to, roles, tending};
}

/* ROLE has LINE from the begin or a step that takes it, to the end of one that gives it
 * away; where the taker is the same person, it stays in that hand. */
static void find_holds(struct model *m, int role, int line)
{
    const struct procedure *p = m->procedure;
    const struct tending *has = NULL;
    int from = -1;
    for (int i = 0; i < p->tended_count; i++)
        if (p->tended[i].role == role && p->tended[i].tending.line == line)
            has = &p->tended[i].tending;
    for (int s = 0; s < p->step_count; s++) {
        const struct step *step = &p->steps[s];
        if (!(step->roles >> role & 1))
            continue;
        const struct tending *takes = NULL;
        if (__builtin_ctz(step->roles) == role) {
            takes = tending_of(&step->tends, line);
            takes = takes ? takes : tending_of(&step->takes_over, line);
        }
        if (takes && has)
            add_hold(m, line, (role_set)(1u << role), from, 2 * s, has);
        from = takes ? 2 * s : from;
        has = takes ? takes : has;
        if (!has || !((step->releases | step->hands_over) >> line & 1))
            continue;
        add_hold(m, line, (role_set)(1u << role), from, 2 * s + 1, has);
        for (int t = 0; t < p->step_count; t++)
            if (step->hands_over >> line & 1 && rig_takers(&m->rig, s) >> t & 1)
                add_hold(m, line,
                         (role_set)(1u << role | 1u << __builtin_ctz(p->steps[t].roles)),
                         2 * s + 1, 2 * t, has);
        has = NULL;
    }
    if (has)
        add_hold(m, line, (role_set)(1u << role), from, -1, has);
}

/* Rules, needs and gear: what vet compiled of them. */
static void add_rules(struct model *m)
{
    for (int i = 0; i < m->turned.l.clause_count; i++) {
        const struct lattice_clause *c = &m->turned.l.clauses[i];
        struct row row = {
            .in = c->in, .out = c->out, .moment = c->moment, .holder = -1, .taker = -1};
        if (c->finding.kind == FINDING_RULE || c->finding.kind == FINDING_NEED ||
            c->finding.kind == FINDING_GEAR)
            add_bounds(m, &row, &c->bounds, 0);
    }
}

/* The last writer of each part of the goal is good, as far as the arrows tell. */
static void check_goal(struct model *m)
{
    const struct lattice *l = &m->turned.l;
    for (int i = 0; i < l->goal.count; i++) {
        const struct bound *goal = &l->goal.at[i];
        const struct variable *v = &l->variables[goal->variable];
        m->said &=
            v->ordered && m->turned.behind[goal->variable][v->count] & goal->values;
    }
}

static void say_all(struct model *m)
{
    const struct procedure *p = m->procedure;
    int helm = helm_of(m);
    const struct hold *list[4];
    for (int line = 0; line < p->plan->part_count; line++)
        for (int role = 0; role < p->plan->role_count; role++)
            if (p->plan->parts[line].tended_at >= 0)
                find_holds(m, role, line);
    struct row lines = {.moment = -1, .holder = -1, .taker = -1};
    add_lines(m, &lines, list, 0, 3, 0, 0);
    if (helm >= 0) {
        lines.roles = (role_set)(1u << helm);
        add_lines(m, &lines, list, 0, 2, 0, 0);
    }
    for (int s = 0; s < p->step_count; s++) {
        for (int role = 0; role < p->plan->role_count; role++) {
            if (!(p->steps[s].roles >> role & 1))
                continue;
            add_hands(m, s, role, -1);
            if (helm >= 0)
                add_hands(m, s, role, helm);
            add_places(m, s, role, helm);
        }
        add_taken(m, s);
    }
    add_rules(m);
    check_goal(m);
}

/* ---- the data ---- */

static void write_events(FILE *file, const struct event_set *events)
{
    fputs("{", file);
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(events, e))
            fprintf(file, "%d,", e + 1);
    fputs("},", file);
}

static void write_roles(FILE *file, role_set roles)
{
    fputs("{", file);
    for (int role = 0; role < ROLES_MAX; role++)
        if (roles >> role & 1)
            fprintf(file, "%d,", role + 1);
    fputs("},", file);
}

static void write_rows(FILE *file, const struct model *m)
{
    fputs("];\nin_of = [", file);
    for (int i = 0; i < m->row_count; i++)
        write_events(file, &m->rows[i].in);
    fputs("];\nout_of = [", file);
    for (int i = 0; i < m->row_count; i++)
        write_events(file, &m->rows[i].out);
    fputs("];\nshared = [", file);
    for (int i = 0; i < m->row_count; i++)
        write_roles(file, m->rows[i].roles);
    fputs("];\nmoment = [", file);
    for (int i = 0; i < m->row_count; i++)
        fprintf(file, "%d,", m->rows[i].moment + 1);
    fputs("];\nholder = [", file);
    for (int i = 0; i < m->row_count; i++)
        fprintf(file, "%d,", m->rows[i].holder + 1);
    fputs("];\ntaker = [", file);
    for (int i = 0; i < m->row_count; i++)
        fprintf(file, "%d,", m->rows[i].taker + 1);
    fputs("];\n", file);
}

/* Tenths of a second, rounded up; ways from place to place by each hand. */
static void write_crew(FILE *file, const struct model *m)
{
    const struct rig_plan *plan = m->procedure->plan;
    fprintf(file, "hands = %d;\nroles = %d;\nplaces = %d;\nplays = {",
            m->crew->hand_count, plan->role_count, plan->station_count);
    for (int role = 0; role < plan->role_count; role++)
        if (rig_role_needed(m->procedure, role, m->wish.pilot))
            fprintf(file, "%d,", role + 1);
    fputs("};\nmay = [", file);
    for (int role = 0; role < plan->role_count; role++) {
        fputs("|", file);
        for (int h = 0; h < m->crew->hand_count; h++)
            fprintf(file, "%d,",
                    !bill_may_wear(m->procedure, m->crew, &m->wish, h, role) ? 0
                    : bill_is_new(m->procedure, m->crew, &m->wish, h, role)  ? 1
                                                                             : 2);
    }
    fprintf(file, "|];\nwalk = array3d(1..%d, 1..%d, 1..%d, [", m->crew->hand_count,
            plan->station_count, plan->station_count);
    for (int h = 0; h < m->crew->hand_count; h++)
        for (int a = 0; a < plan->station_count; a++)
            for (int b = 0; b < plan->station_count; b++)
                fprintf(file, "%d,",
                        bill_grid(rig_plan_distance_m(plan, a, b) /
                                  m->crew->hands[h].pace_m_s * 1000) /
                            GRID_MS);
    fputs("]);\nhome = [", file);
    for (int role = 0; role < plan->role_count; role++)
        fprintf(file, "%d,", bill_home(m->procedure, (role_set)(1u << role)) + 1);
    /* who has a line in hand at the begin stands there, else where the first role does */
    fputs("];\nrank = [", file);
    for (int role = 0; role < plan->role_count; role++) {
        int rank = STEPS_MAX + role;
        for (int i = m->procedure->tended_count - 1; i >= 0; i--)
            rank = m->procedure->tended[i].role == role ? i : rank;
        fprintf(file, "%d,", rank);
    }
    fputs("];\n", file);
}

/* No time is beyond MOST; 0: beyond all steps and ways one after the other. */
static void write_steps(FILE *file, const struct model *m, int32_t most)
{
    const struct procedure *p = m->procedure;
    int32_t sum = 0;
    fprintf(file, "steps = %d;\nat = [", p->step_count);
    for (int s = 0; s < p->step_count; s++)
        fprintf(file, "%d,", p->steps[s].at + 1);
    fputs("];\nroles_of = [", file);
    for (int s = 0; s < p->step_count; s++)
        write_roles(file, p->steps[s].roles);
    fputs("];\nusual = [", file);
    for (int s = 0; s < p->step_count; s++)
        fprintf(file, "%d,", bill_grid(p->steps[s].takes.usual_ms) / GRID_MS);
    fputs("];\nslow = [", file);
    for (int s = 0; s < p->step_count; s++) {
        const struct takes *takes = &p->steps[s].takes;
        int32_t slow =
            takes->slow_ms > takes->usual_ms ? takes->slow_ms : takes->usual_ms;
        fprintf(file, "%d,", bill_grid(slow) / GRID_MS);
        sum += bill_grid(slow) / GRID_MS + 200;
    }
    fprintf(file, "];\nlatest = %d;\narrows = [", (int)(most ? most : sum));
    for (int e = 0; e < EVENTS_MAX; e++)
        for (int a = 0; a < EVENTS_MAX; a++)
            if (events_have(&m->turned.l.arrows[e], a))
                fprintf(file, "|%d,%d,", a + 1, e + 1);
    fputs("|];\ngives = [", file);
    for (int s = 0; s < p->step_count; s++) {
        step_set takers = rig_takers(&m->rig, s);
        fputs("{", file);
        for (int t = 0; t < p->step_count; t++)
            if (takers >> t & 1)
                fprintf(file, "%d,", t + 1);
        fputs("},", file);
    }
}

/* ---- cases ---- */

/* One to four fewer than the roles, of random grades and paces. */
static const struct crew *draw_crew(const struct procedure *procedure, unsigned *seed,
                                    struct arena *arena)
{
    static const double paces[] = {0.5, 1.0, 2.0};
    const struct rig_plan *plan = procedure->plan;
    struct crew *crew = arena_alloc(arena, sizeof *crew);
    int count = 2 + (int)(shipped_random(seed) % 5);
    struct hand *hands = arena_alloc(arena, (size_t)count * sizeof *hands);
    *crew = (struct crew){.name = "drawn", .hands = hands, .hand_count = (uint8_t)count};
    for (int h = 0; h < count; h++) {
        struct knows *knows = arena_alloc(arena, plan->role_count * sizeof *knows);
        hands[h] = (struct hand){.name = arena_printf(arena, "Hand %c", 'A' + h),
                                 .knows = knows,
                                 .aboard = true,
                                 .limits = "",
                                 .pace_m_s = paces[shipped_random(seed) % 3]};
        for (int role = 0; role < plan->role_count; role++) {
            unsigned grade = shipped_random(seed) % 6;
            if (grade == 0)
                continue;
            knows[hands[h].knows_count++] =
                (struct knows){.role = plan->roles[role].name,
                               .grade = grade > 3 ? GRADE_SURE : (enum grade)grade};
        }
    }
    return crew;
}

/* Compiles the waits; false where they are no arrows. */
static bool turn(struct model *m, struct arena *arena)
{
    value_set first[VARIABLES_MAX];
    int8_t lane_of_role[ROLES_MAX];
    int lanes = 0;
    memset(lane_of_role, -1, sizeof lane_of_role);
    for (int role = 0; role < m->procedure->plan->role_count; role++)
        if (rig_role_needed(m->procedure, role, m->wish.pilot))
            lane_of_role[role] = (int8_t)lanes++;
    if (!rig_make(&m->rig, m->procedure, lane_of_role, lanes, m->wish.pilot))
        return false;
    const struct lattice *lattice = lattice_of_roles(&m->rig, arena);
    if (!lattice)
        return false;
    lattice_first(lattice, first);
    turn_waits(lattice, first, arena, &m->turned);
    return !m->turned.missed && m->turned.l.order_count == 2 * m->procedure->step_count;
}

static FILE *open_case(const char *folder, const char *name, unsigned seed,
                       const char *ending)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/%s-%u.%s", folder, name, seed, ending);
    FILE *file = fopen(path, "w");
    if (file)
        return file;
    perror(path);
    exit(EXIT_FAILURE);
}

static void write_case(const char *folder, const struct procedure *procedure,
                       unsigned number, struct arena *arena)
{
    unsigned seed = number * 2654435761u + 17;
    struct model *m = arena_alloc(arena, sizeof *m);
    struct bill *bill = arena_alloc(arena, sizeof *bill);
    m->procedure = procedure;
    m->said = true;
    bill_wish_start(&m->wish);
    m->wish.pilot = procedure->pilot_needed || number % 3 == 0;
    m->crew = draw_crew(procedure, &seed, arena);
    if (!turn(m, arena)) {
        printf("%s: not said: a wait that is no arrow\n", procedure->name);
        return;
    }
    say_all(m);
    if (!m->said) {
        printf("%s: not said: the order of what changes a part is open\n",
               procedure->name);
        return;
    }
    enum bill_verdict verdict = bill_try(procedure, m->crew, &m->wish, bill);
    ck_assert(verdict == BILL_NONE || (verdict == BILL_FOUND && bill->proved));
    FILE *file = open_case(folder, procedure->name, number, "dzn");
    write_crew(file, m);
    write_steps(file, m, verdict == BILL_FOUND ? bill->total_ms / GRID_MS : 0);
    write_rows(file, m);
    fclose(file);
    file = open_case(folder, procedure->name, number, "expected");
    fprintf(file, "%d\n", verdict == BILL_FOUND ? bill->total_ms / GRID_MS : -1);
    fclose(file);
}

static const char *folder_wanted;
static unsigned count_wanted;

/* A test, as what loads the files checks that nothing is said about them. */
START_TEST(test_write)
{
    struct arena *files = arena_new();
    const struct library *library = shipped_library(files);
    for (int i = 0; i < library->procedure_count; i++)
        for (unsigned n = 0; n < count_wanted; n++) {
            struct arena *arena = arena_new();
            write_case(folder_wanted,
                       shipped_load(library, i, BOARD_STARBOARD, NULL, 0, arena),
                       n * 100 + (unsigned)i, arena);
            arena_free(arena);
        }
    arena_free(files);
}
END_TEST

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: bill_models FOLDER COUNT\n");
        return EXIT_FAILURE;
    }
    folder_wanted = argv[1];
    count_wanted = (unsigned)strtoul(argv[2], NULL, 10);
    Suite *suite = suite_create("bill_models");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 0);
    tcase_add_test(all, test_write);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
