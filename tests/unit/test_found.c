/* What is told of things found, on random procedures of every kind: the arrow that is
 * said to mend does, and there is always a way and a reason to be read. */
#include "mix_crew.h"

#include "cards/sheet_vet.h"
#include "vet/repair.h"

enum { ROUNDS = 1500 };

static const struct vet_limits no_limits = {0};

struct told {
    struct mix mix;
    struct vet_report report, after;
    struct vet_mend mends[VET_FOUND_MAX];
    struct rig rig;
    struct procedure procedure;
    struct step steps[STEPS_MAX];
};

static bool is_in(const struct vet_report *report, const struct vet_found *wanted)
{
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == wanted->kind &&
            finding_same(&report->found[i].finding, &wanted->finding))
            return true;
    return false;
}

static void draw_arrow(struct told *t, const struct vet_mend *mend)
{
    t->rig = t->mix.rig;
    t->procedure = *t->mix.procedure;
    memcpy(t->steps, t->procedure.steps, t->procedure.step_count * sizeof *t->steps);
    t->procedure.steps = t->steps;
    t->rig.procedure = &t->procedure;
    t->steps[mend->then].after |= (step_set)1 << mend->first;
}

static void ck_mends(struct told *t, const struct vet_found *found,
                     const struct vet_mend *mend)
{
    draw_arrow(t, mend);
    vet_search(&t->rig, &no_limits, false, &t->after);
    ck_assert(!is_in(&t->after, found));
    for (int i = 0; i < t->after.found_count; i++)
        ck_assert(is_in(&t->report, &t->after.found[i]));
    ck_assert_int_eq(mend->all, t->after.verdict == VET_SAFE);
}

static int count(const char *text, const char *words)
{
    int found = 0;
    for (; (text = strstr(text, words)); text++)
        found++;
    return found;
}

START_TEST(mends_and_reasons)
{
    struct told *t = calloc(1, sizeof *t);
    int mended = 0, missing = 0, standing = 0;
    for (unsigned seed = 0; seed < ROUNDS; seed++) {
        mix_new(&t->mix, seed % 2 ? MIX_WILD : MIX_ORDERLY, seed + 40000);
        vet_search(&t->mix.rig, &no_limits, false, &t->report);
        for (int i = 0; i < t->report.found_count; i++) {
            t->mends[i] =
                vet_repair(&t->mix.rig, &t->report, &t->report.found[i], &no_limits);
            if (t->mends[i].first < 0)
                continue;
            mended++;
            ck_mends(t, &t->report.found[i], &t->mends[i]);
        }
        struct text out = {0};
        text_add(&out, "");
        sheet_vet_found(&t->mix.rig, &t->report, t->mends, &out);
        ck_assert_int_eq(t->report.found_count > 0, count(out.at, "shortest way") > 0);
        ck_assert_int_le(count(out.at, "shortest way"), t->report.found_count);
        missing += count(out.at, "is a line missing");
        standing += count(out.at, ": so ");
        text_free(&out);
        mix_free(&t->mix);
    }
    free(t);
    ck_assert_int_gt(mended, ROUNDS / 10);
    ck_assert_int_gt(missing, ROUNDS / 10);
    ck_assert_int_gt(standing, ROUNDS / 2);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("found");
    TCase *random = tcase_create("random");
    tcase_set_timeout(random, 100);
    tcase_add_test(random, mends_and_reasons);
    suite_add_tcase(suite, random);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
