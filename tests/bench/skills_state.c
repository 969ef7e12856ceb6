/* A project of several skills as a problem of the kernel, and its checker. */
#include "skills.h"

#include <string.h>

static void close_order(const struct skills *skills, bool before[ACTS_MAX][ACTS_MAX])
{
    memcpy(before, skills->before, sizeof skills->before);
    for (int32_t k = 0; k < skills->acts; k++)
        for (int32_t i = 0; i < skills->acts; i++)
            for (int32_t j = 0; j < skills->acts && before[i][k]; j++)
                before[i][j] = before[i][j] || before[k][j];
}

/* Persons that an activity needs for the skills of the set. */
static int32_t needs_of(const struct skills *skills, int32_t act, uint32_t set)
{
    int32_t needs = 0;
    for (int32_t k = 0; k < skills->skills; k++)
        needs += set >> k & 1 ? skills->needs[act][k] : 0;
    return needs;
}

/* Persons that have some skill of the set. */
static int32_t persons_of(const struct skills *skills, uint32_t set)
{
    int32_t persons = 0;
    for (int32_t p = 0; p < skills->persons; p++) {
        bool any = false;
        for (int32_t k = 0; k < skills->skills; k++)
            any = any || (set >> k & 1 && skills->has[p][k]);
        persons += any;
    }
    return persons;
}

/* Who gives what: as many as each skill needs, one skill a person. */
static void state_gives(const struct skills *skills, struct kernel *kernel, int32_t act,
                        struct skills_variables *out)
{
    struct kernel_literal all[PERSONS_MAX * SKILLS_MAX];
    int32_t total = 0;
    for (int32_t p = 0; p < skills->persons; p++) {
        struct kernel_literal of[SKILLS_MAX];
        int32_t count = 0;
        for (int32_t k = 0; k < skills->skills; k++) {
            out->gives[act][p][k] = -1;
            if (!skills->has[p][k] || skills->needs[act][k] == 0)
                continue;
            out->gives[act][p][k] = kernel_switch(kernel);
            of[count++] = all[total++] = kernel_on(out->gives[act][p][k]);
        }
        if (count > 1)
            kernel_at_most_of(kernel, of, count, 1);
    }
    kernel_advise(kernel, out->start[act], all, total);
    for (int32_t k = 0; k < skills->skills; k++) {
        struct kernel_literal able[PERSONS_MAX];
        int32_t count = 0;
        for (int32_t p = 0; p < skills->persons; p++)
            if (out->gives[act][p][k] >= 0)
                able[count++] = kernel_on(out->gives[act][p][k]);
        if (skills->needs[act][k] == 0)
            continue;
        kernel_at_least_of(kernel, able, count, skills->needs[act][k]);
        kernel_at_most_of(kernel, able, count, skills->needs[act][k]);
    }
}

/* Two activities that no order keeps apart: no person is at both unless one is first. */
static void state_pair(const struct skills *skills, struct kernel *kernel, int32_t a,
                       int32_t b, const struct skills_variables *of)
{
    struct kernel_literal one = kernel_on(kernel_switch(kernel));
    bool apart = false;
    for (uint32_t set = 1; set < 1u << skills->skills; set++)
        apart = apart || needs_of(skills, a, set) + needs_of(skills, b, set) >
                             persons_of(skills, set);
    struct kernel_literal two =
        apart ? kernel_not(one) : kernel_on(kernel_switch(kernel));
    kernel_edge(kernel, one, of->start[a], of->start[b], skills->duration[a]);
    kernel_edge(kernel, two, of->start[b], of->start[a], skills->duration[b]);
    for (int32_t p = 0; p < skills->persons && !apart; p++)
        for (int32_t k = 0; k < skills->skills; k++)
            for (int32_t l = 0; l < skills->skills; l++)
                if (of->gives[a][p][k] >= 0 && of->gives[b][p][l] >= 0)
                    kernel_clause(kernel,
                                  (struct kernel_literal[]){
                                      kernel_not(kernel_on(of->gives[a][p][k])),
                                      kernel_not(kernel_on(of->gives[b][p][l])), one,
                                      two},
                                  4);
}

