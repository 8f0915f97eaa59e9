/* Logs that were cut, joined, mailed about or made up: read as far as they go, and what is wrong is
 * told by its line. What is JSON and what is not: RFC 8259. */
#include "expect.h"

#include <errno.h>

#include "coach/procedure.h"
#include "scratch.h"
#include "session/log.h"

#define HEAD                                                                                       \
    "{\"peakward\":1,\"job\":[[\"target\",\"longitude\",\"22.4E\"]],\"procedure\":{\"name\":"      \
    "\"p\","                                                                                       \
    "\"steps\":[[\"step a\",\"do\",\"fix\"],[\"step b\",\"do\",\"record\"]]}}\n"
#define NOTE(t) "{\"t\":" t ",\"note\":{\"text\":\"wind\"}}\n"

static struct job job;
static struct procedure procedure;

/* How many records are read before the end or before what is wrong ("" = the end). */
static int read_all(const char *path, char why[JOB_ERROR_SIZE])
{
    struct log_reader reader;
    struct record record;
    int read = 0, r;

    why[0] = '\0';
    r = log_reader_open(&reader, path, &job, &procedure, why);
    if (r < 0) {
        return -1;
    }
    while ((r = log_reader_next(&reader, &record, why)) == 1) {
        read++;
    }
    log_reader_close(&reader);
    assert_int_equal(r < 0, why[0] != '\0');
    return read;
}

static void what_is_wrong_is_told_by_its_line(void **state)
{
    static const struct {
        const char *bytes;
        size_t size; /* 0 = to the first NUL */
        int records; /* -1 = the head is refused */
        const char *why;
    } rows[] = {
        {HEAD NOTE("0.0") NOTE("1.0"), 0, 2, ""},
        {HEAD, 0, 0, ""},
        {HEAD NOTE("0.0") "{\"t\":1.0,\"no", 0, 1, ""},
        {HEAD "\n\n" NOTE("0.0") "\n" NOTE("1"), 0, 2, ""},
        /* mailed from elsewhere: carriage returns, a byte order mark */
        {"\xef\xbb\xbf" HEAD NOTE("0.0"), 0, 1, ""},
        {HEAD "{\"t\":0,\"note\":{}}\r\n\r\n{\"t\":1,\"note\":{}}\r\n", 0, 2, ""},
        {HEAD "\xef\xbb\xbf" NOTE("0.0"), 0, 0, "line 2: not a JSON object"},
        /* two logs in one file */
        {HEAD NOTE("0.0") HEAD NOTE("1.0"), 0, 1, "line 3: a second head"},
        {HEAD NOTE("2.0") NOTE("1.999"), 0, 1, "line 3: time runs backward"},
        {HEAD NOTE("1e999"), 0, 0, "line 2: not a JSON object: "},
        {HEAD NOTE("-1"), 0, 0, "line 2: t is missing or negative"},
        {HEAD NOTE("2e9"), 0, 0, "line 2: t is beyond"},
        {HEAD NOTE("\"1\""), 0, 0, "line 2: t is missing or negative"},
        {HEAD "{\"t\":1,\"level\":{\"value\":-1e999,\"unit\":\"dB\"}}\n", 0, 0,
         "line 2: not a JSON"},
        {HEAD "{\"t\":1,\"level\":{\"value\":-1e11,\"unit\":\"dB\"}}\n", 0, 0,
         "line 2: a level is beyond"},
        {HEAD "{\"t\":1,\"level\":{\"value\":NaN,\"unit\":\"dB\"}}\n", 0, 0, "line 2: not a JSON"},
        {HEAD "{\"t\":1,\"t\":2,\"note\":{}}\n", 0, 0, "line 2: not a JSON object: a key is given twice (column "},
        {HEAD "{\"t\":1,\"note\":{\"text\":\"\xff\"}}\n", 0, 0, "line 2: not a JSON object: "},
        {HEAD "\n" NOTE("1") "\x1b[2J\n", 0, 1, "line 4: not a JSON object: "},
        {HEAD "[]\n", 0, 0, "line 2: not a JSON object"},
        {HEAD "{\"t\":1,\"dish\":{}}\n", 0, 0, "line 2: no record of a known kind"},
        /* a NUL is no end */
        {HEAD NOTE("1") "{\"t\":2,\"note\":{}}\0\n", sizeof(HEAD NOTE("1")) + 19, 1, "line 3: not"},
        {HEAD NOTE("1") "\0\0\0\0", sizeof(HEAD NOTE("1")) + 3, 1, ""},
        /* heads */
        {"", 0, -1, ":1: the file is empty"},
        {"\n", 0, -1, ":1: this is not a session log"},
        {"{\"peakward\":1", 0, -1, ":1: the file is empty or has no whole line"},
        {"{\"peakward\":2,\"job\":[]}\n", 0, -1, ":1: this log is of another version"},
        {"{\"peakward\":\"1\"}\n", 0, -1, ":1: this is not a session log"},
        {"{\"peakward\":1,\"job\":[]}\n", 0, -1, ":1: there is no [step NAME]"},
        {"{\"peakward\":1,\"job\":[[\"target\",\"longitude\",\"999\"]]}\n", 0, -1, ":1: longitude"},
        {"{\"peakward\":1,\"job\":[[\"target\",\"longitude\"]]}\n", 0, -1, ":1: a setting"},
        {NOTE("1"), 0, -1, ":1: this is not a session log"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        size_t size = rows[i].size > 0 ? rows[i].size : strlen(rows[i].bytes);
        char why[JOB_ERROR_SIZE];
        int read = read_all(scratch_write("log", rows[i].bytes, size), why);

        if (read != rows[i].records || !strstr(why, rows[i].why) ||
            (why[0] != '\0') != (rows[i].why[0] != '\0') || strchr(why, 0x1b)) {
            fail_msg("row %zu: %d records, %s", i, read, why);
        }
    }
}

static void a_log_cut_anywhere_is_read_up_to_there(void **state)
{
    static const char whole[] = HEAD NOTE("0.0") NOTE("1.0") NOTE("2.0");

    (void)state;
    for (size_t size = 0; size < sizeof whole; size++) {
        char why[JOB_ERROR_SIZE];
        int lines = 0, read = read_all(scratch_write("log", whole, size), why);

        for (size_t i = 0; i < size; i++) {
            lines += whole[i] == '\n';
        }
        assert_int_equal(read, lines - 1);
        assert_int_equal(why[0] != '\0', lines == 0);
    }
}

/* A file whose line 2 is of n bytes; gives them back. */
static const char *write_long_line(size_t n, char **ret_bytes)
{
    static const char before[] = HEAD "{\"t\":1,\"note\":{\"text\":\"",
                      after[] = "\"}}\n" NOTE("2");
    size_t body = n - (sizeof before - sizeof HEAD) - 3;
    char *bytes = malloc(sizeof before + body + sizeof after);

    assert_non_null(bytes);
    memcpy(bytes, before, sizeof before - 1);
    memset(bytes + sizeof before - 1, 'x', body);
    memcpy(bytes + sizeof before - 1 + body, after, sizeof after - 1);
    *ret_bytes = bytes;
    return scratch_write("log", bytes, sizeof before + body + sizeof after - 2);
}

static void a_line_without_an_end_in_sight_is_refused(void **state)
{
    static const struct {
        size_t size;
        int records;
        const char *why;
    } rows[] = {
        {65536, 2, ""},
        {65537, 0, "line 2: longer than 65536 bytes"},
        {131072, 0, "line 2: longer than 65536 bytes"},
        {3 << 20, 0, "line 2: longer than 65536 bytes"},
    };
    char why[JOB_ERROR_SIZE], *bytes;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(read_all(write_long_line(rows[i].size, &bytes), why), rows[i].records);
        assert_string_equal(why, rows[i].why);
        free(bytes);
    }
    bytes = calloc(1, 1 << 20);
    assert_int_equal(read_all(scratch_write("log", bytes, 1 << 20), why), -1);
    assert_non_null(strstr(why, ":1: longer than 65536 bytes"));
    free(bytes);
}

