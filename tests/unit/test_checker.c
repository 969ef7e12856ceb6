/* The checker: it accepts what the reference search proves, of shipped and of random
 * procedures, and refuses every certificate and every way that was tampered with. */
#include "made_up_random.h"
#include "mix_crew.h"
#include "shipped.h"

#include "cards/sheet_vet.h"
#include "vet/changed.h"
#include "vet/checker.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

enum { RANDOM_SAFE = 1000, TRIES_MOST = 40000, MIXES = 1000 };

struct proof {
    struct arena *arena;
    struct rig *rig;
    struct vet_report *report;
    struct vet_certificate certificate;
};

/* Room for three states more, to be added by a test. */
static void make_room(struct vet_certificate *certificate, struct arena *arena)
{
    uint8_t *more = arena_alloc(arena, (certificate->count + 3) * certificate->size);
    memcpy(more, certificate->states, certificate->count * certificate->size);
    certificate->states = more;
}

static void search(struct proof *p, const struct procedure *procedure, bool one_begin)
{
    p->rig = arena_alloc(p->arena, sizeof *p->rig);
    p->report = arena_alloc(p->arena, sizeof *p->report);
    p->certificate = (struct vet_certificate){.arena = p->arena, .most = 1000000};
    const struct vet_limits limits = {.certificate = &p->certificate};
    ck_assert(vet_rig_of_roles(procedure, procedure->pilot_needed, p->rig));
    vet_search(p->rig, &limits, one_begin, p->report);
    if (p->report->verdict == VET_SAFE)
        make_room(&p->certificate, p->arena);
}

static bool accepted(const struct proof *p)
{
    return vet_accepts(p->rig, false, &p->certificate);
}

START_TEST(accepts_the_shipped)
{
    struct arena *arena = arena_new();
    const struct library *library = shipped_library(arena);
    for (int board = BOARD_PORT; board <= BOARD_STARBOARD; board++) {
        struct proof p = {.arena = arena_new()};
        search(&p, shipped_load(library, _i, (enum board)board, NULL, 0, arena), false);
        ck_assert_int_eq(p.report->verdict, VET_SAFE);
        ck_assert_uint_eq(p.certificate.count, p.report->states);
        ck_assert(accepted(&p));
        arena_free(p.arena);
    }
    arena_free(arena);
}
END_TEST

/* The next random procedure that loads. */
static const struct procedure *random_one(struct arena *arena, unsigned *seed)
{
    const char *text;
    const struct procedure *procedure = NULL;
    while (!procedure)
        procedure = random_procedure(arena, seed, 2 + one_of(seed, 2), &text);
    return procedure;
}

static uint8_t *state_at(const struct vet_certificate *certificate, size_t i)
{
    return certificate->states + i * certificate->size;
}

/* Each state can be met, so each is needed: by the begin or by the state before it. */
static void refuses_one_missing(struct proof *p, size_t i)
{
    struct vet_certificate *c = &p->certificate;
    uint8_t kept[512];
    ck_assert_uint_le(c->size, sizeof kept);
    memcpy(kept, state_at(c, i), c->size);
    c->count--;
    memcpy(state_at(c, i), state_at(c, c->count), c->size);
    ck_assert_msg(!accepted(p), "state %zu of %zu left out", i, c->count + 1);
    c->count++;
    memcpy(state_at(c, i), kept, c->size);
}

static void refuses_one_changed(struct proof *p, size_t i, unsigned *seed)
{
    struct vet_certificate *c = &p->certificate;
    uint8_t *byte = state_at(c, i) + (size_t)one_of(seed, (int)c->size);
    uint8_t kept = *byte;
    *byte = (uint8_t)(kept ^ (1u << one_of(seed, 8)));
    ck_assert_msg(!accepted(p), "state %zu of %zu changed", i, c->count);
    *byte = kept;
}

/* What does not fit the rig, or leaves out a part or line that changes. */
static void refuses_another_form(struct proof *p)
{
    struct vet_certificate kept = p->certificate, *c = &p->certificate;
    c->ground = VET_GROUND_NONE;
    ck_assert(!accepted(p));
    *c = kept;
    c->size++;
    ck_assert(!accepted(p));
    *c = kept;
    c->count = 0;
    ck_assert(!accepted(p));
    *c = kept;
    if (c->part_count) {
        c->parts[0] = PARTS_MAX;
        ck_assert(!accepted(p));
        *c = kept;
    }
    if (c->line_count) {
        c->lines[0] = 255;
        ck_assert(!accepted(p));
        *c = kept;
    }
    ck_assert(accepted(p));
}

