/*
 * stage.c - the screen on a state made by hand, for tests: nothing moves, no clock is read, so that
 * what is seen can be compared with a file. What the keys say is shown as a message.
 *
 *   stage [replay] [simulated] [wrong] [old] [scale|nudges] [push] [nothing] [german]
 */
#include <errno.h>
#include <locale.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/coach.h"
#include "sky/magnetic.h"
#include "view/face.h"
#include "view/history.h"
#include "view/words.h"

static struct job job;
static struct procedure procedure;
static struct magnetic_model magnetic;
static struct state state;
static struct history history;
static struct coach coach;

static volatile sig_atomic_t stop;

static void on_stop(int number)
{
    stop = number;
}

static void set(const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE];

    if (job_set(&job, section, key, value, why) < 0) {
        fprintf(stderr, "stage: %s\n", why);
        exit(2);
    }
}

/* An invented mountain-rescue hut; satellites and slots are invented, too. */
static void make_job(const char *from)
{
    job_init(&job);
    set("target", "name", "Ptarmigan 1");
    set("target", "longitude", "22.4E");
    set("target", "polarisation", "V");
    set("target", "id", "PTARMIGAN");
    set("neighbour Marmot 2", "longitude", "19.7E");
    set("neighbour Marmot 2", "id", "MARMOT");
    set("mount", "azimuth_turn", "1.5");
    set("mount", "elevation_turn", "1.2");
    set("mount", "azimuth_from", from);
    set("mount", "elevation_from", from);
    set("mount", "skew_from", from);
    if (strcmp(from, "scale") == 0) {
        set("mount", "elevation_scale_zero", "-22");
    }
    set("meter finder", "unit", "dB");
}

static void make_procedure(void)
{
    static const char *const names[] = {"transmitter",   "surroundings",   "position",
                                        "set elevation", "set azimuth",    "sweep azimuth",
                                        "peak azimuth",  "peak elevation", "tighten"};

    procedure_init(&procedure, "hut");
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        text_copy(procedure.steps[i].name, PROCEDURE_NAME_SIZE, names[i]);
        procedure.step_count++;
    }
    procedure.steps[6].act = procedure.steps[7].act = DO_PEAK;
    procedure.steps[7].axis = AXIS_ELEVATION;
}

/* What the coach has found, as its sentence says: a neighbour that it left, the lobe's middle. */
static void make_coach(void)
{
    coach.learned.azimuth_bias_deg = NAN;
    coach.peak = (struct peak){.axis = AXIS_AZIMUTH,
                               .phase = PEAK_CENTRE,
                               .passes = true,
                               .count = 90,
                               .centre_x = 163.27,
                               .width_deg = 1.1,
                               .fit = {.centre_deg = 163.27,
                                       .centre_error_deg = 0.03,
                                       .peak = 12.6,
                                       .width_deg = 1.02,
                                       .used = 60}};
    coach.arc = (struct arc){
        .begun = true, .origin_x = 163.28, .matched = true, .top_count = 2, .slot_count = 2};
    coach.arc.tops[0] = (struct sweep_peak){.x = 159.8, .refused = true, .id = "MARMOT"};
    coach.arc.tops[1] = (struct sweep_peak){.x = 163.3, .id = "PTARMIGAN"};
    coach.arc.match = (struct arc_match){.bias_deg = 0.1, .bias_error_deg = 0.2};
}

static void *face;
static struct face_scene scene;

static void apply(struct record record)
{
    state_apply(&state, &record);
    history_add(&history, &state, &record);
    face_screen.record(face, &scene, &record);
}

static void enter(double t, int number)
{
    struct record record = {.t = t, .kind = RECORD_STEP};

    record.step = (struct record_step){.event = STEP_ENTER, .number = number, .count = 9};
    text_copy(record.step.name, sizeof record.step.name, procedure.steps[number - 1].name);
    apply(record);
}

