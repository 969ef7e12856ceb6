/* A procedure in a wind: which steps then take both hands, what nobody can hold, what is
 * left in a hand; nothing changes where boat or wind are not known, and a run taken up
 * again is the same. */
#include "shipped.h"

#include "bill/bill_each.h"
#include "cards/sheet_loads.h"
#include "forces/capstan.h"
#include "forces/loaded.h"
#include "screens/resume.h"
#include "vet/vet.h"

#include <math.h>

#define SAILS                                                                            \
    "sails:\n"                                                                           \
    "  - {sail: big, kind: symmetric, area: 92 m2, true-wind: [0 kn, 18 kn]}\n"          \
    "  - {sail: small, kind: symmetric, area: 74 m2, true-wind: [14 kn, 25 kn]}\n"       \
    "  - {sail: gennaker, kind: asymmetric, SLU: 15 m, SLE: 14 m, SFL: 8 m, SHW: 7.5 "   \
    "m}\n"                                                                               \
    "  - {sail: zero, kind: code, area: 60 m2, apparent-wind: [2 kn, 16 kn]}\n"
#define HEAD                                                                             \
    "format: 1\nboat: Invented\nlength: 10.6 m\n"                                        \
    "rig: {I: 14.6 m, J: 4.1 m, SPL: 4.2 m}\n"                                           \
    "pole: {ends: dip, mast-end: [0.9 m, 3 m]}\n"

static const char tailing[] = HEAD SAILS
    "winches: [{winch: a, ratio: 40, self-tailing: yes}, {winch: b, ratio: 25, "
    "self-tailing: yes}]\n";
static const char plain[] = HEAD SAILS "winches: [{winch: a, ratio: 40}]\n";
static const char bare[] = HEAD SAILS;
static const char *const boats[] = {tailing, plain, bare};
enum { BOATS = sizeof boats / sizeof *boats };

static struct weather wind_of(double wind_kn)
{
    return (struct weather){.true_kn = wind_kn, .angle_deg = 180, .is_said = true};
}

/* The loads alone. */
static const struct procedure *in_knots(const struct procedure *procedure,
                                        const struct boat *boat, double wind_kn,
                                        struct arena *arena)
{
    struct weather weather = wind_of(wind_kn);
    return loaded_procedure(procedure, boat, &weather, arena);
}

static const struct boat *boat_of(const char *text, struct arena *arena)
{
    struct diags *diags = diags_new(arena);
    const struct boat *boat =
        load_boat(source_new(arena, "boat.yaml", text, strlen(text)), arena, diags);
    ck_assert(boat && !diags_count(diags));
    return boat;
}

static const struct procedure *in_wind(struct library *library, const char *name,
                                       const char *boat, double wind_kn, enum board board,
                                       struct arena *arena)
{
    library->boat = boat_of(boat, arena);
    library->weather = wind_of(wind_kn);
    return shipped_named(library, name, board, arena);
}

static int hands_of(const struct procedure *procedure, const char *step)
{
    return procedure->steps[procedure_step(procedure, step)].hands;
}

/* Without boat, wind or a kite of the rig the very same procedure comes back. */
START_TEST(nothing_known_nothing_changed)
{
    static const double winds[] = {0, -5, 80.1, 1e300, NAN, INFINITY, -INFINITY};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *written =
        shipped_named(library, "dip-pole-jibe", BOARD_STARBOARD, arena);
    const struct boat *boat = boat_of(tailing, arena);
    ck_assert_ptr_null(written->loads);
    ck_assert_ptr_eq(in_knots(written, NULL, 15, arena), written);
    for (size_t i = 0; i < sizeof winds / sizeof *winds; i++)
        ck_assert_ptr_eq(in_knots(written, boat, winds[i], arena), written);
    struct boat sailless = *boat;
    sailless.sail_count = 0;
    ck_assert_ptr_eq(in_knots(written, &sailless, 15, arena), written);
    for (int role = 0; role < ROLES_MAX; role++)
        ck_assert_double_eq(written->holds_n[role], 0);
    arena_free(arena);
}
END_TEST

