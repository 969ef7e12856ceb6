/* What a random case (mix.h) really holds, read from the loaded procedure, the rig and
 * what the searches saw, never from what was meant to be drawn. */
#ifndef UNIT_MIX_KINDS_H
#define UNIT_MIX_KINDS_H

#include "mix.h"
#include "second_search.h"

enum mix_kind {
    KIND_WAIT_CYCLE,
    KIND_JOINT,
    KIND_FREE_ORDER,
    KIND_SEVERAL_CARDS,
    KIND_MERGED_CARD,
    KIND_FINISH_ARROW,
    KIND_TAKEN_OVER,
    KIND_NONE_WHEN,
    KIND_RELEASED,
    KIND_NEED,
    KIND_GEAR,
    KIND_RACY,
    KIND_CLOSING,
    KIND_MANY_BEGINS,
    KIND_MIDWAY,
    KIND_BEGUN,
    KIND_LEFT_OUT,
    KIND_SAFE,
    KIND_BROKEN,
    KIND_STALL,
    KIND_WRONG_END,
    KIND_FORM,                         /* a rule of each form ... */
    KIND_FORM_BROKEN = KIND_FORM + 8,  /* ... and one that breaks */
    KIND_FOUND = KIND_FORM_BROKEN + 8, /* each kind of finding that is not a rule */
    KIND_COUNT = KIND_FOUND + FINDING_TAKEN
};

/* The least number of cases of each kind among 4000 wild and 4000 orderly ones. */
static const struct {
    const char *what;
    int least[2];
} mix_kind_facts[KIND_COUNT] = {
    [KIND_WAIT_CYCLE] = {"steps that wait for each other", {200, 200}},
    [KIND_JOINT] = {"a joint step", {400, 400}},
    [KIND_FREE_ORDER] = {"a free order of two steps at least", {200, 200}},
    [KIND_SEVERAL_CARDS] = {"a hand with several cards", {200, 200}},
    [KIND_MERGED_CARD] = {"a card of several roles", {100, 100}},
    [KIND_FINISH_ARROW] = {"an arrow into a finish", {400, 400}},
    [KIND_TAKEN_OVER] = {"a line taken over on some way", {400, 400}},
    [KIND_NONE_WHEN] = {"a line that at some values takes no hand", {400, 400}},
    [KIND_RELEASED] = {"a release", {400, 400}},
    [KIND_NEED] = {"a need", {400, 400}},
    [KIND_GEAR] = {"gear of several hands", {400, 400}},
    [KIND_RACY] = {"a part whose value the marks do not tell", {800, 20}},
    [KIND_CLOSING] = {"a wait that held and holds no more, not used", {200, 3}},
    [KIND_MANY_BEGINS] = {"several begins", {200, 200}},
    [KIND_MIDWAY] = {"a begin in the middle", {200, 200}},
    [KIND_BEGUN] = {"a begin with a step under way", {100, 100}},
    [KIND_LEFT_OUT] = {"a step left out", {200, 200}},
    [KIND_SAFE] = {"safe", {400, 400}},
    [KIND_BROKEN] = {"broken", {1000, 1000}},
    [KIND_STALL] = {"a stall", {400, 200}},
    [KIND_WRONG_END] = {"a wrong end", {400, 400}},
    [KIND_FORM + RULE_NEVER] = {"never", {200, 200}},
    [KIND_FORM + RULE_ALWAYS] = {"always", {200, 200}},
    [KIND_FORM + RULE_WHILE] = {"while", {200, 200}},
    [KIND_FORM + RULE_WHEN] = {"when", {200, 200}},
    [KIND_FORM + RULE_BEFORE] = {"before", {200, 200}},
    [KIND_FORM + RULE_TOGETHER] = {"never-together", {200, 200}},
    [KIND_FORM + RULE_TENDED] = {"tended", {200, 200}},
    [KIND_FORM + RULE_FINALLY] = {"finally", {200, 200}},
    [KIND_FORM_BROKEN + RULE_NEVER] = {"never broken", {100, 100}},
    [KIND_FORM_BROKEN + RULE_ALWAYS] = {"always broken", {100, 100}},
    [KIND_FORM_BROKEN + RULE_WHILE] = {"while broken", {100, 100}},
    [KIND_FORM_BROKEN + RULE_WHEN] = {"when broken", {100, 100}},
    [KIND_FORM_BROKEN + RULE_BEFORE] = {"before broken", {100, 100}},
    [KIND_FORM_BROKEN + RULE_TOGETHER] = {"never-together broken", {80, 80}},
    [KIND_FORM_BROKEN + RULE_TENDED] = {"tended broken", {100, 100}},
    [KIND_FORM_BROKEN + RULE_FINALLY] = {"finally broken", {100, 100}},
    [KIND_FOUND + FINDING_NEED - 1] = {"a need not met", {400, 400}},
    [KIND_FOUND + FINDING_HANDS - 1] = {"more than two hands", {200, 200}},
    [KIND_FOUND + FINDING_PLACE - 1] = {"away from a line in hand", {200, 200}},
    [KIND_FOUND + FINDING_GEAR - 1] = {"gear used twice at once", {200, 200}},
    [KIND_FOUND + FINDING_HELM - 1] = {"the helm left", {50, 50}},
    [KIND_FOUND + FINDING_TAKEN - 1] = {"a line taken out of a hand", {100, 20}},
};

