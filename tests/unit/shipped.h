/* The shipped procedures and the demo crews, loaded for tests. */
#ifndef UNIT_SHIPPED_H
#define UNIT_SHIPPED_H

#include "bill/bill.h"
#include "load/library.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SHIPPED_COUNT = 69 }; /* procedures */

static inline const struct source *shipped_source(struct arena *arena, const char *path)
{
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s", path);
    static char bytes[1 << 18];
    size_t length = fread(bytes, 1, sizeof bytes, file);
    fclose(file);
    return source_new(arena, path, bytes, length);
}

static inline void shipped_folder(struct library *library, struct arena *arena,
                                  const char *folder, bool is_rig)
{
    DIR *listing = opendir(folder);
    ck_assert_ptr_nonnull(listing);
    for (struct dirent *entry; (entry = readdir(listing));)
        if (strstr(entry->d_name, ".yaml"))
            library_add(library,
                        shipped_source(
                            arena, arena_printf(arena, "%s/%s", folder, entry->d_name)),
                        is_rig);
    closedir(listing);
}

static inline struct library *shipped_library(struct arena *arena)
{
    struct library *library = arena_alloc(arena, sizeof *library);
    shipped_folder(library, arena, FOREGUY_SOURCE_DIR "/procedures", false);
    shipped_folder(library, arena, FOREGUY_SOURCE_DIR "/procedures/rig", true);
    library_sort(library);
    return library;
}

/* Loads a procedure; the test fails where anything is said about its files. */
static inline const struct procedure *shipped_load(const struct library *library, int i,
                                                   enum board board,
                                                   const char *const *options, int count,
                                                   struct arena *arena)
{
    struct diags *diags = diags_new(arena);
    struct load_choice choice = {board, options, count};
    const struct procedure *procedure =
        library_load(library, library->procedures[i], &choice, arena, diags);
    struct text messages = {0};
    diags_write(diags, &messages);
    ck_assert_msg(procedure && !diags_count(diags), "%s",
                  messages.at ? messages.at : "not loaded");
    text_free(&messages);
    return procedure;
}

static inline const struct procedure *shipped_named(const struct library *library,
                                                    const char *name, enum board board,
                                                    struct arena *arena)
{
    int i = library_find(library, name);
    ck_assert_int_ge(i, 0);
    return shipped_load(library, i, board, NULL, 0, arena);
}

/* A crew of demo/; with HANDS exactly those are aboard (NULL: as the file says). */
static inline const struct crew *shipped_crew(const char *name, const char *hands,
                                              struct arena *arena)
{
    struct diags *diags = diags_new(arena);
    const struct crew *crew = load_crew(
        shipped_source(arena,
                       arena_printf(arena, FOREGUY_SOURCE_DIR "/demo/%s.yaml", name)),
        arena, diags);
    ck_assert(crew != NULL && !diags_count(diags));
    if (!hands)
        return crew;
    struct crew *copy = arena_alloc(arena, sizeof *copy);
    struct hand *list = arena_alloc(arena, crew->hand_count * sizeof *list);
    *copy = *crew;
    copy->hands = list;
    for (int h = 0; h < crew->hand_count; h++) {
        list[h] = crew->hands[h];
        list[h].aboard = strstr(hands, list[h].name) != NULL;
    }
    return copy;
}

static inline unsigned shipped_random(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u; /* an ordinary linear congruence */
    return *seed >> 16;
}

#endif
