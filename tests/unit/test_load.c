/* Files that are right: the shipped ones load without a word, and mean what they say. */
#include "load_world.h"

#include <dirent.h>

struct loaded {
    struct arena *arena;
    struct diags *diags;
    const struct rig_plan *plan;
    const struct procedure *procedure;
};

static void expect_silence(const struct loaded *loaded)
{
    struct text said = {0};
    text_add(&said, "");
    diags_write(loaded->diags, &said);
    ck_assert_str_eq(said.at, "");
    text_free(&said);
}

/* The shipped rig, and the procedure TEXT for it. */
static struct loaded load_text_for(const char *text, enum board board,
                                   const char *const *options, int option_count)
{
    struct loaded loaded = {.arena = arena_new()};
    loaded.diags = diags_new(loaded.arena);
    loaded.plan =
        load_rig(world_source(loaded.arena, RIG_FILE), board, loaded.arena, loaded.diags);
    ck_assert_ptr_nonnull(loaded.plan);
    struct load_choice choice = {board, options, option_count};
    loaded.procedure =
        load_procedure(source_new(loaded.arena, "case.yaml", text, strlen(text)),
                       loaded.plan, &choice, loaded.arena, loaded.diags);
    expect_silence(&loaded);
    ck_assert_ptr_nonnull(loaded.procedure);
    return loaded;
}

static struct loaded load_jibe(enum board board, const char *const *options, int count)
{
    struct text text = world_read(JIBE_FILE);
    struct loaded loaded = load_text_for(text.at, board, options, count);
    text_free(&text);
    return loaded;
}

/* A short procedure: STEPS and whatever else stands in REST. */
static struct loaded load_case(const char *rest, const char *steps)
{
    struct text text = {0};
    text_printf(&text,
                "format: 1\nprocedure: case\ntitle: A case\nfamily: gybe\n"
                "rig: symmetric\n%ssteps:\n%s",
                rest, steps);
    struct loaded loaded = load_text_for(text.at, BOARD_STARBOARD, NULL, 0);
    text_free(&text);
    return loaded;
}

static int part(const struct loaded *loaded, const char *name)
{
    int found = rig_plan_part(loaded->plan, name);
    ck_assert_msg(found >= 0, "no part %s", name);
    return found;
}

static int value(const struct loaded *loaded, const char *of, const char *name)
{
    return part_find_value(&loaded->plan->parts[part(loaded, of)], name);
}

static value_set bit(const struct loaded *loaded, const char *of, const char *name)
{
    return (value_set)1 << value(loaded, of, name);
}

static const struct step *step(const struct loaded *loaded, const char *name)
{
    int found = procedure_step(loaded->procedure, name);
    ck_assert_msg(found >= 0, "no step %s", name);
    return &loaded->procedure->steps[found];
}

static step_set steps(const struct loaded *loaded, const char *first, const char *second)
{
    step_set set = (step_set)1 << procedure_step(loaded->procedure, first);
    if (second)
        set |= (step_set)1 << procedure_step(loaded->procedure, second);
    return set;
}

START_TEST(test_shipped_procedure)
{
    static const char *const choices[][2] = {
        {"self-tailers=no", "foreguy-mark=no"},
        {"self-tailers=yes", "foreguy-mark=no"},
        {"self-tailers=no", "foreguy-mark=yes"},
        {"self-tailers=yes", "foreguy-mark=yes"},
    };
    static const int counts[] = {21, 24, 21, 24};
    enum board board = _i / 4 ? BOARD_STARBOARD : BOARD_PORT;
    struct loaded loaded = load_jibe(board, choices[_i % 4], 2);
    ck_assert_int_eq(loaded.procedure->step_count, counts[_i % 4]);
    ck_assert_int_eq(loaded.procedure->rules.count,
                     loaded.plan->rules.count + 1); /* its own */
    ck_assert_int_eq(loaded.procedure->check_count, 6);
    ck_assert_int_eq(loaded.procedure->hands_least, 5);
    ck_assert_int_eq(loaded.procedure->hands_usual, 7);
    ck_assert_double_eq_tol(loaded.procedure->stop_kn, 25, 1e-9);
    ck_assert_int_eq(loaded.procedure->options[0].on, _i % 2);
    arena_free(loaded.arena);
}
END_TEST

