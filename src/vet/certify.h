/* How an engine writes a certificate of states. */
#ifndef VET_CERTIFY_H
#define VET_CERTIFY_H

#include "vet/certificate.h"

/* Opens CERTIFICATE for COUNT states of RIG; false where that is more than asked for. */
bool certify_open(struct vet_certificate *certificate, const struct rig *rig,
                  uint64_t count);

void certify_state(struct vet_certificate *certificate, const struct rig_state *state);

#endif
