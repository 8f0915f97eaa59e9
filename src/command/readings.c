/* readings - what was measured in a session, as a table for a spreadsheet. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/fault.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/flags.h"
#include "command/options.h"
#include "session/log.h"
#include "session/state.h"

static const struct flag no_flags[] = {{NULL}};

static const struct flag_command command = {
    .name = "readings",
    .usage = N_("usage: peakward readings LOG...\n"
                "What was measured, a row a reading, as a table with commas on standard output.\n"),
    .flags = no_flags,
};

static const char head[] = "log,t_s,utc,kind,step,level,unit,filtered,azimuth_deg,elevation_deg,"
                           "skew_deg,locked,carrier,extra,text\r\n";

/* --- fields ---------------------------------------------------------------------------------- */

/* RFC 4180: quotes where a comma, a quote or a line's end stands in it. */
static void put_text(const char *text)
{
    if (!strpbrk(text, ",\"\r\n")) {
        fputs(text, stdout);
        return;
    }
    putchar('"');
    for (const char *p = text; *p; p++) {
        if (*p == '"') {
            putchar('"');
        }
        putchar(*p);
    }
    putchar('"');
}

static void put_number(double value, int places)
{
    putchar(',');
    if (isfinite(value)) {
        printf("%.*f", places, value);
    }
}

/* 2026-05-12T09:30:02.0Z, as ISO 8601 has it; nothing before a clock was heard. */
static void put_utc(const struct state *state)
{
    double now_ms = round(1e3 * (state->utc_s + state->t - state->utc_t));
    time_t whole;
    struct tm utc;
    char text[64];

    putchar(',');
    if (!(fabs(now_ms) < 1e14)) {
        return;
    }
    whole = (time_t)floor(now_ms / 1e3);
    if (gmtime_r(&whole, &utc) && strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%S", &utc) > 0) {
        printf("%s.%03dZ", text, (int)(now_ms - 1e3 * (double)whole));
    }
}

static void put_move(const struct record_move *move)
{
    if (isfinite(move->deg)) {
        printf("%s %+.4f deg", axis_name(move->axis), move->deg);
    } else {
        printf("%s %+.4f turns", axis_name(move->axis), move->turns);
    }
}

/* --- rows ------------------------------------------------------------------------------------ */

/* What was read or said; not what the coach made of it, and not the receiver's position. */
static bool is_reading(const struct record *record)
{
    switch (record->kind) {
    case RECORD_ANGLES:
    case RECORD_LEVEL:
    case RECORD_LOCK:
    case RECORD_AUX:
    case RECORD_MOVE:
    case RECORD_NOTE:
    case RECORD_MARK:
        return true;
    default:
        return false;
    }
}

/* The state once the record is in it: so each row is complete by itself. */
static void put_row(const char *path, const struct state *state, const struct record *record)
{
    put_text(path);
    put_number(state->t, 3);
    put_utc(state);
    printf(",%s,", record_kind_name(record->kind));
    put_text(state->step.name);
    put_number(state->level.value, 4);
    printf(",%s", state->level.known ? level_unit_name(state->level.unit) : "");
    put_number(state->level.known ? state->level.filter.level : NAN, 4);
    for (int i = 0; i < AXIS_COUNT; i++) {
        put_number(state->measured.deg[i], 4);
    }
    printf(",%s,", isnan(state->lock_t) ? "" : state->lock.locked ? "1" : "0");
    put_text(isnan(state->lock_t) ? "" : state->lock.id);
    put_number(record->kind == RECORD_AUX ? record->aux.value : NAN, 6);
    putchar(',');
    if (record->kind == RECORD_MOVE) {
        put_move(&record->move);
    } else if (record->kind == RECORD_AUX) {
        put_text(record->aux.name);
    } else if (record->kind == RECORD_NOTE || record->kind == RECORD_MARK) {
        put_text(record->note.text);
    }
    fputs("\r\n", stdout);
}

struct readings {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct log_reader reader;
};

static int put_log(struct readings *self, const char *path)
{
    char why[JOB_ERROR_SIZE] = "";
    struct record record;
    int r;

    if (log_reader_open(&self->reader, path, &self->job, &self->procedure, why) < 0) {
        command_complain(why, NULL, _("give the log of a session, as peak wrote it"));
        return EXIT_WRONG;
    }
    r = options_magnetic(&self->job, &self->magnetic);
    if (r == 0) {
        state_init(&self->state, &self->job, &self->magnetic);
        while (!ferror(stdout) && (r = log_reader_next(&self->reader, &record, why)) == 1) {
            state_apply(&self->state, &record);
            if (is_reading(&record)) {
                put_row(path, &self->state, &record);
            }
        }
        if (r < 0) {
            command_complain(path, why, _("mend or remove that line"));
        }
    }
    log_reader_close(&self->reader);
    return r < 0 ? EXIT_WRONG : EXIT_DONE;
}

int readings_main(int argc, char **argv)
{
    struct readings *self;
    int status = EXIT_DONE, first, r;
    char unused;

    r = flags_read(argc, argv, &command, &unused, &first);
    if (r != 0) {
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    if (first == argc) {
        command_complain("readings", _("no log"),
                         _("name the log of a session, see peakward readings --help"));
        return EXIT_WRONG;
    }
    self = calloc(1, sizeof *self);
    if (!self) {
        command_complain("readings", fault_words(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    fputs(head, stdout);
    for (int i = first; i < argc && status == EXIT_DONE; i++) {
        status = put_log(self, argv[i]);
    }
    if (status == EXIT_DONE && (fflush(stdout) != 0 || ferror(stdout))) {
        command_complain(_("standard output"), fault_words(errno), _("is the disk full?"));
        status = EXIT_NOT_DONE;
    }
    free(self);
    return status;
}
