/* anonymise - a copy of a log for teaching: elsewhere, and without names. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/anonymise_job.h"
#include "command/command.h"
#include "command/flags.h"
#include "command/fold.h"
#include "command/language.h"
#include "command/options.h"
#include "session/log.h"

struct anonymise_options {
    const char *east, *later;
    const char *from, *to; /* the log, the copy */
    double east_deg, later_s;
};

static const struct flag flags[] = {
    {"east", N_("DEGREES"), FLAG_TEXT, offsetof(struct anonymise_options, east), NULL,
     N_("move the site and all satellites so far east; west is negative")},
    {"later", N_("DAYS"), FLAG_TEXT, offsetof(struct anonymise_options, later), NULL,
     N_("move the time of day and the date, too; earlier is negative")},
    {NULL},
};

static const struct flag_command command = {
    .name = "anonymise",
    .usage = N_("usage: peakward anonymise LOG COPY --east DEGREES [OPTION]...\n"
                "A copy of a log for teaching: elsewhere, and without names.\n"),
    .flags = flags,
};

/* Two sessions side by side: as it was, and as it would have been there. */
struct anonymise {
    const struct anonymise_options *options; /* borrowed */
    struct anonymise_names names;
    struct alias extras; /* of what a meter sends beside the level */
    struct job job_was, job_is;
    struct procedure procedure_was, procedure_is;
    struct magnetic_model magnetic_was, magnetic_is;
    struct state was, is;
    struct coach coach;
    struct log_reader reader;
    struct log_writer copy;
    int failed; /* -errno of writing */
};

/* --- options --------------------------------------------------------------------------------- */

static int parse_number(const char *flag, const char *text, double most, const char *hint,
                        double *ret)
{
    if (text_parse_double(text, ret) < 0 || fabs(*ret) > most) {
        command_complain(flag, text, hint);
        return -EINVAL;
    }
    return 0;
}

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct anonymise_options *options)
{
    double days = 0.0;
    int first, r;

    *options = (struct anonymise_options){.east = NULL};
    r = flags_read(argc, argv, &command, options, &first);
    if (r != 0) {
        return r;
    }
    if (argc - first != 2) {
        command_complain("anonymise", _("two names are needed"),
                         _("name the log and its copy, see peakward anonymise --help"));
        return -EINVAL;
    }
    options->from = argv[first];
    options->to = argv[first + 1];
    if (!options->east) {
        command_complain("--east", _("how far is not said"),
                         _("give degrees of longitude, such as --east 12.5 or --east=-40"));
        return -EINVAL;
    }
    if (parse_number("--east", options->east, 180.0, _("give degrees from -180 to 180"),
                     &options->east_deg) < 0 ||
        (options->later && parse_number("--later", options->later, 36525.0,
                                        _("give days, at most a century"), &days) < 0)) {
        return -EINVAL;
    }
    options->later_s = 86400.0 * days;
    return 0;
}

/* --- records --------------------------------------------------------------------------------- */

/* The needle shows elsewhere what makes the same true azimuth there. */
static void move_needle(const struct anonymise *self, struct record_angles *angles)
{
    double *azimuth_deg = &angles->deg[AXIS_AZIMUTH];

    if (angles->magnetic && isfinite(*azimuth_deg) && self->was.field_known &&
        self->is.field_known) {
        *azimuth_deg += self->was.field.declination_deg - self->is.field.declination_deg;
    }
}

/* What becomes of a record that was fed in. */
static void hide(struct anonymise *self, struct record *record)
{
    struct anonymise_names *names = &self->names;

    switch (record->kind) {
    case RECORD_FIX:
        record->fix.lon_deg = anonymise_longitude(record->fix.lon_deg, self->options->east_deg);
        break;
    case RECORD_UTC:
        record->utc.unix_s += self->options->later_s;
        break;
    case RECORD_ANGLES:
        alias_of(&names->devices, record->angles.from, record->angles.from, RECORD_NAME_SIZE);
        move_needle(self, &record->angles);
        break;
    case RECORD_LEVEL:
        alias_of(&names->devices, record->level.meter, record->level.meter, RECORD_NAME_SIZE);
        break;
    case RECORD_LOCK:
        alias_of(&names->carriers, record->lock.id, record->lock.id, RECORD_NAME_SIZE);
        break;
    case RECORD_AUX:
        if (strcmp(record->aux.name, "cross") != 0) {
            alias_of(&self->extras, record->aux.name, record->aux.name, RECORD_NAME_SIZE);
        }
        break;
    case RECORD_NOTE:
    case RECORD_MARK:
        text_copy(record->note.text, sizeof record->note.text, _("(dropped)"));
        break;
    case RECORD_SOURCE:
        alias_of(&names->devices, record->source.name, record->source.name, RECORD_NAME_SIZE);
        record->source.why[0] = '\0';
        break;
    case RECORD_MOVE:
    case RECORD_STEP:
    case RECORD_ADVICE:
    case RECORD_KIND_COUNT:
        break;
    }
}

