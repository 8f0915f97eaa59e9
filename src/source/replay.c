#include "source/replay.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "session/log.h"
#include "source/gpsd.h"
#include "source/line.h"
#include "source/source.h"

/* A capture whose receiver never says the time: gpsd reports once a cycle, mostly each second. */
static const double cycle_s = 1.0;

/* A capture of gpsd's lines. */
struct capture {
    FILE *file;                 /* owned; NULL = the file is a log */
    struct gpsd_parser *parser; /* owned */
    struct line line;
    char room[GPSD_LINE_SIZE];
    char bytes[4096];
    size_t count, next;
    unsigned long number; /* of the line at hand, 1-based; empty lines are not counted */
    double start_s;       /* UTC of the first position; NaN = none yet */
    double t;             /* of the line at hand */
};

struct replay {
    char name[RECORD_NAME_SIZE];
    struct log_reader log;
    struct capture capture;
    struct record queue[GPSD_RECORDS + 1];
    int first, count;
    bool ended;
    double last_t; /* of the newest record taken off the file */
};

static const char capture_start[] = "{\"class\":\"";

bool replay_is_capture(const char *path)
{
    char start[sizeof capture_start] = "";
    FILE *file = fopen(path, "re");

    if (!file) {
        return false;
    }
    if (!fgets(start, sizeof start, file)) {
        start[0] = '\0';
    }
    fclose(file);
    return strcmp(start, capture_start) == 0;
}

/* --- filling -------------------------------------------------------------------------------- */

static void put(struct replay *self, double t, const struct record *record)
{
    struct record *slot = &self->queue[self->count++];

    *slot = *record;
    slot->t = t;
    self->last_t = t;
}

static void put_source(struct replay *self, enum record_source_status status, const char *why)
{
    struct record record = {.kind = RECORD_SOURCE, .source.status = status};

    record.source.bad = status == SOURCE_DOWN;
    text_copy(record.source.name, sizeof record.source.name, self->name);
    text_sanitize(record.source.why, sizeof record.source.why, why, strlen(why));
    put(self, self->last_t, &record);
}

static void end_with(struct replay *self, const char *why)
{
    self->ended = true;
    put_source(self, SOURCE_DOWN, why);
}

/* The next record of a log that was fed in. */
static void fill_from_log(struct replay *self)
{
    char why[JOB_ERROR_SIZE] = "";
    struct record record;
    int r;

    do {
        r = log_reader_next(&self->log, &record, why);
    } while (r == 1 && record_is_made(&record));
    if (r == 1) {
        put(self, record.t, &record);
    } else if (r == 0) {
        self->ended = true;
    } else {
        end_with(self, why);
    }
}

/* The next line: 1, 0 = the end (half a line there is let go), -EINVAL too long or with a NUL. */
static int capture_line(struct capture *capture)
{
    for (;;) {
        enum line_result result;
        size_t used;
        if (capture->next == capture->count) {
            capture->next = 0;
            capture->count = fread(capture->bytes, 1, sizeof capture->bytes, capture->file);
            if (capture->count == 0) {
                return 0;
            }
        }
        result = line_feed(&capture->line, capture->bytes + capture->next,
                           capture->count - capture->next, &used);
        capture->next += used;
        if (result != LINE_MORE) {
            capture->number++;
            return result == LINE_WHOLE ? 1 : -EINVAL;
        }
    }
}

/* Session time of a line: by the receiver's clock where it says one, never backward. */
static void set_time(struct capture *capture, const struct gpsd_report *report)
{
    if (!isnan(report->unix_s)) {
        if (isnan(capture->start_s)) {
            capture->start_s = report->unix_s - capture->t;
        }
        capture->t = fmax(capture->t, report->unix_s - capture->start_s);
    } else if (report->is_position) {
        capture->t += cycle_s;
    }
}

