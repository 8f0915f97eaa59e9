/*
 * peakward-sim itself: its meter is read by the serial source, its receiver by the real gpsd, and
 * its mount is turned by words and by the records of a coach.
 */
#include "drive.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define GPSD "/usr/sbin/gpsd"

static const double patience_s = 20.0;

static const char *program;
static struct drive drive;
static struct job_meter meter;
static struct source_setup setup;
static char directory[64], link_path[80], address[256], receiver[64];
static pid_t program_pid, daemon_pid;
static int to_program, from_program, errors; /* its standard input, output and error */

static int set_up(void **state)
{
    (void)state;
    meter = (struct job_meter){.name = "finder",
                               .pattern = "LVL {level} LOCK {lock}[ ID {id}]",
                               .framing = "8N1",
                               .baud = 9600,
                               .unit = LEVEL_DB,
                               .minimum = NAN,
                               .maximum = NAN};
    setup = (struct source_setup){.name = "test", .meter = &meter};
    drive = (struct drive){.turns = 0};
    to_program = from_program = errors = -1;
    program_pid = daemon_pid = 0;
    strcpy(directory, "/tmp/peakward-sim-XXXXXX");
    if (!mkdtemp(directory)) {
        return -1;
    }
    snprintf(link_path, sizeof link_path, "%s/meter", directory);
    return 0;
}

static void shut(int *fd)
{
    if (*fd >= 0) {
        close(*fd);
        *fd = -1;
    }
}

static void stop(pid_t *pid)
{
    if (*pid > 0) {
        kill(*pid, SIGKILL);
        waitpid(*pid, NULL, 0);
        *pid = 0;
    }
}

static int tear_down(void **state)
{
    (void)state;
    drive_close(&drive);
    stop(&daemon_pid);
    stop(&program_pid);
    shut(&to_program);
    shut(&from_program);
    shut(&errors);
    unlink(link_path);
    return rmdir(directory);
}

/* A line without its end; the test fails when none comes. */
static void read_line(int fd, char *line, size_t size)
{
    double until = drive_clock() + patience_s;
    size_t n = 0;

    while (n + 1 < size && drive_clock() < until) {
        struct pollfd ready = {.fd = fd, .events = POLLIN};
        if (poll(&ready, 1, 100) == 1) {
            if (read(fd, line + n, 1) != 1) {
                break;
            }
            if (line[n] == '\n') {
                line[n] = '\0';
                return;
            }
            n++;
        }
    }
    line[n] = '\0';
    fail_msg("no whole line came, only \"%s\"", line);
}

static void run_program(char *const arguments[])
{
    int in[2], out[2], err[2];

    assert_int_equal(pipe2(in, O_CLOEXEC) | pipe2(out, O_CLOEXEC) | pipe2(err, O_CLOEXEC), 0);
    program_pid = fork();
    if (program_pid == 0) {
        dup2(in[0], STDIN_FILENO);
        dup2(out[1], STDOUT_FILENO);
        dup2(err[1], STDERR_FILENO);
        execv(program, arguments);
        _exit(127);
    }
    assert_true(program_pid > 0);
    close(in[0]);
    close(out[1]);
    close(err[1]);
    to_program = in[1];
    from_program = out[0];
    errors = err[0];
}

/* Start it on the hut and learn where its ends are. */
static void start(const char *hand)
{
    char *arguments[] = {(char *)"peakward-sim",
                         (char *)"hut",
                         (char *)"--link",
                         link_path,
                         (char *)"--seed",
                         (char *)"3",
                         hand ? (char *)"--hand" : NULL,
                         (char *)(hand ? hand : NULL),
                         NULL};
    char line[256], want[128];

    run_program(arguments);
    read_line(errors, line, sizeof line);
    snprintf(want, sizeof want, "meter: %s", link_path);
    assert_string_equal(line, want);
    read_line(errors, line, sizeof line);
    assert_int_equal(strncmp(line, "receiver: tcp://127.0.0.1:", 26), 0);
    snprintf(receiver, sizeof receiver, "%.60s", line + 10);
}