static void keep(void *to, const struct record *record)
{
    struct anonymise *self = to;
    int r = log_write(&self->copy, record);

    self->failed = self->failed < 0 ? self->failed : r;
}

/* What the coach made is made anew: its sentences hold names and angles. */
static int copy_records(struct anonymise *self)
{
    char why[JOB_ERROR_SIZE] = "";
    struct record record;
    int r;

    while (self->failed == 0 && (r = log_reader_next(&self->reader, &record, why)) == 1) {
        struct record other = record;
        if (record_is_made(&record)) {
            continue;
        }
        state_apply(&self->was, &record);
        hide(self, &other);
        fold_record(&self->is, &self->coach, &other, keep, self);
    }
    if (self->failed == 0 && r < 0) {
        command_complain(self->options->from, why, _("mend or remove that line"));
        return EXIT_WRONG;
    }
    return EXIT_DONE;
}

/* --- the whole ------------------------------------------------------------------------------- */

static int complain_of_copy(const struct anonymise *self, int r)
{
    command_complain(self->options->to,
                     r == -EEXIST ? _("there is a file already") : fault_words(-r),
                     r == -EEXIST ? _("give another name") : _("give another place"));
    return EXIT_WRONG;
}

static int begin(struct anonymise *self)
{
    char why[JOB_ERROR_SIZE] = "";

    language_of_log(self->reader.language);
    anonymise_names_init(&self->names);
    self->extras.word = "extra";
    if (anonymise_job(&self->job_was, self->options->east_deg, &self->names, &self->job_is, why) <
            0 ||
        anonymise_procedure(&self->procedure_was, &self->procedure_is, why) < 0) {
        command_complain(self->options->from, why, NULL);
        return -EINVAL;
    }
    if (options_magnetic(&self->job_was, &self->magnetic_was) < 0) {
        return -EINVAL;
    }
    magnetic_builtin(&self->magnetic_is);
    state_init(&self->was, &self->job_was, &self->magnetic_was);
    state_init(&self->is, &self->job_is, &self->magnetic_is);
    coach_init(&self->coach, &self->job_is, &self->procedure_is);
    return 0;
}

static int make_copy(struct anonymise *self)
{
    int status, r;

    if (begin(self) < 0) {
        return EXIT_WRONG;
    }
    r = log_create(&self->copy, self->options->to, &self->job_is, &self->procedure_is);
    if (r < 0) {
        return complain_of_copy(self, r);
    }
    status = copy_records(self);
    r = log_close(&self->copy);
    r = self->failed < 0 ? self->failed : r;
    if (status == EXIT_DONE && r < 0) {
        complain_of_copy(self, r);
        return EXIT_NOT_DONE;
    }
    return status;
}

static int run(const struct anonymise_options *options)
{
    struct anonymise *self = calloc(1, sizeof *self);
    char why[JOB_ERROR_SIZE] = "";
    int status = EXIT_WRONG;

    if (!self) {
        command_complain("anonymise", fault_words(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    self->options = options;
    if (log_reader_open(&self->reader, options->from, &self->job_was, &self->procedure_was, why) <
        0) {
        command_complain(why, NULL, _("give the log of a session, as peak wrote it"));
    } else {
        status = make_copy(self);
        log_reader_close(&self->reader);
    }
    free(self);
    return status;
}

int anonymise_main(int argc, char **argv)
{
    struct anonymise_options options;
    int r = parse(argc, argv, &options);

    return r == 1 ? EXIT_DONE : r < 0 ? EXIT_WRONG : run(&options);
}
