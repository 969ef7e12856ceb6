#include "forces/methods.h"

#include <string.h>

unsigned method_against(const struct procedure *procedure,
                        const struct method_today *today)
{
    unsigned against = 0;
    bool other_pole = procedure->pole != POLE_NONE && today->boat->pole_said &&
                      today->boat->pole != procedure->pole;
    if (today->hands < procedure->hands_least)
        against |= METHOD_FEW_HANDS;
    if (procedure->pilot_needed && !today->pilot)
        against |= METHOD_PILOT;
    if (other_pole)
        against |= METHOD_POLE;
    if (procedure->stop_kn > 0 && today->wind_kn > procedure->stop_kn)
        against |= METHOD_WIND;
    else if (procedure->caution_kn > 0 && today->wind_kn >= procedure->caution_kn)
        against |= METHOD_CAUTION;
    return against;
}

/* "code-zero" is for sails of the kind "code". */
bool method_is_rigged(const struct procedure *procedure, const struct boat *boat)
{
    const char *rig = procedure->plan->name;
    bool is_said = false;
    for (int i = 0; i < boat->sail_count; i++) {
        const char *kind = sail_kind_name(boat->sails[i].kind);
        if (strncmp(rig, kind, strlen(kind)) == 0)
            return true;
        is_said |= boat->sails[i].kind <= SAIL_CODE;
    }
    return !is_said;
}
