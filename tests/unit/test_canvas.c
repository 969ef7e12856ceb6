#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "screens/big_letters.h"
#include "screens/canvas.h"
#include "screens/glyphs.h"
#include "screens/looks.h"

static struct canvas *canvas;

static void make_canvas(void)
{
    canvas = calloc(1, sizeof *canvas);
    ck_assert_ptr_nonnull(canvas);
    canvas_clear(canvas, 4, 10);
}

static void drop_canvas(void)
{
    free(canvas);
}

static void assert_shows(const char *expected)
{
    struct text out = {0};
    canvas_write_text(canvas, &out);
    ck_assert_str_eq(out.at ? out.at : "", expected);
    text_free(&out);
}

static void assert_styled(const char *expected)
{
    struct text out = {0};
    canvas_write_styled(canvas, &out);
    ck_assert_str_eq(out.at ? out.at : "", expected);
    text_free(&out);
}

START_TEST(a_new_canvas_is_blank)
{
    assert_shows("");
    assert_styled("");
    ck_assert_int_eq(canvas_area(canvas).rows, 4);
    ck_assert_int_eq(canvas_area(canvas).columns, 10);
}
END_TEST

START_TEST(sizes_are_kept_in_bounds)
{
    canvas_clear(canvas, 0, -5);
    ck_assert_int_eq(canvas->rows, 1);
    ck_assert_int_eq(canvas->columns, 1);
    canvas_clear(canvas, 5000, 5000);
    ck_assert_int_eq(canvas->rows, CANVAS_ROWS_MAX);
    ck_assert_int_eq(canvas->columns, CANVAS_COLUMNS_MAX);
    canvas_put(canvas, CANVAS_ROWS_MAX - 1, CANVAS_COLUMNS_MAX - 1, STYLE_NOW, "x");
    ck_assert_uint_eq(canvas_cell(canvas, 119, 299)->glyph, 'x');
}
END_TEST

START_TEST(text_is_put_and_clipped)
{
    ck_assert_int_eq(canvas_put(canvas, 0, 2, STYLE_PLAIN, "abc"), 5);
    ck_assert_int_eq(canvas_put(canvas, 1, 8, STYLE_PLAIN, "abc"), 11);
    ck_assert_int_eq(canvas_put(canvas, 2, -1, STYLE_PLAIN, "abc"), 2);
    canvas_put(canvas, -1, 0, STYLE_PLAIN, "abc");
    canvas_put(canvas, 4, 0, STYLE_PLAIN, "abc");
    assert_shows("  abc\n        ab\nbc\n");
}
END_TEST

START_TEST(wide_characters_are_never_halved)
{
    canvas_put(canvas, 0, 0, STYLE_PLAIN, "\u4f60\u597d");
    canvas_put(canvas, 0, 1, STYLE_PLAIN, "x");
    canvas_put(canvas, 0, 2, STYLE_PLAIN, "y");
    canvas_put(canvas, 1, 0, STYLE_PLAIN, "\u4f60");
    canvas_put(canvas, 1, 0, STYLE_PLAIN, "z");
    canvas_put(canvas, 2, 9, STYLE_PLAIN, "\u4f60");
    canvas_put(canvas, 3, -1, STYLE_PLAIN, "\u4f60!");
    assert_shows(" xy\nz\n\n !\n");
    for (int row = 0; row < 4; row++)
        for (int column = 0; column < 10; column++)
            ck_assert_uint_ne(canvas_cell(canvas, row, column)->glyph, 0);
}
END_TEST

START_TEST(a_wide_character_over_a_wide_one_frees_both_ends)
{
    canvas_put(canvas, 0, 0, STYLE_PLAIN, "\u4f60\u597d");
    canvas_put(canvas, 0, 1, STYLE_PLAIN, "\u5e06");
    assert_shows(" \u5e06\n");
    ck_assert_uint_eq(canvas_cell(canvas, 0, 3)->glyph, ' ');
}
END_TEST

