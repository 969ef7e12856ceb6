/* Where the stations of the rigs lie on one boat. */
#include "load/library.h"

#include "load/nearest.h"

#include <string.h>

/* How the name in a boat file means a station of a rig. */
enum meant { MEANT_NOT, MEANT_ONE, MEANT_PAIR };

/* One place, or one side of a pair by its stored name; both sides by the pair's. */
static enum meant is_meant(const struct station *station, const char *name)
{
    if (strcmp(station->name, name) == 0)
        return MEANT_ONE;
    bool of_pair = *station->alias && strcmp(strchr(station->name, '-') + 1, name) == 0;
    return of_pair ? MEANT_PAIR : MEANT_NOT;
}

static void move(struct station *station, const struct boat_station *to)
{
    enum meant meant = is_meant(station, to->name);
    if (meant == MEANT_NOT)
        return;
    if (to->has_forward)
        station->forward_m = to->forward_m;
    if (meant == MEANT_ONE && to->has_starboard)
        station->starboard_m = to->starboard_m;
    if (meant == MEANT_PAIR && to->has_out)
        station->starboard_m =
            strncmp(station->name, "port-", 5) == 0 ? -to->out_m : to->out_m;
}

const struct rig_plan *load_stations_of_boat(const struct rig_plan *plan,
                                             const struct boat *boat, struct arena *arena)
{
    if (!boat || !boat->station_count)
        return plan;
    struct rig_plan *moved = arena_alloc(arena, sizeof *moved);
    struct station *stations = arena_alloc(arena, plan->station_count * sizeof *stations);
    memcpy(stations, plan->stations, plan->station_count * sizeof *stations);
    for (int i = 0; i < plan->station_count; i++)
        for (int j = 0; j < boat->station_count; j++)
            move(&stations[i], &boat->stations[j]);
    *moved = *plan;
    moved->stations = stations;
    return moved;
}

/* What the rigs at hand say to one station of the boat. */
struct answers {
    bool one, pair;
    struct choices names;
};

static void ask_rig(const struct rig_plan *plan, const struct boat_station *station,
                    struct answers *out)
{
    for (int i = 0; i < plan->station_count; i++) {
        const struct station *of_rig = &plan->stations[i];
        enum meant meant = is_meant(of_rig, station->name);
        out->one |= meant == MEANT_ONE;
        out->pair |= meant == MEANT_PAIR;
        const char *name = *of_rig->alias ? strchr(of_rig->name, '-') + 1 : of_rig->name;
        bool listed = false;
        for (size_t j = 0; j < out->names.count; j++)
            listed |= strcmp(out->names.at[j], name) == 0;
        if (!listed && out->names.count < CHOICES_MAX)
            choices_add(&out->names, name);
    }
}

static void check_station(const struct library *library,
                          const struct boat_station *station, struct arena *arena,
                          struct diags *diags)
{
    struct answers answers = {.one = false};
    for (int i = 0; i < library->rig_count; i++) {
        const struct rig_plan *plan =
            load_rig(library->rigs[i], BOARD_STARBOARD, arena, diags_new(arena));
        if (plan)
            ask_rig(plan, station, &answers);
    }
    if (!answers.one && !answers.pair)
        diag_add(diags, MESSAGE_UNKNOWN_NAME, station->where, station->name,
                 "no station of any rig",
                 choices_advice(&answers.names, station->name, "choose from",
                                "no rig here has any", arena));
    else if (station->has_out && !answers.pair)
        diag_add(diags, MESSAGE_STATION_ACROSS, station->where, station->name,
                 "in one place", "starboard");
    else if (station->has_starboard && !answers.one)
        diag_add(diags, MESSAGE_STATION_ACROSS, station->where, station->name,
                 "on both sides", "out");
}

bool library_take_boat(struct library *library, const struct boat *boat,
                       struct arena *arena, struct diags *diags)
{
    size_t before = diags_errors(diags);
    for (int i = 0; i < boat->station_count && library->rig_count; i++)
        check_station(library, &boat->stations[i], arena, diags);
    if (diags_errors(diags) > before)
        return false;
    library->boat = boat;
    return true;
}
