/* report - the pointing record of a session, as it is handed over. */
#include <errno.h>
#include <langinfo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
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
    const char *path;
};

static void help(void)
{
    char endings[96];

    report_face_endings(endings, sizeof endings);
    printf("usage: peakward report LOG [OPTION]...\n"
           "The pointing record of a session, to be handed over.\n\n"
           "  -o, --output FILE  write there, in one piece; the ending says what:\n"
           "                     %s\n"
           "  --json             on standard output as JSON (docs/handover.schema.json)\n"
           "  --csv              on standard output as one row of a table, with its head\n"
           "  --help             this text\n",
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
        char what[128] = "let the name end with ";
        report_face_endings(endings, sizeof endings);
        text_append(what, sizeof what, "%s", endings);
        command_complain(options->output, "the ending says of no kind of record", what);
        return -EINVAL;
    }
    if (asked && options->face != report_face_of(asked)) {
        command_complain(options->output, "its ending says another kind than the flag",
                         "leave --json or --csv away, or change the ending");
        return -EINVAL;
    }
    return 0;
}

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct report_options *options)
{
    const char *asked = NULL;
    int option;

    *options = (struct report_options){.path = NULL};
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
    if (optind + 1 != argc) {
        command_complain("report", optind < argc ? "more than one log" : "no log",
                         "name the log of a session, see peakward report --help");
        return -EINVAL;
    }
    options->path = argv[optind];
    return choose_face(options, asked);
}

/* --- writing --------------------------------------------------------------------------------- */

static int write_out(const struct report_options *options, const char *page, size_t size)
{
    int r;

    if (options->output) {
        r = whole_file_write(options->output, page, size);
        if (r < 0) {
            command_complain(options->output, strerror(-r), "give another place with -o");
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
        command_complain("standard output", strerror(errno), "is the disk full?");
        return r;
    }
    return 0;
}

static int show(const struct report_options *options, const struct handover *handover)
{
    char *page = NULL;
    size_t size = 0;
    FILE *file = open_memstream(&page, &size);
    int r = file ? options->face->write(handover, file) : -ENOMEM;

    if (file && fclose(file) != 0 && r == 0) {
        r = -ENOMEM;
    }
    if (r < 0) {
        command_complain(options->face->name, strerror(-r), NULL);
    } else {
        r = write_out(options, page, size);
    }
    free(page);
    return r < 0 ? EXIT_NOT_DONE : EXIT_DONE;
}

static int begin(const struct job *job, const char *language, struct magnetic_model *ret)
{
    language_of_log(language);
    return options_magnetic(job, ret);
}

static int report(const struct report_options *options)
{
    struct handover_source *source = handover_source_create();
    const struct handover *handover = NULL;
    char why[JOB_ERROR_SIZE] = "";
    int r = source ? handover_read(source, options->path, begin, &handover, why) : -ENOMEM;
    int status = EXIT_WRONG;

    if (r == 0) {
        status = show(options, handover);
    } else if (r == -EBUSY) {
        command_complain(options->path, "it grew meanwhile: a session is still being recorded",
                         "end that first");
        status = EXIT_NOT_DONE;
    } else if (why[0] != '\0') {
        command_complain(why, NULL, "give the log of a session, as peak wrote it");
    }
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
