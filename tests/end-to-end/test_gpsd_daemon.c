/*
 * The gpsd source on the real daemon, which reads a receiver that this test plays over loopback
 * TCP. What gpsd makes of each sentence: gpsd_json(5), and seen in runs of gpsd 3.22.
 */
#include "drive.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#define GPSD "/usr/sbin/gpsd"

enum { EXIT_SKIPPED = 77 };

static const double patience_s = 20.0, cycle_s = 0.2;

static struct drive drive;
static struct source_setup setup = {.name = "gps"};
static char address[64];
static int daemon_port;
static pid_t daemon_pid;

/* The receiver: a listening socket, and gpsd when it has connected. */
static struct receiver {
    int server, port, client;
    int cycle;
    bool has_fix, has_attitude, is_quiet;
} receiver;

static void say(const char *body)
{
    char line[160];
    unsigned sum = 0;

    for (const char *p = body; *p; p++) {
        sum ^= (unsigned char)*p;
    }
    snprintf(line, sizeof line, "$%s*%02X\r\n", body, sum);
    if (send(receiver.client, line, strlen(line), MSG_NOSIGNAL) < 0 && errno != EAGAIN) {
        close(receiver.client);
        receiver.client = -1;
    }
}

/* One cycle of sentences, an invented place at a second that goes on. */
static void report(void *unused)
{
    char body[128];
    int second = receiver.cycle++;

    (void)unused;
    if (receiver.client < 0) {
        receiver.client = accept4(receiver.server, NULL, NULL, SOCK_NONBLOCK | SOCK_CLOEXEC);
    }
    if (receiver.client < 0 || receiver.is_quiet) {
        return;
    }
    /* without a fix a receiver leaves the place empty */
    snprintf(body, sizeof body, "GPRMC,12%02d%02d.00,%s,010126,,", second / 60 % 60, second % 60,
             receiver.has_fix ? "A,4630.0000,N,01006.0000,E,0.0,0.0" : "V,,,,,,");
    say(body);
    snprintf(body, sizeof body, "GPGGA,12%02d%02d.00,%s,,", second / 60 % 60, second % 60,
             receiver.has_fix ? "4630.0000,N,01006.0000,E,1,08,0.9,2150.0,M,50.0,M"
                              : ",,,,0,00,,,M,,M");
    if (receiver.client >= 0) {
        say(body);
    }
    if (receiver.client >= 0 && receiver.has_attitude) {
        say("PTNTHTM,123.4,N,12.5,N,-4.3,N,65.0,2454");
    }
}

static void start_daemon(void)
{
    char port[16], device[64];

    snprintf(port, sizeof port, "%d", daemon_port);
    snprintf(device, sizeof device, "tcp://127.0.0.1:%d", receiver.port);
    daemon_pid = fork();
    if (daemon_pid == 0) {
        int null = open("/dev/null", O_RDWR);
        dup2(null, STDOUT_FILENO);
        dup2(null, STDERR_FILENO);
        execl(GPSD, "gpsd", "-N", "-n", "-b", "-S", port, device, (char *)NULL);
        _exit(127);
    }
    assert_true(daemon_pid > 0);
}

static void stop_daemon(int with)
{
    if (daemon_pid > 0) {
        kill(daemon_pid, with);
        waitpid(daemon_pid, NULL, 0);
        daemon_pid = 0;
    }
}

static int set_up(void **state)
{
    int probe = drive_listen(&daemon_port);

    (void)state;
    close(probe); /* free again, and nobody else asks for this one so soon */
    receiver = (struct receiver){.client = -1, .has_fix = true, .has_attitude = true};
    receiver.server = drive_listen(&receiver.port);
    snprintf(address, sizeof address, "gpsd://127.0.0.1:%d", daemon_port);
    drive = (struct drive){.turns = 0};
    daemon_pid = 0;
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    drive_close(&drive);
    stop_daemon(SIGKILL);
    if (receiver.client >= 0) {
        close(receiver.client);
    }
    close(receiver.server);
    return 0;
}

static void open_source(void)
{
    drive_open(&drive, address, &setup);
    drive.each_turn = report;
    drive.feed_every_s = cycle_s;
}

static bool is_down(const struct drive *it)
{
    return it->said[SOURCE_DOWN] > 0;
}

static bool is_up(const struct drive *it)
{
    return it->said[SOURCE_UP] > 0;
}

static bool is_silent(const struct drive *it)
{
    return it->said[SOURCE_SILENT] > 0;
}

static bool has_all(const struct drive *it)
{
    return it->count[RECORD_FIX] > 0 && it->last[RECORD_FIX].fix.mode == 3 &&
           it->count[RECORD_UTC] > 0 && it->count[RECORD_ANGLES] > 0;
}

