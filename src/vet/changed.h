/* A rig that can be changed: its own copy of the procedure and the steps.  The caller
 * holds it (it is large); it borrows the rest of the rig it was copied from. */
#ifndef VET_CHANGED_H
#define VET_CHANGED_H

#include "vet/slips.h"

struct changed {
    struct rig rig;
    struct procedure procedure;
    struct step steps[STEPS_MAX];
    struct condition waits[STEPS_MAX][PARTS_MAX];
};

void changed_copy(const struct rig *rig, struct changed *out);

/* Makes one slip of ORIGINAL in the copy; several can be made one after another. */
void changed_slip(struct changed *changed, const struct rig *original,
                  const struct slip *slip);

#endif