/* Adds the files of FOLDER, which ends with a slash; returns how many. */
static int add_folder(struct library *library, struct arena *arena, const char *folder,
                      bool rigs)
{
    DIR *files = opendir(folder);
    ck_assert_ptr_nonnull(files);
    int count = 0;
    for (struct dirent *entry; (entry = readdir(files)) != NULL;) {
        if (!world_ends_with(entry->d_name, ".yaml"))
            continue;
        const char *path = arena_printf(arena, "%s%s", folder, entry->d_name);
        ck_assert(library_add(library, world_source(arena, path), rigs));
        count++;
    }
    closedir(files);
    return count;
}

/* Loads SOURCE for BOARD, each option of KNOWN set on where its bit of ON is. */
static void load_with(const struct library *library, const struct source *source,
                      enum board board, const struct procedure *known, unsigned on)
{
    struct loaded loaded = {.arena = arena_new()};
    loaded.diags = diags_new(loaded.arena);
    const char *chosen[OPTIONS_MAX];
    int count = known->option_count;
    for (int i = 0; i < count; i++)
        chosen[i] = arena_printf(loaded.arena, "%s=%s", known->options[i].name,
                                 on >> i & 1 ? "yes" : "no");
    struct load_choice choice = {board, chosen, count};
    loaded.procedure = library_load(library, source, &choice, loaded.arena, loaded.diags);
    expect_silence(&loaded);
    ck_assert_ptr_nonnull(loaded.procedure);
    arena_free(loaded.arena);
}

START_TEST(test_every_shipped_procedure)
{
    struct loaded defaults = {.arena = arena_new()};
    defaults.diags = diags_new(defaults.arena);
    struct library library = {.rig_count = 0};
    ck_assert_int_gt(
        add_folder(&library, defaults.arena, FOREGUY_SOURCE_DIR "/procedures/rig/", true),
        0);
    int count =
        add_folder(&library, defaults.arena, FOREGUY_SOURCE_DIR "/procedures/", false);
    ck_assert_int_gt(count, 0);
    for (int i = 0; i < count; i++) {
        struct load_choice choice = {(enum board)_i, NULL, 0};
        const struct procedure *procedure = library_load(
            &library, library.procedures[i], &choice, defaults.arena, defaults.diags);
        expect_silence(&defaults);
        for (unsigned on = 0; on < 1u << procedure->option_count; on++)
            load_with(&library, library.procedures[i], (enum board)_i, procedure, on);
    }
    arena_free(defaults.arena);
}
END_TEST

START_TEST(test_shipped_crew)
{
    struct loaded loaded = {.arena = arena_new()};
    loaded.diags = diags_new(loaded.arena);
    const struct crew *crew =
        load_crew(world_source(loaded.arena, FOREGUY_SOURCE_DIR "/demo/crew.yaml"),
                  loaded.arena, loaded.diags);
    expect_silence(&loaded);
    ck_assert_int_eq(crew->hand_count, 8);
    ck_assert_int_eq(hand_grade(&crew->hands[0], "helm"), GRADE_SURE);
    ck_assert_int_eq(hand_grade(&crew->hands[7], "main"), GRADE_NEW);
    ck_assert_int_eq(hand_grade(&crew->hands[7], "bow"), GRADE_NONE);
    ck_assert_double_eq_tol(crew->hands[5].pace_m_s, 1.3, 1e-9);
    ck_assert_double_eq_tol(crew->hands[0].pace_m_s, 1.0, 1e-9);
    arena_free(loaded.arena);
}
END_TEST

