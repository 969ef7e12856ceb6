/* The steps of a random case (mix.h). */
#ifndef UNIT_MIX_STEPS_H
#define UNIT_MIX_STEPS_H

#include "mix.h"

static inline void mix_draw_mood(struct mix_draw *draw)
{
    struct mix_mood *mood = &draw->mood;
    bool *const moods[] = {&mood->joint,   &mood->places,  &mood->heavy, &mood->gear,
                           &mood->tending, &mood->handing, &mood->needs, &mood->waits,
                           &mood->after,   &mood->helm,    &mood->begins};
    for (size_t i = 0; i < sizeof moods / sizeof moods[0]; i++)
        *moods[i] = mix_once_in(draw, 3);
    mood->free_order = mix_once_in(draw, 5);
    mood->shuffled = mix_once_in(draw, 5);
    mood->round = mix_once_in(draw, 12);
    mood->gap = draw->flavour == MIX_ORDERLY && mix_once_in(draw, 8);
}

static inline void mix_draw_frame(struct mix_draw *draw)
{
    draw->role_count = 2 + mix_below(draw, MIX_ROLES - 1);
    draw->part_count = 2 + mix_below(draw, MIX_PARTS - 1);
    draw->step_count = 2 + mix_below(draw, MIX_STEPS - 1);
    draw->rule_count = mix_once_in(draw, 2) ? 0 : 1 + mix_below(draw, MIX_RULES);
    for (int p = 0; p < draw->part_count; p++) {
        draw->values[p] = 2 + mix_below(draw, MIX_VALUES - 1);
        draw->begin[p] = 1;
        if (draw->mood.begins && mix_once_in(draw, 2))
            draw->begin[p] = mix_some_values(draw, p);
        bool held = draw->mood.tending && mix_once_in(draw, 3);
        draw->held_by[p] = held ? mix_below(draw, draw->role_count) : -1;
        draw->fast_at_begin[p] =
            mix_once_in(draw, 2) ? mix_below(draw, draw->values[p]) : -1;
    }
    for (int r = 0; r < draw->role_count; r++)
        draw->free[r] = draw->mood.free_order && mix_once_in(draw, 2);
}

/* What both flavours draw alike: who does it, where, with what. */
static inline void mix_draw_step(struct mix_draw *draw, struct mix_step *step)
{
    const struct mix_mood *mood = &draw->mood;
    *step = (struct mix_step){.role = mix_below(draw, draw->role_count),
                              .other = -1,
                              .tends = -1,
                              .releases = -1,
                              .takes = -1,
                              .gives = -1,
                              .fast_part = -1};
    int other = mix_below(draw, draw->role_count);
    if (mood->joint && other != step->role && mix_once_in(draw, 3))
        step->other = other;
    step->there = mood->places && mix_once_in(draw, 3);
    step->two_hands = mood->heavy && mix_once_in(draw, 2);
    step->pilot = mood->helm && mix_once_in(draw, 4);
    step->winch = mood->gear && mix_once_in(draw, 2);
    for (int p = 0; p < draw->part_count; p++)
        step->start[p] = step->finish[p] = -1;
    if (mood->needs && mix_once_in(draw, 3)) {
        int p = mix_below(draw, draw->part_count);
        step->need[p] = mix_some_values(draw, p);
    }
    if (mix_once_in(draw, 2)) {
        step->fast_part = mix_below(draw, draw->part_count);
        step->fast_values = mix_some_values(draw, step->fast_part);
    }
}

/* Steps A and B, of different roles, each wait for what only the other does. */
static inline void mix_draw_round(struct mix_draw *draw, int a, int b)
{
    int p = 0, q = 1;
    for (int s = 0; s < draw->step_count; s++) {
        draw->steps[s].start[p] = draw->steps[s].start[q] = -1;
        draw->steps[s].finish[p] = draw->steps[s].finish[q] = -1;
    }
    draw->begin[p] = draw->begin[q] = 1;
    draw->steps[a].finish[p] = draw->steps[b].finish[q] = 1;
    draw->steps[a].wait[q] = draw->steps[b].wait[p] = 2;
}

/* GIVER hands LINE over to TAKER; somebody may have it before. */
static inline void mix_draw_handing(struct mix_draw *draw, int giver, int taker)
{
    int line = mix_below(draw, draw->part_count);
    struct mix_step *from = &draw->steps[giver], *to = &draw->steps[taker];
    from->gives = line;
    to->takes = line;
    if (from->releases == line)
        from->releases = -1;
    if (to->tends == line)
        to->tends = -1;
    if (!mix_once_in(draw, 4))
        draw->held_by[line] = from->role;
}

/* Two steps that no role shares; false where there are none. */
static inline bool mix_two_apart(struct mix_draw *draw, int *first, int *second)
{
    int offset = mix_below(draw, draw->step_count);
    for (int i = 0; i < draw->step_count; i++)
        for (int j = 0; j < draw->step_count; j++) {
            *first = (i + offset) % draw->step_count;
            *second = (j + offset) % draw->step_count;
            const struct mix_step *a = &draw->steps[*first], *b = &draw->steps[*second];
            if (*first < *second && !mix_takes_part(a, b->role) &&
                (b->other < 0 || !mix_takes_part(a, b->other)))
                return true;
        }
    return false;
}

