#include "vet/sweep_plan.h"

#include <string.h>

/* ---- planes ---- */

static bool is_racy(const struct variable *v)
{
    return !v->ordered || (v->first & (v->first - 1));
}

/* Every value that V can come to have. */
static value_set reachable_values(const struct variable *v)
{
    value_set values = v->first;
    for (value_set before = 0; before != values;) {
        before = values;
        for (int i = 0; i < v->count; i++)
            values |= writer_image(&v->writers[i], values);
    }
    return values;
}

static bool find_planes(struct plan *plan)
{
    const struct lattice *l = plan->box.lattice;
    plan->planes = 1;
    for (int i = 0; i < l->variable_count; i++) {
        if (!is_racy(&l->variables[i]))
            continue;
        int racy = plan->racy_count++;
        plan->racy[racy] = (uint8_t)i;
        for (value_set left = reachable_values(&l->variables[i]); left; left &= left - 1)
            plan->value_of[racy][plan->values[racy]++] = (uint8_t)__builtin_ctz(left);
        plan->planes *= plan->values[racy];
        if (plan->planes > PLANES_MAX)
            return false;
    }
    return true;
}

uint8_t plan_value(const struct plan *plan, int i, int plane)
{
    for (int before = 0; before < i; before++)
        plane /= plan->values[before];
    return plan->value_of[i][plane % plan->values[i]];
}

static int racy_number(const struct plan *plan, int variable)
{
    for (int i = 0; i < plan->racy_count; i++)
        if (plan->racy[i] == variable)
            return i;
    return -1;
}

/* The plane like PLANE but for racy variable I, which has VALUE there. */
static int plane_with(const struct plan *plan, int plane, int i, uint8_t value)
{
    int stride = 1, from = 0, to = 0;
    for (int before = 0; before < i; before++)
        stride *= plan->values[before];
    uint8_t now = plan_value(plan, i, plane);
    for (int n = 0; n < plan->values[i]; n++) {
        from = plan->value_of[i][n] == now ? n : from;
        to = plan->value_of[i][n] == value ? n : to;
    }
    return plane + (to - from) * stride;
}

static void move_planes(struct plan *plan, int i, const struct writer *writer,
                        struct arena *arena)
{
    struct sweep_event *event = &plan->events[writer->event];
    uint16_t *to = arena_alloc(arena, (size_t)plan->planes * sizeof *to);
    for (int p = 0; p < plan->planes; p++) {
        int so_far = event->to_plane ? event->to_plane[p] : p;
        to[p] = (uint16_t)plane_with(plan, so_far, i, writer->to[plan_value(plan, i, p)]);
    }
    event->to_plane = to;
}

/* Keeps of PLANES (NULL: all) those where racy variable I has one of VALUES. */
static const bool *keep_planes(const struct plan *plan, const bool *planes, int i,
                               value_set values, struct arena *arena)
{
    bool *kept = arena_alloc(arena, (size_t)plan->planes * sizeof *kept);
    for (int p = 0; p < plan->planes; p++)
        kept[p] = (!planes || planes[p]) && values >> plan_value(plan, i, p) & 1;
    return kept;
}

/* ---- where things hold ---- */

static struct span_of_chain *span_of(struct where *where, const struct box *box,
                                     int chain)
{
    for (int i = 0; i < where->span_count; i++)
        if (where->spans[i].chain == chain)
            return &where->spans[i];
    where->spans[where->span_count] =
        (struct span_of_chain){(uint8_t)chain, 0, box->chains[chain].length};
    return &where->spans[where->span_count++];
}

static void where_start(const struct plan *plan, struct where *where, struct arena *arena)
{
    where->inner = plan->box.full;
    where->spans =
        arena_alloc(arena, (size_t)plan->box.chain_count * sizeof *where->spans);
}

static void where_happened(const struct box *box, struct where *where, int event)
{
    if (box->chains[box->chain_of[event]].inner) {
        block_and(&where->inner, &box->done[event], box->words);
        return;
    }
    struct span_of_chain *span = span_of(where, box, box->chain_of[event]);
    if (span->least < box->place_of[event])
        span->least = box->place_of[event];
}

static void where_not(const struct box *box, struct where *where, int event)
{
    if (box->chains[box->chain_of[event]].inner) {
        block_drop(&where->inner, &box->done[event], box->words);
        return;
    }
    struct span_of_chain *span = span_of(where, box, box->chain_of[event]);
    if (span->most >= box->place_of[event])
        span->most = (uint8_t)(box->place_of[event] - 1);
}

