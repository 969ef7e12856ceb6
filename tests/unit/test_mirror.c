/* Mirror: every shipped procedure is its own mirror image on the other board, and what
 * vet says of both is then the same; one line that names a side, or one field changed
 * behind the loader's back, and it is none. */
#include "shipped.h"

#include "vet/mirror.h"
#include "vet/slips.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static const struct vet_limits no_limits = {0};

static void ck_mirrors(const struct procedure *one, const struct procedure *other)
{
    struct text why = {0};
    bool mirrors = vet_mirrors(one, other, &why) && vet_mirrors(other, one, &why);
    ck_assert_msg(mirrors && !why.at, "%s: %s", one->name, why.at ? why.at : "");
    text_free(&why);
}

START_TEST(shipped_with_every_choice)
{
    struct arena *arena = arena_new();
    const struct library *library = shipped_library(arena);
    const struct procedure *plain =
        shipped_load(library, _i, BOARD_STARBOARD, NULL, 0, arena);
    for (unsigned set = 0; set < 1u << plain->option_count; set++) {
        const char *options[OPTIONS_MAX];
        for (int o = 0; o < plain->option_count; o++)
            options[o] = arena_printf(arena, "%s=%s", plain->options[o].name,
                                      set >> o & 1 ? "yes" : "no");
        ck_mirrors(
            shipped_load(library, _i, BOARD_STARBOARD, options, plain->option_count,
                         arena),
            shipped_load(library, _i, BOARD_PORT, options, plain->option_count, arena));
    }
    arena_free(arena);
}
END_TEST

static struct vet_report *report_of(const struct rig *rig, struct arena *arena)
{
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    vet_search(rig, &no_limits, false, report);
    return report;
}

static void ck_same_report(const struct vet_report *one, const struct vet_report *other)
{
    ck_assert_int_eq(one->verdict, other->verdict);
    ck_assert_uint_eq(one->states, other->states);
    ck_assert_uint_eq(one->transitions, other->transitions);
    ck_assert_uint_eq(one->begins, other->begins);
    ck_assert_double_eq(one->orders, other->orders);
    ck_assert_int_eq(one->found_count, other->found_count);
    for (int i = 0; i < one->found_count; i++)
        ck_assert_int_eq(one->found[i].way_count, other->found[i].way_count);
}

/* Cues ignored, steps forgotten: what comes of it is the same on both boards.  Begins are
 * tried in another order there and are counted. */
static void ck_same_slips(const struct rig *one, const struct rig *other,
                          struct arena *arena)
{
    struct slips *a = arena_alloc(arena, sizeof *a), *b = arena_alloc(arena, sizeof *b);
    int hurting[2] = {0};
    vet_slips(one, &no_limits, a);
    vet_slips(other, &no_limits, b);
    ck_assert_int_eq(a->count, b->count);
    for (int i = 0; i < a->count; i++) {
        const struct slip *first = &a->at[i], *second = &b->at[i];
        ck_assert_int_eq(first->kind, second->kind);
        hurting[0] += first->outcome == VET_BROKEN;
        hurting[1] += second->outcome == VET_BROKEN;
        if (first->kind == SLIP_BEGIN)
            continue;
        ck_assert_int_eq(first->outcome, second->outcome);
        ck_assert_int_eq(first->events, second->events);
        ck_assert_int_eq(first->signal, second->signal);
    }
    ck_assert_int_eq(hurting[0], hurting[1]);
}

START_TEST(vet_says_the_same_of_both)
{
    struct arena *arena = arena_new();
    const struct library *library = shipped_library(arena);
    struct rig *rigs[2];
    for (int board = BOARD_PORT; board <= BOARD_STARBOARD; board++) {
        const struct procedure *procedure =
            shipped_load(library, _i, (enum board)board, NULL, 0, arena);
        rigs[board] = arena_alloc(arena, sizeof *rigs[board]);
        ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rigs[board]));
    }
    const struct vet_report *one = report_of(rigs[0], arena);
    ck_same_report(one, report_of(rigs[1], arena));
    if (one->states < 20000)
        ck_same_slips(rigs[0], rigs[1], arena);
    arena_free(arena);
}
END_TEST

