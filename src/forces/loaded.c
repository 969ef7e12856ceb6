#include "forces/loaded.h"

#include "forces/capstan.h"
#include "forces/sails.h"
#include "forces/wind.h"

#include <math.h>
#include <string.h>

static const double wind_most_kn = 80;

static part_set bit(int part)
{
    return (part_set)1 << part;
}

/* The pole is what tells the rigs apart: a symmetric kite is held out by a guy. */
static bool has_guy(const struct rig_plan *plan)
{
    for (int i = 0; i < plan->part_count; i++)
        if (plan->parts[i].load == LOAD_GUY)
            return true;
    return false;
}

static bool is_for(const struct sail *sail, double wind_kn)
{
    return wind_kn >= sail->wind_least_kn && wind_kn <= sail->wind_most_kn;
}

/* A is chosen before B: for this wind, then larger; else the one for the most wind. */
static bool is_better(const struct sail *a, const struct sail *b, double wind_kn)
{
    if (is_for(a, wind_kn) != is_for(b, wind_kn))
        return is_for(a, wind_kn);
    if (is_for(a, wind_kn))
        return sail_area_m2(a) > sail_area_m2(b);
    return a->wind_most_kn > b->wind_most_kn;
}

/* The sail to take by the apparent wind; NULL where none fits or that is not known. */
static const struct sail *choose_by_apparent(const struct boat *boat, enum sail_kind kind,
                                             const struct weather *weather)
{
    struct sail_verdict verdicts[SAILS_MAX];
    struct sail_weather sails;
    int count = 0;
    if (!weather_apparent(weather, &sails))
        return NULL;
    for (int i = 0; i < boat->sail_count; i++)
        if (boat->sails[i].kind == kind &&
            sail_judge(&boat->sails[i], &sails, &verdicts[count]))
            count++;
    int chosen = sail_choose(verdicts, count);
    return chosen < 0 ? NULL : verdicts[chosen].sail;
}

static const struct sail *choose_sail(const struct boat *boat, enum sail_kind kind,
                                      const struct weather *weather)
{
    double wind_kn = weather_limit_kn(weather);
    const struct sail *chosen = choose_by_apparent(boat, kind, weather);
    if (chosen)
        return chosen;
    for (int i = 0; i < boat->sail_count; i++) {
        const struct sail *sail = &boat->sails[i];
        if (sail->kind == kind && (!chosen || is_better(sail, chosen, wind_kn)))
            chosen = sail;
    }
    return chosen;
}

/* The rig "code-zero" is for sails of the kind "code"; a guy tells a pole's. */
static enum sail_kind kind_of(const struct rig_plan *plan)
{
    const char *code = sail_kind_name(SAIL_CODE);
    return strncmp(plan->name, code, strlen(code)) == 0 ? SAIL_CODE
           : has_guy(plan)                              ? SAIL_SYMMETRIC
                                                        : SAIL_ASYMMETRIC;
}

static void find_pole(const struct boat *boat, struct load_report *out)
{
    struct vector corners[CORNER_COUNT];
    const struct pole_rig *rig = &out->pole;
    sail_corners(&out->force, corners);
    struct vector pull = corners[CORNER_TACK];
    if (!pole_rig_of_boat(boat, &out->pole) ||
        !pole_angle(rig, PLAN_ANGLE_DEG, &out->angle))
        return;
    out->has_pole = pole_hold(rig, out->angle.deg, pull, &out->hold) &&
                    pole_hold(rig, out->angle.forward_stop_deg, pull, &out->at_stay);
    out->end_for_end = boat->pole == POLE_END_FOR_END;
    out->within_end_for_end = rig->length_m <= POLE_END_FOR_END_MOST_M &&
                              out->wind_kn <= POLE_END_FOR_END_MOST_KN;
    out->column_share = pole_column_share(rig->length_m, 1, rig->j_m, 1);
    out->has_dip = boat->pole == POLE_DIP && pole_dip(rig, &out->dip);
}

/* What a line of KIND carries; false where there is no figure. */
static bool load_of(const struct load_report *report, enum load_kind kind, double *out)
{
    switch (kind) {
    case LOAD_GUY:
        *out = report->hold.guy_n;
        return report->has_pole;
    case LOAD_LIFT:
        *out = report->hold.lift_n;
        return report->has_pole;
    case LOAD_FOREGUY:
        *out = report->hold.foreguy_n;
        return report->has_pole;
    case LOAD_SHEET:
        *out = report->sheet_n;
        return report->sheet_n > 0;
    case LOAD_HALYARD:
    case LOAD_TACK:
        *out = report->corner_n;
        return report->has_force;
    default:
        return false;
    }
}

