/* replay - a recorded session on the same screen, with the same advice. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/engine.h"
#include "command/language.h"
#include "command/options.h"
#include "command/quiz.h"
#include "source/replay.h"

enum { OPTION_PLAIN = OPTION_OWN, OPTION_JSON, OPTION_SPEED, OPTION_QUIZ, OPTION_LOG };

static const struct option table[] = {
    {"plain", no_argument, NULL, OPTION_PLAIN},
    {"json", no_argument, NULL, OPTION_JSON},
    {"speed", required_argument, NULL, OPTION_SPEED},
    {"quiz", no_argument, NULL, OPTION_QUIZ},
    {"log", required_argument, NULL, OPTION_LOG},
    {"help", no_argument, NULL, 'h'},
    {NULL, 0, NULL, 0},
};

static void help(void)
{
    command_say(
        _("usage: peakward replay LOG [OPTION]...\n"
          "Show a recorded session again.\n\n"
          "  --plain        sentences instead of the screen\n"
          "  --json         the session's records, with the advice made anew\n"
          "  --speed X|max  faster or slower than life (max without a screen)\n"
          "  --quiz         ask before each turn which way and how far, then tell; line by line\n"
          "  --log FILE     where the quiz is recorded; must not exist yet\n"
          "  --help         this text\n"));
}

static int open_log(struct engine *engine, const char *path)
{
    struct log_reader reader;
    char why[JOB_ERROR_SIZE];

    if (replay_is_capture(path)) {
        /* a stream of gpsd's tells of no job: what it says is shown, nobody coaches */
        procedure_init(&engine->procedure, "capture");
    } else if (log_reader_open(&reader, path, &engine->job, &engine->procedure, why) < 0) {
        command_complain(why, NULL, _("give the log of a session, as peak wrote it"));
        return -EINVAL;
    } else {
        language_of_log(reader.language);
        log_reader_close(&reader);
    }
    if (options_magnetic(&engine->job, &engine->magnetic) < 0) {
        return -EINVAL;
    }
    engine_reset(engine);
    engine->replaying = true;
    text_copy(engine->log_path, sizeof engine->log_path, path);
    snprintf(engine->seek_path, sizeof engine->seek_path, "replay:%s", path);
    return 0;
}

static int open_source(struct engine *engine)
{
    struct source_setup setup = {.job = &engine->job};
    char why[RECORD_TEXT_SIZE] = "";

    if (source_open(&engine->sources[0], engine->seek_path, &setup, why) < 0) {
        command_complain(engine->log_path, why, NULL);
        return -EINVAL;
    }
    engine->source_count = 1;
    return 0;
}

static int set_pace(struct engine *engine, const char *speed, bool on_screen)
{
    engine->speed = 1.0;
    if (speed ? strcmp(speed, "max") == 0 : !on_screen) {
        engine->as_fast_as_possible = true;
    } else if (speed && (text_parse_double(speed, &engine->speed) < 0 || engine->speed <= 0.0 ||
                         engine->speed > 1000.0)) {
        command_complain("--speed", speed, _("give a number above 0 and up to 1000, or max"));
        return -EINVAL;
    }
    return 0;
}

struct replay_options {
    const struct face_ops *face;
    const char *speed, *path, *log_path;
    bool quiz;
};

/* What goes with --quiz and what without. 0 or -EINVAL. */
static int check(const struct replay_options *options)
{
    if (options->quiz && (options->speed || options->face == &face_json)) {
        command_complain("--quiz", _("it waits for answers, line by line"),
                         _("leave --speed and --json away"));
        return -EINVAL;
    }
    if (options->quiz && replay_is_capture(options->path)) {
        command_complain(options->path, _("nobody coached here"), _("give the log of a session"));
        return -EINVAL;
    }
    if (!options->quiz && options->log_path) {
        command_complain("--log", _("a replay adds nothing that could be kept"),
                         _("it goes with --quiz"));
        return -EINVAL;
    }
    return 0;
}

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct replay_options *options)
{
    int option;

    *options = (struct replay_options){.face = &face_screen};
    while ((option = options_next(argc, argv, table)) != -1) {
        switch (option) {
        case 'h':
            return 1;
        case OPTION_PLAIN:
            options->face = &face_plain;
            break;
        case OPTION_JSON:
            options->face = &face_json;
            break;
        case OPTION_SPEED:
            options->speed = optarg;
            break;
        case OPTION_QUIZ:
            options->quiz = true;
            break;
        case OPTION_LOG:
            options->log_path = optarg;
            break;
        default:
            return -EINVAL;
        }
    }
    if (optind + 1 != argc) {
        command_complain("replay", optind < argc ? _("more than one log") : _("no log"),
                         _("name the log of one session, see peakward replay --help"));
        return -EINVAL;
    }
    options->path = argv[optind];
    return check(options);
}

static int show(struct engine *engine, const struct replay_options *options)
{
    const struct face_ops *face = options->face;

    if (face == &face_screen && !(isatty(STDIN_FILENO) && isatty(STDOUT_FILENO))) {
        face = &face_plain;
    }
    if (open_log(engine, options->path) < 0 || open_source(engine) < 0 ||
        set_pace(engine, options->speed, face == &face_screen) < 0 ||
        engine_open_face(engine, face, N_("replay")) < 0) {
        return EXIT_WRONG;
    }
    return engine_run(engine);
}

int replay_main(int argc, char **argv)
{
    struct replay_options options;
    struct engine *engine;
    int status, r = parse(argc, argv, &options);

    if (r != 0) {
        if (r == 1) {
            help();
        }
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    engine = engine_create();
    if (!engine) {
        command_complain("replay", strerror(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    status =
        options.quiz ? quiz_run(engine, options.path, options.log_path) : show(engine, &options);
    engine_destroy(engine);
    return status;
}