START_TEST(test_shipped_boat)
{
    struct loaded loaded = {.arena = arena_new()};
    loaded.diags = diags_new(loaded.arena);
    const struct boat *boat =
        load_boat(world_source(loaded.arena, FOREGUY_SOURCE_DIR "/demo/boat.yaml"),
                  loaded.arena, loaded.diags);
    expect_silence(&loaded);
    ck_assert_double_eq_tol(boat->isp_m, 14.9, 1e-9);
    ck_assert_double_eq_tol(boat->mast_end_most_m, 3, 1e-9);
    ck_assert_int_eq(boat->pole, POLE_DIP);
    ck_assert_int_eq(boat->pilot, true);
    ck_assert_int_eq(boat->sail_count, 2);
    ck_assert_str_eq(boat->sails[1].code, "S4");
    ck_assert_double_eq_tol(boat->sails[1].wind_most_kn, 25, 1e-9);
    ck_assert_int_eq(boat->winches[0].self_tailing, true);
    arena_free(loaded.arena);
}
END_TEST

/* With the wind from starboard the old guy is the starboard one, and the jaw holds it. */
START_TEST(test_sides)
{
    bool starboard = _i == BOARD_STARBOARD;
    struct loaded loaded = load_jibe((enum board)_i, NULL, 0);
    const char *windward = starboard ? "starboard" : "port";
    const struct procedure *procedure = loaded.procedure;
    const struct begin *jaw = &procedure->begin[part(&loaded, "jaw")];
    ck_assert_int_eq(jaw->first, value(&loaded, "jaw", windward));
    ck_assert_uint_eq(jaw->values, bit(&loaded, "jaw", windward));
    int old_guy = part(&loaded, starboard ? "starboard-guy" : "port-guy");
    int new_guy = part(&loaded, starboard ? "port-guy" : "starboard-guy");
    ck_assert_str_eq(loaded.plan->parts[old_guy].alias, "old-guy");
    ck_assert_str_eq(loaded.plan->parts[new_guy].alias, "new-guy");
    ck_assert_int_eq(procedure->begin[old_guy].first,
                     value(&loaded, "port-guy", "loaded"));
    ck_assert_int_eq(procedure->begin[new_guy].first,
                     value(&loaded, "port-guy", "slack"));
    ck_assert_int_eq(procedure->tended[0].tending.line, old_guy);
    ck_assert_int_eq(step(&loaded, "clip")->finish.at[0].value,
                     value(&loaded, "jaw", starboard ? "port" : "starboard"));
    const struct station *cockpit = &loaded.plan->stations[step(&loaded, "square")->at];
    ck_assert_str_eq(cockpit->name, starboard ? "starboard-cockpit" : "port-cockpit");
    ck_assert_double_eq_tol(cockpit->starboard_m, starboard ? 1.3 : -1.3, 1e-9);
    ck_assert_ptr_nonnull(strstr(step(&loaded, "ease-guy")->doing,
                                 starboard ? "Ease starboard guy" : "Ease port guy"));
    arena_free(loaded.arena);
}
END_TEST

/* Part and value numbers do not depend on the board; each line is tended on its side. */
START_TEST(test_same_numbers_on_both_boards)
{
    struct loaded port = load_jibe(BOARD_PORT, NULL, 0);
    struct loaded starboard = load_jibe(BOARD_STARBOARD, NULL, 0);
    ck_assert_int_eq(port.plan->part_count, starboard.plan->part_count);
    for (int i = 0; i < port.plan->part_count; i++) {
        const struct part *one = &port.plan->parts[i], *other = &starboard.plan->parts[i];
        ck_assert_str_eq(one->name, other->name);
        ck_assert_str_eq(one->words, other->words);
        ck_assert_int_eq(one->tended_at, other->tended_at);
        for (int j = 0; j < one->value_count; j++) {
            ck_assert_str_eq(one->values[j].name, other->values[j].name);
            ck_assert_str_eq(one->values[j].words, other->values[j].words);
        }
    }
    const struct part *guy = &port.plan->parts[part(&port, "port-guy")];
    ck_assert_str_eq(guy->words, "port guy");
    ck_assert_int_eq(guy->side, SIDE_PORT);
    ck_assert_str_eq(port.plan->stations[guy->tended_at].name, "port-cockpit");
    const struct part *jaw = &port.plan->parts[part(&port, "jaw")];
    ck_assert_str_eq(jaw->values[part_find_value(jaw, "starboard")].words,
                     "shut on the starboard guy");
    arena_free(port.arena);
    arena_free(starboard.arena);
}
END_TEST

