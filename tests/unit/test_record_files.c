/* What a record reads and writes beside the log: fingerprints, speed tests, whole files. */
#include "expect.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#include "record/fingerprint.h"
#include "record/speed_test.h"
#include "record/whole_file.h"
#include "scratch.h"

static void a_fingerprint_is_that_of_the_standard(void **unused)
{
    /* NIST's examples to FIPS 180-4: one block, two blocks, and a million times "a"; the empty one
     * from its secure hash test vectors (SHA256ShortMsg) */
    static const struct {
        const char *text;
        size_t times;
        const char *hex;
    } rows[] = {
        {"", 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
        {"abc", 1, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
        {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 1,
         "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
        {"a", 1000000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *path = scratch_path("text");
        FILE *file = fopen(path, "wb");
        char hex[FINGERPRINT_SIZE];
        uint64_t bytes = 1;

        assert_non_null(file);
        for (size_t n = 0; n < rows[i].times; n++) {
            fputs(rows[i].text, file);
        }
        fclose(file);
        assert_int_equal(fingerprint_file(path, hex, &bytes), 0);
        assert_string_equal(hex, rows[i].hex);
        assert_int_equal(bytes, strlen(rows[i].text) * rows[i].times);
    }
}

static void what_is_no_plain_file_has_no_fingerprint(void **unused)
{
    char hex[FINGERPRINT_SIZE] = "as it was";
    uint64_t bytes = 42;

    (void)unused;
    assert_int_equal(fingerprint_file(scratch_path("none"), hex, &bytes), -ENOENT);
    assert_int_equal(fingerprint_file(scratch_dir, hex, &bytes), -EISDIR);
    assert_int_equal(mkfifo(scratch_path("pipe"), 0600), 0);
    assert_int_equal(fingerprint_file(scratch_path("pipe"), hex, &bytes), -EINVAL);
    assert_string_equal(hex, "as it was");
    assert_int_equal(bytes, 42);
}

#define START "{\"start\":{\"test_start\":{\"protocol\":\"TCP\",\"duration\":10,\"reverse\":"

static void a_speed_test_says_which_way(void **unused)
{
    static const struct {
        const char *text;
        int want;
        double down, up;
        const char *why;
    } rows[] = {
        {START "1}},\"end\":{\"sum_received\":{\"bits_per_second\":42500000.0}}}", 0, 42.5, NAN,
         ""},
        {START "0}},\"end\":{\"sum_received\":{\"bits_per_second\":8100000}}}", 0, NAN, 8.1, ""},
        {START "0}},\"end\":{\"sum_received\":{\"bits_per_second\":8e6},"
               "\"sum_received_bidir_reverse\":{\"bits_per_second\":4e7}}}",
         0, 40.0, 8.0, ""},
        {START "0}},\"end\":{\"sum_received\":{\"bits_per_second\":0}}}", 0, NAN, 0.0, ""},
        {START "0}},\"end\":{}}", -EINVAL, 0, 0, "no end.sum_received"},
        {START "0}},\"end\":{\"sum_received\":{\"bits_per_second\":-1}}}", -EINVAL, 0, 0,
         "no end.sum_received"},
        {START "0}},\"end\":{\"sum_received\":{\"bits_per_second\":\"fast\"}}}", -EINVAL, 0, 0,
         "no end.sum_received"},
        {START "0}},\"end\":{},\"error\":\"connection \\u001b[31mreset\"}", -EINVAL, 0, 0,
         "the test failed: connection ?[31mreset"},
        {"{\"end\":{\"sum_received\":{\"bits_per_second\":1}}}", -EINVAL, 0, 0, "no result"},
        {"[]", -EINVAL, 0, 0, "no result"},
        {"{\"t\":1}\n{\"t\":2}", -EINVAL, 0, 0, "line 2 is no JSON"},
        {"", -EINVAL, 0, 0, "is no JSON"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *path = scratch_write("test.json", rows[i].text, strlen(rows[i].text));
        struct speed_test test = {.down_mbps = -1.0};
        char why[RECORD_TEXT_SIZE] = "";

        assert_int_equal(speed_test_read(path, &test, why), rows[i].want);
        if (!strstr(why, rows[i].why)) {
            fail_msg("row %zu: '%s'", i, why);
        }
        expect_near(test.down_mbps, rows[i].want < 0 ? -1.0 : rows[i].down, 1e-12);
        if (rows[i].want == 0) {
            expect_near(test.up_mbps, rows[i].up, 1e-12);
        }
    }
}

static void expect_content(const char *path, const char *want)
{
    char text[64] = "";
    FILE *file = fopen(path, "rb");

    assert_non_null(file);
    assert_int_equal(fread(text, 1, sizeof text - 1, file), strlen(want));
    fclose(file);
    assert_string_equal(text, want);
}

static int count_files(void)
{
    DIR *dir = opendir(scratch_dir);
    int n = 0;

    while (readdir(dir)) {
        n++;
    }
    closedir(dir);
    return n;
}

static void a_file_is_replaced_as_a_whole(void **unused)
{
    char path[SCRATCH_PATH * 2], link[SCRATCH_PATH * 2];
    struct stat status;
    int files;

    (void)unused;
    snprintf(path, sizeof path, "%s", scratch_path("page"));
    snprintf(link, sizeof link, "%s", scratch_path("link"));
    umask(027);
    assert_int_equal(whole_file_write(path, "first", 5), 0);
    expect_content(path, "first");
    stat(path, &status);
    assert_int_equal(status.st_mode & 0777, 0640);
    files = count_files();
    chmod(path, 0604);
    assert_int_equal(whole_file_write(path, "second", 6), 0);
    expect_content(path, "second");
    stat(path, &status);
    assert_int_equal(status.st_mode & 0777, 0604); /* as it was */
    assert_int_equal(count_files(), files);        /* nothing is left beside it */

    assert_int_equal(symlink("page", link), 0);
    assert_int_equal(whole_file_write(link, "third", 5), 0);
    expect_content(path, "third"); /* the link leads there still */
    lstat(link, &status);
    assert_true(S_ISLNK(status.st_mode));
}

static void a_place_that_is_none_is_refused(void **unused)
{
    char deep[SCRATCH_PATH * 2];

    (void)unused;
    snprintf(deep, sizeof deep, "%s/none/page", scratch_dir);
    assert_int_equal(whole_file_write(deep, "x", 1), -ENOENT);
    assert_int_equal(whole_file_write(scratch_dir, "x", 1), -EISDIR);
    assert_int_equal(whole_file_write("/dev/full", "x", 1), -ENOSPC);
    assert_int_equal(whole_file_write("/dev/null", "x", 1), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_fingerprint_is_that_of_the_standard),
        cmocka_unit_test(what_is_no_plain_file_has_no_fingerprint),
        cmocka_unit_test(a_speed_test_says_which_way),
        cmocka_unit_test(a_file_is_replaced_as_a_whole),
        cmocka_unit_test(a_place_that_is_none_is_refused),
    };

    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
