/* drill - practice on the simulated mount, and what it was worth. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/spelling.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/drill_face.h"
#include "command/drill_lesson.h"
#include "command/options.h"
#include "command/start_log.h"
#include "session/json_line.h"
#include "source/sim.h"
#include "view/glyphs.h"

static const char *const coach_words[] = {
    [DRILL_COACH_ON] = "on", [DRILL_COACH_ASK] = "ask", [DRILL_COACH_OFF] = "off"};

/* What counts as a beamwidth for skew: a tenth of it costs nothing that a meter shows. */
static const double skew_step_deg = 10.0;
static const double deg_per_rad = 57.295779513082320877;

struct drill_options {
    const char *name, *hand, *seed, *log_path, *speed, *time_limit, *coach_word;
    enum drill_coach coach;
    const void *face; /* struct face_ops */
};

static const struct flag flags[] = {
    {"coach", N_("on|ask|off"), FLAG_TEXT, offsetof(struct drill_options, coach_word), NULL,
     N_("advice at once, only after the word ask, or none (on)")},
    {"hand", N_("MODEL"), FLAG_TEXT, offsetof(struct drill_options, hand), NULL,
     N_("a simulated technician follows the coach: careful, hasty, clumsy\n"
        "or deaf")},
    {"seed", N_("N"), FLAG_TEXT, offsetof(struct drill_options, seed), NULL,
     N_("another run of luck (1)")},
    {"log", N_("FILE"), FLAG_TEXT, offsetof(struct drill_options, log_path), NULL,
     N_("where the session is recorded; must not exist yet")},
    {"plain", NULL, FLAG_IS, offsetof(struct drill_options, face), &face_plain,
     N_("sentences instead of the screen; type help to see what to say")},
    {"json", NULL, FLAG_IS, offsetof(struct drill_options, face), &face_json,
     N_("records on standard output, the score as the last line")},
    {"speed", N_("X|max"), FLAG_TEXT, offsetof(struct drill_options, speed), NULL,
     N_("faster than life")},
    {"time-limit", N_("MINUTES"), FLAG_TEXT, offsetof(struct drill_options, time_limit), NULL,
     N_("end it after so many minutes of the session, done or not\n"
        "(240 for a simulated mount without a screen)")},
    {NULL},
};

static const struct flag_command command = {
    .name = "drill",
    .usage = N_("usage: peakward drill [NAME [OPTION]...]\n"
                "Practise on a simulated mount; without a name, list what can be practised.\n"),
    .flags = flags,
};

static int parse_coach(const char *word, enum drill_coach *ret)
{
    for (size_t i = 0; i < sizeof coach_words / sizeof *coach_words; i++) {
        if (strcmp(word, coach_words[i]) == 0) {
            *ret = (enum drill_coach)i;
            return 0;
        }
    }
    command_complain("--coach", word, _("give on, ask or off"));
    return -EINVAL;
}

static int check_hand(const struct drill_options *options)
{
    enum technician_model model;

    if (options->hand && !technician_parse_model(options->hand, &model)) {
        command_complain("--hand", options->hand, _("give careful, hasty, clumsy or deaf"));
        return -EINVAL;
    }
    if (options->hand && options->coach == DRILL_COACH_OFF) {
        command_complain("--hand", _("a simulated technician follows the coach, which is off"),
                         _("leave --hand or --coach off away"));
        return -EINVAL;
    }
    return 0;
}

/* 0, 1 = help was asked for, -EINVAL. */
static int parse(int argc, char **argv, struct drill_options *options)
{
    int first, r;

    *options = (struct drill_options){.face = &face_screen, .seed = "1", .coach_word = "on"};
    r = flags_read(argc, argv, &command, options, &first);
    if (r != 0) {
        return r;
    }
    options->name = first < argc ? argv[first++] : NULL;
    if (first < argc) {
        command_complain(argv[first], _("more than one scenario"), _("name one"));
        return -EINVAL;
    }
    return parse_coach(options->coach_word, &options->coach) < 0 ? -EINVAL : check_hand(options);
}

/* --- what there is -------------------------------------------------------------------------- */

/* Columns for how hard it is. */
enum { HARD_COLS = 7 };

