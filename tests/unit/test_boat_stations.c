/* Stations of a boat file: they move those of the rig, the plan reckons the ways between
 * them, and a stored run keeps those of its own boat. */
#include "load_world.h"
#include "made_up.h"

#include "bill/bill.h"
#include "screens/resume.h"

#define BOAT(stations) "format: 1\nboat: A boat\nlength: 9.5 m\nstations: " stations "\n"

static const char crew_text[] = "format: 1\ncrew: A crew\nhands:\n"
                                "  - {hand: Bram, knows: {r0: sure}, pace: 0.5 m/s}\n";

static const struct source *text_source(struct arena *arena, const char *name,
                                        const char *text)
{
    return source_new(arena, name, text, strlen(text));
}

static const struct boat *boat_of(struct arena *arena, const char *text)
{
    struct diags *diags = diags_new(arena);
    const struct boat *boat =
        load_boat(text_source(arena, "boat.yaml", text), arena, diags);
    ck_assert(boat && !diags_errors(diags));
    return boat;
}

static const struct station *station_of(const struct rig_plan *plan, const char *name)
{
    int i = rig_plan_station(plan, name);
    ck_assert_msg(i >= 0, "%s", name);
    return &plan->stations[i];
}

static void lies(const struct rig_plan *plan, const char *name, double forward_m,
                 double starboard_m)
{
    ck_assert_double_eq_tol(station_of(plan, name)->forward_m, forward_m, 1e-9);
    ck_assert_double_eq_tol(station_of(plan, name)->starboard_m, starboard_m, 1e-9);
}

START_TEST(a_boat_moves_the_stations_she_names)
{
    struct arena *arena = arena_new();
    const struct rig_plan *plan =
        load_rig(world_source(arena, RIG_FILE), (enum board)_i, arena, diags_new(arena));
    const struct boat *boat =
        boat_of(arena, BOAT("{mast: {starboard: 0.5 m}, pit: {forward: -3 m}, cockpit: "
                            "{forward: -5 m, out: 2 m}, port-cockpit: {starboard: -3 m}, "
                            "jetty: {forward: 1 m}}"));
    const struct rig_plan *moved = load_stations_of_boat(plan, boat, arena);
    lies(moved, "mast", 0.4, 0.5);
    lies(moved, "pit", -3, 0);
    lies(moved, "port-cockpit", -5, -3);
    lies(moved, "starboard-cockpit", -5, 2);
    lies(moved, "helm", -6.2, 0);
    lies(plan, "pit", -2.2, 0); /* the rig itself stays as it was */
    /* 3-4-5: from the pit at -3 to a place 4 m across and 3 m aft of it */
    const struct rig_plan *square = load_stations_of_boat(
        plan,
        boat_of(arena,
                BOAT("{pit: {forward: -3 m}, cockpit: {forward: -6 m, out: 4 m}}")),
        arena);
    ck_assert_double_eq_tol(rig_plan_distance_m(square, rig_plan_station(square, "pit"),
                                                rig_plan_station(square, "port-cockpit")),
                            5, 1e-9);
    ck_assert_ptr_eq(load_stations_of_boat(plan, NULL, arena), plan);
    arena_free(arena);
}
END_TEST

/* One hand, a step here and a step there. */
static void two_places(struct text *rig, struct text *steps)
{
    made_up_rig(rig, 1, 1, "");
    made_up_head(steps, 1);
    text_add(steps, "goal: {p0: a}\nsteps:\n");
    made_up_step(steps, "a", 0, "");
    text_add(steps, "  - {step: b, role: r0, at: there, do: Do it., takes: [1 s, 2 s, 3 "
                    "s], after: [a]}\n");
}

static struct library *library_of(struct arena *arena, const struct text *rig)
{
    struct library *library = arena_alloc(arena, sizeof *library);
    library_add(library, text_source(arena, "made-up.yaml", rig->at), true);
    return library;
}

static int32_t planned_ms(struct arena *arena, const struct text *rig,
                          const struct text *steps, const char *boat)
{
    struct library *library = library_of(arena, rig);
    struct diags *diags = diags_new(arena);
    ck_assert(library_take_boat(library, boat_of(arena, boat), arena, diags));
    struct load_choice choice = {.board = BOARD_STARBOARD};
    const struct procedure *procedure = library_load(
        library, text_source(arena, "steps.yaml", steps->at), &choice, arena, diags);
    ck_assert_ptr_nonnull(procedure);
    const struct crew *crew =
        load_crew(text_source(arena, "crew.yaml", crew_text), arena, diags);
    struct bill_wish wish;
    struct bill_why why;
    struct bill bill;
    bill_wish_start(&wish);
    ck_assert_int_eq(bill_make(procedure, crew, &wish, &bill, &why), BILL_FOUND);
    return bill.total_ms;
}

/* 4 m further at 0.5 m/s are 8 s more. */
START_TEST(the_plan_walks_the_ways_of_the_boat)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0};
    two_places(&rig, &steps);
    int32_t near_ms = planned_ms(arena, &rig, &steps, BOAT("{here: {forward: 0 m}}"));
    int32_t far_ms = planned_ms(arena, &rig, &steps, BOAT("{there: {forward: 7 m}}"));
    ck_assert_int_eq(far_ms - near_ms, 8000);
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

START_TEST(a_boat_with_a_wrong_station_is_not_taken)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0};
    two_places(&rig, &steps);
    struct library *library = library_of(arena, &rig);
    struct diags *diags = diags_new(arena);
    ck_assert(!library_take_boat(
        library, boat_of(arena, BOAT("{theer: {forward: 7 m}, here: {out: 1 m}}")), arena,
        diags));
    ck_assert_uint_eq(diags_errors(diags), 2); /* all at once */
    ck_assert_int_eq(diags_at(diags, 0)->message, MESSAGE_UNKNOWN_NAME);
    ck_assert_int_eq(diags_at(diags, 1)->message, MESSAGE_STATION_ACROSS);
    ck_assert_ptr_null(library->boat);
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

START_TEST(a_stored_run_has_the_stations_of_its_own_boat)
{
    struct arena *arena = arena_new();
    struct text rig = {0}, steps = {0};
    two_places(&rig, &steps);
    const struct logbook_run record = {.board = BOARD_STARBOARD,
                                       .options = "",
                                       .procedure_text = steps.at,
                                       .rig_text = rig.at,
                                       .boat_text = BOAT("{there: {forward: 7 m}}"),
                                       .crew_text = crew_text};
    const struct procedure *procedure;
    const struct crew *crew;
    ck_assert(resume_load(&record, arena, diags_new(arena), &procedure, &crew));
    lies(procedure->plan, "there", 7, 0);
    text_free(&rig);
    text_free(&steps);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("boat stations");
    TCase *tests = tcase_create("boat stations");
    tcase_add_loop_test(tests, a_boat_moves_the_stations_she_names, BOARD_PORT,
                        BOARD_STARBOARD + 1);
    tcase_add_test(tests, the_plan_walks_the_ways_of_the_boat);
    tcase_add_test(tests, a_boat_with_a_wrong_station_is_not_taken);
    tcase_add_test(tests, a_stored_run_has_the_stations_of_its_own_boat);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
