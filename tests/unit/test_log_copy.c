/* A log copied byte for byte, with a record put in by its time. */
#include "expect.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "session/log_copy.h"

static char folder[] = "/tmp/copy-XXXXXX", from[64], to[64];

static int set_up(void **unused)
{
    (void)unused;
    strcpy(strrchr(folder, '-'), "-XXXXXX");
    if (!mkdtemp(folder)) {
        return -1;
    }
    snprintf(from, sizeof from, "%s/from", folder);
    snprintf(to, sizeof to, "%s/to", folder);
    return 0;
}

static int tear_down(void **unused)
{
    (void)unused;
    unlink(from);
    unlink(to);
    return rmdir(folder); /* nothing else was left behind */
}

static void put(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");

    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

static void expect_text(const char *path, const char *want)
{
    char text[4096];
    FILE *file = fopen(path, "r");

    assert_non_null(file);
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    fclose(file);
    assert_string_equal(text, want);
}

static struct record mark(double t)
{
    struct record record = {.t = t, .kind = RECORD_MARK};

    text_copy(record.mark.text, sizeof record.mark.text, "here");
    return record;
}

/* The head is not looked at; blanks, an empty line and an unfinished line stay as they are. */
#define HEAD "{\"peakward\":1}\n"
#define ONE "{\"t\":1.0, \"level\":{\"value\":5,\"unit\":\"dB\"}}\n\n"
#define TWO "{\"t\":2.0,\"lock\":{\"locked\":true}}\n"
#define ALSO_TWO "{\"t\":2.0,\"note\":{\"text\":\"t\"}}\n"
#define THREE "{\"t\":3.0,\"lock\":{\"locked\":false}}\n"
#define HALF "{\"t\":4.0,\"lo"

static void a_record_comes_behind_all_that_are_not_later(void **unused)
{
    static const struct {
        double t;
        const char *want;
    } rows[] = {
        {0.0, HEAD "{\"t\":0.0,\"mark\":{\"text\":\"here\"}}\n" ONE TWO ALSO_TWO THREE HALF},
        {1.5, HEAD ONE "{\"t\":1.5,\"mark\":{\"text\":\"here\"}}\n" TWO ALSO_TWO THREE HALF},
        {2.0, HEAD ONE TWO ALSO_TWO "{\"t\":2.0,\"mark\":{\"text\":\"here\"}}\n" THREE HALF},
        {9.0, HEAD ONE TWO ALSO_TWO THREE "{\"t\":9.0,\"mark\":{\"text\":\"here\"}}\n" HALF},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct record extra = mark(rows[i].t);
        put(from, HEAD ONE TWO ALSO_TWO THREE HALF);
        assert_int_equal(log_copy(from, to, &extra), 0);
        expect_text(to, rows[i].want);
        expect_text(from, HEAD ONE TWO ALSO_TWO THREE HALF);
        assert_int_equal(log_insert(from, &extra), 0);
        expect_text(from, rows[i].want);
        unlink(to);
    }
}

static void at_the_end_it_gets_a_line_of_its_own(void **unused)
{
    struct record extra = mark(9.0);

    (void)unused;
    put(from, HEAD ONE);
    assert_int_equal(log_copy(from, to, &extra), 0);
    expect_text(to, HEAD ONE "{\"t\":9.0,\"mark\":{\"text\":\"here\"}}\n");
}

static void without_one_it_is_the_same_to_the_byte(void **unused)
{
    (void)unused;
    put(from, HEAD "no record at all\n" HALF);
    assert_int_equal(log_copy(from, to, NULL), 0);
    expect_text(to, HEAD "no record at all\n" HALF);
}

static void nothing_is_overwritten_and_nothing_half_done_is_left(void **unused)
{
    struct record extra = mark(9.0);

    (void)unused;
    put(from, HEAD ONE "no record at all\n");
    put(to, "precious");
    assert_int_equal(log_copy(from, to, NULL), -EEXIST);
    expect_text(to, "precious");
    unlink(to);
    assert_int_equal(log_copy(from, to, &extra), -EINVAL);
    assert_int_equal(access(to, F_OK), -1);
    assert_int_equal(log_insert(from, &extra), -EINVAL);
    expect_text(from, HEAD ONE "no record at all\n");
    unlink(from);
    assert_int_equal(log_copy(from, to, NULL), -ENOENT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_record_comes_behind_all_that_are_not_later, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(at_the_end_it_gets_a_line_of_its_own, set_up, tear_down),
        cmocka_unit_test_setup_teardown(without_one_it_is_the_same_to_the_byte, set_up, tear_down),
        cmocka_unit_test_setup_teardown(nothing_is_overwritten_and_nothing_half_done_is_left,
                                        set_up, tear_down),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
