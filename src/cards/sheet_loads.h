/* What lines carry in a wind, and what that takes of hands, in words and as JSON. */
#ifndef CARDS_SHEET_LOADS_H
#define CARDS_SHEET_LOADS_H

#include "base/text.h"
#include "base/units.h"
#include "forces/loaded.h"

/* "LOADS in 18 kn of true wind ..." : what they are reckoned with; one paragraph. */
void sheet_loads_head(const struct load_report *report, enum units units,
                      struct text *out);

/* "sheet 860 N: 2 turns leave 101 N ..." without an end of line; false, and nothing,
 * where the procedure has no line of that load. */
bool sheet_load(const struct load_report *report, enum load_kind kind, enum units units,
                struct text *out);

/* "Pole 40 degrees from the bow ..." and the dip; nothing where there is no pole. */
void sheet_loads_pole(const struct load_report *report, enum units units,
                      struct text *out);

/* What takes both hands, and what nobody can hold; nothing where there is neither. */
void sheet_loads_steps(const struct procedure *procedure, struct text *out);

/* "heavy runner: gusts 27.0 kn, not above 25 kn; ...": the limits of the sail that are
 * exceeded, those that stop the go or those that do not; false, and nothing, where none
 * is. */
bool sheet_limits(const struct load_report *report, bool stops, struct text *out);

/* The list "sail_limits". */
void sheet_limits_json(const struct load_report *report, struct json *json);

/* All of it, a line each; nothing where the loads are not known. */
void sheet_loads(const struct procedure *procedure, enum units units, struct text *out);

/* The object "loads", likewise; always in newtons and decimetres. */
void sheet_loads_json(const struct procedure *procedure, struct json *json);

#endif
