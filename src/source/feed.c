#include "source/feed.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"

static const double first_delay_s = 0.5, last_delay_s = 5.0;
static const double look_again_s = 0.05, open_timeout_s = 5.0;
static const double bad_period_s = 1.0;

enum { SHOWN_SIZE = 80 }; /* how much of a refused line is shown */

void feed_init(struct feed *feed, const struct feed_ops *ops, const void *where, const char *name,
               double silence_s, char *room, size_t room_size)
{
    *feed = (struct feed){
        .ops = ops,
        .where = where,
        .fd = -1,
        .retry_t = 0.0,
        .delay_s = first_delay_s,
        .silence_s = silence_s,
        .bad_t = -INFINITY,
        .turn_t = NAN,
    };
    text_copy(feed->name, sizeof feed->name, name);
    line_init(&feed->line, room, room_size);
}

static void close_fd(struct feed *feed)
{
    if (feed->fd >= 0) {
        close(feed->fd);
        feed->fd = -1;
    }
    feed->phase = FEED_CLOSED;
    feed->byte_count = 0;
    feed->byte_next = 0;
}

void feed_finish(struct feed *feed)
{
    close_fd(feed);
}

void feed_put(struct feed *feed, double t, const struct record *record)
{
    struct record *slot;

    assert(feed->queue_count < FEED_QUEUE);
    slot = &feed->queue[(feed->queue_first + feed->queue_count++) % FEED_QUEUE];
    *slot = *record;
    slot->t = t;
}

bool feed_take(struct feed *feed, struct record *ret)
{
    if (feed->queue_count == 0) {
        return false;
    }
    *ret = feed->queue[feed->queue_first];
    feed->queue_first = (feed->queue_first + 1) % FEED_QUEUE;
    feed->queue_count--;
    return true;
}

static void put_source(struct feed *feed, double t, enum record_source_status status,
                       const char *why)
{
    struct record record = {.kind = RECORD_SOURCE};

    record.source.status = status;
    record.source.bad = feed->bad;
    text_copy(record.source.name, sizeof record.source.name, feed->name);
    text_copy(record.source.why, sizeof record.source.why, why);
    feed_put(feed, t, &record);
}

static void say(struct feed *feed, double t, enum record_source_status status, const char *why)
{
    if (feed->said_any && feed->said == status && strcmp(feed->said_why, why) == 0) {
        return;
    }
    feed->said_any = true;
    feed->said = status;
    text_copy(feed->said_why, sizeof feed->said_why, why);
    put_source(feed, t, status, why);
}

/* --- opening and losing --------------------------------------------------------------------- */

static void try_later(struct feed *feed, double t, const char *why)
{
    close_fd(feed);
    say(feed, t, SOURCE_DOWN, why);
    feed->retry_t = t + feed->delay_s;
    feed->delay_s = fmin(2.0 * feed->delay_s, last_delay_s);
}

static void opened(struct feed *feed, double t)
{
    feed->phase = FEED_OPEN;
    feed->heard_t = t;
    feed->fresh = true;
    line_restart(&feed->line);
    if (feed->ops->greeting) {
        feed_send(feed, feed->ops->greeting, strlen(feed->ops->greeting));
    }
    say(feed, t, SOURCE_UP, "");
}

static void look_whether_ready(struct feed *feed, double t)
{
    char why[RECORD_TEXT_SIZE] = "";
    int r = feed->ops->ready ? feed->ops->ready(feed->where, feed->fd, why) : 1;

    if (r > 0) {
        opened(feed, t);
    } else if (r < 0) {
        try_later(feed, t, why);
    } else if (t >= feed->give_up_t) {
        try_later(feed, t, _("no answer within 5 s"));
    } else {
        feed->retry_t = t + look_again_s;
    }
}

static void begin(struct feed *feed, double t)
{
    char why[RECORD_TEXT_SIZE] = "";
    int fd = feed->ops->open(feed->where, why);

    if (fd < 0) {
        try_later(feed, t, why);
        return;
    }
    feed->fd = fd;
    feed->phase = FEED_OPENING;
    feed->give_up_t = t + open_timeout_s;
    look_whether_ready(feed, t);
}

/* --- reading -------------------------------------------------------------------------------- */

