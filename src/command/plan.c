/* plan - the pointing sheet: where the satellite stands, seen from the site. */
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
#include "sky/utc.h"

enum { OPTION_JSON = OPTION_OWN, OPTION_CSV, OPTION_BATCH, OPTION_DATE };

static const struct option table[] = {
    OPTIONS_SHARED,
    {"json", no_argument, NULL, OPTION_JSON},
    {"csv", no_argument, NULL, OPTION_CSV},
    {"batch", required_argument, NULL, OPTION_BATCH},
    {"date", required_argument, NULL, OPTION_DATE},
    {NULL, 0, NULL, 0},
};

struct plan_options {
    struct options shared;
    double unix_s;
    const char *batch; /* NULL = one site */
    bool json, csv;
};

static void help(void)
{
    printf("usage: peakward plan --site LAT,LON,HEIGHT --target LONGITUDE --pol V|H|circular\n"
           "       peakward plan --job FILE\n"
           "       peakward plan --batch TABLE [--target LONGITUDE] [--pol V|H|circular]\n"
           "Say where the satellite stands, seen from the site.\n\n%s"
           "  --date YYYY-MM-DD     for the magnetic declination (today)\n"
           "  --json                one object at full precision\n"
           "  --csv                 one row with the columns of --batch\n"
           "  --batch TABLE         many sites from a file with commas, or - for standard input:\n"
           "                        columns lat and lon, and height_m, target, pol, date where\n"
           "                        there are such; each row is written with more columns\n",
           options_shared_help);
}

static void warn(const struct plan_sheet *sheet)
{
    char why[160];

    if (!sheet->row.field.in_date) {
        snprintf(why, sizeof why, "%s holds from %.1f to %.1f, the date is %s", sheet->model_name,
                 sheet->model_from, sheet->model_to, sheet->date);
        command_complain("warning: the magnetic declination is out of date", why,
                         "check the clock or give --date; a newer .COF file goes into the job, "
                         "[files] magnetic_model");
    }
    if (sheet->row.field.weak) {
        command_complain(sheet->row.field.blackout ? "warning: no compass is of use here"
                                                   : "warning: a compass is not to be trusted here",
                         "the earth's field is too steep",
                         "take the bearing from a map, the sun or a GNSS compass");
    }
}

/* 0; 1 = help was asked for; -EINVAL after complaining. */
static int parse(int argc, char **argv, struct plan_options *options)
{
    int option;

    *options = (struct plan_options){.unix_s = (double)time(NULL)};
    while ((option = options_next(argc, argv, table)) != -1) {
        if (options_take(&options->shared, option, optarg)) {
            continue;
        }
        if (option == 'h') {
            return 1;
        }
        if (option == OPTION_JSON) {
            options->json = true;
        } else if (option == OPTION_CSV) {
            options->csv = true;
        } else if (option == OPTION_BATCH) {
            options->batch = optarg;
        } else if (option != OPTION_DATE) {
            return -EINVAL;
        } else if (utc_parse(optarg, &options->unix_s) < 0) {
            command_complain("--date", optarg, "give a day such as 2026-11-25");
            return -EINVAL;
        }
    }
    if (optind < argc) {
        command_complain(argv[optind], "not a flag", "see peakward plan --help");
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
        return refuse("--site", "the sites come from the table", "leave one of the two away");
    }
    if (options->batch && options->json) {
        return refuse("--json", "a batch is written as a table", "leave one of the two away");
    }
    if (options->json && options->csv) {
        return refuse("--json", "not together with --csv", "leave one of the two away");
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
        fputs(text, stdout);
        return;
    }
    object = plan_sheet_json(job, sheet);
    json_dumpf(object, stdout, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
    putchar('\n');
    json_decref(object);
}

/* The sheet of one site; the exit status. */
static int plan_one(const struct plan_options *options, struct job *job)
{
    struct magnetic_model magnetic;
    struct plan_sheet sheet;

    if (options_finish(&options->shared, job) < 0 || options_magnetic(job, &magnetic) < 0) {
        return EXIT_WRONG;
    }
    if (!job->site.given) {
        command_complain("plan", "no site", "give --site LAT,LON,HEIGHT or [site] in the job file");
        return EXIT_WRONG;
    }
    plan_sheet_make(job, &magnetic, options->unix_s, &sheet);
    warn(&sheet);
    print(job, &sheet, options);
    return sheet.row.visible ? EXIT_DONE : EXIT_NOT_DONE;
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
        help();
        return EXIT_DONE;
    }
    if (r < 0 || check(&options) < 0) {
        return EXIT_WRONG;
    }
    job = calloc(1, sizeof *job);
    if (!job) {
        command_complain("plan", strerror(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    status = options.batch ? plan_many(&options, job) : plan_one(&options, job);
    if (fflush(stdout) != 0 || ferror(stdout)) {
        command_complain("plan", "the output could not be written", strerror(errno));
        status = EXIT_NOT_DONE;
    }
    free(job);
    return status;
}
