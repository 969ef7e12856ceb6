#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "screens/big_letters.h"

static struct canvas *canvas;

static void make_canvas(void)
{
    canvas = calloc(1, sizeof *canvas);
    ck_assert_ptr_nonnull(canvas);
    canvas_clear(canvas, 24, 80);
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

START_TEST(a_letter_at_scale_one)
{
    ck_assert_int_eq(big_letters_draw(canvas, canvas_area(canvas), 1, STYLE_CALL, "A1"),
                     4);
    assert_shows("\u2584\u2580\u2580\u2580\u2584  \u2584\u2588\n"
                 "\u2588\u2584\u2584\u2584\u2588 \u2580 \u2588\n"
                 "\u2588   \u2588   \u2588\n"
                 "\u2580   \u2580 \u2580\u2580\u2580\u2580\u2580\n");
}
END_TEST

START_TEST(a_letter_at_scale_two_is_whole_blocks)
{
    canvas->ascii = true;
    ck_assert_int_eq(big_letters_draw(canvas, canvas_area(canvas), 2, STYLE_CALL, "t"),
                     7);
    assert_shows("##########\n    ##\n    ##\n    ##\n    ##\n    ##\n    ##\n");
}
END_TEST

START_TEST(ascii_has_halves_of_its_own)
{
    canvas->ascii = true;
    big_letters_draw(canvas, canvas_area(canvas), 1, STYLE_CALL, "E");
    assert_shows("#\"\"\"\"\n#___\n#\n\"\"\"\"\"\n");
}
END_TEST

START_TEST(blank_dots_leave_what_is_below)
{
    canvas_put(canvas, 1, 1, STYLE_PLAIN, "x");
    big_letters_draw(canvas, canvas_area(canvas), 1, STYLE_CALL, "!");
    ck_assert_uint_eq(canvas_cell(canvas, 1, 1)->glyph, 'x');
    ck_assert_int_eq(canvas_cell(canvas, 1, 1)->style, STYLE_PLAIN);
    ck_assert_int_eq(canvas_cell(canvas, 1, 2)->style, STYLE_CALL);
}
END_TEST

static const struct {
    const char *text;
    int columns, rows, scale;
} fits[] = {
    {"TRIP!", 29, 4, 1},
    {"TRIP!", 28, 4, 0},
    {"TRIP!", 29, 3, 0},
    {"TRIP!", 58, 7, 2},
    {"TRIP!", 58, 6, 1},
    {"TRIP!", 80, 24, 2},
    {"HOIST", 40, 12, 1},
    {"ABCDEF", 80, 24, 2},
    {"SQUARE BACK", 80, 24, 2},
    {"SQUARE BACK", 80, 14, 1},
    {"SQUARE BACK", 35, 8, 1},
    {"SQUARE BACK", 35, 7, 0},
    {"ABCDEFGHIJKLM", 77, 4, 1},
    {"ABCDEFGHIJKLMN", 77, 99, 0},
    {"OK", 500, 500, BIG_LETTERS_SCALE_MAX},
    {"X", 1, 1, 0},
    {"X", 0, 9, 0},
    {"X", 5, 4, 1},
};

START_TEST(the_largest_scale_that_fits_is_chosen)
{
    ck_assert_int_eq(big_letters_fit(fits[_i].text, fits[_i].columns, fits[_i].rows),
                     fits[_i].scale);
}
END_TEST

/* What the fit promises, drawing keeps: nothing beyond the area, and all of it drawn. */
START_TEST(drawing_stays_in_the_area_that_fits)
{
    static const char call[] = "Square back!";
    for (int rows = 1; rows <= 24; rows++)
        for (int columns = 1; columns <= 80; columns++) {
            int scale = big_letters_fit(call, columns, rows);
            if (scale == 0)
                continue;
            canvas_clear(canvas, 24, 80);
            struct area area = {0, 0, rows, columns};
            int used = big_letters_draw(canvas, area, scale, STYLE_CALL, call);
            ck_assert_int_gt(used, 0);
            ck_assert_int_le(used, rows);
            ck_assert_int_eq(used, big_letters_rows(call, scale, columns));
            ck_assert_int_le(big_letters_columns(call, scale, columns), columns);
            for (int row = 0; row < 24; row++)
                for (int column = 0; column < 80; column++)
                    if (row >= used || column >= columns)
                        ck_assert_uint_eq(canvas_cell(canvas, row, column)->glyph, ' ');
        }
}
END_TEST

START_TEST(what_does_not_fit_is_not_drawn)
{
    struct area area = {0, 0, 3, 80};
    ck_assert_int_eq(big_letters_draw(canvas, area, 1, STYLE_CALL, "TRIP!"), 0);
    area = (struct area){0, 0, 24, 20};
    ck_assert_int_eq(big_letters_draw(canvas, area, 1, STYLE_CALL, "TRIP!"), 0);
    assert_shows("");
    ck_assert_int_eq(big_letters_rows("TRIP!", 1, 20), 0);
    ck_assert_int_eq(big_letters_columns("TRIP!", 1, 29), 29);
    ck_assert_int_eq(big_letters_rows("", 1, 20), 0);
}
END_TEST

static void draw_one(char letter, struct text *out)
{
    char text[] = {letter, '\0'};
    canvas_clear(canvas, 4, 5);
    big_letters_draw(canvas, canvas_area(canvas), 1, STYLE_CALL, text);
    canvas_write_text(canvas, out);
}

START_TEST(every_letter_is_its_own)
{
    static const char all[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789!?.,:-+/'()";
    for (size_t a = 0; a < strlen(all); a++)
        for (size_t b = 0; b < a; b++) {
            struct text first = {0}, second = {0};
            draw_one(all[a], &first);
            draw_one(all[b], &second);
            ck_assert_msg(first.length > 0 && strcmp(first.at, second.at) != 0,
                          "%c and %c", all[a], all[b]);
            text_free(&first);
            text_free(&second);
        }
}
END_TEST

START_TEST(letters_without_a_bitmap_are_question_marks)
{
    struct text question = {0}, other = {0};
    draw_one('?', &question);
    draw_one('$', &other);
    ck_assert_str_eq(question.at, other.at);
    text_free(&question);
    text_free(&other);
    canvas_clear(canvas, 4, 5);
    struct text plain = {0}, accented = {0};
    draw_one('E', &plain);
    canvas_clear(canvas, 4, 5);
    big_letters_draw(canvas, canvas_area(canvas), 1, STYLE_CALL, "\u00e9");
    canvas_write_text(canvas, &accented);
    ck_assert_str_eq(plain.at, accented.at);
    text_free(&plain);
    text_free(&accented);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("big letters");
    TCase *tcase = tcase_create("all");
    tcase_add_checked_fixture(tcase, make_canvas, drop_canvas);
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, a_letter_at_scale_one);
    tcase_add_test(tcase, a_letter_at_scale_two_is_whole_blocks);
    tcase_add_test(tcase, ascii_has_halves_of_its_own);
    tcase_add_test(tcase, blank_dots_leave_what_is_below);
    tcase_add_loop_test(tcase, the_largest_scale_that_fits_is_chosen, 0,
                        (int)(sizeof fits / sizeof *fits));
    tcase_add_test(tcase, drawing_stays_in_the_area_that_fits);
    tcase_add_test(tcase, what_does_not_fit_is_not_drawn);
    tcase_add_test(tcase, every_letter_is_its_own);
    tcase_add_test(tcase, letters_without_a_bitmap_are_question_marks);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
