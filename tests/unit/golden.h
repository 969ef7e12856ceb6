/* Texts compared with files of tests/golden.  UPDATE=1 in the environment rewrites the
 * files: read them before they are committed. */
#ifndef UNIT_GOLDEN_H
#define UNIT_GOLDEN_H

#include "shipped.h"

static inline void golden_rewrite(const char *path, const struct text *is)
{
    FILE *file = fopen(path, "w");
    ck_assert_msg(file && fwrite(is->at, 1, is->length, file) == is->length,
                  "%s cannot be written", path);
    ck_assert_int_eq(fclose(file), 0);
}

/* Line by line, so that the first that differs is told. */
static inline void golden_compare(const char *path, const char *is, const char *should)
{
    for (int line = 1; *is || *should; line++) {
        int length = (int)strcspn(is, "\n"), expected = (int)strcspn(should, "\n");
        ck_assert_msg(length == expected && memcmp(is, should, (size_t)length) == 0,
                      "%s:%d: is not\n%.*s\nbut\n%.*s", path, line, expected, should,
                      length, is);
        is += length + (is[length] == '\n');
        should += expected + (should[expected] == '\n');
    }
}

/* IS against tests/golden/NAME. */
static inline void golden_check(const char *name, const struct text *is)
{
    struct arena *arena = arena_new();
    const char *path = arena_printf(arena, FOREGUY_SOURCE_DIR "/tests/golden/%s", name);
    if (getenv("UPDATE"))
        golden_rewrite(path, is);
    golden_compare(path, is->at, shipped_source(arena, path)->at);
    arena_free(arena);
}

#endif
