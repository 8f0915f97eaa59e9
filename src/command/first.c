/*
 * first - the first run: asks for what a job needs, writes the job file, and goes on to the job.
 * Plain lines, so that it works wherever there is a keyboard.
 */
#include <errno.h>
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
#include "job/job.h"
#include "source/guess.h"
#include "source/ports.h"
#include "source/source.h"

enum { ANSWER_SIZE = JOB_TEXT_SIZE, PATH_SIZE = 512 };

static const char default_path[] = "peakward.job", gpsd[] = "gpsd://localhost:2947";
static const double look_s = 3.0;

/* One question, one key. */
struct question {
    const char *section, *key;
    const char *text, *example;
    const char *otherwise; /* for an empty answer; NULL = it must be answered, "" = left out */
};

static const struct question target[] = {
    {"target", "name", N_("What is the satellite called"), "Ptarmigan 1", ""},
    {"target", "longitude", N_("At which longitude does it stand"), "21.5E", NULL},
    {"target", "polarisation", N_("Which polarisation is wanted: V, H or circular"), "V", NULL},
    {"target", "id", N_("What does the receiver say when it is locked on it"), "PTARMIGAN", ""},
};

static const struct question antenna[] = {
    {"antenna", "diameter", N_("How large is the dish across, in metres"), "0.75", ""},
    {"antenna", "frequency", N_("At which frequency is it received, in GHz"), "11.7", ""},
    {"mount", "azimuth_turn", N_("Degrees of azimuth for one turn of its bolt"), "1.5", ""},
    {"mount", "elevation_turn", N_("Degrees of elevation for one turn of its bolt"), "1.2", ""},
};

/* --- asking --------------------------------------------------------------------------------- */

/* A line without its end. 0; -EPIPE at the end of input. */
static int hear(const char *prompt, char answer[ANSWER_SIZE])
{
    char line[1024];

    command_say("%s: ", prompt);
    if (!fgets(line, sizeof line, stdin)) {
        return -EPIPE;
    }
    line[strcspn(line, "\r\n")] = '\0';
    text_sanitize(answer, ANSWER_SIZE, text_skip_blanks(line), strlen(text_skip_blanks(line)));
    return 0;
}

/* Until the job takes the answer. 0 or -EPIPE. */
static int ask(struct job *job, const struct question *question)
{
    char prompt[ANSWER_SIZE] = "", answer[ANSWER_SIZE], why[JOB_ERROR_SIZE];
    bool optional = question->otherwise && !question->otherwise[0];

    text_append(prompt, sizeof prompt,
                optional ? _("%s (like %s; Enter leaves it out)") : _("%s (like %s)"),
                _(question->text), question->example);
    for (;;) {
        if (hear(prompt, answer) < 0) {
            return -EPIPE;
        }
        if (!answer[0] && question->otherwise) {
            text_copy(answer, sizeof answer, question->otherwise);
            if (!answer[0]) {
                return 0;
            }
        }
        if (job_set(job, question->section, question->key, answer, why) == 0) {
            return 0;
        }
        command_say("  %s\n", why);
    }
}

static int ask_all(struct job *job, const struct question *questions, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (ask(job, &questions[i]) < 0) {
            return -EPIPE;
        }
    }
    return 0;
}

/* A word of a few; the first for an empty answer. Its index, or -EPIPE. */
static int choose(const char *prompt, const char *const *words, int n)
{
    char answer[ANSWER_SIZE];

    for (;;) {
        if (hear(prompt, answer) < 0) {
            return -EPIPE;
        }
        for (int i = 0; i < n; i++) {
            if (!answer[0] || strcmp(answer, words[i]) == 0) {
                return i;
            }
        }
        command_say(_("  that is none of them\n"));
    }
}

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

static int set(struct job *job, const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE];
    int r = job_set(job, section, key, value, why);

    if (r < 0) {
        command_say("  %s\n", why);
    }
    return r;
}

/* "46.6,10.1,2200" */
static int take_site(struct job *job, char *text)
{
    static const char *const keys[] = {"lat", "lon", "height"};
    char *rest = text, *part;
    int n = 0;

    while (n < 3 && (part = strsep(&rest, ", ")) != NULL) {
        if (*part && set(job, "site", keys[n++], part) < 0) {
            return -EINVAL;
        }
    }
    if (n < 2) {
        command_say(_("  give latitude and longitude, and the height in metres if it is known\n"));
        return -EINVAL;
    }
    return 0;
}

static int ask_site(struct job *job)
{
    char answer[ANSWER_SIZE];
    struct record_fix fix;

    command_say(_("Looking for a position at gpsd ...\n"));
    if (find_site(job, &fix)) {
        command_say(_("  gpsd says %.5f, %.5f\n"), fix.lat_deg, fix.lon_deg);
        return set(job, "source position", "address", gpsd) < 0 ? -EPIPE : 0;
    }
    command_say(_("  none there; a receiver can be used later on, too\n"));
    for (;;) {
        if (hear(_("Where is the antenna (like 46.6,10.1,2200; Enter: gpsd will say)"), answer) <
            0) {
            return -EPIPE;
        }
        if (!answer[0]) {
            return set(job, "source position", "address", gpsd) < 0 ? -EPIPE : 0;
        }
        if (take_site(job, answer) == 0) {
            return 0;
        }
    }
}

/* --- the mount and the meter ---------------------------------------------------------------- */

