#include "expect.h"

#include "base/spelling.h"

static void a_slip_of_the_keys_finds_the_word_meant(void **state)
{
    static const char *const words[] = {"longitude",   "polarisation", "diameter", "beam_width",
                                        "beam_height", "lat",          "do"};
    static const struct {
        const char *written, *meant; /* NULL = nothing is near */
    } rows[] = {
        {"longtitude", "longitude"},
        {"polarization", "polarisation"},
        {"beamwidth", "beam_width"},
        {"beam_heigth", "beam_height"},
        {"latitude", "lat"}, /* one begins the other */
        {"diam", "diameter"},
        {"lot", "lat"},
        {"di", "do"},
        {"colour", NULL},
        {"", NULL},
        {"x", NULL},
        {"a word much longer than any key there could ever be in a file of this kind", NULL},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct spelling spelling;
        spelling_start(&spelling, rows[i].written);
        for (size_t j = 0; j < sizeof words / sizeof *words; j++) {
            spelling_try(&spelling, words[j]);
        }
        if (rows[i].meant) {
            assert_non_null(spelling.nearest);
            assert_string_equal(spelling.nearest, rows[i].meant);
        } else {
            assert_null(spelling.nearest);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_slip_of_the_keys_finds_the_word_meant),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
