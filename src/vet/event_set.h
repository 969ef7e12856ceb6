/* Sets of events.  Event 2s is the start of step s, event 2s + 1 its finish. */
#ifndef VET_EVENT_SET_H
#define VET_EVENT_SET_H

#include "model/limits.h"

#include <stdbool.h>
#include <stdint.h>

enum { EVENTS_MAX = 2 * STEPS_MAX };

struct event_set {
    uint64_t word[2];
};

static inline bool events_have(const struct event_set *set, int event)
{
    return set->word[event >> 6] >> (event & 63) & 1;
}

static inline void events_add(struct event_set *set, int event)
{
    set->word[event >> 6] |= (uint64_t)1 << (event & 63);
}

static inline void events_join(struct event_set *set, const struct event_set *other)
{
    set->word[0] |= other->word[0];
    set->word[1] |= other->word[1];
}

static inline bool events_meet(const struct event_set *a, const struct event_set *b)
{
    return (a->word[0] & b->word[0]) | (a->word[1] & b->word[1]);
}

/* All of PART are in WHOLE. */
static inline bool events_within(const struct event_set *part,
                                 const struct event_set *whole)
{
    return !((part->word[0] & ~whole->word[0]) | (part->word[1] & ~whole->word[1]));
}

static inline int events_count(const struct event_set *set)
{
    return __builtin_popcountll(set->word[0]) + __builtin_popcountll(set->word[1]);
}

#endif
