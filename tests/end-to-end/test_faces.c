/*
 * The faces for programs and for people who listen: JSON lines are the log's lines, sentences are
 * clean, and both take the operator's words on standard input.
 */
#include "../unit/expect.h"

#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct room {
    char directory[64], log[80], out[80], err[80];
    char text[1 << 20];
};

static int set_up(void **ret_room)
{
    struct room *room = calloc(1, sizeof *room);

    strcpy(room->directory, "/tmp/peakward-faces-XXXXXX");
    assert_non_null(mkdtemp(room->directory));
    snprintf(room->log, sizeof room->log, "%s/log", room->directory);
    snprintf(room->out, sizeof room->out, "%s/out", room->directory);
    snprintf(room->err, sizeof room->err, "%s/err", room->directory);
    *ret_room = room;
    return 0;
}

static int tear_down(void **state)
{
    struct room *room = *state;

    unlink(room->log);
    unlink(room->out);
    unlink(room->err);
    rmdir(room->directory);
    free(room);
    return 0;
}

/* Run the program on the simulated mount; `words` is a printf format of the shell. */
static int run(struct room *room, const char *environment, const char *face, const char *words)
{
    char command[1024];

    unlink(room->log);
    snprintf(command, sizeof command,
             "printf '%s' | %s timeout 60 %s peak --job %s --log %s %s >%s 2>%s", words,
             environment, PEAKWARD, JOB, room->log, face, room->out, room->err);
    return WEXITSTATUS(system(command));
}

static const char *read_file(struct room *room, const char *path)
{
    FILE *file = fopen(path, "r");

    assert_non_null(file);
    room->text[fread(room->text, 1, sizeof room->text - 1, file)] = '\0';
    fclose(file);
    return room->text;
}

static void expect_in(struct room *room, const char *path, const char *want)
{
    if (!strstr(read_file(room, path), want)) {
        fprintf(stderr, "wanted '%s' in\n%s", want, room->text);
        fail();
    }
}

static void json_lines_are_the_lines_of_the_log(void **state)
{
    struct room *room = *state;
    char *lines;

    run(room, "", "--json", "done\\nnote loose nut\\nmoved right 1/4 turns\\nquit\\n");
    lines = strdup(read_file(room, room->out));
    read_file(room, room->log);
    assert_memory_equal(room->text, "{\"peakward\":", 12);
    assert_string_equal(strchr(room->text, '\n') + 1, lines); /* all but the header */
    assert_non_null(strstr(lines, "\"note\":{\"text\":\"loose nut\"}"));
    assert_non_null(strstr(lines, "\"move\":{\"axis\":\"azimuth\",\"turns\":0.25}"));
    free(lines);
}

static void json_keeps_what_is_no_record_off_standard_output(void **state)
{
    struct room *room = *state;

    run(room, "", "--json", "dnoe\\nhelp\\nquit\\n");
    expect_in(room, room->err, "'dnoe' is not understood");
    read_file(room, room->out);
    for (const char *line = room->text; *line; line = strchr(line, '\n') + 1) {
        assert_memory_equal(line, "{\"t\":", 5);
    }
}

static void plain_speaks_in_clean_lines(void **state)
{
    struct room *room = *state;

    run(room, "LC_ALL=C.UTF-8", "--plain", "dnoe\\nmoved up 1/2 deg\\nnote \\033[2J x\\nquit\\n");
    expect_in(room, room->out, "Recording to ");
    expect_in(room, room->out, "\nStep 1 of ");
    expect_in(room, room->out, "'dnoe' is not understood: say done");
    expect_in(room, room->out, "\nMoved up 0.50\u00b0.\n");
    expect_in(room, room->out, "\nNote: ?[2J x.\n");
    for (const char *p = room->text; *p; p++) {
        assert_true((unsigned char)*p >= 0x20 || *p == '\n');
    }
}

static void plain_without_utf8_is_ascii(void **state)
{
    struct room *room = *state;

    run(room, "LC_ALL=C", "--plain", "moved up 1/2 deg\\nquit\\n");
    expect_in(room, room->out, "\nMoved up 0.50 deg.\n");
    for (const char *p = room->text; *p; p++) {
        assert_true((unsigned char)*p < 0x80);
    }
}

static void the_end_of_the_words_is_not_the_end_of_the_session(void **state)
{
    struct room *room = *state;

    /* a hand turns the mount, so that the session ends by itself */
    char command[1024];
    snprintf(command, sizeof command,
             "timeout 100 %s peak --job %s --source 'sim:hut?hand=careful' --speed max --log %s "
             "--plain </dev/null >%s 2>%s",
             PEAKWARD, JOB, room->log, room->out, room->err);
    assert_int_equal(WEXITSTATUS(system(command)), 0);
    expect_in(room, room->out, "Step 2 of ");
    expect_in(room, room->out, "Locked on PTARMIGAN.");
}

#define FACE_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        FACE_TEST(json_lines_are_the_lines_of_the_log),
        FACE_TEST(json_keeps_what_is_no_record_off_standard_output),
        FACE_TEST(plain_speaks_in_clean_lines),
        FACE_TEST(plain_without_utf8_is_ascii),
        FACE_TEST(the_end_of_the_words_is_not_the_end_of_the_session),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
