/* report - the pointing record of a session, as it is handed over. */
#include <errno.h>
#include <langinfo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/language.h"
#include "command/options.h"
#include "command/report_face.h"
#include "command/report_speed.h"
#include "record/fleet.h"
#include "record/handover_read.h"
#include "record/whole_file.h"
#include "view/glyphs.h"

struct report_options {
    const struct report_face *face;
    const void *asked;  /* the kind that a flag names, a const char *; NULL = none */
    const char *output; /* NULL = standard output */
    const char *download, *upload;
    struct flag_texts iperf3;
    char *const *paths; /* borrowed: path_count of them */
    int path_count;
    struct report_speed speed;
};

static const struct flag flags[] = {
    {"output", N_("FILE"), FLAG_TEXT, offsetof(struct report_options, output), NULL,
     N_("write there, in one piece; the ending says what:"), 'o'},
    {"json", NULL, FLAG_IS, offsetof(struct report_options, asked), "json",
     N_("on standard output as JSON (docs/handover.schema.json), a log a line")},
    {"csv", NULL, FLAG_IS, offsetof(struct report_options, asked), "csv",
     N_("on standard output as a table, a log a row")},
    {"iperf3", N_("FILE"), FLAG_TEXTS, offsetof(struct report_options, iperf3), NULL,
     N_("a speed test's result, as written by iperf3 --json; may be given\n"
        "twice, once for either way")},
    {"download", "MBPS", FLAG_TEXT, offsetof(struct report_options, download), NULL,
     N_("the same, typed in: Mbit/s to the site")},
    {"upload", "MBPS", FLAG_TEXT, offsetof(struct report_options, upload), NULL, N_("and from it")},
    {NULL},
};

/* The flags' table with the endings that there are in the help of the first. */
static int read_flags(int argc, char **argv, struct report_options *options, int *ret_first)
{
    struct flag rows[sizeof flags / sizeof *flags];
    struct flag_command command = {
        .name = "report",
        .usage = N_("usage: peakward report LOG... [OPTION]...\n"
                    "The pointing record of a session, to be handed over. Several logs: a summary, "
                    "or a\n"
                    "line, a row or a page each.\n"),
        .flags = rows,
    };
    char endings[96], help[256] = "";

    memcpy(rows, flags, sizeof rows);
    report_face_endings(endings, sizeof endings);
    text_append(help, sizeof help, "%s\n%s", _(flags[0].help), endings);
    rows[0].help = help;
    return flags_read(argc, argv, &command, options, ret_first);
}

static int choose_face(struct report_options *options, const char *asked)
{
    char endings[96];

    options->face = report_face_of(asked ? asked : "text");
    if (!options->output) {
        return 0;
    }
    options->face = report_face_by_ending(options->output);
    if (!options->face) {
        char what[128] = "";
        report_face_endings(endings, sizeof endings);
        text_append(what, sizeof what, _("let the name end with %s"), endings);
        command_complain(options->output, _("the ending says of no kind of record"), what);
        return -EINVAL;
    }
    if (asked && options->face != report_face_of(asked)) {
        command_complain(options->output, _("its ending says another kind than the flag"),
                         _("leave --json or --csv away, or change the ending"));
        return -EINVAL;
    }
    return 0;
}

/* The speed test, typed in or read. 0 or -EINVAL. */
static int take_speed(struct report_options *options)
{
    struct report_speed *speed = &options->speed;

    report_speed_init(speed);
    if ((options->download &&
         report_speed_type(speed, "--download", options->download, &speed->down_mbps) < 0) ||
        (options->upload &&
         report_speed_type(speed, "--upload", options->upload, &speed->up_mbps) < 0)) {
        return -EINVAL;
    }
    for (int i = 0; i < options->iperf3.count; i++) {
        if (report_speed_read(speed, options->iperf3.text[i]) < 0) {
            return -EINVAL;
        }
    }
    return 0;
}

