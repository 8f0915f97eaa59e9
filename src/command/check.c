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
#include "base/tongue.h"
#include "command/command.h"
#include "command/mend.h"
#include "command/options.h"
#include "record/drawing.h"
#include "source/ports.h"
#include "source/source.h"
#include "view/figures.h"
#include "view/glyphs.h"
#include "view/layout.h"
#include "view/terminal.h"

enum { LINE_SIZE = 512, COUNT_COLS = 9, LIVE_COLS = 70, INDENT = 8 };

static const double default_seconds = 3.0, live_s = 0.2;

struct check_options {
    struct options shared;
    const char *seconds;
};

static const struct flag flags[] = {
    {"source", N_("ADDRESS"), FLAG_TEXTS, offsetof(struct check_options, shared.sources), NULL,
     N_("a source to listen to; may be given several times")},
    {"seconds", N_("N"), FLAG_TEXT, offsetof(struct check_options, seconds), NULL,
     N_("how long to listen to each source (3)")},
    {NULL},
};

static const struct flag_command command = {
    .name = "check",
    .usage = N_("usage: peakward check [--job FILE] [OPTION]...\n"
                "See what works here, what is missing and how to mend it.\n"),
    .flags = flags,
    .common = options_shared,
};

static void report(bool good, const char *what, const char *found)
{
    /* TRANSLATORS: in a column of 7 */
    const char *verdict = good ? _("ok") : _("MISSING");
    int blanks = 7 - glyphs_columns(verdict);

    /* TRANSLATORS: what was looked at, and what was found */
    command_say_wrapped(INDENT, 0, _("%s%*s %s: %s\n"), verdict, blanks > 0 ? blanks : 0, "", what,
                        found);
}

/* --- this terminal -------------------------------------------------------------------------- */

static bool check_terminal(void)
{
    char found[2 * RECORD_TEXT_SIZE] = "", why[RECORD_TEXT_SIZE];
    bool utf8 = strcmp(nl_langinfo(CODESET), "UTF-8") == 0, good;
    struct winsize size = {0};
    int r = terminal_examine(why);

    report(utf8, _("locale"),
           utf8 ? "UTF-8"
                : _("not UTF-8: the screen is plain ASCII; for more: export LC_ALL=C.UTF-8"));
    if (r == -ENOTTY) {
        report(true, _("terminal"), _("none here; peak and replay speak in plain sentences"));
        return true;
    }
    ioctl(STDOUT_FILENO, TIOCGWINSZ, &size);
    good = r == 0 && size.ws_col >= layout_least_cols && size.ws_row >= layout_least_rows;
    if (good) {
        text_append(found, sizeof found, "%s, %d x %d", getenv("TERM"), size.ws_col, size.ws_row);
    } else if (r == 0) {
        text_append(found, sizeof found,
                    _("%s, %d x %d: make the window %d x %d at least, or its letters smaller"),
                    getenv("TERM"), size.ws_col, size.ws_row, layout_least_cols, layout_least_rows);
    } else {
        text_append(found, sizeof found,
                    _("%s, so that all is said in plain sentences; for a screen: export TERM=linux "
                      "on a console, TERM=xterm-256color elsewhere"),
                    why);
    }
    report(good, _("terminal"), found);
    return good;
}

static void list_ports(void)
{
    struct ports_entry ports[PORTS_MOST];
    int n = ports_list(ports, PORTS_MOST);

    if (n <= 0) {
        command_say_wrapped(INDENT, 0, _("note    serial ports: none found\n"));
    }
    for (int i = 0; i < n; i++) {
        command_say_wrapped(INDENT, 0, _("note    serial port: %s %s\n"), ports[i].device,
                            ports[i].description);
    }
}

/* --- the job -------------------------------------------------------------------------------- */

/* Not to have it is a choice of who built this, no fault. */
static void check_drawing(void)
{
    char why[DRAWING_WHY_SIZE];

    if (drawing_load(why)) {
        report(true, _("record"), _("can be drawn as PDF and SVG"));
    } else {
        command_say_wrapped(INDENT, 0, _("note    record: not as PDF or SVG: %s\n"), why);
    }
}

