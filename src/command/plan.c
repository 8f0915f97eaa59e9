/* plan - the pointing sheet: where the satellite stands, seen from the site. */
#include "command/plan_sheet.h"

#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "command/command.h"
#include "command/options.h"

enum { OPTION_JSON = OPTION_OWN, OPTION_DATE };

static const struct option table[] = {
    OPTIONS_SHARED,
    {"json", no_argument, NULL, OPTION_JSON},
    {"date", required_argument, NULL, OPTION_DATE},
    {NULL, 0, NULL, 0},
};

struct plan_options {
    struct options shared;
    double unix_s;
    bool json;
};

static void help(void)
{
    printf("usage: peakward plan --site LAT,LON,HEIGHT --target LONGITUDE --pol V|H|circular\n"
           "       peakward plan --job FILE\n"
           "Say where the satellite stands, seen from the site.\n\n%s"
           "  --date YYYY-MM-DD     for the magnetic declination (today)\n"
           "  --json                one object at full precision\n",
           options_shared_help);
}

/* "2026-11-25" as seconds since 1970: four, two and two digits, a day that exists. */
static int parse_date(const char *text, double *ret_unix_s)
{
    struct tm tm = {0}, again;
    char back[16];
    time_t t;

    if (strlen(text) != 10 || strspn(text, "0123456789-") != 10 ||
        sscanf(text, "%4d-%2d-%2d", &tm.tm_year, &tm.tm_mon, &tm.tm_mday) != 3 ||
        tm.tm_year < 1900) {
        return -EINVAL;
    }
    tm.tm_year -= 1900;
    tm.tm_mon -= 1;
    t = timegm(&tm);
    strftime(back, sizeof back, "%Y-%m-%d", gmtime_r(&t, &again));
    if (strcmp(back, text) != 0) {
        return -EINVAL; /* the 30th of February */
    }
    *ret_unix_s = (double)t;
    return 0;
}

static void warn(const struct plan_sheet *sheet)
{
    char why[160];

    if (!sheet->field.in_date) {
        snprintf(why, sizeof why, "%s holds from %.1f to %.1f, the date is %s", sheet->model_name,
                 sheet->model_from, sheet->model_to, sheet->date);
        command_complain("warning: the magnetic declination is out of date", why,
                         "check the clock or give --date; a newer .COF file goes into the job, "
                         "[files] magnetic_model");
    }
    if (sheet->field.weak) {
        command_complain(sheet->field.blackout ? "warning: no compass is of use here"
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
        } else if (option != OPTION_DATE) {
            return -EINVAL;
        } else if (parse_date(optarg, &options->unix_s) < 0) {
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

static void print(const struct job *job, const struct plan_sheet *sheet, bool as_json)
{
    char text[PLAN_SHEET_SIZE];
    json_t *object;

    if (!as_json) {
        plan_sheet_text(job, sheet, text, sizeof text);
        fputs(text, stdout);
        return;
    }
    object = plan_sheet_json(job, sheet);
    json_dumpf(object, stdout, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
    putchar('\n');
    json_decref(object);
}

int plan_main(int argc, char **argv)
{
    struct plan_options options;
    struct magnetic_model magnetic;
    struct plan_sheet sheet;
    struct job *job;
    int status = EXIT_WRONG, r = parse(argc, argv, &options);

    if (r == 1) {
        help();
    }
    if (r != 0) {
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    job = calloc(1, sizeof *job);
    if (!job) {
        command_complain("plan", strerror(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    if (options_finish(&options.shared, job) < 0 || options_magnetic(job, &magnetic) < 0) {
        goto out;
    }
    if (!job->site.given) {
        command_complain("plan", "no site", "give --site LAT,LON,HEIGHT or [site] in the job file");
        goto out;
    }
    plan_sheet_make(job, &magnetic, options.unix_s, &sheet);
    warn(&sheet);
    print(job, &sheet, options.json);
    status = sheet.visible ? EXIT_DONE : EXIT_NOT_DONE;
    if (fflush(stdout) != 0 || ferror(stdout)) {
        command_complain("plan", "the sheet could not be written", strerror(errno));
        status = EXIT_NOT_DONE;
    }
out:
    free(job);
    return status;
}