static void say(const char *line)
{
    assert_int_equal(write(to_program, line, strlen(line)), (ssize_t)strlen(line));
}

static int wait_for_end(void)
{
    int status = -1;

    for (double until = drive_clock() + patience_s; drive_clock() < until; usleep(10000)) {
        if (waitpid(program_pid, &status, WNOHANG) == program_pid) {
            program_pid = 0;
            return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
        }
    }
    fail_msg("it does not end");
    return -1;
}

/* --- the meter ------------------------------------------------------------------------------ */

static bool has_level(const struct drive *it)
{
    return it->count[RECORD_LEVEL] >= 3 && it->count[RECORD_LOCK] >= 1;
}

static void its_meter_is_read_over_a_pseudo_terminal(void **state)
{
    (void)state;
    start(NULL);
    snprintf(address, sizeof address, "serial:%s", link_path);
    drive_open(&drive, address, &setup);
    drive_expect(&drive, has_level, patience_s);
    assert_int_equal(drive.said[SOURCE_BAD], 0);
    /* off every satellite: near the noise, within the scenario's range, and no lock */
    assert_true(drive.last[RECORD_LEVEL].level.value >= 0.0);
    assert_true(drive.last[RECORD_LEVEL].level.value < 4.0);
    assert_false(drive.last[RECORD_LOCK].lock.locked);
}

/* --- the receiver --------------------------------------------------------------------------- */

static void start_daemon(void)
{
    char port[16];
    int daemon_port, probe = drive_listen(&daemon_port);

    close(probe);
    snprintf(port, sizeof port, "%d", daemon_port);
    snprintf(address, sizeof address, "gpsd://127.0.0.1:%d", daemon_port);
    daemon_pid = fork();
    if (daemon_pid == 0) {
        int null = open("/dev/null", O_RDWR);
        dup2(null, STDOUT_FILENO);
        dup2(null, STDERR_FILENO);
        execl(GPSD, "gpsd", "-N", "-n", "-b", "-S", port, receiver, (char *)NULL);
        _exit(127);
    }
    assert_true(daemon_pid > 0);
}

static bool has_fix_and_angles(const struct drive *it)
{
    return it->count[RECORD_FIX] >= 1 && it->count[RECORD_ANGLES] >= 1 &&
           it->count[RECORD_UTC] >= 1;
}

static bool has_turned(const struct drive *it)
{
    return it->count[RECORD_ANGLES] >= 1 &&
           it->last[RECORD_ANGLES].angles.deg[AXIS_ELEVATION] > 31.0;
}

static void the_real_gpsd_reads_its_receiver_and_words_turn_its_mount(void **state)
{
    const struct record_angles *angles = &drive.last[RECORD_ANGLES].angles;
    const struct record_fix *fix = &drive.last[RECORD_FIX].fix;

    (void)state;
    if (access(GPSD, X_OK) != 0) {
        print_message("no %s: not tried\n", GPSD);
        return;
    }
    start(NULL);
    start_daemon();
    drive_open(&drive, address, &setup);
    drive_expect(&drive, has_fix_and_angles, patience_s);
    /* the scenario: 46.6 N, 10.1 E, 2200 m; azimuth 141 with a compass 6 off; elevation 28 with a
     * level 0.2 off; a mast that leans by 0.6 */
    expect_near(fix->lat_deg, 46.6, 0.0005);
    expect_near(fix->lon_deg, 10.1, 0.0005);
    expect_near(fix->height_m, 2200.0, 30.0);
    expect_near(angles->deg[AXIS_AZIMUTH], 147.0, 1.5);
    expect_near(angles->deg[AXIS_ELEVATION], 28.2, 0.8);
    expect_near(angles->deg[AXIS_SKEW], 0.0, 1.5);
    drive_forget(&drive);
    say("moved up 4 deg\n");
    drive_expect(&drive, has_turned, patience_s);
    say("moved down 1 1/2 turns\n");
}

