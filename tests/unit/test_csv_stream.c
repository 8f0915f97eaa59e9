#include "expect.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "command/csv_stream.h"

enum { LONG = CSV_STREAM_ROW + 10, PIECE = 4096 };

static struct csv_stream stream;
static struct csv_stream_row row;
static int writer;

static int set_up(void **state)
{
    int ends[2];

    (void)state;
    if (pipe(ends) < 0) {
        return -1;
    }
    csv_stream_init(&stream, ends[0]);
    writer = ends[1];
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    close(stream.fd);
    return 0;
}

/* A pipe holds 64 KiB at least on Linux: what is longer is written by a child. */
static void feed(const char *text, size_t n, size_t piece)
{
    pid_t pid = fork();

    assert_true(pid >= 0);
    if (pid == 0) {
        for (size_t at = 0; at < n;) {
            ssize_t did = write(writer, text + at, n - at < piece ? n - at : piece);
            if (did < 0) {
                _exit(1);
            }
            at += (size_t)did;
        }
        _exit(0);
    }
    close(writer);
}

static void expect_row(const char *text, const char *line_end)
{
    assert_int_equal(csv_stream_next(&stream, &row), 1);
    assert_int_equal(row.length, strlen(text));
    assert_memory_equal(row.text, text, row.length);
    assert_string_equal(row.line_end, line_end);
}

static void rows_come_whole_however_they_arrive(void **state)
{
    static const char text[] = "lat,lon\n1,2\r\n\n\"a\nb\",\"c\"\"\n\"\n\"last\nof all\"";

    (void)state;
    for (size_t piece = 1; piece < sizeof text; piece += 3) {
        assert_int_equal(set_up(NULL), 0);
        feed(text, sizeof text - 1, piece);
        expect_row("lat,lon", "\n");
        expect_row("1,2", "\r\n");
        expect_row("", "\n");
        expect_row("\"a\nb\",\"c\"\"\n\"", "\n");
        expect_row("\"last\nof all\"", "");
        assert_int_equal(csv_stream_next(&stream, &row), 0);
        assert_int_equal(csv_stream_next(&stream, &row), 0);
        tear_down(NULL);
    }
    assert_int_equal(set_up(NULL), 0);
    close(writer);
}

static void an_open_quote_costs_its_own_line_only(void **state)
{
    static const char text[] = "1,\"open\n2,b\n3,c\n";

    (void)state;
    feed(text, sizeof text - 1, PIECE);
    expect_row("1,\"open", "\n");
    expect_row("2,b", "\n");
    expect_row("3,c", "\n");
    assert_int_equal(csv_stream_next(&stream, &row), 0);
}

static void an_open_quote_in_a_long_table_costs_its_own_line_only(void **state)
{
    enum { ROWS = 60000 };
    static char text[ROWS * 10];
    size_t n = (size_t)sprintf(text, "\"open\n");

    (void)state;
    for (int i = 0; i < ROWS; i++) {
        n += (size_t)sprintf(text + n, "%d,x\n", i);
    }
    feed(text, n, PIECE);
    expect_row("\"open", "\n");
    for (int i = 0; i < ROWS; i++) {
        char want[16];
        snprintf(want, sizeof want, "%d,x", i);
        expect_row(want, "\n");
    }
    assert_int_equal(csv_stream_next(&stream, &row), 0);
}

static void a_row_too_long_is_passed_over(void **state)
{
    static char text[3 * LONG + 5 * CSV_STREAM_BUFFER];
    size_t n = 0;

    (void)state;
    memset(text, 'x', sizeof text);
    n = LONG;
    n += (size_t)(stpcpy(text + n, "\nshort\n") - (text + n));
    text[n] = 'x';
    n += 5 * CSV_STREAM_BUFFER;
    n += (size_t)(stpcpy(text + n, "\n") - (text + n));
    memset(text + n, 'x', CSV_STREAM_ROW);
    n += CSV_STREAM_ROW; /* just fits */
    n += (size_t)(stpcpy(text + n, "\nend") - (text + n));
    feed(text, n, PIECE);
    assert_int_equal(csv_stream_next(&stream, &row), -EFBIG);
    expect_row("short", "\n");
    assert_int_equal(csv_stream_next(&stream, &row), -EFBIG);
    assert_int_equal(csv_stream_next(&stream, &row), 1);
    assert_int_equal(row.length, CSV_STREAM_ROW);
    expect_row("end", "");
    assert_int_equal(csv_stream_next(&stream, &row), 0);
}

static void a_file_that_can_not_be_read_says_why(void **state)
{
    (void)state;
    csv_stream_init(&stream, -1);
    assert_int_equal(csv_stream_next(&stream, &row), -EBADF);
    close(writer);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(rows_come_whole_however_they_arrive, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_open_quote_costs_its_own_line_only, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_open_quote_in_a_long_table_costs_its_own_line_only,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_row_too_long_is_passed_over, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_file_that_can_not_be_read_says_why, set_up, tear_down),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
