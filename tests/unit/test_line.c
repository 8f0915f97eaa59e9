#include "expect.h"

#include <stdlib.h>
#include <string.h>

#include "source/line.h"

enum { ROOM = 16 };

/* What came out, a letter and the text each: "W:abc;R:toolong;" */
struct out {
    char text[512];
};

static void feed_piece(struct line *line, const char *bytes, size_t n, struct out *out)
{
    /* a copy of just the right size, so that reading too far is seen */
    char *copy = malloc(n > 0 ? n : 1);
    size_t done = 0;

    memcpy(copy, bytes, n);
    while (done < n) {
        size_t used = 0;
        enum line_result result = line_feed(line, copy + done, n - done, &used);
        assert_true(used > 0);
        done += used;
        if (result != LINE_MORE) {
            size_t at = strlen(out->text);
            assert_int_equal(line->text[line->length], '\0');
            snprintf(out->text + at, sizeof out->text - at, "%c:%s;",
                     result == LINE_WHOLE ? 'W' : 'R', line->text);
        }
    }
    free(copy);
}

static void check(const char *bytes, size_t n, const char *want, unsigned long refused)
{
    /* cut = n is whole; cut = n + 1 is byte by byte */
    for (size_t cut = 0; cut <= n + 1; cut++) {
        char room[ROOM];
        struct line line;
        struct out out = {""};
        line_init(&line, room, sizeof room);
        if (cut <= n) {
            feed_piece(&line, bytes, cut, &out);
            feed_piece(&line, bytes + cut, n - cut, &out);
        } else {
            for (size_t i = 0; i < n; i++) {
                feed_piece(&line, bytes + i, 1, &out);
            }
        }
        assert_string_equal(out.text, want);
        assert_int_equal(line.refused, refused);
    }
}

static void lines_come_out_however_the_bytes_are_cut(void **state)
{
    static const struct {
        const char *bytes;
        size_t n;
        const char *want;
        unsigned long refused;
    } rows[] = {
        {"ab\ncd\n", 6, "W:ab;W:cd;", 0},
        {"ab\rcd\r", 6, "W:ab;W:cd;", 0},
        {"ab\r\ncd\r\n", 8, "W:ab;W:cd;", 0},
        {"ab\n\ncd\n", 7, "W:ab;W:cd;", 0},
        {"\r\n\r\nab\n\r", 8, "W:ab;", 0},
        {"ab\ncd", 5, "W:ab;", 0},
        {"", 0, "", 0},
        {"123456789012345\nx\n", 18, "W:123456789012345;W:x;", 0},
        {"1234567890123456\nx\n", 19, "R:123456789012345;W:x;", 1},
        {"123456789012345678901234567890123456789\r\nx\r\n", 44, "R:123456789012345;W:x;", 1},
        {"a\0b\nx\n", 6, "R:a;W:x;", 1},
        {"\0\0\nx\n", 5, "R:;W:x;", 1},
        {"a\0b4567890123456789\nx\n", 22, "R:a;W:x;", 1},
        {"\xff\xfe\x1b[2J\nx\n", 9, "W:\xff\xfe\x1b[2J;W:x;", 0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        check(rows[i].bytes, rows[i].n, rows[i].want, rows[i].refused);
    }
}

static void a_restart_forgets_half_a_line_but_not_the_count(void **state)
{
    char room[ROOM];
    struct line line;
    struct out out = {""};

    (void)state;
    line_init(&line, room, sizeof room);
    feed_piece(&line, "a\0\nhalf a", 9, &out);
    line_restart(&line);
    feed_piece(&line, "whole\n", 6, &out);
    assert_string_equal(out.text, "R:a;W:whole;");
    assert_int_equal(line.refused, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_come_out_however_the_bytes_are_cut),
        cmocka_unit_test(a_restart_forgets_half_a_line_but_not_the_count),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