START_TEST(combining_marks_stay_with_their_letter)
{
    ck_assert_int_eq(canvas_put(canvas, 0, 0, STYLE_PLAIN, "e\u0301x"), 2);
    ck_assert_int_eq(canvas_put(canvas, 1, 0, STYLE_PLAIN, "\u0301x"), 1);
    /* A cell has room for one. */
    canvas_put(canvas, 2, 0, STYLE_PLAIN, "e\u0301\u0302x");
    assert_shows("e\u0301x\nx\ne\u0301x\n");
}
END_TEST

START_TEST(bytes_from_a_file_cannot_steer_the_screen)
{
    canvas_put(canvas, 0, 0, STYLE_PLAIN, "a\033[2J\n\xff");
    canvas_put(canvas, 1, 0, STYLE_PLAIN, "a\u202eb");
    assert_shows("a?[2J??\nab\n");
}
END_TEST

START_TEST(text_is_cut_with_an_ellipsis)
{
    ck_assert_int_eq(canvas_put_cut(canvas, 0, 0, 5, STYLE_PLAIN, "spinnaker"), 5);
    ck_assert_int_eq(canvas_put_cut(canvas, 1, 0, 9, STYLE_PLAIN, "spinnaker"), 9);
    ck_assert_int_eq(canvas_put_cut(canvas, 2, 0, 4, STYLE_PLAIN, "\u4f60\u597d\u5e06"),
                     3);
    ck_assert_int_eq(canvas_put_cut(canvas, 3, 0, 0, STYLE_PLAIN, "x"), 0);
    assert_shows("spin\u2026\nspinnaker\n\u4f60\u2026\n");
}
END_TEST

START_TEST(text_is_aligned)
{
    canvas_put_right(canvas, 0, 0, 10, STYLE_PLAIN, "right");
    canvas_put_middle(canvas, 1, 0, 10, STYLE_PLAIN, "mid");
    canvas_put_right(canvas, 2, 2, 4, STYLE_PLAIN, "too long");
    assert_shows("     right\n   mid\n  too\u2026\n");
}
END_TEST

START_TEST(text_wraps_into_an_area)
{
    struct area area = {0, 1, 3, 6};
    ck_assert_int_eq(canvas_wrap(canvas, area, STYLE_PLAIN, "one two three four five"),
                     3);
    assert_shows(" one\n two\n three\u2026\n");
    ck_assert_int_eq(canvas_count_rows("one two three four five", 6), 5);
    ck_assert_int_eq(canvas_count_rows("", 6), 0);
    ck_assert_int_eq(canvas_count_rows("x", 0), 0);
}
END_TEST

START_TEST(an_ellipsis_stays_inside_a_full_line)
{
    canvas_wrap(canvas, (struct area){0, 0, 1, 3}, STYLE_PLAIN, "abc def");
    assert_shows("ab\u2026\n");
}
END_TEST

START_TEST(a_box_has_its_title_in_the_line)
{
    struct area inside = canvas_box(canvas, canvas_area(canvas), STYLE_PLAIN, "Bow");
    ck_assert_int_eq(inside.row, 1);
    ck_assert_int_eq(inside.rows, 2);
    ck_assert_int_eq(inside.columns, 8);
    assert_shows("\u250c\u2500 Bow \u2500\u2500\u2510\n\u2502        \u2502\n"
                 "\u2502        \u2502\n"
                 "\u2514\u2500\u2500\u2500\u2500\u2500\u2500\u2500\u2500\u2518\n");
}
END_TEST

static const struct {
    enum bar bar;
    int from, end;
    const char *drawn, *ascii;
} bars[] = {
    {BAR_DONE, 2, 8, " \u2584\u2584\u2584\n", " ###\n"},
    {BAR_DONE, 2, 7, " \u2584\u2584\u258c\n", " ###\n"},
    {BAR_DONE, 3, 8, " \u2590\u2584\u2584\n", " ###\n"},
    {BAR_DONE, 2, 3, " \u258c\n", " #\n"},
    {BAR_DONE, 3, 4, " \u2590\n", " #\n"},
    {BAR_DONE, 4, 4, "", ""},
    {BAR_DONE, 6, 4, "", ""},
    {BAR_NOW, 0, 4, "\u2588\u2588\n", "==\n"},
    {BAR_LATER, 1, 4, "\u2500\u2500\n", "--\n"},
    {BAR_CRITICAL, 0, 3, "\u2550\u2550\n", ">>\n"},
    {BAR_HOLDING, 0, 4, "\u2591\u2591\n", "::\n"},
    {BAR_NOW, -9, 2, "\u2588\n", "=\n"},
    {BAR_NOW, 18, 99, "         \u2588\n", "         =\n"},
};