/* The largest sail for the wind; beyond all of them the one for the most. */
START_TEST(sail_for_the_wind)
{
    static const struct {
        double wind_kn;
        const char *sail;
        bool in_range;
    } cases[] = {
        {10, "big", true}, {18, "big", true}, {19, "small", true}, {30, "small", false}};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct procedure *loaded = in_wind(library, "dip-pole-jibe", tailing,
                                                 cases[i].wind_kn, BOARD_PORT, arena);
        ck_assert_str_eq(loaded->loads->sail->name, cases[i].sail);
        ck_assert_int_eq(loaded->loads->in_range, cases[i].in_range);
    }
    const struct procedure *other =
        in_wind(library, "cruising-jibe", tailing, 10, BOARD_PORT, arena);
    ck_assert_str_eq(other->loads->sail->name, "gennaker");
    ck_assert_double_eq_tol(other->loads->area_m2, 14.5 * (8 + 30) / 6, 1e-9);
    arena_free(arena);
}
END_TEST

/* To move a loaded line takes both hands, but for self-tailing winches; to hold it behind
 * turns takes one. */
START_TEST(both_hands_to_move)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *written =
        shipped_named(library, "cruising-jibe", BOARD_STARBOARD, arena);
    ck_assert_int_eq(hands_of(written, "tack-ease"), 1);
    const struct procedure *light =
        in_wind(library, "cruising-jibe", plain, 4, BOARD_STARBOARD, arena);
    ck_assert_double_lt(light->loads->corner_n, HAND_SUSTAINED_N);
    ck_assert_int_eq(hands_of(light, "tack-ease"), 1);
    const struct procedure *fresh =
        in_wind(library, "cruising-jibe", plain, 14, BOARD_STARBOARD, arena);
    ck_assert_int_eq(hands_of(fresh, "tack-ease"), 2);
    ck_assert(!fresh->loads->too_much);
    const struct procedure *tailed =
        in_wind(library, "cruising-jibe", tailing, 14, BOARD_STARBOARD, arena);
    ck_assert_int_eq(hands_of(tailed, "tack-ease"), 1);
    ck_assert_double_eq(tailed->loads->loads[LOAD_SHEET].handle_n,
                        tailed->loads->corner_n / 25); /* the weaker winch */
    arena_free(arena);
}
END_TEST

/* What holds in every wind, for every procedure, boat and board: more wind, more of
 * everything; the boards are alike; what nobody holds takes both hands at least. */
static void check_winds(struct library *library, int i, struct arena *arena)
{
    const struct procedure *written =
        shipped_load(library, i, BOARD_STARBOARD, NULL, 0, arena);
    const struct procedure *on_port =
        shipped_load(library, i, BOARD_PORT, NULL, 0, arena);
    step_set two_hands = 0, too_much = 0;
    double corner_n = 0;
    for (int knots = 1; knots <= 40; knots++) {
        const struct procedure *port = in_knots(on_port, library->boat, knots, arena);
        const struct procedure *loaded = in_knots(written, library->boat, knots, arena);
        const struct load_report *loads = loaded->loads;
        ck_assert_ptr_nonnull(loads);
        ck_assert_uint_eq(loads->two_hands, port->loads->two_hands);
        ck_assert_uint_eq(loads->too_much, port->loads->too_much);
        ck_assert_mem_eq(loaded->holds_n, port->holds_n, sizeof loaded->holds_n);
        ck_assert_uint_eq(
            loads->too_much & ~loads->two_hands & -(step_set)!loads->has_winches, 0);
        for (int s = 0; s < written->step_count; s++)
            ck_assert_int_eq(loaded->steps[s].hands,
                             loads->two_hands >> s & 1 ? 2 : written->steps[s].hands);
        if (knots == 19)
            corner_n = 0; /* from here on the smaller sail */
        ck_assert_double_gt(loads->sheet_n, corner_n);
        if (knots != 19)
            ck_assert_uint_eq(two_hands & ~loads->two_hands, 0);
        if (knots != 19)
            ck_assert_uint_eq(too_much & ~loads->too_much, 0);
        two_hands = loads->two_hands;
        too_much = loads->too_much;
        corner_n = loads->sheet_n;
    }
}

START_TEST(every_procedure_in_every_wind)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    library->boat = boat_of(boats[_i], arena);
    for (int i = 0; i < library->procedure_count; i++) {
        struct arena *own = arena_new();
        check_winds(library, i, own);
        arena_free(own);
    }
    arena_free(arena);
}
END_TEST

