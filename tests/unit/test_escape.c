#include "expect.h"

#include <errno.h>
#include <string.h>

#include "source/escape.h"

static void escapes_become_the_bytes_they_stand_for(void **state)
{
    static const struct {
        const char *text;
        int want;
        const char *bytes;
    } rows[] = {
        {"", 0, ""},
        {"SNR?\\r\\n", 6, "SNR?\r\n"},
        {"\\t\\\\", 2, "\t\\"},
        {"a\\0b", 3, "a\0b"},
        {"\\x02\\xfF\\x4dx", 4, "\x02\xffMx"},
        {"12345678", 8, "12345678"},
        {"123456789", -ENOSPC, ""},
        {"\\", -EINVAL, ""},
        {"\\q", -EINVAL, ""},
        {"\\x", -EINVAL, ""},
        {"\\x1", -EINVAL, ""},
        {"\\xg1", -EINVAL, ""},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char bytes[8];
        assert_int_equal(escape_decode(rows[i].text, bytes, sizeof bytes), rows[i].want);
        if (rows[i].want > 0) {
            assert_memory_equal(bytes, rows[i].bytes, (size_t)rows[i].want);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(escapes_become_the_bytes_they_stand_for),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
