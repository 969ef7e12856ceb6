/* What comes of every single cue of the shipped procedures being deleted, one line a cue,
 * as tests/golden/NAME.cues says: default options, starboard, every begin.  UPDATE=1 in
 * the environment rewrites the files: read them before they are committed. */
#include "golden.h"

#include "vet/engines.h"
#include "vet/slips.h"

enum { SEARCHED_MOST = 20000 }; /* states of what is searched and checked as well */

/* One cue of STEP: the arrow from OTHER, or where that is -1 wait number WAIT. */
struct cue {
    int step, other, wait;
};

/* The procedure without that cue; nothing of vet's own changing is used. */
static const struct procedure *without(const struct procedure *procedure, struct cue cue,
                                       struct arena *arena)
{
    struct procedure *copy = arena_alloc(arena, sizeof *copy);
    struct step *steps = arena_alloc(arena, procedure->step_count * sizeof *steps);
    *copy = *procedure;
    memcpy(steps, procedure->steps, procedure->step_count * sizeof *steps);
    copy->steps = steps;
    struct step *step = &steps[cue.step];
    if (cue.other >= 0) {
        step->after &= ~((step_set)1 << cue.other);
        step->after_started &= ~((step_set)1 << cue.other);
        return copy;
    }
    struct condition *left = arena_alloc(arena, step->wait.count * sizeof *left);
    int kept = 0;
    for (int i = 0; i < step->wait.count; i++)
        if (i != cue.wait)
            left[kept++] = step->wait.at[i];
    step->wait = (struct conditions){left, (uint8_t)kept};
    return copy;
}

static void add_finding(const struct rig *rig, const struct finding *finding,
                        struct text *out)
{
    const struct procedure *procedure = rig->procedure;
    switch (finding->kind) {
    case FINDING_RULE:
        text_add(out, procedure->rules.at[finding->index].name);
        break;
    case FINDING_NEED:
        text_printf(out, "the need of %s", procedure->steps[finding->index].name);
        break;
    case FINDING_TAKEN:
        text_printf(out, "%s taken in %s", rig->plan->parts[finding->other].name,
                    procedure->steps[finding->index].name);
        break;
    case FINDING_GEAR:
        text_printf(out, "two at the %s", rig->plan->gear[finding->index].name);
        break;
    default:
        for (int role = 0; role < rig->plan->role_count; role++)
            if (rig->lane_of_role[role] == finding->index)
                text_add(out, rig->plan->roles[role].name);
        text_add(out, finding->kind == FINDING_HANDS   ? ": more than two hands"
                      : finding->kind == FINDING_PLACE ? ": away from a line"
                                                       : ": away from the helm");
    }
}

/* The end of a line, "nothing" or what is found, the nearest first. */
static void add_outcome(const struct rig *rig, const struct vet_report *report,
                        struct text *out)
{
    static const char *const words[] = {"", "breaks ", "stalls", "ends wrong", ""};
    ck_assert_int_ne(report->verdict, VET_UNDECIDED);
    ck_assert_int_lt(report->found_count, VET_FOUND_MAX);
    if (!report->found_count)
        text_add(out, "nothing");
    for (int length = 0, said = 0; said < report->found_count; length++)
        for (int i = 0; i < report->found_count; i++) {
            const struct vet_found *found = &report->found[i];
            if (found->way_count != length)
                continue;
            text_add(out, said++ ? "; " : "");
            text_add(out, words[found->kind]);
            if (found->kind == VET_BROKEN)
                add_finding(rig, &found->finding, out);
            text_printf(out, " after %d", length);
        }
    text_add(out, "\n");
}

static void add_values(const struct rig_plan *plan, const struct condition *wait,
                       struct text *out)
{
    const struct part *part = &plan->parts[wait->part];
    text_add(out, *part->alias ? part->alias : part->name);
    for (int v = 0; v < part->value_count; v++)
        if (wait->values >> v & 1)
            text_printf(out, " %s",
                        *part->values[v].alias ? part->values[v].alias
                                               : part->values[v].name);
}

