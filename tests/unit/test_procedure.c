#include "expect.h"

#include <errno.h>
#include <stdbool.h>
#include <string.h>

#include "base/text.h"
#include "job/ini_file.h"
#include "job/procedure_file.h"
#include "scratch.h"

static struct procedure procedure;

/* --- setting a key ---------------------------------------------------------------------------- */

static void every_key_is_set_and_read_back(void **state)
{
    const struct procedure_step *step = &procedure.steps[0];
    char why[JOB_ERROR_SIZE] = "";
    static const char *const settings[][2] = {
        {"do", "sweep"}, {"axis", "azimuth"}, {"text", "Look out."}, {"tolerance", "0.5"},
        {"span", "20"},  {"rate", "0.7"},     {"limit", "0.3"},      {"dwell", "12"},
    };

    (void)state;
    procedure_init(&procedure, "mine");
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++) {
        assert_string_equal(procedure_keys[i].key, settings[i][0]); /* none is left out */
        assert_int_equal(procedure_set(&procedure, "step search", settings[i][0], settings[i][1],
                                       why, sizeof why),
                         0);
        assert_string_equal(procedure.settings[i].value, settings[i][1]);
    }
    assert_null(procedure_keys[sizeof settings / sizeof *settings].key);
    assert_string_equal(procedure.name, "mine");
    assert_int_equal(procedure.step_count, 1);
    assert_string_equal(step->name, "search");
    assert_int_equal(step->act, DO_SWEEP);
    assert_int_equal(step->axis, AXIS_AZIMUTH);
    assert_string_equal(step->text, "Look out.");
    expect_near(step->tolerance_deg, 0.5, 0);
    expect_near(step->span_deg, 20, 0);
    expect_near(step->rate_deg_s, 0.7, 0);
    expect_near(step->limit_db, 0.3, 0);
    expect_near(step->dwell_s, 12, 0);
}

static void a_second_text_goes_on_with_the_first(void **state)
{
    char why[JOB_ERROR_SIZE] = "", longest[PROCEDURE_TEXT_SIZE];

    (void)state;
    procedure_init(&procedure, "");
    procedure_set(&procedure, "step a", "text", "Stand", why, sizeof why);
    procedure_set(&procedure, "step a", "text", "clear.", why, sizeof why);
    assert_string_equal(procedure.steps[0].text, "Stand clear.");
    assert_int_equal(procedure.setting_count, 2);

    memset(longest, 'x', sizeof longest);
    longest[sizeof longest - 1 - strlen("Stand clear. ")] = '\0';
    assert_int_equal(procedure_set(&procedure, "step a", "text", longest, why, sizeof why), 0);
    assert_int_equal(strlen(procedure.steps[0].text), PROCEDURE_TEXT_SIZE - 1);
    assert_int_equal(procedure_set(&procedure, "step a", "text", "x", why, sizeof why), -EINVAL);
    assert_string_equal(why, "text = x: allowed is a text of 1 to 239 bytes, all lines together");
}

static void what_is_refused_is_named_with_what_is_allowed(void **state)
{
    static const struct {
        const char *section, *key, *value, *want;
    } rows[] = {
        {"step a", "do", "dance",
         "do = dance: allowed is confirm, fix, set, sweep, identify, peak, null, tighten, measure "
         "or record"},
        {"step a", "axis", "roll", "axis = roll: allowed is azimuth, elevation or skew"},
        {"step a", "dwell", "0", "dwell = 0: allowed is a number from 0.1 to 600"},
        {"step a", "dwell", "nan", "dwell = nan: allowed is a number from 0.1 to 600"},
        {"step a", "limit", "", "limit = (nothing): allowed is a number from 0.01 to 6"},
        {"step a", "text", "",
         "text = (nothing): allowed is a text of 1 to 239 bytes, all lines together"},
        {"step a", "text", "\033[2J",
         "text = ?[2J: allowed is a text of 1 to 239 bytes, all lines together"},
        {"step \a", "do", "fix",
         "[step ?]: allowed are sections [step NAME], the name of 1 to 47 bytes"},
        {"step a", "tolerence", "1", "tolerence = 1: a step has no such key: is tolerance meant?"},
        {"step a", "colour", "1",
         "colour = 1: a step has no such key: allowed are do axis text tolerance span rate limit "
         "dwell"},
        {"stop a", "do", "fix",
         "[stop a]: allowed are sections [step NAME], the name of 1 to 47 bytes"},
        {"step", "do", "fix",
         "[step]: allowed are sections [step NAME], the name of 1 to 47 bytes"},
        {"step 012345678901234567890123456789012345678901234567", "do", "fix",
         "[step 012345678901234567890123456789012345678901234567]: allowed are sections [step "
         "NAME], the name of 1 to 47 bytes"},
    };

    (void)state;
    procedure_init(&procedure, "");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char why[JOB_ERROR_SIZE] = "";
        assert_int_equal(
            procedure_set(&procedure, rows[i].section, rows[i].key, rows[i].value, why, sizeof why),
            -EINVAL);
        assert_string_equal(why, rows[i].want);
    }
    assert_int_equal(procedure.step_count + procedure.setting_count, 0);
}