static int list_lessons(bool json)
{
    static const char *const hardness[] = {N_("easy"), N_("plain"), N_("tricky"), N_("hard"),
                                           N_("nasty")};
    struct drill_lesson lessons[DRILL_LESSONS];
    int count = drill_lesson_list(lessons);

    if (count <= 0) {
        command_complain("drill", _("the scenarios are not where they should be"),
                         _("install peakward as a whole"));
        return EXIT_NOT_DONE;
    }
    for (int i = 0; i < count; i++) {
        const struct drill_lesson *lesson = &lessons[i];
        if (json) {
            char line[LOG_LINE_SIZE];
            json_t *object = json_pack("{s:s, s:i, s:s}", "drill", lesson->name, "hard",
                                       (int)lesson->hard, "teaches", lesson->teaches);
            if (json_line(object, line, sizeof line) > 0) {
                puts(line);
            }
        } else {
            const char *hard = _(hardness[(int)lesson->hard - 1]);
            int blanks = HARD_COLS - glyphs_columns(hard);
            command_say("%-13s %s%*s %s\n", lesson->name, hard, blanks > 0 ? blanks : 0, "",
                        _(lesson->teaches));
        }
    }
    return EXIT_DONE;
}

static void complain_unknown(const char *name)
{
    struct drill_lesson lessons[DRILL_LESSONS];
    int count = drill_lesson_list(lessons);
    struct spelling spelling;
    char hint[128];

    spelling_start(&spelling, name);
    for (int i = 0; i < count; i++) {
        spelling_try(&spelling, lessons[i].name);
    }
    if (spelling.nearest) {
        snprintf(hint, sizeof hint, _("perhaps %s was meant"), spelling.nearest);
    } else {
        text_copy(hint, sizeof hint, _("peakward drill lists them"));
    }
    command_complain(name, _("no such scenario"), hint);
}

/* --- the session ---------------------------------------------------------------------------- */

static int read_job(struct engine *engine, const struct drill_options *options)
{
    char scenario[SCENARIO_PATH_SIZE], path[SCENARIO_PATH_SIZE], address[JOB_TEXT_SIZE];
    char why[JOB_ERROR_SIZE] = "", meter[JOB_NAME_SIZE] = "";
    int n;

    if (scenario_find(options->name, scenario) < 0) {
        complain_unknown(options->name);
        return -EINVAL;
    }
    if (drill_lesson_job_path(scenario, path) < 0 || job_read(&engine->job, path, why) < 0 ||
        job_check(&engine->job, why) < 0) {
        command_complain(options->name, why[0] ? why : _("too long a path"),
                         _("its job file stands beside it under the same name"));
        return -EINVAL;
    }
    n = snprintf(address, sizeof address, "sim:%s?seed=%s%s%s", options->name, options->seed,
                 options->hand ? "&hand=" : "", options->hand ? options->hand : "");
    if (n >= (int)sizeof address) {
        command_complain(options->name, _("too long a path"), _("go to its folder"));
        return -EINVAL;
    }
    text_copy(meter, sizeof meter,
              engine->job.source_count > 0 ? engine->job.sources[0].meter : "");
    job_forget_sources(&engine->job);
    if (job_set(&engine->job, "source mount", "address", address, why) < 0 ||
        (meter[0] && job_set(&engine->job, "source mount", "meter", meter, why) < 0)) {
        command_complain(options->name, why, NULL);
        return -EINVAL;
    }
    return 0;
}

static int set_procedure(struct engine *engine, enum drill_coach coach)
{
    struct procedure coached;
    char why[JOB_ERROR_SIZE] = "";

    if (options_procedure(&engine->job, &engine->procedure) < 0) {
        return -EINVAL;
    }
    if (coach == DRILL_COACH_OFF) {
        coached = engine->procedure;
        if (drill_lesson_alone(&coached, &engine->job, &engine->procedure, why, sizeof why) < 0) {
            command_complain("--coach off", why, NULL);
            return -EINVAL;
        }
    }
    return 0;
}

/* With nobody who sits there and waits it goes as fast as it can. */
static int set_pace(struct engine *engine, const struct drill_options *options)
{
    bool watched = !options->hand || options->face == &face_screen;

    return options_pace(options->speed, watched ? 1.0 : INFINITY, &engine->speed);
}

static int start(struct engine *engine, const struct drill_options *options)
{
    if (read_job(engine, options) < 0 || set_procedure(engine, options->coach) < 0 ||
        options_magnetic(&engine->job, &engine->magnetic) < 0 || set_pace(engine, options) < 0 ||
        options_limit(options->time_limit, &engine->limit_s) < 0) {
        return -EINVAL;
    }
    engine_reset(engine);
    return engine_open_sources(engine) < 0 ? -EINVAL : start_log(engine, options->log_path);
}

/* --- the score ------------------------------------------------------------------------------ */

static void find_beams(const struct world *world, double ret_deg[AXIS_COUNT])
{
    struct aperture aperture = scenario_aperture(world_scenario(world));
    double elevation = world_truth(world).target_deg[WORLD_ELEVATION];
    double narrow = fmin(aperture.width_deg, aperture.height_deg);
    double width = aperture.panel ? narrow : aperture.width_deg;

    ret_deg[AXIS_AZIMUTH] = width / cos(elevation / deg_per_rad);
    ret_deg[AXIS_ELEVATION] = width;
    ret_deg[AXIS_SKEW] = skew_step_deg;
}

