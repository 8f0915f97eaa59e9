/* What the simulated receiver says. Checksums computed apart from this code; that gpsd takes the
 * sentences is shown end to end. */
#include "expect.h"

#include <string.h>

#include "sim/program/receiver.h"

static void a_fix_is_said_in_two_sentences(void **state)
{
    static const struct {
        struct globe_site site;
        double utc_s;
        const char *lines;
    } rows[] = {
        {{46.6, 10.1, 2200.0},
         1778578202.0, /* 2026-05-12T09:30:02Z */
         "$GPRMC,093002.00,A,4636.00000,N,01006.00000,E,0.0,0.0,120526,,,A*54\r\n"
         "$GPGGA,093002.00,4636.00000,N,01006.00000,E,1,09,0.9,2152.0,M,48.0,M,,*5C\r\n"},
        {{-33.0 - 30.5 / 60.0, -70.0 - 59.99994 / 60.0, 0.0},
         1798761599.98, /* the last of the year */
         "$GPRMC,235959.98,A,3330.50000,S,07059.99994,W,0.0,0.0,311226,,,A*5D\r\n"
         "$GPGGA,235959.98,3330.50000,S,07059.99994,W,1,09,0.9,-48.0,M,48.0,M,,*77\r\n"},
    };
    char lines[RECEIVER_LINES_SIZE];

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        size_t n = receiver_format_fix(lines, &rows[i].site, rows[i].utc_s);
        assert_string_equal(lines, rows[i].lines);
        assert_int_equal(n, strlen(lines));
    }
}

static void minutes_never_round_up_to_sixty(void **state)
{
    struct globe_site site = {46.9999999999, 10.0, 48.0};
    char lines[RECEIVER_LINES_SIZE];

    (void)state;
    receiver_format_fix(lines, &site, 0.0);
    assert_non_null(strstr(lines, ",4700.00000,N,01000.00000,E,"));
}

static void an_attitude_is_said_and_what_is_not_known_is_left_empty(void **state)
{
    static const struct {
        double deg[3];
        const char *line;
    } rows[] = {
        {{143.2, 35.05, -10.9}, "$PTNTHTM,143.20,N,35.05,N,-10.90,N,65.0,2454*27\r\n"},
        {{NAN, 35.05, NAN}, "$PTNTHTM,,N,35.05,N,,N,65.0,2454*36\r\n"},
    };
    char lines[RECEIVER_LINES_SIZE];

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        receiver_format_attitude(lines, rows[i].deg);
        assert_string_equal(lines, rows[i].line);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_fix_is_said_in_two_sentences),
        cmocka_unit_test(minutes_never_round_up_to_sixty),
        cmocka_unit_test(an_attitude_is_said_and_what_is_not_known_is_left_empty),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
