#include "command/commands.h"

#include "base/quantity.h"
#include "cards/sheet_wind.h"
#include "command/choose.h"
#include "command/jibe_times.h"

#include <math.h>
#include <string.h>

#define GUST_FACTOR 1.4 /* where none is said: common practice */

static const struct flag flags[] = {
    {'t', "true-wind", "KN", "true wind over the water"},
    {'i', "true-angle", "DEG", "its angle off the bow, 0 to 180"},
    {'a', "apparent", "KN", "apparent wind, instead of the true one"},
    {'g', "apparent-angle", "DEG", "its angle off the bow, 0 to 180"},
    {'b', "board", "port|starboard", "the side the wind comes from (starboard)"},
    {'s', "boat-speed", "KN", "through the water; else by her polar"},
    {'l', "leeway", "DEG", "away from the wind"},
    {'f', "from", "DEG", "the true wind comes from there"},
    {'d', "heading", "DEG", "where the bow points"},
    {'c', "course", "DEG", "over the ground"},
    {'o', "over-ground", "KN", "speed over the ground"},
    {'e', "set", "DEG", "where the current sets"},
    {'r', "drift", "KN", "how fast it sets"},
    {'u', "gust", "KN", "true wind in the gusts"},
    {'m', "to", "DEG", "the bearing of a mark to leeward"},
    {'D', "distance", "2nm|800m", "how far it is"},
    {'j', "jibe-costs", "20s", "what one jibe costs this crew"},
    {'p', "polar", "FILE", "her polar; else that of the boat file"},
    {'H', "hands", "A,B,...", "exactly these are aboard"},
    {'C', "crew", "FILE", "the crew file"},
    {'B', "boat", "FILE", "the boat: her sails and polar"},
    {'P', "pilot", NULL, "the autopilot steers"},
    {'U', "units", "metric|us", "what figures are told in (metric)"},
    {'J', "json", NULL, "as JSON"},
    {0}};

/* Figures that may be said, by their place in VALUES. */
enum said {
    SAID_TRUE,
    SAID_TRUE_ANGLE,
    SAID_APPARENT,
    SAID_APPARENT_ANGLE,
    SAID_SPEED,
    SAID_LEEWAY,
    SAID_FROM,
    SAID_HEADING,
    SAID_COURSE,
    SAID_OVER_GROUND,
    SAID_SET,
    SAID_DRIFT,
    SAID_GUST,
    SAID_TO,
    SAID_DISTANCE,
    SAID_COST,
    SAID_COUNT
};

/* How each of them is read, and the range it has. */
static const struct {
    char letter;
    enum quantity quantity;
    double most;
    const char *wrong;
} figures[SAID_COUNT] = {
    [SAID_TRUE] = {'t', QUANTITY_SPEED, 80, "the true wind is 0 to 80 kn, like 14kn"},
    [SAID_TRUE_ANGLE] = {'i', QUANTITY_ANGLE, 180, "the true angle is 0 to 180 deg"},
    [SAID_APPARENT] = {'a', QUANTITY_SPEED, 120,
                       "the apparent wind is 0 to 120 kn, like 9kn"},
    [SAID_APPARENT_ANGLE] = {'g', QUANTITY_ANGLE, 180,
                             "the apparent angle is 0 to 180 deg"},
    [SAID_SPEED] = {'s', QUANTITY_SPEED, 60, "the boat's speed is 0 to 60 kn, like 6kn"},
    [SAID_LEEWAY] = {'l', QUANTITY_ANGLE, 45, "leeway is 0 to 45 deg"},
    [SAID_FROM] = {'f', QUANTITY_ANGLE, 360, "the wind comes from 0 to 360 deg"},
    [SAID_HEADING] = {'d', QUANTITY_ANGLE, 360, "the heading is 0 to 360 deg"},
    [SAID_COURSE] = {'c', QUANTITY_ANGLE, 360, "the course is 0 to 360 deg"},
    [SAID_OVER_GROUND] = {'o', QUANTITY_SPEED, 60,
                          "the speed over the ground is 0 to 60 kn"},
    [SAID_SET] = {'e', QUANTITY_ANGLE, 360, "the set is 0 to 360 deg"},
    [SAID_DRIFT] = {'r', QUANTITY_SPEED, 20, "the drift is 0 to 20 kn"},
    [SAID_GUST] = {'u', QUANTITY_SPEED, 120, "the gust is 0 to 120 kn"},
    [SAID_TO] = {'m', QUANTITY_ANGLE, 360, "the bearing is 0 to 360 deg"},
    [SAID_DISTANCE] = {'D', QUANTITY_LENGTH, 1e6,
                       "the distance has a unit: 2nm, 800m, up to 1000 km"},
    [SAID_COST] = {'j', QUANTITY_TIME, 3600,
                   "what a jibe costs is 0 to 3600 s, like 20s"},
};