START_TEST(test_reach_and_sight)
{
    struct loaded loaded = load_jibe(BOARD_STARBOARD, NULL, 0);
    int cockpit = rig_plan_station(loaded.plan, "port-cockpit");
    int mainsheet = rig_plan_station(loaded.plan, "mainsheet");
    ck_assert_uint_eq(loaded.plan->stations[cockpit].reach,
                      1u << cockpit | 1u << mainsheet);
    const struct role *bow = &loaded.plan->roles[rig_plan_role(loaded.plan, "bow")];
    ck_assert(bow->sees >> part(&loaded, "port-guy") & 1);
    ck_assert(bow->sees >> part(&loaded, "starboard-guy") & 1);
    ck_assert(!(bow->sees >> part(&loaded, "foreguy") & 1));
    ck_assert(loaded.plan->roles[rig_plan_role(loaded.plan, "helm")].steers);
    arena_free(loaded.arena);
}
END_TEST

#define STEP(name)                                                                       \
    "  - {step: " name ", role: helm, at: helm, do: It., takes: [1 s, 1 s, 1 s]"

START_TEST(test_left_out_steps_pass_on)
{
    struct loaded loaded = load_case(
        "options: {mark: no}\nbegin: {course: deep}\n",
        STEP("a") "}\n" STEP("b") "}\n" STEP(
            "c") ", only-if: mark, after: [a, {step: b, "
                 "started: true}]}\n" STEP("d") ", only-if: mark, after: [c]}\n" STEP(
                     "e") ", after: [d]}\n" STEP("f") ", only-if: {mark: no}, after: "
                                                      "[{step: d, "
                                                      "started: yes}]}\n" STEP(
                                                          "g") ", after: [a, {step: a, "
                                                               "started: yes}]}\n");
    ck_assert_int_eq(loaded.procedure->step_count, 5);
    ck_assert_uint_eq(step(&loaded, "e")->after, steps(&loaded, "a", NULL));
    ck_assert_uint_eq(step(&loaded, "e")->after_started, steps(&loaded, "b", NULL));
    ck_assert_uint_eq(step(&loaded, "f")->after, steps(&loaded, "a", NULL));
    ck_assert_uint_eq(step(&loaded, "f")->after_started, steps(&loaded, "b", NULL));
    ck_assert_uint_eq(step(&loaded, "g")->after_started, 0);
    arena_free(loaded.arena);
}
END_TEST

START_TEST(test_step_fields)
{
    struct loaded loaded = load_case(
        "begin: {lift: [low, fast], old-guy: slack, kite: full}\n",
        "  - step: haul\n    roles: [pit, mast]\n    at: pit\n"
        "    do: Haul for {leeward} and not {windward}.\n"
        "    takes: [0.5 s, 2s, 1m 30s]\n    hands: 2\n    uses: halyard-winch\n    "
        "memory: yes\n"
        "    wait: {kite: [full, soft]}\n    tends: {line: lift, none-when: {lift: "
        "fast}}\n"
        "    releases: [old-guy]\n    call: {by: bow, say: \"no\"}\n    reply: no\n"
        "    warn: {signal: danger, say: It falls., avoid: Stand clear.}\n");
    const struct step *haul = step(&loaded, "haul");
    int lift = part(&loaded, "lift");
    ck_assert_str_eq(haul->doing, "Haul for port and not starboard.");
    ck_assert_int_eq(haul->takes.best_ms, 500);
    ck_assert_int_eq(haul->takes.usual_ms, 2000);
    ck_assert_int_eq(haul->takes.slow_ms, 90000);
    ck_assert_uint_eq(haul->roles, 1u << rig_plan_role(loaded.plan, "pit") |
                                       1u << rig_plan_role(loaded.plan, "mast"));
    ck_assert_uint_eq(haul->uses, 1);
    ck_assert_uint_eq(haul->wait.at[0].values,
                      bit(&loaded, "kite", "full") | bit(&loaded, "kite", "soft"));
    ck_assert_int_eq(haul->tends.at[0].line, lift);
    ck_assert_int_eq(haul->tends.at[0].none_when.at[0].part, lift);
    ck_assert_uint_eq(haul->releases, (part_set)1 << part(&loaded, "starboard-guy"));
    ck_assert(haul->memory);
    ck_assert_str_eq(haul->call.say, "no");
    ck_assert_str_eq(haul->reply, "no");
    ck_assert_int_eq(haul->warn.signal, SIGNAL_DANGER);
    ck_assert_int_eq(loaded.procedure->begin[lift].first, value(&loaded, "lift", "low"));
    ck_assert_int_eq(loaded.procedure->family, FAMILY_JIBE);
    ck_assert_int_eq(loaded.procedure->hands_least, 1);
    ck_assert_int_eq(loaded.procedure->hands_usual, 2);
    arena_free(loaded.arena);
}
END_TEST