/* The change acts through the rig: without winches, what vet proved in a calm is not safe
 * in a breeze, and there is no bill. */
START_TEST(wind_changes_the_proof)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct vet_limits none = {0};
    const enum vet_verdict expected[] = {VET_SAFE, VET_BROKEN};
    const double winds[] = {2, 14};
    for (int i = 0; i < 2; i++) {
        const struct procedure *procedure =
            in_wind(library, "end-for-end-jibe", bare, winds[i], BOARD_STARBOARD, arena);
        struct rig *rig = arena_alloc(arena, sizeof *rig);
        struct vet_report *report = arena_alloc(arena, sizeof *report);
        ck_assert(vet_rig_of_roles(procedure, false, rig));
        vet_prove(rig, &none, false, report);
        ck_assert_int_eq(report->verdict, expected[i]);
        ck_assert_int_eq(procedure->loads->too_much != 0, i);
    }
    arena_free(arena);
}
END_TEST

/* What is left in a hand: of the lines its role works or holds, behind all turns; the
 * roles a bill makes of one keep it. */
START_TEST(left_in_the_hand)
{
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *loaded =
        in_wind(library, "dip-pole-jibe", tailing, 14, BOARD_STARBOARD, arena);
    int guy = rig_plan_role(loaded->plan, "guy"),
        sheet = rig_plan_role(loaded->plan, "sheet");
    int caller = rig_plan_role(loaded->plan, "caller");
    double share = capstan_hold_n(1, CAPSTAN_FRICTION_LEAST, TURNS_MOST);
    ck_assert_double_eq(loaded->holds_n[caller], 0);
    ck_assert_double_eq_tol(loaded->holds_n[sheet], loaded->loads->corner_n * share,
                            1e-9);
    ck_assert_double_eq_tol(loaded->holds_n[guy], loaded->loads->hold.guy_n * share,
                            1e-9);
    const struct procedure *shared = bill_share_out(loaded, arena);
    for (int role = 0; role < shared->plan->role_count; role++) {
        int old = rig_plan_role(loaded->plan, shared->plan->roles[role].name);
        ck_assert_double_eq(shared->holds_n[role], loaded->holds_n[old]);
    }
    const struct procedure *unwinched =
        in_wind(library, "dip-pole-jibe", bare, 14, BOARD_STARBOARD, arena);
    ck_assert_double_eq(unwinched->holds_n[sheet], unwinched->loads->corner_n);
    arena_free(arena);
}
END_TEST

/* What stops, what is a caution, and by which figure: on a run at 8 kn in 20 kn of true
 * wind the apparent wind is 12 kn, 16 kn at half her speed. */
START_TEST(limits_of_the_sail)
{
    static const struct {
        const char *wind, *true_most, *apparent_most, *said;
        bool stops;
    } cases[] = {
        {"20 8", "20", "20", "", false},
        {"20.1", "20", "80", "a sail: true wind 20.1 kn, not above 20 kn", true},
        {"20g27 8", "26.5", "80", "a sail: gusts 27.0 kn, not above 26.5 kn", true},
        {"20 8", "80", "11",
         "a sail: apparent wind 12.0 kn on either board, not above 11 kn", true},
        {"20g25 8", "80", "12",
         "a sail: apparent wind 17.0 kn in the gusts, not above 12 kn", true},
        {"20 8", "80", "15",
         "a sail: apparent wind 16.0 kn slowed to half, not above 15 kn", false},
        {"20 8", "80", "18", "a sail: 20.0 kn on her when she stops, not above 18 kn",
         false},
        {"20", "80", "18", "a sail: 20.0 kn on her when she stops, not above 18 kn",
         false},
        {"20 8", "19", "11",
         "a sail: true wind 20.0 kn, not above 19 kn; apparent wind 12.0 kn on either "
         "board, "
         "not above 11 kn",
         true}};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *boat = arena_printf(
            arena,
            HEAD "sails: [{sail: a sail, kind: symmetric, area: 80 m2, true-wind: [0 kn, "
                 "%s kn], apparent-wind: [0 kn, %s kn]}]\n",
            cases[i].true_most, cases[i].apparent_most);
        library->boat = boat_of(boat, arena);
        ck_assert_int_eq(weather_read(cases[i].wind, &library->weather), WEATHER_FINE);
        const struct load_report *set =
            shipped_named(library, "bear-away-set", BOARD_PORT, arena)->loads;
        const struct load_report *drop =
            shipped_named(library, "leeward-takedown", BOARD_PORT, arena)->loads;
        struct text said = {0};
        text_add(&said, "");
        ck_assert_int_eq(sheet_limits(set, cases[i].stops, &said), *cases[i].said != 0);
        ck_assert_str_eq(said.at, cases[i].said);
        ck_assert_int_eq(set->limits.stop, cases[i].stops);
        ck_assert(!drop->limits.stop); /* what is up comes down */
        ck_assert_int_eq(drop->limits.count, set->limits.count);
        text_free(&said);
    }
    arena_free(arena);
}
END_TEST

