#include "vet/changed.h"

#include <string.h>

void changed_copy(const struct rig *rig, struct changed *out)
{
    out->rig = *rig;
    out->procedure = *rig->procedure;
    memcpy(out->steps, rig->procedure->steps,
           rig->procedure->step_count * sizeof out->steps[0]);
    out->procedure.steps = out->steps;
    out->rig.procedure = &out->procedure;
}

static void swap(struct changed *changed, int step, int other)
{
    for (int c = 0; c < changed->rig.card_count; c++) {
        struct rig_card *card = &changed->rig.cards[c];
        for (int i = 0; i + 1 < card->count; i++)
            if (card->steps[i] == other && card->steps[i + 1] == step) {
                card->steps[i] = (uint8_t)step;
                card->steps[i + 1] = (uint8_t)other;
                return;
            }
    }
}

/* Without the condition that stands as number WHICH in the original. */
static void drop_wait(struct changed *changed, const struct rig *original, int step,
                      int which)
{
    const struct condition *dropped = &original->procedure->steps[step].wait.at[which];
    struct conditions *wait = &changed->steps[step].wait;
    int kept = 0;
    for (int i = 0; i < wait->count; i++)
        if (wait->at[i].part != dropped->part || wait->at[i].values != dropped->values)
            changed->waits[step][kept++] = wait->at[i];
    wait->at = changed->waits[step];
    wait->count = (uint8_t)kept;
}

void changed_slip(struct changed *changed, const struct rig *original,
                  const struct slip *slip)
{
    step_set other = (step_set)1 << (slip->other & 63);
    switch (slip->kind) {
    case SLIP_OMIT:
        changed->rig.start.skipped |= (step_set)1 << slip->step;
        break;
    case SLIP_SWAP:
        swap(changed, slip->step, slip->other);
        break;
    case SLIP_AFTER:
        changed->steps[slip->step].after &= ~other;
        changed->steps[slip->step].after_started &= ~other;
        break;
    case SLIP_WAIT:
        drop_wait(changed, original, slip->step, slip->other);
        break;
    case SLIP_NEED:
        changed->steps[slip->step].need.count = 0;
        break;
    case SLIP_SOON:
        changed->steps[slip->step].after = 0;
        changed->steps[slip->step].after_started = 0;
        changed->steps[slip->step].wait.count = 0;
        break;
    case SLIP_BEGIN:
        changed->rig.start.part[slip->step] = slip->other;
        changed->procedure.begin[slip->step].values = (value_set)1 << slip->other;
        changed->procedure.begin[slip->step].first = slip->other;
        break;
    }
}
