/* What one hand more or fewer would change, one away, two who change places, one who
 * learns a role: each answered by a bill of its own. */
#ifndef BILL_WHAT_IF_H
#define BILL_WHAT_IF_H

#include "bill/bill.h"

struct answer {
    enum bill_verdict verdict;
    int32_t total_ms;
    bool proved;
    uint64_t hands; /* of the crew file, those who have work */
};

struct away {
    uint8_t hand;
    struct answer answer;
};

struct swapped {
    uint8_t one, other; /* hands; each wears what the other wore */
    struct answer answer;
};

struct learnt {
    uint8_t hand, role; /* were the hand able there */
    struct answer answer;
};

enum { LEARNT_MAX = 5 };

struct what_if {
    int least, most;                       /* hands asked about */
    struct answer by_hands[HANDS_MAX + 1]; /* with at most so many of those aboard */
    int away_count, swapped_count, learnt_count;
    struct away away[LANES_MAX];
    struct swapped swapped[LANES_MAX * LANES_MAX / 2];
    struct learnt learnt[LEARNT_MAX]; /* what saves most, most first */
};

/* Asks all of it; BILL is the bill as things are, NULL where there is none. */
void bill_what_if(const struct procedure *procedure, const struct crew *crew,
                  const struct bill_wish *wish, const struct bill *bill,
                  struct what_if *out);

#endif
