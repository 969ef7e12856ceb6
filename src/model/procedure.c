#include "model/procedure.h"

#include <string.h>

int procedure_step(const struct procedure *procedure, const char *name)
{
    for (int i = 0; i < procedure->step_count; i++)
        if (strcmp(procedure->steps[i].name, name) == 0)
            return i;
    return -1;
}

step_set procedure_all_steps(const struct procedure *procedure)
{
    if (procedure->step_count >= STEPS_MAX)
        return ~(step_set)0;
    return ((step_set)1 << procedure->step_count) - 1;
}

const char *family_name(enum family family)
{
    static const char *const names[] = {"hoist", "jibe", "takedown", "recovery", "care"};
    return names[family];
}

const char *signal_name(enum signal signal)
{
    static const char *const names[] = {"", "NOTICE", "CAUTION", "WARNING", "DANGER"};
    return names[signal];
}

const char *hurts_name(enum hurts hurts)
{
    static const char *const names[] = {"speed", "gear", "boat", "crew"};
    return names[hurts];
}

const char *board_name(enum board board)
{
    return board == BOARD_PORT ? "port" : "starboard";
}
