/* replay - a recorded session on the same screen, with the same advice. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/annotate.h"
#include "command/command.h"
#include "command/engine.h"
#include "command/language.h"
#include "command/options.h"
#include "command/quiz.h"
#include "command/steer.h"
#include "source/replay.h"

struct replay_options {
    const void *face; /* struct face_ops */
    const char *speed, *ahead, *notes_path, *log_path;
    const char *path;
    bool paused, quiz;
};

static const double quiz_speed = 4.0;

static const struct flag flags[] = {
    {"plain", NULL, FLAG_IS, offsetof(struct replay_options, face), &face_plain,
     N_("sentences instead of the screen; type help to see what to say")},
    {"json", NULL, FLAG_IS, offsetof(struct replay_options, face), &face_json,
     N_("the session's records, with the advice made anew")},
    {"speed", N_("X|max"), FLAG_TEXT, offsetof(struct replay_options, speed), NULL,
     N_("faster or slower than life (max without a screen)")},
    {"paused", NULL, FLAG_ON, offsetof(struct replay_options, paused), NULL,
     N_("stand still at the start")},
    {"ahead", N_("dimmed|hidden"), FLAG_TEXT, offsetof(struct replay_options, ahead), NULL,
     N_("what the graph over time shows of what is still to come (dimmed;\n"
        "hidden in a quiz)")},
    {"notes", N_("COPY"), FLAG_TEXT, offsetof(struct replay_options, notes_path), NULL,
     N_("what is noted meanwhile is kept as marks in this copy of the log;\n"
        "must not exist yet")},
    {"quiz", NULL, FLAG_ON, offsetof(struct replay_options, quiz), NULL,
     N_("ask before each turn which way and how far, then tell")},
    {"log", N_("FILE"), FLAG_TEXT, offsetof(struct replay_options, log_path), NULL,
     N_("where the quiz is recorded; must not exist yet")},
    {NULL},
};

static const struct flag_command command = {
    .name = "replay",
    .usage = N_("usage: peakward replay LOG [OPTION]...\n"
                "Show a recorded session again.\n"),
    .flags = flags,
};

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

/* What goes with --quiz and what without. 0 or -EINVAL. */
static int check(const struct replay_options *options)
{
    if (options->quiz && options->paused) {
        command_complain("--quiz", _("it stands still by itself"), _("leave --paused away"));
        return -EINVAL;
    }
    if (options->quiz && replay_is_capture(options->path)) {
        command_complain(options->path, _("nobody coached here"), _("give the log of a session"));
        return -EINVAL;
    }
    if (options->notes_path && (options->quiz || replay_is_capture(options->path))) {
        command_complain("--notes",
                         options->quiz ? _("a quiz takes answers, not notes")
                                       : _("a capture has no room for notes"),
                         _("leave it away"));
        return -EINVAL;
    }
    if (!options->quiz && options->log_path) {
        command_complain("--log", _("a replay adds nothing that could be kept"),
                         _("it goes with --quiz"));
        return -EINVAL;
    }
    if (options->ahead && strcmp(options->ahead, "dimmed") != 0 &&
        strcmp(options->ahead, "hidden") != 0) {
        command_complain("--ahead", options->ahead, _("give dimmed or hidden"));
        return -EINVAL;
    }
    return 0;
}

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct replay_options *options)
{
    int first, r;

    *options = (struct replay_options){.face = &face_screen, .ahead = NULL};
    r = flags_read(argc, argv, &command, options, &first);
    if (r != 0) {
        return r;
    }
    if (first + 1 != argc) {
        command_complain("replay", first < argc ? _("more than one log") : _("no log"),
                         _("name the log of one session, see peakward replay --help"));
        return -EINVAL;
    }
    options->path = argv[first];
    return check(options);
}

/* A screen is watched; what is watched goes as it went, a quiz a little faster. */
static double usual_speed(const struct replay_options *options, bool on_screen)
{
    return !on_screen && !options->paused ? INFINITY : options->quiz ? quiz_speed : 1.0;
}

static int open_all(struct engine *engine, const struct replay_options *options,
                    const struct face_ops *face, struct quiz **ret_quiz)
{
    if (open_log(engine, options->path) < 0 ||
        (options->notes_path && annotate_begin(engine, options->notes_path) < 0) ||
        open_source(engine) < 0 ||
        options_pace(options->speed, usual_speed(options, face == &face_screen), &engine->speed) <
            0 ||
        (options->quiz && !(*ret_quiz = quiz_create(engine, options->log_path))) ||
        engine_open_face(engine, face, options->quiz ? N_("quiz") : N_("replay")) < 0) {
        return -EINVAL;
    }
    return steer_begin(engine);
}

static int show(struct engine *engine, const struct replay_options *options)
{
    const struct face_ops *face = options->face;
    struct quiz *quiz = NULL;
    int status = EXIT_WRONG;

    if (face == &face_screen && !(isatty(STDIN_FILENO) && isatty(STDOUT_FILENO))) {
        face = &face_plain;
    }
    engine->scene.covered = options->ahead ? strcmp(options->ahead, "hidden") == 0 : options->quiz;
    if (open_all(engine, options, face, &quiz) == 0) {
        if (options->paused) {
            engine->paused = true;
            steer_obey(engine, &(struct words){.kind = WORDS_SEEK, .place = PLACE_TIME});
        }
        status = quiz ? quiz_run(quiz) : engine_run(engine);
    }
    if (engine->face) {
        engine->face->close(engine->face_self);
        engine->face = NULL;
    }
    quiz_destroy(quiz);
    return status;
}

int replay_main(int argc, char **argv)
{
    struct replay_options options;
    struct engine *engine;
    int status, r = parse(argc, argv, &options);

    if (r != 0) {
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    engine = engine_create();
    if (!engine) {
        command_complain("replay", fault_words(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    status = show(engine, &options);
    engine_destroy(engine);
    return status;
}
