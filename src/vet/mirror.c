#include "vet/mirror.h"

#include <math.h>
#include <string.h>

/* Where each part, value and station of one board is on the other; steps, roles and gear
 * keep their numbers. */
struct mirror {
    const struct procedure *one, *other;
    uint8_t part[PARTS_MAX], value[PARTS_MAX][VALUES_MAX], station[STATIONS_MAX];
    part_set parts;    /* that the procedure speaks of */
    uint32_t stations; /* and that it works at */
    struct text *why;
};

static bool breaks(const struct mirror *mirror, const char *what, const char *name)
{
    text_printf(mirror->why, "%s%s is not mirrored", what, name);
    return false;
}

static bool breaks_fixed(const struct mirror *mirror, const char *words, enum side side)
{
    text_printf(mirror->why, "the %s is fixed to %s", words,
                side == SIDE_PORT ? "port" : "starboard");
    return false;
}

/* One thing under the name it has on both boards. */
static const char *shared_name(const char *name, const char *alias)
{
    return *alias ? alias : name;
}

static bool map_values(struct mirror *mirror, int p)
{
    const struct part *one = &mirror->one->plan->parts[p];
    const struct part *other = &mirror->other->plan->parts[mirror->part[p]];
    value_set found = 0;
    for (int v = 0; v < one->value_count; v++)
        for (int w = 0; w < other->value_count; w++)
            if (strcmp(shared_name(one->values[v].name, one->values[v].alias),
                       shared_name(other->values[w].name, other->values[w].alias)) == 0) {
                mirror->value[p][v] = (uint8_t)w;
                found |= (value_set)1 << w;
            }
    return one->value_count == other->value_count &&
           found == (value_set)(((uint64_t)1 << one->value_count) - 1);
}

static bool map_parts(struct mirror *mirror)
{
    const struct rig_plan *one = mirror->one->plan, *other = mirror->other->plan;
    part_set found = 0;
    for (int p = 0; p < one->part_count; p++) {
        for (int q = 0; q < other->part_count; q++)
            if (strcmp(shared_name(one->parts[p].name, one->parts[p].alias),
                       shared_name(other->parts[q].name, other->parts[q].alias)) == 0) {
                mirror->part[p] = (uint8_t)q;
                found |= (part_set)1 << q;
            }
        if (!map_values(mirror, p))
            return breaks(mirror, "part ", one->parts[p].words);
    }
    for (int q = 0; q < other->part_count; q++)
        if (!(found >> q & 1))
            return breaks(mirror, "part ", other->parts[q].words);
    return one->part_count == other->part_count ||
           breaks(mirror, "the number of ", "parts");
}

static bool map_stations(struct mirror *mirror)
{
    const struct rig_plan *one = mirror->one->plan, *other = mirror->other->plan;
    uint32_t found = 0;
    for (int s = 0; s < one->station_count; s++)
        for (int t = 0; t < other->station_count; t++)
            if (strcmp(shared_name(one->stations[s].name, one->stations[s].alias),
                       shared_name(other->stations[t].name, other->stations[t].alias)) ==
                0) {
                mirror->station[s] = (uint8_t)t;
                found |= (uint32_t)1 << t;
            }
    for (int t = 0; t < other->station_count; t++)
        if (!(found >> t & 1))
            return breaks(mirror, "station ", other->stations[t].words);
    return one->station_count == other->station_count ||
           breaks(mirror, "the number of ", "stations");
}

static value_set values_over(const struct mirror *mirror, int part, value_set values)
{
    value_set over = 0;
    for (int v = 0; v < VALUES_MAX; v++)
        if (values >> v & 1)
            over |= (value_set)1 << mirror->value[part][v];
    return over;
}

static part_set parts_over(const struct mirror *mirror, part_set parts)
{
    part_set over = 0;
    for (int p = 0; p < PARTS_MAX; p++)
        if (parts >> p & 1)
            over |= (part_set)1 << mirror->part[p];
    return over;
}

static bool same_conditions(struct mirror *mirror, const struct conditions *one,
                            const struct conditions *other)
{
    for (int i = 0; one->count == other->count && i < one->count; i++) {
        const struct condition *a = &one->at[i], *b = &other->at[i];
        mirror->parts |= (part_set)1 << a->part;
        if (mirror->part[a->part] != b->part ||
            values_over(mirror, a->part, a->values) != b->values)
            return false;
    }
    return one->count == other->count;
}

static bool same_effects(struct mirror *mirror, const struct effects *one,
                         const struct effects *other)
{
    for (int i = 0; one->count == other->count && i < one->count; i++) {
        const struct effect *a = &one->at[i], *b = &other->at[i];
        mirror->parts |= (part_set)1 << a->part;
        if (mirror->part[a->part] != b->part ||
            mirror->value[a->part][a->value] != b->value)
            return false;
    }
    return one->count == other->count;
}

