/* Whatever text a job has: nothing of it is in the copy, and what it measures with is. The job's
 * own table of keys is what is gone through, so that a new key is tested as well. */
#include "expect.h"

#include <stdio.h>
#include <string.h>

#include "command/anonymise_job.h"
#include "job/job_keys.h"
#include "job/procedure_file.h"

static struct job job, copy;
static struct procedure procedure, procedure_copy;
static struct anonymise_names names;

static int set_up(void **state)
{
    (void)state;
    job_init(&job);
    anonymise_names_init(&names);
    return 0;
}

static void set(const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    if (job_set(&job, section, key, value, why) < 0) {
        fail_msg("[%s] %s = %s: %s", section, key, value, why);
    }
}

static void hide(double east_deg)
{
    char why[JOB_ERROR_SIZE] = "";

    assert_int_equal(anonymise_job(&job, east_deg, &names, &copy, why), 0);
}

static bool takes_a_name(const char *section)
{
    return strcmp(section, "neighbour") == 0 || strcmp(section, "meter") == 0 ||
           strcmp(section, "source") == 0;
}

static void no_text_of_a_job_is_in_the_copy(void **state)
{
    int texts = 0;

    (void)state;
    for (const struct job_key *row = job_keys; row->section; row++) {
        char section[64];
        snprintf(section, sizeof section, "%s%s", row->section,
                 takes_a_name(row->section) ? " Secret" : "");
        /* "C/N" says what is measured, and of no one */
        if (row->type == KEY_TEXT && strcmp(row->key, "quantity") != 0) {
            set(section, row->key, "Secret");
            texts++;
        }
    }
    assert_true(texts > 10);
    hide(0.0);
    for (size_t i = 0; i < copy.setting_count; i++) {
        if (strstr(copy.settings[i].section, "Secret") ||
            strstr(copy.settings[i].value, "Secret")) {
            fail_msg("[%s] %s = %s", copy.settings[i].section, copy.settings[i].key,
                     copy.settings[i].value);
        }
    }
}

static void what_is_measured_with_stays(void **state)
{
    (void)state;
    set("site", "lat", "46.6");
    set("site", "lon", "10.1");
    set("site", "height", "2200");
    set("target", "name", "Ptarmigan 1");
    set("target", "longitude", "170.5E");
    set("target", "polarisation", "V");
    set("target", "id", "PTARMIGAN");
    set("neighbour Ibex 4", "longitude", "12W");
    set("neighbour Ibex 4", "id", "IBEX");
    set("antenna", "diameter", "0.75");
    set("mount", "elevation_turn", "1.2");
    set("meter finder", "unit", "dBuV");
    set("meter finder", "lag", "0.6");
    set("source finder", "address", "serial:/dev/ttyUSB0");
    set("source finder", "meter", "finder");
    set("source mount", "address", "sim:/home/secret/hut.scenario?hand=careful");
    set("skyline", "point", "140 12.5");
    hide(20.25);
    expect_near(copy.site.place.lat_deg, 46.6, 0.0);
    expect_near(copy.site.place.lon_deg, 30.35, 1e-9);
    expect_near(copy.site.place.height_m, 2200.0, 0.0);
    expect_near(copy.target.satellite.lon_deg, -169.25, 1e-9); /* past the date line */
    assert_string_equal(copy.target.satellite.name, "Satellite 1");
    assert_string_equal(copy.target.satellite.id, "CARRIER 1");
    assert_int_equal(copy.neighbour_count, 1);
    expect_near(copy.neighbours[0].lon_deg, 8.25, 1e-9);
    assert_string_equal(copy.neighbours[0].name, "Satellite 2");
    assert_string_equal(copy.neighbours[0].id, "CARRIER 2");
    expect_near(copy.antenna.width_m, 0.75, 0.0);
    expect_near(copy.mount.axes[AXIS_ELEVATION].turn_deg, 1.2, 0.0);
    assert_int_equal(copy.meters[0].unit, LEVEL_DBUV);
    expect_near(copy.meters[0].lag_s, 0.6, 0.0);
    assert_string_equal(copy.sources[0].address, "keys:");
    assert_string_equal(copy.sources[0].meter, copy.meters[0].name);
    /* one name for both, as before: their records are told apart by it */
    assert_string_equal(copy.sources[0].name, copy.meters[0].name);
    assert_string_equal(copy.sources[1].address, "sim:hut.scenario?hand=careful");
    assert_int_equal(copy.skyline_count, 1);
}

static void a_procedure_of_ones_own_loses_its_words(void **state)
{
    char why[JOB_ERROR_SIZE] = "";

    (void)state;
    assert_int_equal(procedure_builtin("linear", &procedure), 0);
    assert_int_equal(anonymise_procedure(&procedure, &procedure_copy, why), 0);
    assert_string_equal(procedure_copy.name, "linear");
    assert_string_equal(procedure_copy.steps[0].text, procedure.steps[0].text);

    procedure_init(&procedure, "/home/secret/ours.procedure");
    procedure_set(&procedure, "step caution", "do", "confirm", why, sizeof why);
    procedure_set(&procedure, "step caution", "text", "Call Secret first.", why, sizeof why);
    procedure_set(&procedure, "step end", "do", "record", why, sizeof why);
    assert_int_equal(anonymise_procedure(&procedure, &procedure_copy, why), 0);
    assert_int_equal(procedure_copy.step_count, 2);
    assert_string_equal(procedure_copy.steps[0].name, "caution");
    assert_null(strstr(procedure_copy.steps[0].text, "Secret"));
    assert_null(strstr(procedure_copy.name, "secret"));
}

static void the_same_name_is_called_the_same_each_time(void **state)
{
    char name[32], many[32];

    (void)state;
    alias_of(&names.carriers, "IBEX", name, sizeof name);
    assert_string_equal(name, "CARRIER 1");
    for (int i = 0; i < 2 * ALIAS_NAMES; i++) {
        snprintf(many, sizeof many, "other %d", i);
        alias_of(&names.carriers, many, many, sizeof many);
    }
    assert_string_equal(many, "CARRIER 97");
    alias_of(&names.carriers, "IBEX", name, sizeof name);
    assert_string_equal(name, "CARRIER 1");
    alias_of(&names.carriers, "", name, sizeof name);
    assert_string_equal(name, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(no_text_of_a_job_is_in_the_copy, set_up),
        cmocka_unit_test_setup(what_is_measured_with_stays, set_up),
        cmocka_unit_test_setup(a_procedure_of_ones_own_loses_its_words, set_up),
        cmocka_unit_test_setup(the_same_name_is_called_the_same_each_time, set_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
