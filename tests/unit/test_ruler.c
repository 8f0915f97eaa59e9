/* A bolt's turn on a ruler: the antenna stands on the side that it comes from, and never off it. */
#include "expect.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "view/ruler.h"

static void the_finest_ruler_that_has_the_antenna_on_it_is_taken(void **unused)
{
    static const struct {
        double to_go, span;
        int now_col; /* of 65: the goal is 32, an end 32 columns off */
    } rows[] = {{0.0, 0.25, 32},  {0.125, 0.25, 16}, {-0.125, 0.25, 48}, {0.25, 0.5, 16},
                {0.5, 1.0, 16},   {1.0, 2.0, 16},    {-1.5, 2.0, 56},    {3.0, 4.0, 8},
                {7.0, 8.0, 4},    {12.0, 16.0, 8},   {20.0, 40.0, 16},   {60.0, 80.0, 8},
                {500.0, 80.0, 0}, {-500.0, 80.0, 64}};
    struct ruler ruler;

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        ruler_make(&ruler, rows[i].to_go, 1.0 / 16.0, 65);
        expect_near(ruler.span, rows[i].span, 0.0);
        assert_int_equal(ruler.now_col, rows[i].now_col);
        assert_int_equal(ruler.off, fabs(rows[i].to_go) > 80.0);
    }
}

static void within_the_brackets_is_there(void **unused)
{
    struct ruler ruler;

    (void)unused;
    ruler_make(&ruler, 0.4, 1.0 / 16.0, 65); /* half a turn is 32 columns: a sixteenth is 4 */
    assert_int_equal(ruler.there_col, 4);
    assert_int_equal(ruler_code(&ruler, GLYPHS_ASCII, 32 - 4), '[');
    assert_int_equal(ruler_code(&ruler, GLYPHS_ASCII, 32), ' ');
    assert_int_equal(ruler_code(&ruler, GLYPHS_ASCII, 32 + 4), ']');
    ruler_make(&ruler, 70.0, 1.0 / 16.0, 65); /* too little to see: still there */
    assert_int_equal(ruler_code(&ruler, GLYPHS_ASCII, 31), '[');
    assert_int_equal(ruler_code(&ruler, GLYPHS_ASCII, 33), ']');
}

static void marks_stand_at_even_parts_of_a_turn(void **unused)
{
    char line[RULER_MOST_COLS + 1] = "", label[RULER_LABEL_SIZE];
    static const struct {
        int col;
        const char *text;
    } labels[RULER_LABELS] = {{0, "1/2"}, {16, "1/4"}, {32, "0"}, {48, "1/4"}, {64, "1/2"}};
    struct ruler ruler;

    (void)unused;
    ruler_make(&ruler, 0.4, 1.0 / 16.0, 66); /* an even width loses a column */
    for (int col = 0; col < ruler.cols; col++) {
        line[col] = (char)ruler_code(&ruler, GLYPHS_ASCII, col);
    }
    assert_string_equal(line, "|---+---+---+---|---+---+---[       ]---+---+---|---+---+---+---|");
    for (int i = 0; i < RULER_LABELS; i++) {
        assert_int_equal(ruler_label(&ruler, i, label), labels[i].col);
        assert_string_equal(label, labels[i].text);
    }
}

static void the_pointer_never_leaves_the_ruler(void **unused)
{
    (void)unused;
    for (int cols = RULER_LEAST_COLS; cols < RULER_MOST_COLS + 50; cols++) {
        for (double to_go = -100.0; to_go <= 100.0; to_go += 0.37) {
            struct ruler ruler;
            ruler_make(&ruler, to_go, 0.02, cols);
            assert_true(ruler.cols <= cols && ruler.cols <= RULER_MOST_COLS);
            assert_true(ruler.now_col >= 0 && ruler.now_col < ruler.cols);
            for (int col = 0; col < ruler.cols; col += 5) {
                assert_int_not_equal(ruler_code(&ruler, GLYPHS_FULL, col), 0);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_finest_ruler_that_has_the_antenna_on_it_is_taken),
        cmocka_unit_test(within_the_brackets_is_there),
        cmocka_unit_test(marks_stand_at_even_parts_of_a_turn),
        cmocka_unit_test(the_pointer_never_leaves_the_ruler),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
