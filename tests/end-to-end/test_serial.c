/* The serial source on a pseudo-terminal that is unplugged and plugged in again. */
#include "drive.h"

#include <errno.h>
#include <fcntl.h>
#include <pty.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

static const double patience_s = 10.0;

static struct drive drive;
static struct job_meter meter;
static struct source_setup setup = {.name = "meter", .meter = &meter};
static char directory[64], device[80], address[96];
static int master;

static int set_up(void **state)
{
    (void)state;
    meter = (struct job_meter){.name = "demo",
                               .pattern = "SNR {level} LOCK {lock}",
                               .framing = "8N1",
                               .baud = 9600,
                               .unit = LEVEL_DB,
                               .poll_period_s = 0.2,
                               .minimum = NAN,
                               .maximum = NAN};
    drive = (struct drive){.turns = 0};
    master = -1;
    strcpy(directory, "/tmp/peakward-serial-XXXXXX");
    if (!mkdtemp(directory)) {
        return -1;
    }
    snprintf(device, sizeof device, "%s/meter", directory);
    snprintf(address, sizeof address, "serial:%s", device);
    return 0;
}

static void unplug(void)
{
    if (master >= 0) {
        close(master);
        master = -1;
    }
    unlink(device);
}

static int tear_down(void **state)
{
    (void)state;
    drive_close(&drive);
    unplug();
    return rmdir(directory);
}

static void plug_in(void)
{
    char name[64];
    int slave;

    assert_int_equal(openpty(&master, &slave, name, NULL, NULL), 0);
    assert_int_equal(fcntl(master, F_SETFL, O_NONBLOCK), 0);
    /* the source alone holds the device, as it holds a real one */
    assert_int_equal(symlink(name, device), 0);
    close(slave);
}

static void say(const char *text)
{
    assert_int_equal(write(master, text, strlen(text)), strlen(text));
}

static bool is_down(const struct drive *it)
{
    return it->said[SOURCE_DOWN] > 0;
}

static bool is_up(const struct drive *it)
{
    return it->said[SOURCE_UP] > 0;
}

static bool has_level(const struct drive *it)
{
    return it->count[RECORD_LEVEL] > 0;
}

static bool never(const struct drive *it)
{
    (void)it;
    return false;
}

static void a_meter_is_read_through_unplugging_and_plugging_in(void **state)
{
    (void)state;
    drive_open(&drive, address, &setup);
    drive_expect(&drive, is_down, patience_s);
    assert_non_null(strstr(drive.why[SOURCE_DOWN], "is it plugged in?"));
    for (int i = 0; i < 3; i++) {
        drive_forget(&drive);
        plug_in();
        drive_expect(&drive, is_up, patience_s);
        say("NR 99 LOCK yes\r\n");
        say("SNR 12.5 LO");
        assert_false(drive_until(&drive, has_level, 0.05));
        say("CK yes\r\n");
        drive_expect(&drive, has_level, patience_s);
        assert_int_equal(drive.count[RECORD_LEVEL], 1);
        expect_near(drive.last[RECORD_LEVEL].level.value, 12.5, 0.0);
        assert_true(drive.last[RECORD_LOCK].lock.locked);
        assert_int_equal(drive.said[SOURCE_UP], 1);
        assert_int_equal(drive.said[SOURCE_DOWN], 0);
        unplug();
        drive_expect(&drive, is_down, patience_s);
        assert_int_equal(drive.said[SOURCE_DOWN], 1);
        assert_int_equal(drive.said[SOURCE_BAD], 0);
    }
}

static void the_line_is_raw_and_as_fast_as_the_profile_says(void **state)
{
    struct termios settings;

    (void)state;
    meter.baud = 38400;
    plug_in();
    drive_open(&drive, address, &setup);
    drive_expect(&drive, is_up, patience_s);
    /* both ends of a pseudo-terminal share one line */
    assert_int_equal(tcgetattr(master, &settings), 0);
    assert_int_equal(cfgetospeed(&settings), B38400);
    assert_int_equal(settings.c_lflag & (ECHO | ICANON | ISIG), 0);
    assert_int_equal(settings.c_iflag & (ICRNL | IXON), 0);
    assert_int_equal(settings.c_oflag & OPOST, 0);
}

static char asked[256];

static bool was_asked_twice(const struct drive *it)
{
    size_t n = strlen(asked);
    ssize_t got = read(master, asked + n, sizeof asked - 1 - n);

    (void)it;
    asked[n + (size_t)(got > 0 ? got : 0)] = '\0';
    return strcmp(asked, "?\r?\r") == 0;
}

static void a_meter_is_asked_in_its_period(void **state)
{
    (void)state;
    asked[0] = '\0';
    strcpy(meter.poll, "?\\r");
    plug_in();
    drive_open(&drive, address, &setup);
    drive_expect(&drive, was_asked_twice, patience_s);
    drive_forget(&drive);
    say("SNR 1 LOCK no\r\nSNR 1.5 LOCK no\r\n");
    drive_expect(&drive, has_level, patience_s);
    assert_int_equal(drive.count[RECORD_LEVEL], 1);
}

static void a_port_in_use_is_said_to_be(void **state)
{
    struct drive other = {.turns = 0};

    (void)state;
    plug_in();
    drive_open(&drive, address, &setup);
    drive_expect(&drive, is_up, patience_s);
    drive_open(&other, address, &setup);
    bool down = drive_until(&other, is_down, patience_s);
    drive_close(&other);
    assert_true(down);
    assert_non_null(strstr(other.why[SOURCE_DOWN], "in use by another program"));
    /* and it did no harm */
    say("SNR 1 LOCK no\r\nSNR 1.5 LOCK no\r\n");
    drive_expect(&drive, has_level, patience_s);
}

static void waiting_for_a_device_does_not_spin(void **state)
{
    (void)state;
    drive_open(&drive, address, &setup);
    drive_until(&drive, never, 1.0);
    plug_in();
    drive_expect(&drive, is_up, patience_s);
    drive_until(&drive, never, 0.5);
    unplug();
    drive_until(&drive, never, 1.0);
    assert_true(is_down(&drive));
    assert_true(drive.turns < 40);
}

int main(void)
{
#define WITH_DEVICE(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH_DEVICE(a_meter_is_read_through_unplugging_and_plugging_in),
        WITH_DEVICE(the_line_is_raw_and_as_fast_as_the_profile_says),
        WITH_DEVICE(a_meter_is_asked_in_its_period),
        WITH_DEVICE(a_port_in_use_is_said_to_be),
        WITH_DEVICE(waiting_for_a_device_does_not_spin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