/* The band of a code is common practice and only a caution; cloth of half an ounce is
 * for 12 kn of apparent wind, and near its limit from 10. */
START_TEST(limits_of_code_and_cloth)
{
    static const char text[] =
        HEAD "sails: [{sail: light, code: S1, kind: symmetric, area: 80 m2, cloth: 0.5 "
             "oz}]\n";
    struct arena *arena = arena_new();
    const struct sail *sail = boat_of(text, arena)->sails;
    struct sail_limits limits;
    struct weather weather;
    ck_assert_int_eq(weather_read("17 6", &weather), WEATHER_FINE);
    sail_limits_find(sail, &weather, &limits);
    ck_assert_int_eq(limits.count, 2);
    ck_assert(limits.at[0].by_code && !limits.at[0].stops && limits.at[1].of_cloth);
    ck_assert_int_eq(limits.at[1].wind, LIMIT_HALF);
    ck_assert(!limits.stop);
    ck_assert_int_eq(weather_read("8 0 90", &weather), WEATHER_FINE);
    sail_limits_find(sail, &weather, &limits);
    ck_assert_int_eq(limits.count, 0);
    ck_assert_int_eq(weather_read("8 7 90", &weather), WEATHER_FINE); /* 10.6 kn */
    sail_limits_find(sail, &weather, &limits);
    ck_assert_int_eq(limits.count, 1);
    ck_assert(limits.at[0].wind == LIMIT_NEAR && !limits.stop);
    ck_assert_int_eq(weather_read("8 9 90", &weather), WEATHER_FINE); /* 12.04 kn */
    sail_limits_find(sail, &weather, &limits);
    ck_assert(limits.at[0].wind == LIMIT_NOW && limits.at[0].of_cloth && limits.stop);
    arena_free(arena);
}
END_TEST

/* Of a code 0 the sheet alone has a figure, of the most wind it can see: 13.4 kn where 12
 * kn of true wind and 6 kn of boat meet at a right angle.  Sock, retrieving and furling
 * lines have none anywhere, and it is said. */
START_TEST(lines_without_a_figure)
{
    static const struct {
        const char *procedure;
        enum load_kind kind;
    } lines[] = {{"code-zero-furl", LOAD_FURL},       {"code-zero-hoist", LOAD_HALYARD},
                 {"sock-takedown", LOAD_SOCK},        {"asym-letterbox", LOAD_RETRIEVE},
                 {"leeward-takedown", LOAD_RETRIEVE}, {"hatch-takedown", LOAD_RETRIEVE}};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    library->boat = boat_of(plain, arena);
    ck_assert_int_eq(weather_read("12 6 90", &library->weather), WEATHER_FINE);
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        const struct load_report *loads =
            shipped_named(library, lines[i].procedure, BOARD_PORT, arena)->loads;
        const struct line_load *line = &loads->loads[lines[i].kind];
        struct text said = {0};
        ck_assert(line->used && !line->known && !line->too_much);
        ck_assert(sheet_load(loads, lines[i].kind, UNITS_METRIC, &said));
        ck_assert_ptr_nonnull(strstr(said.at, "no figure is known"));
        text_free(&said);
    }
    const struct load_report *zero =
        shipped_named(library, "code-zero-furl", BOARD_PORT, arena)->loads;
    ck_assert(!zero->has_force && zero->loads[LOAD_SHEET].known);
    ck_assert_double_eq_tol(zero->strongest_kn, hypot(12, 6), 1e-9);
    ck_assert_double_eq_tol(zero->sheet_n, 0.02104 * 9.80665 * 60 * 180, 1e-6);
    arena_free(arena);
}
END_TEST

