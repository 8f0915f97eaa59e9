/* Each thing that is usually wrong with a source has words that say what to do. */
#include "expect.h"

#include <grp.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

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

/* Who may not open a port, looked at by somebody who is not root. */
static void mend_as_nobody(const char *path, char mend[MEND_SIZE])
{
    int ends[2], status;
    pid_t pid;

    assert_int_equal(pipe(ends), 0);
    pid = fork();
    if (pid == 0) {
        if (geteuid() == 0 && (setgid(65534) < 0 || setuid(65534) < 0)) {
            _exit(1);
        }
        mend_port(path, mend);
        _exit(write(ends[1], mend, MEND_SIZE) == MEND_SIZE ? 0 : 1);
    }
    close(ends[1]);
    assert_int_equal(read(ends[0], mend, MEND_SIZE), MEND_SIZE);
    close(ends[0]);
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_int_equal(status, 0);
}

static void who_may_not_open_a_port_is_told_whose_it_is(void **unused)
{
    char path[] = "/tmp/peakward-port-XXXXXX", mend[MEND_SIZE], want[MEND_SIZE];
    int fd = mkstemp(path);
    const struct group *group = getgrgid(getgid());

    (void)unused;
    assert_true(fd >= 0);
    close(fd);
    assert_int_equal(chmod(path, 0060), 0); /* for its group, and for nobody else */
    mend_as_nobody(path, mend);
    snprintf(want, sizeof want, "sudo usermod -aG %s $USER", group ? group->gr_name : "dialout");
    assert_non_null(strstr(mend, want));
    assert_int_equal(chmod(path, 0), 0);
    mend_as_nobody(path, mend); /* to join the group would not help */
    assert_non_null(strstr(mend, "nor is its group"));
    assert_null(strstr(mend, "usermod"));
    unlink(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_wrong_is_told_with_what_to_do),
        cmocka_unit_test(who_may_not_open_a_port_is_told_whose_it_is),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
