#include "expect.h"

#include <errno.h>
#include <string.h>

#include "base/text.h"
#include "source/net.h"
#include "source/ports.h"
#include "source/source.h"

static void the_table_is_alphabetical_and_complete(void **state)
{
    (void)state;
    for (size_t i = 0; source_table[i]; i++) {
        const struct source_ops *ops = source_table[i];
        assert_non_null(ops->open);
        assert_non_null(ops->fd);
        assert_non_null(ops->wake);
        assert_non_null(ops->read);
        assert_non_null(ops->close);
        if (i > 0) {
            assert_true(strcmp(source_table[i - 1]->scheme, ops->scheme) < 0);
        }
    }
}

static void a_wrong_address_is_refused_with_a_phrase(void **state)
{
    static const struct {
        const char *address, *phrase;
    } rows[] = {
        {"", "no such source"},
        {"nonsense:x", "no such source"},
        {"gps", "no such source"},
        {"gpsdx://localhost", "no such source"},
        {"serial:", "name the port"},
        {"serial", "name the port"},
        {"tcp://localhost", "port must be a number"},
        {"tcp://localhost:0", "port must be a number"},
        {"tcp://localhost:65536", "port must be a number"},
        {"tcp://localhost:12x", "port must be a number"},
        {"gpsd://localhost:-1", "port must be a number"},
        {"gpsd://[::1", "is not HOST:PORT"},
        {"gpsd://[::1]2947", "is not HOST:PORT"},
        {"keys:x", "nothing follows"},
        {"replay:/nowhere/at-all", "No such file"},
        {"/nowhere/at-all.jsonl", "No such file"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct source_setup setup = {.name = NULL};
        struct source source;
        char why[RECORD_TEXT_SIZE] = "";
        assert_true(source_open(&source, rows[i].address, &setup, why) < 0);
        assert_null(source.ops);
        if (!strstr(why, rows[i].phrase)) {
            fail_msg("%s: %s", rows[i].address, why);
        }
        source_close(&source);
    }
}

static void a_wrong_profile_of_a_serial_port_is_refused(void **state)
{
    static const struct {
        int baud;
        const char *framing;
        int want;
        const char *phrase;
    } rows[] = {
        {9600, "8N1", 0, ""},
        {115200, "7E1", 0, ""},
        {4800, "8O2", 0, ""},
        {1234, "8N1", -EINVAL, "baud 1234"},
        {9600, "", -EINVAL, "framing"},
        {9600, "8N", -EINVAL, "framing"},
        {9600, "8X1", -EINVAL, "framing"},
        {9600, "9N1", -EINVAL, "framing"},
        {9600, "8N3", -EINVAL, "framing"},
        {9600, "8N11", -EINVAL, "framing"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct job_meter meter = {.baud = rows[i].baud};
        struct source_setup setup = {.meter = &meter};
        struct source source;
        char why[RECORD_TEXT_SIZE] = "";
        text_copy(meter.framing, sizeof meter.framing, rows[i].framing);
        assert_int_equal(source_open(&source, "serial:/dev/null", &setup, why), rows[i].want);
        assert_non_null(strstr(why, rows[i].phrase));
        source_close(&source);
    }
}

/* What the source says first, opened by this address. */
static void expect_first(const char *address, enum record_source_status status, const char *phrase)
{
    struct source_setup setup = {.name = "it"};
    struct source source;
    struct record record;
    char why[RECORD_TEXT_SIZE] = "";

    assert_int_equal(source_open(&source, address, &setup, why), 0);
    assert_true(source.ops->wake(source.self) <= 0.0);
    assert_int_equal(source.ops->read(source.self, 0.0, &record), 1);
    assert_int_equal(record.kind, RECORD_SOURCE);
    assert_int_equal(record.source.status, status);
    assert_string_equal(record.source.name, "it");
    if (!strstr(record.source.why, phrase)) {
        fail_msg("%s: %s", address, record.source.why);
    }
    assert_int_equal(source.ops->read(source.self, 0.0, &record), 0);
    source_close(&source);
}

static void a_device_that_is_not_there_is_no_failure_but_said(void **state)
{
    (void)state;
    expect_first("serial:/dev/nowhere-at-all", SOURCE_DOWN, "is it plugged in?");
    expect_first("serial:/dev/null", SOURCE_DOWN, "not a serial port");
    expect_first("keys:", SOURCE_UP, "");
    expect_first("keys", SOURCE_UP, "");
}

static void addresses_are_read_in_every_spelling(void **state)
{
    static const struct {
        const char *text, *port, *shown;
    } rows[] = {
        {"", "2947", "localhost:2947"},
        {"//", "2947", "localhost:2947"},
        {"//localhost", "2947", "localhost:2947"},
        {"//127.0.0.1:2950", "2947", "127.0.0.1:2950"},
        {"192.0.2.7:4001", NULL, "192.0.2.7:4001"},
        {"//[::1]", "2947", "[::1]:2947"},
        {"//[2001:db8::7]:4001", NULL, "[2001:db8::7]:4001"},
        {"//:4001", NULL, "localhost:4001"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct net_address address;
        char why[RECORD_TEXT_SIZE] = "";
        if (net_resolve(rows[i].text, rows[i].port, &address, why) != 0) {
            fail_msg("%s: %s", rows[i].text, why);
        }
        assert_string_equal(address.shown, rows[i].shown);
    }
}

static void the_ports_of_this_computer_are_listed_or_it_says_that_it_cannot(void **state)
{
    static struct ports_entry ports[PORTS_MOST];
    int n = ports_list(ports, PORTS_MOST);

    (void)state;
    assert_true(n <= PORTS_MOST);
    for (int i = 0; i < n; i++) {
        assert_int_equal(ports[i].device[0], '/');
    }
    assert_true(ports_list(ports, 0) <= 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_table_is_alphabetical_and_complete),
        cmocka_unit_test(a_wrong_address_is_refused_with_a_phrase),
        cmocka_unit_test(a_wrong_profile_of_a_serial_port_is_refused),
        cmocka_unit_test(a_device_that_is_not_there_is_no_failure_but_said),
        cmocka_unit_test(addresses_are_read_in_every_spelling),
        cmocka_unit_test(the_ports_of_this_computer_are_listed_or_it_says_that_it_cannot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
