#include "expect.h"

#include <errno.h>
#include <string.h>

#include "source/pattern.h"

static struct pattern compile(const char *text)
{
    struct pattern pattern;
    size_t position = 999;
    char why[RECORD_TEXT_SIZE] = "";

    if (pattern_compile(&pattern, text, &position, why) != 0) {
        fail_msg("%s: at %zu: %s", text, position, why);
    }
    return pattern;
}

static void a_level_is_found_in_a_line_of_its_shape_only(void **state)
{
    static const struct {
        const char *pattern, *line;
        bool fits;
        double level;
    } rows[] = {
        {"{level}", "12.1", true, 12.1},
        {"{level}", "  -43 ", true, -43.0},
        {"{level}", "+1.5e1", true, 15.0},
        {"{level}", ".5", true, 0.5},
        {"{level}", "5.", true, 5.0},
        {"{level}", "", false, 0},
        {"{level}", "-", false, 0},
        {"{level}", "1.2.3", false, 0},
        {"{level}", "12.1 dB", false, 0},
        {"{level}", "nan", false, 0},
        {"{level}", "0x12", false, 0},
        {"{level}", "1e999", false, 0},
        {"{level}", "111111111111111111111111111111111111111", false, 0},
        {"SNR = {level} [dB]", "SNR=12.1dB", true, 12.1},
        {"SNR = {level} [dB]", "SNR =  12.1", true, 12.1},
        {"SNR = {level} [dB]", "SNR = 12.1 dB", true, 12.1},
        {"SNR = {level} [dB]", "SNR = 12.1 V", false, 0},
        {"SNR = {level} [dB]", "snr = 12.1 dB", false, 0},
        {"SNR = {level} [dB]", "XSNR = 12.1 dB", false, 0},
        {"{skip}{level}", "S/N 12.1", true, 12.1},
        {"{skip}{level}", "12.1.3", false, 0},
        {"{skip}{level}", "3-12", true, 12.0}, /* the dash separates */
        {"{skip}{level}", "ch2 -7.5", true, -7.5},
        {"{skip}={level}{skip}", "a=b=3.5 etc", true, 3.5},
        {"{skip}={level}{skip}", "a=b=c", false, 0},
        {"{skip}={level}{skip}dB", "x=1 x=2 dB", true, 1.0},
        {"{word} {number} {level}", "id7 4 9.25", true, 9.25},
        {"{word} {number} {level}", "id7 4", false, 0},
        {"\\{{level}\\}", "{3}", true, 3.0},
        {"a\\|b\\ {level}", "a|b 3", true, 3.0},
        {"a\\|b\\ {level}", "a|b3", false, 0},
        {"[S=]{level}[,x]y", "S=3,xy", true, 3.0},
        {"[S=]{level}[,x]y", "3y", true, 3.0},
        {"[S=]{level}[,x]y", "3,y", false, 0},
        {"C/N {level}|LVL {level}", "LVL 3", true, 3.0},
        {"C/N {level}|LVL {level}", "C/N 4", true, 4.0},
        {"C/N {level} | LVL {level}", "LVL 3", true, 3.0},
        {"C/N {level}|C/N --{skip}", "C/N --.-", true, NAN},
        {"dB\xc2\xb5V {level}", "dB\xc2\xb5V 61.5", true, 61.5},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct pattern pattern = compile(rows[i].pattern);
        struct pattern_reading reading = {.level = 777.0};
        if (pattern_match(&pattern, rows[i].line, &reading) != rows[i].fits) {
            fail_msg("'%s' on '%s' should %sfit", rows[i].pattern, rows[i].line,
                     rows[i].fits ? "" : "not ");
        }
        expect_near(reading.level, rows[i].fits ? rows[i].level : 777.0, 0.0);
    }
}

