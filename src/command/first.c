/*
 * first - the first run: asks for what a job needs, writes the job file, and goes on to the job.
 * Plain lines, so that it works wherever there is a keyboard.
 */
#include <errno.h>
#include <libgen.h>
#include <math.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/first_ask.h"
#include "source/source.h"

enum { PATH_SIZE = 512 };

static const char default_path[] = "peakward.job", gpsd[] = "gpsd://localhost:2947";
static const double look_s = 3.0;

/* --- the site ------------------------------------------------------------------------------- */

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* A position from gpsd within some seconds. */
static bool find_site(const struct job *job, struct record_fix *ret_fix)
{
    struct source_setup setup = {.job = job};
    double begun = now_s(), t;
    char why[RECORD_TEXT_SIZE];
    struct source source;
    struct record record;
    bool found = false;

    if (source_open(&source, gpsd, &setup, why) < 0) {
        return false;
    }
    while (!found && (t = now_s() - begun) < look_s) {
        struct pollfd poller = {.fd = source.ops->fd(source.self), .events = POLLIN};
        poll(&poller, poller.fd >= 0, 50);
        while (!found && source.ops->read(source.self, t, &record) == 1) {
            found = record.kind == RECORD_FIX && record.fix.mode >= 2;
            *ret_fix = record.fix;
        }
    }
    source_close(&source);
    return found;
}

/* "46.6,10.1,2200" */
static int take_site(struct asking *asking, char *text)
{
    static const char *const keys[] = {"lat", "lon", "height"};
    char *rest = text, *part;
    int n = 0;

    while (n < 3 && (part = strsep(&rest, ", ")) != NULL) {
        if (*part && first_set(asking->job, "site", keys[n++], part) < 0) {
            return -EINVAL;
        }
    }
    if (n < 2) {
        command_say_wrapped(
            2, 0, _("  give latitude and longitude, and the height in metres if it is known\n"));
        return -EINVAL;
    }
    asking->site = asking->job->site.place;
    asking->site_known = true;
    return 0;
}

static int take_gpsd(struct asking *asking)
{
    return first_set(asking->job, "source position", "address", gpsd) < 0 ? -EPIPE : ASK_DONE;
}

static int ask_site(struct asking *asking, const void *unused)
{
    char answer[ANSWER_SIZE];
    struct record_fix fix;
    int r;

    (void)unused;
    command_say_wrapped(2, 0, _("Looking for a position at gpsd ...\n"));
    r = find_site(asking->job, &fix);
    first_forget_typed();
    if (r) {
        command_say_wrapped(2, 0, _("  gpsd says %.5f, %.5f\n"), fix.lat_deg, fix.lon_deg);
        asking->site = (struct look_site){fix.lat_deg, fix.lon_deg,
                                          isfinite(fix.height_m) ? fix.height_m : 0.0};
        asking->site_known = true;
        return take_gpsd(asking) < 0 ? -EPIPE : ASK_NOTHING;
    }
    command_say_wrapped(2, 0, _("  none there; a receiver can be used later on, too\n"));
    while ((r = first_hear(_("Where is the antenna (like 46.6,10.1,2200; Enter: gpsd will say)"),
                           answer)) == ASK_DONE) {
        if (!answer[0]) {
            return take_gpsd(asking);
        }
        if (take_site(asking, answer) == 0) {
            return ASK_DONE;
        }
    }
    return r;
}

/* --- target, antenna, mount ----------------------------------------------------------------- */

static int ask_key(struct asking *asking, const void *question)
{
    return first_question(asking->job, question);
}

/* It may be left out, but not beside the dish's size: the job would not be one. */
static int ask_frequency(struct asking *asking, const void *question)
{
    const struct job *job = asking->job;
    int r;

    while ((r = first_question(asking->job, question)) == ASK_DONE &&
           isfinite(job->antenna.width_m) && !isfinite(job->antenna.frequency_ghz)) {
        command_say_wrapped(2, 0,
                            _("  the beam follows from size and frequency: give it, or go back and "
                              "leave out the size\n"));
    }
    return r;
}

/* Where it stands from here tells a slip of the pen at once: east for west, another degree. */
static int ask_longitude(struct asking *asking, const void *question)
{
    int r;

    while ((r = first_question(asking->job, question)) == ASK_DONE && asking->site_known) {
        struct look look = look_at_geostationary(&look_earth_wgs84, &asking->site,
                                                 asking->job->target.satellite.lon_deg);
        if (look.elevation_deg > 0.0) {
            command_say_wrapped(
                2, 0, _("  from there it stands at azimuth %.1f\u00b0, elevation %.1f\u00b0\n"),
                look.azimuth_deg, look.elevation_deg);
            return r;
        }
        command_say_wrapped(2, 0,
                            _("  from there it is %.1f\u00b0 below the horizon: east and west?\n"),
                            -look.elevation_deg);
    }
    return r;
}

static int ask_mount(struct asking *asking, const void *unused)
{
    static const char *const words[] = {"scale", "nudges", "sensor"};
    static const char *const keys[] = {"azimuth_from", "elevation_from", "skew_from"};
    int from, r = first_choose(_("How are its angles known: scale (read off it), nudges (bolts "
                                 "counted), sensor (Enter: scale)"),
                               words, 3, &from);

    (void)unused;
    for (int i = 0; r == ASK_DONE && i < 3; i++) {
        if (first_set(asking->job, "mount", keys[i], words[from]) < 0) {
            return -EPIPE;
        }
    }
    return r;
}

/* --- all of it ------------------------------------------------------------------------------ */

static const struct question name = {"target", "name", N_("What is the satellite called"),
                                     "Ptarmigan 1", ""};
static const struct question longitude = {"target", "longitude",
                                          N_("At which longitude does it stand"), "21.5E", NULL};
