#include "expect.h"

#include <errno.h>
#include <stdbool.h>

#include "job/job.h"
#include "scratch.h"
#include "source/pattern.h"

static struct job job;

/* A kit file where the user keeps one, and a directory for job files. */
static int begin(void **state)
{
    char path[2 * SCRATCH_PATH];
    static const char kit[] = "; what is in the van\n"
                              "[antenna small]\n"
                              "kind = dish\n"
                              "diameter = 0.75\n"
                              "frequency = 11.7\n"
                              "[meter old]\n"
                              "baud = 4800\n"
                              "unit = dBm\n"
                              "[meter broken]\n"
                              "baud = fast\n"
                              "[meter nested]\n"
                              "kit = old\n";

    if (scratch_begin(state) < 0) {
        return -1;
    }
    snprintf(path, sizeof path, "%s/peakward", scratch_dir);
    mkdir(path, 0755);
    scratch_write("peakward/kit", kit, strlen(kit));
    return setenv("XDG_CONFIG_HOME", scratch_dir, 1);
}

static int end(void **state)
{
    unlink(scratch_path("peakward/kit"));
    return scratch_end(state);
}

static int read_text(const char *text, char why[JOB_ERROR_SIZE])
{
    const char *path = scratch_write("t.job", text, strlen(text));

    why[0] = '\0';
    job_init(&job);
    return job_read(&job, path, why);
}