/* One rule of each form, and how many clauses and atoms its normal form has. */
struct form_case {
    const char *body;
    enum rule_form form;
    int clauses, atoms;
    enum atom_kind kinds[2];
};

static const struct form_case forms[] = {
    {"never: {kite: soft, lift: slack}", RULE_NEVER, 1, 2, {ATOM_PART, ATOM_PART}},
    {"always: {kite: full, lift: fast}", RULE_ALWAYS, 2, 1, {ATOM_PART, ATOM_PART}},
    {"while: {kite: full}, keep: {lift: fast}", RULE_WHILE, 1, 2, {ATOM_PART, ATOM_PART}},
    {"when: {start: b}, need: {kite: full, lift: fast}",
     RULE_WHEN,
     2,
     2,
     {ATOM_STARTING, ATOM_PART}},
    {"when: {finish: b}, need: {kite: full}",
     RULE_WHEN,
     1,
     2,
     {ATOM_FINISHING, ATOM_PART}},
    {"before: [a, b]", RULE_BEFORE, 1, 2, {ATOM_BEGUN, ATOM_UNMADE}},
    {"never-together: [a, b]", RULE_TOGETHER, 1, 2, {ATOM_RUNNING, ATOM_RUNNING}},
    {"tended: lift, while: {lift: easing}",
     RULE_TENDED,
     1,
     2,
     {ATOM_PART, ATOM_UNTENDED}},
    {"tended: lift", RULE_TENDED, 1, 1, {ATOM_UNTENDED, ATOM_PART}},
    {"finally: {kite: full}", RULE_FINALLY, 1, 2, {ATOM_ENDED, ATOM_PART}},
};

/* The procedure's own rule with BODY, behind the rig's; step 0 is left out. */
static struct loaded load_rule(const char *body)
{
    struct text rest = {0};
    text_printf(
        &rest,
        "options: {mark: no}\nbegin: {kite: full, lift: fast}\nrules:\n"
        "  - {rule: case, hurts: crew, signal: warning, because: It hurts., %s}\n",
        body);
    struct loaded loaded = load_case(
        rest.at, STEP("out") ", only-if: mark}\n" STEP("a") "}\n" STEP("b") "}\n");
    text_free(&rest);
    return loaded;
}

START_TEST(test_rule_forms)
{
    const struct form_case *expected = &forms[_i];
    struct loaded loaded = load_rule(expected->body);
    struct rules rules = loaded.procedure->rules;
    const struct rule *rule = &rules.at[rules.count - 1];
    ck_assert_str_eq(rule->name, "case");
    ck_assert_int_eq(rule->form, expected->form);
    ck_assert_int_eq(rule->hurts, HURTS_CREW);
    ck_assert_int_eq(rule->signal, SIGNAL_WARNING);
    ck_assert_int_eq(rule->clause_count, expected->clauses);
    for (int i = 0; i < rule->clause_count; i++) {
        ck_assert_int_eq(rule->clauses[i].count, expected->atoms);
        for (int j = 0; j < expected->atoms; j++)
            ck_assert_int_eq(rule->clauses[i].atoms[j].kind, expected->kinds[j]);
    }
    arena_free(loaded.arena);
}
END_TEST

