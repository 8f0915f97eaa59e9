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

static void help(void)
{
    printf("usage: peakward plan --site LAT,LON,HEIGHT --target LONGITUDE --pol V|H|circular\n"
           "       peakward plan --job FILE\n"
           "Say where the satellite stands, seen from the site.\n\n%s"
           "  --date YYYY-MM-DD     for the magnetic declination (today)\n"
           "  --json                one object at full precision\n",
           options_shared_help);
}

/* "2026-11-25" as seconds since 1970. */
static int parse_date(const char *text, double *ret_unix_s)
{
    struct tm tm = {0};
    const char *end = strptime(text, "%Y-%m-%d", &tm);

    if (!end || *end != '\0') {
        return -EINVAL;
    }
    *ret_unix_s = (double)timegm(&tm);
    return 0;
}

static void warn(const struct plan_sheet *sheet)
{
    char why[160];

    if (!sheet->field.in_date) {
        snprintf(why, sizeof why, "%s holds from %.1f to %.1f, the date is %.1f", sheet->model_name,
                 sheet->model_from, sheet->model_to, sheet->year);
        command_complain("warning: the magnetic declination is out of date", why,
                         "give a newer .COF file in the job, [files] magnetic_model");
    }
    if (sheet->field.weak) {
        command_complain("warning: the horizontal magnetic field is weak here",
                         "a compass can't be trusted", "take a bearing from the map or the sun");
    }
}

int plan_main(int argc, char **argv)
{
    struct options options = {0};
    double unix_s = (double)time(NULL);
    bool json = false;
    struct magnetic_model magnetic;
    struct plan_sheet sheet;
    struct job *job;
    char text[PLAN_SHEET_SIZE];
    int option;

    while ((option = getopt_long(argc, argv, "h", table, NULL)) != -1) {
        if (options_take(&options, option, optarg)) {
            continue;
        }
        if (option == 'h') {
            help();
            return EXIT_DONE;
        } else if (option == OPTION_JSON) {
            json = true;
        } else if (option == OPTION_DATE && parse_date(optarg, &unix_s) == 0) {
            continue;
        } else {
            if (option == OPTION_DATE) {
                command_complain("--date", optarg, "give a date such as 2026-11-25");
            }
            return EXIT_WRONG;
        }
    }
    if (optind < argc) {
        command_complain(argv[optind], "not an option", "see peakward plan --help");
        return EXIT_WRONG;
    }
    job = calloc(1, sizeof *job);
    if (!job || options_finish(&options, job) < 0 || options_magnetic(job, &magnetic) < 0) {
        free(job);
        return EXIT_WRONG;
    }
    if (!job->site.given) {
        command_complain("plan", "no site", "give --site LAT,LON,HEIGHT or [site] in the job file");
        free(job);
        return EXIT_WRONG;
    }
    plan_sheet_make(job, &magnetic, magnetic_year(unix_s), &sheet);
    warn(&sheet);
    if (json) {
        json_t *object = plan_sheet_json(job, &sheet);
        json_dumpf(object, stdout, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
        putchar('\n');
        json_decref(object);
    } else {
        plan_sheet_text(job, &sheet, text, sizeof text);
        fputs(text, stdout);
    }
    free(job);
    return sheet.visible ? EXIT_DONE : EXIT_NOT_DONE;
}
