/* What the tests of load/ share: files of the source tree as sources, and loading one of
 * tests/bad the way its name says (NAME.rig.yaml, NAME.crew.yaml, NAME.boat.yaml, a polar
 * as NAME.csv, else a procedure).  A procedure's first line may set an option:
 * `# options: mark=yes`. */
#ifndef UNIT_LOAD_WORLD_H
#define UNIT_LOAD_WORLD_H

#include "base/text.h"
#include "load/library.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RIG_FILE   FOREGUY_SOURCE_DIR "/tests/unit/symmetric.yaml"
#define JIBE_FILE  FOREGUY_SOURCE_DIR "/procedures/dip-pole-jibe.yaml"
#define BAD_FOLDER FOREGUY_SOURCE_DIR "/tests/bad/"

/* The bytes of a file, as text. */
static inline struct text world_read(const char *path)
{
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s cannot be opened", path);
    struct text text = {0};
    text_add(&text, "");
    char bytes[4096];
    for (size_t got; (got = fread(bytes, 1, sizeof bytes, file)) > 0;)
        text_add_bytes(&text, bytes, got);
    fclose(file);
    return text;
}

static inline const struct source *world_source(struct arena *arena, const char *path)
{
    struct text text = world_read(path);
    const char *slash = strrchr(path, '/');
    const struct source *source =
        source_new(arena, slash ? slash + 1 : path, text.at, text.length);
    text_free(&text);
    return source;
}

static inline bool world_ends_with(const char *name, const char *end)
{
    size_t length = strlen(name), tail = strlen(end);
    return length >= tail && strcmp(name + length - tail, end) == 0;
}

static inline const void *world_load_procedure(const struct source *source,
                                               struct arena *arena, struct diags *diags)
{
    struct library library = {.rig_count = 0};
    library_add(&library, world_source(arena, RIG_FILE), true);
    const char *lead = "# options: ";
    const char *option = NULL;
    if (strncmp(source->at, lead, strlen(lead)) == 0)
        option = arena_copy(arena, source->at + strlen(lead),
                            strcspn(source->at, "\n") - strlen(lead));
    struct load_choice choice = {BOARD_STARBOARD, &option, option ? 1 : 0};
    return library_load(&library, source, &choice, arena, diags);
}

/* A boat is read, and her stations held against the rig. */
static inline const void *world_load_boat(const struct source *source,
                                          struct arena *arena, struct diags *diags)
{
    struct library library = {.rig_count = 0};
    library_add(&library, world_source(arena, RIG_FILE), true);
    const struct boat *boat = load_boat(source, arena, diags);
    return boat && library_take_boat(&library, boat, arena, diags) ? boat : NULL;
}

/* Loads SOURCE as the kind its name says; NULL where it is refused. */
static inline const void *world_load(const struct source *source, struct arena *arena,
                                     struct diags *diags)
{
    if (world_ends_with(source->name, ".rig.yaml"))
        return load_rig(source, BOARD_STARBOARD, arena, diags);
    if (world_ends_with(source->name, ".crew.yaml"))
        return load_crew(source, arena, diags);
    if (world_ends_with(source->name, ".boat.yaml"))
        return world_load_boat(source, arena, diags);
    if (world_ends_with(source->name, ".csv"))
        return load_polar(source, arena, diags);
    return world_load_procedure(source, arena, diags);
}

#endif