static void advise(double t, enum advice_move move)
{
    bool german = strcmp(tongue_name(), "de") == 0;
    struct record record = {.t = t,
                            .kind = RECORD_ADVICE,
                            .advice = {.step = "peak azimuth",
                                       .axis = AXIS_AZIMUTH,
                                       .move = move,
                                       .deg = 0.46,
                                       .turns = 0.46 / 1.5,
                                       .rate = 0.3,
                                       .until = UNTIL_DWELL}};

    text_copy(record.advice.say, RECORD_TEXT_SIZE,
              german ? "Nach rechts 0.46\u00b0, 1/4 Umdrehung, langsam."
                     : "Right 0.46\u00b0, a quarter turn, slowly.");
    text_copy(record.advice.why, RECORD_TEXT_SIZE,
              german ? "errechnete Mitte: 163.27\u00b0 \u00b1 0.03\u00b0"
                     : "lobe fit: centre 163.27\u00b0 \u00b1 0.03\u00b0");
    apply(record);
}

/*
 * A level that climbs over a lobe, falls, has a gap, and comes back to 0.7 dB below the best; its
 * noise is the same in every run.
 */
static void make_levels(double from, double to)
{
    static unsigned random = 1;

    for (double t = from; t < to; t += 0.2) {
        double x = (t - 70.0) / 16.0, noise = 0.0;
        struct record record = {.t = t, .kind = RECORD_LEVEL, .level.unit = LEVEL_DB};
        for (int i = 0; i < 4; i++) {
            random = random * 1103515245u + 12345u;
            noise += 0.3 * ((random >> 16) % 1000 / 1000.0 - 0.5);
        }
        apply((struct record){
            .t = t,
            .kind = RECORD_ANGLES,
            .angles = {.deg = {t < 90.0 ? 163.3 + 0.06 * (t - 70.0) : 162.81, 35.22, -11.9},
                       .from = "gpsd"}});
        record.level.value = (t < 90.0 ? 2.0 + 10.6 * exp(-x * x) : 11.9) + noise;
        text_copy(record.level.meter, sizeof record.level.meter, "finder");
        apply(record);
    }
}

static void make_readings(bool wrong)
{
    struct record lock = {.t = 119.9, .kind = RECORD_LOCK, .lock.locked = true};

    apply((struct record){.t = 119.8, .kind = RECORD_UTC, .utc.unix_s = 1779269400.0});
    apply((struct record){.t = 119.8,
                          .kind = RECORD_FIX,
                          .fix = {.lat_deg = 46.6,
                                  .lon_deg = 10.1,
                                  .height_m = 2200.0,
                                  .error_m = 3.2,
                                  .mode = 3,
                                  .satellites = 9}});
    apply((struct record){.t = 119.8,
                          .kind = RECORD_ANGLES,
                          .angles = {.deg = {162.81, 35.22, -11.9}, .from = "gpsd"}});
    apply((struct record){.t = 119.8,
                          .kind = RECORD_SOURCE,
                          .source = {.name = "finder",
                                     .status = SOURCE_BAD,
                                     .bad = 3,
                                     .why = "no number where the level should be"}});
    text_copy(lock.lock.id, sizeof lock.lock.id, wrong ? "MARMOT" : "PTARMIGAN");
    apply(lock);
}

static void make_state(bool wrong)
{
    apply((struct record){
        .t = 0.0, .kind = RECORD_SOURCE, .source = {.name = "finder", .status = SOURCE_UP}});
    apply((struct record){
        .t = 0.0, .kind = RECORD_SOURCE, .source = {.name = "gpsd", .status = SOURCE_UP}});
    apply((struct record){
        .t = 0.0, .kind = RECORD_ANGLES, .angles = {.deg = {163.3, 35.22, -11.9}, .from = "gpsd"}});
    make_levels(0.0, 30.0);
    enter(20.0, 6);
    enter(30.0, 7);
    advise(30.0, ADVICE_RIGHT);
    apply((struct record){
        .t = 30.0, .kind = RECORD_LOCK, .lock = {.locked = true, .id = "PTARMIGAN"}});
    make_levels(30.2, 82.0);
    apply((struct record){.t = 95.0, .kind = RECORD_MARK, .mark.text = "before the nut"});
    make_levels(95.2, 100.0);
    make_levels(100.2, 119.7);
    make_readings(wrong);
    advise(119.9, ADVICE_RIGHT);
}

