/*
 * gpsd.c - position, time and attitude from gpsd.
 *
 * The socket is our own: gps_open() blocks, and for as long as the network likes. libgps reads the
 * lines (gps_unpack), so that a line means the same here as in any other client.
 */
#include "source/gpsd.h"

#include <errno.h>
#include <gps.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "source/feed.h"
#include "source/net.h"
#include "source/source.h"

/* --- lines ---------------------------------------------------------------------------------- */

struct gpsd_parser {
    struct gps_data_t data;
    char name[RECORD_NAME_SIZE];
    int satellites; /* used, of the last sky view; -1 = none yet */
};

struct gpsd_parser *gpsd_parser_create(const char *name)
{
    struct gpsd_parser *parser = calloc(1, sizeof *parser);

    if (parser) {
        text_copy(parser->name, sizeof parser->name, name);
        parser->satellites = -1;
    }
    return parser;
}

void gpsd_parser_destroy(struct gpsd_parser *parser)
{
    free(parser);
}

static int refuse(int r, const char *phrase, char why[RECORD_TEXT_SIZE])
{
    text_copy(why, RECORD_TEXT_SIZE, phrase);
    return r;
}

/* An estimate of an error: a finite number, or not stated. */
static double stated(double value)
{
    return isfinite(value) && value >= 0.0 ? value : NAN;
}

static int read_position(const struct gpsd_parser *parser, struct gpsd_report *report,
                         char why[RECORD_TEXT_SIZE])
{
    const struct gps_fix_t *fix = &parser->data.fix;
    struct record *record = &report->records[0];
    bool has_fix = fix->mode >= MODE_2D && (parser->data.set & LATLON_SET);

    if (!(parser->data.set & MODE_SET)) {
        return refuse(-EINVAL, _("a position report without a mode"), why);
    }
    *record = (struct record){.kind = RECORD_FIX};
    record->fix = (struct record_fix){
        NAN, NAN, NAN, NAN, has_fix ? fix->mode : MODE_NO_FIX, parser->satellites};
    if (has_fix) {
        if (!(fabs(fix->latitude) <= 90.0) || !(fabs(fix->longitude) <= 180.0) ||
            fabs(fix->altHAE) > 1e5) {
            return refuse(-ERANGE, _("a position that can't be"), why);
        }
        record->fix.lat_deg = fix->latitude;
        record->fix.lon_deg = fix->longitude;
        record->fix.height_m = fix->mode >= MODE_3D ? fix->altHAE : NAN;
        record->fix.error_m = stated(isnan(fix->eph) ? hypot(fix->epx, fix->epy) : fix->eph);
    }
    report->count = 1;
    report->is_position = true;
    report->is_receiver = true;
    if (parser->data.set & TIME_SET) {
        report->unix_s = (double)fix->time.tv_sec + 1e-9 * (double)fix->time.tv_nsec;
        if (has_fix) {
            record = &report->records[report->count++];
            *record = (struct record){.kind = RECORD_UTC, .utc.unix_s = report->unix_s};
        }
    }
    return 0;
}

static int read_attitude(const struct gpsd_parser *parser, struct gpsd_report *report,
                         char why[RECORD_TEXT_SIZE])
{
    const struct attitude_t *attitude = &parser->data.attitude;
    struct record *record = &report->records[0];
    struct record_angles angles = {.magnetic = false};

    if (attitude->heading < 0.0 || attitude->heading > 360.0 || fabs(attitude->pitch) > 90.0 ||
        fabs(attitude->roll) > 180.0) {
        return refuse(-ERANGE, _("an angle out of range"), why);
    }
    report->is_receiver = true;
    if (isnan(attitude->heading) && isnan(attitude->pitch) && isnan(attitude->roll)) {
        return 0;
    }
    angles.deg[AXIS_AZIMUTH] = fmod(attitude->heading, 360.0);
    angles.deg[AXIS_ELEVATION] = attitude->pitch;
    angles.deg[AXIS_SKEW] = attitude->roll;
    text_copy(angles.from, sizeof angles.from, parser->name);
    *record = (struct record){.kind = RECORD_ANGLES, .angles = angles};
    report->count = 1;
    return 0;
}

