/* One scalar and what it means: quantities, durations, yes and no, names; and the word
 * that was meant. */
#include "load/scalars.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static const struct range wide_s = {UNIT_S, 0, 100000, "any"};
static const struct range wide_m = {UNIT_M, -1000, 1000, "any"};
static const struct range wide_m_s = {UNIT_M_S, 0, 1000, "any"};
static const struct range few = {UNIT_NONE, 1, 4, "1 to 4"};

struct world {
    struct arena *arena;
    struct load load;
};

static struct world world_new(void)
{
    struct world world = {.arena = arena_new()};
    world.load = load_start(source_new(world.arena, "scalar", "x", 1), NULL, world.arena,
                            diags_new(world.arena));
    return world;
}

static struct node scalar(const char *text)
{
    return (struct node){.kind = NODE_TEXT, .text = text};
}

struct quantity {
    const char *text;
    const struct range *range;
    double value;
};

static const struct quantity good[] = {
    {"4 s", &wide_s, 4},         {"4s", &wide_s, 4},        {"1.5 s", &wide_s, 1.5},
    {"1m30s", &wide_s, 90},      {"1m 30 s", &wide_s, 90},  {"2m", &wide_s, 120},
    {"0.05 s", &wide_s, 0.05},   {"9.5 m", &wide_m, 9.5},   {"-2.25 m", &wide_m, -2.25},
    {"1.2 m/s", &wide_m_s, 1.2}, {"30 ft", &wide_m, 9.144},
};

START_TEST(test_quantity)
{
    struct world world = world_new();
    struct node node = scalar(good[_i].text);
    double value = -1;
    ck_assert(load_quantity(&world.load, &node, good[_i].range, &value));
    ck_assert_double_eq_tol(value, good[_i].value, 1e-9);
    arena_free(world.arena);
}
END_TEST

struct refusal {
    const char *text;
    const struct range *range;
    enum message message;
};

static const struct refusal refused[] = {
    {"90", &wide_s, MESSAGE_NO_UNIT},
    {"1:30", &wide_s, MESSAGE_CLOCK_TIME},
    {"1:30:00", &wide_s, MESSAGE_CLOCK_TIME},
    {"", &wide_s, MESSAGE_NOT_A_NUMBER},
    {"1m-3s", &wide_s, MESSAGE_WRONG_UNIT},
    {"4 min", &wide_s, MESSAGE_WRONG_UNIT},
    {"s", &wide_s, MESSAGE_NOT_A_NUMBER},
    {"2,5 m", &wide_m, MESSAGE_NOT_A_NUMBER},
    {"1e3 m", &wide_m, MESSAGE_WRONG_UNIT},
    {"0x10 m", &wide_m, MESSAGE_WRONG_UNIT},
    {"nan m", &wide_m, MESSAGE_NOT_A_NUMBER},
    {"+3 m", &wide_m, MESSAGE_NOT_A_NUMBER},
    {"1.2 m", &wide_m_s, MESSAGE_WRONG_UNIT},
    {"1001 m", &wide_m, MESSAGE_OUT_OF_RANGE},
    {"12345678901234567890 m", &wide_m, MESSAGE_NOT_A_NUMBER},
    {"4 kn", &few, MESSAGE_NOT_PLAIN},
};

START_TEST(test_refused_quantity)
{
    struct world world = world_new();
    struct node node = scalar(refused[_i].text);
    double value = -1;
    ck_assert(!load_quantity(&world.load, &node, refused[_i].range, &value));
    ck_assert_double_eq(value, -1);
    ck_assert_uint_eq(diags_count(world.load.diags), 1);
    ck_assert_int_eq(diags_at(world.load.diags, 0)->message, refused[_i].message);
    arena_free(world.arena);
}
END_TEST

START_TEST(test_whole)
{
    struct world world = world_new();
    const struct node two = scalar("2"), half = scalar("1.5"), five = scalar("5");
    int value = -1;
    ck_assert(load_whole(&world.load, &two, &few, &value));
    ck_assert_int_eq(value, 2);
    ck_assert(!load_whole(&world.load, &half, &few, &value));
    ck_assert(!load_whole(&world.load, &five, &few, &value));
    ck_assert_int_eq(value, 2);
    arena_free(world.arena);
}
END_TEST

START_TEST(test_names)
{
    static const char *const names[] = {"bow", "sheet2", "old-guy", "a"};
    static const char *const others[] = {"Bow",
                                         "2nd",
                                         "-a",
                                         "old guy",
                                         "a_b",
                                         "caf\xc3\xa9",
                                         "a2345678901234567890123456789012345678901"};
    struct world world = world_new();
    const char *name = NULL;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const struct node node = scalar(names[i]);
        ck_assert_msg(load_name(&world.load, &node, &name), "%s", names[i]);
    }
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        const struct node node = scalar(others[i]);
        ck_assert_msg(!load_name(&world.load, &node, &name), "%s", others[i]);
    }
    ck_assert_str_eq(name, "a");
    arena_free(world.arena);
}
END_TEST

START_TEST(test_text)
{
    struct world world = world_new();
    const char *text = NULL;
    const struct node block = scalar("Ease.\n"), accents = scalar("\xc3\xa9\xc3\xa9"),
                      turned = scalar("a\xe2\x80\xae"
                                      "b");
    ck_assert(load_text(&world.load, &block, 5, &text));
    ck_assert_str_eq(text, "Ease.");
    ck_assert(load_text(&world.load, &accents, 2, &text));
    ck_assert(!load_text(&world.load, &accents, 1, &text));
    ck_assert(!load_text(&world.load, &turned, 10, &text));
    arena_free(world.arena);
}
END_TEST

START_TEST(test_nearest)
{
    struct choices choices = {.count = 0};
    choices_add(&choices, "old-guy");
    choices_add(&choices, "");
    choices_add(&choices, "course");
    choices_add(&choices, "go");
    ck_assert_uint_eq(choices.count, 3);
    ck_assert_str_eq(choices_nearest(&choices, "cuorse"), "course");
    ck_assert_str_eq(choices_nearest(&choices, "oldguy"), "old-guy");
    ck_assert_str_eq(choices_nearest(&choices, "gi"), "go");
    ck_assert_ptr_null(choices_nearest(&choices, "spinnaker"));
    ck_assert_ptr_null(choices_nearest(&choices, "g"));
    ck_assert_ptr_null(choices_nearest(&choices, ""));
}
END_TEST

/* What the user wrote cannot steer the terminal or flood it. */
START_TEST(test_shown)
{
    struct arena *arena = arena_new();
    ck_assert_str_eq(load_shown(arena, "plain"), "plain");
    ck_assert_str_eq(load_shown(arena, "a\x1b[31m\xff\xc2\x9b"
                                       "b"),
                     "a?[31m??b");
    char *flood = arena_alloc(arena, 10001);
    memset(flood, 'x', 10000);
    ck_assert_uint_lt(strlen(load_shown(arena, flood)), 60);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("scalars");
    TCase *tcase = tcase_create("scalars");
    tcase_add_loop_test(tcase, test_quantity, 0, sizeof good / sizeof *good);
    tcase_add_loop_test(tcase, test_refused_quantity, 0,
                        sizeof refused / sizeof *refused);
    tcase_add_test(tcase, test_whole);
    tcase_add_test(tcase, test_names);
    tcase_add_test(tcase, test_text);
    tcase_add_test(tcase, test_nearest);
    tcase_add_test(tcase, test_shown);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
