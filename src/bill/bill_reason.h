/* Why a bill takes as long as it takes: what each step waits for, the chain that decides
 * the time, and how far each step could be late. */
#ifndef BILL_BILL_REASON_H
#define BILL_BILL_REASON_H

#include "bill/bill.h"

enum because {
    BECAUSE_GO,    /* it starts at the go */
    BECAUSE_AFTER, /* `of` must be made (or begun) first: an after, or the card */
    BECAUSE_WAIT,  /* it waits for what `of` brings about */
    BECAUSE_HAND,  /* the same hand is busy with `of` until then */
    BECAUSE_WALK, /* and walks from there; without `of`, from where it stands at the go */
    BECAUSE_TAKER, /* the line is given when `of`, the taker, has it */
    BECAUSE_ROOM   /* sooner something would be broken */
};

/* What holds a step back at the last. */
struct bill_reason {
    uint8_t step;
    enum because because;
    int8_t of;     /* step; -1: none */
    bool of_start; /* its start, not its finish */
    int8_t lane;   /* of HAND and WALK */
    int32_t walk_ms;
};

struct bill_reasons {
    int count; /* of the chain that decides the time, the last step first */
    struct bill_reason chain[STEPS_MAX];
    int32_t slack_ms[STEPS_MAX]; /* by step: so much later, and the total is the same */
    int32_t busy_ms[LANES_MAX];  /* by lane: in steps, ways not among them */
    int32_t way_dm;              /* that all walk together, in decimetres */
};

void bill_find_reasons(const struct bill *bill, const struct procedure *procedure,
                       const struct crew *crew, struct bill_reasons *out);

#endif
