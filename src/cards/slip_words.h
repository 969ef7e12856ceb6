/* What the files about slips share. */
#ifndef CARDS_SLIP_WORDS_H
#define CARDS_SLIP_WORDS_H

#include "base/text.h"
#include "vet/slips.h"

/* "forgets Main "heads"". */
void sheet_add_slip(const struct rig *rig, const struct slip *slip, struct text *out);

/* ITEM of a list, behind BETWEEN, on a new line where it does not fit on this one. */
void sheet_add_item(struct text *out, const char *between, const char *item);

/* What carries nothing; how many slips each rule takes, and which are not held to.
 * PAIRS may be NULL. */
void sheet_add_guards(const struct rig *rig, const struct slips *slips,
                      const struct slip_pairs *pairs, struct text *out);

#endif
