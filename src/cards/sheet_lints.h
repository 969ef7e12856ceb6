/* Lints as messages about the files, like all others: file, line, column, what and what
 * to do. */
#ifndef CARDS_SHEET_LINTS_H
#define CARDS_SHEET_LINTS_H

#include "base/diag.h"
#include "base/text.h"
#include "vet/lints.h"

/* Adds a note to DIAGS for each lint of PROCEDURE, or of PLAN alone (PROCEDURE NULL). */
void sheet_lints(const struct rig_plan *plan, const struct procedure *procedure,
                 const struct lints *lints, struct diags *diags);

/* What DIAGS holds as a list of notes, a member of the object that is open. */
void sheet_notes_json(struct diags *diags, struct json *json);

#endif