static void a_log_longer_than_the_room_is_read_whole(void **state)
{
    enum { RECORDS = 20000 };
    const char *path = scratch_path("long");
    FILE *file = fopen(path, "w");
    char why[JOB_ERROR_SIZE];

    (void)state;
    fputs(HEAD, file);
    for (int i = 0; i < RECORDS; i++) {
        fprintf(file, "{\"t\":%d.%d,\"note\":{\"text\":\"%.*s\"}}\n", i / 10, i % 10, i % 97,
                "0123456789012345678901234567890123456789012345678901234567890123456789012345678901"
                "234567890123456789");
    }
    fclose(file);
    assert_int_equal(read_all(path, why), RECORDS);
}

static void a_file_that_cannot_be_read_is_said(void **state)
{
    char why[JOB_ERROR_SIZE];

    (void)state;
    assert_int_equal(read_all(scratch_path("none"), why), -1);
    assert_non_null(strstr(why, strerror(ENOENT)));
    assert_int_equal(read_all(scratch_dir, why), -1);
    assert_non_null(strstr(why, strerror(EISDIR)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_wrong_is_told_by_its_line),
        cmocka_unit_test(a_log_cut_anywhere_is_read_up_to_there),
        cmocka_unit_test(a_line_without_an_end_in_sight_is_refused),
        cmocka_unit_test(a_log_longer_than_the_room_is_read_whole),
        cmocka_unit_test(a_file_that_cannot_be_read_is_said),
    };
    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