static bool same_tending(struct mirror *mirror, const struct tending *one,
                         const struct tending *other)
{
    mirror->parts |= (part_set)1 << one->line;
    return mirror->part[one->line] == other->line &&
           same_conditions(mirror, &one->none_when, &other->none_when);
}

static bool same_tendings(struct mirror *mirror, const struct tendings *one,
                          const struct tendings *other)
{
    for (int i = 0; one->count == other->count && i < one->count; i++)
        if (!same_tending(mirror, &one->at[i], &other->at[i]))
            return false;
    return one->count == other->count;
}

static bool same_lines(struct mirror *mirror, part_set one, part_set other)
{
    mirror->parts |= one;
    return parts_over(mirror, one) == other;
}

static bool same_step(struct mirror *mirror, const struct step *one,
                      const struct step *other)
{
    mirror->stations |= (uint32_t)1 << one->at;
    return strcmp(one->name, other->name) == 0 && one->roles == other->roles &&
           mirror->station[one->at] == other->at && one->hands == other->hands &&
           one->pilot == other->pilot && one->after == other->after &&
           one->after_started == other->after_started && one->uses == other->uses &&
           same_conditions(mirror, &one->wait, &other->wait) &&
           same_conditions(mirror, &one->need, &other->need) &&
           same_effects(mirror, &one->start, &other->start) &&
           same_effects(mirror, &one->finish, &other->finish) &&
           same_tendings(mirror, &one->tends, &other->tends) &&
           same_tendings(mirror, &one->takes_over, &other->takes_over) &&
           same_lines(mirror, one->releases, other->releases) &&
           same_lines(mirror, one->hands_over, other->hands_over);
}

static bool same_steps(struct mirror *mirror)
{
    const struct procedure *one = mirror->one, *other = mirror->other;
    if (one->step_count != other->step_count)
        return breaks(mirror, "the number of ", "steps");
    for (int s = 0; s < one->step_count; s++)
        if (!same_step(mirror, &one->steps[s], &other->steps[s]))
            return breaks(mirror, "step ", one->steps[s].name);
    return true;
}

static bool same_atom(struct mirror *mirror, const struct atom *one,
                      const struct atom *other)
{
    if (one->kind != other->kind)
        return false;
    if (one->kind != ATOM_PART && one->kind != ATOM_UNTENDED)
        return one->kind == ATOM_ENDED || one->index == other->index;
    mirror->parts |= (part_set)1 << one->index;
    return mirror->part[one->index] == other->index &&
           (one->kind == ATOM_UNTENDED ||
            values_over(mirror, one->index, one->values) == other->values);
}

static bool same_clause(struct mirror *mirror, const struct clause *one,
                        const struct clause *other)
{
    for (int i = 0; one->count == other->count && i < one->count; i++)
        if (!same_atom(mirror, &one->atoms[i], &other->atoms[i]))
            return false;
    return one->count == other->count;
}

static bool same_rule(struct mirror *mirror, const struct rule *one,
                      const struct rule *other)
{
    bool same = one->form == other->form && one->hurts == other->hurts &&
                one->signal == other->signal &&
                one->clause_count == other->clause_count &&
                strcmp(one->name, other->name) == 0;
    for (int i = 0; same && i < one->clause_count; i++)
        same = same_clause(mirror, &one->clauses[i], &other->clauses[i]);
    return same;
}

static bool same_rules(struct mirror *mirror)
{
    const struct rules *one = &mirror->one->rules, *other = &mirror->other->rules;
    for (int i = 0; i < one->count && i < other->count; i++)
        if (!same_rule(mirror, &one->at[i], &other->at[i]))
            return breaks(mirror, "rule ", one->at[i].name);
    return one->count == other->count || breaks(mirror, "the number of ", "rules");
}

static bool same_begin(struct mirror *mirror)
{
    const struct procedure *one = mirror->one, *other = mirror->other;
    mirror->parts |= one->begin_parts;
    for (int p = 0; p < one->plan->part_count; p++) {
        const struct begin *a = &one->begin[p], *b = &other->begin[mirror->part[p]];
        if (values_over(mirror, p, a->values) != b->values ||
            (a->values && mirror->value[p][a->first] != b->first))
            return breaks(mirror, "the begin of ", one->plan->parts[p].words);
    }
    bool same = one->tended_count == other->tended_count;
    for (int i = 0; same && i < one->tended_count; i++)
        same = one->tended[i].role == other->tended[i].role &&
               same_tending(mirror, &one->tended[i].tending, &other->tended[i].tending);
    return same || breaks(mirror, "who holds what at the ", "begin");
}

