/* peak - the live job, from the first fix to the record. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/engine.h"
#include "command/options.h"
#include "command/resume.h"
#include "command/start_log.h"

struct peak_options {
    struct options shared;
    const char *log_path, *resume_path, *speed, *time_limit;
    const void *face; /* struct face_ops */
};

static const struct flag flags[] = {
    {"source", N_("ADDRESS"), FLAG_TEXTS, offsetof(struct peak_options, shared.sources), NULL,
     N_("where readings come from; may be given several times and\n"
        "replaces those of the job file (see peakward(1))")},
    {"procedure", N_("NAME|FILE"), FLAG_TEXT, offsetof(struct peak_options, shared.procedure), NULL,
     N_("the steps to follow (see peakward-procedure(5))")},
    {"log", N_("FILE"), FLAG_TEXT, offsetof(struct peak_options, log_path), NULL,
     N_("where the session is recorded; must not exist yet")},
    {"resume", N_("FILE"), FLAG_TEXT, offsetof(struct peak_options, resume_path), NULL,
     N_("go on with a session that was cut off, in the same log")},
    {"plain", NULL, FLAG_IS, offsetof(struct peak_options, face), &face_plain,
     N_("sentences instead of the screen; type help to see what to say")},
    {"json", NULL, FLAG_IS, offsetof(struct peak_options, face), &face_json,
     N_("records on standard output; the same words on standard input")},
    {"speed", N_("X|max"), FLAG_TEXT, offsetof(struct peak_options, speed), NULL,
     N_("a simulated session faster than life")},
    {"time-limit", N_("MINUTES"), FLAG_TEXT, offsetof(struct peak_options, time_limit), NULL,
     N_("end it after so many minutes of the session, done or not\n"
        "(240 for a simulated mount without a screen)")},
    {NULL},
};

static const struct flag_command command = {
    .name = "peak",
    .usage = N_("usage: peakward peak --job FILE [OPTION]...\n"
                "Point the antenna: the coach says which way to turn and how far.\n"),
    .flags = flags,
    .common = options_shared,
};

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct peak_options *options)
{
    int first, r;

    *options = (struct peak_options){.face = &face_screen};
    r = flags_read(argc, argv, &command, options, &first);
    if (r == 0 && first < argc) {
        command_complain(argv[first], _("not an option"), _("see peakward peak --help"));
        return -EINVAL;
    }
    return r;
}

/* A log has its job with it: only where readings come from may have changed. */
static int check_resume(const struct peak_options *options)
{
    const struct {
        const char *flag, *given;
    } others[] = {
        {"--job", options->shared.job_path},        {"--site", options->shared.site},
        {"--target", options->shared.target},       {"--pol", options->shared.polarisation},
        {"--procedure", options->shared.procedure}, {"--log", options->log_path},
    };

    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        if (others[i].given) {
            command_complain(others[i].flag, _("the log that is gone on with has it already"),
                             _("leave it away; --source may be given"));
            return -EINVAL;
        }
    }
    return 0;
}

static int start(struct engine *engine, const struct peak_options *options)
{
    if (options->resume_path) {
        return check_resume(options) < 0
                   ? -EINVAL
                   : resume_begin(engine, options->resume_path, &options->shared);
    }
    if (options_finish(&options->shared, &engine->job) < 0 ||
        options_procedure(&engine->job, &engine->procedure) < 0 ||
        options_magnetic(&engine->job, &engine->magnetic) < 0) {
        return -EINVAL;
    }
    if (engine->job.source_count == 0) {
        command_complain(_("no source of readings"),
                         _("neither the job file nor --source names one"),
                         _("add --source keys to type everything by hand"));
        return -EINVAL;
    }
    engine_reset(engine);
    return 0;
}

static int set_pace(struct engine *engine, const char *speed)
{
    if (options_pace(speed, 1.0, &engine->speed) < 0) {
        return -EINVAL;
    }
    if (!speed) {
        return 0;
    }
    for (size_t i = 0; i < engine->source_count; i++) {
        if (engine->sources[i].ops->fd(engine->sources[i].self) >= 0 ||
            strcmp(engine->sources[i].ops->scheme, "gpsd") == 0) {
            command_complain("--speed", engine->sources[i].address,
                             _("a real source keeps its own time; leave --speed away"));
            return -EINVAL;
        }
    }
    return 0;
}

static void say_where(const struct engine *engine, FILE *file)
{
    char text[sizeof engine->log_path + 64] = "";

    text_append(text, sizeof text, _("log: %s\n"), engine->log_path);
    command_put(file, text);
}

int peak_main(int argc, char **argv)
{
    struct peak_options options;
    struct engine *engine;
    int status = EXIT_WRONG, r = parse(argc, argv, &options);

    if (r != 0) {
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    if (options.face == &face_screen && !(isatty(STDIN_FILENO) && isatty(STDOUT_FILENO))) {
        options.face = &face_plain;
    }
    engine = engine_create();
    if (!engine) {
        command_complain("peak", fault_words(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    if (start(engine, &options) == 0 && engine_open_sources(engine) == 0 &&
        set_pace(engine, options.speed) == 0 &&
        options_limit(options.time_limit, &engine->limit_s) == 0 &&
        (options.resume_path ? resume_replay(engine) : start_log(engine, options.log_path)) == 0 &&
        engine_open_face(engine, options.face, N_("peak")) == 0) {
        if (options.resume_path) {
            resume_mark(engine);
        }
        status = engine_run(engine);
        engine->face->close(engine->face_self);
        engine->face = NULL;
        status = end_log(engine, status);
        say_where(engine, options.face == &face_json || engine->unheard ? stderr : stdout);
    }
    engine_destroy(engine);
    return status;
}