static void an_error_names_file_and_line(void **state)
{
    static const struct {
        const char *text, *want; /* behind the path */
    } rows[] = {
        {"[antenna]\nkind = dish\ndiameter = 0,75\n",
         ":3: diameter = 0,75: allowed is a number from 0.05 to 40"},
        {"[antenna]\n\n; hm\nkind = horn", ":4: kind = horn: allowed is dish or panel"},
        {"lat = 3\n", ":1: lat stands before the first [section]"},
        {"[meter finder]\nbuad = 9600\n",
         ":2: buad = 9600: [meter] has no such key: is baud meant?"},
        {"[coach]\nprocedure\n", ":2: neither [section] nor key = value nor a ; comment"},
        {"[site]\nkit = small\n", ":2: kit = small: [site] has no such key: allowed are name lat "
                                  "lon height"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char why[JOB_ERROR_SIZE];
        assert_int_equal(read_text(rows[i].text, why), -EINVAL);
        assert_memory_equal(why, scratch_path("t.job"), strlen(scratch_path("t.job")));
        assert_string_equal(why + strlen(scratch_path("t.job")), rows[i].want);
    }
}

static void the_longest_value_of_a_file_is_whole(void **state)
{
    char text[400], pattern[JOB_TEXT_SIZE], why[JOB_ERROR_SIZE];

    (void)state;
    memset(pattern, 'x', sizeof pattern - 1);
    pattern[sizeof pattern - 1] = '\0';
    snprintf(text, sizeof text, "[meter finder]\npattern = %s\n", pattern);
    assert_int_equal(read_text(text, why), 0);
    assert_string_equal(job.meters[0].pattern, pattern);
}

static void a_kit_gives_what_the_job_does_not_say(void **state)
{
    char why[JOB_ERROR_SIZE];

    (void)state;
    assert_int_equal(read_text("[antenna]\nkit = small\n[meter finder]\nkit = old\n", why), 0);
    expect_near(job.antenna.width_m, 0.75, 0);
    expect_near(job.antenna.frequency_ghz, 11.7, 0);
    assert_int_equal(job.meter_count, 1);
    assert_string_equal(job.meters[0].name, "finder");
    assert_int_equal(job.meters[0].baud, 4800);
    assert_int_equal(job.meters[0].unit, LEVEL_DBM);
}

static void the_job_s_own_keys_win_wherever_they_stand(void **state)
{
    char why[JOB_ERROR_SIZE];

    (void)state;
    assert_int_equal(read_text("[meter finder]\nbaud = 19200\nkit = old\n", why), 0);
    assert_int_equal(job.meters[0].baud, 19200);
    assert_int_equal(job.meters[0].unit, LEVEL_DBM);
    assert_int_equal(read_text("[meter finder]\nkit = old\nbaud = 19200\n", why), 0);
    assert_int_equal(job.meters[0].baud, 19200);
    assert_int_equal(
        read_text("[antenna]\ndiameter = 1\n[meter]\nkit = old\n[antenna]\nkit = small\n", why), 0);
    expect_near(job.antenna.width_m, 1, 0);
}

/* The first meter serves sources that name none: a kit must not change which one is first. */
static void a_kit_does_not_change_the_order_of_meters(void **state)
{
    char why[JOB_ERROR_SIZE];

    (void)state;
    assert_int_equal(read_text("[meter a]\nunit = dB\n[meter b]\nkit = old\n", why), 0);
    assert_string_equal(job.meters[0].name, "a");
    assert_string_equal(job.meters[1].name, "b");
}

static void what_is_wrong_with_a_kit_is_told_from_both_ends(void **state)
{
    static const struct {
        const char *text, *want; /* % = path of the kit file */
    } rows[] = {
        {"[antenna]\nkit = huge\n", "2: kit = huge: % has no section [antenna huge]"},
        {"[meter m]\nkit = broken\n",
         "2: %:10: baud = fast: allowed is a whole number from 50 to 4000000"},
        {"[meter m]\nkit = nested\n", "2: %:12: kit: a section of the kit file can't refer to "
                                      "another"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char why[JOB_ERROR_SIZE], want[2 * JOB_ERROR_SIZE + 2 * SCRATCH_PATH];
        int n = (int)strcspn(rows[i].want, "%");
        assert_int_equal(read_text(rows[i].text, why), -EINVAL);
        snprintf(want, sizeof want, "%s/t.job:%.*s%s/peakward/kit%s", scratch_dir, n, rows[i].want,
                 scratch_dir, rows[i].want + n + 1);
        assert_string_equal(why, want);
    }
}

static void without_a_kit_file_its_path_is_named(void **state)
{
    char why[JOB_ERROR_SIZE], want[4 * SCRATCH_PATH];
    const char *home = getenv("HOME");
    char kept[SCRATCH_PATH];

    (void)state;
    snprintf(kept, sizeof kept, "%s", home ? home : "");
    setenv("XDG_CONFIG_HOME", "not/absolute", 1); /* to be ignored, says the XDG specification */
    setenv("HOME", scratch_dir, 1);
    int r = read_text("[meter m]\nkit = old\n", why);
    setenv("XDG_CONFIG_HOME", scratch_dir, 1);
    setenv("HOME", kept, 1);
    assert_int_equal(r, -EINVAL);
    snprintf(want, sizeof want,
             "%s/t.job:2: %s/.config/peakward/kit: can't be read: No such file or directory",
             scratch_dir, scratch_dir);
    assert_string_equal(why, want);
}

static void the_jobs_that_ship_are_sound(void **state)
{
    static const char *const paths[] = {
        SOURCES "/docs/examples/hut.job",       SOURCES "/sim/scenarios/crowded.job",
        SOURCES "/sim/scenarios/hut.job",       SOURCES "/sim/scenarios/hut-nudges.job",
        SOURCES "/sim/scenarios/hut-scale.job", SOURCES "/sim/scenarios/panel.job",
    };

    (void)state;
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        char why[JOB_ERROR_SIZE] = "";
        job_init(&job);
        if (job_read(&job, paths[i], why) < 0 || job_check(&job, why) < 0) {
            fail_msg("%s: %s", paths[i], why);
        }
        assert_true(job.site.given || job.source_count > 0);
        assert_true(isfinite(job_beam_width_deg(&job)));
        for (size_t m = 0; m < job.meter_count; m++) {
            struct pattern pattern;
            const char *text = job.meters[m].pattern;
            size_t at;
            if (text[0] != '\0' && pattern_compile(&pattern, text, &at, why) < 0) {
                fail_msg("%s: pattern at %zu: %s", paths[i], at, why);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_error_names_file_and_line),
        cmocka_unit_test(the_longest_value_of_a_file_is_whole),
        cmocka_unit_test(a_kit_gives_what_the_job_does_not_say),
        cmocka_unit_test(the_job_s_own_keys_win_wherever_they_stand),
        cmocka_unit_test(a_kit_does_not_change_the_order_of_meters),
        cmocka_unit_test(what_is_wrong_with_a_kit_is_told_from_both_ends),
        cmocka_unit_test(without_a_kit_file_its_path_is_named),
        cmocka_unit_test(the_jobs_that_ship_are_sound),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