struct asked {
    struct context *context;
    struct chosen chosen;
    double values[SAID_COUNT];
    bool is_said[SAID_COUNT], as_json;
    const char *polar_path;
    const struct boat *boat;
    const struct crew *crew;
    const struct polar *polar; /* NULL: none */
    struct wind_sheet sheet;
};

static bool fails(const char *what)
{
    fprintf(stderr, "foreguy wind: %s\n", what);
    return false;
}

static double m_s(const struct asked *asked, enum said said)
{
    return asked->values[said] * WIND_KNOT_M_S;
}

/* The side the wind comes from, as a sign. */
static double side(const struct asked *asked)
{
    return asked->chosen.load.board == BOARD_PORT ? -1 : 1;
}

/* A file named in the boat file lies beside it. */
static const char *beside(struct asked *asked, const char *file)
{
    const char *boat = asked->boat->source->name, *slash = strrchr(boat, '/');
    int folder = slash && *file != '/' ? (int)(slash - boat) + 1 : 0;
    return arena_printf(asked->context->arena, "%.*s%s", folder, boat, file);
}

static bool load_files(struct asked *asked)
{
    struct context *context = asked->context;
    context_fill_library(context);
    asked->boat = choose_boat(context, &asked->chosen);
    asked->crew = asked->boat ? choose_crew(context, &asked->chosen) : NULL;
    if (!asked->crew)
        return context_report(context), false;
    const char *path = asked->polar_path;
    if (!path && *asked->boat->polar_file)
        path = beside(asked, asked->boat->polar_file);
    const struct source *source = path ? context_read(context, path) : NULL;
    asked->polar =
        source ? load_polar(source, context->arena, context->diags) : asked->boat->polar;
    return !context_report(context);
}

/* Course and speed over the ground, less the current, are the way through the water. */
static bool take_ground(struct asked *asked)
{
    struct wind_sheet *sheet = &asked->sheet;
    struct track back = {wind_compass_deg(sheet->current.toward_deg + 180),
                         sheet->current.speed_m_s};
    struct track water;
    if (!wind_track(asked->values[SAID_COURSE],
                    (struct way){m_s(asked, SAID_OVER_GROUND), 0}, back, &water))
        return fails("course and current make no sense together");
    sheet->way.speed_m_s = water.speed_m_s;
    sheet->way.leeway_deg =
        water.speed_m_s > 0
            ? wind_folded_deg(water.toward_deg - asked->values[SAID_HEADING])
            : 0;
    return true;
}

/* The way through the water, as far as it is said. */
static bool take_way(struct asked *asked)
{
    struct wind_sheet *sheet = &asked->sheet;
    sheet->has_current = asked->is_said[SAID_SET];
    sheet->current = (struct track){asked->values[SAID_SET], m_s(asked, SAID_DRIFT)};
    if (asked->is_said[SAID_COURSE])
        return take_ground(asked);
    sheet->way =
        (struct way){m_s(asked, SAID_SPEED), -side(asked) * asked->values[SAID_LEEWAY]};
    return true;
}