static const struct question polarisation = {
    "target", "polarisation", N_("Which polarisation is wanted: V, H or circular"), "V", NULL};
static const struct question id = {
    "target", "id", N_("What does the receiver say when it is locked on it"), "PTARMIGAN", ""};
static const struct question diameter = {"antenna", "diameter",
                                         N_("How large is the dish across, in metres"), "0.75", ""};
static const struct question frequency = {
    "antenna", "frequency", N_("At which frequency is it received, in GHz"), "11.7", ""};
static const struct question azimuth_turn = {
    "mount", "azimuth_turn", N_("Degrees of azimuth for one turn of its bolt"), "1.5", ""};
static const struct question elevation_turn = {
    "mount", "elevation_turn", N_("Degrees of elevation for one turn of its bolt"), "1.2", ""};

/* In this order; "back" goes to the one before that was asked. */
static const struct {
    int (*ask)(struct asking *asking, const void *what);
    const void *what;
} stages[] = {
    {ask_site, NULL},
    {ask_key, &name},
    {ask_longitude, &longitude},
    {ask_key, &polarisation},
    {ask_key, &id},
    {ask_key, &diameter},
    {ask_frequency, &frequency},
    {ask_key, &azimuth_turn},
    {ask_key, &elevation_turn},
    {ask_mount, NULL},
    {first_port, NULL},
    {first_speed, NULL},
    {first_pattern, NULL},
    {first_unit, NULL},
};

static int ask_job(struct job *job)
{
    struct asking asking = {.job = job};
    int count = sizeof stages / sizeof *stages, way = 1;
    char why[JOB_ERROR_SIZE];

    job_init(job);
    for (int i = 0; i < count; i += way) {
        int r = stages[i].ask(&asking, stages[i].what);
        if (r < 0) {
            return r;
        }
        way = r == ASK_BACK ? -1 : r == ASK_DONE ? 1 : way;
        if (i + way < 0) {
            way = r == ASK_BACK ? 0 : 1; /* there is none before the first */
        }
    }
    if (job_check(job, why) < 0) {
        command_complain(_("these answers"), why, _("begin again: peakward"));
        return -EINVAL;
    }
    return 0;
}

/* --- the file ------------------------------------------------------------------------------- */

/* Whether setting i names a section for the first time. */
static bool begins_section(const struct job *job, size_t i)
{
    for (size_t k = 0; k < i; k++) {
        if (strcmp(job->settings[k].section, job->settings[i].section) == 0) {
            return false;
        }
    }
    return true;
}

/* Whether it was answered again later on: the last answer counts. */
static bool is_answered_again(const struct job *job, size_t i)
{
    for (size_t k = i + 1; k < job->setting_count; k++) {
        if (strcmp(job->settings[k].section, job->settings[i].section) == 0 &&
            strcmp(job->settings[k].key, job->settings[i].key) == 0) {
            return true;
        }
    }
    return false;
}

/* Sections in the order that they came in, each once. */
static int write_job(const struct job *job, const char *path)
{
    FILE *file = fopen(path, "wxe");

    if (!file) {
        return -errno;
    }
    fprintf(file, "; %s\n",
            _("Written by peakward from answers; peakward-job(5) explains every key."));
    for (size_t i = 0; i < job->setting_count; i++) {
        if (!begins_section(job, i)) {
            continue;
        }
        fprintf(file, "\n[%s]\n", job->settings[i].section);
        for (size_t k = i; k < job->setting_count; k++) {
            if (strcmp(job->settings[k].section, job->settings[i].section) == 0 &&
                !is_answered_again(job, k)) {
                fprintf(file, "%s = %s\n", job->settings[k].key, job->settings[k].value);
            }
        }
    }
    return fclose(file) == 0 ? 0 : -errno;
}

/* Known before all the questions are answered in vain. 0 or -errno. */
static int check_folder(const char *path)
{
    char folder[ANSWER_SIZE];

    text_copy(folder, sizeof folder, path);
    return access(dirname(folder), W_OK | X_OK) < 0 ? -errno : 0;
}

static int make_file(const char *path)
{
    struct job *job = calloc(1, sizeof *job);
    int unwritable = check_folder(path), r = -ENOMEM;

    if (job && unwritable == 0) {
        r = ask_job(job);
        unwritable = r == 0 ? write_job(job, path) : 0;
    }
    if (unwritable < 0) {
        command_complain(path, fault_words(-unwritable),
                         _("begin again in a folder that may be written to"));
        r = unwritable;
    } else if (r == -EPIPE) {
        command_say(_("\nNothing was written.\n"));
    }
    free(job);
    return r;
}

int first_main(void)
{
    char path[ANSWER_SIZE], prompt[PATH_SIZE];
    char peak[] = "peak", flag[] = "--job", *argv[] = {peak, flag, path, NULL};

    command_say_wrapped(
        2, 0,
        _("What is to be pointed is kept in a job file. peakward --help says what else there is; "
          "the word back goes to the question before, Ctrl-D gives up.\n"));
    snprintf(prompt, sizeof prompt,
             access(default_path, F_OK) == 0 ? _("Which job file (Enter: %s, which is there)")
                                             : _("Which job file (Enter: %s, a new one)"),
             default_path);
    if (first_hear(prompt, path) != ASK_DONE) {
        command_say("\n");
        return EXIT_NOT_DONE;
    }
    if (!path[0]) {
        text_copy(path, sizeof path, default_path);
    }
    if (access(path, F_OK) != 0) {
        if (make_file(path) < 0) {
            return EXIT_NOT_DONE;
        }
        command_say_wrapped(2, 0, _("Written: %s. The next time: peakward peak --job %s\n"), path,
                            path);
    }
    return peak_main(3, argv);
}
