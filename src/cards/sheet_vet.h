/* What vet says, in the crew's words. */
#ifndef CARDS_SHEET_VET_H
#define CARDS_SHEET_VET_H

#include "base/diag.h"
#include "base/text.h"
#include "vet/races.h"
#include "vet/repair.h"
#include "vet/shares.h"
#include "vet/slips.h"

/* One line: name, board or both of them, verdict, states, orders, whether it was checked;
 * more where the check refuses it. */
void sheet_vet_line(const struct rig *rig, const struct vet_report *report, bool mirrored,
                    struct text *out);

/* Why one proof does not serve both boards. */
void sheet_vet_not_mirrored(const char *why, struct text *out);

/* All that was found, the worst first: the danger, who is in it and why, the shortest way
 * there, and the line that mends it.  MENDS has one for each thing found. */
void sheet_vet_found(const struct rig *rig, const struct vet_report *report,
                     const struct vet_mend *mends, struct text *out);

/* What comes of each slip, a line a step; those that hurt with what they break; what
 * could be missed alone; and how many slips each rule takes.  PAIRS may be NULL. */
void sheet_vet_slips(const struct rig *rig, const struct slips *slips,
                     const struct slip_pairs *pairs, struct text *out);

/* What is left to chance, a line each; one of them as a phrase; and all as a member of
 * the object that is open. */
void sheet_vet_races(const struct procedure *procedure, const struct races *races,
                     struct text *out);
void sheet_race(const struct procedure *procedure, const struct race *race,
                struct text *out);
void sheet_races_json(const struct procedure *procedure, const struct races *races,
                      struct json *json);

/* How many hands can share the roles, and which two are not for one hand and why. */
void sheet_vet_shares(const struct procedure *procedure, bool pilot,
                      const struct shares *shares, struct text *out);

/* What is not claimed. */
void sheet_vet_footer(const struct rig *rig, struct text *out);

/* What was searched of one procedure on one board, MIRRORED: for both; NULL where it was
 * not asked for. */
struct vetted {
    const struct rig *rig;
    const struct vet_report *report;
    const struct vet_mend *mends; /* one for each thing found */
    const struct races *races;
    const struct slips *slips;
    const struct slip_pairs *pairs;
    const struct shares *shares;
    struct diags *notes; /* about the files */
    bool mirrored;
};

void sheet_vet_json(const struct vetted *vetted, struct json *json);

/* Slips and pairs (NULL: not tried) as members of the object that is open. */
void sheet_slips_json(const struct rig *rig, const struct slips *slips,
                      const struct slip_pairs *pairs, struct json *json);

/* What was found as a member of the object that is open. */
void sheet_found_json(const struct rig *rig, const struct vet_report *report,
                      const struct vet_mend *mends, struct json *json);

/* The shares as members of the object that is open. */
void sheet_shares_json(const struct rig_plan *plan, const struct shares *shares,
                       struct json *json);

/* "safe in every order (513 states, 6.1e+11 orders)" for brief and logbook. */
void sheet_vet_proof(const struct rig *rig, const struct vet_report *report,
                     struct text *out);

#endif