/* From the apparent wind; needs the way. */
static bool take_apparent(struct asked *asked)
{
    struct wind apparent = {m_s(asked, SAID_APPARENT),
                            side(asked) * asked->values[SAID_APPARENT_ANGLE]};
    if (!asked->is_said[SAID_SPEED] && !asked->is_said[SAID_COURSE])
        return fails("with the apparent wind say --boat-speed, or --course and "
                     "--over-ground with --heading");
    return wind_true(apparent, asked->sheet.way, &asked->sheet.true_wind) ||
           fails("these figures make no wind: leeway over 45 deg, or a speed too great");
}

/* The true angle: said, or the wind's direction off the heading, or the best of the
 * polar. */
static bool take_angle(struct asked *asked, double *angle_deg)
{
    struct downwind_best best;
    if (asked->is_said[SAID_TRUE_ANGLE]) {
        *angle_deg = side(asked) * asked->values[SAID_TRUE_ANGLE];
    } else if (asked->is_said[SAID_FROM] && asked->is_said[SAID_HEADING]) {
        *angle_deg =
            wind_folded_deg(asked->values[SAID_FROM] - asked->values[SAID_HEADING]);
    } else if (asked->polar &&
               downwind_find_best(asked->polar, m_s(asked, SAID_TRUE), &best)) {
        *angle_deg = side(asked) * best.angle_deg;
        asked->sheet.angle_from_polar = true;
    } else {
        return fails("say --true-angle, or --from and --heading; no polar tells the best "
                     "angle in this wind");
    }
    return true;
}

static bool take_true(struct asked *asked)
{
    struct wind_sheet *sheet = &asked->sheet;
    sheet->true_wind.speed_m_s = m_s(asked, SAID_TRUE);
    if (!take_angle(asked, &sheet->true_wind.angle_deg))
        return false;
    if (asked->is_said[SAID_SPEED] || asked->is_said[SAID_COURSE])
        return true;
    sheet->speed_from_polar =
        asked->polar != NULL &&
        downwind_speed(asked->polar, sheet->true_wind.speed_m_s,
                       sheet->true_wind.angle_deg, &sheet->way.speed_m_s);
    return sheet->speed_from_polar ||
           fails("say --boat-speed; no polar tells how fast she is in this wind at this "
                 "angle");
}

/* What belongs together is said together. */
static bool check_said(const struct asked *asked)
{
    static const struct {
        enum said one, other;
        const char *wrong;
    } pairs[] = {
        {SAID_APPARENT, SAID_APPARENT_ANGLE,
         "--apparent and --apparent-angle go together"},
        {SAID_COURSE, SAID_OVER_GROUND, "--course and --over-ground go together"},
        {SAID_SET, SAID_DRIFT, "--set and --drift go together"},
        {SAID_TO, SAID_DISTANCE, "--to and --distance go together"},
    };
    const bool *said = asked->is_said;
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        if (said[pairs[i].one] != said[pairs[i].other])
            return fails(pairs[i].wrong);
    if (said[SAID_TRUE] == said[SAID_APPARENT])
        return fails("say either --true-wind or --apparent");
    if (said[SAID_APPARENT] && said[SAID_TRUE_ANGLE])
        return fails("--true-angle follows from the apparent wind; leave it out");
    if (said[SAID_APPARENT] && said[SAID_FROM] && said[SAID_HEADING])
        return fails("--from follows from heading and apparent wind; leave it out");
    if (said[SAID_FROM] && said[SAID_HEADING] && said[SAID_TRUE_ANGLE])
        return fails("of --from, --heading and --true-angle say two");
    if (said[SAID_COURSE] && (said[SAID_SPEED] || said[SAID_LEEWAY]))
        return fails("speed and leeway follow from course and --over-ground");
    if (said[SAID_COURSE] && !said[SAID_HEADING])
        return fails("with --course say the --heading");
    return true;
}