static double beams_off(const struct world *world, size_t satellite)
{
    double beams[2];

    world_off_beams(world, satellite, beams);
    return hypot(beams[0], beams[1]);
}

static struct drill_ending ending_of(const struct world *world)
{
    const struct scenario *scenario = world_scenario(world);
    struct world_truth truth = world_truth(world);
    struct drill_ending ending = {.target_beams = beams_off(world, scenario->target),
                                  .pointing_loss_db = truth.pointing_loss_db,
                                  .skew_loss_db = truth.skew_loss_db,
                                  .skew_error_deg = truth.error_deg[WORLD_SKEW],
                                  .allowed_s = 60.0 * scenario->lesson.minutes};
    size_t nearest = scenario->target;

    for (size_t i = 0; i < scenario->satellite_count; i++) {
        if (beams_off(world, i) < beams_off(world, nearest)) {
            nearest = i;
        }
    }
    ending.on_target = nearest == scenario->target;
    ending.nearest_beams = beams_off(world, nearest);
    text_copy(ending.nearest, sizeof ending.nearest, scenario->satellites[nearest].name);
    text_copy(ending.target, sizeof ending.target, scenario->satellites[scenario->target].name);
    return ending;
}

static void show_json(const struct drill_score *score, const struct drill_ending *ending,
                      const struct drill_options *options)
{
    json_t *object = drill_score_json(score, ending);
    char line[LOG_LINE_SIZE];

    json_object_set_new(object, "drill", json_string(options->name));
    json_object_set_new(object, "seed", json_integer(strtol(options->seed, NULL, 10)));
    json_object_set_new(object, "coach", json_string(coach_words[options->coach]));
    json_object_set_new(object, "hand", options->hand ? json_string(options->hand) : json_null());
    if (json_line(json_pack("{s:o}", "score", object), line, sizeof line) > 0) {
        puts(line);
    }
}

/* In the log, too: a note a sentence. */
static void keep_sentence(struct engine *engine, const char *sentence)
{
    struct record note = {.t = engine->state.t, .kind = RECORD_NOTE};

    text_copy(note.note.text, sizeof note.note.text, "score: ");
    text_append(note.note.text, sizeof note.note.text, "%s", sentence);
    log_write(&engine->log, &note);
}

static void show_score(struct engine *engine, const struct drill_score *score,
                       const struct drill_ending *ending, const struct drill_options *options)
{
    char sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE], where[sizeof engine->log_path + 64] = "";
    size_t count = drill_score_tell(score, ending, sentences);

    for (size_t i = 0; i < count; i++) {
        keep_sentence(engine, sentences[i]);
        if (options->face != &face_json) {
            command_say("%s\n", sentences[i]);
        }
    }
    if (options->face == &face_json) {
        show_json(score, ending, options);
    }
    text_append(where, sizeof where, _("log: %s\n"), engine->log_path);
    command_put(options->face == &face_json ? stderr : stdout, where);
}

static size_t tell_score(const struct drill_face *face,
                         char ret_sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE])
{
    struct drill_ending ending = ending_of(face->world);

    return drill_score_tell(face->score, &ending, ret_sentences);
}

static int practise(struct engine *engine, const struct drill_options *options)
{
    struct drill_score score;
    struct drill_face face = {.coach = options->coach, .score = &score, .tell = tell_score};
    struct drill_ending ending;
    double beam_deg[AXIS_COUNT];
    int status;

    if (start(engine, options) < 0 || engine_open_face(engine, options->face, N_("drill")) < 0) {
        return EXIT_WRONG;
    }
    face.world = sim_world(engine->sources[0].self);
    find_beams(face.world, beam_deg);
    drill_score_init(&score, &engine->procedure, beam_deg);
    drill_face_put(&face, engine);
    status = engine_run(engine);
    ending = ending_of(face.world);
    engine->face->close(engine->face_self);
    engine->face = NULL;
    show_score(engine, &score, &ending, options);
    return end_log(engine, status);
}

int drill_main(int argc, char **argv)
{
    struct drill_options options;
    struct engine *engine;
    int status, r = parse(argc, argv, &options);

    if (r != 0) {
        return r == 1 ? EXIT_DONE : EXIT_WRONG;
    }
    if (!options.name) {
        return list_lessons(options.face == &face_json);
    }
    if (options.face == &face_screen && !(isatty(STDIN_FILENO) && isatty(STDOUT_FILENO))) {
        options.face = &face_plain;
    }
    engine = engine_create();
    if (!engine) {
        command_complain("drill", fault_words(ENOMEM), NULL);
        return EXIT_NOT_DONE;
    }
    status = practise(engine, &options);
    engine_destroy(engine);
    return status;
}
