#include "expect.h"

#include <errno.h>
#include <string.h>

#include "job/cut_file.h"
#include "scratch.h"

static struct radiation_cut cut;
static char why[JOB_ERROR_SIZE];

static int read_text(const char *text)
{
    return cut_file_read_text("dish.txt", text, &cut, why);
}

static void readings_are_parted_by_commas_or_blanks(void **state)
{
    (void)state;
    assert_int_equal(read_text("# degrees, dBi\r\n"
                               "\n"
                               " -2.0 ,\t26.0\r\n"
                               "-1\t36.8\n"
                               "; the peak\n"
                               "0,40\n"
                               "1 37.2\n"
                               "2,25.5"),
                     0);
    assert_int_equal(cut.count, 5);
    expect_near(cut.angle_deg[0], -2.0, 0);
    expect_near(cut.level_db[0], -14.0, 1e-12);
    expect_near(cut.level_db[2], 0.0, 0);
    expect_near(cut.level_db[4], -14.5, 1e-12);
}

static void what_is_wrong_is_told_with_its_line(void **state)
{
    static const struct {
        const char *text, *why;
    } rows[] = {
        {"-2 -9\n0 0\nnonsense\n", "dish.txt:3: allowed are degrees and dB"},
        {"-2 -9\n0 zero\n2 -9\n", "dish.txt:2: allowed are degrees from -180"},
        {"-2 -9\n0 0 1\n2 -9\n", "dish.txt:2: allowed are degrees from -180"},
        {"-2 -9\n0,,0\n", "dish.txt:2: allowed are degrees from -180"},
        {"-2 -9\n0 0\n0 -1\n", "dish.txt:3: the angle is not greater than the one before"},
        {"181 0\n", "dish.txt:1: allowed are degrees from -180"},
        {"-2 -9\n0 0\n", "dish.txt: fewer than 3 readings"},
        {"", "dish.txt: fewer than 3 readings"},
        {"-2 -9\n0 0\n2 -2\n", "dish.txt: the level does not fall by 3 dB to both sides"},
    };

    (void)state;
    cut.count = 77;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(read_text(rows[i].text), -EINVAL);
        if (strncmp(why, rows[i].why, strlen(rows[i].why)) != 0) {
            fail_msg("\"%s\", want \"%s\"", why, rows[i].why);
        }
        assert_int_equal(cut.count, 77);
    }
}

static void lines_and_files_have_an_end(void **state)
{
    static char text[40000];
    size_t n = 0;

    (void)state;
    for (int i = 0; i <= RADIATION_POINTS; i++) {
        n += (size_t)snprintf(text + n, sizeof text - n, "%.3f -%d\n", i * 0.01, i % 100);
    }
    assert_int_equal(read_text(text), -EINVAL);
    assert_string_equal(why, "dish.txt:1025: one reading too many: allowed are at most 1024");
    memset(text, ' ', 200);
    text[200] = '\0';
    assert_int_equal(read_text(text), -EINVAL);
    assert_string_equal(why, "dish.txt:1: the line is too long");
}

static void files_are_read_and_missed(void **state)
{
    static const char text[] = "-2 -9\n0 0\n2 -9\n", nul[] = "-2 -9\n0 0\n\0002 -9\n";

    (void)state;
    assert_int_equal(cut_file_read(scratch_write("a", text, sizeof text - 1), &cut, why), 0);
    assert_int_equal(cut.count, 3);
    assert_int_equal(cut_file_read(scratch_write("b", nul, sizeof nul - 1), &cut, why), -EINVAL);
    assert_non_null(strstr(why, "there is a NUL in it"));
    assert_int_equal(cut_file_read(scratch_path("none"), &cut, why), -ENOENT);
    assert_non_null(strstr(why, "none"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_are_parted_by_commas_or_blanks),
        cmocka_unit_test(what_is_wrong_is_told_with_its_line),
        cmocka_unit_test(lines_and_files_have_an_end),
        cmocka_unit_test(files_are_read_and_missed),
    };

    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
