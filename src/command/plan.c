/* plan - the pointing sheet: where the satellite stands, seen from the site. */
#include "base/fault.h"
#include "base/tongue.h"
#include "command/plan_sheet.h"

#include <errno.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "command/command.h"
#include "command/options.h"
#include "command/plan_batch.h"
#include "command/plan_row.h"
#include "job/cut_file.h"
#include "job/elements_file.h"
#include "sky/utc.h"

struct plan_options {
    struct options shared;
    const char *date; /* NULL = now */
    double unix_s;
    const char *batch; /* NULL = one site */
    const char *svg;   /* NULL = no drawing */
    bool json, csv;
};

static const struct flag flags[] = {
    {"date", N_("YYYY-MM-DD[THH:MM]"), FLAG_TEXT, offsetof(struct plan_options, date), NULL,
     N_("UTC, for declination and sun (now)")},
    {"json", NULL, FLAG_ON, offsetof(struct plan_options, json), NULL,
     N_("one object at full precision")},
    {"csv", NULL, FLAG_ON, offsetof(struct plan_options, csv), NULL,
     N_("one row with the columns of --batch")},
    {"svg", N_("FILE"), FLAG_TEXT, offsetof(struct plan_options, svg), NULL,
     N_("draw the sky with arc, skyline and sun, too, for printing")},
    {"batch", N_("TABLE"), FLAG_TEXT, offsetof(struct plan_options, batch), NULL,
     N_("many sites from a file with commas, or - for standard input:\n"
        "columns lat and lon, and height_m, target, pol, date where\n"
        "there are such; each row is written with more columns")},
    {NULL},
};

static const struct flag_command command = {
    .name = "plan",
    .usage = N_("usage: peakward plan --site LAT,LON,HEIGHT --target LONGITUDE --pol V|H|circular\n"
                "       peakward plan --job FILE\n"
                "       peakward plan --batch TABLE [--target LONGITUDE] [--pol V|H|circular]\n"
                "Say where the satellite stands, seen from the site.\n"),
    .flags = flags,
    .common = options_shared,
};

static void warn(const struct plan_sheet *sheet)
{
    char why[160];

    if (!sheet->row.field.in_date) {
        snprintf(why, sizeof why, _("%s holds from %.1f to %.1f, the date is %s"),
                 sheet->model_name, sheet->model_from, sheet->model_to, sheet->date);
        command_complain(_("warning: the magnetic declination is out of date"), why,
                         _("check the clock or give --date; a newer .COF file goes into the job, "
                           "[files] magnetic_model"));
    }
    if (sheet->row.field.weak) {
        command_complain(sheet->row.field.blackout
                             ? _("warning: no compass is of use here")
                             : _("warning: a compass is not to be trusted here"),
                         _("the earth's field is too steep"),
                         _("take the bearing from a map, the sun or a GNSS compass"));
    }
}

/* 0; 1 = help was asked for; -EINVAL after complaining. */
static int parse(int argc, char **argv, struct plan_options *options)
{
    int first, r;

    *options = (struct plan_options){.unix_s = (double)time(NULL)};
    r = flags_read(argc, argv, &command, options, &first);
    if (r != 0) {
        return r;
    }
    if (options->date && utc_parse(options->date, &options->unix_s) < 0) {
        command_complain("--date", options->date, _("give a day such as 2026-11-25"));
        return -EINVAL;
    }
    if (first < argc) {
        command_complain(argv[first], _("not a flag"), _("see peakward plan --help"));
        return -EINVAL;
    }
    return 0;
}

/* What the files say that the job names. 0 or -EINVAL after complaining. */
static int read_files(const struct job *job, struct plan_files *ret)
{
    const char *across = job->antenna.pattern, *along = job->antenna.pattern_height;
    const char *elements = job->target.elements;
    char why[JOB_ERROR_SIZE] = "";
    int r = 0;

    if (across[0]) {
        ret->has_width_cut = true;
        r = cut_file_read(across, &ret->width_cut, why);
    }
    if (r == 0 && along[0]) {
        ret->has_height_cut = true;
        r = cut_file_read(along, &ret->height_cut, why);
    }
    if (r == 0 && elements[0]) {
        ret->has_elements = true;
        r = elements_file_read(elements, job->target.elements_name, &ret->elements, why);
    }
    if (r < 0) {
        command_complain(why, NULL, NULL);
        return -EINVAL;
    }
    return 0;
}

static int refuse(const char *what, const char *why, const char *what_to_do)
{
    command_complain(what, why, what_to_do);
    return -EINVAL;
}

