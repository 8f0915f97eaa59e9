/* Numbers as they are shown, and text for terminals that can show less. */
#include "expect.h"

#include <locale.h>
#include <string.h>

#include "view/figures.h"
#include "view/glyphs.h"

static void a_level_carries_its_unit(void **unused)
{
    static const struct {
        double value;
        enum level_unit unit;
        const char *want;
    } rows[] = {
        {12.34, LEVEL_DB, "12.3 dB"},
        {-61.0, LEVEL_DBM, "-61.0 dBm"},
        {55.0, LEVEL_DBUV, "55.0 dB\u00b5V"},
        {73.0, LEVEL_PERCENT, "73.0 %"},
        {1.234, LEVEL_VOLT, "1.23 V"},
        {512.0, LEVEL_RAW, "512.0"},
        {40321.4, LEVEL_RAW, "40321"},
        {-0.04, LEVEL_DB, "0.0 dB"},
        {NAN, LEVEL_DB, "- dB"},
        {1e300, LEVEL_DB, "1e+300 dB"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[FIGURES_SIZE];
        figures_level(text, rows[i].value, rows[i].unit);
        assert_string_equal(text, rows[i].want);
    }
}

static void turns_are_said_in_eighths(void **unused)
{
    static const struct {
        double turns;
        const char *want, *worded;
    } rows[] = {
        {0.01, "<1/8", "<1/8 turn"},
        {0.125, "1/8", "1/8 turn"},
        {0.26, "1/4", "1/4 turn"},
        {0.97, "1", "1 turn"},
        {1.25, "1 1/4", "1 1/4 turns"},
        {-2.0, "2", "2 turns"},
        {14.6, "14 5/8", "14 5/8 turns"},
        {NAN, "", ""},
        {1e9, "", ""},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[FIGURES_SIZE];
        figures_turns(text, rows[i].turns);
        assert_string_equal(text, rows[i].want);
        figures_turns_worded(text, rows[i].turns);
        assert_string_equal(text, rows[i].worded);
    }
}

static void angles_and_times_are_short(void **unused)
{
    char text[FIGURES_SIZE];

    (void)unused;
    figures_degrees(text, 163.058);
    assert_string_equal(text, "163.06\u00b0");
    figures_degrees(text, -0.001);
    assert_string_equal(text, "0.00\u00b0");
    figures_degrees(text, NAN);
    assert_string_equal(text, "-");
    figures_clock(text, 761.9);
    assert_string_equal(text, "12:41");
    figures_clock(text, 3761.0);
    assert_string_equal(text, "1:02:41");
    figures_clock(text, NAN);
    assert_string_equal(text, "0:00");
    figures_age(text, 59.9);
    assert_string_equal(text, "59 s");
    figures_age(text, 150.0);
    assert_string_equal(text, "2 min");
    figures_age(text, 7200.0);
    assert_string_equal(text, "2 h");
    figures_age(text, NAN);
    assert_string_equal(text, "never");
}

static void a_terminal_gets_what_it_can_show(void **unused)
{
    static const struct {
        const char *codeset, *term;
        enum glyphs want;
    } rows[] = {
        {"UTF-8", "xterm-256color", GLYPHS_FULL},
        {"UTF-8", "screen", GLYPHS_FULL},
        {"UTF-8", "linux", GLYPHS_BLOCKS},
        {"UTF-8", "linux-16color", GLYPHS_BLOCKS},
        {"UTF-8", "vt100", GLYPHS_ASCII},
        {"UTF-8", "vt220", GLYPHS_ASCII},
        {"UTF-8", NULL, GLYPHS_ASCII},
        {"ANSI_X3.4-1968", "xterm-256color", GLYPHS_ASCII},
        {"ISO-8859-1", "xterm", GLYPHS_ASCII},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(glyphs_choose(rows[i].codeset, rows[i].term), rows[i].want);
    }
}

static void text_without_utf8_stays_readable(void **unused)
{
    static const struct {
        const char *text, *want;
    } rows[] = {
        {"Right 0.46\u00b0, slowly.", "Right 0.46 deg, slowly."},
        {"143.27\u00b0 \u00b1 0.03\u00b0", "143.27 deg +/- 0.03 deg"},
        {"55 dB\u00b5V", "55 dBuV"},
        {"Gr\u00fc\u00dfe aus Z\u00fcrich", "Grusse aus Zurich"},
        {"\u885b\u661f", "??"},
        {"bad \xff byte", "bad ? byte"},
        {"", ""},
    };
    char text[64], small[4];

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        glyphs_fold(text, sizeof text, rows[i].text);
        assert_string_equal(text, rows[i].want);
    }
    glyphs_fold(small, sizeof small, "ab\u00b0");
    assert_string_equal(small, "ab");
}

static void columns_are_not_bytes(void **unused)
{
    (void)unused;
    assert_non_null(setlocale(LC_CTYPE, "C.UTF-8"));
    assert_int_equal(glyphs_columns("0.46\u00b0"), 5);
    assert_int_equal(glyphs_columns("\u885b\u661f"), 4); /* East Asian Wide: two each */
    assert_int_equal(glyphs_columns("e\u0301"), 1);      /* a combining accent: none */
    assert_int_equal(glyphs_columns("\u28ff\u2588"), 2); /* Braille and a block: one each */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_level_carries_its_unit),
        cmocka_unit_test(turns_are_said_in_eighths),
        cmocka_unit_test(angles_and_times_are_short),
        cmocka_unit_test(a_terminal_gets_what_it_can_show),
        cmocka_unit_test(text_without_utf8_stays_readable),
        cmocka_unit_test(columns_are_not_bytes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
