/* Memory that is given back all at once: one arena for each set of loaded files.
 * The arena owns everything it hands out; nothing is freed alone.  Running out of
 * memory is not an error callers handle: the arena says so and exits with status 2. */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stddef.h>

struct arena;

/* A new empty arena; give it back with arena_free. */
struct arena *arena_new(void);

/* Frees the arena and everything that came from it.  NULL is allowed. */
void arena_free(struct arena *arena);

/* SIZE bytes set to zero, aligned for any type. */
void *arena_alloc(struct arena *arena, size_t size);

/* LENGTH bytes of TEXT copied, with a NUL behind them. */
char *arena_copy(struct arena *arena, const char *text, size_t length);

/* Text formatted as by printf. */
char *arena_printf(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
