#include "command/options.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "job/procedure_file.h"

static const double most_speed = 1000.0, most_minutes = 1e6;

const struct flag options_shared[] = {
    {"job", N_("FILE"), FLAG_TEXT, offsetof(struct options, job_path), NULL,
     N_("the job: site, target, antenna, mount, meter (see peakward-job(5))")},
    {"site", N_("LAT,LON,HEIGHT"), FLAG_TEXT, offsetof(struct options, site), NULL,
     N_("degrees, north and east positive; metres above the ellipsoid")},
    {"target", N_("LONGITUDE"), FLAG_TEXT, offsetof(struct options, target), NULL,
     N_("of the satellite, such as 21.5E")},
    {"pol", N_("V|H|circular"), FLAG_TEXT, offsetof(struct options, polarisation), NULL,
     N_("the wanted polarisation")},
    {NULL},
};

static int set(struct job *job, const char *flag, const char *section, const char *key,
               const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    if (job_set(job, section, key, value, why) < 0) {
        command_complain(flag, why, NULL);
        return -EINVAL;
    }
    return 0;
}

/* "46.6,10.1,2200"; the height may be left out. */
static int set_site(struct job *job, const char *text)
{
    static const char *const keys[] = {"lat", "lon", "height"};
    char copy[JOB_TEXT_SIZE], *rest = copy, *part;
    int n = 0;

    text_copy(copy, sizeof copy, text);
    while ((part = strsep(&rest, ",")) != NULL) {
        if (n == 3) {
            n++;
            break;
        }
        if (set(job, "--site", "site", keys[n++], part) < 0) {
            return -EINVAL;
        }
    }
    if (n < 2 || n > 3) {
        command_complain("--site", text,
                         _("give LAT,LON or LAT,LON,HEIGHT, such as 46.6,10.1,2200"));
        return -EINVAL;
    }
    return 0;
}

int options_sources(const struct options *options, struct job *job)
{
    if (options->sources.count > 0) {
        job_forget_sources(job);
    }
    for (int i = 0; i < options->sources.count; i++) {
        /* called by what it is; the number tells two of a kind apart */
        int scheme = (int)strcspn(options->sources.text[i], ":");
        char section[JOB_NAME_SIZE];
        if (i > 0) {
            snprintf(section, sizeof section, "source %.*s %d", scheme < 30 ? scheme : 30,
                     options->sources.text[i], i + 1);
        } else {
            snprintf(section, sizeof section, "source %.*s", scheme < 30 ? scheme : 30,
                     options->sources.text[i]);
        }
        if (set(job, "--source", section, "address", options->sources.text[i]) < 0) {
            return -EINVAL;
        }
    }
    return 0;
}

int options_gather(const struct options *options, struct job *ret_job)
{
    char why[JOB_ERROR_SIZE] = "";

    job_init(ret_job);
    if (options->job_path && job_read(ret_job, options->job_path, why) < 0) {
        command_complain(why, NULL, NULL);
        return -EINVAL;
    }
    if ((options->site && set_site(ret_job, options->site) < 0) ||
        (options->target && set(ret_job, "--target", "target", "longitude", options->target) < 0) ||
        (options->polarisation &&
         set(ret_job, "--pol", "target", "polarisation", options->polarisation) < 0) ||
        (options->procedure &&
         set(ret_job, "--procedure", "coach", "procedure", options->procedure) < 0) ||
        options_sources(options, ret_job) < 0) {
        return -EINVAL;
    }
    return 0;
}

int options_finish(const struct options *options, struct job *ret_job)
{
    char why[JOB_ERROR_SIZE] = "";

    if (options_gather(options, ret_job) < 0) {
        return -EINVAL;
    }
    if (job_check(ret_job, why) < 0) {
        command_complain(options->job_path ? options->job_path : _("the job"), why,
                         options->job_path ? NULL : _("give --job, or --site, --target and --pol"));
        return -EINVAL;
    }
    return 0;
}

int options_procedure(const struct job *job, struct procedure *ret_procedure)
{
    const char *name = job->coach.procedure;
    char why[JOB_ERROR_SIZE] = "";
    int r;

    if (name[0] == '\0') {
        name = job->target.polarisation == POLARISATION_CIRCULAR ? "circular"
               : job->mount.skew_by == JOB_SKEW_PANEL            ? "linear-panel"
                                                                 : "linear";
    }
    if (procedure_builtin(name, ret_procedure) == 0) {
        return 0;
    }
    r = procedure_read(ret_procedure, name, why);
    if (r < 0) {
        /* what is wrong within a file was said with what is allowed there */
        command_complain(why, NULL,
                         r == -EINVAL ? NULL
                                      : _("name a built-in procedure (linear, linear-panel, "
                                          "circular, repeak) or a file"));
        return -EINVAL;
    }
    return 0;
}

int options_pace(const char *text, double otherwise, double *ret_speed)
{
    double speed = otherwise;

    if (text && strcmp(text, "max") == 0) {
        speed = INFINITY;
    } else if (text &&
               (text_parse_double(text, &speed) < 0 || !(speed > 0.0 && speed <= most_speed))) {
        command_complain("--speed", text, _("give a number above 0 and up to 1000, or max"));
        return -EINVAL;
    }
    *ret_speed = speed;
    return 0;
}

int options_limit(const char *text, double *ret_s)
{
    double minutes;

    if (!text) {
        return 0;
    }
    if (text_parse_double(text, &minutes) < 0 || minutes <= 0.0 || minutes > most_minutes) {
        command_complain("--time-limit", text, _("give minutes, such as 30"));
        return -EINVAL;
    }
    *ret_s = 60.0 * minutes;
    return 0;
}

int options_magnetic(const struct job *job, struct magnetic_model *ret_model)
{
    const char *path = job->files.magnetic_model;
    char text[65536];
    int line = 0;
    size_t n;
    FILE *file;

    magnetic_builtin(ret_model);
    if (path[0] == '\0') {
        return 0;
    }
    file = fopen(path, "re");
    if (!file) {
        command_complain(path, fault_words(errno), _("name a World Magnetic Model .COF file"));
        return -EINVAL;
    }
    n = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[n] = '\0';
    if (magnetic_parse(text, ret_model, &line) < 0) {
        char why[80];
        snprintf(why, sizeof why, _("line %d is not one of a magnetic model of degree 12"), line);
        command_complain(path, why, _("take an unchanged .COF file"));
        return -EINVAL;
    }
    return 0;
}
