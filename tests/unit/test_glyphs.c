#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "screens/glyphs.h"

static void assert_reads(const char *text, const uint32_t *expected, size_t count)
{
    for (size_t i = 0; i < count; i++)
        ck_assert_uint_eq(glyph_read(&text), expected[i]);
    ck_assert_uint_eq(glyph_read(&text), 0);
    ck_assert_uint_eq(glyph_read(&text), 0);
}

START_TEST(utf8_is_read)
{
    const uint32_t expected[] = {'a', 0xe9, 0x20ac, 0x1f600, 0x10ffff};
    assert_reads("a\xc3\xa9\xe2\x82\xac\xf0\x9f\x98\x80\xf4\x8f\xbf\xbf", expected, 5);
}
END_TEST

/* Each bad byte is one '?', and what follows is read again. */
static const struct {
    const char *text, *read;
} bad[] = {
    {"\x80", "?"},
    {"\xff\xfe", "??"},
    {"\xc3", "?"},
    {"\xc3z", "?z"},
    {"\xc0\xaf", "??"}, /* overlong */
    {"\xe0\x80\xaf", "???"},
    {"\xf0\x80\x80\xaf", "????"},
    {"\xed\xa0\x80", "???"},      /* a surrogate */
    {"\xf4\x90\x80\x80", "????"}, /* beyond the last */
    {"\xf5\x80\x80\x80", "????"},
    {"\xe2\x82", "??"},
    {"\xf0\x9f\x98z", "???z"},
};

START_TEST(bad_bytes_are_question_marks)
{
    const char *text = bad[_i].text;
    for (const char *c = bad[_i].read; *c; c++)
        ck_assert_uint_eq(glyph_read(&text), (unsigned char)*c);
    ck_assert_uint_eq(glyph_read(&text), 0);
}
END_TEST

START_TEST(every_code_point_is_written_as_it_is_read)
{
    for (uint32_t glyph = 1; glyph < 0x110000; glyph++) {
        if (glyph >= 0xd800 && glyph < 0xe000)
            continue;
        char bytes[5] = {0};
        const char *text = bytes;
        int length = glyph_write(glyph, bytes);
        if (glyph_read(&text) != glyph || text != bytes + length)
            ck_abort_msg("U+%04X", glyph);
    }
}
END_TEST

START_TEST(controls_are_shown_as_question_marks)
{
    static const uint32_t controls[] = {1, 7, 8, 9, 10, 13, 27, 31, 0x7f, 0x80, 0x9b};
    for (size_t i = 0; i < sizeof controls / sizeof *controls; i++)
        ck_assert_uint_eq(glyph_clean(controls[i]), '?');
    ck_assert_uint_eq(glyph_clean('~'), '~');
    ck_assert_uint_eq(glyph_clean(0xa0), 0xa0);
}
END_TEST

START_TEST(characters_that_turn_text_are_dropped)
{
    static const uint32_t steering[] = {0xad,   0x200b, 0x200d, 0x200e,
                                        0x202e, 0x2066, 0xfeff, 0xe0001};
    for (size_t i = 0; i < sizeof steering / sizeof *steering; i++)
        ck_assert_uint_eq(glyph_clean(steering[i]), 0);
}
END_TEST

START_TEST(widths_are_columns)
{
    ck_assert_int_eq(glyph_width('a'), 1);
    ck_assert_int_eq(glyph_width(0xe9), 1);
    ck_assert_int_eq(glyph_width(0x2588), 1);
    ck_assert_int_eq(glyph_width(0x301), 0);
    ck_assert_int_eq(glyph_width(0x4f60), 2);
    ck_assert_int_eq(glyph_width(0xac00), 2);
    ck_assert_int_eq(glyph_width(0x26f5), 2);
    ck_assert_int_eq(glyph_width(0x1f600), 2);
    ck_assert_int_eq(glyph_text_width("e\xcc\x81 \xe4\xbd\xa0!"), 5);
}
END_TEST

START_TEST(ascii_keeps_letters_and_shapes)
{
    static const struct {
        uint32_t glyph;
        char ascii;
    } pairs[] = {{'x', 'x'},    {0xc9, 'E'},   {0xe9, 'e'},   {0xf8, 'o'},
                 {0x17e, 'z'},  {0x142, 'l'},  {0x2500, '-'}, {0x2502, '|'},
                 {0x250c, '+'}, {0x253c, '+'}, {0x2550, '='}, {0x2588, '#'},
                 {0x2026, '~'}, {0x2013, '-'}, {0x4f60, '?'}, {0x1f600, '?'}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        ck_assert_int_eq(glyph_to_ascii(pairs[i].glyph), pairs[i].ascii);
}
END_TEST

static const struct {
    const char *text;
    int columns;
    const char *lines; /* parted by '|' */
} wraps[] = {
    {"one two three", 7, "one two|three"},
    {"one two three", 8, "one two|three"},
    {"one two three", 3, "one|two|thr|ee"},
    {"one two three", 13, "one two three"},
    {"one  two", 3, "one|two"},
    {"one\ntwo", 10, "one|two"},
    {"one\n\ntwo", 10, "one||two"},
    {"one\n", 10, "one"},
    {"abcdef", 3, "abc|def"},
    {"abc\ndef", 3, "abc|def"},
    {"abc \ndef", 3, "abc|def"},
    {"one  ", 3, "one"},
    {"  one", 5, "  one"},
    {"\xe4\xbd\xa0\xe5\xa5\xbd", 3, "\xe4\xbd\xa0|\xe5\xa5\xbd"},
    {"\xe4\xbd\xa0\xe5\xa5\xbd", 1, "\xe4\xbd\xa0|\xe5\xa5\xbd"},
    {"\xe4\xbd\xa0\nx", 1, "\xe4\xbd\xa0|x"},
    {"e\xcc\x81xx", 3, "e\xcc\x81xx"},
};

START_TEST(lines_break_at_words)
{
    char lines[64] = "";
    const char *text = wraps[_i].text;
    while (text) {
        size_t length;
        const char *next = glyph_break_line(text, wraps[_i].columns, &length);
        strncat(lines, text, length);
        if (next)
            strcat(lines, "|");
        text = next;
    }
    ck_assert_str_eq(lines, wraps[_i].lines);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("glyphs");
    TCase *tcase = tcase_create("all");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, utf8_is_read);
    tcase_add_loop_test(tcase, bad_bytes_are_question_marks, 0,
                        (int)(sizeof bad / sizeof *bad));
    tcase_add_test(tcase, every_code_point_is_written_as_it_is_read);
    tcase_add_test(tcase, controls_are_shown_as_question_marks);
    tcase_add_test(tcase, characters_that_turn_text_are_dropped);
    tcase_add_test(tcase, widths_are_columns);
    tcase_add_test(tcase, ascii_keeps_letters_and_shapes);
    tcase_add_loop_test(tcase, lines_break_at_words, 0,
                        (int)(sizeof wraps / sizeof *wraps));
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
