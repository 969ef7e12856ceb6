#include "screens/pace.h"

#include "debrief/debrief.h"
#include "screens/resume.h"

#include <string.h>

enum { TRIES_MAX = 8 }; /* the fastest runs looked at before it is given up */

struct search {
    const struct procedure *procedure;
    int64_t tried[TRIES_MAX];
    int tried_count;
    int64_t best_id, best_ms;
};

static void look_at(const struct logbook_run *record, void *payload)
{
    struct search *search = payload;
    if (!record->closed || record->outcome != RUN_DONE || record->mode == RUN_WALK ||
        record->total_ms < 0 || strcmp(record->procedure, search->procedure->name) != 0)
        return;
    for (int i = 0; i < search->tried_count; i++)
        if (search->tried[i] == record->id)
            return;
    if (search->best_id && record->total_ms >= search->best_ms)
        return;
    search->best_id = record->id;
    search->best_ms = record->total_ms;
}

/* A step left out, caught up or otherwise untimed makes a run short, not quick. */
static bool is_whole(const struct debrief *debrief)
{
    for (int i = 0; i < debrief->split_count; i++)
        if (debrief->splits[i].skipped || debrief->splits[i].made_ms < 0)
            return false;
    return true;
}

/* False where the run was not clean and whole: it is no pace. */
static bool take_steps(const struct resumed *resumed, const struct procedure *procedure,
                       struct pace *out)
{
    struct debrief debrief;
    debrief_make(&resumed->run, resumed->run.now.over_ms, &debrief);
    if (!debrief_clean(&debrief) || !is_whole(&debrief))
        return false;
    out->total_ms = debrief.total_ms;
    for (int i = 0; i < debrief.split_count; i++) {
        int step = procedure_step(procedure,
                                  resumed->procedure->steps[debrief.splits[i].step].name);
        if (step >= 0)
            out->made_ms[step] = debrief.splits[i].made_ms;
    }
    return true;
}

static bool take_run(struct logbook *logbook, int64_t id,
                     const struct procedure *procedure, struct pace *out)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct resumed *resumed = arena_alloc(arena, sizeof *resumed);
    struct text why = {0};
    bool taken = resume_read(logbook, id, arena, diags, resumed, &why) &&
                 take_steps(resumed, procedure, out);
    text_free(&why);
    arena_free(arena);
    return taken;
}

void pace_find(struct logbook *logbook, const struct procedure *procedure,
               struct pace *out)
{
    out->total_ms = -1;
    for (int s = 0; s < STEPS_MAX; s++)
        out->made_ms[s] = -1;
    struct search search = {.procedure = procedure};
    while (logbook && search.tried_count < TRIES_MAX) {
        search.best_id = 0;
        if (!logbook_each(logbook, 0, look_at, &search) || !search.best_id ||
            take_run(logbook, search.best_id, procedure, out))
            return;
        search.tried[search.tried_count++] = search.best_id;
    }
}