static const char rig_text[] =
    "format: 1\nrig: made-up\ntitle: Made up\nlee: boom\nparts:\n"
    "  boom: {words: boom, side-values: {windward: new, leeward: old, words: \"to "
    "{side}\"},\n"
    "    values: {crossing: crossing}}\n"
    "  guy: {words: guy, sides: {windward: old-guy, leeward: new-guy},\n"
    "    tended-at: cockpit, values: {slack: slack, loaded: loaded}}\n"
    "  halyard: {words: halyard, tended-at: pit, values: {up: up, down: down}}\n"
    "  board: {words: chart board, fixed: port, values: {shut: shut, open: open}}\n"
    "stations:\n"
    "  cockpit: {words: cockpit, forward: -4 m, out: 1 m, reach: [pit],\n"
    "    sides: {windward: windward-cockpit, leeward: leeward-cockpit}}\n"
    "  pit: {words: pit, forward: -2 m}\n"
    "  locker: {words: locker, forward: -3 m, out: 1 m, fixed: port}\n"
    "roles:\n"
    "  trim: {words: Trim, station: windward-cockpit, sees: [boom, guy], steers: yes}\n"
    "  pit: {words: Pit, station: pit, sees: [halyard, board]}\n"
    "gear:\n  winch: {words: winch}\n  pump: {words: pump, fixed: starboard}\n"
    "rules:\n"
    "  - {rule: over-slack, never: {boom: crossing, old-guy: loaded}, hurts: crew,\n"
    "    signal: danger, because: It hurts.}\n"
    "  - {rule: guy-held, tended: old-guy, while: {old-guy: loaded}, hurts: crew,\n"
    "    signal: warning, because: It hurts.}\n";

static const char steps_text[] =
    "format: 1\nprocedure: made-up-steps\ntitle: Steps\nfamily: care\nrig: made-up\n"
    "revised: 2026-11-25\nabout: Made up.\nsource: a test\n"
    "suits: {hands: {least: 1, usual: 2}}\n"
    "begin: {boom: old, old-guy: loaded, new-guy: [slack, loaded], halyard: up}\n"
    "tended: {old-guy: {role: trim, none-when: {boom: new}}}\n"
    "goal: {boom: new}\n"
    "checks:\n  - {ask: pit, question: Is it?, answer: It is, covers: [new-guy]}\n"
    "steps:\n"
    "  - {step: ease, role: trim, at: windward-cockpit, do: Ease., takes: [1 s, 2 s, 3 "
    "s],\n    finish: {old-guy: slack}, releases: old-guy}\n"
    "  - {step: over, role: pit, at: pit, do: Over., takes: [1 s, 2 s, 3 s],\n"
    "    after: [ease], wait: {old-guy: slack}, need: {halyard: up}, uses: [winch],\n"
    "    start: {boom: crossing}, finish: {boom: new}}\n"
    "  - {step: take, role: trim, at: leeward-cockpit, do: Take., takes: [1 s, 2 s, 3 "
    "s],\n    after: [{step: over, started: yes}], tends: new-guy}\n"
    "  - {step: give, role: trim, at: leeward-cockpit, do: Give., takes: [1 s, 2 s, 3 "
    "s],\n    hands-over: new-guy}\n"
    "  - {step: get, role: pit, at: leeward-cockpit, do: Get., takes: [1 s, 2 s, 3 s],\n"
    "    takes-over: {line: new-guy, none-when: {boom: new}}}\n";

