#include "source/lines.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "source/escape.h"
#include "source/nmea.h"

static const double least_silence_s = 5.0, silent_polls = 5.0;
static const double default_poll_s = 1.0;
static const double lock_period_s = 1.0; /* a lock that does not change is said this often */

static int compile_meter(struct lines *lines, const struct job_meter *meter,
                         char why[RECORD_TEXT_SIZE])
{
    char phrase[RECORD_TEXT_SIZE];
    size_t position = 0;
    int n = 0;

    why[0] = '\0';
    if (meter->pattern[0] != '\0' &&
        pattern_compile(&lines->pattern, meter->pattern, &position, phrase) < 0) {
        text_append(why, RECORD_TEXT_SIZE, _("meter %s: pattern: at character %zu: %s"),
                    meter->name, position + 1, phrase);
        return -EINVAL;
    }
    n = escape_decode(meter->poll, lines->poll, sizeof lines->poll);
    if (n < 0) {
        text_append(why, RECORD_TEXT_SIZE,
                    _("meter %s: poll: a \\ stands before r n t 0 \\ or x and two digits"),
                    meter->name);
        return -EINVAL;
    }
    lines->poll_length = (size_t)n;
    return 0;
}

static double poll_period_s(const struct lines *lines)
{
    return lines->meter && lines->meter->poll_period_s > 0.0 ? lines->meter->poll_period_s
                                                             : default_poll_s;
}

int lines_init(struct lines *lines, const struct feed_ops *ops, const void *where,
               const struct source_setup *setup, char why[RECORD_TEXT_SIZE])
{
    double silence_s = least_silence_s;

    *lines = (struct lines){.meter = setup->meter, .lock_t = NAN};
    if (lines->meter) {
        int r = compile_meter(lines, lines->meter, why);
        if (r < 0) {
            return r;
        }
    }
    if (lines->poll_length > 0) {
        silence_s = fmax(silence_s, silent_polls * poll_period_s(lines));
    }
    feed_init(&lines->feed, ops, where, setup->name, silence_s, lines->room, sizeof lines->room);
    return 0;
}

void lines_finish(struct lines *lines)
{
    feed_finish(&lines->feed);
}

/* --- what a line says ----------------------------------------------------------------------- */

static void put_angles(struct lines *lines, double t, const struct record_angles *angles)
{
    struct record record = {.kind = RECORD_ANGLES, .angles = *angles};

    feed_put(&lines->feed, t, &record);
}

static void put_lock(struct lines *lines, double t, const struct pattern_reading *reading)
{
    struct record record = {.kind = RECORD_LOCK};
    struct record_lock *lock = &record.lock;

    lock->locked = reading->locked;
    text_copy(lock->id, sizeof lock->id, reading->id);
    if (lines->lock.locked == lock->locked && strcmp(lines->lock.id, lock->id) == 0 &&
        t < lines->lock_t + lock_period_s) {
        return;
    }
    lines->lock = *lock;
    lines->lock_t = t;
    feed_put(&lines->feed, t, &record);
}

static void put_reading(struct lines *lines, double t, const struct pattern_reading *reading)
{
    const struct job_meter *meter = lines->meter;
    struct record record;

    /* angles first: the level that follows was measured there */
    if (!isnan(reading->deg[AXIS_AZIMUTH]) || !isnan(reading->deg[AXIS_ELEVATION]) ||
        !isnan(reading->deg[AXIS_SKEW])) {
        struct record_angles angles = {.magnetic = reading->magnetic};
        memcpy(angles.deg, reading->deg, sizeof angles.deg);
        text_copy(angles.from, sizeof angles.from, lines->feed.name);
        put_angles(lines, t, &angles);
    }
    if (reading->lock_said) {
        put_lock(lines, t, reading);
    }
    if (!isnan(reading->level)) {
        record = (struct record){.kind = RECORD_LEVEL};
        record.level.value = reading->level;
        record.level.unit = meter->unit;
        text_copy(record.level.meter, sizeof record.level.meter, meter->name);
        feed_put(&lines->feed, t, &record);
    }
    for (size_t i = 0; i < reading->aux_count; i++) {
        record = (struct record){.kind = RECORD_AUX, .aux = reading->aux[i]};
        feed_put(&lines->feed, t, &record);
    }
}

