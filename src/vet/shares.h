/* Shares: every way of giving the roles to fewer hands, each way searched.  Merging only
 * takes orders away, so a rule that holds for one hand a role holds for every share; who
 * must stay at the helm, hold a line or lend a third hand is new with each of them. */
#ifndef VET_SHARES_H
#define VET_SHARES_H

#include "vet/vet.h"

enum share_outcome {
    SHARE_ANY_ORDER,  /* safe however each hand orders its work within the cards */
    SHARE_FILE_ORDER, /* safe where each hand works down the file's order */
    SHARE_NOT,        /* neither */
    SHARE_JOINT,      /* two roles of one joint step in one hand */
    SHARE_OPEN        /* the limit was reached: nothing is claimed */
};

/* Two roles in one hand, all others in a hand each. */
struct share_pair {
    uint8_t role, other;
    enum share_outcome outcome;
    enum vet_verdict verdict; /* in the file's order */
    struct finding finding;   /* of VET_BROKEN */
};

struct share_count {
    uint32_t ways, any_order, file_order, open;
    uint32_t rules_broken; /* of the ways; 0 wherever one hand a role breaks none */
};

struct shares {
    int role_count, least;
    struct share_count of_hands[ROLES_MAX + 1];
    struct share_pair pairs[ROLES_MAX * (ROLES_MAX - 1) / 2];
    int pair_count;
    uint64_t states; /* searched, of all ways */
};

/* Tries every way of sharing the roles of PROCEDURE among LEAST hands or more. */
void vet_shares(const struct procedure *procedure, bool pilot, int least,
                const struct vet_limits *limits, struct shares *out);

/* The rig of a pair, which its finding is told with; false where it is a joint step. */
bool share_pair_rig(const struct procedure *procedure, bool pilot,
                    const struct share_pair *pair, struct rig *out);

#endif