static void one_too_many_is_refused(void **state)
{
    char why[JOB_ERROR_SIZE] = "", section[32];

    (void)state;
    procedure_init(&procedure, "");
    for (int i = 0; i <= PROCEDURE_STEPS; i++) {
        snprintf(section, sizeof section, "step %d", i);
        assert_int_equal(procedure_set(&procedure, section, "do", "fix", why, sizeof why),
                         i < PROCEDURE_STEPS ? 0 : -ENOSPC);
    }
    assert_string_equal(why, "one step too many: allowed are at most 32");
    for (int i = PROCEDURE_STEPS; i <= PROCEDURE_SETTINGS; i++) {
        snprintf(section, sizeof section, "step %d", i % PROCEDURE_STEPS);
        assert_int_equal(procedure_set(&procedure, section, "text", "x", why, sizeof why),
                         i < PROCEDURE_SETTINGS ? 0 : -ENOSPC);
    }
    assert_string_equal(why, "one setting too many: allowed are at most 192");
}

/* --- the whole -------------------------------------------------------------------------------- */

static void steps_that_can_t_work_are_named(void **state)
{
#define FIX "[step p]\ndo = fix\n"
#define END "[step e]\ndo = record\n"
    static const struct {
        const char *text, *want; /* behind the path; "" = nothing wrong */
    } rows[] = {
        {FIX "[step s]\ndo = set\naxis = skew\ntolerance = 2\n" END, ""},
        {"[step s]\ndo = peak\naxis = elevation\n" END, ""}, /* an antenna that is found already */
        {"", ": there is no [step NAME] in it"},
        {"; nothing\n", ": there is no [step NAME] in it"},
        {"[step a]\ntext = Hm.\n" END, ":2: [step a]: do is missing"},
        {"[step a]\ndo = confirm\n" END, ":2: [step a]: do = confirm needs a text"},
        {FIX "[step a]\ndo = peak\n" END, ":4: [step a]: do = peak needs an axis"},
        {FIX "[step a]\ndo = sweep\naxis = elevation\n" END,
         ":4: [step a]: axis: do = sweep turns azimuth only"},
        {FIX "[step a]\ndo = null\naxis = azimuth\n" END,
         ":4: [step a]: axis: do = null turns skew only"},
        {FIX "[step a]\ndo = measure\naxis = azimuth\n" END,
         ":4: [step a]: axis means nothing to do = measure"},
        {FIX "[step a]\ndo = peak\naxis = azimuth\nspan = 3\n" END,
         ":4: [step a]: span means nothing to do = peak"},
        {"[step a]\ndo = set\naxis = azimuth\n" FIX END,
         ":2: [step a]: do = set needs a step with do = fix before it"},
        {"[step a]\ndo = sweep\naxis = azimuth\n" FIX END,
         ":2: [step a]: do = sweep needs a step with do = fix before it"},
        {FIX, ":2: [step p]: do = record must be the last step, and only it"},
        {FIX END "[step z]\ndo = measure\n",
         ":4: [step e]: do = record must be the last step, and only it"},
        {FIX "do = set\n" END, ":3: do = set: [step p] has its do already"},
        {FIX "[step a]\ndo = set\naxis = skew\n[step p]\ndo = fix\n" END,
         ":7: do = fix: [step p] has its do already"},
        {FIX "[step a]\ndo = set\naxis = roll\n" END,
         ":5: axis = roll: allowed is azimuth, elevation or skew"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *path = scratch_write("my.procedure", rows[i].text, strlen(rows[i].text));
        char why[JOB_ERROR_SIZE] = "";
        int r = procedure_read(&procedure, path, why);
        if (rows[i].want[0] == '\0') {
            assert_string_equal(why, "");
            assert_int_equal(r, 0);
            assert_string_equal(procedure.name, "my");
            continue;
        }
        assert_int_equal(r, -EINVAL);
        assert_memory_equal(why, path, strlen(path));
        assert_string_equal(why + strlen(path), rows[i].want);
    }
}

/* It also comes from the log of a stranger, and goes to the terminal. */
static void what_is_said_of_a_value_is_clean(void **state)
{
    static const char *const keys[] = {"do", "axis", "limit", "hue"};
    char why[JOB_ERROR_SIZE];

    (void)state;
    procedure_init(&procedure, "test");
    assert_int_equal(procedure_set(&procedure, "step a", "do", "set", why, sizeof why), 0);
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        assert_int_equal(
            procedure_set(&procedure, "step a", keys[i], "\x1b[2J\xff", why, sizeof why), -EINVAL);
        assert_true(text_is_clean(why));
    }
}