static bool same_checks(struct mirror *mirror)
{
    const struct procedure *one = mirror->one, *other = mirror->other;
    bool same = one->check_count == other->check_count;
    for (int i = 0; same && i < one->check_count; i++)
        same = one->checks[i].ask == other->checks[i].ask &&
               parts_over(mirror, one->checks[i].covers) == other->checks[i].covers;
    return same || breaks(mirror, "what the checks cover", "");
}

static bool same_role(struct mirror *mirror, const struct role *one,
                      const struct role *other)
{
    if (one->steers)
        mirror->stations |= (uint32_t)1 << one->station;
    return strcmp(one->name, other->name) == 0 && one->steers == other->steers &&
           one->free_order == other->free_order &&
           mirror->station[one->station] == other->station &&
           parts_over(mirror, one->sees) == other->sees;
}

static bool same_roles(struct mirror *mirror)
{
    const struct rig_plan *one = mirror->one->plan, *other = mirror->other->plan;
    bool same = one->role_count == other->role_count &&
                mirror->one->roles == mirror->other->roles &&
                mirror->one->hands_least == mirror->other->hands_least &&
                mirror->one->pilot_needed == mirror->other->pilot_needed;
    for (int i = 0; same && i < one->role_count; i++)
        same = same_role(mirror, &one->roles[i], &other->roles[i]);
    return same || breaks(mirror, "the list of ", "roles");
}

/* A part of a pair goes to the other side; one that is fixed to a side does not. */
static bool part_is_turned(struct mirror *mirror, int p)
{
    const struct part *one = &mirror->one->plan->parts[p];
    const struct part *other = &mirror->other->plan->parts[mirror->part[p]];
    if (one->side != SIDE_NONE && one->side == other->side)
        return breaks_fixed(mirror, one->words, one->side);
    if ((one->side == SIDE_NONE) != (other->side == SIDE_NONE) ||
        (one->tended_at < 0) != (other->tended_at < 0))
        return breaks(mirror, "part ", one->words);
    if (one->tended_at < 0)
        return true;
    mirror->stations |= (uint32_t)1 << one->tended_at;
    return mirror->station[one->tended_at] == other->tended_at ||
           breaks(mirror, "where to tend the ", one->words);
}

static bool station_is_turned(struct mirror *mirror, int s)
{
    const struct station *one = &mirror->one->plan->stations[s];
    const struct station *other = &mirror->other->plan->stations[mirror->station[s]];
    if (fabs(one->starboard_m + other->starboard_m) > 1e-9 ||
        fabs(one->forward_m - other->forward_m) > 1e-9)
        return breaks(mirror, "station ", one->words);
    for (int t = 0; t < mirror->one->plan->station_count; t++)
        if (mirror->stations >> t & 1 &&
            (one->reach >> t & 1) != (other->reach >> mirror->station[t] & 1))
            return breaks(mirror, "the reach from the ", one->words);
    return true;
}

/* What the procedure does not speak of may be fixed where it likes. */
static bool places_are_turned(struct mirror *mirror)
{
    for (int p = 0; p < mirror->one->plan->part_count; p++)
        if (mirror->parts >> p & 1 && !part_is_turned(mirror, p))
            return false;
    for (int s = 0; s < mirror->one->plan->station_count; s++)
        if (mirror->stations >> s & 1 && !station_is_turned(mirror, s))
            return false;
    return true;
}

static bool gear_is_turned(struct mirror *mirror)
{
    const struct rig_plan *one = mirror->one->plan, *other = mirror->other->plan;
    if (one->gear_count != other->gear_count)
        return breaks(mirror, "the list of ", "gear");
    uint32_t used = 0;
    for (int s = 0; s < mirror->one->step_count; s++)
        used |= mirror->one->steps[s].uses;
    for (int g = 0; g < one->gear_count; g++) {
        if (strcmp(one->gear[g].name, other->gear[g].name) != 0)
            return breaks(mirror, "the list of ", "gear");
        if (used >> g & 1 && one->gear[g].side != SIDE_NONE)
            return breaks_fixed(mirror, one->gear[g].words, one->gear[g].side);
    }
    return true;
}

bool vet_mirrors(const struct procedure *one, const struct procedure *other,
                 struct text *why)
{
    struct mirror mirror = {.one = one, .other = other, .why = why};
    if (!map_parts(&mirror) || !map_stations(&mirror) || !same_roles(&mirror) ||
        !same_steps(&mirror) || !same_begin(&mirror) || !same_checks(&mirror) ||
        !same_rules(&mirror))
        return false;
    if (!same_conditions(&mirror, &one->goal, &other->goal))
        return breaks(&mirror, "the ", "goal");
    return places_are_turned(&mirror) && gear_is_turned(&mirror);
}
