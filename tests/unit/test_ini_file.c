#include "expect.h"

#include <errno.h>
#include <stdbool.h>

#include "job/ini_file.h"
#include "scratch.h"

/* Everything that was read, as "section|key|value\n" lines; a key "bad" is refused. */
struct heard {
    char text[4096];
};

static int hear(void *self, int line, const char *section, const char *key, const char *value,
                char why[INI_FILE_WHY])
{
    struct heard *heard = self;
    size_t n = strlen(heard->text);

    (void)line;
    if (strcmp(key, "bad") == 0) {
        snprintf(why, INI_FILE_WHY, "refused");
        return -EINVAL;
    }
    snprintf(heard->text + n, sizeof heard->text - n, "%s|%s|%s\n", section, key, value);
    return 0;
}

static void settings_are_read_as_they_are_written(void **state)
{
    static const struct {
        const char *text, *want;
    } rows[] = {
        {"", ""},
        {"; a comment\n# another\n\n", ""},
        {"[a]\nx = 1\n", "a|x|1\n"},
        {"[a]\nx=1", "a|x|1\n"},                 /* no newline at the end */
        {"[a]\r\nx = 1\r\n", "a|x|1\n"},         /* from another system */
        {"[a]\r\nx = 1\r", "a|x|1\n"},           /* cut between the two */
        {"\xef\xbb\xbf[a]\nx = 1\n", "a|x|1\n"}, /* byte order mark */
        {"\xef\xbb\xbf; hm\n[a]\nx=1", "a|x|1\n"},
        {"[a]\nx = 1 ; why\n", "a|x|1\n"},   /* comment behind a value */
        {"[a]\nx = 1;2\n", "a|x|1;2\n"},     /* no blank: part of the value */
        {"[a]\nx = 1 # 2\n", "a|x|1 # 2\n"}, /* # begins whole lines only */
        {"[a] ; why\nx = 1\n", "a|x|1\n"},
        {"  [a]\n\tx = 1\n  y = 2\n", "a|x|1\na|y|2\n"}, /* indented: no continuation */
        {"[ meter \t finder ]\nx = 1\n", "meter finder|x|1\n"},
        {"[a]\nx\t=\t1\t2\n", "a|x|1 2\n"},
        {"[a]\nx =\n", "a|x|\n"},
        {"[a]\nx = b = c\n", "a|x|b = c\n"},
        {"[a]\nx : 1\n", "a|x|1\n"},
        {"[a]\nx = \xc2\xb5V \xe2\x86\x92\n", "a|x|\xc2\xb5V \xe2\x86\x92\n"},
        {"[a]\nx = 1\n[b]\ny = 2\n[a]\nz = 3\n", "a|x|1\nb|y|2\na|z|3\n"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct heard heard = {""};
        char why[INI_FILE_WHY] = "";
        const char *path = scratch_write("good.ini", rows[i].text, strlen(rows[i].text));
        int r = ini_file_read(path, hear, &heard, why);
        assert_string_equal(why, "");
        assert_int_equal(r, 0);
        assert_string_equal(heard.text, rows[i].want);
        memset(&heard, 0, sizeof heard);
        assert_int_equal(
            ini_file_read_text("text", rows[i].text, strlen(rows[i].text), hear, &heard, why), 0);
        assert_string_equal(heard.text, rows[i].want);
    }
}

#define LONG49 "neighbour 123456789012345678901234567890123456789"

static void what_is_wrong_is_named_with_its_line(void **state)
{
    static const struct {
        const char *text;
        size_t n; /* 0 = up to the NUL */
        const char *want;
    } rows[] = {
        {"x = 1\n", 0, "t:1: x stands before the first [section]"},
        {"[a]\nx\n", 0, "t:2: neither [section] nor key = value nor a ; comment"},
        {"\n\n[a\nx = 1\n", 0, "t:3: neither [section] nor key = value nor a ; comment"},
        {"[a]\nbad = 1\nalso bad\n", 0, "t:2: refused"},
        {"[a]\nalso wrong\nbad = 1\n", 0, "t:2: neither [section] nor key = value nor a ; comment"},
        {"[a]\nx = 1\n\nbad = 2", 0, "t:4: refused"},
        {"[a]\r\n\r\nbad = 2\r\n", 0, "t:3: refused"},
        {"[a] x = 1\n", 0, "t:1: nothing may follow a [section] on its line"},
        {"[" LONG49 "0]\nx = 1\n", 0,
         "t:1: the section's name is too long: allowed are at most 49 bytes"},
        {"[a]\n\0x = 1\n", 12, "t:2: a NUL byte: this is no text file"},
        {"[a]\nx = 1\0", 10, "t:2: a NUL byte: this is no text file"},
        {"[a]\nx = 1\0 2\nbad = 1\n", 21, "t:2: a NUL byte: this is no text file"},
        {"[a]\rx = 1\r", 0, "t:1: a carriage return within the line"},
        {"[a]\nx = \xff\xfe\n", 0, "t:2: bytes that are no UTF-8 text"},
        {"[a]\nx = \xc3\n", 0, "t:2: bytes that are no UTF-8 text"},
        {"[a]\nx = \033[2J\n", 0, "t:2: a control character"},
        {"[a]\nx = \xc2\x9b"
         "2J\n",
         0, "t:2: a control character"},
        {"\x7f"
         "ELF\n",
         0, "t:1: a control character"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        size_t n = rows[i].n ? rows[i].n : strlen(rows[i].text);
        struct heard heard = {""};
        char why[INI_FILE_WHY] = "";
        assert_int_equal(ini_file_read_text("t", rows[i].text, n, hear, &heard, why), -EINVAL);
        assert_string_equal(why, rows[i].want);
    }
}

static void the_longest_section_name_is_whole(void **state)
{
    struct heard heard = {""};
    char why[INI_FILE_WHY] = "";
    static const char text[] = "[" LONG49 "]\nx = 1\n";

    (void)state;
    assert_int_equal(ini_file_read_text("t", text, strlen(text), hear, &heard, why), 0);
    assert_string_equal(heard.text, LONG49 "|x|1\n");
}

static void a_line_is_whole_or_refused_never_cut(void **state)
{
    (void)state;
    for (size_t n = 150; n < 700; n++) {
        char text[1024], want[1024], why[INI_FILE_WHY] = "";
        struct heard heard = {""};
        int used = snprintf(text, sizeof text, "[a]\nx = ");
        int r;

        memset(text + used, 'v', n);
        snprintf(text + used + n, sizeof text - (size_t)used - n, "\n[a]\ny = 2\n");
        r = ini_file_read_text("t", text, strlen(text), hear, &heard, why);
        if (r == 0) {
            snprintf(want, sizeof want, "a|x|%.*s\na|y|2\n", (int)n, text + used);
            assert_string_equal(heard.text, want);
            continue;
        }
        assert_int_equal(r, -EINVAL);
        assert_true(n > 190);
        snprintf(want, sizeof want, "t:2: the line has %zu bytes: allowed are at most ", n + 4);
        assert_memory_equal(why, want, strlen(want));
    }
}

static void a_file_that_can_t_be_read_says_why(void **state)
{
    struct heard heard = {""};
    char why[INI_FILE_WHY], want[2 * INI_FILE_WHY];
    const char *path = scratch_path("nowhere.ini");

    (void)state;
    assert_int_equal(ini_file_read(path, hear, &heard, why), -ENOENT);
    snprintf(want, sizeof want, "%s: can't be read: No such file or directory", path);
    assert_string_equal(why, want);

    assert_int_equal(ini_file_read(scratch_dir, hear, &heard, why), -EISDIR);
    snprintf(want, sizeof want, "%s: can't be read: Is a directory", scratch_dir);
    assert_string_equal(why, want);

    assert_int_equal(ini_file_read("/dev/zero", hear, &heard, why), -EFBIG);
    assert_string_equal(why, "/dev/zero: can't be read: more than 256 KiB, this is no file of "
                             "settings");
}

static void a_file_that_may_not_be_read_says_why(void **state)
{
    struct heard heard = {""};
    char why[INI_FILE_WHY], want[2 * INI_FILE_WHY];
    const char *path = scratch_write("secret.ini", "[a]\n", 4);
    bool root = geteuid() == 0;

    (void)state;
    assert_int_equal(chmod(path, 0), 0);
    assert_int_equal(chmod(scratch_dir, 0755), 0);
    if (root && seteuid(65534) < 0) { /* root may read everything */
        skip();
    }
    int r = ini_file_read(path, hear, &heard, why);
    if (root) {
        assert_int_equal(seteuid(0), 0);
    }
    assert_int_equal(r, -EACCES);
    snprintf(want, sizeof want, "%s: can't be read: Permission denied", path);
    assert_string_equal(why, want);
}

static void a_pipe_is_as_good_as_a_file(void **state)
{
    struct heard heard = {""};
    char path[64], why[INI_FILE_WHY] = "";
    int ends[2];

    (void)state;
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "[a]\nx = 1\n", 10), 10);
    close(ends[1]);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    int r = ini_file_read(path, hear, &heard, why);
    close(ends[0]);
    assert_int_equal(r, 0);
    assert_string_equal(heard.text, "a|x|1\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(settings_are_read_as_they_are_written),
        cmocka_unit_test(what_is_wrong_is_named_with_its_line),
        cmocka_unit_test(the_longest_section_name_is_whole),
        cmocka_unit_test(a_line_is_whole_or_refused_never_cut),
        cmocka_unit_test(a_file_that_can_t_be_read_says_why),
        cmocka_unit_test(a_file_that_may_not_be_read_says_why),
        cmocka_unit_test(a_pipe_is_as_good_as_a_file),
    };
    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