/* Engines and the checker agree on it, where the search is not too long. */
static void check_report(const struct rig *rig, const struct vet_report *report,
                         struct vet_report *searched)
{
    const struct vet_limits limits = {.states = SEARCHED_MOST};
    vet_prove(rig, &limits, false, searched);
    ck_assert_int_ne(searched->checked, VET_REFUSED);
    if (searched->checked != VET_CHECKED)
        return; /* swept: no states were kept */
    ck_assert_int_eq(searched->verdict, report->verdict);
    ck_assert_int_eq(searched->found_count, report->found_count);
}

static void add_line(const struct procedure *procedure, struct cue cue, struct text *out)
{
    struct arena *arena = arena_new();
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    const struct vet_limits no_limits = {0};
    const struct step *step = &procedure->steps[cue.step];
    const struct procedure *less = without(procedure, cue, arena);
    struct text name = {0};
    ck_assert(vet_rig_of_roles(less, procedure->pilot_needed, rig));
    vet_quickly(rig, &no_limits, false, report);
    check_report(rig, report, arena_alloc(arena, sizeof *report));
    if (cue.other >= 0)
        text_printf(&name, "after %s", procedure->steps[cue.other].name);
    else {
        text_add(&name, "wait ");
        add_values(procedure->plan, &step->wait.at[cue.wait], &name);
    }
    text_printf(out, "%-18s %-34s ", step->name, name.at);
    add_outcome(rig, report, out);
    text_free(&name);
    arena_free(arena);
}

static int add_table(const struct procedure *procedure, struct text *out)
{
    int cues = 0;
    for (int s = 0; s < procedure->step_count; s++) {
        const struct step *step = &procedure->steps[s];
        for (int other = 0; other < procedure->step_count; other++)
            if ((step->after | step->after_started) >> other & 1) {
                add_line(procedure, (struct cue){s, other, -1}, out);
                cues++;
            }
        for (int i = 0; i < step->wait.count; i++) {
            add_line(procedure, (struct cue){s, -1, i}, out);
            cues++;
        }
    }
    return cues;
}

START_TEST(every_cue_deleted)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_load(shipped_library(arena), _i, BOARD_STARBOARD, NULL, 0, arena);
    struct text table = {0};
    ck_assert_int_gt(add_table(procedure, &table), 5);
    golden_check(arena_printf(arena, "%s.cues", procedure->name), &table);
    text_free(&table);
    arena_free(arena);
}
END_TEST

/* The same through vet's own slips. */
START_TEST(slips_say_the_same)
{
    struct arena *arena = arena_new();
    const struct procedure *procedure =
        shipped_load(shipped_library(arena), _i, BOARD_STARBOARD, NULL, 0, arena);
    struct rig *rig = arena_alloc(arena, sizeof *rig),
               *less = arena_alloc(arena, sizeof *less);
    struct slips *slips = arena_alloc(arena, sizeof *slips);
    struct vet_report *report = arena_alloc(arena, sizeof *report);
    const struct vet_limits no_limits = {0};
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, rig));
    vet_slips(rig, &no_limits, slips);
    for (int i = 0; i < slips->count; i++) {
        const struct slip *slip = &slips->at[i];
        if (slip->kind != SLIP_AFTER && slip->kind != SLIP_WAIT)
            continue;
        bool arrow = slip->kind == SLIP_AFTER;
        struct cue cue = {slip->step, arrow ? slip->other : -1, arrow ? -1 : slip->other};
        ck_assert(vet_rig_of_roles(without(procedure, cue, arena),
                                   procedure->pilot_needed, less));
        vet_quickly(less, &no_limits, false, report);
        ck_assert_int_eq(report->verdict, slip->outcome);
    }
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("deletions");
    TCase *cues = tcase_create("cues");
    tcase_set_timeout(cues, 100);
    tcase_add_loop_test(cues, every_cue_deleted, 0, SHIPPED_COUNT);
    tcase_add_loop_test(cues, slips_say_the_same, 0, SHIPPED_COUNT);
    suite_add_tcase(suite, cues);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