/* What needs the compass: heading, current, a mark. */
static bool take_compass(struct asked *asked)
{
    struct wind_sheet *sheet = &asked->sheet;
    sheet->has_heading = asked->is_said[SAID_HEADING] || asked->is_said[SAID_FROM];
    if (!sheet->has_heading)
        return !(sheet->has_current || asked->is_said[SAID_TO]) ||
               fails("a current or a mark needs --heading or --from");
    sheet->heading_deg =
        asked->is_said[SAID_HEADING]
            ? asked->values[SAID_HEADING]
            : wind_compass_deg(asked->values[SAID_FROM] - sheet->true_wind.angle_deg);
    sheet->over_water.from_deg =
        wind_compass_deg(sheet->heading_deg + sheet->true_wind.angle_deg);
    sheet->over_water.speed_m_s = sheet->true_wind.speed_m_s;
    return (wind_to_ground(sheet->over_water, sheet->current, &sheet->over_ground) &&
            wind_track(sheet->heading_deg, sheet->way, sheet->current, &sheet->ground)) ||
           fails("heading and current make no sense together");
}

static bool take_outlook(struct asked *asked)
{
    struct wind_sheet *sheet = &asked->sheet;
    double wind = sheet->true_wind.speed_m_s;
    sheet->gust_said = asked->is_said[SAID_GUST];
    sheet->gust_factor =
        sheet->gust_said && wind > 0 ? m_s(asked, SAID_GUST) / wind : GUST_FACTOR;
    if (!wind_outlook(sheet->true_wind, sheet->way, sheet->gust_factor, &sheet->outlook))
        return fails("the gust is the wind at least and five times it at most");
    sheet->caution_count =
        cautions_find(sheet->true_wind, &sheet->outlook, sheet->cautions);
    return true;
}

static void judge_sails(struct asked *asked)
{
    struct sail_weather weather = {asked->sheet.true_wind, asked->sheet.outlook.now,
                                   asked->is_said[SAID_GUST] ? m_s(asked, SAID_GUST) : 0};
    struct sail_verdict *verdicts = arena_alloc(
        asked->context->arena, (size_t)asked->boat->sail_count * sizeof *verdicts + 1);
    int count = 0;
    for (int i = 0; i < asked->boat->sail_count; i++)
        if (asked->boat->sails[i].kind <= SAIL_CODE &&
            sail_judge(&asked->boat->sails[i], &weather, &verdicts[count]))
            count++;
    asked->sheet.sails = verdicts;
    asked->sheet.sail_count = count;
    asked->sheet.sail = sail_choose(verdicts, count);
}

static void find_methods(struct asked *asked)
{
    struct context *context = asked->context;
    struct wind_method *methods =
        arena_alloc(context->arena, LIBRARY_MAX * sizeof *methods);
    struct method_today *today = arena_alloc(context->arena, sizeof *today);
    int count = 0;
    double wind = asked->is_said[SAID_GUST] ? m_s(asked, SAID_GUST)
                                            : asked->sheet.true_wind.speed_m_s;
    *today =
        (struct method_today){asked->boat, 0, asked->chosen.pilot, wind / WIND_KNOT_M_S};
    for (int h = 0; h < asked->crew->hand_count; h++)
        today->hands += asked->crew->hands[h].aboard;
    for (int i = 0; i < context->library.procedure_count; i++) {
        const struct procedure *procedure =
            library_load(&context->library, context->library.procedures[i],
                         &asked->chosen.load, context->arena, context->diags);
        if (!procedure || procedure->family > FAMILY_TAKEDOWN ||
            !method_is_rigged(procedure, asked->boat))
            continue;
        methods[count++] =
            (struct wind_method){procedure, method_against(procedure, today)};
    }
    asked->sheet.methods = methods;
    asked->sheet.method_count = count;
    asked->sheet.today = today;
}

