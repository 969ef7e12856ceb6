/* Who wears what in a random case (mix.h), which steps are left out, and where it begins;
 * mix_new makes the whole case. */
#ifndef UNIT_MIX_CREW_H
#define UNIT_MIX_CREW_H

#include "made_up.h"
#include "mix_steps.h"
#include "mix_write.h"

#include "vet/vet.h"

/* What is drawn is always possible; Check is not asked, not only tests draw cases. */
static inline void mix_must(bool holds)
{
    if (!holds)
        abort();
}

/* Fewer hands than roles; false where a joint step needs two hands of one. */
static inline bool mix_share(struct mix_draw *draw, struct mix *mix, bool pilot)
{
    int8_t lane_of_role[ROLES_MAX];
    int lanes = 1 + mix_below(draw, draw->role_count);
    memset(lane_of_role, -1, sizeof lane_of_role);
    for (int r = 0; r < draw->role_count; r++) /* no lane is left empty */
        lane_of_role[r] = (int8_t)(r < lanes ? r : mix_below(draw, lanes));
    return rig_make(&mix->rig, mix->procedure, lane_of_role, lanes, pilot);
}

/* One card of all that LANE does, in the file's order or in any. */
static inline void mix_merge(struct mix_draw *draw, struct mix *mix, int lane)
{
    uint8_t steps[STEPS_MAX];
    int count = 0;
    for (int s = 0; s < mix->procedure->step_count; s++)
        if (mix->rig.lanes_of_step[s] >> lane & 1)
            steps[count++] = (uint8_t)s;
    for (int i = count - 1, any = mix_once_in(draw, 3); any && i > 0; i--) {
        int j = mix_below(draw, i + 1);
        uint8_t old = steps[i];
        steps[i] = steps[j];
        steps[j] = old;
    }
    rig_set_card(&mix->rig, lane, steps, count);
    text_printf(&mix->crew, "# lane %d has one card:", lane);
    for (int i = 0; i < count; i++)
        text_printf(&mix->crew, " s%d", steps[i]);
    text_add(&mix->crew, "\n");
}

/* Some moves from the begin of RIG; now and then a step is marked that was not ready. */
static inline void mix_walk(struct mix_draw *draw, struct mix *mix, const struct rig *rig,
                            struct rig_state *state)
{
    rig_start(rig, state);
    for (int moves = mix_below(draw, 2 * draw->step_count); moves > 0; moves--) {
        int s = mix_below(draw, draw->step_count);
        bool mark = mix_once_in(draw, 8);
        if (mark ? !(state->done >> s & 1) : rig_may_end(rig, state) >> s & 1)
            rig_end(rig, state, s);
        else if (rig_ready(rig, state) >> s & 1)
            rig_begin(rig, state, s);
    }
    for (int s = 0; s < draw->step_count; s++)
        if (state->begun >> s & 1)
            text_printf(&mix->crew, "# begins with s%d %s\n", s,
                        state->done >> s & 1 ? "done" : "begun");
}

static inline void mix_begin_midway(struct mix_draw *draw, struct mix *mix, bool pilot)
{
    struct rig roles;
    struct rig_state state;
    if (!vet_rig_of_roles(mix->procedure, pilot, &roles))
        return;
    mix_walk(draw, mix, &roles, &state);
    rig_start_from(&mix->rig, &state);
    mix->one_begin = !mix_once_in(draw, 4);
    for (int p = 0; p < draw->part_count; p++)
        text_printf(&mix->crew, "# begins with p%d %c, tended by lane %d, taken by %d\n",
                    p, 'a' + mix->rig.start.part[p], mix->rig.start.tender[p],
                    mix->rig.start.taker[p]);
}

static inline void mix_skip(struct mix_draw *draw, struct mix *mix)
{
    int s = mix_below(draw, draw->step_count);
    if (mix->rig.start.begun >> s & 1)
        return;
    rig_skip(&mix->rig.start, s);
    text_printf(&mix->crew, "# s%d is left out\n", s);
}

static inline void mix_draw_crew(struct mix_draw *draw, struct mix *mix)
{
    bool pilot = mix_once_in(draw, 2), shared = mix_once_in(draw, 3);
    if (!shared || !mix_share(draw, mix, pilot))
        mix_must(vet_rig_of_roles(mix->procedure, pilot, &mix->rig));
    text_printf(&mix->crew, "# %s steers; lanes of the roles:", pilot ? "a pilot" : "r0");
    for (int r = 0; r < draw->role_count; r++)
        text_printf(&mix->crew, " %d", mix->rig.lane_of_role[r]);
    text_add(&mix->crew, "\n");
    bool merged = mix_once_in(draw, 2);
    for (int lane = 0; shared && merged && lane < mix->rig.lane_count; lane++)
        if (!mix_once_in(draw, 4))
            mix_merge(draw, mix, lane);
    mix->one_begin = mix_once_in(draw, 4);
    if (mix_once_in(draw, 8))
        mix_begin_midway(draw, mix, pilot);
    if (mix_once_in(draw, 8))
        mix_skip(draw, mix);
    text_add(&mix->crew, mix->one_begin ? "# one begin\n" : "");
}

/* The case of SEED.  Its procedure always loads; a wait that can never hold is warned of
 * and left in. */
static inline void mix_new(struct mix *out, enum mix_flavour flavour, unsigned seed)
{
    struct mix_draw draw = {.seed = seed * 2654435761u + 12345u, .flavour = flavour};
    *out = (struct mix){.arena = arena_new()};
    mix_draw_mood(&draw);
    mix_draw_frame(&draw);
    mix_draw_steps(&draw);
    mix_write_rig(&draw, &out->rig_text);
    mix_write_procedure(&draw, &out->steps);
    out->procedure = made_up_read(&out->rig_text, &out->steps, out->arena);
    mix_must(out->procedure != NULL);
    mix_draw_crew(&draw, out);
}

static inline void mix_free(struct mix *mix)
{
    text_free(&mix->rig_text);
    text_free(&mix->steps);
    text_free(&mix->crew);
    arena_free(mix->arena);
}

#endif
