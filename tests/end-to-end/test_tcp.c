/* The tcp source on a server that comes and goes. */
#include "drive.h"

#include <errno.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

static const double patience_s = 10.0;

static struct drive drive;
static struct job_meter meter = {
    .name = "demo", .pattern = "SNR {level}", .unit = LEVEL_DB, .minimum = NAN, .maximum = NAN};
static struct source_setup setup = {.name = "meter", .meter = &meter};
static int server, client, port;
static char address[64];

static int set_up(void **state)
{
    (void)state;
    drive = (struct drive){.turns = 0};
    client = -1;
    server = drive_listen(&port);
    snprintf(address, sizeof address, "tcp://localhost:%d", port);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    drive_close(&drive);
    if (client >= 0) {
        close(client);
    }
    if (server >= 0) {
        close(server);
    }
    return 0;
}

static bool is_accepted(const struct drive *it)
{
    (void)it;
    if (client < 0) {
        client = accept(server, NULL, NULL);
    }
    return client >= 0 && it->said[SOURCE_UP] > 0;
}

static bool is_down(const struct drive *it)
{
    return it->said[SOURCE_DOWN] > 0;
}

static bool has_level(const struct drive *it)
{
    return it->count[RECORD_LEVEL] > 0;
}

static void say(const char *text)
{
    assert_int_equal(write(client, text, strlen(text)), strlen(text));
}

static void a_server_is_read_lost_and_found_again(void **state)
{
    (void)state;
    drive_open(&drive, address, &setup);
    for (int i = 0; i < 2; i++) {
        drive_forget(&drive);
        drive_expect(&drive, is_accepted, patience_s);
        say("9\nSNR 12.5\n");
        drive_expect(&drive, has_level, patience_s);
        expect_near(drive.last[RECORD_LEVEL].level.value, 12.5, 0.0);
        close(client);
        client = -1;
        drive_expect(&drive, is_down, patience_s);
        assert_string_equal(drive.why[SOURCE_DOWN], "the other end closed the connection");
    }
}

static void nobody_there_is_said(void **state)
{
    char want[64];

    (void)state;
    close(server);
    server = -1;
    snprintf(want, sizeof want, "nothing listens at localhost:%d", port);
    drive_open(&drive, address, &setup);
    drive_expect(&drive, is_down, patience_s);
    assert_string_equal(drive.why[SOURCE_DOWN], want);
}

/* 192.0.2.0/24 is for documentation (RFC 5737): nothing answers there, whether packets are dropped
 * or refused. The loop goes on meanwhile. */
static void an_address_that_does_not_answer_holds_nothing_up(void **state)
{
    double begun = drive_clock();

    (void)state;
    drive_open(&drive, "tcp://192.0.2.7:9", &setup);
    drive_until(&drive, is_down, 0.5);
    assert_true(drive_clock() - begun < 2.0);
    assert_true(drive.turns < 40);
    assert_int_equal(drive.said[SOURCE_UP], 0);
}

int main(void)
{
#define WITH_SERVER(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH_SERVER(a_server_is_read_lost_and_found_again),
        WITH_SERVER(nobody_there_is_said),
        WITH_SERVER(an_address_that_does_not_answer_holds_nothing_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