static bool check_job(const struct options *options, struct job *job)
{
    struct procedure procedure;
    struct magnetic_model magnetic;

    if (options_finish(options, job) < 0 || options_procedure(job, &procedure) < 0 ||
        options_magnetic(job, &magnetic) < 0) {
        return false;
    }
    report(true, _("job"), options->job_path ? options->job_path : _("from the command line"));
    report(true, _("procedure"), procedure.name);
    return true;
}

/* --- a source, live for a few seconds ------------------------------------------------------- */

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void hear(struct mend_heard *heard, const struct record *record)
{
    heard->counts[record->kind]++;
    if (record->kind == RECORD_SOURCE) {
        heard->bad = record->source.bad;
        heard->down =
            record->source.status == SOURCE_DOWN || record->source.status == SOURCE_SILENT;
        text_copy(heard->why, sizeof heard->why, record->source.why);
    } else {
        heard->last[record->kind] = *record;
    }
}

/* What came last of each kind: "12.3 dB, azimuth 163.20, fix 46.60 10.10". */
static void describe_last(const struct mend_heard *heard, char *text, size_t size)
{
    const struct record *level = &heard->last[RECORD_LEVEL];
    const struct record *angles = &heard->last[RECORD_ANGLES];
    const struct record *fix = &heard->last[RECORD_FIX];
    const struct record *lock = &heard->last[RECORD_LOCK];
    char figure[FIGURES_SIZE];

    text[0] = '\0';
    if (heard->counts[RECORD_LEVEL] > 0) {
        figures_level(figure, level->level.value, level->level.unit);
        text_append(text, size, _(", level %s"), figure);
    }
    if (heard->counts[RECORD_LOCK] > 0) {
        text_append(text, size,
                    !lock->lock.locked ? _(", no lock")
                    : lock->lock.id[0] ? _(", lock on %s")
                                       : _(", lock"),
                    lock->lock.id);
    }
    for (int i = 0; i < AXIS_COUNT && heard->counts[RECORD_ANGLES] > 0; i++) {
        if (isfinite(angles->angles.deg[i])) {
            text_append(text, size, ", %s %.2f", axis_word((enum axis)i), angles->angles.deg[i]);
        }
    }
    if (heard->counts[RECORD_FIX] > 0) {
        text_append(text, size, fix->fix.mode >= 2 ? _(", at %.4f %.4f") : _(", no fix"),
                    fix->fix.lat_deg, fix->fix.lon_deg);
    }
    if (text[0]) {
        memmove(text, text + 2, strlen(text) - 1);
    }
}

/* Columns for what is written over while it is listened to; 0 = nobody looks. */
static int live_columns(void)
{
    int cols = command_columns() - COUNT_COLS;

    return cols < 0 ? 0 : cols < LIVE_COLS ? cols : LIVE_COLS;
}

static void show_live(const struct mend_heard *heard, double left)
{
    char text[LINE_SIZE];
    int cols = live_columns();

    if (cols == 0) {
        return;
    }
    describe_last(heard, text, sizeof text);
    command_say("\r%4.0f s  %-*.*s", ceil(left), cols, cols,
                text[0] ? text : _("nothing heard yet"));
}

static void end_live(void)
{
    int cols = live_columns();

    if (cols > 0) {
        printf("\r%*s\r", cols + COUNT_COLS - 1, "");
    }
}

static void listen_to(struct source *source, double seconds, struct mend_heard *heard)
{
    double begun = now_s(), shown = -INFINITY, t;
    struct record record;
    int r = 0;

    while ((t = now_s() - begun) < seconds && r != -ENODATA) {
        struct pollfd input = {.fd = source->ops->fd(source->self), .events = POLLIN};
        double wake = fmin(source->ops->wake(source->self), t + 0.2);

        poll(&input, input.fd >= 0, (int)(fmax(wake - t, 0.0) * 1e3) + 1);
        while ((r = source->ops->read(source->self, now_s() - begun, &record)) == 1) {
            hear(heard, &record);
        }
        if (t - shown >= live_s) {
            shown = t;
            show_live(heard, seconds - t);
        }
    }
    end_live();
}

