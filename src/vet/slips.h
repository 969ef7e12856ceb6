/* Slips: one step forgotten, two neighbours on a card swapped, one `after` or `wait` not
 * waited for.  Each is a small change of the rig that is searched like any other. */
#ifndef VET_SLIPS_H
#define VET_SLIPS_H

#include "vet/vet.h"

enum slip_kind {
    SLIP_OMIT,  /* `step` is believed done: nobody waits for it, it has no effect */
    SLIP_SWAP,  /* `step` is done before `other`, its neighbour on the card */
    SLIP_AFTER, /* `step` starts without waiting for `other` */
    SLIP_WAIT,  /* `step` starts without its wait number `other` */
    SLIP_BEGIN  /* part `step` has value `other` at the begin, which begin rules out */
};

struct slip {
    enum slip_kind kind;
    uint8_t step, other;
    enum vet_verdict outcome;
    struct finding finding; /* the worst, of VET_BROKEN */
    enum signal signal;     /* of the worst rule broken; SIGNAL_NONE where not a rule */
    uint8_t events;         /* how soon: events until then */
};

enum { SLIPS_MAX = 16 * STEPS_MAX };

struct slips {
    struct slip at[SLIPS_MAX];
    int count;
    uint64_t states;
};

/* Two slips that hurt together where neither hurts alone. */
struct slip_pair {
    struct slip a, b;
    struct finding finding;
    enum signal signal;
};

enum { SLIP_PAIRS_MAX = 64 };

struct slip_pairs {
    struct slip_pair at[SLIP_PAIRS_MAX]; /* the first of them */
    int count, hurting, tried;
};

/* Tries every single slip of RIG, what begin rules out among them. */
void vet_slips(const struct rig *rig, const struct vet_limits *limits, struct slips *out);

/* The same for forgotten steps alone. */
void vet_omissions(const struct rig *rig, const struct vet_limits *limits,
                   struct slips *out);

/* A wrong begin that hurts later on and that no check asks about.  What is wrong at once
 * (a halyard half way up) is seen by everybody before the go. */
bool slip_unasked(const struct rig *rig, const struct slip *slip);

/* Tries all pairs of the slips that do not hurt alone. */
void vet_pairs(const struct rig *rig, const struct slips *slips,
               const struct vet_limits *limits, struct slip_pairs *out);

/* The steps whose omission hurts, the worst first; their number. */
int slips_must_not_miss(const struct slips *slips, uint8_t steps[STEPS_MAX]);

/* The one arrow `after: [w]` for the last step of FOUND's way that takes FOUND away and
 * brings nothing new: W, or -1 where no single arrow does. */
int vet_repair(const struct rig *rig, const struct vet_found *found,
               const struct vet_limits *limits, int *at_step);

#endif
