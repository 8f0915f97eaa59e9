/* What the system's errors are called: in English as the C library calls them. */
#include "expect.h"

#include <string.h>

#include "base/fault.h"
#include "base/text.h"

static void english_is_what_the_c_library_says(void **state)
{
    (void)state;
    for (int error = 1; error < 134; error++) { /* Linux numbers them up to 133, EHWPOISON */
        char words[128];
        text_copy(words, sizeof words, fault_words(error)); /* gone with the next call */
        assert_string_equal(words, strerror(error));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(english_is_what_the_c_library_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
