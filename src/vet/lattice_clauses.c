#include "vet/lattice.h"

#include <string.h>

struct building {
    struct lattice *l;
    struct arena *arena;
    struct lattice_clause clause;
    int room;
    bool never; /* the clause in hand cannot hold */
    bool full;
};

static void open_clause(struct building *b, enum finding_kind kind, int index, int other)
{
    b->clause = (struct lattice_clause){.finding = {kind, (uint8_t)index, (uint8_t)other},
                                        .moment = -1};
    b->never = false;
}

static void happened(struct building *b, int event)
{
    if (events_have(&b->l->happened, event))
        return;
    b->never |= !events_have(&b->l->all, event);
    events_add(&b->clause.in, event);
}

static void not_happened(struct building *b, int event)
{
    b->never |= events_have(&b->l->happened, event);
    if (events_have(&b->l->all, event))
        events_add(&b->clause.out, event);
}

static void running(struct building *b, int step)
{
    happened(b, 2 * step);
    not_happened(b, 2 * step + 1);
}

static void at_moment(struct building *b, int event)
{
    b->clause.moment = (int16_t)event;
    b->never |= !events_have(&b->l->all, event);
}

static void bounded(struct building *b, enum bounding bounding)
{
    b->never |= bounding == BOUND_NEVER;
    b->full |= bounding == BOUND_FULL;
}

static void part_has(struct building *b, int part, value_set values)
{
    bounded(b, bound_part(b->l, &b->clause.bounds, part, values));
}

static void line_has(struct building *b, const struct variable *line, value_set ways)
{
    bounded(b, bound_variable(&b->clause.bounds, (int)(line - b->l->variables), ways));
}

/* What must have happened brings with it what must not have. */
static bool contradicts_itself(const struct building *b)
{
    struct event_set closed = b->clause.in;
    if (b->clause.moment >= 0) {
        events_join(&closed, &b->l->before[b->clause.moment]);
        if (events_have(&closed, b->clause.moment))
            return true;
    }
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(&b->clause.in, e))
            events_join(&closed, &b->l->before[e]);
    return events_meet(&closed, &b->clause.out);
}

static void close_clause(struct building *b)
{
    struct lattice *l = b->l;
    if (b->never || contradicts_itself(b))
        return;
    if (l->clause_count == b->room) {
        b->room = b->room ? 2 * b->room : 128;
        struct lattice_clause *more =
            arena_alloc(b->arena, (size_t)b->room * sizeof *more);
        if (l->clause_count)
            memcpy(more, l->clauses, (size_t)l->clause_count * sizeof *more);
        l->clauses = more;
    }
    l->clauses[l->clause_count++] = b->clause;
}

/* ---- rules, needs and gear ---- */

static void line_untended(struct building *b, int part)
{
    const struct variable *line = lattice_line(b->l, part);
    value_set nobody = 0;
    for (int i = 0; line && i < line->values; i++)
        nobody |= (value_set)(line->held[i].tender < 0) << i;
    if (line)
        line_has(b, line, nobody);
    b->never |= line && !nobody;
}

/* Every step is finished or skipped. */
static void all_ended(struct building *b)
{
    b->never |= !events_within(&b->l->todo, &b->l->all);
    events_join(&b->clause.in, &b->l->all);
}

static void add_atom(struct building *b, const struct atom *atom)
{
    switch (atom->kind) {
    case ATOM_PART:
        part_has(b, atom->index, atom->values);
        break;
    case ATOM_RUNNING:
        running(b, atom->index);
        break;
    case ATOM_BEGUN:
        happened(b, 2 * atom->index);
        break;
    case ATOM_UNMADE:
        not_happened(b, 2 * atom->index + 1);
        break;
    case ATOM_STARTING:
        at_moment(b, 2 * atom->index);
        break;
    case ATOM_FINISHING:
        at_moment(b, 2 * atom->index + 1);
        break;
    case ATOM_UNTENDED:
        line_untended(b, atom->index);
        break;
    case ATOM_ENDED:
        all_ended(b);
        break;
    }
}

static void add_rules(struct building *b)
{
    const struct rules *rules = &b->l->rig->procedure->rules;
    for (int r = 0; r < rules->count; r++)
        for (int c = 0; c < rules->at[r].clause_count; c++) {
            open_clause(b, FINDING_RULE, r, 0);
            for (int i = 0; i < rules->at[r].clauses[c].count; i++)
                add_atom(b, &rules->at[r].clauses[c].atoms[i]);
            close_clause(b);
        }
}

