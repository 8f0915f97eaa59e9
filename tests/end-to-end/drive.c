#include "drive.h"

#include <arpa/inet.h>
#include <math.h>
#include <netinet/in.h>
#include <poll.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>

double drive_clock(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void drive_open(struct drive *drive, const char *address, const struct source_setup *setup)
{
    char why[RECORD_TEXT_SIZE] = "";

    *drive = (struct drive){.start = drive_clock(), .feed_every_s = INFINITY};
    if (source_open(&drive->source, address, setup, why) != 0) {
        fail_msg("%s: %s", address, why);
    }
}

void drive_close(struct drive *drive)
{
    source_close(&drive->source);
}

void drive_forget(struct drive *drive)
{
    memset(drive->count, 0, sizeof drive->count);
    memset(drive->said, 0, sizeof drive->said);
    drive->turns = 0;
}

static void take(struct drive *drive, const struct record *record)
{
    drive->count[record->kind]++;
    drive->last[record->kind] = *record;
    if (record->kind == RECORD_SOURCE) {
        drive->said[record->source.status]++;
        strcpy(drive->why[record->source.status], record->source.why);
    }
}

bool drive_until(struct drive *drive, drive_condition *condition, double seconds)
{
    const struct source_ops *ops = drive->source.ops;
    double deadline = drive_clock() - drive->start + seconds, fed = -INFINITY;
    double t;

    while ((t = drive_clock() - drive->start) < deadline && !drive->ended) {
        struct record record;
        double wake;
        int r;
        if (drive->each_turn && t >= fed + drive->feed_every_s) {
            drive->each_turn(drive->feeder);
            fed = t;
        }
        while ((r = ops->read(drive->source.self, t, &record)) == 1) {
            take(drive, &record);
        }
        drive->ended = r < 0;
        drive->turns++;
        if (condition(drive)) {
            return true;
        }
        wake = fmin(fmin(ops->wake(drive->source.self), deadline), fed + drive->feed_every_s);
        struct pollfd input = {.fd = ops->fd(drive->source.self), .events = POLLIN};
        poll(&input, 1, (int)ceil(fmax(wake - t, 0.0) * 1e3));
    }
    return condition(drive);
}

void drive_expect_at(struct drive *drive, drive_condition *condition, double seconds,
                     const char *what, const char *file, int line)
{
    static const char *const names[] = {"up", "down", "silent", "bad"};

    if (drive_until(drive, condition, seconds)) {
        return;
    }
    print_error("%s: not within %g s\n", what, seconds);
    for (int i = 0; i < RECORD_KIND_COUNT; i++) {
        print_error("  %u %s\n", drive->count[i], record_kind_name((enum record_kind)i));
    }
    for (int i = 0; i <= SOURCE_BAD; i++) {
        print_error("  %u times %s: %s\n", drive->said[i], names[i], drive->why[i]);
    }
    _fail(file, line);
}

int drive_listen(int *ret_port)
{
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof address;
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);

    assert_true(fd >= 0);
    assert_int_equal(bind(fd, (struct sockaddr *)&address, sizeof address), 0);
    assert_int_equal(listen(fd, 4), 0);
    assert_int_equal(getsockname(fd, (struct sockaddr *)&address, &size), 0);
    *ret_port = ntohs(address.sin_port);
    return fd;
}
