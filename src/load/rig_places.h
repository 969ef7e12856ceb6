/* Parts and stations of a rig file: the places of the rig that may come in pairs, one a
 * side, and mean port and starboard once a board is chosen. */
#ifndef LOAD_RIG_PLACES_H
#define LOAD_RIG_PLACES_H

#include "load/internal.h"

/* The rig in the making; the plan of LOAD is PLAN, so that names read so far are found.
 */
struct rig_build {
    struct load *load;
    struct rig_plan plan;
    struct part *parts; /* the arrays of PLAN, to write into */
    struct station *stations;
};

/* Reads the mapping of stations and of parts (which need the stations); MAP may be NULL.
 */
void load_read_stations(struct rig_build *build, const struct node *map);
void load_read_parts(struct rig_build *build, const struct node *map);

/* `sides` or `side-values` of a part or station: the names for windward and leeward. */
struct side_names {
    const struct node *windward, *leeward, *words;
};

/* Reads them; false where NODE is NULL or a name is missing or none.  Words are read only
 * where WITH_WORDS. */
bool load_read_side_names(struct load *load, const struct node *node, bool with_words,
                          struct side_names *out);

/* The name for SIDE on this board. */
const char *load_side_name(const struct load *load, const struct side_names *names,
                           enum side side);

/* "port" or "starboard". */
const char *load_side_word(enum side side);

/* The side of `fixed:` as read by its field: 0 port, 1 starboard, -1 not said. */
enum side load_fixed_side(int fixed);

/* The words of `fixed:`, ended by NULL. */
const char *const *load_side_words(void);

/* Reports NAME at WHERE where one of the first COUNT of what ENTRY gives has it too. */
struct place_name {
    const char *name, *alias;
    struct span where;
};
void load_check_places(struct load *load, const struct place_name *names, int count);

#endif
