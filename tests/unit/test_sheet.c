/* Text on a sheet: columns and not bytes, cut at edges, broken between words. */
#include "expect.h"

#include <locale.h>
#include <string.h>

#include "view/letters.h"
#include "view/sheet.h"

static struct sheet sheet;

static struct pane make_pane(int rows, int cols, enum glyphs glyphs)
{
    sheet_finish(&sheet);
    assert_int_equal(sheet_init(&sheet, rows, cols, glyphs), 0);
    return pane_whole(&sheet);
}

static const char *row_text(int row)
{
    static char text[SHEET_TEXT_SIZE];

    sheet_row_text(&sheet, row, text, sizeof text);
    return text;
}

static void text_is_cut_on_columns_and_says_so(void **unused)
{
    static const struct {
        const char *text, *want;
        enum glyphs glyphs;
        int after;
    } rows[] = {
        {"short", "short", GLYPHS_FULL, 5},
        {"eight co", "eight co", GLYPHS_FULL, 8},
        {"nine colu", "nine co\u2026", GLYPHS_FULL, 8},
        {"nine colu", "nine co~", GLYPHS_ASCII, 8},
        {"0.46\u00b0", "0.46\u00b0", GLYPHS_FULL, 5},
        {"0.4\u00b0", "0.4 deg", GLYPHS_ASCII, 7},
        {"\u885b\u661f\u885b\u661f", "\u885b\u661f\u885b\u661f", GLYPHS_FULL, 8},
        {"a\u885b\u661f\u885b\u661f", "a\u885b\u661f\u885b\u2026", GLYPHS_FULL, 8},
        {"e\u0301t\u0301", "et", GLYPHS_FULL, 2},
        {"a\x01z", "az", GLYPHS_FULL, 2},
        {"\xff", "?", GLYPHS_FULL, 1},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct pane pane = make_pane(1, 8, rows[i].glyphs);
        assert_int_equal(pane_put(&pane, 0, 0, INK_PLAIN, rows[i].text), rows[i].after);
        assert_string_equal(row_text(0), rows[i].want);
    }
}

static void nothing_goes_beyond_a_pane(void **unused)
{
    struct pane whole = make_pane(4, 10, GLYPHS_FULL);
    struct pane part = pane_part(&whole, 1, 2, 2, 5);

    (void)unused;
    for (int row = -2; row < 6; row++) {
        pane_put(&part, row, -3, INK_PLAIN, "xxxxxxxxxxxxxxxx");
        pane_fill(&part, row, INK_PLAIN, 'y');
        pane_cell(&part, row, 7, INK_PLAIN, 'z');
    }
    assert_string_equal(row_text(0), "");
    assert_string_equal(row_text(1), "  yyyyy");
    assert_string_equal(row_text(2), "  yyyyy");
    assert_string_equal(row_text(3), "");
    part = pane_part(&whole, 9, 99, 5, 5);
    pane_put(&part, 0, 0, INK_PLAIN, "x");
    part = pane_part(&whole, 0, 0, -1, -1);
    pane_wrap(&part, 0, 3, INK_PLAIN, "x y");
    assert_string_equal(row_text(0), "");
}

static void text_is_broken_between_words(void **unused)
{
    static const struct {
        const char *text;
        int rows, used;
        const char *want[3];
    } rows[] = {
        {"one two", 3, 1, {"one two", "", ""}},
        {"one two three", 3, 2, {"one two", "three", ""}},
        {"one two three four five", 3, 3, {"one two", "three four", "five"}},
        {"one two three four five", 2, 2, {"one two", "three fou\u2026", ""}},
        {"breakableword", 3, 2, {"breakablew", "ord", ""}},
        {"", 3, 0, {"", "", ""}},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct pane pane = make_pane(3, 10, GLYPHS_FULL);
        assert_int_equal(pane_wrap(&pane, 0, rows[i].rows, INK_PLAIN, rows[i].text), rows[i].used);
        for (int row = 0; row < 3; row++) {
            assert_string_equal(row_text(row), rows[i].want[row]);
        }
    }
}

static void text_can_end_at_the_right_edge(void **unused)
{
    struct pane pane = make_pane(1, 10, GLYPHS_FULL);

    (void)unused;
    assert_int_equal(pane_put_right(&pane, 0, INK_PLAIN, "12\u00b0"), 7);
    assert_string_equal(row_text(0), "       12\u00b0");
    assert_int_equal(pane_put_right(&pane, 0, INK_PLAIN, "far too long for it"), 0);
}

static void sizes_out_of_range_are_brought_into_it(void **unused)
{
    (void)unused;
    make_pane(0, -5, GLYPHS_FULL);
    assert_int_equal(sheet.rows, 1);
    assert_int_equal(sheet.cols, 1);
    make_pane(100000, 100000, GLYPHS_FULL);
    assert_int_equal(sheet.rows, SHEET_MOST_ROWS);
    assert_int_equal(sheet.cols, SHEET_MOST_COLS);
}

