/* What one procedure leaves behind and the next one begins from: the state of a rig in
 * the parts of another loading of it, for the other board or another file.  Parts and
 * values are the same where their stored names are. */
#ifndef RIG_CARRY_H
#define RIG_CARRY_H

#include "rig/rig.h"

/* The parts of which something is known while PROCEDURE is worked: those it names, and
 * those MISHAP sets (an index of its plan; -1: none). */
part_set carry_known(const struct procedure *procedure, int mishap);

/* MISHAP of its plan can happen in STATE of PROCEDURE.  A part it does not name says
 * nothing against it. */
bool carry_can_happen(const struct procedure *procedure, const struct rig_state *state,
                      int mishap);

/* The tack of a rig of PLAN in STATE, by its lee side where that is among the KNOWN
 * parts; BEFORE where it does not tell. */
enum board carry_board(const struct rig_plan *plan, const struct rig_state *state,
                       part_set known, enum board before);

/* Gives OUT the values of the KNOWN parts of STATE, a state of FROM, in the parts of TO.
 * Of a part nobody has said anything about TO's own begin is taken. */
void carry_parts(const struct rig_plan *from, const struct rig_state *state,
                 part_set known, const struct procedure *to, struct rig_state *out);

/* The parts whose value in STATE the begin of PROCEDURE does not allow; none: it fits. */
part_set carry_misfits(const struct procedure *procedure, const struct rig_state *state);

#endif
