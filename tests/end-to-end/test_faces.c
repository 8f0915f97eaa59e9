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

/* A session that a simulated hand has gone through. */
static void record_session(struct room *room)
{
    char command[1024];

    snprintf(command, sizeof command,
             "timeout 100 %s peak --job %s --source 'sim:hut?hand=careful' --speed max --log %s "
             "--plain </dev/null >%s 2>%s",
             PEAKWARD, JOB, room->log, room->out, room->err);
    assert_int_equal(WEXITSTATUS(system(command)), 0);
}

/* See it again at its end. */
static void ask_at_the_end(struct room *room, const char *face)
{
    char command[1024];

    snprintf(command, sizeof command,
             "printf 'seek end\\nnow\\nquit\\n' | LC_ALL=C.UTF-8 %s replay %s --paused %s >%s 2>%s",
             PEAKWARD, room->log, face, room->out, room->err);
    assert_int_equal(WEXITSTATUS(system(command)), 0);
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
    expect_in(room, room->out, "'dnoe' is not understood: help tells all words");
    expect_in(room, room->out, "\nMoved up 0.50\u00b0.\n");
    expect_in(room, room->out, "\nNote: ?[2J x.\n");
    for (const char *p = room->text; *p; p++) {
        assert_true((unsigned char)*p >= 0x20 || *p == '\n');
    }
}

/* What a screen shows all the time can be asked for: in sentences, and as an object. */
static void how_all_stands_is_told_when_asked(void **state)
{
    static const char *const sentences[] = {
        "\nLevel 1",
        " dB, steady, ",
        "\nLocked on PTARMIGAN: the target, Ptarmigan 1.\n",
        ", target 163.2", /* the newest fix decides on the next digit */
        "\u00b0; at its peak.\nElevation ",
        ", target 35.10\u00b0; at its peak.\n",
        ", target -11.48\u00b0; well set.\n",
        "\nOn a compass, away from steel: 159.4\u00b0 (declination 3.9\u00b0 east).\n",
        "\nElevation: centre 35.",
        "-3 dB width 2.",
        "\nThe azimuth reads 6.",
        "\nStep 17 of 17: close, 0:",
        "\nSim up, 7 a second.\nFix 3D, 9 satellites, \u00b14 m.\n",
        " note: simulated mount: ",
    };
    static const char *const members[] = {
        "\n{\"now\":{\"t\":",
        "\"level\":{\"value\":",
        "\"azimuth\":{\"target_deg\":163.2",
        "\"aim\":\"peaked\",\"to_go_deg\":0",
        "\"azimuth_magnetic_deg\":159.39",
        "\"peak\":{\"axis\":\"elevation\",\"centre_deg\":35.",
        "\"arc\":{\"bias_deg\":6.",
        "\"step\":{\"name\":\"close\",\"number\":17,\"count\":17,",
        "\"sources\":[{\"name\":\"sim\",\"rate\":7.0,\"bad\":0,",
    };
    struct room *room = *state;

    record_session(room);
    ask_at_the_end(room, "--plain");
    for (size_t i = 0; i < sizeof sentences / sizeof *sentences; i++) {
        expect_in(room, room->out, sentences[i]);
    }
    ask_at_the_end(room, "--json");
    for (size_t i = 0; i < sizeof members / sizeof *members; i++) {
        expect_in(room, room->out, members[i]);
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
    record_session(room);
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
        FACE_TEST(how_all_stands_is_told_when_asked),
        FACE_TEST(the_end_of_the_words_is_not_the_end_of_the_session),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