/* A thousand of them; each state left out and changed of every tenth, the begin of the
 * others. */
START_TEST(accepts_random_and_refuses_tampered)
{
    unsigned seed = 20261125;
    int safe = 0, tampered = 0;
    for (int i = 0; safe < RANDOM_SAFE && i < TRIES_MOST; i++) {
        struct proof p = {.arena = arena_new()};
        search(&p, random_one(p.arena, &seed), false);
        if (p.report->verdict == VET_SAFE) {
            safe++;
            ck_assert(accepted(&p));
            size_t step = safe % 10 ? p.certificate.count : 1;
            for (size_t s = 0; s < p.certificate.count; s += step) {
                refuses_one_missing(&p, s);
                refuses_one_changed(&p, s, &seed);
                tampered += 2;
            }
            refuses_another_form(&p);
        }
        arena_free(p.arena);
    }
    ck_assert_int_eq(safe, RANDOM_SAFE);
    ck_assert_int_gt(tampered, 4000);
}
END_TEST

/* Shared cards, runs taken up midway, steps left out, several begins: whatever is said
 * of them, but for undecided, is checked. */
START_TEST(checks_whatever_is_said)
{
    int seen[VET_UNDECIDED + 1] = {0};
    for (unsigned seed = 0; seed < 2 * MIXES; seed++) {
        struct mix mix;
        mix_new(&mix, seed % 2 ? MIX_WILD : MIX_ORDERLY, seed);
        struct vet_report *report = arena_alloc(mix.arena, sizeof *report);
        vet_prove(&mix.rig, &(struct vet_limits){0}, mix.one_begin, report);
        ck_assert_msg(report->checked == VET_CHECKED, "seed %u: %s", seed,
                      vet_verdict_name(report->verdict));
        seen[report->verdict]++;
        mix_free(&mix);
    }
    for (int verdict = VET_SAFE; verdict <= VET_WRONG_END; verdict++)
        ck_assert_int_gt(seen[verdict], MIXES / 20);
}
END_TEST

static bool replays(const struct proof *p, const struct vet_found *found)
{
    return vet_replay(p->rig, found);
}

/* It is a shortest way: with any event less it leads nowhere. */
static void refuses_shorter(const struct proof *p, const struct vet_found *found)
{
    for (int gone = 0; gone < found->way_count; gone++) {
        struct vet_found less = *found;
        less.way_count--;
        memmove(&less.way[gone], &less.way[gone + 1],
                (size_t)(less.way_count - gone) * sizeof less.way[0]);
        ck_assert_msg(!replays(p, &less), "without event %d", gone);
    }
}

static void refuses_other_ways(const struct proof *p, const struct vet_found *found)
{
    struct vet_found other = *found;
    if (found->way_count) { /* nothing happens twice */
        other.way[other.way_count++] = other.way[0];
        ck_assert(!replays(p, &other));
    }
    other = *found;
    other.way[0].step = 255;
    other.way_count = found->way_count ? found->way_count : 1;
    ck_assert(!replays(p, &other));
    other = *found;
    other.way_count = 255;
    ck_assert(!replays(p, &other));
    other = *found;
    other.kind = VET_SAFE;
    ck_assert(!replays(p, &other));
    other = *found;
    other.kind = VET_BROKEN;
    other.finding = (struct finding){FINDING_RULE, RULES_MAX - 1, 0};
    ck_assert(!replays(p, &other));
    other = *found;
    other.begin.part[0] = (uint8_t)(other.begin.part[0] + 1); /* begin allows a alone */
    ck_assert(!replays(p, &other));
    other = *found;
    other.begin.tender[1] = (int8_t)(other.begin.tender[1] < 0 ? 0 : -1);
    ck_assert(!replays(p, &other));
    other = *found;
    other.begin.done |= 1;
    ck_assert(!replays(p, &other));
}

START_TEST(refuses_tampered_ways)
{
    unsigned seed = 7;
    int found[VET_UNDECIDED] = {0};
    for (int i = 0; i < 600; i++) {
        struct proof p = {.arena = arena_new()};
        search(&p, random_one(p.arena, &seed), false);
        for (int f = 0; f < p.report->found_count; f++) {
            ck_assert(replays(&p, &p.report->found[f]));
            refuses_shorter(&p, &p.report->found[f]);
            refuses_other_ways(&p, &p.report->found[f]);
            found[p.report->found[f].kind]++;
        }
        arena_free(p.arena);
    }
    for (int kind = VET_BROKEN; kind <= VET_WRONG_END; kind++)
        ck_assert_int_gt(found[kind], 50);
}
END_TEST