static void where_bounds(const struct plan *plan, struct where *where,
                         const struct bounds *bounds, struct arena *arena)
{
    for (int b = 0; b < bounds->count; b++) {
        int racy = racy_number(plan, bounds->at[b].variable);
        if (racy >= 0)
            where->planes =
                keep_planes(plan, where->planes, racy, bounds->at[b].values, arena);
        else
            where->follows.at[where->follows.count++] = bounds->at[b];
    }
}

static void plan_event(struct plan *plan, int event, struct arena *arena)
{
    const struct lattice *l = plan->box.lattice;
    struct where *where = &plan->events[event].where;
    const struct box *box = &plan->box;
    where_start(plan, where, arena);
    for (int e = 0; e < EVENTS_MAX; e++)
        if (events_have(&l->arrows[event], e) &&
            (box->chain_of[e] != box->chain_of[event]))
            where_happened(box, where, e);
    if (box->chains[box->chain_of[event]].inner)
        block_and(&where->inner, &box->next[event], box->words);
    if (event % 2 || !l->rig)
        return;
    where->idle = l->busy[event / 2];
    where_bounds(plan, where, &l->waits[event / 2], arena);
}

static int finding_number(struct plan *plan, const struct finding *finding)
{
    for (int i = 0; i < plan->finding_count; i++)
        if (finding_same(&plan->findings[i], finding))
            return i;
    plan->findings[plan->finding_count] = *finding;
    return plan->finding_count++;
}

static void plan_clause(struct plan *plan, const struct lattice_clause *from,
                        struct arena *arena)
{
    struct sweep_clause *clause = &plan->clauses[plan->clause_count++];
    const struct box *box = &plan->box;
    where_start(plan, &clause->where, arena);
    for (int e = 0; e < EVENTS_MAX; e++) {
        if (events_have(&from->in, e))
            where_happened(box, &clause->where, e);
        if (events_have(&from->out, e))
            where_not(box, &clause->where, e);
    }
    where_bounds(plan, &clause->where, &from->bounds, arena);
    clause->where.idle = from->idle;
    clause->moment = from->moment;
    clause->finding = finding_number(plan, &from->finding);
    bool nowhere = !block_any(&clause->where.inner, box->words);
    for (int i = 0; i < clause->where.span_count; i++)
        nowhere |= clause->where.spans[i].least > clause->where.spans[i].most;
    plan->clause_count -= nowhere;
}

static void plan_goal(struct plan *plan, struct arena *arena)
{
    const struct lattice *l = plan->box.lattice;
    plan->follows_goal = !l->never_at_goal;
    for (int i = 0; i < l->goal.count; i++) {
        const struct bound *bound = &l->goal.at[i];
        const struct variable *v = &l->variables[bound->variable];
        int racy = racy_number(plan, bound->variable);
        value_set last = v->first;
        for (int k = 0; k < v->count; k++)
            last = writer_image(&v->writers[k], last);
        if (racy >= 0)
            plan->goal_planes =
                keep_planes(plan, plan->goal_planes, racy, bound->values, arena);
        else
            plan->follows_goal &= (last & bound->values) != 0;
    }
}

struct plan *plan_make(const struct lattice *lattice, struct arena *arena)
{
    struct plan *plan = arena_alloc(arena, sizeof *plan);
    if (!box_make(lattice, arena, &plan->box) || !find_planes(plan))
        return NULL;
    for (int i = 0; i < lattice->order_count; i++)
        plan_event(plan, lattice->order[i], arena);
    for (int i = 0; i < plan->racy_count; i++) {
        const struct variable *v = &lattice->variables[plan->racy[i]];
        for (int w = 0; w < v->count; w++)
            move_planes(plan, i, &v->writers[w], arena);
    }
    size_t clauses = (size_t)lattice->clause_count;
    plan->clauses = arena_alloc(arena, clauses * sizeof *plan->clauses + 1);
    plan->findings = arena_alloc(arena, clauses * sizeof *plan->findings + 1);
    for (int i = 0; i < lattice->clause_count; i++)
        plan_clause(plan, &lattice->clauses[i], arena);
    plan_goal(plan, arena);
    return plan;
}
