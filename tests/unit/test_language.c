/* Which language is spoken: what the environment wishes for, and what a catalogue gives. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <errno.h>
#include <stdio.h>

#include "base/axis.h"
#include "base/tongue.h"
#include "command/language.h"

/* gettext's manual, "Locale Names", "Locale Environment Variables" and "The LANGUAGE variable". */
static void the_environment_wishes_as_gettext_has_it(void **state)
{
    static const struct {
        struct language_wishes wishes;
        const char *want;
    } rows[] = {
        {{NULL, NULL, NULL, NULL}, ""},
        {{"de", NULL, NULL, NULL}, ""},
        {{"de", "C", NULL, "de_DE.UTF-8"}, ""},
        {{"de", NULL, "POSIX", NULL}, ""},
        {{NULL, NULL, NULL, "de_AT.UTF-8"}, "de_AT:de"},
        {{NULL, NULL, NULL, "de"}, "de"},
        {{NULL, NULL, NULL, "de.UTF-8@euro"}, "de"},
        {{NULL, NULL, "de_DE", "fr_FR.UTF-8"}, "de_DE:de"},
        {{NULL, "en_GB.UTF-8", "de_DE", NULL}, "en_GB:en"},
        {{"", "", NULL, "de_DE"}, "de_DE:de"},
        {{"fr:de_AT", NULL, NULL, "en_GB.UTF-8"}, "fr:de_AT:de"},
        {{"de", "C.UTF-8", NULL, NULL}, "de"},
        {{":de:", NULL, NULL, "C.UTF-8"}, "de"},
        {{NULL, NULL, NULL, "C.UTF-8"}, "C"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char got[LANGUAGE_WISHES_SIZE];
        language_wished(&rows[i].wishes, got);
        assert_string_equal(got, rows[i].want);
    }
}

static void a_catalogue_gives_other_words(void **state)
{
    (void)state;
    assert_string_equal(tongue_name(), "en");
    assert_string_equal(axis_way_word(AXIS_AZIMUTH, 1.0), "right");

    assert_int_equal(tongue_choose("de", CATALOGUES), 0);
    assert_string_equal(tongue_name(), "de");
    assert_string_equal(axis_way_word(AXIS_AZIMUTH, 1.0), "nach rechts");
    assert_string_equal(tongue_say_count("%s turn", "%s turns", 1), "%s Umdrehung");
    assert_string_equal(tongue_say_count("%s turn", "%s turns", 3), "%s Umdrehungen");
    assert_string_equal(axis_name(AXIS_AZIMUTH), "azimuth"); /* an interface */

    assert_int_equal(tongue_choose("en", CATALOGUES), 0);
    assert_string_equal(axis_way_word(AXIS_AZIMUTH, 1.0), "right");
    assert_string_equal(tongue_say_count("%s turn", "%s turns", 3), "%s turns");
}

static void words_without_a_translation_stay(void **state)
{
    (void)state;
    assert_int_equal(tongue_choose("de", CATALOGUES), 0);
    assert_string_equal(tongue_say("an invented word"), "an invented word");
    assert_string_equal(tongue_say_in("a source", "an invented word"), "an invented word");
    assert_string_equal(tongue_say(""), "");
    assert_int_equal(tongue_choose("en", CATALOGUES), 0);
}

static void numbers_keep_their_point(void **state)
{
    char text[16];

    (void)state;
    assert_int_equal(tongue_choose("de", CATALOGUES), 0);
    snprintf(text, sizeof text, "%.2f", 0.46);
    assert_string_equal(text, "0.46");
    assert_int_equal(tongue_choose("en", CATALOGUES), 0);
}

static void what_is_no_language_changes_nothing(void **state)
{
    (void)state;
    assert_int_equal(tongue_choose("xx", CATALOGUES), -ENOENT);
    assert_int_equal(tongue_choose("", CATALOGUES), -EINVAL);
    assert_int_equal(tongue_choose("../de", CATALOGUES), -EINVAL);
    assert_int_equal(tongue_choose("a_very_long_language", CATALOGUES), -EINVAL);
    assert_string_equal(tongue_name(), "en");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_environment_wishes_as_gettext_has_it),
        cmocka_unit_test(a_catalogue_gives_other_words),
        cmocka_unit_test(words_without_a_translation_stay),
        cmocka_unit_test(numbers_keep_their_point),
        cmocka_unit_test(what_is_no_language_changes_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
