/* What every order, or some order, makes of the waits, the steps and the goal. */
#include "vet/lints.h"

#include "vet/before.h"

/* What is looked for in every state that can be met. */
struct watch {
    const struct rig *rig;
    struct lints *out;
    step_set begun;             /* in some state */
    uint64_t missed[STEPS_MAX]; /* bit i: wait i of the step, told already */
    bool at_goal;
};

static bool sets(const struct effects *effects, const struct condition *wanted)
{
    for (int i = 0; i < effects->count; i++)
        if (effects->at[i].part == wanted->part &&
            wanted->values >> effects->at[i].value & 1)
            return true;
    return false;
}

/* Some event that is still to come makes WANTED so, the step S itself left out. */
static bool can_come(const struct rig *rig, const struct rig_state *state, int s,
                     const struct condition *wanted)
{
    for (int other = 0; other < rig->procedure->step_count; other++) {
        const struct step *step = &rig->procedure->steps[other];
        if (other == s || (state->done | state->skipped) >> other & 1)
            continue;
        if (sets(&step->finish, wanted) ||
            (!(state->begun >> other & 1) && sets(&step->start, wanted)))
            return true;
    }
    return false;
}

/* WANTED was so before STATE: by the begin, or by an event that has happened. */
static bool has_been(const struct rig *rig, const struct rig_state *state,
                     const struct condition *wanted)
{
    if (rig->procedure->begin[wanted->part].values & wanted->values)
        return true;
    for (int s = 0; s < rig->procedure->step_count; s++) {
        const struct step *step = &rig->procedure->steps[s];
        if ((state->begun >> s & 1 && sets(&step->start, wanted)) ||
            (state->done >> s & 1 && sets(&step->finish, wanted)))
            return true;
    }
    return false;
}

/* The last step of the file that has given PART the value it has; -1: none has. */
static int who_set(const struct rig *rig, const struct rig_state *state, int part)
{
    const struct condition now = {.part = (uint8_t)part,
                                  .values = (value_set)1 << state->part[part]};
    for (int s = rig->procedure->step_count - 1; s >= 0; s--) {
        const struct step *step = &rig->procedure->steps[s];
        if ((state->begun >> s & 1 && sets(&step->start, &now)) ||
            (state->done >> s & 1 && sets(&step->finish, &now)))
            return s;
    }
    return -1;
}

static void look_at_wait(struct watch *watch, const struct rig_state *state, int s, int i)
{
    const struct condition *wanted = &watch->rig->procedure->steps[s].wait.at[i];
    if (wanted->values >> state->part[wanted->part] & 1 || watch->missed[s] >> i & 1 ||
        can_come(watch->rig, state, s, wanted) || !has_been(watch->rig, state, wanted))
        return;
    int closer = who_set(watch->rig, state, wanted->part);
    if (closer < 0) /* it began so in another begin */
        return;
    watch->missed[s] |= (uint64_t)1 << i;
    lints_add(watch->out, &(struct lint){.kind = LINT_WAIT_PASSES,
                                         .step = (uint8_t)s,
                                         .other = (uint8_t)closer,
                                         .part = wanted->part,
                                         .where = wanted->where});
}

static bool look(void *payload, const struct rig_state *state)
{
    struct watch *watch = payload;
    const struct procedure *procedure = watch->rig->procedure;
    watch->begun |= state->begun;
    if (rig_ended(watch->rig, state))
        watch->at_goal |= !rig_short_of_goal(watch->rig, state);
    for (int s = 0; s < procedure->step_count; s++)
        for (int i = 0; i < procedure->steps[s].wait.count; i++)
            if (!((state->begun | state->skipped) >> s & 1))
                look_at_wait(watch, state, s, i);
    return false;
}

static bool is_told(const struct lints *lints, enum lint_kind kind)
{
    for (int i = 0; i < lints->count; i++)
        if (lints->at[i].kind == kind)
            return true;
    return false;
}

/* Of NEVER those that no other one of them must come before; all where they go round. */
static step_set first_of(const struct rig *rig, step_set never)
{
    struct before before;
    step_set first = 0;
    before_fill(rig, &before);
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (never >> s & 1 && !((before.finished[s] | before.begun[s]) & never))
            first |= (step_set)1 << s;
    return first ? first : never;
}

static void tell_never(const struct watch *watch)
{
    const struct procedure *procedure = watch->rig->procedure;
    step_set never =
        procedure_all_steps(procedure) & ~(watch->begun | watch->rig->start.skipped);
    step_set first = first_of(watch->rig, never);
    for (int s = 0; s < procedure->step_count; s++)
        if (first >> s & 1)
            lints_add(watch->out, &(struct lint){.kind = LINT_STEP_NEVER,
                                                 .step = (uint8_t)s,
                                                 .where = procedure->steps[s].where});
    if (!watch->at_goal && !never && procedure->goal.count &&
        !is_told(watch->out, LINT_GOAL_UNWRITTEN))
        lints_add(watch->out, &(struct lint){.kind = LINT_GOAL_NEVER,
                                             .where = procedure->goal.at[0].where});
}

void lints_of_orders(const struct rig *rig, const struct vet_limits *limits,
                     struct lints *out)
{
    struct watch watch = {.rig = rig, .out = out};
    struct vet_limits watched = *limits;
    watched.each = look;
    watched.each_payload = &watch;
    struct arena *arena = arena_new();
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    vet_search(rig, &watched, false, report);
    if (!report->cut_off)
        tell_never(&watch);
    arena_free(arena);
}
