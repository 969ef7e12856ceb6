/* What vet says, in the crew's words. */
#ifndef CARDS_SHEET_VET_H
#define CARDS_SHEET_VET_H

#include "base/text.h"
#include "vet/slips.h"

/* One line: name, verdict, states, orders. */
void sheet_vet_line(const struct rig *rig, const struct vet_report *report,
                    struct text *out);

/* The shortest way to one thing found: who has done what, who starts the move that does
 * it, what was still missing, and the arrow that mends it (REPAIR -1: none found). */
void sheet_vet_found(const struct rig *rig, const struct vet_found *found, int repair,
                     int repair_step, struct text *out);

/* The slips that hurt, stall or end wrong, and how many do nothing. */
void sheet_vet_slips(const struct rig *rig, const struct slips *slips, struct text *out);

/* Pairs of slips that only hurt together. */
void sheet_vet_pairs(const struct rig *rig, const struct slip_pairs *pairs,
                     struct text *out);

/* What is not claimed. */
void sheet_vet_footer(const struct rig *rig, struct text *out);

void sheet_vet_json(const struct rig *rig, const struct vet_report *report,
                    const struct slips *slips, struct json *json);

/* "safe in every order (513 states, 6.1e+11 orders)" for brief and logbook. */
void sheet_vet_proof(const struct rig *rig, const struct vet_report *report,
                     struct text *out);

#endif