START_TEST(bars_end_in_half_cells)
{
    canvas_bar(canvas, 0, bars[_i].from, bars[_i].end, bars[_i].bar, STYLE_PLAIN);
    assert_shows(bars[_i].drawn);
    canvas->ascii = true;
    canvas_clear(canvas, 4, 10);
    canvas_bar(canvas, 0, bars[_i].from, bars[_i].end, bars[_i].bar, STYLE_PLAIN);
    assert_shows(bars[_i].ascii);
}
END_TEST

START_TEST(ascii_stands_in_the_same_columns)
{
    canvas->ascii = true;
    canvas_put(canvas, 0, 0, STYLE_PLAIN, "Gr\u00fc\u4f60e\u0301.");
    canvas_rule(canvas, 1, 0, 3, STYLE_PLAIN);
    canvas_upright(canvas, 2, 0, 1, STYLE_PLAIN);
    canvas_put_cut(canvas, 3, 0, 3, STYLE_PLAIN, "long");
    assert_shows("Gru??e.\n---\n|\nlo~\n");
}
END_TEST

START_TEST(styles_are_written_below_their_text)
{
    canvas_put(canvas, 0, 0, STYLE_PLAIN, "a");
    canvas_put(canvas, 0, 2, STYLE_NOW, "now");
    canvas_put(canvas, 1, 0, STYLE_PLAIN, "plain");
    canvas_restyle(canvas, (struct area){2, 7, 9, 9}, STYLE_SELECTED);
    assert_styled("|a now\n:  nnn\n|plain\n|\n:       sss\n|\n:       sss\n");
}
END_TEST

START_TEST(style_letters_differ)
{
    for (int a = 0; a < STYLE_COUNT; a++)
        for (int b = 0; b < a; b++)
            ck_assert_int_ne(canvas_style_letter((enum style)a),
                             canvas_style_letter((enum style)b));
}
END_TEST

START_TEST(the_cursor_stays_inside)
{
    canvas_park_cursor(canvas, 99, -3, true);
    ck_assert_int_eq(canvas->cursor_row, 3);
    ck_assert_int_eq(canvas->cursor_column, 0);
    ck_assert(canvas->cursor_shown);
    canvas_clear(canvas, 2, 2);
    ck_assert(!canvas->cursor_shown);
}
END_TEST

static void draw_everything(int row, int column, int size)
{
    struct area area = {row, column, size, size};
    canvas_put(canvas, row, column, STYLE_NOW, "\u4f60e\u0301x");
    canvas_put_cut(canvas, row, column, size, STYLE_NOW, "\u4f60\u597d text");
    canvas_put_right(canvas, row, column, size, STYLE_NOW, "text");
    canvas_put_middle(canvas, row, column, size, STYLE_NOW, "text");
    canvas_wrap(canvas, area, STYLE_NOW, "some words \u4f60\u597d to wrap");
    canvas_fill(canvas, area, STYLE_NOW, 0x2588);
    canvas_restyle(canvas, area, STYLE_DONE);
    canvas_rule(canvas, row, column, size, STYLE_NOW);
    canvas_upright(canvas, row, column, size, STYLE_NOW);
    canvas_box(canvas, area, STYLE_NOW, "title");
    canvas_bar(canvas, row, column, column + size, BAR_DONE, STYLE_NOW);
    big_letters_draw(canvas, area, 1, STYLE_CALL, "A 1");
}