static inline void mix_wild_lines(struct mix_draw *draw, struct mix_step *step)
{
    int *const keys[] = {&step->tends, &step->releases, &step->takes, &step->gives};
    if (draw->mood.tending && mix_once_in(draw, 2))
        *keys[mix_below(draw, 2)] = mix_below(draw, draw->part_count);
    if (draw->mood.handing && mix_once_in(draw, 3))
        *keys[2 + mix_below(draw, 2)] = mix_below(draw, draw->part_count);
    if (step->takes == step->tends)
        step->takes = -1;
}

static inline void mix_wild_step(struct mix_draw *draw, int s, const int rank[MIX_STEPS])
{
    struct mix_step *step = &draw->steps[s];
    mix_draw_step(draw, step);
    for (int p = 0; p < draw->part_count; p++) {
        if (mix_once_in(draw, 5))
            step->start[p] = mix_below(draw, draw->values[p]);
        if (mix_once_in(draw, 4))
            step->finish[p] = mix_below(draw, draw->values[p]);
    }
    if (draw->mood.waits && mix_once_in(draw, 3)) {
        int p = mix_below(draw, draw->part_count);
        step->wait[p] = mix_some_values(draw, p);
    }
    for (int t = 0; draw->mood.after && t < draw->step_count; t++)
        if (rank[t] < rank[s] && mix_once_in(draw, 5))
            *(mix_once_in(draw, 3) ? &step->started : &step->after) |= 1u << t;
    mix_wild_lines(draw, step);
}

static inline void mix_wild_steps(struct mix_draw *draw)
{
    int rank[MIX_STEPS];
    for (int s = 0; s < MIX_STEPS; s++)
        rank[s] = s;
    for (int s = draw->step_count - 1; draw->mood.shuffled && s > 0; s--) {
        int t = mix_below(draw, s + 1), old = rank[s];
        rank[s] = rank[t];
        rank[t] = old;
    }
    for (int s = 0; s < draw->step_count; s++)
        mix_wild_step(draw, s, rank);
}

/* The writers of PART, down the file: each is made to come after the one before, by the
 * card, an arrow or a wait for its value; values go up, so none comes twice. */
static inline void mix_orderly_writers(struct mix_draw *draw, int part)
{
    int value = 0, last = -1, most = draw->values[part] - 1;
    while (value < most && draw->begin[part] >> (value + 1))
        value++; /* beyond all that begin allows */
    for (int s = 0; s < draw->step_count && value < most; s++) {
        struct mix_step *step = &draw->steps[s];
        if (!mix_once_in(draw, 3))
            continue;
        if (last >= 0 && !(draw->mood.gap && mix_once_in(draw, 2)) &&
            (draw->steps[last].role != step->role || draw->free[step->role])) {
            unsigned reached = ~0u << value & ((1u << draw->values[part]) - 1);
            if (mix_once_in(draw, 2))
                step->after |= 1u << last;
            else
                step->wait[part] = reached;
        }
        if (value + 2 <= most && mix_once_in(draw, 2))
            step->start[part] = ++value;
        step->finish[part] = ++value;
        last = s;
    }
}

/* STEP waits until PART has come as far as somebody before it brings it: from then on it
 * holds. */
static inline void mix_orderly_wait(struct mix_draw *draw, int s, int part)
{
    int reached = -1;
    for (int t = 0; t < s; t++)
        if (draw->steps[t].finish[part] >= 0 && (reached < 0 || mix_once_in(draw, 2)))
            reached = draw->steps[t].finish[part];
    if (reached > 0 && draw->steps[s].start[part] < 0 && draw->steps[s].finish[part] < 0)
        draw->steps[s].wait[part] = ~0u << reached & ((1u << draw->values[part]) - 1);
}

/* A role takes a line in hand and lets go of it further down. */
static inline void mix_orderly_tending(struct mix_draw *draw)
{
    for (int line = 0; line < draw->part_count; line++) {
        int holder = draw->held_by[line], from = -1;
        for (int s = 0; s < draw->step_count; s++) {
            struct mix_step *step = &draw->steps[s];
            if (holder < 0 && step->tends < 0 && mix_once_in(draw, 3)) {
                step->tends = line;
                holder = step->role;
                from = s;
            } else if (holder == step->role && s > from && step->releases < 0 &&
                       mix_once_in(draw, 2)) {
                step->releases = line;
                break;
            }
        }
    }
}

static inline void mix_orderly_steps(struct mix_draw *draw)
{
    for (int s = 0; s < draw->step_count; s++) {
        mix_draw_step(draw, &draw->steps[s]);
        for (int t = 0; draw->mood.after && t < s; t++)
            if (mix_once_in(draw, 6))
                *(mix_once_in(draw, 3) ? &draw->steps[s].started
                                       : &draw->steps[s].after) |= 1u << t;
    }
    for (int p = 0; p < draw->part_count; p++)
        mix_orderly_writers(draw, p);
    for (int s = 0; s < draw->step_count; s++)
        for (int p = 0; draw->mood.waits && p < draw->part_count; p++)
            if (mix_once_in(draw, 3))
                mix_orderly_wait(draw, s, p);
    if (draw->mood.tending)
        mix_orderly_tending(draw);
}

static inline void mix_draw_steps(struct mix_draw *draw)
{
    int first, second;
    if (draw->flavour == MIX_WILD)
        mix_wild_steps(draw);
    else
        mix_orderly_steps(draw);
    /* the taker stands before the giver in the file, so that nothing makes it wait */
    if (draw->mood.handing && mix_two_apart(draw, &first, &second))
        mix_draw_handing(draw, second, first);
    if (draw->mood.round && mix_two_apart(draw, &first, &second))
        mix_draw_round(draw, first, second);
}

#endif
