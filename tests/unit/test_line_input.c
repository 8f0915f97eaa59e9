/* Lines from a pipe: whole, cut anywhere, too long, without an end. */
#include "expect.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "view/line_input.h"

struct pipe_end {
    int in, out;
    struct line_input input;
};

static struct pipe_end open_pipe(void)
{
    struct pipe_end end;
    int fds[2];

    assert_int_equal(pipe(fds), 0);
    end.in = fds[0];
    end.out = fds[1];
    line_input_init(&end.input, end.in);
    return end;
}

static void put(struct pipe_end *end, const char *bytes, size_t n)
{
    assert_int_equal(write(end->out, bytes, n), n);
}

static void expect_line(struct pipe_end *end, const char *want)
{
    char line[FACE_WORDS_SIZE];

    assert_int_equal(line_input_next(&end->input, line), 1);
    assert_string_equal(line, want);
}

static void expect_result(struct pipe_end *end, int want)
{
    char line[FACE_WORDS_SIZE];

    assert_int_equal(line_input_next(&end->input, line), want);
}

static void close_pipe(struct pipe_end *end)
{
    close(end->in);
    close(end->out);
}

static void lines_come_one_by_one_wherever_they_are_cut(void **unused)
{
    static const char bytes[] = "done\n\nmoved right 1/8 turns\nnote a\0b\n";

    (void)unused;
    for (size_t cut = 0; cut < sizeof bytes; cut++) {
        struct pipe_end end = open_pipe();
        char line[4][FACE_WORDS_SIZE];
        int n = 0;
        put(&end, bytes, cut);
        while (line_input_next(&end.input, line[n]) == 1) {
            n++;
        }
        put(&end, bytes + cut, sizeof bytes - 1 - cut);
        while (n < 4 && line_input_next(&end.input, line[n]) == 1) {
            n++;
        }
        assert_int_equal(n, 4);
        assert_string_equal(line[0], "done");
        assert_string_equal(line[1], "");
        assert_string_equal(line[2], "moved right 1/8 turns");
        assert_string_equal(line[3], "note a?b");
        expect_result(&end, 0);
        close_pipe(&end);
    }
}

static void nothing_to_read_is_no_wait(void **unused)
{
    struct pipe_end end = open_pipe();

    (void)unused;
    expect_result(&end, 0);
    put(&end, "do", 2);
    expect_result(&end, 0);
    put(&end, "ne\n", 3);
    expect_line(&end, "done");
    close_pipe(&end);
}

static void the_last_line_needs_no_end(void **unused)
{
    struct pipe_end end = open_pipe();

    (void)unused;
    put(&end, "done\nquit", 9);
    close(end.out);
    expect_line(&end, "done");
    expect_line(&end, "quit");
    expect_result(&end, -EPIPE);
    expect_result(&end, -EPIPE);
    close(end.in);
}

static void a_line_too_long_is_dropped_whole(void **unused)
{
    struct pipe_end end = open_pipe();
    char bytes[5000];

    (void)unused;
    memset(bytes, 'x', sizeof bytes);
    memcpy(bytes + sizeof bytes - 6, "\ndone\n", 6);
    put(&end, bytes, sizeof bytes);
    expect_result(&end, -EMSGSIZE);
    expect_line(&end, "done");
    expect_result(&end, 0);

    put(&end, bytes, FACE_WORDS_SIZE - 1);
    put(&end, "\n", 1);
    bytes[FACE_WORDS_SIZE - 1] = '\0';
    expect_line(&end, bytes);
    close_pipe(&end);
}

static void a_line_too_long_at_the_end_is_said_once(void **unused)
{
    struct pipe_end end = open_pipe();
    char bytes[600];

    (void)unused;
    memset(bytes, 'x', sizeof bytes);
    put(&end, bytes, sizeof bytes);
    close(end.out);
    expect_result(&end, -EMSGSIZE);
    expect_result(&end, -EPIPE);
    close(end.in);
}

static void a_descriptor_that_is_not_open_has_ended(void **unused)
{
    struct pipe_end end = open_pipe();

    (void)unused;
    close_pipe(&end);
    expect_result(&end, -EPIPE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_come_one_by_one_wherever_they_are_cut),
        cmocka_unit_test(nothing_to_read_is_no_wait),
        cmocka_unit_test(the_last_line_needs_no_end),
        cmocka_unit_test(a_line_too_long_is_dropped_whole),
        cmocka_unit_test(a_line_too_long_at_the_end_is_said_once),
        cmocka_unit_test(a_descriptor_that_is_not_open_has_ended),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
