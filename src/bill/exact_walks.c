/* A hand does one step at a time and walks from one to the next. */
#include "bill/exact.h"

static int32_t walk_of(const struct exact *x, int from, int to, int pace)
{
    return exact_ticks(rig_plan_distance_m(x->procedure->plan, from, to) /
                       x->paces[pace] * 1000);
}

/* Where BEFORE holds and one hand wears both roles, it goes from step I to step J. */
static void state_walk(struct exact *x, int i, int role, int j, int other,
                       struct kernel_literal before)
{
    const struct step *steps = x->procedure->steps;
    for (int p = 0; p < x->pace_count; p++) {
        int32_t walk = walk_of(x, steps[i].at, steps[j].at, p);
        struct kernel_literal guards[] = {before, exact_same(x, role, other),
                                          x->pace_count > 1 ? kernel_on(x->paced[role][p])
                                                            : kernel_always()};
        if (walk > 0)
            kernel_edge(x->kernel, exact_all(x, guards, 3), x->end[i], x->start[j], walk);
    }
}

/* Steps I and J of two roles, or of one. */
static void state_pair(struct exact *x, int i, int role, int j, int other)
{
    struct kernel_literal first = exact_before(x, 2 * i + 1, 2 * j),
                          second = exact_before(x, 2 * j + 1, 2 * i);
    struct clause_of clause = {0};
    clause_add(&clause, kernel_not(exact_same(x, role, other)));
    clause_add(&clause, first);
    clause_add(&clause, second);
    clause_close(x, &clause);
    state_walk(x, i, role, j, other, first);
    state_walk(x, j, other, i, role, second);
}

/* Begun before the begin: where the hand of one is lost another has both on it. */
static bool is_begun(const struct exact *x, int step)
{
    return x->rig->start.begun >> step & 1;
}

static bool is_to_do(const struct exact *x, int step)
{
    return events_have(&x->turned->l.all, 2 * step + 1);
}

/* Which of two roles says where their hand stands at the go: as in home_of. */
static int rank_of(const struct exact *x, int role)
{
    for (int i = 0; i < x->procedure->tended_count; i++)
        if (x->procedure->tended[i].role == role)
            return i - STEPS_MAX;
    return role;
}

int exact_home_of_role(const struct exact *x, int role)
{
    const struct rig_plan *plan = x->procedure->plan;
    for (int i = 0; i < x->procedure->tended_count; i++)
        if (x->procedure->tended[i].role == role)
            return plan->parts[x->procedure->tended[i].tending.line].tended_at;
    return plan->roles[role].station;
}

/* One of those who wear ROLE stands at a step that is begun. */
static bool stands_at_step(const struct exact *x, int role)
{
    for (int s = 0; s < x->procedure->step_count; s++)
        if (x->procedure->steps[s].roles >> role & 1 && is_begun(x, s) && is_to_do(x, s))
            return true;
    return false;
}

struct clause_of exact_not_from(struct exact *x, int role, int home)
{
    struct clause_of clause = {0};
    clause_add(&clause, kernel_not(exact_same(x, role, home)));
    for (int i = 0; i < x->role_count; i++)
        if (rank_of(x, x->roles[i]) < rank_of(x, home) || stands_at_step(x, x->roles[i]))
            clause_add(&clause, exact_same(x, role, x->roles[i]));
    return clause;
}

/* The hand of ROLE comes to STEP from the home of role HOME. */
static void state_home(struct exact *x, int step, int role, int home)
{
    struct clause_of clause = exact_not_from(x, role, home);
    for (int p = 0; p < x->pace_count; p++) {
        int32_t walk =
            walk_of(x, exact_home_of_role(x, home), x->procedure->steps[step].at, p);
        struct clause_of one = clause;
        if (walk <= 0)
            continue;
        if (x->pace_count > 1)
            clause_add(&one, kernel_not(kernel_on(x->paced[role][p])));
        clause_add(&one, kernel_at_least(x->start[step], walk));
        clause_close(x, &one);
    }
}

/* A joint step needs two hands; also one that is done, for who wears both roles has it
 * on their card twice. */
static void state_joint(struct exact *x, int step)
{
    role_set roles = x->procedure->steps[step].roles;
    for (int role = 0; roles & (roles - 1) && role < ROLES_MAX; role++)
        for (int other = 0; other < role; other++) {
            struct clause_of apart = {0};
            if (!(roles >> role & 1) || !(roles >> other & 1))
                continue;
            clause_add(&apart, kernel_not(exact_same(x, role, other)));
            clause_close(x, &apart);
        }
}

void exact_state_walks(struct exact *x)
{
    const struct step *steps = x->procedure->steps;
    for (int i = 0; i < x->procedure->step_count; i++) {
        state_joint(x, i);
        for (int role = 0; role < ROLES_MAX; role++) {
            if (!(steps[i].roles >> role & 1) || !is_to_do(x, i))
                continue;
            for (int j = 0; j < i; j++)
                for (int other = 0; other < ROLES_MAX; other++)
                    if (steps[j].roles >> other & 1 && is_to_do(x, j) &&
                        !(is_begun(x, i) && is_begun(x, j)))
                        state_pair(x, j, other, i, role);
            for (int h = 0; x->start[i] && h < x->role_count; h++)
                state_home(x, i, role, x->roles[h]);
        }
    }
}