/* {"class":"SKY",...,"uSat":7,"satellites":[{"PRN":1,...,"used":true},...]}: either may be missing.
 */
static void read_sky(struct gpsd_parser *parser, const json_t *root)
{
    const json_t *used = json_object_get(root, "uSat");
    const json_t *list = json_object_get(root, "satellites");
    int count = 0;

    if (json_is_integer(used)) {
        json_int_t n = json_integer_value(used);
        parser->satellites = n >= 0 && n <= 999 ? (int)n : parser->satellites;
    } else if (json_is_array(list)) {
        for (size_t i = 0; i < json_array_size(list); i++) {
            count += json_is_true(json_object_get(json_array_get(list, i), "used"));
        }
        parser->satellites = count;
    }
}

/* Has the object neither objects nor lists in it? */
static bool is_flat(json_t *root)
{
    const char *key;
    json_t *value;

    json_object_foreach(root, key, value)
    {
        if (json_is_object(value) || json_is_array(value)) {
            return false;
        }
    }
    return true;
}

static int read_report(struct gpsd_parser *parser, json_t *root, char *line,
                       struct gpsd_report *report, char why[RECORD_TEXT_SIZE])
{
    const char *class = json_string_value(json_object_get(root, "class"));

    if (strcmp(class, "TPV") == 0 || strcmp(class, "ATT") == 0) {
        if (!is_flat(root)) {
            return refuse(-EINVAL, _("not understood"), why);
        }
        /* libgps leaves what the line does not mention as it was; `set` tells what it does */
        parser->data.set = 0;
        gps_unpack(line, &parser->data);
    }
    if (strcmp(class, "TPV") == 0) {
        return read_position(parser, report, why);
    }
    if (strcmp(class, "ATT") == 0) {
        return parser->data.set & ATTITUDE_SET ? read_attitude(parser, report, why)
                                               : refuse(-EINVAL, _("not understood"), why);
    }
    if (strcmp(class, "SKY") == 0) {
        read_sky(parser, root);
        report->is_receiver = true;
    }
    return strcmp(class, "ERROR") == 0 ? refuse(-EINVAL, _("gpsd reports an error"), why) : 0;
}

/*
 * libgps takes what it can of half an object, and some broken ones keep gps_unpack() of 3.22 busy
 * for ever (`{"class":"DEVICES",,devices":[{"class":"DEVICE"...` was found by the fuzz target). So
 * it only gets whole objects, and only the flat ones that are wanted.
 */
int gpsd_parse_line(struct gpsd_parser *parser, char *line, struct gpsd_report *ret_report,
                    char why[RECORD_TEXT_SIZE])
{
    struct gpsd_report report = {.unix_s = NAN};
    json_t *root;
    int r;

    if (strncmp(line, "{\"class\":\"", 10) != 0) {
        return refuse(-EINVAL, _("not a line of gpsd"), why);
    }
    root = json_loads(line, JSON_REJECT_DUPLICATES, NULL);
    if (root) {
        r = read_report(parser, root, line, &report, why);
        json_decref(root);
    } else {
        r = refuse(-EINVAL, _("not a whole line of gpsd"), why);
    }
    if (r == 0) {
        *ret_report = report;
    }
    return r;
}

/* --- the source ----------------------------------------------------------------------------- */

static const double silence_s = 5.0;
/* A fixed antenna does not run away: fixes and times once a second are plenty. A little less than
 * one, so that a receiver that reports each second is not halved by jitter. */
static const double period_s = 0.9;

struct gpsd {
    struct feed feed;
    char room[GPSD_LINE_SIZE];
    struct net_address address;
    struct gpsd_parser *parser; /* owned */
    double fix_t, utc_t;        /* of the last record of that kind */
    int fix_mode;
};

static int gpsd_begin(const void *where, char why[RECORD_TEXT_SIZE])
{
    return net_connect(where, why);
}

