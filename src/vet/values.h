/* The values that parts can have while a procedure is worked, in any order of its steps:
 * those of its begin and those its steps set. */
#ifndef VET_VALUES_H
#define VET_VALUES_H

#include "model/procedure.h"

/* The values of each part; none of a part that begin does not name. */
void values_fill(const struct procedure *procedure, value_set out[PARTS_MAX]);

/* The values that a step gives PART. */
value_set values_set(const struct procedure *procedure, int part);

/* The steps set part of what RULE of the rig forbids, and the rest is not known: begin
 * does not name PART, so the procedure is not held to it. */
bool values_left_out(const struct procedure *procedure, const struct rule *rule,
                     int *part);

/* Some combination of those values breaks RULE, when MOST of the parts it names may have
 * any other value (0: none, 1: one thing is wrong at the begin). */
bool values_can_break(const struct procedure *procedure, const struct rule *rule,
                      int most);

/* Worth telling the crew: with no more than one thing wrong at the begin, and any line
 * let go, RULE can come to be broken. */
bool values_at_stake(const struct procedure *procedure, const struct rule *rule);

#endif
