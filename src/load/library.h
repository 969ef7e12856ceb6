/* The procedure and rig files at hand, as texts in memory: found and read by command/,
 * loaded from here for any board and options without touching a file again.  A file is
 * known by its name without folder and ".yaml". */
#ifndef LOAD_LIBRARY_H
#define LOAD_LIBRARY_H

#include "forces/weather.h"
#include "load/load.h"

enum { LIBRARY_MAX = 256 };

struct library {
    const struct source *procedures[LIBRARY_MAX];
    const struct source *rigs[LIBRARY_MAX];
    int procedure_count, rig_count;
    const struct boat *boat; /* her stations go for those of the rigs, and her lines carry
                                loads; NULL: none */
    struct weather weather;  /* that loads her lines, where it is said */
};

/* Adds a source; false when the library is full. */
bool library_add(struct library *library, const struct source *source, bool is_rig);

/* Sorts both lists by name. */
void library_sort(struct library *library);

/* The index of the procedure of that name, -1 where there is none. */
int library_find(const struct library *library, const char *name);

/* "did you mean ...?" for a name that is not there, in the arena. */
const char *library_advice(const struct library *library, const char *name,
                           struct arena *arena);

/* The name of a source without folder and ".yaml", in the arena. */
const char *library_name(const struct source *source, struct arena *arena);

/* Takes BOAT for all that is loaded from now on; false where she names stations that no
 * rig here has, or places them as none has them: then it is said in DIAGS.  Without rigs
 * nothing can be held against them. */
bool library_take_boat(struct library *library, const struct boat *boat,
                       struct arena *arena, struct diags *diags);

/* Loads a procedure with the rig it names, as it is done on the boat in the
 * wind; NULL with the reasons in DIAGS. */
const struct procedure *library_load(const struct library *library,
                                     const struct source *source,
                                     const struct load_choice *choice,
                                     struct arena *arena, struct diags *diags);

#endif