static int gpsd_ready(const void *where, int fd, char why[RECORD_TEXT_SIZE])
{
    int r = net_ready(where, fd, why);

    if (r == -ECONNREFUSED) {
        text_append(why, RECORD_TEXT_SIZE, _(": is gpsd running?"));
    }
    return r;
}

static const struct feed_ops feed_ops = {
    .open = gpsd_begin,
    .ready = gpsd_ready,
    .greeting = "?WATCH={\"enable\":true,\"json\":true};\n",
    .gone = N_("gpsd has stopped"),
    .silent = N_("gpsd runs, but no receiver reports: is it plugged in and switched on?"),
    .is_socket = true,
};

static int gpsd_open(const char *address, const struct source_setup *setup, void **ret_self,
                     char why[RECORD_TEXT_SIZE])
{
    struct gpsd *self = calloc(1, sizeof *self);
    int r = -ENOMEM;

    text_copy(why, RECORD_TEXT_SIZE, _("out of memory"));
    if (!self) {
        return r;
    }
    self->parser = gpsd_parser_create(setup->name);
    if (self->parser) {
        r = net_resolve(address, DEFAULT_GPSD_PORT, &self->address, why);
    }
    if (r < 0) {
        gpsd_parser_destroy(self->parser);
        free(self);
        return r;
    }
    self->fix_t = -INFINITY;
    self->utc_t = -INFINITY;
    feed_init(&self->feed, &feed_ops, &self->address, setup->name, silence_s, self->room,
              sizeof self->room);
    *ret_self = self;
    return 0;
}

/* Is this record news, or only the same again too soon? */
static bool is_due(struct gpsd *self, double t, const struct record *record)
{
    if (record->kind == RECORD_FIX) {
        if (t < self->fix_t + period_s && record->fix.mode == self->fix_mode) {
            return false;
        }
        self->fix_t = t;
        self->fix_mode = record->fix.mode;
    } else if (record->kind == RECORD_UTC) {
        if (t < self->utc_t + period_s) {
            return false;
        }
        self->utc_t = t;
    }
    return true;
}

static void handle_line(struct gpsd *self, double t)
{
    struct gpsd_report report;
    char why[RECORD_TEXT_SIZE];
    char copy[GPSD_LINE_SIZE]; /* libgps changes the line; the screen shows a bad one as it came */

    memcpy(copy, self->feed.line.text, self->feed.line.length + 1);
    if (gpsd_parse_line(self->parser, copy, &report, why) < 0) {
        feed_refuse(&self->feed, t, why);
        return;
    }
    if (report.is_receiver) {
        feed_heard(&self->feed, t);
    }
    for (int i = 0; i < report.count; i++) {
        if (is_due(self, t, &report.records[i])) {
            feed_put(&self->feed, t, &report.records[i]);
        }
    }
}

static int gpsd_read(void *self, double t, struct record *ret)
{
    struct gpsd *gpsd = self;

    for (;;) {
        bool more;
        if (feed_take(&gpsd->feed, ret)) {
            return 1;
        }
        more = feed_line(&gpsd->feed, t);
        if (more) {
            handle_line(gpsd, t);
        }
        if (!more && gpsd->feed.queue_count == 0) {
            return 0;
        }
    }
}

static int gpsd_fd(const void *self)
{
    return ((const struct gpsd *)self)->feed.fd;
}

static double gpsd_wake(const void *self)
{
    return feed_wake(&((const struct gpsd *)self)->feed);
}

static void gpsd_close(void *self)
{
    struct gpsd *gpsd = self;

    if (gpsd) {
        feed_finish(&gpsd->feed);
        gpsd_parser_destroy(gpsd->parser);
        free(gpsd);
    }
}

const struct source_ops source_gpsd = {
    .scheme = "gpsd",
    .open = gpsd_open,
    .fd = gpsd_fd,
    .wake = gpsd_wake,
    .read = gpsd_read,
    .close = gpsd_close,
};