static void a_file_that_can_t_be_read_says_why(void **state)
{
    char why[JOB_ERROR_SIZE];

    (void)state;
    assert_int_equal(procedure_read(&procedure, "nowhere.procedure", why), -ENOENT);
    assert_string_equal(why, "nowhere.procedure: can't be read: No such file or directory");
}

/* --- those that ship ---------------------------------------------------------------------------
 */

static void the_built_in_procedures_are_sound(void **state)
{
    char why[JOB_ERROR_SIZE] = "";
    int n = 0;

    (void)state;
    for (; procedure_builtin_names[n]; n++) {
        assert_int_equal(procedure_builtin(procedure_builtin_names[n], &procedure), 0);
        assert_string_equal(procedure.name, procedure_builtin_names[n]);
        assert_int_equal(procedure_check(&procedure, NULL, why, sizeof why), 0);
        assert_string_equal(why, "");
    }
    assert_int_equal(n, 4);
    assert_int_equal(procedure_builtin("spiral", &procedure), -ENOENT);
}

/* Of the trade: what can hurt someone is asked before anybody touches the mount. */
static void every_built_in_procedure_begins_with_the_cautions(void **state)
{
    static const char *const words[] = {"transmitter", "Never stand in front", "Ladder",
                                        "power line",  "thunderstorm",         "lifting",
                                        "earthed",     "Local codes",          "licensed"};

    (void)state;
    for (int n = 0; procedure_builtin_names[n]; n++) {
        char said[PROCEDURE_STEPS * PROCEDURE_TEXT_SIZE] = "";
        procedure_builtin(procedure_builtin_names[n], &procedure);
        for (size_t i = 0; procedure.steps[i].act == DO_CONFIRM; i++) {
            strcat(said, procedure.steps[i].text);
        }
        for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
            if (!strstr(said, words[i])) {
                fail_msg("%s does not ask for: %s", procedure_builtin_names[n], words[i]);
            }
        }
    }
}

static void the_settings_build_the_same_procedure_again(void **state)
{
    static struct procedure rebuilt;
    char why[JOB_ERROR_SIZE] = "";

    (void)state;
    procedure_builtin("linear-panel", &procedure);
    procedure_init(&rebuilt, procedure.name);
    for (size_t i = 0; i < procedure.setting_count; i++) {
        assert_int_equal(procedure_set(&rebuilt, procedure.settings[i].section,
                                       procedure.settings[i].key, procedure.settings[i].value, why,
                                       sizeof why),
                         0);
    }
    assert_int_equal(rebuilt.step_count, procedure.step_count);
    for (size_t i = 0; i < rebuilt.step_count; i++) {
        assert_string_equal(rebuilt.steps[i].name, procedure.steps[i].name);
        assert_string_equal(rebuilt.steps[i].text, procedure.steps[i].text);
        assert_int_equal(rebuilt.steps[i].act, procedure.steps[i].act);
        assert_int_equal(rebuilt.steps[i].axis, procedure.steps[i].axis);
        expect_near(rebuilt.steps[i].limit_db, procedure.steps[i].limit_db, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_is_set_and_read_back),
        cmocka_unit_test(a_second_text_goes_on_with_the_first),
        cmocka_unit_test(what_is_refused_is_named_with_what_is_allowed),
        cmocka_unit_test(one_too_many_is_refused),
        cmocka_unit_test(steps_that_can_t_work_are_named),
        cmocka_unit_test(what_is_said_of_a_value_is_clean),
        cmocka_unit_test(a_file_that_can_t_be_read_says_why),
        cmocka_unit_test(the_built_in_procedures_are_sound),
        cmocka_unit_test(every_built_in_procedure_begins_with_the_cautions),
        cmocka_unit_test(the_settings_build_the_same_procedure_again),
    };
    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
