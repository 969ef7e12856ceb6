#include "vet/before.h"

/* What stands before STEP on a card of its own. */
static step_set earlier_on_card(const struct rig_card *card, int step)
{
    step_set earlier = 0;
    for (int i = 0; i < card->count && !card->free_order; i++) {
        if (card->steps[i] == step)
            return earlier;
        earlier |= (step_set)1 << card->steps[i];
    }
    return 0;
}

static void fill_direct(const struct rig *rig, struct before *out)
{
    step_set skipped = rig->start.skipped;
    for (int s = 0; s < rig->procedure->step_count; s++) {
        const struct step *step = &rig->procedure->steps[s];
        out->finished[s] = step->after;
        for (int c = 0; c < rig->card_count; c++)
            out->finished[s] |= earlier_on_card(&rig->cards[c], s);
        out->finished[s] &= ~skipped;
        out->begun[s] = step->after_started & ~skipped;
    }
}

/* What is before a step that is before STEP is before STEP; true where that is new. */
static bool follow(struct before *out, int step)
{
    step_set finished = out->finished[step], begun = out->begun[step];
    for (int s = 0; s < STEPS_MAX; s++)
        if ((finished | begun) >> s & 1) {
            out->finished[step] |= out->finished[s];
            out->begun[step] |= out->begun[s];
        }
    return finished != out->finished[step] || begun != out->begun[step];
}

void before_fill(const struct rig *rig, struct before *out)
{
    *out = (struct before){0};
    fill_direct(rig, out);
    for (bool changed = true; changed;) {
        changed = false;
        for (int s = 0; s < rig->procedure->step_count; s++)
            changed |= follow(out, s);
    }
}

bool before_goes_round(const struct before *before, int step_count)
{
    for (int s = 0; s < step_count; s++)
        if ((before->finished[s] | before->begun[s]) >> s & 1)
            return true;
    return false;
}
