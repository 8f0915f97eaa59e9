/* A line becomes a pattern that reads it. */
#include "expect.h"

#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "source/guess.h"

static void a_line_becomes_a_pattern_that_reads_it(void **unused)
{
    static const struct {
        const char *line, *pattern;
        double level;
        bool lock_said, locked;
    } rows[] = {
        {"SNR=12.1dB", "SNR={level}dB", 12.1, false, false},
        {"SNR 12.5 LOCK yes", "SNR {level} LOCK {lock}", 12.5, true, true},
        {"LOCK 0 LEVEL -43.2 dBm", "LOCK {lock} LEVEL {level} dBm", -43.2, true, false},
        {"LOCK=1,12", "LOCK={lock},{level}", 12.0, true, true},
        {"12.1,1,HUT", "{level},{number},HUT", 12.1, false, false},
        {"C5 [7] {x}", "C5 \\[{level}\\] \\{x\\}", 7.0, false, false},
        {"T 21.5 C", "T {level} C", 21.5, false, false},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[PATTERN_TEXT_SIZE] = "", why[RECORD_TEXT_SIZE];
        struct pattern pattern;
        struct pattern_reading reading;
        size_t position;
        assert_int_equal(guess_pattern(rows[i].line, text), 0);
        assert_string_equal(text, rows[i].pattern);
        assert_int_equal(pattern_compile(&pattern, text, &position, why), 0);
        assert_true(pattern_match(&pattern, rows[i].line, &reading));
        expect_near(reading.level, rows[i].level, 1e-9);
        assert_int_equal(reading.lock_said, rows[i].lock_said);
        if (rows[i].lock_said) {
            assert_int_equal(reading.locked, rows[i].locked);
        }
    }
}

static void what_has_no_number_is_no_reading(void **unused)
{
    char text[PATTERN_TEXT_SIZE] = "untouched", line[2 * PATTERN_TEXT_SIZE];

    (void)unused;
    assert_int_equal(guess_pattern("ready", text), -ENODATA);
    assert_int_equal(guess_pattern("", text), -ENODATA);
    memset(line, 'x', sizeof line - 1);
    strcpy(line + sizeof line - 8, " 12.5");
    assert_int_equal(guess_pattern(line, text), -ENOSPC);
    assert_string_equal(text, "untouched");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_becomes_a_pattern_that_reads_it),
        cmocka_unit_test(what_has_no_number_is_no_reading),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