static bool go_down(struct asked *asked)
{
    struct wind_sheet *sheet = &asked->sheet;
    struct downwind_best *best = arena_alloc(asked->context->arena, sizeof *best);
    struct downwind_ways *ways = arena_alloc(asked->context->arena, sizeof *ways);
    struct downwind_task *task = arena_alloc(asked->context->arena, sizeof *task);
    bool has = asked->polar &&
               downwind_find_best(asked->polar, sheet->true_wind.speed_m_s, best);
    sheet->best = has ? best : NULL;
    sheet->jibe_cost_s = asked->values[SAID_COST];
    if (!asked->is_said[SAID_TO])
        return true;
    *task = (struct downwind_task){sheet->over_water, sheet->current,
                                   asked->values[SAID_TO], asked->values[SAID_DISTANCE]};
    if (!has || !downwind_find_ways(asked->polar, task, ways))
        return fails("the polar says nothing of the way to that mark in this wind");
    sheet->task = task;
    sheet->ways = ways;
    return true;
}

static int tell(struct asked *asked)
{
    struct text out = {0};
    asked->sheet.units = asked->chosen.units;
    if (asked->as_json)
        sheet_wind_json(&asked->sheet, &out);
    else
        sheet_wind(&asked->sheet, &out);
    bool printed = context_print(&out);
    text_free(&out);
    return printed ? STATUS_FINE : STATUS_COULD_NOT;
}

/* NULL, or what is wrong with the value of flag F. */
static const char *take_flag(struct asked *asked, int f, const char *value)
{
    for (int i = 0; i < SAID_COUNT; i++) {
        if (figures[i].letter != f)
            continue;
        asked->is_said[i] =
            quantity_read(value, figures[i].quantity, &asked->values[i]) &&
            asked->values[i] >= 0 && asked->values[i] <= figures[i].most;
        return asked->is_said[i] ? NULL : figures[i].wrong;
    }
    if (f == 'b')
        return choose_board(&asked->chosen, value) ? NULL
                                                   : "the board is port or starboard";
    if (f == 'U')
        return choose_units(&asked->chosen, value);
    asked->polar_path = f == 'p' ? value : asked->polar_path;
    asked->chosen.hands = f == 'H' ? value : asked->chosen.hands;
    asked->chosen.crew_path = f == 'C' ? value : asked->chosen.crew_path;
    asked->chosen.boat_path = f == 'B' ? value : asked->chosen.boat_path;
    asked->chosen.pilot |= f == 'P';
    asked->as_json |= f == 'J';
    return NULL;
}

static int work_out(struct asked *asked)
{
    if (!check_said(asked) || !load_files(asked) || !take_way(asked) ||
        !(asked->is_said[SAID_APPARENT] ? take_apparent(asked) : take_true(asked)) ||
        !take_compass(asked) || !take_outlook(asked) || !go_down(asked))
        return STATUS_COULD_NOT;
    judge_sails(asked);
    find_methods(asked);
    if (asked->sheet.ways)
        asked->sheet.jibe_count =
            jibe_times(asked->context, asked->sheet.methods, asked->sheet.method_count,
                       &asked->sheet.jibe_median_s);
    return tell(asked);
}

static int run(struct context *context, int argc, char **argv)
{
    struct asked *asked = arena_alloc(context->arena, sizeof *asked);
    asked->context = context;
    choose_start(&asked->chosen);
    const char *value;
    for (int f; (f = flags_next(argc, argv, flags, &value)) != FLAGS_END;) {
        if (f == FLAGS_HELP)
            return command_help(&command_wind);
        if (f == FLAGS_WRONG)
            return STATUS_COULD_NOT;
        const char *wrong = take_flag(asked, f, value);
        if (wrong)
            return command_misused(&command_wind, wrong);
    }
    if (argc > flags_operands())
        return command_misused(&command_wind, "it takes options and no names");
    return work_out(asked);
}

const struct command command_wind = {
    "wind", "--true-wind KN | --apparent KN --apparent-angle DEG [OPTION]...",
    "The wind on this board and the next, which sail, which method, the way downwind",
    flags, run};