static void fill_from_capture(struct replay *self)
{
    struct capture *capture = &self->capture;
    struct gpsd_report report;
    char why[RECORD_TEXT_SIZE], text[RECORD_TEXT_SIZE] = "";
    int r = capture_line(capture);

    text_copy(why, sizeof why, _("too long or with a NUL in it"));
    if (r == 0) {
        self->ended = true;
        return;
    }
    if (r == 1) {
        r = gpsd_parse_line(capture->parser, capture->line.text, &report, why);
    }
    if (r < 0) {
        text_append(text, sizeof text, _("line %lu: %s"), capture->number, why);
        end_with(self, text);
        return;
    }
    set_time(capture, &report);
    for (int i = 0; i < report.count; i++) {
        put(self, capture->t, &report.records[i]);
    }
}

static void fill(struct replay *self)
{
    self->first = 0;
    self->count = 0;
    while (self->count == 0 && !self->ended) {
        if (self->capture.file) {
            fill_from_capture(self);
        } else {
            fill_from_log(self);
        }
    }
}

/* --- the source ----------------------------------------------------------------------------- */

static int open_capture(struct replay *self, const char *path, char why[RECORD_TEXT_SIZE])
{
    struct capture *capture = &self->capture;

    capture->parser = gpsd_parser_create(self->name);
    capture->file = capture->parser ? fopen(path, "re") : NULL;
    if (!capture->file) {
        text_copy(why, RECORD_TEXT_SIZE, fault_words(capture->parser ? errno : ENOMEM));
        return -EINVAL;
    }
    line_init(&capture->line, capture->room, sizeof capture->room);
    capture->start_s = NAN;
    put_source(self, SOURCE_UP, "");
    return 0;
}

/* The job and the procedure of the header are for the command; here they only prove a log. */
static int open_log(struct replay *self, const char *path, char why[RECORD_TEXT_SIZE])
{
    struct header {
        struct job job;
        struct procedure procedure;
    } *header = malloc(sizeof *header);
    char phrase[JOB_ERROR_SIZE];
    int r = -ENOMEM;

    text_copy(phrase, sizeof phrase, _("out of memory"));
    if (header) {
        r = log_reader_open(&self->log, path, &header->job, &header->procedure, phrase);
    }
    free(header);
    if (r < 0) {
        text_sanitize(why, RECORD_TEXT_SIZE, phrase, strlen(phrase));
        return r;
    }
    fill(self);
    return 0;
}

static void replay_close(void *self)
{
    struct replay *replay = self;

    if (!replay) {
        return;
    }
    log_reader_close(&replay->log);
    gpsd_parser_destroy(replay->capture.parser);
    if (replay->capture.file) {
        fclose(replay->capture.file);
    }
    free(replay);
}

static int replay_open(const char *address, const struct source_setup *setup, void **ret_self,
                       char why[RECORD_TEXT_SIZE])
{
    struct replay *self = calloc(1, sizeof *self);
    int r;

    if (!self) {
        text_copy(why, RECORD_TEXT_SIZE, _("out of memory"));
        return -ENOMEM;
    }
    text_copy(self->name, sizeof self->name, setup->name);
    r = replay_is_capture(address) ? open_capture(self, address, why)
                                   : open_log(self, address, why);
    if (r < 0) {
        replay_close(self);
        return r;
    }
    *ret_self = self;
    return 0;
}

static int replay_fd(const void *self)
{
    (void)self;
    return -1;
}

static double replay_wake(const void *self)
{
    const struct replay *replay = self;

    /* at the end one more call is due, to be told so */
    return replay->first < replay->count ? replay->queue[replay->first].t : replay->last_t;
}

static int replay_read(void *self, double t, struct record *ret)
{
    struct replay *replay = self;

    if (replay->first == replay->count) {
        return -ENODATA;
    }
    if (replay->queue[replay->first].t > t) {
        return 0;
    }
    *ret = replay->queue[replay->first++];
    if (replay->first == replay->count) {
        fill(replay);
    }
    return 1;
}

const struct source_ops source_replay = {
    .scheme = "replay",
    .open = replay_open,
    .fd = replay_fd,
    .wake = replay_wake,
    .read = replay_read,
    .close = replay_close,
};