/* The logs that are named, and whether they go together with the rest. 0 or -EINVAL. */
static int take_logs(int argc, char **argv, int first, struct report_options *options)
{
    options->paths = &argv[first];
    options->path_count = argc - first;
    if (options->path_count == 0) {
        command_complain("report", _("no log"),
                         _("name the log of a session, see peakward report --help"));
        return -EINVAL;
    }
    if (options->path_count > 1 && !options->face->takes_many) {
        command_complain("report", _("more than one log"),
                         _("name one, or write a PDF of a page each: -o FILE.pdf"));
        return -EINVAL;
    }
    if (options->path_count > 1 && (options->speed.typed || options->speed.tested)) {
        command_complain("report", _("one speed test for more than one log"), _("name one log"));
        return -EINVAL;
    }
    return 0;
}

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct report_options *options)
{
    int first, r;

    *options = (struct report_options){.output = NULL};
    r = read_flags(argc, argv, options, &first);
    if (r != 0) {
        return r;
    }
    return take_speed(options) < 0 || choose_face(options, options->asked) < 0
               ? -EINVAL
               : take_logs(argc, argv, first, options);
}

/* --- writing --------------------------------------------------------------------------------- */

static int write_out(const struct report_options *options, const char *page, size_t size)
{
    int r;

    if (options->output) {
        r = whole_file_write(options->output, page, size);
        if (r < 0) {
            command_complain(options->output, fault_words(-r), _("give another place with -o"));
        }
        return r;
    }
    if (options->face->is_text && strcmp(nl_langinfo(CODESET), "UTF-8") != 0) {
        char *folded = malloc(4 * size + 1);
        if (!folded) {
            return -ENOMEM;
        }
        glyphs_fold(folded, 4 * size + 1, page);
        fputs(folded, stdout);
        free(folded);
    } else {
        fwrite(page, 1, size, stdout);
    }
    if (fflush(stdout) != 0) {
        r = -errno;
        command_complain(_("standard output"), fault_words(errno), _("is the disk full?"));
        return r;
    }
    return 0;
}

static int begin(const struct job *job, const char *language, struct magnetic_model *ret)
{
    language_of_log(language);
    return options_magnetic(job, ret);
}

/* --- reading and writing --------------------------------------------------------------------- */

/* An exit status; why it is another one than EXIT_DONE is said. */
static int read_log(const struct report_options *options, struct handover_source *source,
                    const char *path, const struct handover **ret)
{
    struct handover *handover = NULL;
    char why[JOB_ERROR_SIZE] = "";
    int r = handover_read(source, path, begin, &handover, why);

    if (r == -EBUSY) {
        command_complain(path, _("it grew meanwhile: a session is still being recorded"),
                         _("end that first"));
        return EXIT_NOT_DONE;
    }
    if (r < 0 && why[0] != '\0') {
        command_complain(why, NULL, _("give the log of a session, as peak wrote it"));
    }
    if (r < 0) {
        return EXIT_WRONG;
    }
    report_speed_put(&options->speed, handover);
    *ret = handover;
    return EXIT_DONE;
}

static int complain_of_writing(const struct report_options *options, int r)
{
    if (r < 0) {
        command_complain(options->face->name, fault_words(-r), NULL);
    }
    return r < 0 ? EXIT_NOT_DONE : EXIT_DONE;
}

/* Pages of every log; as read_log(). */
static int draw_all(const struct report_options *options, struct handover_source *source,
                    FILE *file)
{
    char why[DRAWING_WHY_SIZE];
    const struct drawing_ops *ops = drawing_load(why);
    const struct handover *handover = NULL;
    struct drawing *drawing = NULL;
    int status = EXIT_DONE, r;

    if (!ops) {
        command_complain(options->output, why, NULL);
        return EXIT_NOT_DONE;
    }
    r = ops->start(&drawing, options->face->drawing, file, "peakward " PEAKWARD_VERSION);
    for (int i = 0; r == 0 && status == EXIT_DONE && i < options->path_count; i++) {
        status = read_log(options, source, options->paths[i], &handover);
        r = status == EXIT_DONE ? ops->add(drawing, handover) : 0;
    }
    if (r == 0 && status == EXIT_DONE) {
        r = ops->finish(drawing);
    } else {
        ops->finish(drawing);
    }
    return status == EXIT_DONE ? complain_of_writing(options, r) : status;
}

