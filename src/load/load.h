/* YAML files to the model.  Each function reads one source, reports everything wrong
 * with it to DIAGS and returns NULL when there was an error; nothing is half-loaded.
 * What is returned lives in the arena and borrows the sources and the rig plan. */
#ifndef LOAD_LOAD_H
#define LOAD_LOAD_H

#include "base/diag.h"
#include "model/boat.h"
#include "model/crew.h"
#include "model/polar.h"
#include "model/procedure.h"

/* What is settled before a procedure can be resolved. */
struct load_choice {
    enum board board;
    /* options set by the user as "name=yes" or "name=no"; an unknown name is an error */
    const char *const *options;
    int option_count;
};

/* The rig description resolved for a board. */
const struct rig_plan *load_rig(const struct source *source, enum board board,
                                struct arena *arena, struct diags *diags);

/* The name of the rig a procedure file wants ("symmetric"), to find the rig file with;
 * NULL where the file does not say or cannot be read as YAML (reported). */
const char *load_rig_name(const struct source *source, struct arena *arena,
                          struct diags *diags);

/* The procedure, resolved for the board and options of CHOICE.  With PLAN NULL the file
 * is still read and everything that needs no rig is reported; the result is NULL. */
const struct procedure *load_procedure(const struct source *source,
                                       const struct rig_plan *plan,
                                       const struct load_choice *choice,
                                       struct arena *arena, struct diags *diags);

const struct crew *load_crew(const struct source *source, struct arena *arena,
                             struct diags *diags);

/* PLAN with its stations where they lie on BOAT (NULL: as the rig has them). */
const struct rig_plan *load_stations_of_boat(const struct rig_plan *plan,
                                             const struct boat *boat,
                                             struct arena *arena);

/* The polar in a file of its own: values between commas. */
const struct polar *load_polar(const struct source *source, struct arena *arena,
                               struct diags *diags);

const struct boat *load_boat(const struct source *source, struct arena *arena,
                             struct diags *diags);

#endif
