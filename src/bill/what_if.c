#include "bill/what_if.h"

#include "bill/bill_each.h"
#include "bill/internal.h"

#include <string.h>

struct asking {
    const struct procedure *procedure;
    const struct crew *crew;
    const struct bill_wish *wish;
    const struct bill *bill;
    struct what_if *out;
};

static struct answer ask(const struct asking *a, const struct crew *crew,
                         const struct bill_wish *wish)
{
    struct bill bill;
    struct answer answer = {.verdict = bill_try(a->procedure, crew, wish, &bill)};
    if (answer.verdict != BILL_FOUND)
        return answer;
    answer.total_ms = bill.total_ms;
    answer.proved = bill.proved;
    for (int lane = 0; lane < bill.lane_count; lane++)
        answer.hands |= (uint64_t)1 << bill.hand[lane];
    return answer;
}

/* A crew like that of A, with hands of its own to change. */
static struct crew copy_crew(const struct asking *a, struct hand hands[HANDS_MAX])
{
    struct crew copy = *a->crew;
    memcpy(hands, a->crew->hands, a->crew->hand_count * sizeof *hands);
    copy.hands = hands;
    return copy;
}

static void ask_by_hands(const struct asking *a)
{
    int aboard = 0;
    for (int h = 0; h < a->crew->hand_count; h++)
        aboard += a->crew->hands[h].aboard;
    a->out->least = 1;
    a->out->most = aboard;
    for (int n = 1; n <= aboard; n++) {
        struct bill_wish wish = *a->wish;
        wish.hands_most = (uint8_t)n;
        a->out->by_hands[n] = ask(a, a->crew, &wish);
    }
}

static void ask_away(const struct asking *a)
{
    for (int lane = 0; lane < a->bill->lane_count; lane++) {
        struct hand hands[HANDS_MAX];
        struct crew crew = copy_crew(a, hands);
        hands[a->bill->hand[lane]].aboard = false;
        a->out->away[a->out->away_count++] =
            (struct away){a->bill->hand[lane], ask(a, &crew, a->wish)};
    }
}

static void pin(const struct bill *bill, int lane, uint8_t hand, struct bill_wish *wish)
{
    for (int role = 0; role < ROLES_MAX; role++)
        if (bill->wears[lane] >> role & 1)
            wish->hand_of_role[role] = (int8_t)hand;
}

static void ask_swapped(const struct asking *a)
{
    const struct bill *bill = a->bill;
    for (int two = 0; two < bill->lane_count; two++)
        for (int one = 0; one < two; one++) {
            struct bill_wish wish = *a->wish;
            for (int lane = 0; lane < bill->lane_count; lane++)
                pin(bill, lane,
                    lane == one   ? bill->hand[two]
                    : lane == two ? bill->hand[one]
                                  : bill->hand[lane],
                    &wish);
            a->out->swapped[a->out->swapped_count++] = (struct swapped){
                bill->hand[one], bill->hand[two], ask(a, a->crew, &wish)};
        }
}

/* Keeps the LEARNT_MAX that save most. */
static void keep_learnt(struct what_if *out, const struct learnt *new)
{
    int at = out->learnt_count;
    if (at == LEARNT_MAX) {
        if (new->answer.total_ms >= out->learnt[at - 1].answer.total_ms)
            return;
        at--;
    }
    for (; at > 0 && out->learnt[at - 1].answer.total_ms > new->answer.total_ms; at--)
        out->learnt[at] = out->learnt[at - 1];
    out->learnt[at] = *new;
    out->learnt_count += out->learnt_count < LEARNT_MAX;
}

static void ask_learnt_role(const struct asking *a, int hand, int role)
{
    struct hand hands[HANDS_MAX];
    struct knows knows[ROLES_MAX + 1];
    struct crew crew = copy_crew(a, hands);
    struct hand *learner = &hands[hand];
    int count = 0;
    for (int i = 0; i < learner->knows_count && count < ROLES_MAX; i++)
        if (strcmp(learner->knows[i].role, a->procedure->plan->roles[role].name) != 0)
            knows[count++] = learner->knows[i];
    knows[count++] =
        (struct knows){.role = a->procedure->plan->roles[role].name, .grade = GRADE_ABLE};
    learner->knows = knows;
    learner->knows_count = (uint8_t)count;
    struct learnt learnt = {(uint8_t)hand, (uint8_t)role, ask(a, &crew, a->wish)};
    if (learnt.answer.verdict == BILL_FOUND &&
        (!a->bill || learnt.answer.total_ms < a->bill->total_ms))
        keep_learnt(a->out, &learnt);
}

static void ask_learnt(const struct asking *a)
{
    for (int h = 0; h < a->crew->hand_count; h++)
        for (int role = 0; role < a->procedure->plan->role_count; role++)
            if (a->crew->hands[h].aboard && bill_first_kin(a->procedure, role) == role &&
                rig_role_needed(a->procedure, role, a->wish->pilot) &&
                bill_grade(a->procedure, a->crew, h, role) < GRADE_ABLE)
                ask_learnt_role(a, h, role);
}

void bill_what_if(const struct procedure *procedure, const struct crew *crew,
                  const struct bill_wish *wish, const struct bill *bill,
                  struct what_if *out)
{
    const struct asking a = {procedure, crew, wish, bill, out};
    *out = (struct what_if){0};
    ask_by_hands(&a);
    if (bill) {
        ask_away(&a);
        ask_swapped(&a);
    }
    ask_learnt(&a);
}
