#include "vet/certify.h"

#include <string.h>

static part_set parts_of(const struct effects *effects)
{
    part_set parts = 0;
    for (int i = 0; i < effects->count; i++)
        parts |= (part_set)1 << effects->at[i].part;
    return parts;
}

static part_set lines_of(const struct tendings *tendings)
{
    part_set lines = 0;
    for (int i = 0; i < tendings->count; i++)
        lines |= (part_set)1 << tendings->at[i].line;
    return lines;
}

static part_set parts_that_begin_differently(const struct procedure *procedure)
{
    part_set parts = 0;
    for (int p = 0; p < procedure->plan->part_count; p++)
        if (procedure->begin[p].values & (procedure->begin[p].values - 1))
            parts |= (part_set)1 << p;
    return parts;
}

static uint8_t list(part_set set, uint8_t out[PARTS_MAX])
{
    uint8_t count = 0;
    for (int p = 0; p < PARTS_MAX; p++)
        if (set >> p & 1)
            out[count++] = (uint8_t)p;
    return count;
}

bool certify_open(struct vet_certificate *certificate, const struct rig *rig,
                  uint64_t count)
{
    certificate->ground = VET_GROUND_NONE;
    certificate->count = 0;
    if (count > certificate->most)
        return false;
    part_set parts = parts_that_begin_differently(rig->procedure), lines = 0;
    for (int s = 0; s < rig->procedure->step_count; s++) {
        const struct step *step = &rig->procedure->steps[s];
        parts |= parts_of(&step->start) | parts_of(&step->finish);
        lines |= lines_of(&step->tends) | lines_of(&step->takes_over) | step->releases |
                 step->hands_over;
    }
    certificate->ground = VET_GROUND_STATES;
    certificate->part_count = list(parts, certificate->parts);
    certificate->line_count = list(lines, certificate->lines);
    certificate->size = 2 * sizeof(step_set) + certificate->part_count +
                        3 * (size_t)certificate->line_count;
    certificate->states =
        arena_alloc(certificate->arena, (size_t)count * certificate->size);
    return true;
}

void certify_state(struct vet_certificate *certificate, const struct rig_state *state)
{
    uint8_t *at = certificate->states + certificate->count++ * certificate->size;
    memcpy(at, &state->begun, sizeof state->begun);
    memcpy(at + sizeof state->begun, &state->done, sizeof state->done);
    at += sizeof state->begun + sizeof state->done;
    for (int i = 0; i < certificate->part_count; i++)
        *at++ = state->part[certificate->parts[i]];
    for (int i = 0; i < certificate->line_count; i++) {
        int line = certificate->lines[i];
        *at++ = (uint8_t)state->tender[line];
        *at++ = (uint8_t)state->taker[line];
        *at++ = state->tending[line];
    }
}