/* Kinds of records, as they are counted: "12 level, 3 lock". */
static const char *const kind_words[RECORD_KIND_COUNT] = {
    [RECORD_FIX] = N_("fix"),     [RECORD_UTC] = N_("utc"),   [RECORD_ANGLES] = N_("angles"),
    [RECORD_LEVEL] = N_("level"), [RECORD_LOCK] = N_("lock"), [RECORD_AUX] = N_("aux"),
    [RECORD_MOVE] = N_("move"),   [RECORD_NOTE] = N_("note"), [RECORD_STEP] = N_("step"),
    [RECORD_MARK] = N_("mark"),   [RECORD_ADVICE] = "",       [RECORD_SOURCE] = "",
};

static void describe_counts(const struct mend_heard *heard, char *text, size_t size)
{
    text[0] = '\0';
    for (int kind = 0; kind < RECORD_KIND_COUNT; kind++) {
        if (kind != RECORD_SOURCE && heard->counts[kind] > 0) {
            text_append(text, size, "%s%d %s", text[0] ? ", " : "", heard->counts[kind],
                        _(kind_words[kind]));
        }
    }
    if (heard->bad > 0) {
        text_append(text, size, text[0] ? _(", %u refused") : _("%u refused"), heard->bad);
    }
}

static bool check_source(const struct job *job, size_t i, double seconds)
{
    struct source_setup setup = {.job = job, .meter = job_find_meter(job, job->sources[i].meter)};
    static struct mend_heard heard;
    struct source source;
    char found[LINE_SIZE], last[LINE_SIZE], why[RECORD_TEXT_SIZE] = "", mend[MEND_SIZE];
    const char *address = job->sources[i].address;
    bool good;

    if (source_open(&source, address, &setup, why) < 0) {
        report(false, address, why);
        return false;
    }
    heard = (struct mend_heard){.bad = 0};
    listen_to(&source, seconds, &heard);
    source_close(&source);
    describe_counts(&heard, found, sizeof found);
    describe_last(&heard, last, sizeof last);
    good = mend_find(address, setup.meter, &heard, mend);
    if (last[0]) {
        text_append(found, sizeof found, _("; last: %s"), last);
    } else if (!found[0]) {
        text_append(found, sizeof found, "%s", heard.why[0] ? heard.why : _("nothing heard"));
    }
    report(good, address, found);
    if (mend[0]) {
        command_say_wrapped(INDENT, 0, "        -> %s\n", mend);
    }
    return good;
}

int check_main(int argc, char **argv)
{
    struct check_options given = {.seconds = NULL};
    const struct options *options = &given.shared;
    double seconds = default_seconds;
    struct job *job;
    int first, r = flags_read(argc, argv, &command, &given, &first);
    bool good;

    if (r != 0) {
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    if (given.seconds &&
        (text_parse_double(given.seconds, &seconds) < 0 || seconds <= 0.0 || seconds > 3600.0)) {
        command_complain("--seconds", given.seconds, _("give seconds above 0 and up to 3600"));
        return EXIT_WRONG;
    }
    job = calloc(1, sizeof *job);
    if (!job) {
        return EXIT_NOT_DONE;
    }
    good = check_terminal();
    list_ports();
    check_drawing();
    if (options->job_path || options->site || options->target || options->sources.count > 0) {
        if (!check_job(options, job)) {
            free(job);
            return EXIT_WRONG;
        }
        for (size_t i = 0; i < job->source_count; i++) {
            good = check_source(job, i, seconds) && good;
        }
    } else {
        command_say_wrapped(
            INDENT, 0, _("note    no job given: add --job FILE to check it and its sources\n"));
    }
    free(job);
    return good ? EXIT_DONE : EXIT_NOT_DONE;
}