static void lock_is_one_of_its_words_and_nothing_else(void **state)
{
    static const struct {
        const char *pattern, *line;
        bool locked;
        const char *id;
    } rows[] = {
        {"{lock}", "1", true, ""},
        {"{lock}", "LOCKED", true, ""},
        {"{lock}", "Yes", true, ""},
        {"{lock}", "0", false, ""},
        {"{lock}", "UNLOCKED", false, ""},
        {"{lock}", "lo", false, ""},
        {"{lock CARRIER SYNC}", "carrier", true, ""},
        {"{lock CARRIER SYNC}", "SYNC", true, ""},
        {"{lock CARRIER SYNC}", "1", false, ""},
        {"{lock},{id}", "1,HUT-TV", true, "HUT-TV"},
        {"{lock} {id}", "1 HUT,TV", true, "HUT,TV"},
        {"<{id}> {lock}", "<HUT> 1", true, "HUT"},
        {"{id}[;x] {lock}", "HUT;x 1", true, "HUT"},
        {"{lock} {id}", "0 \x1b[2J", false, "?[2J"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct pattern pattern = compile(rows[i].pattern);
        struct pattern_reading reading;
        assert_true(pattern_match(&pattern, rows[i].line, &reading));
        assert_true(reading.lock_said);
        assert_int_equal(reading.locked, rows[i].locked);
        assert_string_equal(reading.id, rows[i].id);
        expect_near(reading.level, NAN, 0.0);
    }
}

static void angles_and_other_numbers_come_under_their_names(void **state)
{
    struct pattern pattern = compile("az{azimuth} el{elevation} sk{skew} t={aux temp C},{aux n}");
    struct pattern_reading reading;

    (void)state;
    assert_true(pattern_match(&pattern, "az143.2 el31.05 sk-22.4 t=21.5,7", &reading));
    expect_near(reading.deg[AXIS_AZIMUTH], 143.2, 0.0);
    expect_near(reading.deg[AXIS_ELEVATION], 31.05, 0.0);
    expect_near(reading.deg[AXIS_SKEW], -22.4, 0.0);
    assert_false(reading.magnetic);
    assert_false(reading.lock_said);
    assert_int_equal(reading.aux_count, 2);
    assert_string_equal(reading.aux[0].name, "temp");
    assert_string_equal(reading.aux[0].unit, "C");
    expect_near(reading.aux[0].value, 21.5, 0.0);
    assert_string_equal(reading.aux[1].name, "n");
    assert_string_equal(reading.aux[1].unit, "");
    expect_near(reading.aux[1].value, 7.0, 0.0);

    pattern = compile("{compass}");
    assert_true(pattern_match(&pattern, "98.3", &reading));
    assert_true(reading.magnetic);
    expect_near(reading.deg[AXIS_AZIMUTH], 98.3, 0.0);
}

static void what_an_option_tried_in_vain_is_forgotten(void **state)
{
    struct pattern pattern = compile("a[ {aux x} {lock},] {level}");
    struct pattern_reading reading;

    (void)state;
    assert_true(pattern_match(&pattern, "a 3", &reading));
    expect_near(reading.level, 3.0, 0.0);
    assert_int_equal(reading.aux_count, 0);
    assert_false(reading.lock_said);
}

static void a_wrong_pattern_is_refused_with_its_place(void **state)
{
    static const struct {
        const char *pattern;
        size_t position;
        const char *phrase; /* part of it */
    } rows[] = {
        {"", 0, "empty"},
        {"   ", 3, "empty"},
        {"SNR", 0, "reads nothing"},
        {"{number}", 0, "reads nothing"},
        {"SNR {lvl}", 5, "unknown field {lvl}"},
        {"{}", 1, "unknown field {}"},
        {"SNR {level", 4, "no }"},
        {"SNR {level db}", 11, "no more words"},
        {"{level} {level}", 9, "already"},
        {"{azimuth} {compass}", 11, "take one"},
        {"{id}", 4, "needs {lock}"},
        {"{id} {level}|{lock}", 12, "needs {lock}"},
        {"{level}}", 7, "no {"},
        {"{level}]", 7, "no ["},
        {"[{level}", 0, "no ]"},
        {"[a[b]]{level}", 2, "inside"},
        {"[]{level}", 1, "nothing stands"},
        {"[{skip}]{level}", 2, "can't stand"},
        {"{skip}{skip}{level}", 7, "right after"},
        {"{aux}", 1, "needs a name"},
        {"{aux a}{aux b}{aux c}{aux d}{aux e}", 29, "too many"},
        {"{level}|", 8, "empty"},
        {"|{level}", 0, "empty"},
        {"{level}||{lock}", 8, "empty"},
        {"a\\x{level}", 1, "stands before"},
        {"{level}\\", 7, "stands before"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct pattern pattern;
        struct pattern_reading reading;
        size_t position = 999;
        char why[RECORD_TEXT_SIZE] = "";
        assert_int_equal(pattern_compile(&pattern, rows[i].pattern, &position, why), -EINVAL);
        if (!strstr(why, rows[i].phrase) || position != rows[i].position) {
            fail_msg("%s: at %zu: %s", rows[i].pattern, position, why);
        }
        assert_false(pattern_match(&pattern, "1", &reading));
    }
}

static void a_pattern_too_long_or_of_too_many_parts_is_refused(void **state)
{
    char text[400];
    struct pattern pattern;
    size_t position;
    char why[RECORD_TEXT_SIZE];

    (void)state;
    memset(text, 'x', sizeof text);
    strcpy(text + PATTERN_TEXT_SIZE - 8, "{level}");
    assert_int_equal(strlen(text), PATTERN_TEXT_SIZE - 1);
    assert_int_equal(pattern_compile(&pattern, text, &position, why), 0);
    strcpy(text + PATTERN_TEXT_SIZE - 7, "{level}");
    assert_int_equal(pattern_compile(&pattern, text, &position, why), -ENOSPC);
    text[0] = '\0';
    for (int i = 0; i < PATTERN_ELEMENTS / 2 + 1; i++) {
        strcat(text, "x ");
    }
    strcat(text, "{level}");
    assert_int_equal(pattern_compile(&pattern, text, &position, why), -EINVAL);
    assert_non_null(strstr(why, "too many parts"));
}

static void the_first_character_of_a_pattern_is_known(void **state)
{
    struct pattern pattern;

    (void)state;
    pattern = compile("C/N {level} | $LVL {level}");
    assert_true(pattern_starts_with(&pattern, '$'));
    assert_true(pattern_starts_with(&pattern, 'C'));
    assert_false(pattern_starts_with(&pattern, 'L'));
    pattern = compile("{skip}$LVL {level}");
    assert_false(pattern_starts_with(&pattern, '$'));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_level_is_found_in_a_line_of_its_shape_only),
        cmocka_unit_test(lock_is_one_of_its_words_and_nothing_else),
        cmocka_unit_test(angles_and_other_numbers_come_under_their_names),
        cmocka_unit_test(what_an_option_tried_in_vain_is_forgotten),
        cmocka_unit_test(a_wrong_pattern_is_refused_with_its_place),
        cmocka_unit_test(a_pattern_too_long_or_of_too_many_parts_is_refused),
        cmocka_unit_test(the_first_character_of_a_pattern_is_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
