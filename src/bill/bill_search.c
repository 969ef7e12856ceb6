/* Any order of events that reaches the goal: depth first, each state entered once.
 * The states met are kept in a hash table of fingerprints: two independent 64-bit sums,
 * so that taking one state for another is out of all likelihood. */
#include "bill/internal.h"

#include <string.h>

struct met {
    uint64_t first, second;
};

struct search {
    const struct play *play;
    struct arena *arena;
    struct met *table;
    size_t room, used;
    uint32_t *nodes;
    struct play_event *order;
    int depth;
};

static uint64_t mix(uint64_t sum, const void *bytes, size_t length, uint64_t prime)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < length; i++)
        sum = (sum ^ at[i]) * prime;
    return sum;
}

/* FNV-1a with its own prime and with a second odd multiplier. */
static struct met fingerprint(const struct rig_state *state, int part_count)
{
    static const uint64_t primes[2] = {0x100000001b3u, 0x9e3779b97f4a7c15u};
    uint64_t sums[2];
    for (int i = 0; i < 2; i++) {
        uint64_t sum = 0xcbf29ce484222325u;
        sum = mix(sum, &state->begun, sizeof state->begun, primes[i]);
        sum = mix(sum, &state->done, sizeof state->done, primes[i]);
        sum = mix(sum, state->part, (size_t)part_count, primes[i]);
        sum = mix(sum, state->tender, (size_t)part_count, primes[i]);
        sum = mix(sum, state->tending, (size_t)part_count, primes[i]);
        sums[i] = mix(sum, state->taker, (size_t)part_count, primes[i]);
    }
    return (struct met){sums[0] | 1, sums[1]}; /* 0 marks a free place */
}

static bool insert(struct met *table, size_t room, struct met new)
{
    for (size_t i = new.second % room;; i = (i + 1) % room) {
        if (!table[i].first) {
            table[i] = new;
            return true;
        }
        if (table[i].first == new.first && table[i].second == new.second)
            return false;
    }
}

static void grow(struct search *search)
{
    size_t room = search->room ? search->room * 2 : 512;
    struct met *table = arena_alloc(search->arena, room * sizeof *table);
    for (size_t i = 0; i < search->room; i++)
        if (search->table[i].first)
            insert(table, room, search->table[i]);
    search->table = table;
    search->room = room;
}

static bool is_new(struct search *search, const struct rig_state *state)
{
    if (search->used * 2 >= search->room)
        grow(search);
    bool fresh = insert(search->table, search->room,
                        fingerprint(state, search->play->rig->plan->part_count));
    search->used += fresh;
    return fresh;
}

static enum play_search go_on(struct search *search, const struct rig_state *state);

static enum play_search try_event(struct search *search, const struct rig_state *state,
                                  int step, bool finish)
{
    struct rig_state next = *state;
    if (finish)
        rig_end(search->play->rig, &next, step);
    else
        rig_begin(search->play->rig, &next, step);
    search->order[search->depth++] = (struct play_event){(uint8_t)step, finish};
    enum play_search result = go_on(search, &next);
    if (result != PLAY_FOUND)
        search->depth--;
    return result;
}

/* Starts by priority, so that the first way down is a good one. */
static int next_start(const struct play *play, step_set left)
{
    int best = -1;
    for (int s = 0; s < play->rig->procedure->step_count; s++)
        if (left >> s & 1 && (best < 0 || play->rest_ms[s] > play->rest_ms[best]))
            best = s;
    return best;
}

static enum play_search go_on(struct search *search, const struct rig_state *state)
{
    const struct rig *rig = search->play->rig;
    if (rig_ended(rig, state))
        return rig_short_of_goal(rig, state) ? PLAY_NO_ORDER : PLAY_FOUND;
    if (*search->nodes == 0)
        return PLAY_CUT_OFF;
    if (!is_new(search, state))
        return PLAY_NO_ORDER;
    --*search->nodes;
    enum play_search result = PLAY_NO_ORDER;
    step_set ends = rig_may_end(rig, state);
    for (int s = 0; s < rig->procedure->step_count && result == PLAY_NO_ORDER; s++)
        if (ends >> s & 1 && play_may_finish(rig, state, s))
            result = try_event(search, state, s, true);
    step_set starts = rig_ready(rig, state);
    while (starts && result == PLAY_NO_ORDER) {
        int s = next_start(search->play, starts);
        starts &= ~((step_set)1 << s);
        if (play_may_start(rig, state, s, NULL))
            result = try_event(search, state, s, false);
    }
    return result;
}

enum play_search play_search(const struct play *play, struct arena *arena,
                             uint32_t *nodes, struct play_event order[2 * STEPS_MAX],
                             int *count)
{
    struct search search = {.play = play, .arena = arena, .nodes = nodes, .order = order};
    struct rig_state state;
    rig_start(play->rig, &state);
    if (!play_begins_right(play))
        return PLAY_NO_ORDER;
    enum play_search result = go_on(&search, &state);
    *count = search.depth;
    return result;
}