static const struct letters_size strokes = {0, 0}, once = {1, 1};

static void large_letters_come_in_three_kinds(void **unused)
{
    struct pane pane = make_pane(3, 20, GLYPHS_FULL);

    (void)unused;
    assert_int_equal(letters_put(&pane, once, 0, INK_PLAIN, "1.4"), 11);
    assert_string_equal(row_text(0), " \u2580\u2588    \u2588  \u2588");
    assert_string_equal(row_text(1), "  \u2588    \u2588\u2584\u2584\u2588");
    assert_string_equal(row_text(2), " \u2584\u2588\u2584 \u2584    \u2588");
    pane = make_pane(3, 20, GLYPHS_ASCII);
    letters_put(&pane, strokes, 0, INK_PLAIN, "1.4");
    assert_string_equal(row_text(1), "  | |_|");
    pane = make_pane(6, 20, GLYPHS_ASCII);
    letters_put(&pane, once, 0, INK_PLAIN, "1.4");
    assert_string_equal(row_text(5), " ### #    #");
    pane = make_pane(3, 4, GLYPHS_FULL);
    letters_put(&pane, once, 0, INK_PLAIN, "88888888"); /* cut at the edge */
    assert_string_equal(row_text(0), "\u2588\u2580\u2580\u2588");
}

static void letters_are_as_large_as_the_pane_allows(void **unused)
{
    static const struct {
        int rows, cols;
        enum glyphs glyphs;
        enum letters_sign sign;
        int across, down, taken;
    } rows[] = {
        /* 1.4 is 11 dots wide and 6 high; half blocks hold two dots one above the other */
        {3, 20, GLYPHS_FULL, SIGN_NONE, 1, 1, 3},
        {6, 40, GLYPHS_BLOCKS, SIGN_NONE, 2, 2, 6},
        {6, 21, GLYPHS_FULL, SIGN_NONE, 1, 2, 6},  /* taller rather than smaller */
        {12, 21, GLYPHS_FULL, SIGN_NONE, 1, 2, 6}, /* but no more than twice as tall */
        {12, 44, GLYPHS_FULL, SIGN_NONE, 4, 4, 12},
        {12, 48, GLYPHS_FULL, SIGN_RIGHT, 2, 4, 12}, /* the sign is 11 dots wide, a gap of 2 */
        {6, 40, GLYPHS_ASCII, SIGN_NONE, 2, 1, 6},
        {5, 40, GLYPHS_ASCII, SIGN_NONE, 0, 0, 3},
        {6, 10, GLYPHS_ASCII, SIGN_NONE, 0, 0, 3},
        {3, 10, GLYPHS_FULL, SIGN_NONE, 1, 1, 3},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct pane pane = make_pane(rows[i].rows, rows[i].cols, rows[i].glyphs);
        struct letters_size size = letters_fit(&pane, rows[i].sign, "1.4");
        assert_int_equal(size.across, rows[i].across);
        assert_int_equal(size.down, rows[i].down);
        assert_int_equal(letters_rows(&pane, size), rows[i].taken);
    }
}

static void each_sign_is_its_own(void **unused)
{
    char first[SIGN_COUNT][3 * SHEET_TEXT_SIZE];

    (void)unused;
    for (int glyphs = GLYPHS_ASCII; glyphs <= GLYPHS_BLOCKS; glyphs++) {
        for (int sign = 0; sign < SIGN_COUNT; sign++) {
            struct pane pane = make_pane(3, 14, (enum glyphs)glyphs);
            struct letters_size size = glyphs == GLYPHS_ASCII ? strokes : once;
            int after = letters_put_sign(&pane, size, 0, INK_PLAIN, (enum letters_sign)sign);
            assert_int_equal(after > 0, sign != SIGN_NONE);
            first[sign][0] = '\0';
            for (int row = 0; row < 3; row++) {
                strcat(strcat(first[sign], row_text(row)), "\n");
            }
            for (int other = 0; other < sign && after > 0; other++) {
                assert_string_not_equal(first[sign], first[other]);
            }
        }
    }
}

static int finish(void **unused)
{
    (void)unused;
    sheet_finish(&sheet);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_is_cut_on_columns_and_says_so),
        cmocka_unit_test(nothing_goes_beyond_a_pane),
        cmocka_unit_test(text_is_broken_between_words),
        cmocka_unit_test(text_can_end_at_the_right_edge),
        cmocka_unit_test(sizes_out_of_range_are_brought_into_it),
        cmocka_unit_test(large_letters_come_in_three_kinds),
        cmocka_unit_test(letters_are_as_large_as_the_pane_allows),
        cmocka_unit_test(each_sign_is_its_own),
    };

    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, finish);
}
