#include "command/pins.h"

#include "bill/bill_each.h"
#include "load/nearest.h"

#include <stdio.h>
#include <string.h>

static int find_role(const char *name, const struct procedure *procedure, bool pilot,
                     struct arena *arena)
{
    const struct rig_plan *plan = procedure->plan;
    int role = rig_plan_role(plan, name);
    if (role >= 0 && rig_role_needed(procedure, role, pilot))
        return role;
    struct choices choices = {0};
    for (int r = 0; r < plan->role_count; r++)
        if (rig_role_needed(procedure, r, pilot))
            choices_add(&choices, plan->roles[r].name);
    fprintf(stderr, "foreguy: '%s' is no role that needs a hand in %s; %s\n",
            load_shown(arena, name), procedure->name,
            choices_advice(&choices, name, "choose from", "it has none", arena));
    return -1;
}

static int find_hand(const char *name, const struct crew *crew, struct arena *arena)
{
    struct choices choices = {0};
    for (int h = 0; h < crew->hand_count; h++) {
        bool is_it = strcmp(crew->hands[h].name, name) == 0;
        if (is_it && crew->hands[h].aboard)
            return h;
        if (is_it) {
            fprintf(stderr, "foreguy: %s is not aboard; name those aboard in --hands\n",
                    name);
            return -1;
        }
        choices_add(&choices, crew->hands[h].name);
    }
    fprintf(stderr, "foreguy: '%s' is no hand of %s; %s\n", load_shown(arena, name),
            crew->name,
            choices_advice(&choices, name, "choose from", "there are none", arena));
    return -1;
}

bool pins_take(const char *words, const struct procedure *procedure,
               const struct crew *crew, struct arena *arena, struct bill_wish *wish)
{
    size_t length = strcspn(words, "=");
    if (!length || !words[length] || !words[length + 1]) {
        fputs("foreguy: a pin is ROLE=HAND, like bow=Juno\n", stderr);
        return false;
    }
    const char *name = arena_printf(arena, "%.*s", (int)length, words);
    int role = find_role(name, procedure, wish->pilot, arena);
    int hand = role < 0 ? -1 : find_hand(words + length + 1, crew, arena);
    if (hand < 0)
        return false;
    if (wish->hand_of_role[role] >= 0 && wish->hand_of_role[role] != hand) {
        fprintf(stderr, "foreguy: %s is pinned to two hands; one wears a role\n", name);
        return false;
    }
    for (int kin = role; kin < procedure->plan->role_count; kin++)
        if (bill_are_kin(procedure, role, kin))
            wish->hand_of_role[kin] = (int8_t)hand;
    return true;
}
