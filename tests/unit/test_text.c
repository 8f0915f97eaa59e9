#include "expect.h"

#include <errno.h>
#include <string.h>

#include "base/axis.h"
#include "base/text.h"

static void numbers_are_whole_or_refused(void **state)
{
    static const struct {
        const char *text;
        int want;
        double value;
    } rows[] = {
        {"42.5", 0, 42.5},     {" -7 ", 0, -7.0},   {"1e3", 0, 1000.0},  {"", -EINVAL, 0},
        {"12x", -EINVAL, 0},   {"nan", -EINVAL, 0}, {"inf", -EINVAL, 0}, {"0x10", -EINVAL, 0},
        {"1e999", -EINVAL, 0}, {"1 2", -EINVAL, 0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double value = -1.0;
        assert_int_equal(text_parse_double(rows[i].text, &value), rows[i].want);
        expect_near(value, rows[i].want == 0 ? rows[i].value : -1.0, 0.0);
    }
}

static void bytes_from_outside_are_made_harmless(void **state)
{
    static const struct {
        const char *bytes;
        size_t n;
        const char *shown;
        size_t replaced;
    } rows[] = {
        {"SNR 12.1", 8, "SNR 12.1", 0},
        {"a\0b", 3, "a?b", 1},
        {"\033[2J", 4, "?[2J", 1},
        {"dB\xc2\xb5V", 5, "dB\xc2\xb5V", 0},
        {"\xc2\x9b"
         "2J",
         4, "?2J", 1}, /* C1 control sequence introducer */
        {"\xff\xfe", 2, "??", 2},
        {"\xc0\xaf", 2, "??", 2},      /* overlong */
        {"\xed\xa0\x80", 3, "???", 3}, /* surrogate */
        {"\xe2\x82", 2, "??", 2},      /* cut */
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char shown[32];
        assert_int_equal(text_sanitize(shown, sizeof shown, rows[i].bytes, rows[i].n),
                         rows[i].replaced);
        assert_string_equal(shown, rows[i].shown);
        if (strlen(rows[i].bytes) == rows[i].n) {
            assert_int_equal(text_is_clean(rows[i].bytes), rows[i].replaced == 0);
        }
    }
}

static void a_copy_never_splits_a_character(void **state)
{
    char small[4];

    (void)state;
    text_copy(small, sizeof small, "ab\xc2\xb5");
    assert_string_equal(small, "ab");
    text_copy(small, sizeof small,
              "a\xc2\xb5"
              "b");
    assert_string_equal(small, "a\xc2\xb5");
    small[0] = '\0';
    assert_false(text_append(small, sizeof small, "%s", "ab\xc2\xb5"));
    assert_string_equal(small, "ab");
    small[0] = '\0';
    assert_false(text_append(small, sizeof small, "%s", "\xe2\x80\x94x"));
    assert_string_equal(small, "\xe2\x80\x94");
}

static void every_way_names_its_axis(void **state)
{
    (void)state;
    for (int i = 0; i < AXIS_COUNT; i++) {
        for (int sign = -1; sign <= 1; sign += 2) {
            enum axis axis = AXIS_NONE;
            int got = 0;
            assert_true(axis_parse_way(axis_way((enum axis)i, sign), &axis, &got));
            assert_int_equal(axis, i);
            assert_int_equal(got, sign);
        }
        assert_int_equal(axis_parse(axis_name((enum axis)i)), i);
    }
    assert_int_equal(axis_parse("tilt"), AXIS_NONE);
}

static void a_sentence_ends_with_one_full_stop(void **unused)
{
    static const struct {
        const char *text, *want;
    } rows[] = {{"Up", "Up."}, {"Up.", "Up."}, {"Which way?", "Which way?"}, {"", ""}};

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[16];
        text_copy(text, sizeof text, rows[i].text);
        text_end_sentence(text, sizeof text);
        assert_string_equal(text, rows[i].want);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_whole_or_refused),
        cmocka_unit_test(bytes_from_outside_are_made_harmless),
        cmocka_unit_test(a_copy_never_splits_a_character),
        cmocka_unit_test(every_way_names_its_axis),
        cmocka_unit_test(a_sentence_ends_with_one_full_stop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