START_TEST(test_rule_atoms)
{
    struct loaded loaded = load_rule("while: {lift: fast}, keep: {kite: [full, soft]}");
    struct rules rules = loaded.procedure->rules;
    const struct atom *atoms = rules.at[rules.count - 1].clauses[0].atoms;
    ck_assert_int_eq(atoms[0].index, part(&loaded, "lift"));
    ck_assert_uint_eq(atoms[0].values, bit(&loaded, "lift", "fast"));
    ck_assert_int_eq(atoms[1].index, part(&loaded, "kite"));
    int count = loaded.plan->parts[part(&loaded, "kite")].value_count;
    ck_assert_uint_eq(atoms[1].values, (((value_set)1 << count) - 1) &
                                           ~bit(&loaded, "kite", "full") &
                                           ~bit(&loaded, "kite", "soft"));
    arena_free(loaded.arena);
    loaded = load_rule("before: [a, b]");
    rules = loaded.procedure->rules;
    atoms = rules.at[rules.count - 1].clauses[0].atoms;
    ck_assert_int_eq(atoms[0].index, procedure_step(loaded.procedure, "b"));
    ck_assert_int_eq(atoms[1].index, procedure_step(loaded.procedure, "a"));
    arena_free(loaded.arena);
}
END_TEST

/* The rig's rules come along where all their parts are named; a rule of a left-out step
 * goes with it. */
START_TEST(test_which_rules_apply)
{
    struct loaded loaded = load_rule("before: [out, b]");
    struct rules rules = loaded.procedure->rules;
    ck_assert_int_eq(rules.count, 1);
    ck_assert_str_eq(rules.at[0].name, "lift-tended");
    arena_free(loaded.arena);
}
END_TEST

START_TEST(test_checks_and_options)
{
    struct loaded loaded = load_case(
        "options:\n  mark: yes\n  tailers: {default: no, words: on self-tailers}\n"
        "begin: {lift: fast, new-guy: slack}\n"
        "checks:\n"
        "  - {ask: pit, question: \"{new-guy} led?\", answer: Clear, covers: [lift, "
        "new-guy]}\n"
        "  - {ask: bow, question: Why?, answer: Because, only-if: tailers}\n",
        STEP("a") "}\n");
    const struct procedure *procedure = loaded.procedure;
    ck_assert_int_eq(procedure->check_count, 1);
    ck_assert_str_eq(procedure->checks[0].question, "Port guy led?");
    ck_assert_uint_eq(procedure->checks[0].covers,
                      (part_set)1 << part(&loaded, "lift") |
                          (part_set)1 << part(&loaded, "port-guy"));
    ck_assert_str_eq(procedure->options[0].words, "mark");
    ck_assert_int_eq(procedure->options[0].on, true);
    ck_assert_str_eq(procedure->options[1].words, "on self-tailers");
    arena_free(loaded.arena);
}
END_TEST

/* A file with a byte order mark and the line ends of another system is the same file. */
START_TEST(test_other_editors)
{
    struct text text = world_read(JIBE_FILE), other = {0};
    text_add(&other, "\xEF\xBB\xBF");
    for (size_t i = 0; i < text.length; i++)
        text_add_bytes(&other, text.at[i] == '\n' ? "\r\n" : text.at + i,
                       text.at[i] == '\n' ? 2 : 1);
    struct loaded loaded = load_text_for(other.at, BOARD_PORT, NULL, 0);
    ck_assert_int_eq(loaded.procedure->step_count, 21);
    ck_assert_str_eq(loaded.procedure->title, "Dip-pole jibe");
    text_free(&text);
    text_free(&other);
    arena_free(loaded.arena);
}
END_TEST

START_TEST(test_rig_name)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    ck_assert_str_eq(load_rig_name(world_source(arena, JIBE_FILE), arena, diags),
                     "symmetric");
    ck_assert_ptr_null(
        load_rig_name(world_source(arena, BAD_FOLDER "just-text.yaml"), arena, diags));
    ck_assert_uint_eq(diags_count(diags), 0);
    ck_assert_ptr_null(
        load_rig_name(world_source(arena, BAD_FOLDER "syntax.yaml"), arena, diags));
    ck_assert_uint_eq(diags_errors(diags), 1);
    arena_free(arena);
}
END_TEST