/* What does not go together. 0 or -EINVAL. */
static int check(const struct plan_options *options)
{
    if (options->batch && options->shared.site) {
        return refuse("--site", _("the sites come from the table"), _("leave one of the two away"));
    }
    if (options->batch && options->json) {
        return refuse("--json", _("a batch is written as a table"), _("leave one of the two away"));
    }
    if (options->batch && options->svg) {
        return refuse("--svg", _("a batch has no drawing"), _("leave one of the two away"));
    }
    if (options->json && options->csv) {
        return refuse("--json", _("not together with --csv"), _("leave one of the two away"));
    }
    return 0;
}

static void print_csv(const struct job *job, const struct plan_sheet *sheet)
{
    const struct look_site *site = &job->site.place;
    char text[PLAN_ROW_SIZE];

    plan_row_csv(&sheet->row, text);
    printf("lat,lon,height_m,target,pol,date,%s\n", plan_row_columns);
    printf("%.9g,%.9g,%.7g,%.9g,%s,%s,%s\n", site->lat_deg, site->lon_deg, site->height_m,
           job->target.satellite.lon_deg, polarisation_name(job->target.polarisation), sheet->date,
           text);
}

static void print(const struct job *job, const struct plan_sheet *sheet,
                  const struct plan_options *options)
{
    char text[PLAN_SHEET_SIZE];
    json_t *object;

    if (options->csv) {
        print_csv(job, sheet);
        return;
    }
    if (!options->json) {
        plan_sheet_text(job, sheet, text, sizeof text);
        command_put(stdout, text);
        return;
    }
    object = plan_sheet_json(job, sheet);
    json_dumpf(object, stdout, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
    putchar('\n');
    json_decref(object);
}

static int draw(const struct plan_sheet *sheet, const char *path)
{
    FILE *file = fopen(path, "we");

    if (!file) {
        command_complain(path, fault_words(errno), _("name a file that can be written"));
        return -EINVAL;
    }
    plan_picture_svg(&sheet->picture, file);
    if (ferror(file) | fclose(file)) {
        command_complain(path, _("the drawing could not be written"), NULL);
        return -EIO;
    }
    return 0;
}

/* What one site takes: too much for the stack. */
struct one {
    struct magnetic_model magnetic;
    struct plan_files files;
    struct plan_sheet sheet;
};

static int plan_site(const struct plan_options *options, struct job *job, struct one *one)
{
    if (options_finish(&options->shared, job) < 0 || options_magnetic(job, &one->magnetic) < 0 ||
        read_files(job, &one->files) < 0) {
        return EXIT_WRONG;
    }
    if (!job->site.given) {
        command_complain("plan", _("no site"),
                         _("give --site LAT,LON,HEIGHT or [site] in the job file"));
        return EXIT_WRONG;
    }
    plan_sheet_make(job, &one->magnetic, &one->files, options->unix_s, &one->sheet);
    warn(&one->sheet);
    print(job, &one->sheet, options);
    if (options->svg && draw(&one->sheet, options->svg) < 0) {
        return EXIT_NOT_DONE;
    }
    return one->sheet.row.visible ? EXIT_DONE : EXIT_NOT_DONE;
}

/* The sheet of one site; the exit status. */
static int plan_one(const struct plan_options *options, struct job *job)
{
    struct one *one = calloc(1, sizeof *one);
    int status = EXIT_NOT_DONE;

    if (one) {
        status = plan_site(options, job, one);
    } else {
        command_complain("plan", fault_words(ENOMEM), NULL);
    }
    free(one);
    return status;
}

/* Many sites; the exit status. */
static int plan_many(const struct plan_options *options, struct job *job)
{
    struct magnetic_model magnetic;

    if (options_gather(&options->shared, job) < 0 || options_magnetic(job, &magnetic) < 0) {
        return EXIT_WRONG;
    }
    return plan_batch(job, &magnetic, options->unix_s, options->batch, stdout);
}

int plan_main(int argc, char **argv)
{
    struct plan_options options;
    struct job *job;
    int status, r = parse(argc, argv, &options);

    if (r == 1) {
        return EXIT_DONE;
    }
    if (r < 0 || check(&options) < 0) {
        return EXIT_WRONG;
    }
    job = calloc(1, sizeof *job);
    if (!job) {
        command_complain("plan", fault_words(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    status = options.batch ? plan_many(&options, job) : plan_one(&options, job);
    if (fflush(stdout) != 0 || ferror(stdout)) {
        command_complain("plan", _("the output could not be written"), fault_words(errno));
        status = EXIT_NOT_DONE;
    }
    free(job);
    return status;
}
