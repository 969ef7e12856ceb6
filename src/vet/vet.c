#include "vet/vet.h"

#include "vet/checker.h"
#include "vet/engines.h"

#include <string.h>

/* Checking takes about as long as the search and a tenth of its memory. */
enum { CHECKED_STATES_MAX = 500000 };

bool vet_rig_of_roles(const struct procedure *procedure, bool pilot, struct rig *out)
{
    int8_t lane_of_role[ROLES_MAX];
    memset(lane_of_role, -1, sizeof lane_of_role);
    int lanes = 0;
    for (int role = 0; role < procedure->plan->role_count; role++)
        if (rig_role_needed(procedure, role, pilot))
            lane_of_role[role] = (int8_t)lanes++;
    return rig_make(out, procedure, lane_of_role, lanes, pilot);
}

void vet_prove(const struct rig *rig, const struct vet_limits *limits, bool one_begin,
               struct vet_report *out)
{
    struct vet_certificate certificate = {.arena = arena_new(),
                                          .most = CHECKED_STATES_MAX};
    struct vet_limits wanted = *limits;
    wanted.certificate = &certificate;
    vet_fully(rig, &wanted, one_begin, out);
    vet_check(rig, one_begin, &certificate, out);
    arena_free(certificate.arena);
}

const char *vet_verdict_name(enum vet_verdict verdict)
{
    static const char *const names[] = {"safe", "broken", "stall", "wrong end",
                                        "undecided"};
    return names[verdict];
}
