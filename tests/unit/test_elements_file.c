/* Expected values: the keywords of CCSDS 502.0-B, section 4. All satellites are invented. */
#include "expect.h"

#include <errno.h>
#include <string.h>

#include "job/elements_file.h"
#include "scratch.h"

#define REST                                                                                       \
    "\"CENTER_NAME\": \"EARTH\", \"REF_FRAME\": \"TEME\", \"TIME_SYSTEM\": \"UTC\",\n"             \
    "\"MEAN_ELEMENT_THEORY\": \"SGP4\", \"MEAN_MOTION\": 1.00271, \"ECCENTRICITY\": 4e-4,\n"       \
    "\"INCLINATION\": 3.1, \"RA_OF_ASC_NODE\": 80.2, \"ARG_OF_PERICENTER\": 120,\n"                \
    "\"BSTAR\": 0, \"ELEMENT_SET_NO\": 99, \"COMMENT\": [\"made up\"], \"REV_AT_EPOCH\": null"
#define FIRST                                                                                      \
    "{\"OBJECT_NAME\": \"PTARMIGAN 1\", \"OBJECT_ID\": null, \"NORAD_CAT_ID\": 99001,\n"           \
    "\"EPOCH\": \"2026-11-25T12:00:00\", \"MEAN_ANOMALY\": \"240.0\", " REST "}"
#define SECOND                                                                                     \
    "{\"OBJECT_NAME\": \"SNOWCOCK\", \"NORAD_CAT_ID\": \"99002\",\n"                               \
    "\"EPOCH\": \"2026-11-25T13:00:00\", \"MEAN_ANOMALY\": 17.25, " REST "}"
#define PAIR                                                                                       \
    "1 99001U 26001A   26329.50000000 -.00000200  00000+0  00000+0 0   997\n"                      \
    "2 99001   3.1000  80.2000 0004000 120.0000 240.0000  1.00271000  1235\n"

static struct elements got;
static char why[JOB_ERROR_SIZE];

static int read_text(const char *text, const char *wanted)
{
    return elements_file_read_text(text, strlen(text), wanted, &got, why);
}

static void one_object_is_read_by_its_keys(void **state)
{
    (void)state;
    assert_int_equal(read_text(" \n" FIRST, NULL), 0);
    assert_string_equal(got.name, "PTARMIGAN 1");
    assert_string_equal(got.catalogue, "99001");
    assert_string_equal(got.designator, "");
    expect_near(got.epoch_s, 1795608000.0, 0.0);
    expect_near(got.mean_motion_rev_day, 1.00271, 0.0);
    expect_near(got.eccentricity, 0.0004, 0.0);
    expect_near(got.inclination_deg, 3.1, 0.0);
    expect_near(got.node_deg, 80.2, 0.0);
    expect_near(got.perigee_deg, 120.0, 0.0);
    expect_near(got.anomaly_deg, 240.0, 0.0);
}

static void an_array_holds_one_that_is_wanted(void **state)
{
    (void)state;
    assert_int_equal(read_text("[" FIRST "," SECOND "]", "99002"), 0);
    assert_string_equal(got.name, "SNOWCOCK");
    expect_near(got.anomaly_deg, 17.25, 0.0);
    assert_int_equal(read_text("[" FIRST "," SECOND "]", "snowcock"), 0);
    assert_int_equal(read_text("[" FIRST "," SECOND "]", NULL), -ENOTUNIQ);
    assert_int_equal(read_text("[" FIRST "," SECOND "]", "99003"), -ENOENT);
    assert_int_equal(read_text("[]", NULL), -ENOENT);
}

static void what_is_wrong_is_told_with_its_key(void **state)
{
    static const struct {
        const char *text, *why;
    } rows[] = {
        {"{\"EPOCH\": \"2026-11-25\"}", "CENTER_NAME is missing"},
        {"{\"EPOCH\": 7}", "EPOCH: \"7\": allowed is a time such as 2026-11-25T14:32:06.5"},
        {"{\"INCLINATION\": [3]}",
         "INCLINATION: \"(neither text nor number)\": allowed is a number from 0 to 180"},
        {"{\"INCLINATION\": 180.5}", "INCLINATION: \"180.5\": allowed is a number from 0 to 180"},
        {"[" FIRST ", {\"INCLINATION\": -1}]",
         "set 2 of 2: INCLINATION: \"-1\": allowed is a number from 0 to 180"},
        {"[7]", "set 1 of 1: not an object of keys and values"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(read_text(rows[i].text, NULL), -EINVAL);
        assert_string_equal(why, rows[i].why);
    }
    /* the library's words, after our own */
    assert_int_equal(read_text("{\"EPOCH\": 7,\n \"EPOCH\": 8}", NULL), -EINVAL);
    assert_int_equal(strncmp(why, "line 2: not JSON: ", 18), 0);
    assert_int_equal(read_text("{\"EPOCH\"", NULL), -EINVAL);
    assert_int_equal(strncmp(why, "line 1: not JSON: ", 18), 0);
}

static void a_file_is_what_it_begins_like(void **state)
{
    (void)state;
    assert_int_equal(elements_file_read(scratch_write("a", PAIR, strlen(PAIR)), NULL, &got, why),
                     0);
    assert_string_equal(got.designator, "26001A");
    assert_int_equal(elements_file_read(scratch_write("b", FIRST, strlen(FIRST)), NULL, &got, why),
                     0);
    assert_string_equal(got.name, "PTARMIGAN 1");
}

static void an_error_names_the_file(void **state)
{
    char want[2 * SCRATCH_PATH + 100];
    const char *path = scratch_path("none");

    (void)state;
    assert_int_equal(elements_file_read(path, NULL, &got, why), -ENOENT);
    snprintf(want, sizeof want, "%s: can't be read: No such file or directory", path);
    assert_string_equal(why, want);
    path = scratch_write("c", PAIR, strlen(PAIR) - 40);
    assert_int_equal(elements_file_read(path, NULL, &got, why), -EINVAL);
    snprintf(want, sizeof want, "%s: line 2: line 2 of a pair has 69 characters, this one 30",
             path);
    assert_string_equal(why, want);
    path = scratch_write("d", "PTAR\0MIGAN", 10);
    assert_int_equal(elements_file_read(path, NULL, &got, why), -EINVAL);
    snprintf(want, sizeof want, "%s: a NUL in it: this is no text", path);
    assert_string_equal(why, want);
    assert_int_equal(elements_file_read(scratch_dir, NULL, &got, why), -EISDIR);
}

/* Ten thousand pairs, several times the first buffer. */
static void a_long_list_is_read_to_its_end(void **state)
{
    static char list[10000 * sizeof PAIR];
    const size_t n = sizeof PAIR - 1;

    (void)state;
    for (size_t i = 0; i < 9999; i++) {
        memcpy(list + i * n, PAIR, n);
    }
    assert_int_equal(elements_file_read(scratch_write("e", list, 9999 * n), "", &got, why), 0);
    assert_int_equal(elements_file_read(scratch_write("e", list, 9999 * n - 1), "", &got, why), 0);
    assert_int_equal(elements_file_read(scratch_write("e", list, 9999 * n - 2), "", &got, why),
                     -EINVAL);
    assert_non_null(strstr(why, "line 19998: "));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_object_is_read_by_its_keys),
        cmocka_unit_test(an_array_holds_one_that_is_wanted),
        cmocka_unit_test(what_is_wrong_is_told_with_its_key),
        cmocka_unit_test(a_file_is_what_it_begins_like),
        cmocka_unit_test(an_error_names_the_file),
        cmocka_unit_test(a_long_list_is_read_to_its_end),
    };
    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