/* Fill the empty buffer. False = nothing more now. */
static bool read_bytes(struct feed *feed, double t)
{
    ssize_t n;

    if (feed->turn_t != t) {
        feed->turn_t = t;
        feed->turn_bytes = 0;
    }
    if (feed->turn_bytes >= FEED_TURN) {
        return false; /* the rest stays readable for the next turn */
    }
    n = read(feed->fd, feed->bytes, sizeof feed->bytes);
    if (n > 0) {
        feed->byte_count = (size_t)n;
        feed->byte_next = 0;
        feed->turn_bytes += (size_t)n;
        return true;
    }
    if (n < 0 && (errno == EAGAIN || errno == EINTR)) {
        return false;
    }
    try_later(feed, t, _(feed->ops->gone));
    return false;
}

/* The next line among the bytes at hand. */
static bool next_line(struct feed *feed, double t)
{
    while (feed->byte_next < feed->byte_count) {
        size_t used;
        enum line_result result = line_feed(&feed->line, feed->bytes + feed->byte_next,
                                            feed->byte_count - feed->byte_next, &used);
        feed->byte_next += used;
        if (result == LINE_WHOLE) {
            return true;
        }
        if (result == LINE_REFUSED && feed->fresh) {
            feed->fresh = false; /* noise of plugging in */
        } else if (result == LINE_REFUSED) {
            feed_refuse(feed, t, feed->line.nul ? _("a NUL in it") : _("too long"));
        }
    }
    return false;
}

static void say_bad_lines(struct feed *feed, double t)
{
    feed->bad_unsaid = false;
    feed->bad_t = t;
    put_source(feed, t, SOURCE_BAD, feed->bad_why);
}

bool feed_line(struct feed *feed, double t)
{
    if (feed->phase == FEED_CLOSED && t >= feed->retry_t) {
        begin(feed, t);
    } else if (feed->phase == FEED_OPENING) {
        look_whether_ready(feed, t);
    }
    while (feed->phase == FEED_OPEN) {
        if (next_line(feed, t)) {
            return true;
        }
        if (!read_bytes(feed, t)) {
            break;
        }
    }
    if (feed->phase == FEED_OPEN && t >= feed->heard_t + feed->silence_s) {
        say(feed, t, SOURCE_SILENT, _(feed->ops->silent));
    }
    if (feed->bad_unsaid && t >= feed->bad_t + bad_period_s) {
        say_bad_lines(feed, t);
    }
    return false;
}

void feed_heard(struct feed *feed, double t)
{
    feed->heard_t = t;
    feed->delay_s = first_delay_s;
    feed->fresh = false;
    say(feed, t, SOURCE_UP, "");
}

void feed_refuse(struct feed *feed, double t, const char *why)
{
    char shown[SHOWN_SIZE];

    feed->bad++;
    feed->bad_unsaid = true;
    text_sanitize(shown, sizeof shown, feed->line.text, feed->line.length);
    feed->bad_why[0] = '\0';
    text_append(feed->bad_why, sizeof feed->bad_why, "%s: \"%s\"", why, shown);
    if (t >= feed->bad_t + bad_period_s) {
        say_bad_lines(feed, t);
    }
}

void feed_send(struct feed *feed, const char *bytes, size_t n)
{
    ssize_t sent;

    if (feed->phase != FEED_OPEN) {
        return;
    }
    /* a command that does not fit the device's buffer now is of no use later; a device that is gone
     * is noticed by the next read */
    if (feed->ops->is_socket) {
        sent = send(feed->fd, bytes, n, MSG_NOSIGNAL);
    } else {
        sent = write(feed->fd, bytes, n);
    }
    (void)sent;
}

double feed_wake(const struct feed *feed)
{
    double t = feed->retry_t;

    if (feed->queue_count > 0 || feed->byte_next < feed->byte_count) {
        return 0.0; /* the caller did not take all */
    }
    if (feed->phase == FEED_OPEN) {
        bool silent = feed->said_any && feed->said == SOURCE_SILENT;
        t = silent ? INFINITY : feed->heard_t + feed->silence_s;
    }
    if (feed->bad_unsaid) {
        t = fmin(t, feed->bad_t + bad_period_s);
    }
    return t;
}