static void add_needs(struct building *b)
{
    const struct procedure *procedure = b->l->rig->procedure;
    for (int s = 0; s < procedure->step_count; s++)
        for (int i = 0; i < procedure->steps[s].need.count; i++) {
            const struct condition *c = &procedure->steps[s].need.at[i];
            open_clause(b, FINDING_NEED, s, 0);
            at_moment(b, 2 * s);
            part_has(b, c->part, ~c->values);
            close_clause(b);
        }
}

static void add_gear(struct building *b)
{
    const struct procedure *procedure = b->l->rig->procedure;
    for (int s = 0; s < procedure->step_count; s++)
        for (int t = 0; t < s; t++)
            for (int g = 0; g < b->l->rig->plan->gear_count; g++)
                if (procedure->steps[s].uses & procedure->steps[t].uses &
                    (uint32_t)1 << g) {
                    open_clause(b, FINDING_GEAR, g, 0);
                    running(b, s);
                    running(b, t);
                    close_clause(b);
                }
}

/* ---- hands and places ---- */

/* One way in which LANE holds a line and it takes a hand: NONE_WHEN does not hold because
 * of its condition number CONDITION (-1: there is no none_when). */
struct holding {
    value_set ways;
    const struct conditions *none_when;
    int condition;
};

enum { HOLDINGS_MAX = VALUES_MAX * 4 };

/* By which step (or begin's tending) LANE has the line that is HELD; -1: it has not. */
static int tending_by(const struct lattice *l, int line, struct held held, int lane)
{
    if (held.tender == lane)
        return held.tending;
    for (int s = 0; held.taker == lane && s < l->rig->procedure->step_count; s++)
        if (l->rig->lanes_of_step[s] >> lane & 1 && !(l->rig->start.skipped >> s & 1))
            for (int i = 0; i < l->rig->procedure->steps[s].takes_over.count; i++)
                if (l->rig->procedure->steps[s].takes_over.at[i].line == line)
                    return s;
    return -1;
}

/* The ways in which LANE holds LINE and it takes a hand; their number, -1: too many. */
static int list_holdings(const struct lattice *l, const struct variable *line, int lane,
                         struct holding holdings[HOLDINGS_MAX])
{
    int count = 0;
    value_set always = 0;
    for (int way = 0; way < line->values; way++) {
        int by = tending_by(l, line->part, line->held[way], lane);
        if (by < 0)
            continue;
        const struct tending *tending = rig_tending(l->rig, by, line->part);
        if (!tending || !tending->none_when.count) {
            always |= (value_set)1 << way;
            continue;
        }
        for (int i = 0; i < tending->none_when.count; i++) {
            if (count == HOLDINGS_MAX - 1)
                return -1;
            holdings[count++] =
                (struct holding){(value_set)1 << way, &tending->none_when, i};
        }
    }
    if (always)
        holdings[count++] = (struct holding){always, NULL, -1};
    return count;
}

static void holds(struct building *b, const struct variable *line,
                  const struct holding *holding)
{
    line_has(b, line, holding->ways);
    if (holding->condition < 0)
        return;
    const struct condition *c = &holding->none_when->at[holding->condition];
    part_has(b, c->part, ~c->values);
}

/* Closes a clause for each way in which LANE holds MORE lines from PART on, but for those
 * of BUT, beside what the clause in hand has already. */
static void add_lines(struct building *b, int lane, part_set but, int part, int more)
{
    if (more <= 0) {
        close_clause(b);
        return;
    }
    for (; part < b->l->rig->plan->part_count; part++) {
        const struct variable *line = lattice_line(b->l, part);
        if (!line || but >> part & 1)
            continue;
        struct holding holdings[HOLDINGS_MAX];
        int count = list_holdings(b->l, line, lane, holdings);
        b->full |= count < 0;
        const struct lattice_clause before = b->clause;
        const bool never = b->never;
        for (int i = 0; i < count; i++) {
            holds(b, line, &holdings[i]);
            if (!b->never)
                add_lines(b, lane, but, part + 1, more - 1);
            b->clause = before;
            b->never = never;
        }
    }
}

