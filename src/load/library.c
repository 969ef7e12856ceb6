#include "load/library.h"

#include "forces/loaded.h"
#include "load/nearest.h"

#include <stdlib.h>
#include <string.h>

bool library_add(struct library *library, const struct source *source, bool is_rig)
{
    int *count = is_rig ? &library->rig_count : &library->procedure_count;
    if (*count == LIBRARY_MAX)
        return false;
    (is_rig ? library->rigs : library->procedures)[(*count)++] = source;
    return true;
}

static const char *base_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static size_t stem_length(const char *base)
{
    size_t length = strlen(base);
    return length > 5 && strcmp(base + length - 5, ".yaml") == 0 ? length - 5 : length;
}

static int compare(const void *a, const void *b)
{
    const struct source *const *first = a, *const *second = b;
    return strcmp(base_of((*first)->name), base_of((*second)->name));
}

void library_sort(struct library *library)
{
    qsort(library->procedures, (size_t)library->procedure_count,
          sizeof library->procedures[0], compare);
    qsort(library->rigs, (size_t)library->rig_count, sizeof library->rigs[0], compare);
}

static bool is_named(const struct source *source, const char *name)
{
    const char *base = base_of(source->name);
    return stem_length(base) == strlen(name) && memcmp(base, name, strlen(name)) == 0;
}

int library_find(const struct library *library, const char *name)
{
    for (int i = 0; i < library->procedure_count; i++)
        if (is_named(library->procedures[i], name))
            return i;
    return -1;
}

const char *library_name(const struct source *source, struct arena *arena)
{
    const char *base = base_of(source->name);
    return arena_copy(arena, base, stem_length(base));
}

const char *library_advice(const struct library *library, const char *name,
                           struct arena *arena)
{
    struct choices choices = {0};
    for (int i = 0; i < library->procedure_count; i++)
        choices_add(&choices, library_name(library->procedures[i], arena));
    return choices_advice(&choices, name, "choose from",
                          "no procedure files were found; set FOREGUY_DATA", arena);
}

static const struct source *find_rig(const struct library *library, const char *name)
{
    for (int i = 0; i < library->rig_count; i++)
        if (is_named(library->rigs[i], name))
            return library->rigs[i];
    return NULL;
}

const struct procedure *library_load(const struct library *library,
                                     const struct source *source,
                                     const struct load_choice *choice,
                                     struct arena *arena, struct diags *diags)
{
    const char *rig_name = load_rig_name(source, arena, diags);
    const struct source *rig_source = rig_name ? find_rig(library, rig_name) : NULL;
    const struct rig_plan *plan = NULL;
    if (rig_source)
        plan = load_rig(rig_source, choice->board, arena, diags);
    else if (rig_name)
        diag_add(diags, MESSAGE_RIG_NOT_FOUND, (struct span){.source = source}, rig_name);
    if (plan)
        plan = load_stations_of_boat(plan, library->boat, arena);
    const struct procedure *procedure =
        load_procedure(source, plan, choice, arena, diags);
    if (diags_errors(diags))
        return NULL;
    return loaded_procedure(procedure, library->boat, &library->weather, arena);
}
