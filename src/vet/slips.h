/* Slips: one step forgotten, two neighbours on a card swapped, one `after`, `wait` or
 * `need` ignored, one part wrong at the begin.  Each is a small change of the rig that is
 * decided like any other, from every begin that is allowed. */
#ifndef VET_SLIPS_H
#define VET_SLIPS_H

#include "vet/vet.h"

enum slip_kind {
    SLIP_OMIT,  /* `step` is believed done: nobody waits for it, it has no effect */
    SLIP_SWAP,  /* `step` is done before `other`, its neighbour on the card of one hand */
    SLIP_AFTER, /* `step` starts without waiting for `other` */
    SLIP_WAIT,  /* `step` starts without its wait number `other` */
    SLIP_NEED,  /* `step` starts without its need being looked at */
    SLIP_BEGIN, /* part `step` has value `other` at the begin, which begin rules out */
    SLIP_SOON   /* `step` starts as soon as its hand is free: all its cues at once */
};

struct slip {
    enum slip_kind kind;
    uint8_t step, other;
    enum vet_verdict outcome;
    bool barred; /* of SLIP_SWAP: other arrows rule it out, all notice */
    bool seen;   /* of SLIP_BEGIN: it is wrong before anybody moves, so all notice */
    struct finding finding; /* the worst, of VET_BROKEN */
    enum signal signal;     /* of the worst rule broken; SIGNAL_NONE where not a rule */
    uint8_t events;         /* how soon: events until then */
    uint64_t breaks[RULES_MAX / 64]; /* every rule it breaks */
    step_set unmet;                  /* every step it lets start without its need */
};

enum { SLIPS_MAX = 16 * STEPS_MAX };

struct slips {
    struct slip at[SLIPS_MAX];
    int count;
    int left_out; /* more than fit: not tried */
    bool cut;     /* not all that slips break is known: stopped, or more than is kept */
    uint64_t states;
};

bool slip_breaks(const struct slip *slip, int rule);

/* One thing that goes wrong; a step that goes with no cue at all is several. */
bool slip_is_single(const struct slip *slip);

/* An after or wait that changes no verdict when it alone is ignored; a need that is unmet
 * in no single slip but where a rule is broken as well.  A need makes nobody wait:
 * ignoring it lets nothing new happen, it only goes unsaid. */
bool slip_carries_nothing(const struct slips *slips, const struct slip *slip);

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
    bool cut; /* as of slips */
    uint64_t states;
    uint64_t breaks[RULES_MAX / 64]; /* every rule that some pair breaks */
};

/* Tries every single slip of RIG, what begin rules out among them. */
void vet_slips(const struct rig *rig, const struct vet_limits *limits, struct slips *out);

/* The same for forgotten steps alone. */
void vet_omissions(const struct rig *rig, const struct vet_limits *limits,
                   struct slips *out);

/* A wrong begin that hurts later on and that no check asks about.  What is wrong at once
 * (a halyard half way up) is seen by everybody before the go. */
bool slip_unasked(const struct rig *rig, const struct slip *slip);

/* Tries all pairs of slips.  Hurting are those of which neither hurts alone. */
void vet_pairs(const struct rig *rig, const struct slips *slips,
               const struct vet_limits *limits, struct slip_pairs *out);

/* The steps whose omission hurts, the worst first; their number. */
int slips_must_not_miss(const struct slips *slips, uint8_t steps[STEPS_MAX]);

/* The slip of STEP being forgotten; NULL where it was not tried. */
const struct slip *slips_forgotten(const struct slips *slips, int step);

/* How many slips it takes to break a rule. */
enum rule_guard {
    GUARD_ONE,  /* one slip, a wrong begin among them */
    GUARD_TWO,  /* two, where pairs were tried */
    GUARD_MORE, /* more than were tried */
    GUARD_IDLE  /* none: no order at all of these steps, without any cue, breaks it */
};

/* The guard of each rule of the procedure.  PAIRS may be NULL: GUARD_MORE is then more
 * than one. */
void vet_guards(const struct rig *rig, const struct slips *slips,
                const struct slip_pairs *pairs, enum rule_guard out[RULES_MAX]);

#endif