static inline int mix_bits(uint64_t set)
{
    int count = 0;
    for (; set; set &= set - 1)
        count++;
    return count;
}

/* The steps that must be done (or begun) before STEP, by arrows and cards. */
static inline step_set kinds_before(const struct rig *rig, int step)
{
    const struct step *s = &rig->procedure->steps[step];
    step_set before = s->after | s->after_started;
    for (int c = 0; c < rig->card_count; c++) {
        const struct rig_card *card = &rig->cards[c];
        step_set earlier = 0;
        for (int i = 0; i < card->count && !card->free_order; i++) {
            if (card->steps[i] == step)
                before |= earlier;
            earlier |= (step_set)1 << card->steps[i];
        }
    }
    return before;
}

static inline bool kinds_sets(const struct effects *effects, const struct condition *c)
{
    for (int i = 0; i < effects->count; i++)
        if (effects->at[i].part == c->part && c->values >> effects->at[i].value & 1)
            return true;
    return false;
}

/* The one step that can make C hold; -1: it may hold at the begin, or several can. */
static inline int kinds_opener(const struct rig *rig, const struct condition *c)
{
    int opener = -1;
    if (rig->procedure->begin[c->part].values & c->values)
        return -1;
    for (int s = 0; s < rig->procedure->step_count; s++) {
        const struct step *step = &rig->procedure->steps[s];
        if (!kinds_sets(&step->start, c) && !kinds_sets(&step->finish, c))
            continue;
        if (opener >= 0)
            return -1;
        opener = s;
    }
    return opener;
}

static inline bool kinds_cyclic(step_set before[STEPS_MAX], int count)
{
    for (int k = 0; k < count; k++)
        for (int s = 0; s < count; s++)
            if (before[s] >> k & 1)
                before[s] |= before[k];
    for (int s = 0; s < count; s++)
        if (before[s] >> s & 1)
            return true;
    return false;
}

/* There is no cycle of arrows and cards alone, and one with the waits. */
static inline bool kinds_wait_cycle(const struct rig *rig)
{
    step_set arrows[STEPS_MAX], all[STEPS_MAX];
    int count = rig->procedure->step_count;
    for (int s = 0; s < count; s++) {
        const struct conditions *wait = &rig->procedure->steps[s].wait;
        arrows[s] = all[s] = kinds_before(rig, s);
        for (int i = 0; i < wait->count; i++) {
            int opener = kinds_opener(rig, &wait->at[i]);
            if (opener >= 0 && opener != s)
                all[s] |= (step_set)1 << opener;
        }
    }
    return !kinds_cyclic(arrows, count) && kinds_cyclic(all, count);
}

static inline void kinds_of_cards(const struct rig *rig, bool has[KIND_COUNT])
{
    for (int lane = 0; lane < rig->lane_count; lane++) {
        int cards = 0, roles = 0;
        for (int c = 0; c < rig->card_count; c++) {
            const struct rig_card *card = &rig->cards[c];
            cards += card->lane == lane && card->count;
            has[KIND_FREE_ORDER] |= card->free_order && card->count > 1;
        }
        for (int r = 0; r < rig->plan->role_count; r++) {
            bool works = false;
            for (int s = 0; s < rig->procedure->step_count; s++)
                works |= rig->procedure->steps[s].roles >> r & 1;
            roles += works && rig->lane_of_role[r] == lane;
        }
        has[KIND_SEVERAL_CARDS] |= cards > 1;
        has[KIND_MERGED_CARD] |= cards == 1 && roles > 1;
    }
}

/* GIVER's line goes with a takes-over of another lane: the hands-overs and takes-overs of
 * a line are paired down the file. */