/* Is every number where it can be? (A NaN is nowhere, and so never outside.) */
static bool in_range(const struct job_meter *meter, const struct pattern_reading *reading,
                     char why[RECORD_TEXT_SIZE])
{
    const double *deg = reading->deg;

    why[0] = '\0';
    if (fabs(reading->level) > RECORD_HIGHEST_LEVEL) {
        text_append(why, RECORD_TEXT_SIZE, _("level %g is beyond what any meter shows"),
                    reading->level);
    } else if (reading->level < meter->minimum || reading->level > meter->maximum) {
        text_append(why, RECORD_TEXT_SIZE, _("level %g is outside the meter's range"),
                    reading->level);
    } else if (deg[AXIS_AZIMUTH] < 0.0 || deg[AXIS_AZIMUTH] > 360.0) {
        text_append(why, RECORD_TEXT_SIZE, _("azimuth %g is not within 0 to 360"),
                    deg[AXIS_AZIMUTH]);
    } else if (fabs(deg[AXIS_ELEVATION]) > 90.0) {
        text_append(why, RECORD_TEXT_SIZE, _("elevation %g is beyond 90"), deg[AXIS_ELEVATION]);
    } else if (fabs(deg[AXIS_SKEW]) > 180.0) {
        text_append(why, RECORD_TEXT_SIZE, _("skew %g is beyond 180"), deg[AXIS_SKEW]);
    }
    return why[0] == '\0';
}

static void handle_sentence(struct lines *lines, double t, const char *line)
{
    struct nmea_attitude attitude;
    struct record_angles angles;
    int r = nmea_parse(line, &attitude);

    if (r == 1) {
        r = nmea_to_angles(&attitude, lines->feed.name, &angles);
        if (r == 0) {
            put_angles(lines, t, &angles);
        }
    }
    if (r >= 0) {
        feed_heard(&lines->feed, t);
    } else if (lines->feed.fresh) {
        lines->feed.fresh = false;
    } else if (r == -EBADMSG) {
        feed_refuse(&lines->feed, t, _("wrong checksum"));
    } else {
        feed_refuse(&lines->feed, t,
                    r == -ERANGE ? _("an angle out of range") : _("not understood"));
    }
}

static void handle_line(struct lines *lines, double t)
{
    const char *line = lines->feed.line.text;
    struct pattern_reading reading;
    char why[RECORD_TEXT_SIZE];

    if (nmea_is_sentence(line) && !pattern_starts_with(&lines->pattern, line[0])) {
        handle_sentence(lines, t, line);
    } else if (lines->feed.fresh) {
        lines->feed.fresh = false;
    } else if (!pattern_match(&lines->pattern, line, &reading)) {
        feed_refuse(&lines->feed, t, _("not understood"));
    } else if (!in_range(lines->meter, &reading, why)) {
        feed_refuse(&lines->feed, t, why);
    } else {
        feed_heard(&lines->feed, t);
        put_reading(lines, t, &reading);
    }
}

/* --- the source ----------------------------------------------------------------------------- */

static void poll_meter(struct lines *lines, double t)
{
    if (lines->poll_length > 0 && lines->feed.phase == FEED_OPEN && t >= lines->poll_t) {
        feed_send(&lines->feed, lines->poll, lines->poll_length);
        lines->poll_t = t + poll_period_s(lines);
    }
}

int lines_read(struct lines *lines, double t, struct record *ret)
{
    for (;;) {
        bool more;
        if (feed_take(&lines->feed, ret)) {
            return 1;
        }
        more = feed_line(&lines->feed, t);
        if (more) {
            handle_line(lines, t);
        }
        poll_meter(lines, t);
        if (!more && lines->feed.queue_count == 0) {
            return 0;
        }
    }
}

double lines_wake(const struct lines *lines)
{
    double t = feed_wake(&lines->feed);

    return lines->poll_length > 0 && lines->feed.phase == FEED_OPEN ? fmin(t, lines->poll_t) : t;
}

int lines_fd(const struct lines *lines)
{
    return lines->feed.fd;
}