/* Two roles; the second opens what the first unloads, and waits for that. */
static void begin_two(struct proof *p, const char *begin)
{
    struct text rig = {0}, steps = {0}, changed = {0};
    *p = (struct proof){.arena = arena_new()};
    made_up_rig(&rig, 2, 2,
                "rules:\n  - {rule: never-open-loaded, never: {p0: a, p1: b}, hurts: "
                "crew, signal: warning, because: It flies open.}\n");
    made_up_head(&steps, 2);
    text_add(&steps, "goal: {p0: b, p1: c}\nsteps:\n");
    made_up_step(&steps, "unload", 0, "    finish: {p0: b}\n");
    made_up_step(&steps, "open", 1,
                 "    start: {p1: b}\n    finish: {p1: c}\n    wait: {p0: b}\n");
    const char *at = strstr(steps.at, "p0: a, p1: a");
    text_add_bytes(&changed, steps.at, (size_t)(at - steps.at));
    text_add(&changed, begin);
    text_add(&changed, at + strlen("p0: a, p1: a"));
    search(p, made_up_load(&rig, &changed, p->arena), false);
    text_free(&rig);
    text_free(&steps);
    text_free(&changed);
}

/* Adds a state: STEPS of the two begun and done, the parts as given. */
static void add_state(struct proof *p, step_set begun, step_set done, int p0, int p1)
{
    struct vet_certificate *c = &p->certificate;
    uint8_t *at = state_at(c, c->count++);
    memcpy(at, state_at(c, 0), c->size);
    memcpy(at, &begun, sizeof begun);
    memcpy(at + sizeof begun, &done, sizeof done);
    at[16] = (uint8_t)p0;
    at[17] = (uint8_t)p1;
}

START_TEST(refuses_what_was_added)
{
    static const struct {
        step_set begun, done;
        int p0, p1;
        bool fine;
    } added[] = {{3, 3, 1, 2, true},  /* the end once more */
                 {3, 3, 1, 0, false}, /* ends away from the goal */
                 {3, 1, 0, 1, false}, /* the rule is broken */
                 {1, 1, 2, 0, false}, /* the second waits for ever */
                 {1, 0, 1, 0, false}, /* leads to a state that is not there */
                 {7, 3, 1, 2, false}, /* a step there is not */
                 {1, 3, 1, 2, false}, /* done and not begun */
                 {3, 3, 1, 3, false}, /* a value there is not */
                 {1, 1, 1, 0, true}};
    for (size_t i = 0; i < sizeof added / sizeof added[0]; i++) {
        struct proof p;
        begin_two(&p, "p0: a, p1: a");
        ck_assert_int_eq(p.report->verdict, VET_SAFE);
        ck_assert_uint_eq(p.certificate.part_count, 2);
        ck_assert(accepted(&p));
        add_state(&p, added[i].begun, added[i].done, added[i].p0, added[i].p1);
        ck_assert_msg(accepted(&p) == added[i].fine, "state %zu", i);
        arena_free(p.arena);
    }
}
END_TEST

/* What is proved from one begin is not proved for all; the other way round it is. */
START_TEST(wants_every_begin)
{
    struct proof p;
    begin_two(&p, "p0: [a, b, c], p1: [a, c]");
    ck_assert_int_eq(p.report->verdict, VET_SAFE);
    ck_assert_uint_eq(p.report->begins, 6);
    ck_assert(accepted(&p));
    ck_assert(vet_accepts(p.rig, true, &p.certificate));
    for (size_t i = 0; i < 6; i++)
        refuses_one_missing(&p, i);
    const struct vet_limits limits = {.certificate = &p.certificate};
    vet_search(p.rig, &limits, true, p.report);
    ck_assert_int_eq(p.report->verdict, VET_SAFE);
    ck_assert(vet_accepts(p.rig, true, &p.certificate));
    ck_assert(!accepted(&p));
    arena_free(p.arena);
}
END_TEST

/* A part that changes but is left out of the records makes states look the same. */
START_TEST(wants_every_part)
{
    struct proof p;
    begin_two(&p, "p0: a, p1: a");
    struct vet_certificate less = p.certificate;
    less.part_count = 1;
    less.size--;
    for (size_t i = 0; i < less.count; i++)
        memmove(less.states + i * less.size, less.states + i * (less.size + 1),
                less.size);
    ck_assert(!vet_accepts(p.rig, false, &less));
    arena_free(p.arena);
}
END_TEST