/* The winches of a boat as far as loads go: the weakest counts. */
struct winches {
    bool any, self_tailing;
    double ratio;
};

static struct winches winches_of(const struct boat *boat)
{
    struct winches all = {boat->winch_count > 0, boat->winch_count > 0, HUGE_VAL};
    for (int i = 0; i < boat->winch_count; i++) {
        all.self_tailing &= boat->winches[i].self_tailing;
        all.ratio = fmin(all.ratio, boat->winches[i].power_ratio);
    }
    return all;
}

static struct line_load line_load_of(const struct winches *winches, double load_n)
{
    struct line_load line = {
        .known = true, .load_n = load_n, .block_n = block_load_n(load_n, 180)};
    line.turns = capstan_turns(load_n, HAND_SUSTAINED_N);
    if (!winches->any && line.turns)
        line.turns = -1;
    int most = winches->any ? TURNS_MOST : 0;
    int turns = line.turns < 0 ? most : line.turns;
    line.hold_n = capstan_hold_n(load_n, CAPSTAN_FRICTION_LEAST, turns);
    line.least_n = capstan_hold_n(load_n, CAPSTAN_FRICTION_LEAST, most);
    line.handle_n = winches->any ? winch_handle_n(load_n, winches->ratio) : 0;
    line.hands = load_n > HAND_SUSTAINED_N && !winches->self_tailing ? 2 : 1;
    line.too_much = line.turns < 0 && line.hold_n > HAND_BRACED_N;
    return line;
}

static void find_loads(const struct boat *boat, struct load_report *out)
{
    struct winches winches = winches_of(boat);
    out->has_winches = winches.any;
    for (int kind = LOAD_NONE + 1; kind < LOAD_COUNT; kind++) {
        double load_n;
        if (load_of(out, (enum load_kind)kind, &load_n))
            out->loads[kind] = line_load_of(&winches, load_n);
    }
}

/* The lines STEP leaves under load by EFFECTS. */
static part_set loaded_by(const struct rig_plan *plan, const struct effects *effects)
{
    part_set lines = 0;
    for (int i = 0; i < effects->count; i++)
        if (plan->parts[effects->at[i].part].loaded >> effects->at[i].value & 1)
            lines |= bit(effects->at[i].part);
    return lines;
}

static part_set lines_of(const struct tendings *tendings)
{
    part_set lines = 0;
    for (int i = 0; i < tendings->count; i++)
        lines |= bit(tendings->at[i].line);
    return lines;
}

/* The lines STEP works while they carry their load: those it brings under it, and those
 * it takes in hand without changing them. */
static part_set worked_loaded(const struct rig_plan *plan, const struct step *step)
{
    part_set changed = 0, held = lines_of(&step->tends) | lines_of(&step->takes_over);
    for (int i = 0; i < step->start.count; i++)
        changed |= bit(step->start.at[i].part);
    for (int i = 0; i < step->finish.count; i++)
        changed |= bit(step->finish.at[i].part);
    return loaded_by(plan, &step->start) | loaded_by(plan, &step->finish) |
           (held & ~changed);
}

/* What a step does with its loads. */
static void judge_step(const struct procedure *procedure, int s, struct load_report *out)
{
    const struct rig_plan *plan = procedure->plan;
    const struct step *step = &procedure->steps[s];
    part_set worked = worked_loaded(plan, step);
    part_set moved = loaded_by(plan, &step->start);
    for (int i = 0; i < plan->part_count; i++) {
        if (!(worked >> i & 1))
            continue;
        struct line_load *line = &out->loads[plan->parts[i].load];
        line->used = true;
        bool takes_two = line->turns < 0 || (moved >> i & 1 && line->hands == 2);
        if (line->known && takes_two)
            out->two_hands |= (step_set)1 << s;
        if (line->known && line->too_much)
            out->too_much |= (step_set)1 << s;
    }
}

/* A line already in hand at the begin, and one that is tended to the end of a step and
 * on, is held by one hand for long. */