static int write_one(const struct report_face *face, const struct handover *handover, bool first,
                     FILE *file)
{
    return (first ? face->write : face->write_next)(handover, file);
}

/*
 * Every log by itself. One of several that can't be read is told of and left out: the rest is not
 * lost for it, but the exit status says so.
 *
 *   ret_written  how many were written
 *   returns      an exit status
 */
static int write_all(const struct report_options *options, struct handover_source *source,
                     FILE *file, int *ret_written)
{
    const struct handover *handover = NULL;
    int refused = 0, status = EXIT_DONE;

    for (int i = 0; i < options->path_count; i++) {
        status = read_log(options, source, options->paths[i], &handover);
        if (status == EXIT_DONE) {
            int r = write_one(options->face, handover, *ret_written == 0, file);
            if (r < 0) {
                return complain_of_writing(options, r);
            }
            ++*ret_written;
        } else {
            refused++;
        }
    }
    if (options->path_count == 1) {
        return status;
    }
    return refused == 0 ? EXIT_DONE : *ret_written > 0 ? EXIT_NOT_DONE : EXIT_WRONG;
}

/* Several logs as a page of text: at a glance. As write_all(). */
static int sum_up_all(const struct report_options *options, struct handover_source *source,
                      FILE *file, int *ret_written)
{
    const struct handover *handover = NULL;
    struct fleet fleet;

    fleet_init(&fleet);
    fleet_begin(file);
    for (int i = 0; i < options->path_count; i++) {
        if (read_log(options, source, options->paths[i], &handover) == EXIT_DONE) {
            fleet_add(&fleet, handover, file);
        } else {
            fleet_refuse(&fleet);
        }
    }
    *ret_written = fleet.jobs;
    if (fleet.jobs == 0) {
        return EXIT_WRONG;
    }
    if (fleet_finish(&fleet, file) < 0) {
        return complain_of_writing(options, -EIO);
    }
    return fleet.refused == 0 ? EXIT_DONE : EXIT_NOT_DONE;
}

/* As write_all(). */
static int make(const struct report_options *options, struct handover_source *source, FILE *file,
                int *ret_written)
{
    int status;

    if (!options->face->write) {
        status = draw_all(options, source, file);
        *ret_written = status == EXIT_DONE ? options->path_count : 0;
        return status;
    }
    return options->path_count > 1 && options->face->sums_up
               ? sum_up_all(options, source, file, ret_written)
               : write_all(options, source, file, ret_written);
}

/* Rows and lines go out as they come, so that a thousand logs take no more memory than one. */
static int write_through(const struct report_options *options, struct handover_source *source)
{
    int written = 0, status = make(options, source, stdout, &written);

    if (fflush(stdout) != 0) {
        command_complain(_("standard output"), fault_words(errno), _("is the disk full?"));
        return EXIT_NOT_DONE;
    }
    return status;
}

/* A page is written whole or not at all. */
static int write_whole(const struct report_options *options, struct handover_source *source)
{
    char *page = NULL;
    size_t size = 0;
    FILE *file = open_memstream(&page, &size);
    int written = 0, status = EXIT_NOT_DONE;

    if (file) {
        status = make(options, source, file, &written);
    }
    if (file && fclose(file) != 0 && written > 0) {
        status = complain_of_writing(options, -ENOMEM);
        written = 0;
    }
    if (written > 0 && write_out(options, page, size) < 0) {
        status = EXIT_NOT_DONE;
    }
    free(page);
    return status;
}

static int report(const struct report_options *options)
{
    struct handover_source *source = handover_source_create();
    bool through = !options->output && options->face->write && !options->face->is_text;
    int status;

    if (!source) {
        command_complain("report", fault_words(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    status = through ? write_through(options, source) : write_whole(options, source);
    handover_source_destroy(source);
    return status;
}

int report_main(int argc, char **argv)
{
    struct report_options options;
    int r = parse(argc, argv, &options);

    return r == 1 ? EXIT_DONE : r < 0 ? EXIT_WRONG : report(&options);
}
