/* Why something found is so: what stands how, who would have seen to it, who changed it,
 * or which line of the file is missing. */
#ifndef CARDS_SHEET_WHY_H
#define CARDS_SHEET_WHY_H

#include "base/text.h"
#include "vet/vet.h"

/* A way played to its end. */
struct scene {
    const struct rig *rig;
    const struct vet_found *found;
    struct rig_state before, now; /* the last event, and behind it */
    int last;                     /* the step of that event; -1: at the begin */
    bool mended; /* an arrow mends it: what else may be missing is not asked */
};

void scene_play(struct scene *scene, const struct rig *rig, const struct vet_found *found,
                bool mended);

/* One line, the danger first: "WARNING: Boom and mainsheet kill. (heads-before-boom)". */
void sheet_headline(const struct scene *scene, struct text *out);

/* What is behind it, in lines of two blanks. */
void sheet_why(const struct scene *scene, struct text *out);

#endif