/* The bolts are tight, and somebody is to push the upper edge. */
static void make_push(void)
{
    struct record record = {.t = 119.9,
                            .kind = RECORD_ADVICE,
                            .advice = {.step = "tighten",
                                       .axis = AXIS_ELEVATION,
                                       .move = ADVICE_PUSH,
                                       .deg = NAN,
                                       .turns = NAN,
                                       .rate = NAN,
                                       .until = UNTIL_DWELL}};

    enter(119.9, 9);
    text_copy(record.advice.say, RECORD_TEXT_SIZE,
              "Push the upper edge away from you, firmly, and hold.");
    text_copy(record.advice.why, RECORD_TEXT_SIZE,
              "the level falls more on the side to which it is off already");
    apply(record);
}

/* What the keys have said, as a message; quit ends. */
static bool obey(const char *text)
{
    char message[FACE_WORDS_SIZE + 16] = "";
    char why[RECORD_TEXT_SIZE];
    struct words words;

    if (words_parse(text, LEVEL_DB, &words, why) < 0) {
        face_screen.message(face, why);
        return true;
    }
    if (words.kind == WORDS_HELP) {
        face_screen.message(face, words_help);
        return true;
    }
    text_append(message, sizeof message, "said: %s", text);
    face_screen.message(face, message);
    return words.kind != WORDS_QUIT;
}

static void run(void)
{
    char text[FACE_WORDS_SIZE];
    int r = 0;

    while (!stop && r != -EPIPE) {
        struct pollfd poller = {.fd = face_screen.fd(face), .events = POLLIN};
        while ((r = face_screen.input(face, &scene, text)) == 1) {
            if (!obey(text)) {
                return;
            }
        }
        face_screen.show(face, &scene);
        poll(&poller, 1, 200);
    }
}

static bool has(int argc, char **argv, const char *word)
{
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], word) == 0) {
            return true;
        }
    }
    return false;
}

int main(int argc, char **argv)
{
    char why[RECORD_TEXT_SIZE];
    int r;

    scene = (struct face_scene){.t = has(argc, argv, "old") ? 131.0 : 120.0,
                                .state = &state,
                                .procedure = &procedure,
                                .coach = &coach,
                                .history = &history,
                                .title = has(argc, argv, "replay") ? "replay" : "peak",
                                .log_path = "hut.log",
                                .mount_is_simulated = has(argc, argv, "simulated"),
                                .replaying = has(argc, argv, "replay"),
                                .speed = 1.0};
    setlocale(LC_CTYPE, "");
    if (has(argc, argv, "german") && tongue_choose("de", CATALOGUES) < 0) {
        printf("no German words in %s\n", CATALOGUES);
        return 1;
    }
    signal(SIGTERM, on_stop);
    magnetic_builtin(&magnetic);
    make_job(has(argc, argv, "scale") ? "scale" : has(argc, argv, "nudges") ? "nudges" : "sensor");
    make_procedure();
    history_init(&history);
    state_init(&state, &job, &magnetic);
    r = face_screen.open(&face, why);
    if (r < 0) {
        printf("no screen: %s\n", why);
        return 1;
    }
    if (has(argc, argv, "nothing")) {
        scene.t = 0.0;
    } else {
        make_coach();
        make_state(has(argc, argv, "wrong"));
        if (has(argc, argv, "push")) {
            make_push();
        }
    }
    run();
    face_screen.close(face);
    return 0;
}
