/* Slips: one step forgotten, two neighbours on a card swapped, one `after` or `wait` not
 * waited for.  Each is a small change of the rig that is searched like any other. */
#ifndef VET_SLIPS_H
#define VET_SLIPS_H

#include "vet/vet.h"

enum slip_kind {
    SLIP_OMIT,  /* `step` is believed done: nobody waits for it, it has no effect */
    SLIP_SWAP,  /* `step` is done before `other`, its neighbour on the card */
    SLIP_AFTER, /* `step` starts without waiting for `other` */
    SLIP_WAIT   /* `step` starts without its wait number `other` */
};

struct slip {
    enum slip_kind kind;
    uint8_t step, other;
    enum vet_verdict outcome;
    struct finding finding; /* the worst, of VET_BROKEN */
    enum signal signal;     /* of the worst rule broken; SIGNAL_NONE where not a rule */
    uint8_t events;         /* how soon: events until then */
};

enum { SLIPS_MAX = 8 * STEPS_MAX };

struct slips {
    struct slip at[SLIPS_MAX];
    int count;
    uint64_t states;
};

/* Tries every single slip of RIG. */
void vet_slips(const struct rig *rig, const struct vet_limits *limits, struct slips *out);

/* The same for forgotten steps alone. */
void vet_omissions(const struct rig *rig, const struct vet_limits *limits,
                   struct slips *out);

/* The steps whose omission hurts, the worst first; their number. */
int slips_must_not_miss(const struct slips *slips, uint8_t steps[STEPS_MAX]);

/* The one arrow `after: [w]` for the last step of FOUND's way that takes FOUND away and
 * brings nothing new: W, or -1 where no single arrow does. */
int vet_repair(const struct rig *rig, const struct vet_found *found,
               const struct vet_limits *limits, int *at_step);

#endif
