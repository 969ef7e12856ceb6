/* A made-up procedure on its rig, played by the name of its steps. */
#ifndef UNIT_MADE_UP_CASE_H
#define UNIT_MADE_UP_CASE_H

#include "made_up.h"

#include "rig/rig.h"

#include <check.h>

struct case_ {
    struct arena *arena;
    struct text rig_text, steps;
    const struct procedure *procedure;
    struct rig rig;
    struct rig_state state;
};

static inline void begin_case(struct case_ *c, int roles, int parts, const char *more)
{
    *c = (struct case_){.arena = arena_new()};
    made_up_rig(&c->rig_text, roles, parts, more);
    made_up_head(&c->steps, parts);
    text_add(&c->steps, "goal: {p0: a}\nsteps:\n");
}

/* Loads it with a lane for each role, or all roles on lane 0. */
static inline void load_case(struct case_ *c, bool one_lane)
{
    c->procedure = made_up_load(&c->rig_text, &c->steps, c->arena);
    int8_t lanes[ROLES_MAX];
    for (int r = 0; r < ROLES_MAX; r++)
        lanes[r] = (int8_t)(one_lane ? 0 : r);
    ck_assert(rig_make(&c->rig, c->procedure, lanes,
                       one_lane ? 1 : c->procedure->plan->role_count, true));
    rig_start(&c->rig, &c->state);
}

static inline void end_case(struct case_ *c)
{
    text_free(&c->rig_text);
    text_free(&c->steps);
    arena_free(c->arena);
}

static inline int step(const struct case_ *c, const char *name)
{
    int s = procedure_step(c->procedure, name);
    ck_assert_msg(s >= 0, "%s", name);
    return s;
}

static inline bool ready(const struct case_ *c, const char *name)
{
    return rig_ready(&c->rig, &c->state) >> step(c, name) & 1;
}

static inline char part(const struct case_ *c, int p)
{
    return c->procedure->plan->parts[p].values[c->state.part[p]].name[0];
}

static inline void begin(struct case_ *c, const char *name)
{
    rig_begin(&c->rig, &c->state, step(c, name));
}

static inline void end(struct case_ *c, const char *name)
{
    rig_end(&c->rig, &c->state, step(c, name));
}

static inline int count_kind(const struct case_ *c, enum finding_kind kind)
{
    struct findings found = {0};
    rig_find(&c->rig, &c->state, &found);
    int count = 0;
    for (int i = 0; i < found.count; i++)
        count += found.at[i].kind == kind;
    return count;
}

#endif
