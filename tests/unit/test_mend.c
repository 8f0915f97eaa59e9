/* Each thing that is usually wrong with a source has words that say what to do. */
#include "expect.h"

#include <stdbool.h>
#include <string.h>

#include "command/mend.h"

static const struct job_meter meter = {.baud = 9600, .framing = "8N1"};

static void what_is_wrong_is_told_with_what_to_do(void **unused)
{
    static const struct {
        const char *address;
        int levels, fixes, mode;
        bool down, works;
        unsigned bad;
        const char *says; /* "" = nothing */
    } rows[] = {
        {"serial:/dev/null", 5, 0, 0, false, true, 0, ""},
        {"serial:/dev/null", 0, 0, 0, false, false, 0, "no line came: is the meter on"},
        {"serial:/dev/null", 0, 0, 0, false, false, 3, "they don't fit: is the pattern right"},
        {"serial:/dev/null", 0, 0, 0, false, false, 3, "9600 baud 8N1"},
        {"serial:/none/such", 0, 0, 0, true, false, 0, "/none/such is not there: plug the meter"},
        {"gpsd://localhost", 0, 0, 0, true, false, 0, "sudo systemctl start gpsd"},
        {"gpsd://localhost", 0, 0, 0, false, false, 0, "no receiver speaks"},
        {"gpsd://localhost", 0, 3, 1, false, true, 0, "a free view of the sky"},
        {"gpsd://localhost", 0, 3, 3, false, true, 0, ""},
        {"tcp://10.0.0.9:4001", 0, 0, 0, true, false, 0, "is the other end switched on"},
        {"tcp://10.0.0.9:4001", 0, 0, 0, false, false, 2, "is the pattern right"},
        {"keys:", 0, 0, 0, false, true, 0, ""},
        {"sim:hut", 9, 0, 0, false, true, 0, ""},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct mend_heard heard = {.down = rows[i].down, .bad = rows[i].bad};
        char mend[MEND_SIZE] = "untouched";
        heard.counts[RECORD_LEVEL] = rows[i].levels;
        heard.counts[RECORD_FIX] = rows[i].fixes;
        heard.last[RECORD_FIX].fix.mode = rows[i].mode;
        assert_int_equal(mend_find(rows[i].address, &meter, &heard, mend), rows[i].works);
        if (rows[i].says[0] ? !strstr(mend, rows[i].says) : mend[0]) {
            fail_msg("row %zu: '%s', wanted '%s'", i, mend, rows[i].says);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_wrong_is_told_with_what_to_do),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