static inline bool kinds_finish_arrow(const struct rig *rig, int giver, int line)
{
    const struct procedure *procedure = rig->procedure;
    int pass = 0;
    for (int s = 0; s < giver; s++)
        pass += (procedure->steps[s].hands_over >> line & 1) != 0;
    for (int s = 0; s < procedure->step_count; s++)
        for (int i = 0; i < procedure->steps[s].takes_over.count; i++)
            if (procedure->steps[s].takes_over.at[i].line == line && pass-- == 0)
                return !(rig->lanes_of_step[s] & rig->lanes_of_step[giver]);
    return false;
}

static inline bool kinds_fast(const struct tendings *tendings)
{
    for (int i = 0; i < tendings->count; i++)
        if (tendings->at[i].none_when.count)
            return true;
    return false;
}

static inline void kinds_of_steps(const struct rig *rig, bool has[KIND_COUNT])
{
    lane_set using[GEAR_MAX] = {0};
    for (int s = 0; s < rig->procedure->step_count; s++) {
        const struct step *step = &rig->procedure->steps[s];
        has[KIND_JOINT] |= mix_bits(rig->lanes_of_step[s]) > 1;
        has[KIND_NONE_WHEN] |= kinds_fast(&step->tends) || kinds_fast(&step->takes_over);
        has[KIND_RELEASED] |= step->releases != 0;
        has[KIND_NEED] |= step->need.count > 0;
        for (int line = 0; line < rig->plan->part_count; line++)
            has[KIND_FINISH_ARROW] |=
                step->hands_over >> line & 1 && kinds_finish_arrow(rig, s, line);
        for (int g = 0; g < rig->plan->gear_count; g++) {
            if (!(step->uses >> g & 1))
                continue;
            has[KIND_GEAR] |= using[g] && using[g] != rig->lanes_of_step[s];
            using[g] |= rig->lanes_of_step[s];
        }
    }
}

static inline void kinds_of_report(const struct rig *rig, const struct vet_report *report,
                                   bool has[KIND_COUNT])
{
    static const enum mix_kind of_verdict[] = {[VET_SAFE] = KIND_SAFE,
                                               [VET_BROKEN] = KIND_BROKEN,
                                               [VET_STALL] = KIND_STALL,
                                               [VET_WRONG_END] = KIND_WRONG_END};
    has[of_verdict[report->verdict]] = true;
    for (int i = 0; i < report->found_count; i++) {
        const struct vet_found *found = &report->found[i];
        has[of_verdict[found->kind]] = true;
        if (found->kind != VET_BROKEN)
            continue;
        if (found->finding.kind == FINDING_RULE)
            has[KIND_FORM_BROKEN + rig->procedure->rules.at[found->finding.index].form] =
                true;
        else
            has[KIND_FOUND + (int)found->finding.kind - 1] = true;
    }
    for (int i = 0; i < rig->procedure->rules.count; i++)
        has[KIND_FORM + rig->procedure->rules.at[i].form] = true;
}

/* A line has two hands in some state that was met. */
static inline bool kinds_taken_over(const struct second *seen)
{
    for (int level = 0; level <= VET_WAY_MAX; level++)
        for (const struct second_state *s = seen->levels[level]; s; s = s->next)
            for (int p = 0; p < seen->rig->plan->part_count; p++)
                if (s->state.taker[p] >= 0)
                    return true;
    return false;
}

/* Adds one to the count of each kind that MIX holds; SEEN has searched it. */
static inline void mix_count_kinds(const struct mix *mix, const struct second *seen,
                                   int counts[KIND_COUNT])
{
    bool has[KIND_COUNT] = {false};
    const struct rig *rig = &mix->rig;
    has[KIND_WAIT_CYCLE] = kinds_wait_cycle(rig);
    kinds_of_cards(rig, has);
    kinds_of_steps(rig, has);
    kinds_of_report(rig, seen->report, has);
    has[KIND_TAKEN_OVER] = kinds_taken_over(seen);
    has[KIND_RACY] = seen->racy;
    has[KIND_CLOSING] = seen->closing;
    has[KIND_MANY_BEGINS] = seen->report->begins > 1;
    has[KIND_MIDWAY] = rig->start.begun != 0;
    has[KIND_BEGUN] = (rig->start.begun & ~rig->start.done) != 0;
    has[KIND_LEFT_OUT] = rig->start.skipped != 0;
    for (int k = 0; k < KIND_COUNT; k++)
        counts[k] += has[k];
}

#endif
