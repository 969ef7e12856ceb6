/* Schedules to start from: the jobs put one after the other as early as they fit, of
 * those that may come always the one with the longest tail, the tails changed by chance.
 */
#include "project.h"

#include <string.h>

enum { TIMES_MAX = 4096 };

struct draft {
    const struct project *project;
    int32_t start[JOBS_MAX], end;
    int32_t used[RESOURCES_MAX][TIMES_MAX];
    bool placed[JOBS_MAX];
};

static bool fits(const struct draft *draft, int32_t job, int32_t from)
{
    const struct project *project = draft->project;
    for (int32_t t = from; t < from + project->duration[job]; t++)
        for (int32_t r = 0; r < project->resources; r++)
            if (draft->used[r][t] + project->demand[job][r] > project->capacity[r])
                return false;
    return true;
}

static void place_job(struct draft *draft, int32_t job)
{
    const struct project *project = draft->project;
    int32_t from = 0;
    for (int32_t i = 0; i < project->jobs; i++)
        if (project->before[i][job] && from < draft->start[i] + project->duration[i])
            from = draft->start[i] + project->duration[i];
    while (!fits(draft, job, from))
        from++;
    draft->start[job] = from;
    draft->placed[job] = true;
    int32_t end = from + project->duration[job];
    for (int32_t t = from; t < end; t++)
        for (int32_t r = 0; r < project->resources; r++)
            draft->used[r][t] += project->demand[job][r];
    draft->end = draft->end > end ? draft->end : end;
}

static bool is_ready(const struct draft *draft, int32_t job)
{
    for (int32_t i = 0; i < draft->project->jobs; i++)
        if (draft->project->before[i][job] && !draft->placed[i])
            return false;
    return !draft->placed[job];
}

static void place_all(struct draft *draft, const int32_t key[JOBS_MAX])
{
    for (int32_t r = 0; r < draft->project->resources; r++)
        memset(draft->used[r], 0, (size_t)draft->end * sizeof draft->used[r][0]);
    memset(draft->placed, 0, sizeof draft->placed);
    draft->end = 0;
    for (int32_t n = 0; n < draft->project->jobs; n++) {
        int32_t best = -1;
        for (int32_t j = 0; j < draft->project->jobs; j++)
            if (is_ready(draft, j) && (best < 0 || key[j] > key[best]))
                best = j;
        place_job(draft, best);
    }
}

void project_tails(const struct project *project, int32_t tail[JOBS_MAX])
{
    memcpy(tail, project->duration, sizeof project->duration);
    for (bool changed = true; changed;) {
        changed = false;
        for (int32_t i = 0; i < project->jobs; i++)
            for (int32_t j = 0; j < project->jobs; j++)
                if (project->before[i][j] && tail[i] < project->duration[i] + tail[j]) {
                    tail[i] = project->duration[i] + tail[j];
                    changed = true;
                }
    }
}

int32_t project_serial(const struct project *project, int32_t tries,
                       int32_t start[JOBS_MAX])
{
    static struct draft draft;
    int32_t tail[JOBS_MAX], key[JOBS_MAX], best = INT32_MAX;
    uint32_t seed = 1;
    draft = (struct draft){.project = project};
    project_tails(project, tail);
    for (int32_t n = 0; n < tries; n++) {
        for (int32_t j = 0; j < project->jobs; j++) {
            seed = seed * 1664525u + 1013904223u;
            key[j] = tail[j] * (16 + (n ? (int32_t)(seed >> 29) : 0));
        }
        place_all(&draft, key);
        if (draft.end >= best)
            continue;
        best = draft.end;
        memcpy(start, draft.start, sizeof draft.start);
    }
    return best;
}
