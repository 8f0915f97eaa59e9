/*
 * peakward-sim - the other end of the cables: a meter on a pseudo-terminal, a receiver on a
 * loopback port, and a mount between them that is turned by words on standard input or by a
 * simulated technician who reads the coach's advice there. docs/simulator.md has the lines and the
 * words.
 */
#include <errno.h>
#include <getopt.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/stop.h"
#include "sim/program/cable.h"
#include "sim/program/receiver.h"
#include "sim/technician.h"
#include "sim/world.h"
#include "view/words.h"

enum { DONE = 0, NOT_DONE = 1, WRONG_USAGE = 2, INPUT_SIZE = 8192 };

struct options {
    const char *scenario, *link;
    uint64_t seed;
    double speed;
    int port;
    bool has_hand;
    enum technician_model hand;
};

struct bench {
    struct options options;
    struct world *world; /* owned */
    struct technician hand;
    struct cable cable;
    double start; /* clock at t = 0 */
    bool locked;
    char id[SCENARIO_NAME_SIZE];
    char input[INPUT_SIZE]; /* a line in the making */
    size_t used;
    bool overlong;        /* its rest is to be thrown away */
    bool heard_any, deaf; /* something came on standard input; its end did */
    bool quit;
};

static void complain(const char *what, const char *why)
{
    fprintf(stderr, "peakward-sim: %s: %s\n", what, why);
}

/* --- what it says --------------------------------------------------------------------------- */

/* "LVL 12.1 LOCK yes ID PTARMIGAN": docs/simulator.md. */
static void say_level(struct bench *bench, double level)
{
    char line[128];
    int n = snprintf(line, sizeof line, "LVL %.4g LOCK %s%s%s\r\n", level,
                     bench->locked ? "yes" : "no", bench->id[0] ? " ID " : "", bench->id);

    cable_say_meter(&bench->cable, line, (size_t)n);
}

static void say_cross(struct bench *bench, double level)
{
    char line[64];
    int n = snprintf(line, sizeof line, "CROSS %.4g\r\n", level);

    cable_say_meter(&bench->cable, line, (size_t)n);
}

static void say_event(struct bench *bench, const struct world_event *event)
{
    const struct scenario *scenario = world_scenario(bench->world);
    char lines[RECEIVER_LINES_SIZE];
    double deg[WORLD_AXES];
    size_t n;

    switch (event->kind) {
    case WORLD_LEVEL:
        say_level(bench, event->level);
        break;
    case WORLD_CROSS:
        say_cross(bench, event->level);
        break;
    case WORLD_LOCK:
        bench->locked = event->lock.locked;
        memcpy(bench->id, event->lock.id, sizeof bench->id);
        break;
    case WORLD_ANGLES:
        /* the attitude sensor knows the declination and says true headings */
        memcpy(deg, event->deg, sizeof deg);
        deg[WORLD_AZIMUTH] += scenario->site.declination_deg;
        deg[WORLD_AZIMUTH] -= 360.0 * floor(deg[WORLD_AZIMUTH] / 360.0);
        n = receiver_format_attitude(lines, deg);
        cable_say_receiver(&bench->cable, lines, n);
        break;
    case WORLD_FIX:
        n = receiver_format_fix(lines, &event->fix, scenario->site.utc_s + event->t);
        cable_say_receiver(&bench->cable, lines, n);
        break;
    case WORLD_UTC:
        break; /* goes with the fix */
    }
}

/* The technician's word, as the program's standard input takes it. */
static void say_word(const struct record *said)
{
    static const char *const angles[AXIS_COUNT] = {"az", "el", "skew"};
    static const char *const answers[] = {
        [STEP_DONE] = "done", [STEP_SKIP] = "skip", [STEP_BACK] = "back", [STEP_REPEAT] = "repeat"};

    if (said->kind == RECORD_STEP) {
        printf("%s\n", answers[said->step.event]);
    } else if (said->kind == RECORD_MOVE) {
        double amount = isfinite(said->move.turns) ? said->move.turns : said->move.deg;
        printf("moved %s %.4f %s\n", axis_way(said->move.axis, amount), fabs(amount),
               isfinite(said->move.turns) ? "turns" : "deg");
    } else if (said->kind == RECORD_ANGLES) {
        for (int i = 0; i < AXIS_COUNT; i++) {
            if (isfinite(said->angles.deg[i])) {
                printf("%s %.2f\n", angles[i], said->angles.deg[i]);
            }
        }
    }
    fflush(stdout);
}

/* On standard output, unless that carries the technician's words into a pipe. */
static void say_ends(const struct bench *bench)
{
    FILE *file = isatty(STDOUT_FILENO) ? stdout : stderr;

    fprintf(file, "meter: %s\n",
            bench->options.link ? bench->options.link : bench->cable.meter_path);
    fprintf(file, "receiver: tcp://127.0.0.1:%d\n", bench->cable.port);
    fflush(file);
}

