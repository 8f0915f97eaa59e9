/* check - what works here, what is missing, how to mend it. */
#include <errno.h>
#include <langinfo.h>
#include <math.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"
#include "command/command.h"
#include "command/options.h"
#include "source/ports.h"
#include "source/source.h"

enum { OPTION_SECONDS = OPTION_OWN };

static const struct option table[] = {
    OPTIONS_SHARED,
    {"source", required_argument, NULL, OPTION_SOURCE},
    {"seconds", required_argument, NULL, OPTION_SECONDS},
    {NULL, 0, NULL, 0},
};

static const double default_seconds = 3.0;

static void help(void)
{
    printf("usage: peakward check [--job FILE] [OPTION]...\n"
           "See what works here, what is missing and how to mend it.\n\n%s"
           "  --source ADDRESS      a source to listen to; may be given several times\n"
           "  --seconds N           how long to listen to each source (3)\n",
           options_shared_help);
}

static void report(bool good, const char *what, const char *found)
{
    printf("%-7s %s: %s\n", good ? "ok" : "MISSING", what, found);
}

/* --- this terminal -------------------------------------------------------------------------- */

static bool check_terminal(void)
{
    const char *term = getenv("TERM");
    struct winsize size = {0};
    bool utf8 = strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
    char found[160];

    report(utf8, "locale",
           utf8 ? "UTF-8" : "not UTF-8; the screen uses plain ASCII (set LC_ALL=C.UTF-8)");
    if (!isatty(STDOUT_FILENO)) {
        report(true, "terminal", "none here; peak and replay speak in plain sentences");
        return true;
    }
    ioctl(STDOUT_FILENO, TIOCGWINSZ, &size);
    snprintf(found, sizeof found, "%s, %d x %d%s", term ? term : "TERM is not set", size.ws_col,
             size.ws_row, size.ws_col < 40 || size.ws_row < 20 ? "; make it 40 x 20 at least" : "");
    report(term && size.ws_col >= 40 && size.ws_row >= 20, "terminal", found);
    return true;
}

static void list_ports(void)
{
    struct ports_entry ports[PORTS_MOST];
    int n = ports_list(ports, PORTS_MOST);

    if (n <= 0) {
        printf("note    serial ports: none found\n");
    }
    for (int i = 0; i < n; i++) {
        printf("note    serial port: %s %s\n", ports[i].device, ports[i].description);
    }
}

/* --- the job -------------------------------------------------------------------------------- */

static bool check_job(const struct options *options, struct job *job)
{
    struct procedure procedure;
    struct magnetic_model magnetic;

    if (options_finish(options, job) < 0 || options_procedure(job, &procedure) < 0 ||
        options_magnetic(job, &magnetic) < 0) {
        return false;
    }
    report(true, "job", options->job_path ? options->job_path : "from the command line");
    report(true, "procedure", procedure.name);
    return true;
}

/* --- a source, live for a few seconds ------------------------------------------------------- */

struct heard {
    int counts[RECORD_KIND_COUNT];
    bool down;
    unsigned bad;
    char why[RECORD_TEXT_SIZE];
};

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void hear(struct heard *heard, const struct record *record)
{
    heard->counts[record->kind]++;
    if (record->kind == RECORD_SOURCE) {
        heard->bad = record->source.bad;
        heard->down =
            record->source.status == SOURCE_DOWN || record->source.status == SOURCE_SILENT;
        text_copy(heard->why, sizeof heard->why, record->source.why);
    }
}

static void listen_to(struct source *source, double seconds, struct heard *heard)
{
    double begun = now_s(), t;
    struct record record;
    int r = 0;

    while ((t = now_s() - begun) < seconds && r != -ENODATA) {
        struct pollfd input = {.fd = source->ops->fd(source->self), .events = POLLIN};
        double wake = fmin(source->ops->wake(source->self), t + 0.2);

        poll(&input, input.fd >= 0, (int)(fmax(wake - t, 0.0) * 1e3) + 1);
        while ((r = source->ops->read(source->self, now_s() - begun, &record)) == 1) {
            hear(heard, &record);
        }
    }
}

static bool check_source(const struct job *job, size_t i, double seconds)
{
    struct source_setup setup = {.job = job, .meter = job_find_meter(job, job->sources[i].meter)};
    struct heard heard = {.bad = 0};
    struct source source;
    char found[512] = "", why[RECORD_TEXT_SIZE] = "";
    int all = 0;

    if (source_open(&source, job->sources[i].address, &setup, why) < 0) {
        report(false, job->sources[i].address, why);
        return false;
    }
    listen_to(&source, seconds, &heard);
    source_close(&source);
    for (int kind = 0; kind < RECORD_KIND_COUNT; kind++) {
        if (kind != RECORD_SOURCE && heard.counts[kind] > 0) {
            all += heard.counts[kind];
            text_append(found, sizeof found, "%s%d %s", found[0] ? ", " : "", heard.counts[kind],
                        record_kind_name((enum record_kind)kind));
        }
    }
    if (heard.bad > 0) {
        text_append(found, sizeof found, "%s%u refused", found[0] ? ", " : "", heard.bad);
    }
    if (all == 0 || heard.down) {
        text_append(found, sizeof found, "%s%s", found[0] ? "; " : "",
                    heard.why[0] ? heard.why : "nothing heard");
    }
    report(all > 0 && !heard.down, job->sources[i].address, found);
    return all > 0 && !heard.down;
}

int check_main(int argc, char **argv)
{
    struct options options = {0};
    double seconds = default_seconds;
    struct job *job;
    bool good;
    int option;

    while ((option = options_next(argc, argv, table)) != -1) {
        if (options_take(&options, option, optarg)) {
            continue;
        }
        if (option == 'h') {
            help();
            return EXIT_DONE;
        }
        if (option != OPTION_SECONDS || text_parse_double(optarg, &seconds) < 0 || seconds <= 0.0 ||
            seconds > 3600.0) {
            if (option == OPTION_SECONDS) {
                command_complain("--seconds", optarg, "give seconds above 0 and up to 3600");
            }
            return EXIT_WRONG;
        }
    }
    job = calloc(1, sizeof *job);
    if (!job) {
        return EXIT_NOT_DONE;
    }
    good = check_terminal();
    list_ports();
    if (options.job_path || options.site || options.target || options.source_count > 0) {
        if (!check_job(&options, job)) {
            free(job);
            return EXIT_WRONG;
        }
        for (size_t i = 0; i < job->source_count; i++) {
            good = check_source(job, i, seconds) && good;
        }
    } else {
        printf("note    no job given: add --job FILE to check it and its sources\n");
    }
    free(job);
    return good ? EXIT_DONE : EXIT_NOT_DONE;
}
