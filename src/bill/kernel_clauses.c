/* The store of clauses: stated ones and learned ones. */
#include "bill/kernel_parts.h"

#include <stdlib.h>
#include <string.h>

static const float ACTIVITY_MAX = 1e20F;

static size_t size_of_clause(int32_t count)
{
    return sizeof(struct kernel_clause) + (size_t)count * sizeof(struct kernel_literal);
}

enum { BUCKETS_MAX = 128 };

/* Buckets for the values the side can still rise to, at the root. */
static void make_buckets(struct kernel *kernel, int32_t side)
{
    struct kernel_watches *watches = &kernel->watches[side];
    watches->lowest = kernel->root[side];
    int32_t span = -kernel->root[side ^ 1] - watches->lowest;
    assert(span >= 0);
    while (span >> watches->shift >= BUCKETS_MAX)
        watches->shift++;
    watches->buckets = (span >> watches->shift) + 1;
    watches->bucket =
        arena_alloc(kernel->arena, (size_t)watches->buckets * sizeof *watches->bucket);
}

void kernel_watch_literal(struct kernel *kernel, int32_t clause,
                          struct kernel_literal literal, struct kernel_literal blocker)
{
    struct kernel_watches *watches = &kernel->watches[literal.side ^ 1];
    int32_t trigger = 1 - literal.bound;
    if (!watches->buckets)
        make_buckets(kernel, literal.side ^ 1);
    assert(trigger > watches->lowest);
    int32_t b = (trigger - watches->lowest - 1) >> watches->shift;
    b = b < watches->buckets ? b : watches->buckets - 1; /* a literal true for good */
    struct kernel_bucket *bucket = &watches->bucket[b];
    bucket->item = kernel_more_room(kernel, bucket->item, bucket->count, &bucket->room,
                                    sizeof *bucket->item);
    bucket->item[bucket->count++] = (struct kernel_watch){trigger, clause, blocker};
}

static void watch_clause(struct kernel *kernel, int32_t clause)
{
    const struct kernel_literal *literal = kernel_clause_at(kernel, clause)->literal;
    kernel_watch_literal(kernel, clause, literal[0], literal[1]);
    kernel_watch_literal(kernel, clause, literal[1], literal[0]);
}

int32_t kernel_store_clause(struct kernel *kernel, const struct kernel_literal *literals,
                            int32_t count, int32_t levels)
{
    size_t size = size_of_clause(count);
    while ((size_t)(kernel->store_room - kernel->store_count) < size)
        kernel->store = kernel_more_room(kernel, kernel->store, kernel->store_room,
                                         &kernel->store_room, 1);
    int32_t clause = kernel->store_count;
    kernel->store_count += (int32_t)size;
    struct kernel_clause *new = kernel_clause_at(kernel, clause);
    *new = (struct kernel_clause){count, levels, kernel->clause_step};
    memcpy(new->literal, literals, (size_t)count * sizeof *literals);
    kernel->clauses = kernel_more_room(kernel, kernel->clauses, kernel->clause_count,
                                       &kernel->clause_room, sizeof *kernel->clauses);
    kernel->clauses[kernel->clause_count++] = clause;
    kernel->learned_count += levels > 0;
    watch_clause(kernel, clause);
    return clause;
}

void kernel_bump_clause(struct kernel *kernel, int32_t clause)
{
    struct kernel_clause *bumped = kernel_clause_at(kernel, clause);
    if (bumped->levels == 0)
        return;
    bumped->activity += kernel->clause_step;
    if (bumped->activity > ACTIVITY_MAX) {
        for (int32_t i = 0; i < kernel->clause_count; i++)
            kernel_clause_at(kernel, kernel->clauses[i])->activity /= ACTIVITY_MAX;
        kernel->clause_step /= ACTIVITY_MAX;
    }
}

/* How worth keeping a clause is: few levels first, then activity. */
struct worth {
    int32_t clause, levels;
    float activity;
};

static int by_worth(const void *a, const void *b)
{
    const struct worth *one = a, *two = b;
    if (one->levels != two->levels)
        return one->levels < two->levels ? -1 : 1;
    if (one->activity != two->activity)
        return one->activity > two->activity ? -1 : 1;
    return one->clause < two->clause ? -1 : 1;
}

/* Marks the worse half of the learned clauses; those of two levels always stay. */
static void mark_worse_half(struct kernel *kernel)
{
    struct arena *arena = arena_new();
    struct worth *worth =
        arena_alloc(arena, (size_t)kernel->clause_count * sizeof *worth);
    int32_t count = 0;
    for (int32_t i = 0; i < kernel->clause_count; i++) {
        int32_t clause = kernel->clauses[i];
        const struct kernel_clause *at = kernel_clause_at(kernel, clause);
        if (at->levels > 2)
            worth[count++] = (struct worth){clause, at->levels, at->activity};
    }
    qsort(worth, (size_t)count, sizeof *worth, by_worth);
    for (int32_t i = count / 2; i < count; i++)
        kernel_clause_at(kernel, worth[i].clause)->count = 0;
    arena_free(arena);
}

/* Drops literals that are false for good; true where the clause is true for good. */
static bool trim(const struct kernel *kernel, struct kernel_clause *clause)
{
    int32_t kept = 0;
    for (int32_t i = 0; i < clause->count; i++) {
        if (kernel_is_true(kernel, clause->literal[i]))
            return true;
        if (!kernel_is_false(kernel, clause->literal[i]))
            clause->literal[kept++] = clause->literal[i];
    }
    clause->count = kept;
    assert(kept >= 2); /* everything at the root has been propagated */
    return false;
}

/* Moves what is left together. */
static void close_up(struct kernel *kernel)
{
    int32_t kept = 0, end = 0;
    kernel->learned_count = 0;
    for (int32_t i = 0; i < kernel->clause_count; i++) {
        struct kernel_clause *clause = kernel_clause_at(kernel, kernel->clauses[i]);
        if (clause->count == 0 || trim(kernel, clause))
            continue;
        size_t size = size_of_clause(clause->count);
        kernel->learned_count += clause->levels > 0;
        memmove(kernel->store + end, clause, size);
        kernel->clauses[kept++] = end;
        end += (int32_t)size;
    }
    kernel->clause_count = kept;
    kernel->store_count = end;
}

void kernel_clear_out(struct kernel *kernel)
{
    assert(kernel->levels == 0 && kernel->trail_count == 0);
    if (kernel->learned_count < kernel->learned_max)
        return;
    mark_worse_half(kernel);
    close_up(kernel);
    for (int32_t side = 0; side < 2 * kernel->variables; side++)
        for (int32_t b = 0; b < kernel->watches[side].buckets; b++)
            kernel->watches[side].bucket[b].count = 0;
    for (int32_t i = 0; i < kernel->clause_count; i++)
        watch_clause(kernel, kernel->clauses[i]);
    kernel->learned_max += kernel->learned_max / 5 + 1;
}