static void say_truth(const struct bench *bench)
{
    struct world_truth truth = world_truth(bench->world);

    fprintf(stderr,
            "simulated mount: true pointing loss %.2f dB, skew error %.1f deg, "
            "%.2f deg off the satellite, after %.0f s\n",
            truth.pointing_loss_db, fabs(truth.error_deg[WORLD_SKEW]), truth.off_axis_deg,
            world_now(bench->world));
}

/* --- what it hears -------------------------------------------------------------------------- */

static void obey(struct bench *bench, const struct words *words)
{
    const struct record *record = &words->record;

    if (words->kind == WORDS_QUIT) {
        bench->quit = true;
    } else if (words->kind == WORDS_RECORD && record->kind == RECORD_MOVE) {
        enum world_axis axis = (enum world_axis)record->move.axis;
        double turn_deg = world_scenario(bench->world)->mount.axes[axis].turn_deg;
        world_push(bench->world, axis,
                   isfinite(record->move.deg) ? record->move.deg : record->move.turns * turn_deg);
    } else if (words->kind != WORDS_NOTHING) {
        complain("standard input", "the mount takes: moved WAY AMOUNT turns|deg, quit, or the "
                                   "records of peakward --json");
    }
}

static void hear_record(struct bench *bench, const char *line, double t)
{
    struct record record;
    char why[RECORD_TEXT_SIZE] = "";

    /* the log's header and later kinds of records are none of the technician's business */
    if (record_parse(line, &record, why) < 0 || record.kind != RECORD_ADVICE) {
        return;
    }
    if (bench->options.has_hand) {
        /* the coach's seconds are those of the clock on the wall */
        record.advice.rate /= bench->options.speed;
        technician_hear(&bench->hand, t, &record.advice);
    }
    bench->quit |= record.advice.move == ADVICE_DONE;
}

static void hear_line(struct bench *bench, const char *line, double t)
{
    struct words words;
    char why[RECORD_TEXT_SIZE] = "";

    if (line[0] == '{') {
        hear_record(bench, line, t);
    } else if (words_parse(line, LEVEL_DB, &words, why) < 0) {
        complain("standard input", why);
    } else {
        obey(bench, &words);
    }
}

static void hear(struct bench *bench, double t)
{
    char bytes[4096];
    ssize_t n = read(STDIN_FILENO, bytes, sizeof bytes);

    if (n <= 0) {
        bench->deaf = n == 0 || (errno != EINTR && errno != EAGAIN);
        /* started without any input, it runs until it is stopped; else until the talk ends */
        bench->quit |= bench->deaf && bench->heard_any;
        return;
    }
    bench->heard_any = true;
    for (ssize_t i = 0; i < n; i++) {
        if (bytes[i] == '\n') {
            bench->input[bench->used] = '\0';
            if (!bench->overlong) {
                hear_line(bench, bench->input, t);
            }
            bench->used = 0;
            bench->overlong = false;
        } else if (bench->used + 1 < sizeof bench->input) {
            bench->input[bench->used++] = bytes[i];
        } else {
            bench->overlong = true;
        }
    }
}

/* --- the loop ------------------------------------------------------------------------------- */

