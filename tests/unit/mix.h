/* Random procedures with their crews, of every kind that vet's engines must agree on,
 * drawn from a seed: the same seed is the same case on every machine.
 *
 * A wild one holds anything the format can say.  An orderly one is made as real cards
 * are: whoever writes a part comes in order, a wait that holds goes on holding, every
 * arrow points down the file; then a rule, a need or a goal may still be broken.
 * mix_steps.h draws the steps, mix_write.h writes them as YAML, mix_crew.h says who wears
 * what and where it begins. */
#ifndef UNIT_MIX_H
#define UNIT_MIX_H

#include "rig/rig.h"
#include "shipped.h"

enum { MIX_ROLES = 4, MIX_PARTS = 4, MIX_STEPS = 8, MIX_VALUES = 4, MIX_RULES = 3 };

enum mix_flavour { MIX_WILD, MIX_ORDERLY };

/* What a case may hold; each is drawn for itself, so that simple cases are many. */
struct mix_mood {
    bool joint, free_order, places, heavy, gear, tending, handing, needs, waits, after,
        shuffled, round, helm, begins,
        gap; /* of an orderly one: here and there the order is forgotten */
};

struct mix_step {
    int role, other; /* other: of a joint step; -1 */
    bool there, two_hands, pilot, winch;
    unsigned after, started;                   /* bits of steps */
    int start[MIX_PARTS], finish[MIX_PARTS];   /* value; -1: not set */
    unsigned wait[MIX_PARTS], need[MIX_PARTS]; /* bits of values; 0: none */
    int tends, releases, takes, gives;         /* a line; -1: none */
    int fast_part;                             /* of a none-when; -1: none */
    unsigned fast_values;
};

/* A case being drawn. */
struct mix_draw {
    unsigned seed;
    enum mix_flavour flavour;
    struct mix_mood mood;
    int role_count, part_count, step_count, rule_count;
    int values[MIX_PARTS]; /* how many */
    unsigned begin[MIX_PARTS];
    int held_by[MIX_PARTS];       /* role that has the line at the begin; -1 */
    int fast_at_begin[MIX_PARTS]; /* a value at which it then takes no hand; -1 */
    bool free[MIX_ROLES];
    struct mix_step steps[MIX_STEPS];
};

/* A case: the texts are kept so that it can be shown. */
struct mix {
    struct arena *arena;
    struct text rig_text, steps, crew;
    const struct procedure *procedure;
    struct rig rig;
    bool one_begin;
};

static inline int mix_below(struct mix_draw *draw, int count)
{
    return (int)(shipped_random(&draw->seed) % (unsigned)count);
}

/* True once in COUNT times. */
static inline bool mix_once_in(struct mix_draw *draw, int count)
{
    return mix_below(draw, count) == 0;
}

/* A set of values of PART that is neither empty nor all. */
static inline unsigned mix_some_values(struct mix_draw *draw, int part)
{
    return 1u + (unsigned)mix_below(draw, (1 << draw->values[part]) - 2);
}

static inline bool mix_takes_part(const struct mix_step *step, int role)
{
    return step->role == role || step->other == role;
}

#endif