/* What follows for each set of skills: so many persons there are. */
static void state_sets(const struct skills *skills, struct kernel *kernel,
                       const struct skills_variables *of)
{
    for (uint32_t set = 1; set < 1u << skills->skills; set++) {
        struct kernel_task tasks[ACTS_MAX];
        int32_t count = 0;
        for (int32_t a = 0; a < skills->acts; a++)
            if (skills->duration[a] && needs_of(skills, a, set))
                tasks[count++] = (struct kernel_task){of->start[a],
                                                      0,
                                                      of->start[a],
                                                      skills->duration[a],
                                                      needs_of(skills, a, set),
                                                      kernel_always()};
        kernel_capacity(kernel, tasks, count, persons_of(skills, set));
    }
}

void skills_state(const struct skills *skills, struct kernel *kernel,
                  struct skills_variables *out)
{
    static bool before[ACTS_MAX][ACTS_MAX];
    int32_t horizon = 0;
    close_order(skills, before);
    for (int32_t a = 0; a < skills->acts; a++)
        horizon += skills->duration[a];
    out->makespan = kernel_integer(kernel, 0, horizon);
    for (int32_t a = 0; a < skills->acts; a++) {
        out->start[a] = kernel_integer(kernel, 0, horizon);
        kernel_edge(kernel, kernel_always(), out->start[a], out->makespan,
                    skills->duration[a]);
        state_gives(skills, kernel, a, out);
    }
    for (int32_t a = 0; a < skills->acts; a++)
        for (int32_t b = 0; b < skills->acts; b++) {
            if (skills->before[a][b])
                kernel_edge(kernel, kernel_always(), out->start[a], out->start[b],
                            skills->duration[a]);
            if (a < b && !before[a][b] && !before[b][a] && skills->duration[a] &&
                skills->duration[b])
                state_pair(skills, kernel, a, b, out);
        }
    state_sets(skills, kernel, out);
    kernel_minimise(kernel, out->makespan);
}

static bool is_at(const struct skills *skills, const struct kernel *kernel,
                  const struct skills_variables *of, int32_t act, int32_t person)
{
    for (int32_t k = 0; k < skills->skills; k++)
        if (of->gives[act][person][k] >= 0 &&
            kernel_value(kernel, of->gives[act][person][k]))
            return true;
    return false;
}

static const char *check_people(const struct skills *skills, const struct kernel *kernel,
                                const struct skills_variables *of, int32_t act)
{
    int32_t given[SKILLS_MAX] = {0};
    for (int32_t p = 0; p < skills->persons; p++) {
        int32_t count = 0;
        for (int32_t k = 0; k < skills->skills; k++)
            if (of->gives[act][p][k] >= 0 && kernel_value(kernel, of->gives[act][p][k])) {
                if (!skills->has[p][k])
                    return "a person gives a skill they do not have";
                given[k]++;
                count++;
            }
        if (count > 1)
            return "a person gives two skills at once";
    }
    for (int32_t k = 0; k < skills->skills; k++)
        if (given[k] < skills->needs[act][k])
            return "an activity has too few persons for a skill";
    return NULL;
}

static const char *check_two(const struct skills *skills, const struct kernel *kernel,
                             const struct skills_variables *of, int32_t a, int32_t b)
{
    int32_t one = kernel_value(kernel, of->start[a]),
            two = kernel_value(kernel, of->start[b]);
    if (skills->before[a][b] && one + skills->duration[a] > two)
        return "an activity starts before one it follows has ended";
    bool together = one < two + skills->duration[b] && two < one + skills->duration[a];
    for (int32_t p = 0; p < skills->persons && together && a != b; p++)
        if (is_at(skills, kernel, of, a, p) && is_at(skills, kernel, of, b, p))
            return "a person is at two activities at once";
    return NULL;
}

const char *skills_check(const struct skills *skills, const struct kernel *kernel,
                         const struct skills_variables *variables)
{
    for (int32_t a = 0; a < skills->acts; a++) {
        const char *flaw = check_people(skills, kernel, variables, a);
        for (int32_t b = 0; b < skills->acts && !flaw; b++)
            flaw = check_two(skills, kernel, variables, a, b);
        if (flaw)
            return flaw;
        if (kernel_value(kernel, variables->start[a]) + skills->duration[a] >
            kernel_value(kernel, variables->makespan))
            return "an activity is not inside the makespan";
    }
    return NULL;
}