static double read_clock(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static double hand_t(const struct bench *bench)
{
    return bench->options.has_hand ? technician_next_t(&bench->hand) : INFINITY;
}

static void live_to(struct bench *bench, double t)
{
    struct world_event event;
    struct record said;

    for (;;) {
        double hand = hand_t(bench);
        if (world_next_event(bench->world, fmin(t, hand), &event)) {
            say_event(bench, &event);
        } else if (hand > t) {
            return;
        } else if (technician_act(&bench->hand, bench->world, &said)) {
            say_word(&said);
        } else if (bench->hand.gave_up) {
            puts("quit");
            fflush(stdout);
            bench->quit = true;
            return;
        }
    }
}

static void run(struct bench *bench, const sigset_t *while_waiting)
{
    while (!bench->quit && !stop_requested()) {
        double t = (read_clock() - bench->start) * bench->options.speed;
        double next, wait_s;
        live_to(bench, t);
        cable_tend(&bench->cable);
        next = fmin(world_next_t(bench->world), hand_t(bench));
        wait_s = fmin(fmax((next - t) / bench->options.speed, 0.0), 0.2);
        struct timespec wait = {.tv_nsec = (long)(wait_s * 1e9)};
        struct pollfd input = {.fd = bench->deaf ? -1 : STDIN_FILENO, .events = POLLIN};
        if (ppoll(&input, 1, &wait, while_waiting) == 1) {
            hear(bench, t);
        }
    }
}

/* --- the start ------------------------------------------------------------------------------ */

static const char help[] =
    "usage: peakward-sim SCENARIO [options]\n"
    "A simulated mount at the other end of the cables: a meter on a pseudo-terminal and a "
    "receiver\n"
    "on a loopback TCP port that gpsd can be given.\n"
    "SCENARIO is a file, or the name of one that comes with the program: crowded, hut, "
    "hut-nudges,\n"
    "hut-scale, panel.\n"
    "  --seed N         another run of luck; default 1\n"
    "  --hand MODEL     a technician who obeys the advice on standard input: careful, hasty,\n"
    "                   clumsy, deaf\n"
    "  --speed X        so many times as fast as life\n"
    "  --link PATH      a symbolic link to the meter's pseudo-terminal\n"
    "  --gps-port PORT  for the receiver; default: any that is free\n"
    "  --help           this text\n"
    "Standard input takes: moved right 0.25 turns, moved up 0.2 deg, quit; or the records of\n"
    "peakward peak --json. Standard output gives the technician's words, fit for peakward's "
    "input.\n";

/* A number within bounds, all of the text. */
static bool take_number(const char *text, double low, double high, double *ret)
{
    char *end;
    double number = strtod(text, &end);

    if (end == text || *end != '\0' || !(number >= low && number <= high)) {
        return false;
    }
    *ret = number;
    return true;
}

static int refuse_option(const char *option, const char *value, const char *allowed)
{
    fprintf(stderr, "peakward-sim: %s: %s: %s\n", option, value, allowed);
    return -EINVAL;
}

static int take_option(struct options *options, int option, const char *value)
{
    double number;

    switch (option) {
    case 's':
        if (!take_number(value, 0.0, 1e9, &number) || number != floor(number)) {
            return refuse_option("--seed", value, "give a whole number from 0");
        }
        options->seed = (uint64_t)number;
        return 0;
    case 'm':
        options->has_hand = true;
        return technician_parse_model(value, &options->hand)
                   ? 0
                   : refuse_option("--hand", value, "give careful, hasty, clumsy or deaf");
    case 'x':
        return take_number(value, 0.01, 1000.0, &options->speed)
                   ? 0
                   : refuse_option("--speed", value, "give a number from 0.01 to 1000");
    case 'l':
        options->link = value;
        return 0;
    case 'p':
        if (!take_number(value, 0.0, 65535.0, &number) || number != floor(number)) {
            return refuse_option("--gps-port", value, "give a port from 0 to 65535");
        }
        options->port = (int)number;
        return 0;
    default:
        return -EINVAL; /* getopt has said why */
    }
}

/* 0, 1 = help was asked for, -EINVAL after complaining. */
static int parse(int argc, char **argv, struct options *options)
{
    static const struct option table[] = {
        {"seed", required_argument, NULL, 's'},
        {"hand", required_argument, NULL, 'm'},
        {"speed", required_argument, NULL, 'x'},
        {"link", required_argument, NULL, 'l'},
        {"gps-port", required_argument, NULL, 'p'},
        {"help", no_argument, NULL, 'h'},
        {NULL, 0, NULL, 0},
    };
    int option;

    *options = (struct options){.seed = 1, .speed = 1.0};
    while ((option = getopt_long(argc, argv, "h", table, NULL)) != -1) {
        if (option == 'h') {
            return 1;
        }
        if (take_option(options, option, optarg) < 0) {
            return -EINVAL;
        }
    }
    if (optind + 1 != argc) {
        complain("one scenario is wanted", "see peakward-sim --help");
        return -EINVAL;
    }
    options->scenario = argv[optind];
    return 0;
}

static int set_up(struct bench *bench)
{
    char why[CABLE_WHY_SIZE] = "";
    int r = world_create(bench->options.scenario, bench->options.seed, &bench->world, why);

    if (r < 0) {
        complain("the scenario", why);
        return r == -ENOMEM ? NOT_DONE : WRONG_USAGE;
    }
    if (cable_open_meter(&bench->cable, bench->options.link, why) < 0) {
        complain("the meter's line", why);
        return NOT_DONE;
    }
    if (cable_open_receiver(&bench->cable, bench->options.port, why) < 0) {
        complain("the receiver's port", why);
        return NOT_DONE;
    }
    if (bench->options.has_hand) {
        technician_init(&bench->hand, bench->world, bench->options.hand, bench->options.seed);
    }
    return DONE;
}

int main(int argc, char **argv)
{
    static struct bench bench;
    sigset_t while_waiting;
    int status, r = parse(argc, argv, &bench.options);

    if (r != 0) {
        fputs(r == 1 ? help : "", stdout);
        return r == 1 ? DONE : WRONG_USAGE;
    }
    stop_catch(&while_waiting);
    cable_init(&bench.cable);
    status = set_up(&bench);
    if (status == DONE) {
        bench.start = read_clock();
        say_ends(&bench);
        run(&bench, &while_waiting);
        say_truth(&bench);
    }
    cable_close(&bench.cable);
    world_destroy(bench.world);
    return status;
}
