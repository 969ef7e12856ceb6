/* What was broken, as a crew counts it: one danger may be found as two. */
#include "run/run.h"

#include <string.h>

static bool names_part(const struct rule *rule, part_set parts)
{
    for (int c = 0; c < rule->clause_count; c++)
        for (int i = 0; i < rule->clauses[c].count; i++) {
            const struct atom *atom = &rule->clauses[c].atoms[i];
            if (atom->kind == ATOM_PART && parts >> atom->index & 1)
                return true;
        }
    return false;
}

static part_set parts_of(const struct conditions *conditions)
{
    part_set parts = 0;
    for (int i = 0; i < conditions->count; i++)
        parts |= (part_set)1 << conditions->at[i].part;
    return parts;
}

/* RULE, broken by the same mark, tells what FINDING tells. */
static bool tells(const struct procedure *procedure, const struct rule *rule,
                  const struct finding *finding)
{
    if (finding->kind == FINDING_NEED)
        return names_part(rule, parts_of(&procedure->steps[finding->index].need));
    return finding->kind == FINDING_RULE &&
           strcmp(rule->because, procedure->rules.at[finding->index].because) == 0;
}

int run_same_danger(const struct run *run, int i)
{
    const struct run_found *found = run->now.found, *one = &found[i];
    const struct procedure *procedure = run->rig->procedure;
    for (int j = 0; j < run->now.found_count; j++) {
        bool before = j < i || one->finding.kind == FINDING_NEED;
        if (before && found[j].finding.kind == FINDING_RULE &&
            found[j].at_ms == one->at_ms && found[j].step == one->step &&
            tells(procedure, &procedure->rules.at[found[j].finding.index], &one->finding))
            return j;
    }
    return i;
}

int run_count_dangers(const struct run *run)
{
    int count = 0;
    for (int i = 0; i < run->now.found_count; i++)
        count += run_same_danger(run, i) == i;
    return count;
}

static enum signal signal_of(const struct run *run, int i)
{
    const struct finding *finding = &run->now.found[i].finding;
    return finding->kind == FINDING_RULE
               ? run->rig->procedure->rules.at[finding->index].signal
               : SIGNAL_NONE;
}

int run_warning(const struct run *run, int *count)
{
    int worst = -1, standing = 0;
    for (int i = 0; i < run->now.found_count; i++) {
        if (run->now.found[i].seen || run_same_danger(run, i) != i)
            continue;
        standing++;
        if (worst < 0 || signal_of(run, i) >= signal_of(run, worst))
            worst = i;
    }
    if (count)
        *count = standing;
    return worst;
}
