/* The short way through a line: what record_format() writes goes it, and what it takes is read as
 * by the parser of all JSON (jansson) and by the C library's strtod(). */
#include "expect.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "chance.h"
#include "session/record.h"
#include "session/record_line.h"

static void lines_as_they_are_written_go_the_short_way(void **state)
{
    static const char *const lines[] = {
        "{\"t\":0.333,\"fix\":{\"lat\":46.12345679,\"lon\":10.1,\"mode\":3,\"satellites\":9}}",
        "{\"t\":1.333,\"utc\":{\"unix_s\":1795636800.124}}",
        "{\"t\":2.333,\"angles\":{\"from\":\"compass\",\"azimuth\":0.0,\"magnetic\":true}}",
        "{\"t\":3.333,\"level\":{\"value\":-0.3,\"unit\":\"dBuV\",\"meter\":\"finder\"}}",
        "{\"t\":4.333,\"lock\":{\"locked\":false,\"id\":\"\u00e9 \u2603 \U0001f6f0\"}}",
        "{\"t\":6.333,\"move\":{\"axis\":\"elevation\",\"turns\":-1.125}}",
        "{\"t\":7.333,\"note\":{}}",
        "{\"t\":8.333,\"source\":{\"name\":\"finder\",\"status\":\"silent\",\"bad\":7}}",
        "{\"t\":9.333,\"step\":{\"event\":\"enter\",\"name\":\"a\",\"number\":9,\"count\":15}}",
        "{\"t\":1.3,\"advice\":{\"step\":\"a\",\"move\":\"up\",\"deg\":4,\"say\":\"4\u00b0.\"}}",
    };

    (void)state;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        struct record_line line;
        if (!record_line_cut(lines[i], strlen(lines[i]), &line)) {
            fail_msg("%s", lines[i]);
        }
    }
}

static void what_it_is_not_sure_of_is_left_to_others(void **state)
{
    static const char *const lines[] = {
        "",
        "{}",
        "{\"t\":1}",
        "{\"t\":1,\"t\":{}}",
        "{\"t\":1,\"note\":{}} ",
        "{\"t\":1,\"note\":{}}}",
        "{\"t\":1,\"note\":{}",
        "{\"t\":1,\"note\":{},\"mark\":{}}",
        "{\"t\":1,\"note\":[]}",
        "{\"t\": 1,\"note\":{}}",
        "{\"t\":1,\"note\":{\"text\":\"a\\n\"}}",
        "{\"t\":1,\"note\":{\"text\":\"a\tb\"}}",
        "{\"t\":1,\"note\":{\"text\":\"\xc3\"}}",
        "{\"t\":1,\"note\":{\"text\":\"\xed\xa0\x80\"}}", /* half of a surrogate pair */
        "{\"t\":1,\"note\":{\"text\":\"a\",\"text\":\"a\"}}",
        "{\"t\":1,\"note\":{\"text\":\"a\",}}",
        "{\"t\":1,\"note\":{\"text\":null}}",
        "{\"t\":1,\"note\":{\"text\":\"a}}",
        "{\"t\":1,\"lock\":{\"locked\":truer}}",
        "{\"t\":01,\"note\":{}}",
        "{\"t\":1.,\"note\":{}}",
        "{\"t\":.1,\"note\":{}}",
        "{\"t\":+1,\"note\":{}}",
        "{\"t\":-0,\"note\":{}}",
        "{\"t\":-,\"note\":{}}",
        "{\"t\":1e3,\"note\":{}}",
        "{\"t\":1234567890123456,\"note\":{}}",
        "{\"t\":123456789.1234567,\"note\":{}}",
    };

    (void)state;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        struct record_line line;
        if (record_line_cut(lines[i], strlen(lines[i]), &line)) {
            fail_msg("%s", lines[i]);
        }
    }
}

/* Digits with a point at any place: those of up to 15 digits are taken, and to the very bit. */
static void numbers_are_those_of_the_c_library(void **state)
{
    struct chance chance = {1};

    (void)state;
    for (int i = 0; i < 200000; i++) {
        int digits = 1 + (int)(chance_bits(&chance) % 15), n = 0;
        int point = (int)(chance_bits(&chance) % (unsigned)digits);
        char number[40], text[100];
        struct record_line line;

        if (chance_bits(&chance) % 2) {
            number[n++] = '-';
        }
        for (int k = 0; k < digits; k++) {
            bool leads = k == 0 && point != 1;
            number[n++] =
                (char)('0' + (leads ? 1 : 0) + (int)(chance_bits(&chance) % (leads ? 9 : 10)));
            if (k + 1 == point) {
                number[n++] = '.';
            }
        }
        number[n] = '\0';
        snprintf(text, sizeof text, "{\"t\":%s,\"note\":{}}", number);
        if (strcmp(number, "-0") == 0) {
            continue;
        }
        if (!record_line_cut(text, strlen(text), &line) ||
            memcmp(&line.t.number, &(double){strtod(number, NULL)}, sizeof(double)) != 0) {
            fail_msg("%s", number);
        }
        assert_int_equal(line.t.whole, !strchr(number, '.'));
    }
}

/* What a wild meter sends is rounded to what a line of the log keeps, or is no record at all. */
static void a_number_of_any_size_comes_back_as_it_was(void **state)
{
    static const double values[] = {1e308,
                                    -1.797693134862e308,
                                    123456789012345.678,
                                    2.5e11,
                                    99999999999.99995,
                                    4.9e-324,
                                    1e-5,
                                    -0.00004,
                                    0.1 + 0.2};

    (void)state;
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        struct record record = {.t = 1.0, .kind = RECORD_AUX, .aux.value = values[i]}, back;
        char line[512], why[RECORD_TEXT_SIZE];

        record_round(&record);
        assert_true(record_format(&record, line, sizeof line) > 0);
        assert_int_equal(record_parse(line, &back, why), 0);
        expect_near(back.aux.value, record.aux.value, 0.0);
        assert_false(signbit(back.aux.value) && back.aux.value == 0.0);
    }
}

static void a_number_without_an_end_is_none(void **state)
{
    /* the greatest double rounds up */
    static const double values[] = {(double)INFINITY, (double)NAN, 1.7976931348623157e308};

    (void)state;
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        struct record record = {.t = 1.0, .kind = RECORD_LEVEL, .level.value = values[i]};
        char line[512];

        record_round(&record);
        assert_non_null(record_wrong(&record));
        assert_true(record_format(&record, line, sizeof line) < 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_as_they_are_written_go_the_short_way),
        cmocka_unit_test(what_it_is_not_sure_of_is_left_to_others),
        cmocka_unit_test(numbers_are_those_of_the_c_library),
        cmocka_unit_test(a_number_of_any_size_comes_back_as_it_was),
        cmocka_unit_test(a_number_without_an_end_is_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