/* Rig features the shipped rig does without. */
START_TEST(test_fixed_places)
{
    const char *text =
        "format: 1\nrig: small\ntitle: A small rig\n"
        "parts:\n"
        "  halyard: {words: halyard, fixed: port, tended-at: winch, values: {up: up, "
        "down: down}}\n"
        "  guy: {words: guy, sides: {windward: old-guy, leeward: new-guy}, tended-at: "
        "pit, values: {slack: slack, fast: fast}}\n"
        "stations:\n"
        "  winch: {words: winch, forward: -3 m, out: 1 m, sides: {windward: high, "
        "leeward: low}, reach: [winch, rail]}\n"
        "  rail: {words: rail, forward: -3 m, out: 2 m, fixed: starboard, reach: "
        "[winch]}\n"
        "  pit: {words: pit, forward: -2 m, starboard: -0.5 m}\n"
        "roles:\n"
        "  all: {words: All, station: high, sees: [old-guy, halyard], order: free}\n";
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct rig_plan *plan =
        load_rig(source_new(arena, "small.yaml", text, strlen(text)), BOARD_STARBOARD,
                 arena, diags);
    ck_assert_ptr_nonnull(plan);
    ck_assert_int_eq(plan->parts[0].side, SIDE_PORT);
    ck_assert_str_eq(plan->stations[plan->parts[0].tended_at].name, "port-winch");
    ck_assert_str_eq(plan->stations[plan->parts[1].tended_at].name, "pit");
    ck_assert_uint_eq(plan->stations[0].reach, 1u << 0 | 1u << 2);
    ck_assert_uint_eq(plan->stations[1].reach, 1u << 1 | 1u << 2);
    ck_assert_uint_eq(plan->stations[2].reach, 1u << 0 | 1u << 1 | 1u << 2);
    ck_assert_double_eq_tol(plan->stations[2].starboard_m, 2, 1e-9);
    ck_assert_double_eq_tol(plan->stations[3].starboard_m, -0.5, 1e-9);
    ck_assert_int_eq(plan->roles[0].station, 1);
    ck_assert_uint_eq(plan->roles[0].sees,
                      1u << 0 | 1u << rig_plan_part(plan, "starboard-guy"));
    ck_assert(plan->roles[0].free_order);
    arena_free(arena);
}
END_TEST

static TCase *shipped_case(void)
{
    TCase *tcase = tcase_create("shipped files");
    tcase_add_loop_test(tcase, test_shipped_procedure, 0, 8);
    tcase_add_loop_test(tcase, test_every_shipped_procedure, BOARD_PORT,
                        BOARD_STARBOARD + 1);
    tcase_add_test(tcase, test_shipped_crew);
    tcase_add_test(tcase, test_shipped_boat);
    tcase_add_loop_test(tcase, test_sides, BOARD_PORT, BOARD_STARBOARD + 1);
    tcase_add_test(tcase, test_same_numbers_on_both_boards);
    tcase_add_test(tcase, test_reach_and_sight);
    tcase_add_test(tcase, test_other_editors);
    tcase_add_test(tcase, test_rig_name);
    return tcase;
}

static TCase *meaning_case(void)
{
    TCase *tcase = tcase_create("what files mean");
    tcase_add_test(tcase, test_left_out_steps_pass_on);
    tcase_add_test(tcase, test_step_fields);
    tcase_add_loop_test(tcase, test_rule_forms, 0, sizeof forms / sizeof *forms);
    tcase_add_test(tcase, test_rule_atoms);
    tcase_add_test(tcase, test_which_rules_apply);
    tcase_add_test(tcase, test_checks_and_options);
    tcase_add_test(tcase, test_fixed_places);
    return tcase;
}

int main(void)
{
    Suite *suite = suite_create("load");
    suite_add_tcase(suite, shipped_case());
    suite_add_tcase(suite, meaning_case());
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