/* Run under the sanitizers too: no place and size may touch what is outside. */
START_TEST(no_place_and_size_crashes)
{
    static const int canvas_sizes[][2] = {{1, 1}, {1, 3}, {3, 1}, {2, 2}, {5, 7}};
    for (size_t i = 0; i < sizeof canvas_sizes / sizeof *canvas_sizes; i++)
        for (int row = -6; row < 9; row++)
            for (int column = -6; column < 9; column++)
                for (int size = -2; size < 12; size++) {
                    canvas_clear(canvas, canvas_sizes[i][0], canvas_sizes[i][1]);
                    draw_everything(row, column, size);
                    ck_assert_uint_ne(canvas_cell(canvas, 0, 0)->glyph, 0);
                }
}
END_TEST

START_TEST(what_must_not_be_missed_shows_without_colour)
{
    static const enum style loud[] = {STYLE_NOW,    STYLE_OVERDUE, STYLE_CAUTION,
                                      STYLE_DANGER, STYLE_WARNING, STYLE_SELECTED};
    for (size_t i = 0; i < sizeof loud / sizeof *loud; i++) {
        ck_assert(look_of(loud[i], 0, false).reverse);
        ck_assert_int_ne(look_of(loud[i], 256, false).back, -1);
        ck_assert_int_ne(look_of(loud[i], 8, false).back, -1);
    }
    for (int style = 0; style < STYLE_COUNT; style++) {
        struct look mono = look_of((enum style)style, 0, false);
        ck_assert_int_eq(mono.front, -1);
        ck_assert_int_eq(mono.back, -1);
    }
}
END_TEST

START_TEST(drawings_leave_the_background_alone)
{
    static const int colours[] = {0, 8, 256};
    for (int style = 0; style < STYLE_COUNT; style++)
        for (int i = 0; i < 3; i++) {
            struct look look = look_of((enum style)style, colours[i], true);
            ck_assert_int_eq(look.back, -1);
            ck_assert(!look.reverse && !look.underline);
        }
    ck_assert_int_eq(look_of(STYLE_DONE, 256, true).front, 36);
    ck_assert(look_is_drawing(0x2584) && look_is_drawing(0x2500));
    ck_assert(!look_is_drawing('#') && !look_is_drawing(0x25a0));
}
END_TEST

static void add_drawing(Suite *suite)
{
    TCase *tcase = tcase_create("drawing");
    tcase_add_checked_fixture(tcase, make_canvas, drop_canvas);
    tcase_set_timeout(tcase, 60);
    suite_add_tcase(suite, tcase);
    tcase_add_test(tcase, a_new_canvas_is_blank);
    tcase_add_test(tcase, sizes_are_kept_in_bounds);
    tcase_add_test(tcase, text_is_put_and_clipped);
    tcase_add_test(tcase, wide_characters_are_never_halved);
    tcase_add_test(tcase, a_wide_character_over_a_wide_one_frees_both_ends);
    tcase_add_test(tcase, combining_marks_stay_with_their_letter);
    tcase_add_test(tcase, bytes_from_a_file_cannot_steer_the_screen);
    tcase_add_test(tcase, text_is_cut_with_an_ellipsis);
    tcase_add_test(tcase, text_is_aligned);
    tcase_add_test(tcase, text_wraps_into_an_area);
    tcase_add_test(tcase, an_ellipsis_stays_inside_a_full_line);
    tcase_add_test(tcase, a_box_has_its_title_in_the_line);
    tcase_add_loop_test(tcase, bars_end_in_half_cells, 0,
                        (int)(sizeof bars / sizeof *bars));
    tcase_add_test(tcase, ascii_stands_in_the_same_columns);
    tcase_add_test(tcase, styles_are_written_below_their_text);
    tcase_add_test(tcase, style_letters_differ);
    tcase_add_test(tcase, the_cursor_stays_inside);
    tcase_add_test(tcase, no_place_and_size_crashes);
}

static void add_looks(Suite *suite)
{
    TCase *tcase = tcase_create("looks");
    suite_add_tcase(suite, tcase);
    tcase_add_test(tcase, what_must_not_be_missed_shows_without_colour);
    tcase_add_test(tcase, drawings_leave_the_background_alone);
}

int main(void)
{
    Suite *suite = suite_create("canvas");
    add_drawing(suite);
    add_looks(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