/* The proof of a procedure is none for the same procedure with a cue less, where that is
 * not safe. */
START_TEST(refuses_for_another_rig)
{
    struct proof p = {.arena = arena_new()};
    search(&p,
           shipped_named(shipped_library(p.arena), "dip-pole-jibe", BOARD_STARBOARD,
                         p.arena),
           false);
    struct slips *slips = arena_alloc(p.arena, sizeof *slips);
    struct changed *changed = arena_alloc(p.arena, sizeof *changed);
    const struct vet_limits limits = {0};
    vet_slips(p.rig, &limits, slips);
    int refused = 0;
    for (int i = 0; i < slips->count; i++) {
        if (slips->at[i].outcome == VET_SAFE)
            continue;
        changed_copy(p.rig, changed);
        changed_slip(changed, p.rig, &slips->at[i]);
        ck_assert(!vet_accepts(&changed->rig, true, &p.certificate));
        refused++;
    }
    ck_assert_int_gt(refused, 20);
    arena_free(p.arena);
}
END_TEST

static void check_line(const struct proof *p, const char *words)
{
    struct text line = {0};
    sheet_vet_line(p->rig, p->report, false, &line);
    ck_assert_msg(strstr(line.at, words) != NULL, "%s", line.at);
    text_free(&line);
}

START_TEST(says_so_loudly)
{
    struct proof p;
    begin_two(&p, "p0: a, p1: a");
    vet_check(p.rig, false, &p.certificate, p.report);
    ck_assert_int_eq(p.report->checked, VET_CHECKED);
    check_line(&p, ", checked\n");
    p.certificate.count--;
    vet_check(p.rig, false, &p.certificate, p.report);
    ck_assert_int_eq(p.report->checked, VET_REFUSED);
    ck_assert_int_eq(p.report->verdict, VET_UNDECIDED); /* never SAFE */
    check_line(&p, "UNDECIDED");
    check_line(&p, "foreguy has made a mistake");
    p.certificate.ground = VET_GROUND_NONE; /* more states than are kept */
    p.report->verdict = VET_SAFE;
    vet_check(p.rig, false, &p.certificate, p.report);
    ck_assert_int_eq(p.report->checked, VET_UNCHECKED);
    check_line(&p, "SAFE");
    check_line(&p, ", not checked\n");
    arena_free(p.arena);
}
END_TEST

/* A verdict without a way to it, or with a way to something else, is refused. */
START_TEST(refuses_a_verdict_without_a_way)
{
    struct proof p;
    begin_two(&p, "p0: c, p1: a"); /* the second waits for p0: b, so it is safe */
    p.report->verdict = VET_BROKEN;
    vet_check(p.rig, false, &p.certificate, p.report);
    ck_assert_int_eq(p.report->checked, VET_REFUSED);
    arena_free(p.arena);
    begin_two(&p, "p0: a, p1: b"); /* broken before anybody moves */
    ck_assert_int_eq(p.report->verdict, VET_BROKEN);
    vet_check(p.rig, false, &p.certificate, p.report);
    ck_assert_int_eq(p.report->checked, VET_CHECKED);
    p.report->verdict = VET_STALL;
    vet_check(p.rig, false, &p.certificate, p.report);
    ck_assert_int_eq(p.report->checked, VET_REFUSED);
    p.report->verdict = VET_SAFE;
    vet_check(p.rig, false, &p.certificate, p.report);
    ck_assert_int_eq(p.report->checked, VET_REFUSED);
    arena_free(p.arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("checker");
    TCase *large = tcase_create("large");
    tcase_set_timeout(large, 100);
    tcase_add_loop_test(large, accepts_the_shipped, 0, SHIPPED_COUNT);
    tcase_add_test(large, accepts_random_and_refuses_tampered);
    tcase_add_test(large, checks_whatever_is_said);
    tcase_add_test(large, refuses_tampered_ways);
    tcase_add_test(large, refuses_for_another_rig);
    suite_add_tcase(suite, large);
    TCase *small = tcase_create("small");
    tcase_add_test(small, refuses_what_was_added);
    tcase_add_test(small, wants_every_begin);
    tcase_add_test(small, wants_every_part);
    tcase_add_test(small, says_so_loudly);
    tcase_add_test(small, refuses_a_verdict_without_a_way);
    suite_add_tcase(suite, small);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