static void judge_tending(const struct procedure *procedure, struct load_report *out)
{
    const struct rig_plan *plan = procedure->plan;
    part_set held = 0;
    for (int i = 0; i < procedure->tended_count; i++)
        held |= bit(procedure->tended[i].tending.line);
    for (int s = 0; s < procedure->step_count; s++) {
        const struct step *step = &procedure->steps[s];
        held |= (lines_of(&step->tends) | lines_of(&step->takes_over)) & ~step->releases;
    }
    for (int i = 0; i < plan->part_count; i++) {
        struct line_load *line = &out->loads[plan->parts[i].load];
        if (!(held >> i & 1) || plan->parts[i].load == LOAD_NONE)
            continue;
        line->used = true;
        line->too_much |= line->known && line->turns < 0;
    }
}

/* Of a code 0 no coefficients are published that two transcriptions agree on. */
static void find_force(const struct boat *boat, const struct weather *weather,
                       struct load_report *out)
{
    struct sail_wind wind = {out->wind_kn * WIND_KNOT_M_S, PLAN_ANGLE_DEG,
                             air_standard()};
    bool pole = out->sail->kind == SAIL_SYMMETRIC;
    out->strongest_kn = sail_strongest_kn(weather);
    if (out->sail->kind == SAIL_CODE) {
        out->sheet_n = sail_genoa_sheet_n(out->area_m2, out->strongest_kn);
        return;
    }
    out->has_force = sail_force(pole ? FLOWN_SYMMETRIC : FLOWN_ASYMMETRIC, out->area_m2,
                                &wind, &out->force);
    if (!out->has_force)
        return;
    out->sheet_n = out->corner_n = sail_corner_n(&out->force);
    if (pole)
        find_pole(boat, out);
}

/* What is taken down may be above its limits; it comes down all the same. */
static void find_limits(const struct procedure *procedure, const struct weather *weather,
                        struct load_report *out)
{
    if (procedure->family == FAMILY_CARE)
        return;
    sail_limits_find(out->sail, weather, &out->limits);
    bool is_set = procedure->family <= FAMILY_JIBE;
    out->limits.stop &= is_set;
    for (int i = 0; i < out->limits.count; i++)
        out->limits.at[i].stops &= is_set;
}

bool loads_of_procedure(const struct procedure *procedure, const struct boat *boat,
                        const struct weather *weather, struct load_report *out)
{
    double wind_kn = weather_limit_kn(weather);
    if (!boat || !(wind_kn > 0 && wind_kn <= wind_most_kn))
        return false;
    const struct sail *sail = choose_sail(boat, kind_of(procedure->plan), weather);
    if (!sail)
        return false;
    *out = (struct load_report){.wind_kn = wind_kn,
                                .sail = sail,
                                .in_range = is_for(sail, wind_kn),
                                .area_m2 = sail_area_m2(sail)};
    find_force(boat, weather, out);
    find_loads(boat, out);
    judge_tending(procedure, out);
    for (int s = 0; s < procedure->step_count; s++)
        judge_step(procedure, s, out);
    find_limits(procedure, weather, out);
    return true;
}

/* The most that is left in the hand of each role of a line it works or holds. */
static void fill_holds(const struct load_report *report, struct procedure *out)
{
    const struct rig_plan *plan = out->plan;
    part_set lines[ROLES_MAX] = {0};
    for (int i = 0; i < out->tended_count; i++)
        lines[out->tended[i].role] |= bit(out->tended[i].tending.line);
    for (int s = 0; s < out->step_count; s++)
        for (int role = 0; role < plan->role_count; role++)
            if (out->steps[s].roles >> role & 1)
                lines[role] |= worked_loaded(plan, &out->steps[s]);
    for (int role = 0; role < plan->role_count; role++)
        for (int i = 0; i < plan->part_count; i++)
            if (lines[role] >> i & 1)
                out->holds_n[role] =
                    fmax(out->holds_n[role], report->loads[plan->parts[i].load].least_n);
}

const struct procedure *loaded_procedure(const struct procedure *procedure,
                                         const struct boat *boat,
                                         const struct weather *weather,
                                         struct arena *arena)
{
    struct load_report *report = arena_alloc(arena, sizeof *report);
    if (!loads_of_procedure(procedure, boat, weather, report))
        return procedure;
    struct procedure *loaded = arena_alloc(arena, sizeof *loaded);
    struct step *steps = arena_alloc(arena, procedure->step_count * sizeof *steps);
    *loaded = *procedure;
    memcpy(steps, procedure->steps, procedure->step_count * sizeof *steps);
    for (int s = 0; s < procedure->step_count; s++)
        if (report->two_hands >> s & 1)
            steps[s].hands = 2;
    loaded->steps = steps;
    loaded->loads = report;
    fill_holds(report, loaded);
    return loaded;
}
