#include "vet/sweep_store.h"

#include <string.h>

void store_start(struct store *store, uint64_t groups, size_t words, uint64_t bytes,
                 struct arena *arena)
{
    *store = (struct store){.arena = arena, .words = words, .groups = groups};
    size_t group = words * sizeof(uint64_t);
    if (groups <= bytes / group) {
        store->all = arena_alloc(arena, groups * group);
        return;
    }
    /* of each: itself, its address, its number, two places in the table, and the lists
     * once more while they grow */
    store->most = bytes / (group + 2 * (sizeof(uint64_t *) + sizeof(uint64_t)) +
                           4 * sizeof(uint32_t));
    if (store->most > UINT32_MAX / 4)
        store->most = UINT32_MAX / 4;
}

static size_t slot_of(const struct store *store, uint64_t number)
{
    uint64_t hash = number * 0x9e3779b97f4a7c15u; /* 2^64 / the golden ratio */
    return (hash ^ hash >> 32) & (store->room - 1);
}

/* The slot of group NUMBER in the table, an empty one where it is not there. */
static size_t find_slot(const struct store *store, uint64_t number)
{
    size_t slot = slot_of(store, number);
    while (store->table[slot] && store->numbers[store->table[slot] - 1] != number)
        slot = (slot + 1) & (store->room - 1);
    return slot;
}

static void *grown(struct arena *arena, const void *old, size_t bytes)
{
    void *more = arena_alloc(arena, 2 * bytes);
    if (bytes && old)
        memcpy(more, old, bytes);
    return more;
}

static void grow(struct store *store)
{
    size_t old = store->room / 2;
    store->room = store->room ? 2 * store->room : 1024;
    if (!old) {
        store->made = arena_alloc(store->arena, 512 * sizeof *store->made);
        store->numbers = arena_alloc(store->arena, 512 * sizeof *store->numbers);
    } else {
        store->made = grown(store->arena, store->made, old * sizeof *store->made);
        store->numbers =
            grown(store->arena, store->numbers, old * sizeof *store->numbers);
    }
    store->table = arena_alloc(store->arena, store->room * sizeof *store->table);
    for (size_t i = 0; i < store->count; i++)
        store->table[find_slot(store, store->numbers[i])] = (uint32_t)i + 1;
}

uint64_t *store_group(struct store *store, uint64_t number)
{
    if (store->all)
        return store->all + number * store->words;
    if (2 * store->count >= store->room)
        grow(store);
    size_t slot = find_slot(store, number);
    if (store->table[slot])
        return store->made[store->table[slot] - 1];
    if (store->count >= store->most)
        return NULL;
    store->made[store->count] =
        arena_alloc(store->arena, store->words * sizeof(uint64_t));
    store->numbers[store->count] = number;
    store->table[slot] = (uint32_t)++store->count;
    return store->made[store->count - 1];
}

const uint64_t *store_find(const struct store *store, uint64_t number)
{
    if (store->all)
        return store->all + number * store->words;
    if (!store->room)
        return NULL;
    uint32_t at = store->table[find_slot(store, number)];
    return at ? store->made[at - 1] : NULL;
}

uint64_t *store_visit(struct store *store, uint64_t place, uint64_t *number)
{
    if (store->all) {
        *number = place;
        return place < store->groups ? store->all + place * store->words : NULL;
    }
    if (place >= store->count)
        return NULL;
    *number = store->numbers[place];
    return store->made[place];
}
