/* peak - the live job, from the first fix to the record. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/engine.h"
#include "command/language.h"
#include "command/options.h"
#include "command/start_log.h"

enum {
    OPTION_LOG = OPTION_OWN,
    OPTION_RESUME,
    OPTION_PLAIN,
    OPTION_JSON,
    OPTION_SPEED,
};

static const struct option table[] = {
    OPTIONS_SHARED,
    {"source", required_argument, NULL, OPTION_SOURCE},
    {"procedure", required_argument, NULL, OPTION_PROCEDURE},
    {"log", required_argument, NULL, OPTION_LOG},
    {"resume", required_argument, NULL, OPTION_RESUME},
    {"plain", no_argument, NULL, OPTION_PLAIN},
    {"json", no_argument, NULL, OPTION_JSON},
    {"speed", required_argument, NULL, OPTION_SPEED},
    {NULL, 0, NULL, 0},
};

struct peak_options {
    struct options shared;
    const char *log_path, *resume_path, *speed;
    const struct face_ops *face;
};

static void help(void)
{
    command_say(
        _("usage: peakward peak --job FILE [OPTION]...\n"
          "Point the antenna: the coach says which way to turn and how far.\n\n%s"
          "  --source ADDRESS      where readings come from; may be given several times and\n"
          "                        replaces those of the job file (see peakward(1))\n"
          "  --procedure NAME|FILE the steps to follow (see peakward-procedure(5))\n"
          "  --log FILE            where the session is recorded; must not exist yet\n"
          "  --resume FILE         go on with a session that was cut off\n"
          "  --plain               sentences instead of the screen; type help to see what to say\n"
          "  --json                records on standard output; the same words on standard input\n"
          "  --speed X|max         a simulated session faster than life\n"),
        _(options_shared_help));
}

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct peak_options *options)
{
    int option;

    *options = (struct peak_options){.face = &face_screen};
    while ((option = options_next(argc, argv, table)) != -1) {
        if (options_take(&options->shared, option, optarg)) {
            continue;
        }
        switch (option) {
        case 'h':
            return 1;
        case OPTION_LOG:
            options->log_path = optarg;
            break;
        case OPTION_RESUME:
            options->resume_path = optarg;
            break;
        case OPTION_PLAIN:
            options->face = &face_plain;
            break;
        case OPTION_JSON:
            options->face = &face_json;
            break;
        case OPTION_SPEED:
            options->speed = optarg;
            break;
        default:
            return -EINVAL;
        }
    }
    if (optind < argc) {
        command_complain(argv[optind], _("not an option"), _("see peakward peak --help"));
        return -EINVAL;
    }
    return 0;
}

/* --- resuming is replaying ------------------------------------------------------------------ */

/* What the coach made of the last record read, and how much of all it made is in the log. */
struct remade {
    struct record last[COACH_OUT];
    size_t last_count;
    long not_logged;
};

static void coach_again(struct engine *engine, const struct record *input, struct remade *remade)
{
    struct record made;

    state_apply(&engine->state, input);
    coach_update(&engine->coach, &engine->state, input);
    remade->last_count = 0;
    while (coach_take(&engine->coach, &made)) {
        record_round(&made);
        state_apply(&engine->state, &made);
        remade->last[remade->last_count++] = made;
        remade->not_logged++;
    }
}

static int replay_into(struct engine *engine, struct log_reader *reader, struct remade *remade)
{
    struct record record;
    char why[JOB_ERROR_SIZE];
    int r;

    while ((r = log_reader_next(reader, &record, why)) == 1) {
        if (record_is_made(&record)) {
            remade->not_logged--;
        } else {
            coach_again(engine, &record, remade);
        }
    }
    if (r < 0) {
        command_complain(engine->log_path, why, _("mend or remove that line"));
    }
    return r;
}

/* The cut may have fallen between a record and what the coach made of it: that is written now. */
static int write_the_missing(struct engine *engine, const struct remade *remade)
{
    size_t missing = remade->not_logged > 0 ? (size_t)remade->not_logged : 0;
    int r = 0;

    missing = missing < remade->last_count ? missing : remade->last_count;
    for (size_t i = remade->last_count - missing; r == 0 && i < remade->last_count; i++) {
        r = log_write(&engine->log, &remade->last[i]);
    }
    return r;
}

static int resume(struct engine *engine, const char *path)
{
    struct remade remade = {.last_count = 0};
    struct log_reader reader;
    char why[JOB_ERROR_SIZE];
    int r;

    text_copy(engine->log_path, sizeof engine->log_path, path);
    if (log_reader_open(&reader, path, &engine->job, &engine->procedure, why) < 0) {
        command_complain(why, NULL, NULL);
        return -EINVAL;
    }
    language_of_log(reader.language);
    r = options_magnetic(&engine->job, &engine->magnetic);
    if (r == 0) {
        engine_reset(engine);
        r = replay_into(engine, &reader, &remade);
    }
    log_reader_close(&reader);
    if (r < 0) {
        return -EINVAL;
    }
    r = log_append(&engine->log, path);
    if (r == 0) {
        r = write_the_missing(engine, &remade);
    }
    if (r < 0) {
        command_complain(path, strerror(-r), NULL);
        return -EINVAL;
    }
    engine->t = engine->state.t;
    return 0;
}

static int start(struct engine *engine, const struct peak_options *options)
{
    if (options->resume_path) {
        return resume(engine, options->resume_path);
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
    engine->speed = 1.0;
    if (!speed) {
        return 0;
    }
    if (strcmp(speed, "max") == 0) {
        engine->as_fast_as_possible = true;
    } else if (text_parse_double(speed, &engine->speed) < 0 || engine->speed <= 0.0 ||
               engine->speed > 1000.0) {
        command_complain("--speed", speed, _("give a number above 0, or max"));
        return -EINVAL;
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
        if (r == 1) {
            help();
        }
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    if (options.face == &face_screen && !(isatty(STDIN_FILENO) && isatty(STDOUT_FILENO))) {
        options.face = &face_plain;
    }
    engine = engine_create();
    if (!engine) {
        command_complain("peak", strerror(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    if (start(engine, &options) == 0 && engine_open_sources(engine) == 0 &&
        set_pace(engine, options.speed) == 0 &&
        (options.resume_path || start_log(engine, options.log_path) == 0) &&
        engine_open_face(engine, options.face, N_("peak")) == 0) {
        status = engine_run(engine);
        engine->face->close(engine->face_self);
        engine->face = NULL;
        say_where(engine, options.face == &face_json ? stderr : stdout);
    }
    engine_destroy(engine);
    return status;
}