/* TEXT with the first FROM made TO; the test fails where there is none. */
static const struct source *changed(struct arena *arena, const char *text,
                                    const char *from, const char *to)
{
    const char *at = strstr(text, from);
    ck_assert_msg(at != NULL, "%s", from);
    const char *all =
        arena_printf(arena, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
    return source_new(arena, "made-up", all, strlen(all));
}

static const struct procedure *load(struct arena *arena, const struct source *rig,
                                    const struct source *steps, enum board board)
{
    struct diags *diags = diags_new(arena);
    struct load_choice choice = {.board = board};
    const struct rig_plan *plan = load_rig(rig, board, arena, diags);
    const struct procedure *procedure =
        load_procedure(steps, plan, &choice, arena, diags);
    struct text messages = {0};
    diags_write(diags, &messages);
    ck_assert_msg(procedure != NULL, "%s", messages.at ? messages.at : "");
    text_free(&messages);
    return procedure;
}

/* One line that names a side, and what is said of it; NULL: it does not matter. */
static const struct {
    bool in_rig;
    const char *from, *to, *why;
} lines[] = {
    {false, "uses: [winch]", "uses: [pump]", "the pump is fixed to starboard"},
    {false, "uses: [winch]", "hands: 2", NULL},
    {true, "fixed: starboard", "fixed: port", NULL}, /* nobody uses it */
    {false, "halyard: up}", "halyard: up, board: shut}",
     "the chart board is fixed to port"},
    {false, "goal: {boom: new}", "goal: {boom: port}", "the goal is not mirrored"},
    {false, "boom: old, old-guy", "boom: port, old-guy",
     "the begin of boom is not mirrored"},
    {false, "finish: {old-guy: slack}", "finish: {port-guy: slack}",
     "step ease is not mirrored"},
    {false, "start: {boom: crossing}", "start: {boom: starboard}",
     "step over is not mirrored"},
    {false, "wait: {old-guy: slack}", "wait: {starboard-guy: slack}",
     "step over is not mirrored"},
    {false, "tends: new-guy", "tends: port-guy", "step take is not mirrored"},
    {false, "releases: old-guy", "releases: starboard-guy", "step ease is not mirrored"},
    {false, "hands-over: new-guy", "hands-over: starboard-guy",
     "step give is not mirrored"},
    {false, "at: windward-cockpit", "at: port-cockpit", "step ease is not mirrored"},
    {false, "at: pit", "at: locker", "station locker is not mirrored"},
    {false, "covers: [new-guy]", "covers: [port-guy]",
     "what the checks cover is not mirrored"},
    {true, "{boom: crossing, old-guy: loaded}", "{boom: crossing, port-guy: loaded}",
     "rule over-slack is not mirrored"},
    {true, "tended: old-guy", "tended: starboard-guy", "rule guy-held is not mirrored"},
    {true, "never: {boom: crossing,", "never: {boom: port,",
     "rule over-slack is not mirrored"},
    {true, "station: windward-cockpit", "station: port-cockpit",
     "the list of roles is not mirrored"},
    {true, "sees: [boom, guy]", "sees: [boom, port-guy]",
     "the list of roles is not mirrored"},
    {true, "tended-at: pit", "tended-at: locker", "station locker is not mirrored"},
    {true, "reach: [pit]", "reach: [pit, port-cockpit]",
     "the reach from the port cockpit is not mirrored"},
    {true, "pit, forward: -2 m", "pit, forward: -2 m, starboard: 1 m",
     "station pit is not mirrored"},
};

START_TEST(one_line_breaks_it)
{
    struct arena *arena = arena_new();
    const struct source *rig =
        changed(arena, rig_text, lines[_i].in_rig ? lines[_i].from : "",
                lines[_i].in_rig ? lines[_i].to : "");
    const struct source *steps =
        changed(arena, steps_text, lines[_i].in_rig ? "" : lines[_i].from,
                lines[_i].in_rig ? "" : lines[_i].to);
    struct text why = {0};
    text_add(&why, "");
    bool mirrors = vet_mirrors(load(arena, rig, steps, BOARD_STARBOARD),
                               load(arena, rig, steps, BOARD_PORT), &why);
    ck_assert_int_eq(mirrors, !lines[_i].why);
    ck_assert_str_eq(why.at, lines[_i].why ? lines[_i].why : "");
    text_free(&why);
    arena_free(arena);
}
END_TEST

/* The parts of a loaded procedure that can be written to. */
struct open {
    struct procedure procedure;
    struct rig_plan plan;
    struct part parts[PARTS_MAX];
    struct station stations[STATIONS_MAX];
    struct role roles[ROLES_MAX];
    struct gear gear[GEAR_MAX];
    struct step steps[STEPS_MAX];
    struct check checks[CHECKS_MAX];
    struct rule rules[RULES_MAX];
    struct begin_tended tended[ROLES_MAX];
};

static void open_up(struct open *o, const struct procedure *from)
{
    o->procedure = *from;
    o->plan = *from->plan;
    memcpy(o->parts, from->plan->parts, from->plan->part_count * sizeof *o->parts);
    memcpy(o->stations, from->plan->stations,
           from->plan->station_count * sizeof *o->stations);
    memcpy(o->roles, from->plan->roles, from->plan->role_count * sizeof *o->roles);
    memcpy(o->gear, from->plan->gear, from->plan->gear_count * sizeof *o->gear);
    memcpy(o->steps, from->steps, from->step_count * sizeof *o->steps);
    memcpy(o->checks, from->checks, from->check_count * sizeof *o->checks);
    memcpy(o->rules, from->rules.at, from->rules.count * sizeof *o->rules);
    memcpy(o->tended, from->tended, from->tended_count * sizeof *o->tended);
    o->plan.parts = o->parts;
    o->plan.stations = o->stations;
    o->plan.roles = o->roles;
    o->plan.gear = o->gear;
    o->procedure.plan = &o->plan;
    o->procedure.steps = o->steps;
    o->procedure.checks = o->checks;
    o->procedure.rules.at = o->rules;
    o->procedure.tended = o->tended;
}

enum { EASE, OVER, TAKE, GIVE, GET };

/* Changes one field of a step; false behind the last. */
static bool change_step(struct open *o, int which)
{
    struct step *s = o->steps;
    switch (which) {
    case 0:
        s[EASE].roles ^= 3;
        break;
    case 1:
        s[EASE].hands = 2;
        break;
    case 2:
        s[EASE].pilot = true;
        break;
    case 3:
        s[OVER].after = 0;
        break;
    case 4:
        s[GIVE].after |= 1;
        break;
    case 5:
        s[TAKE].after_started = 0;
        break;
    case 6:
        s[OVER].wait.count = 0;
        break;
    case 7:
        s[OVER].need.count = 0;
        break;
    case 8:
        s[OVER].start.count = 0;
        break;
    case 9:
        s[EASE].finish.count = 0;
        break;
    case 10:
        s[TAKE].tends.count = 0;
        break;
    case 11:
        s[GET].takes_over.count = 0;
        break;
    case 12:
        s[GIVE].hands_over = 0;
        break;
    case 13:
        s[EASE].releases = 0;
        break;
    case 14:
        s[OVER].uses = 0;
        break;
    case 15:
        s[OVER].uses |= 2;
        break;
    case 16:
        s[OVER].name = "across";
        break;
    case 17:
        o->procedure.step_count--;
        break;
    default:
        return false;
    }
    return true;
}

/* The same for what is not a step. */
static bool change_more(struct open *o, int which)
{
    struct procedure *p = &o->procedure;
    int guy = rig_plan_part(&o->plan, "port-guy"), boom = rig_plan_part(&o->plan, "boom"),
        pit = rig_plan_station(&o->plan, "pit");
    switch (which) {
    case 0:
        p->begin[guy].values = 1;
        break;
    case 1:
        p->begin[boom].first = 2;
        break;
    case 2:
        p->tended_count--;
        break;
    case 3:
        o->tended[0].role = 1;
        break;
    case 4:
        o->tended[0].tending.none_when.count = 0;
        break;
    case 5:
        p->goal.count = 0;
        break;
    case 6:
        p->check_count--;
        break;
    case 7:
        o->checks[0].ask = 0;
        break;
    case 8:
        o->checks[0].covers = 0;
        break;
    case 9:
        p->rules.count--;
        break;
    case 10:
        o->rules[0].hurts = HURTS_GEAR;
        break;
    case 11:
        o->rules[0].signal = SIGNAL_CAUTION;
        break;
    case 12:
        o->rules[0].form = RULE_WHILE;
        break;
    case 13:
        o->rules[1].clause_count = 0;
        break;
    case 14:
        o->rules[0].name = "other";
        break;
    case 15:
        o->rules[1].clauses = o->rules[0].clauses;
        break;
    case 16:
        p->roles ^= 2;
        break;
    case 17:
        p->hands_least = 2;
        break;
    case 18:
        p->pilot_needed = true;
        break;
    case 19:
        o->roles[0].steers = false;
        break;
    case 20:
        o->roles[1].free_order = true;
        break;
    case 21:
        o->roles[1].sees = 0;
        break;
    case 22:
        o->roles[1].station = 0;
        break;
    case 23:
        o->plan.role_count--;
        break;
    case 24:
        o->parts[guy].tended_at = (int8_t)pit;
        break;
    case 25:
        o->parts[guy].tended_at = -1;
        break;
    case 26:
        o->parts[guy].side = SIDE_STARBOARD;
        break;
    case 27:
        o->parts[boom].value_count = 2;
        break;
    case 28:
        o->plan.part_count--;
        break;
    case 29:
        o->stations[pit].forward_m = 1;
        break;
    case 30:
        o->stations[pit].reach = ~0u;
        break;
    case 31:
        o->plan.station_count--;
        break;
    case 32:
        o->plan.gear_count--;
        break;
    case 33:
        o->gear[0].name = "other";
        break;
    default:
        return false;
    }
    return true;
}

static int break_each(bool (*change)(struct open *o, int which), struct arena *arena,
                      const struct procedure *starboard, const struct procedure *port)
{
    struct open *o = arena_alloc(arena, sizeof *o);
    int broken = 0;
    for (open_up(o, port); change(o, broken); open_up(o, port)) {
        struct text why = {0};
        ck_assert_msg(!vet_mirrors(starboard, &o->procedure, &why), "change %d", broken);
        ck_assert_msg(!vet_mirrors(&o->procedure, starboard, &why), "back, %d", broken);
        ck_assert_ptr_nonnull(why.at);
        text_free(&why);
        broken++;
    }
    return broken;
}

START_TEST(one_field_breaks_it)
{
    struct arena *arena = arena_new();
    const struct source *rig = changed(arena, rig_text, "", ""),
                        *steps = changed(arena, steps_text, "", "");
    const struct procedure *starboard = load(arena, rig, steps, BOARD_STARBOARD),
                           *port = load(arena, rig, steps, BOARD_PORT);
    ck_mirrors(starboard, port);
    ck_assert_int_eq(break_each(change_step, arena, starboard, port), 18);
    ck_assert_int_eq(break_each(change_more, arena, starboard, port), 34);
    struct open *o = arena_alloc(arena, sizeof *o);
    open_up(o, port); /* words and times are not vet's */
    o->steps[EASE].doing = "Otherwise.";
    o->steps[EASE].takes.usual_ms = 9;
    ck_mirrors(starboard, &o->procedure);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("mirror");
    TCase *shipped = tcase_create("shipped");
    tcase_set_timeout(shipped, 100);
    tcase_add_loop_test(shipped, shipped_with_every_choice, 0, SHIPPED_COUNT);
    tcase_add_loop_test(shipped, vet_says_the_same_of_both, 0, SHIPPED_COUNT);
    suite_add_tcase(suite, shipped);
    TCase *broken = tcase_create("broken");
    tcase_add_loop_test(broken, one_line_breaks_it, 0,
                        (int)(sizeof lines / sizeof lines[0]));
    tcase_add_test(broken, one_field_breaks_it);
    suite_add_tcase(suite, broken);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
