/* A rule that nothing can break guards nothing: every rule of every rig file and of every
 * procedure is broken by some small change of some shipped procedure.  Changes are the
 * slips of vet (a step forgotten, swapped or begun too soon, a cue ignored, a wrong
 * begin), and one effect or one grip of a line deleted from the file.  What breaks each
 * rule first is printed.  What a slip can break is among what the brief tells. */
#include "shipped.h"

#include "cards/slip_words.h"
#include "vet/changed.h"
#include "vet/engines.h"
#include "vet/values.h"

static const struct vet_limits no_limits = {0};

enum { RULES_ALL_MAX = 512, CHOICES_MAX = 1 + OPTIONS_MAX };

/* One rule as it is written, and the change that breaks it first. */
struct guarded {
    const char *owner; /* the rig or procedure whose file it stands in */
    const char *rule;
    const char *by; /* NULL: nothing so far */
};

struct whole {
    struct arena *arena;
    struct library *library;
    int count, loaded, changes;
    struct guarded rules[RULES_ALL_MAX];
};

static bool is_of_rig(const struct procedure *procedure, const char *rule)
{
    const struct rules *rules = &procedure->plan->rules;
    for (int i = 0; i < rules->count; i++)
        if (strcmp(rules->at[i].name, rule) == 0)
            return true;
    return false;
}

static struct guarded *guarded_of(struct whole *whole, const char *owner,
                                  const char *rule)
{
    for (int i = 0; i < whole->count; i++)
        if (strcmp(whole->rules[i].owner, owner) == 0 &&
            strcmp(whole->rules[i].rule, rule) == 0)
            return &whole->rules[i];
    ck_assert_int_lt(whole->count, RULES_ALL_MAX);
    struct guarded *guarded = &whole->rules[whole->count++];
    *guarded = (struct guarded){owner, rule, NULL};
    return guarded;
}

static struct guarded *guarded_by(struct whole *whole, const struct procedure *procedure,
                                  int r)
{
    const char *rule = procedure->rules.at[r].name;
    bool rigs = is_of_rig(procedure, rule);
    return guarded_of(whole, rigs ? procedure->plan->name : procedure->name, rule);
}

/* The rules of the rig that no procedure is held to stand in the table as well. */
static void list_rules(struct whole *whole, const struct procedure *procedure)
{
    for (int i = 0; i < procedure->plan->rules.count; i++)
        guarded_of(whole, procedure->plan->name, procedure->plan->rules.at[i].name);
    for (int i = 0; i < procedure->rules.count; i++)
        guarded_by(whole, procedure, i);
}

/* The procedure on starboard (vet_mirror holds for port), as written and with each option
 * turned. */
static int load_choices(struct whole *whole, int file,
                        const struct procedure *out[CHOICES_MAX])
{
    const struct procedure *plain =
        shipped_load(whole->library, file, BOARD_STARBOARD, NULL, 0, whole->arena);
    out[0] = plain;
    for (int o = 0; o < plain->option_count; o++) {
        const char *turned = arena_printf(whole->arena, "%s=%s", plain->options[o].name,
                                          plain->options[o].on ? "no" : "yes");
        out[1 + o] =
            shipped_load(whole->library, file, BOARD_STARBOARD, &turned, 1, whole->arena);
    }
    return 1 + plain->option_count;
}

static void note(struct whole *whole, const struct procedure *procedure, int rule,
                 const char *how)
{
    struct guarded *guarded = guarded_by(whole, procedure, rule);
    if (!guarded->by)
        guarded->by = arena_printf(whole->arena, "%s: %s", procedure->name, how);
}

/* What one slip can break is told at the brief. */
static void tells(const struct procedure *procedure, int rule)
{
    ck_assert_msg(values_at_stake(procedure, &procedure->rules.at[rule]),
                  "%s: %s is not told at the brief", procedure->name,
                  procedure->rules.at[rule].name);
}

static void note_slip(struct whole *whole, const struct rig *rig, const struct slip *slip)
{
    struct text words = {0};
    whole->changes++;
    for (int r = 0; r < rig->procedure->rules.count; r++) {
        if (!slip_breaks(slip, r))
            continue;
        tells(rig->procedure, r);
        if (!guarded_by(whole, rig->procedure, r)->by) {
            text_free(&words);
            sheet_add_slip(rig, slip, &words);
            note(whole, rig->procedure, r, words.at);
        }
    }
    text_free(&words);
}

/* Slips of its steps, and those of its begin: half of the same list each. */
static void try_slips(struct whole *whole, const struct procedure *procedure,
                      bool of_begin)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    vet_slips(rig, &no_limits, slips);
    for (int i = 0; i < slips->count; i++)
        if ((slips->at[i].kind == SLIP_BEGIN) == of_begin)
            note_slip(whole, rig, &slips->at[i]);
    whole->loaded += !of_begin;
    arena_free(arena);
}

static void try_steps(struct whole *whole, const struct procedure *procedure)
{
    try_slips(whole, procedure, false);
}

static void try_begins(struct whole *whole, const struct procedure *procedure)
{
    try_slips(whole, procedure, true);
}

