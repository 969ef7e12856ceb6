#include <check.h>
#include <stdlib.h>

#include "screens/keys.h"

START_TEST(named_keys_go_there_and_back)
{
    char name[KEYS_NAME_SIZE];
    for (uint32_t key = PRESS_UP; key < PRESS_BEYOND; key++)
        ck_assert_uint_eq(keys_find(keys_name(key, name)), key);
}
END_TEST

START_TEST(characters_are_their_own_names)
{
    char name[KEYS_NAME_SIZE];
    ck_assert_uint_eq(keys_find("a"), 'a');
    ck_assert_uint_eq(keys_find("?"), '?');
    ck_assert_uint_eq(keys_find("0"), '0');
    ck_assert_uint_eq(keys_find("\u00e9"), 0xe9);
    ck_assert_str_eq(keys_name('a', name), "a");
    ck_assert_str_eq(keys_name(0xe9, name), "\u00e9");
}
END_TEST

START_TEST(space_has_a_name)
{
    char name[KEYS_NAME_SIZE];
    ck_assert_uint_eq(keys_find("space"), ' ');
    ck_assert_uint_eq(keys_find(" "), ' ');
    ck_assert_str_eq(keys_name(' ', name), "space");
}
END_TEST

START_TEST(ctrl_keys_have_names)
{
    char name[KEYS_NAME_SIZE];
    ck_assert_uint_eq(keys_find("ctrl-l"), PRESS_CTRL_L);
    ck_assert_uint_eq(keys_find("ctrl-a"), PRESS_CTRL_A);
    ck_assert_uint_eq(keys_find("ctrl-z"), PRESS_CTRL_Z);
    ck_assert_str_eq(keys_name(PRESS_CTRL_L, name), "ctrl-l");
    /* The terminal cannot tell these from the keys they stand for. */
    ck_assert_uint_eq(keys_find("ctrl-m"), PRESS_ENTER);
    ck_assert_uint_eq(keys_find("ctrl-i"), PRESS_TAB);
    ck_assert_uint_eq(keys_find("ctrl-h"), PRESS_BACKSPACE);
    ck_assert_str_eq(keys_name(PRESS_ENTER, name), "enter");
}
END_TEST

START_TEST(other_names_are_no_keys)
{
    static const char *const names[] = {"",        "ab",     "Space", "ctrl-",   "ctrl-L",
                                        "ctrl-ll", "ctrl-1", "\t",    "\033",    "up ",
                                        "\u0301",  "\u202e", "\xc3",  "\xff\xfe"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        ck_assert_msg(keys_find(names[i]) == PRESS_NONE, "%s", names[i]);
}
END_TEST

START_TEST(sequences_are_keys)
{
    ck_assert_uint_eq(keys_from_sequence(0, 0, 'A'), PRESS_UP);
    ck_assert_uint_eq(keys_from_sequence(1, 0, 'B'), PRESS_DOWN);
    ck_assert_uint_eq(keys_from_sequence(5, 0, '~'), PRESS_PAGE_UP);
    ck_assert_uint_eq(keys_from_sequence(6, 0, '~'), PRESS_PAGE_DOWN);
    ck_assert_uint_eq(keys_from_sequence(3, 0, '~'), PRESS_DELETE);
    ck_assert_uint_eq(keys_from_sequence(15, 0, '~'), PRESS_NONE);
    ck_assert_uint_eq(keys_from_sequence(200, 0, '~'), PRESS_NONE);
    ck_assert_uint_eq(keys_from_sequence(0, 0, 'R'), PRESS_NONE);
    ck_assert_uint_eq(keys_from_sequence(1, 2, 'C'), PRESS_RIGHT); /* with Shift */
    ck_assert_uint_eq(keys_from_sequence(1, 5, 'C'), PRESS_RIGHT); /* with Ctrl */
    ck_assert_uint_eq(keys_from_sequence(1, 3, 'C'), PRESS_NONE);  /* with Alt */
    ck_assert_uint_eq(keys_from_sequence(6, 7, '~'), PRESS_NONE);  /* with Alt and Ctrl */
}
END_TEST

START_TEST(names_of_the_terminal_library_are_keys)
{
    ck_assert_uint_eq(keys_from_terminal("KEY_UP"), PRESS_UP);
    ck_assert_uint_eq(keys_from_terminal("kUP5"), PRESS_UP);
    ck_assert_uint_eq(keys_from_terminal("kUP3"), PRESS_NONE); /* with Alt */
    ck_assert_uint_eq(keys_from_terminal("kRIT8"), PRESS_NONE);
    ck_assert_uint_eq(keys_from_terminal("KEY_SR"), PRESS_UP);
    ck_assert_uint_eq(keys_from_terminal("KEY_SRIGHT"), PRESS_RIGHT);
    ck_assert_uint_eq(keys_from_terminal("KEY_SRESET"), PRESS_NONE);
    ck_assert_uint_eq(keys_from_terminal("KEY_F(1)"), PRESS_NONE);
    ck_assert_uint_eq(keys_from_terminal("KEY_RESIZE"), PRESS_NONE);
    ck_assert_uint_eq(keys_from_terminal(NULL), PRESS_NONE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("keys");
    TCase *tcase = tcase_create("all");
    tcase_add_test(tcase, named_keys_go_there_and_back);
    tcase_add_test(tcase, characters_are_their_own_names);
    tcase_add_test(tcase, space_has_a_name);
    tcase_add_test(tcase, ctrl_keys_have_names);
    tcase_add_test(tcase, other_names_are_no_keys);
    tcase_add_test(tcase, sequences_are_keys);
    tcase_add_test(tcase, names_of_the_terminal_library_are_keys);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
