/* What the files of load/ share: the context of one file being read. */
#ifndef LOAD_INTERNAL_H
#define LOAD_INTERNAL_H

#include "base/diag.h"
#include "load/nearest.h"
#include "load/yaml_tree.h"
#include "model/polar.h"
#include "model/procedure.h"

/* The steps of a procedure as far as names go; rules and `after` refer to them. */
struct step_names {
    const char *at[STEPS_MAX];
    int count;
};

/* The file being read.  PLAN is NULL where the rig could not be had: its names are then
 * taken on trust and nothing is said about them.  While a rig file is read PLAN is the
 * part of it that is read already. */
struct load {
    struct arena *arena;
    struct diags *diags;
    const struct source *source;
    const struct rig_plan *plan;
    const struct step_names *steps; /* NULL: rules may not name steps */
    bool needs_begin;               /* parts that are read must stand in begin */
    part_set begin_parts;
    part_set begin_missed; /* reported already */
    const struct option *options;
    int option_count;
    size_t reports; /* errors reported before this file */
};

/* The context to read SOURCE in; PLAN may be NULL. */
struct load load_start(const struct source *source, const struct rig_plan *plan,
                       struct arena *arena, struct diags *diags);

/* True where something was wrong with the file so far. */
bool load_failed(const struct load *load);

/* Which file a tree is of; the names of its keys say it. */
enum file_kind { FILE_RIG, FILE_PROCEDURE, FILE_CREW, FILE_BOAT };

/* Reads the tree of the file and checks what all files share: it is a mapping, it is of
 * KIND, it begins with `format: 1`.  NULL where it makes no sense to go on. */
const struct node *load_open(struct load *load, enum file_kind kind);

/* Names of the rig, and of windward and leeward things on this board; -1 where there is
 * no such name or the plan is not known.  What is wrong is reported. */
int load_find_part(struct load *load, const struct node *name);
int load_find_value(struct load *load, int part, const struct node *name);
int load_find_station(struct load *load, const struct node *name);
int load_find_role(struct load *load, const struct node *name);
int load_find_gear(struct load *load, const struct node *name);
int load_find_step(struct load *load, const struct node *name);

/* A part that must have a place it is tended at. */
int load_find_line(struct load *load, const struct node *name);

/* The stations or parts NAME stands for: both sides where it is the name of a pair. */
part_set load_find_parts(struct load *load, const struct node *name);
uint32_t load_find_stations(struct load *load, const struct node *name, enum side side);

/* Says that PART is read at WHERE: in a procedure, begin must say how it stands. */
void load_note_read(struct load *load, int part, struct span where);

/* Conditions, effects and lines out of the values of a mapping; what is wrong is
 * reported and left out. */
struct conditions load_read_conditions(struct load *load, const struct node *node);
struct effects load_read_effects(struct load *load, const struct node *node);
struct tending load_read_tending(struct load *load, const struct node *node, int line);
struct tendings load_read_tendings(struct load *load, const struct node *node);
part_set load_read_lines(struct load *load, const struct node *node);
value_set load_read_values(struct load *load, int part, const struct node *node);

/* The rules of a list, in their normal form. */
struct rules load_read_rules(struct load *load, const struct node *list);

/* TEXT with {part}, {windward} and {leeward} filled in. */
const char *load_fill_in(struct load *load, const struct node *text);

/* Reports a name that stands twice among COUNT names; AT are the nodes. */
void load_check_names(struct load *load, const struct node *const *at, int count);

/* The number of items of LIST, at most MOST; what is beyond is reported. */
int load_count(struct load *load, const struct node *list, int most, const char *what);

/* The polar that stands within a boat file; NULL where something is wrong with it. */
const struct polar *load_read_polar(struct load *load, const struct node *map);

/* Procedures. */
void load_read_options(struct load *load, const struct node *node,
                       const char *const *chosen, int chosen_count);
bool load_holds(struct load *load, const struct node *only_if);

#endif
