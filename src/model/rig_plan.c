#include "model/rig_plan.h"

#include <math.h>
#include <string.h>

int rig_plan_part(const struct rig_plan *plan, const char *name)
{
    for (int i = 0; i < plan->part_count; i++)
        if (strcmp(plan->parts[i].name, name) == 0)
            return i;
    return -1;
}

int rig_plan_role(const struct rig_plan *plan, const char *name)
{
    for (int i = 0; i < plan->role_count; i++)
        if (strcmp(plan->roles[i].name, name) == 0)
            return i;
    return -1;
}

role_set rig_plan_names_once(const struct rig_plan *plan, role_set roles)
{
    role_set once = 0;
    for (int role = 0; role < plan->role_count; role++) {
        bool is_new = roles >> role & 1;
        for (int other = 0; other < role && is_new; other++)
            is_new = !(once >> other & 1) ||
                     strcmp(plan->roles[other].name, plan->roles[role].name) != 0;
        once |= (role_set)is_new << role;
    }
    return once;
}

int rig_plan_station(const struct rig_plan *plan, const char *name)
{
    for (int i = 0; i < plan->station_count; i++)
        if (strcmp(plan->stations[i].name, name) == 0)
            return i;
    return -1;
}

int part_find_value(const struct part *part, const char *name)
{
    for (int i = 0; i < part->value_count; i++)
        if (strcmp(part->values[i].name, name) == 0)
            return i;
    return -1;
}

double rig_plan_distance_m(const struct rig_plan *plan, int from, int to)
{
    const struct station *a = &plan->stations[from], *b = &plan->stations[to];
    return hypot(a->forward_m - b->forward_m, a->starboard_m - b->starboard_m);
}

const char *const *load_kind_words(void)
{
    static const char *const words[] = {"sheet",   "guy",  "halyard",  "tack", "lift",
                                        "foreguy", "sock", "retrieve", "furl", NULL};
    return words;
}