static int ask_mount(struct job *job)
{
    static const char *const words[] = {"scale", "nudges", "sensor"};
    static const char *const keys[] = {"azimuth_from", "elevation_from", "skew_from"};
    int from = choose(_("How are its angles known: scale (read off it), nudges (bolts counted), "
                        "sensor (Enter: scale)"),
                      words, 3);

    for (int i = 0; from >= 0 && i < 3; i++) {
        if (set(job, "mount", keys[i], words[from]) < 0) {
            return -EPIPE;
        }
    }
    return from < 0 ? -EPIPE : 0;
}

/* A port by its number in the list, or by its name. false = none. */
static int ask_port(char device[ANSWER_SIZE])
{
    struct ports_entry ports[PORTS_MOST];
    int n = ports_list(ports, PORTS_MOST), number;
    char *end;

    for (int i = 0; i < n; i++) {
        command_say("  %d  %s  %s\n", i + 1, ports[i].device, ports[i].description);
    }
    if (hear(n > 0 ? _("Which port is the meter on (number or name; Enter: none, levels are typed)")
                   : _("No serial port is here. Name one (Enter: none, levels are typed)"),
             device) < 0) {
        return -EPIPE;
    }
    number = (int)strtol(device, &end, 10);
    if (device[0] && !*end && number >= 1 && number <= n) {
        text_copy(device, ANSWER_SIZE, ports[number - 1].device);
    }
    return 0;
}

/* What it sends, and the pattern that reads it. */
static int ask_pattern(struct job *job, const char *device, int baud)
{
    char lines[PORTS_LINES][PORTS_LINE_SIZE], pattern[ANSWER_SIZE] = "", answer[ANSWER_SIZE];
    char prompt[2 * ANSWER_SIZE] = "";
    int n;

    command_say(_("Listening to %s ...\n"), device);
    n = ports_listen(device, baud, look_s, lines);
    if (n < 0) {
        command_say(_("  it can't be opened: %s\n"), fault_words(-n));
    } else if (n == 0) {
        command_say(_("  nothing came: is it on, is it really %d baud?\n"), baud);
    }
    for (int i = 0; i < n; i++) {
        command_say("  %s\n", lines[i]);
        if (!pattern[0]) {
            guess_pattern(lines[i], pattern);
        }
    }
    text_append(prompt, sizeof prompt,
                pattern[0] ? _("How are its lines read; Enter: %s (like SNR={level}dB)")
                           : _("How are its lines read (like SNR={level}dB)"),
                pattern);
    for (;;) {
        if (hear(prompt, answer) < 0) {
            return -EPIPE;
        }
        if (set(job, "meter meter", "pattern", answer[0] ? answer : pattern) == 0) {
            return 0;
        }
    }
}

static int ask_meter(struct job *job)
{
    static const struct question speed = {"meter meter", "baud",
                                          N_("At how many baud does it speak"), "9600", "9600"};
    static const struct question unit = {
        "meter meter", "unit", N_("In which unit: dB, dBm, dBuV, percent, V or raw"), "dB", "dB"};
    char device[ANSWER_SIZE], address[ANSWER_SIZE + 8];

    if (ask_port(device) < 0) {
        return -EPIPE;
    }
    if (!device[0]) {
        return set(job, "source typed", "address", "keys:") < 0 ? -EPIPE : 0;
    }
    snprintf(address, sizeof address, "serial:%s", device);
    if (ask(job, &speed) < 0 || ask_pattern(job, device, job->meters[0].baud) < 0 ||
        ask(job, &unit) < 0) {
        return -EPIPE;
    }
    return set(job, "source meter", "address", address) < 0 ? -EPIPE : 0;
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

static int ask_job(struct job *job)
{
    char why[JOB_ERROR_SIZE];

    job_init(job);
    if (ask_site(job) < 0 || ask_all(job, target, sizeof target / sizeof *target) < 0 ||
        ask_all(job, antenna, sizeof antenna / sizeof *antenna) < 0 || ask_mount(job) < 0 ||
        ask_meter(job) < 0) {
        return -EPIPE;
    }
    if (job_check(job, why) < 0) {
        command_complain(_("these answers"), why, _("begin again: peakward"));
        return -EINVAL;
    }
    return 0;
}

static int make_file(const char *path)
{
    struct job *job = calloc(1, sizeof *job);
    int r = job ? ask_job(job) : -ENOMEM;

    if (r == -EPIPE) {
        command_say(_("\nNothing was written.\n"));
    } else if (r == 0) {
        r = write_job(job, path);
        if (r < 0) {
            command_complain(path, fault_words(-r),
                             _("begin again in a folder that may be written to"));
        }
    }
    free(job);
    return r;
}

int first_main(void)
{
    char path[ANSWER_SIZE], prompt[PATH_SIZE];
    char peak[] = "peak", flag[] = "--job", *argv[] = {peak, flag, path, NULL};

    command_say(
        _("What is to be pointed is kept in a job file. peakward --help says what else there is;\n"
          "Ctrl-D gives up.\n"));
    snprintf(prompt, sizeof prompt,
             access(default_path, F_OK) == 0 ? _("Which job file (Enter: %s, which is there)")
                                             : _("Which job file (Enter: %s, a new one)"),
             default_path);
    if (hear(prompt, path) < 0) {
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
        command_say(_("Written: %s. The next time: peakward peak --job %s\n"), path, path);
    }
    return peak_main(3, argv);
}