/* With the boat's speed said the sail is the one to take at that angle. */
START_TEST(sail_for_the_angle)
{
    static const char text[] = HEAD
        "sails:\n"
        "  - {sail: flat, kind: symmetric, area: 70 m2, angle: [90 deg, 140 deg]}\n"
        "  - {sail: full, kind: symmetric, area: 90 m2, angle: [135 deg, 175 deg]}\n";
    static const struct {
        const char *wind, *sail;
    } cases[] = {
        {"14 6 130", "flat"}, {"14 6 137", "full"}, {"14", "full"}, {"14 6 60", "full"}};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    library->boat = boat_of(text, arena);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ck_assert_int_eq(weather_read(cases[i].wind, &library->weather), WEATHER_FINE);
        ck_assert_str_eq(
            shipped_named(library, "bear-away-set", BOARD_PORT, arena)->loads->sail->name,
            cases[i].sail);
    }
    arena_free(arena);
}
END_TEST

/* A pole for end for end: too long, or in too much wind, is told; a longer one is the
 * weaker column. */
START_TEST(end_for_end_within_limits)
{
    static const struct {
        double spl_m, wind_kn;
        bool within;
    } cases[] = {{4.2, 12, true}, {4.2, 16, false}, {5.2, 12, false}};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    const struct procedure *written =
        shipped_named(library, "end-for-end-jibe", BOARD_PORT, arena);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct boat boat = *boat_of(tailing, arena);
        boat.pole = POLE_END_FOR_END;
        boat.spl_m = cases[i].spl_m;
        const struct load_report *loads =
            in_knots(written, &boat, cases[i].wind_kn, arena)->loads;
        ck_assert(loads->end_for_end && !loads->has_dip);
        ck_assert_int_eq(loads->within_end_for_end, cases[i].within);
        ck_assert_double_eq_tol(loads->column_share, pow(4.1 / cases[i].spl_m, 2), 1e-12);
    }
    arena_free(arena);
}
END_TEST

/* A stored run loads as it was: its boat, its wind. */
START_TEST(taken_up_in_the_same_wind)
{
    static const char *const winds[] = {"14", "", "calm?"};
    struct arena *arena = arena_new();
    struct library *library = shipped_library(arena);
    int i = library_find(library, "cruising-jibe");
    const struct procedure *written =
        shipped_named(library, "cruising-jibe", BOARD_PORT, arena);
    const struct crew *crew = shipped_crew("crew", NULL, arena);
    for (int w = 0; w < 3; w++) {
        const struct logbook_run record = {.board = BOARD_PORT,
                                           .options = "",
                                           .procedure_text = library->procedures[i]->at,
                                           .rig_text = written->plan->source->at,
                                           .crew_text = crew->source->at,
                                           .boat_text = plain,
                                           .wind = winds[w]};
        const struct procedure *procedure;
        const struct crew *people;
        struct diags *diags = diags_new(arena);
        ck_assert(resume_load(&record, arena, diags, &procedure, &people));
        ck_assert_int_eq(procedure->loads != NULL, w == 0);
        ck_assert_int_eq(hands_of(procedure, "tack-ease"), w == 0 ? 2 : 1);
    }
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("loaded");
    TCase *tcase = tcase_create("loaded");
    tcase_set_timeout(tcase, 100);
    tcase_add_test(tcase, nothing_known_nothing_changed);
    tcase_add_test(tcase, sail_for_the_wind);
    tcase_add_test(tcase, both_hands_to_move);
    tcase_add_loop_test(tcase, every_procedure_in_every_wind, 0, BOATS);
    tcase_add_test(tcase, wind_changes_the_proof);
    tcase_add_test(tcase, left_in_the_hand);
    tcase_add_test(tcase, limits_of_the_sail);
    tcase_add_test(tcase, limits_of_code_and_cloth);
    tcase_add_test(tcase, sail_for_the_angle);
    tcase_add_test(tcase, lines_without_a_figure);
    tcase_add_test(tcase, end_for_end_within_limits);
    tcase_add_test(tcase, taken_up_in_the_same_wind);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
