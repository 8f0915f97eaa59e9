/* report - the pointing record of a session, as it is handed over. */
#include <errno.h>
#include <langinfo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/language.h"
#include "command/options.h"
#include "command/report_face.h"
#include "record/handover_read.h"
#include "record/whole_file.h"
#include "view/glyphs.h"

enum { OPTION_JSON = OPTION_OWN, OPTION_CSV };

static const struct option table[] = {
    {"output", required_argument, NULL, 'o'},
    {"json", no_argument, NULL, OPTION_JSON},
    {"csv", no_argument, NULL, OPTION_CSV},
    {"help", no_argument, NULL, 'h'},
    {NULL, 0, NULL, 0},
};

struct report_options {
    const struct report_face *face;
    const char *output; /* NULL = standard output */
    char *const *paths; /* borrowed: path_count of them */
    int path_count;
};

static void help(void)
{
    char endings[96];

    report_face_endings(endings, sizeof endings);
    command_say(
        _("usage: peakward report LOG... [OPTION]...\n"
          "The pointing record of a session, to be handed over; a PDF takes several logs.\n\n"
          "  -o, --output FILE  write there, in one piece; the ending says what:\n"
          "                     %s\n"
          "  --json             on standard output as JSON (docs/handover.schema.json)\n"
          "  --csv              on standard output as one row of a table, with its head\n"
          "  --help             this text\n"),
        endings);
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

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct report_options *options)
{
    const char *asked = NULL;
    int option;

    *options = (struct report_options){.output = NULL};
    while ((option = options_next(argc, argv, table)) != -1) {
        switch (option) {
        case 'h':
            return 1;
        case 'o':
            options->output = optarg;
            break;
        case OPTION_JSON:
            asked = "json";
            break;
        case OPTION_CSV:
            asked = "csv";
            break;
        default:
            return -EINVAL;
        }
    }
    if (optind == argc) {
        command_complain("report", _("no log"),
                         _("name the log of a session, see peakward report --help"));
        return -EINVAL;
    }
    options->paths = &argv[optind];
    options->path_count = argc - optind;
    if (choose_face(options, asked) < 0) {
        return -EINVAL;
    }
    if (options->path_count > 1 && !options->face->takes_many) {
        command_complain("report", _("more than one log"),
                         _("name one, or write a PDF of a page each: -o FILE.pdf"));
        return -EINVAL;
    }
    return 0;
}

/* --- writing --------------------------------------------------------------------------------- */

static int write_out(const struct report_options *options, const char *page, size_t size)
{
    int r;

    if (options->output) {
        r = whole_file_write(options->output, page, size);
        if (r < 0) {
            command_complain(options->output, strerror(-r), _("give another place with -o"));
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
        command_complain(_("standard output"), strerror(errno), _("is the disk full?"));
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
static int read_log(struct handover_source *source, const char *path, const struct handover **ret)
{
    char why[JOB_ERROR_SIZE] = "";
    int r = handover_read(source, path, begin, ret, why);

    if (r == -EBUSY) {
        command_complain(path, _("it grew meanwhile: a session is still being recorded"),
                         _("end that first"));
        return EXIT_NOT_DONE;
    }
    if (r < 0 && why[0] != '\0') {
        command_complain(why, NULL, _("give the log of a session, as peak wrote it"));
    }
    return r < 0 ? EXIT_WRONG : EXIT_DONE;
}

static int complain_of_writing(const struct report_options *options, int r)
{
    if (r < 0) {
        command_complain(options->face->name, strerror(-r), NULL);
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
        status = read_log(source, options->paths[i], &handover);
        r = status == EXIT_DONE ? ops->add(drawing, handover) : 0;
    }
    if (r == 0 && status == EXIT_DONE) {
        r = ops->finish(drawing);
    } else {
        ops->finish(drawing);
    }
    return status == EXIT_DONE ? complain_of_writing(options, r) : status;
}

static int write_one(const struct report_options *options, struct handover_source *source,
                     FILE *file)
{
    const struct handover *handover = NULL;
    int status = read_log(source, options->paths[0], &handover);

    return status == EXIT_DONE ? complain_of_writing(options, options->face->write(handover, file))
                               : status;
}

static int report(const struct report_options *options)
{
    struct handover_source *source = handover_source_create();
    char *page = NULL;
    size_t size = 0;
    FILE *file = open_memstream(&page, &size);
    int status = EXIT_NOT_DONE;

    if (source && file) {
        status = options->face->write ? write_one(options, source, file)
                                      : draw_all(options, source, file);
    }
    if (file && fclose(file) != 0 && status == EXIT_DONE) {
        status = complain_of_writing(options, -ENOMEM);
    }
    if (status == EXIT_DONE) {
        status = write_out(options, page, size) < 0 ? EXIT_NOT_DONE : EXIT_DONE;
    }
    free(page);
    handover_source_destroy(source);
    return status;
}

int report_main(int argc, char **argv)
{
    struct report_options options;
    int r = parse(argc, argv, &options);

    if (r == 1) {
        help();
    }
    return r == 1 ? EXIT_DONE : r < 0 ? EXIT_WRONG : report(&options);
}