/* What the changed rig breaks is noted as broken by HOW. */
static void try_changed(struct whole *whole, const struct changed *changed,
                        const char *how)
{
    struct arena *arena = arena_new();
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    vet_quickly(&changed->rig, &no_limits, false, report);
    whole->changes++;
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == VET_BROKEN &&
            report->found[i].finding.kind == FINDING_RULE)
            note(whole, changed->rig.procedure, report->found[i].finding.index, how);
    arena_free(arena);
}

/* EFFECTS but for number WITHOUT. */
static struct effects shorter(const struct effects *effects, int without,
                              struct arena *arena)
{
    struct effect *left = arena_alloc(arena, effects->count * sizeof *left);
    int kept = 0;
    for (int i = 0; i < effects->count; i++)
        if (i != without)
            left[kept++] = effects->at[i];
    return (struct effects){left, (uint8_t)kept};
}

static void delete_effects(struct whole *whole, const struct rig *rig, int s, bool finish,
                           struct changed *changed)
{
    const struct step *step = &rig->procedure->steps[s];
    const struct effects *effects = finish ? &step->finish : &step->start;
    for (int i = 0; i < effects->count; i++) {
        changed_copy(rig, changed);
        struct step *less = &changed->steps[s];
        *(finish ? &less->finish : &less->start) = shorter(effects, i, whole->arena);
        try_changed(whole, changed,
                    arena_printf(whole->arena, "%s does not set the %s", step->name,
                                 rig->plan->parts[effects->at[i].part].words));
    }
}

static void delete_grips(struct whole *whole, const struct rig *rig, int s,
                         struct changed *changed)
{
    const struct step *step = &rig->procedure->steps[s];
    changed_copy(rig, changed);
    changed->steps[s].tends.count = 0;
    try_changed(whole, changed,
                arena_printf(whole->arena, "%s tends no line", step->name));
    changed_copy(rig, changed);
    changed->steps[s].releases = 0;
    try_changed(whole, changed,
                arena_printf(whole->arena, "%s releases no line", step->name));
}

/* One effect or one grip of PROCEDURE deleted. */
static void try_deletions(struct whole *whole, const struct procedure *procedure)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct changed *changed = arena_alloc(arena, sizeof *changed);
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    for (int s = 0; s < procedure->step_count; s++) {
        delete_effects(whole, rig, s, false, changed);
        delete_effects(whole, rig, s, true, changed);
        delete_grips(whole, rig, s, changed);
    }
    arena_free(arena);
}

static bool breaks_all(struct whole *whole, const struct procedure *procedure)
{
    bool all = true;
    for (int r = 0; r < procedure->rules.count; r++)
        all &= guarded_by(whole, procedure, r)->by != NULL;
    return all;
}

/* Two slips at once, where a rule of PROCEDURE is still unbroken. */
static void try_pairs(struct whole *whole, const struct procedure *procedure)
{
    if (breaks_all(whole, procedure))
        return;
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    struct slip_pairs *pairs = arena_alloc(arena, sizeof *pairs);
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    vet_slips(rig, &no_limits, slips);
    vet_pairs(rig, slips, &no_limits, pairs);
    whole->changes += pairs->tried;
    for (int r = 0; r < procedure->rules.count; r++)
        if (pairs->breaks[r / 64] >> r % 64 & 1)
            note(whole, procedure, r, "two slips at once");
    arena_free(arena);
}

static void each_procedure(struct whole *whole,
                           void (*try)(struct whole *whole,
                                       const struct procedure *procedure))
{
    for (int i = 0; i < whole->library->procedure_count; i++) {
        const struct procedure *choices[CHOICES_MAX];
        int count = load_choices(whole, i, choices);
        for (int c = 0; c < count; c++)
            try(whole, choices[c]);
    }
}

/* Prints what breaks each rule; the number of those that nothing breaks. */
static int print_table(const struct whole *whole)
{
    int unbroken = 0;
    for (int i = 0; i < whole->count; i++) {
        const struct guarded *guarded = &whole->rules[i];
        unbroken += !guarded->by;
        printf("%-16s %-32s %s\n", guarded->owner, guarded->rule,
               guarded->by ? guarded->by : "NOTHING BREAKS IT");
    }
    printf("%d rules, %d procedures with their options, %d changes\n", whole->count,
           whole->loaded, whole->changes);
    fflush(stdout);
    return unbroken;
}

START_TEST(every_rule_can_be_broken)
{
    struct arena *arena = arena_new();
    struct whole *whole = arena_alloc(arena, sizeof *whole);
    *whole = (struct whole){.arena = arena, .library = shipped_library(arena)};
    each_procedure(whole, list_rules);
    each_procedure(whole, try_steps);
    each_procedure(whole, try_deletions);
    each_procedure(whole, try_begins);
    each_procedure(whole, try_pairs);
    int unbroken = print_table(whole);
    ck_assert_int_gt(whole->count, 50);
    ck_assert_msg(unbroken == 0, "%d rules guard nothing: see the table", unbroken);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rules_matter");
    TCase *tests = tcase_create("library");
    tcase_set_timeout(tests, 300);
    tcase_add_test(tests, every_rule_can_be_broken);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