static bool has_lost_the_fix(const struct drive *it)
{
    return it->count[RECORD_FIX] > 0 && it->last[RECORD_FIX].fix.mode <= 1;
}

static bool has_two_fixes(const struct drive *it)
{
    return it->count[RECORD_FIX] >= 2;
}

static void place_time_and_attitude_arrive(void **state)
{
    const struct record_fix *fix = &drive.last[RECORD_FIX].fix;
    const struct record_angles *angles = &drive.last[RECORD_ANGLES].angles;

    (void)state;
    start_daemon();
    open_source();
    drive_expect(&drive, has_all, patience_s);
    expect_near(fix->lat_deg, 46.5, 1e-6);
    expect_near(fix->lon_deg, 10.1, 1e-6);
    /* GGA: above the geoid 2150 m, the geoid 50 m above the ellipsoid */
    expect_near(fix->height_m, 2200.0, 0.1);
    /* 2026-01-01T12:00:00Z by date(1); the receiver's hour has just begun */
    assert_true(drive.last[RECORD_UTC].utc.unix_s >= 1767268800.0);
    assert_true(drive.last[RECORD_UTC].utc.unix_s < 1767268800.0 + 600.0);
    expect_near(angles->deg[AXIS_AZIMUTH], 123.4, 1e-6);
    expect_near(angles->deg[AXIS_ELEVATION], 12.5, 1e-6);
    expect_near(angles->deg[AXIS_SKEW], -4.3, 1e-6);
    assert_false(angles->magnetic);
    assert_string_equal(angles->from, "gps");
    assert_int_equal(drive.said[SOURCE_BAD], 0);
}

static void fixes_come_once_a_second_however_fast_the_receiver_is(void **state)
{
    double begun;

    (void)state;
    start_daemon();
    open_source();
    drive_expect(&drive, has_all, patience_s);
    drive_forget(&drive);
    begun = drive_clock();
    drive_expect(&drive, has_two_fixes, patience_s);
    assert_true(drive_clock() - begun > 0.85);
    assert_true(drive.count[RECORD_ANGLES] > 2); /* these come as they come */
}

static void a_lost_fix_is_said_at_once(void **state)
{
    (void)state;
    start_daemon();
    open_source();
    drive_expect(&drive, has_all, patience_s);
    receiver.has_fix = false;
    drive_expect(&drive, has_lost_the_fix, patience_s);
    expect_near(drive.last[RECORD_FIX].fix.lat_deg, NAN, 0.0);
}

static void a_daemon_that_is_killed_and_started_again_is_survived(void **state)
{
    (void)state;
    open_source();
    drive_expect(&drive, is_down, patience_s);
    assert_non_null(strstr(drive.why[SOURCE_DOWN], "is gpsd running?"));
    start_daemon();
    drive_expect(&drive, has_all, patience_s);
    for (int with = 0; with < 2; with++) {
        drive_forget(&drive);
        stop_daemon(with == 0 ? SIGKILL : SIGTERM);
        drive_expect(&drive, is_down, patience_s);
        drive_forget(&drive);
        start_daemon();
        drive_expect(&drive, is_up, patience_s);
        drive_expect(&drive, has_all, patience_s);
        assert_int_equal(drive.said[SOURCE_UP], 1);
    }
}

static void a_receiver_that_falls_silent_is_missed_without_spinning(void **state)
{
    (void)state;
    start_daemon();
    open_source();
    drive_expect(&drive, has_all, patience_s);
    receiver.is_quiet = true;
    drive_forget(&drive);
    drive_expect(&drive, is_silent, patience_s);
    /* 5 s of turns for the receiver's side, and the last lines */
    assert_true(drive.turns < 100);
    receiver.is_quiet = false;
    drive_forget(&drive);
    drive_expect(&drive, is_up, patience_s);
    drive_expect(&drive, has_all, patience_s);
}

int main(void)
{
#define WITH_DAEMON(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH_DAEMON(place_time_and_attitude_arrive),
        WITH_DAEMON(fixes_come_once_a_second_however_fast_the_receiver_is),
        WITH_DAEMON(a_lost_fix_is_said_at_once),
        WITH_DAEMON(a_daemon_that_is_killed_and_started_again_is_survived),
        WITH_DAEMON(a_receiver_that_falls_silent_is_missed_without_spinning),
    };

    if (access(GPSD, X_OK) < 0) {
        print_message("no " GPSD " here: skipped\n");
        return EXIT_SKIPPED;
    }
    return cmocka_run_group_tests(tests, NULL, NULL);
}