static step_set steps_of(const struct rig *rig, int lane)
{
    step_set steps = 0;
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (rig->lanes_of_step[s] >> lane & 1)
            steps |= (step_set)1 << s;
    return steps;
}

/* STEP (negative: none) takes its hands and leaves its own lines out; or it works more
 * lines than it has hands, and each line counts. */
static void add_hands(struct building *b, int lane, int step)
{
    int idle = 3 - rig_step_hands(b->l->rig, lane, -1);
    part_set worked =
        step >= 0 ? rig_worked_lines(&b->l->rig->procedure->steps[step]) : 0;
    for (int each = 0; each < (worked ? 2 : 1); each++) {
        open_clause(b, FINDING_HANDS, lane, 0);
        if (step >= 0)
            running(b, step);
        else
            b->clause.idle = steps_of(b->l->rig, lane);
        if (!b->never)
            add_lines(b, lane, each ? 0 : worked, 0,
                      each ? idle : 3 - rig_step_hands(b->l->rig, lane, step));
    }
}

/* STEP tends a line that is in the hand of somebody who has no part in it. */
static void add_taken(struct building *b, int step)
{
    const struct rig *rig = b->l->rig;
    const struct tendings *tends = &rig->procedure->steps[step].tends;
    for (int i = 0; i < tends->count * rig->lane_count; i++) {
        int part = tends->at[i / rig->lane_count].line, lane = i % rig->lane_count;
        const struct variable *line = lattice_line(b->l, part);
        if (!line || rig->lanes_of_step[step] >> lane & 1)
            continue;
        value_set theirs = 0;
        for (int way = 0; way < line->values; way++)
            theirs |= (value_set)(line->held[way].tender == lane) << way;
        struct holding holdings[HOLDINGS_MAX];
        int count = list_holdings(b->l, line, lane, holdings);
        b->full |= count < 0;
        for (int h = 0; h < count; h++) {
            open_clause(b, FINDING_TAKEN, step, part);
            at_moment(b, 2 * step);
            holdings[h].ways &= theirs;
            b->never |= !holdings[h].ways;
            holds(b, line, &holdings[h]);
            close_clause(b);
        }
    }
}

static bool reaches(const struct rig *rig, int place, int step)
{
    return rig->plan->stations[place].reach >> rig->procedure->steps[step].at & 1;
}

static void add_places(struct building *b, int lane, int step)
{
    const struct rig *rig = b->l->rig;
    for (int part = 0; part < rig->plan->part_count; part++) {
        const struct variable *line = lattice_line(b->l, part);
        if (!line || reaches(rig, rig->plan->parts[part].tended_at, step))
            continue;
        struct holding holdings[HOLDINGS_MAX];
        int count = list_holdings(b->l, line, lane, holdings);
        b->full |= count < 0;
        for (int i = 0; i < count; i++) {
            open_clause(b, FINDING_PLACE, lane, part);
            running(b, step);
            holds(b, line, &holdings[i]);
            close_clause(b);
        }
    }
}

static int helm_station(const struct rig *rig)
{
    for (int role = 0; role < rig->plan->role_count; role++)
        if (rig->plan->roles[role].steers)
            return rig->plan->roles[role].station;
    return -1;
}

static void add_helm(struct building *b, int step)
{
    if (reaches(b->l->rig, helm_station(b->l->rig), step))
        return;
    open_clause(b, FINDING_HELM, b->l->rig->helm_lane, step);
    running(b, step);
    close_clause(b);
}

bool lattice_add_clauses(struct lattice *lattice, struct arena *arena)
{
    struct building b = {.l = lattice, .arena = arena};
    const struct rig *rig = lattice->rig;
    add_rules(&b);
    add_needs(&b);
    add_gear(&b);
    for (int s = 0; s < rig->procedure->step_count; s++)
        add_taken(&b, s);
    for (int lane = 0; lane < rig->lane_count; lane++) {
        add_hands(&b, lane, -1);
        for (int s = 0; s < rig->procedure->step_count; s++) {
            if (!(rig->lanes_of_step[s] >> lane & 1))
                continue;
            add_hands(&b, lane, s);
            add_places(&b, lane, s);
            if (lane == rig->helm_lane)
                add_helm(&b, s);
        }
    }
    return !b.full;
}
