/* replay - a recorded session on the same screen, with the same advice. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "command/command.h"
#include "command/engine.h"
#include "command/options.h"
#include "source/replay.h"

enum { OPTION_PLAIN = OPTION_OWN, OPTION_JSON, OPTION_SPEED };

static const struct option table[] = {
    {"plain", no_argument, NULL, OPTION_PLAIN},
    {"json", no_argument, NULL, OPTION_JSON},
    {"speed", required_argument, NULL, OPTION_SPEED},
    {"help", no_argument, NULL, 'h'},
    {NULL, 0, NULL, 0},
};

static void help(void)
{
    printf("usage: peakward replay LOG [OPTION]...\n"
           "Show a recorded session again.\n\n"
           "  --plain        sentences instead of the screen\n"
           "  --json         the session's records, with the advice made anew\n"
           "  --speed X|max  faster or slower than life (max without a screen)\n"
           "  --help         this text\n");
}

static int open_log(struct engine *engine, const char *path)
{
    struct log_reader reader;
    char why[JOB_ERROR_SIZE];

    if (replay_is_capture(path)) {
        /* a stream of gpsd's tells of no job: what it says is shown, nobody coaches */
        procedure_init(&engine->procedure, "capture");
    } else if (log_reader_open(&reader, path, &engine->job, &engine->procedure, why) < 0) {
        command_complain(why, NULL, "give the log of a session, as peak wrote it");
        return -EINVAL;
    } else {
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
        command_complain("--speed", speed, "give a number above 0 and up to 1000, or max");
        return -EINVAL;
    }
    return 0;
}

int replay_main(int argc, char **argv)
{
    const struct face_ops *face = &face_screen;
    const char *speed = NULL;
    struct engine *engine;
    int option, status = EXIT_WRONG;

    while ((option = options_next(argc, argv, table)) != -1) {
        switch (option) {
        case 'h':
            help();
            return EXIT_DONE;
        case OPTION_PLAIN:
            face = &face_plain;
            break;
        case OPTION_JSON:
            face = &face_json;
            break;
        case OPTION_SPEED:
            speed = optarg;
            break;
        default:
            return EXIT_WRONG;
        }
    }
    if (optind + 1 != argc) {
        command_complain("replay", optind < argc ? "more than one log" : "no log",
                         "name the log of one session, see peakward replay --help");
        return EXIT_WRONG;
    }
    if (face == &face_screen && !(isatty(STDIN_FILENO) && isatty(STDOUT_FILENO))) {
        face = &face_plain;
    }
    engine = engine_create();
    if (!engine) {
        command_complain("replay", strerror(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    if (open_log(engine, argv[optind]) == 0 && open_source(engine) == 0 &&
        set_pace(engine, speed, face == &face_screen) == 0 &&
        engine_open_face(engine, face, "replay") == 0) {
        status = engine_run(engine);
    }
    engine_destroy(engine);
    return status;
}