/* --- words ---------------------------------------------------------------------------------- */

static void a_technician_reads_advice_and_answers_in_words(void **state)
{
    char line[256];

    (void)state;
    start("careful");
    say("{\"format\":\"not a record\"}\n");
    say("{\"t\":1.0,\"advice\":{\"step\":\"surroundings\",\"move\":\"confirm\",\"until\":"
        "\"answer\","
        "\"say\":\"Ladder secured.\"}}\n");
    read_line(from_program, line, sizeof line);
    assert_string_equal(line, "done");
    say("{\"t\":9.0,\"advice\":{\"step\":\"close\",\"move\":\"done\",\"say\":\"Done.\"}}\n");
    assert_int_equal(wait_for_end(), 0);
    read_line(errors, line, sizeof line);
    assert_int_equal(strncmp(line, "simulated mount: true pointing loss ", 36), 0);
}

static void it_ends_at_quit_and_takes_its_link_along(void **state)
{
    struct stat there;
    char line[256];

    (void)state;
    start(NULL);
    assert_int_equal(lstat(link_path, &there), 0);
    say("moved sideways\n");
    read_line(errors, line, sizeof line);
    assert_int_equal(strncmp(line, "peakward-sim: standard input: ", 30), 0);
    say("quit\n");
    assert_int_equal(wait_for_end(), 0);
    assert_int_equal(lstat(link_path, &there), -1);
}

static void it_ends_with_its_input_or_by_a_signal(void **state)
{
    (void)state;
    start(NULL);
    say("moved up 1 deg\n");
    shut(&to_program);
    assert_int_equal(wait_for_end(), 0);
    shut(&from_program);
    shut(&errors);
    start(NULL);
    kill(program_pid, SIGTERM);
    assert_int_equal(wait_for_end(), 0);
}

static void wrong_usage_is_refused_in_a_sentence(void **state)
{
    static const struct {
        const char *arguments[4], *says;
        int status;
    } rows[] = {
        {{"no-such-place"}, "peakward-sim: the scenario: no-such-place: ", 2},
        {{"hut", "--hand", "lazy"}, "peakward-sim: --hand: lazy: ", 2},
        {{"hut", "--speed", "0"}, "peakward-sim: --speed: 0: ", 2},
        {{"hut", "--seed", "1.5"}, "peakward-sim: --seed: 1.5: ", 2},
        {{"hut", "--link", "/no/such/place/meter"}, "peakward-sim: the meter's line: ", 1},
        {{NULL}, "peakward-sim: one scenario is wanted: ", 2},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char *arguments[5] = {(char *)"peakward-sim"};
        char line[512];
        for (int j = 0; j < 3; j++) {
            arguments[j + 1] = (char *)rows[i].arguments[j];
        }
        run_program(arguments);
        read_line(errors, line, sizeof line);
        if (strncmp(line, rows[i].says, strlen(rows[i].says)) != 0) {
            fail_msg("it says \"%s\", not \"%s\"", line, rows[i].says);
        }
        assert_int_equal(wait_for_end(), rows[i].status);
        shut(&to_program);
        shut(&from_program);
        shut(&errors);
    }
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(its_meter_is_read_over_a_pseudo_terminal, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(the_real_gpsd_reads_its_receiver_and_words_turn_its_mount,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_technician_reads_advice_and_answers_in_words, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(it_ends_at_quit_and_takes_its_link_along, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(it_ends_with_its_input_or_by_a_signal, set_up, tear_down),
        cmocka_unit_test_setup_teardown(wrong_usage_is_refused_in_a_sentence, set_up, tear_down),
    };

    if (argc != 2) {
        fprintf(stderr, "usage: %s PEAKWARD-SIM\n", argv[0]);
        return 2;
    }
    program = argv[1];
    return cmocka_run_group_tests(tests, NULL, NULL);
}
