/*
 * How fast a long log is read and folded into the state, and whether its memory stays flat.
 *
 *   log [RECORDS]            a day at 50 readings a second: 4320000
 *   log write FILE RECORDS   the log alone, to be kept
 *   log fold|read FILE       one run through it, for a profiler
 *
 * The yardstick is jq finding one maximum in the same file in the same run. Time is that of the
 * processor (user and system), the least of some runs: a busy machine then counts less, but what
 * its caches share still shows. Says when the fold is not ten times as fast as jq; fails when it is
 * not five times as fast, or when its memory grows by more than a tenth from a log of a hundredth
 * of the length on.
 */
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "job/procedure_file.h"
#include "session/log.h"
#include "session/state.h"

enum { DAY = 4320000, A_SECOND = 50, RUNS = 3, JQ_RUNS = 2, SKIPPED = 77 };

static const double target = 10.0, least_accepted = 5.0; /* times jq */

static const char jq_program[] =
    "reduce (inputs | .level.value // empty) as $v (null; if $v > . then $v else . end)";

static const char path_format[] = "%s/%ld.jsonl";

/* --- a day at the mount ---------------------------------------------------------------------- */

static void set_up(struct job *job, struct procedure *procedure)
{
    char why[JOB_ERROR_SIZE];

    job_init(job);
    if (job_set(job, "site", "name", "Rescue hut (invented)", why) < 0 ||
        job_set(job, "target", "name", "Ptarmigan 1", why) < 0 ||
        job_set(job, "target", "longitude", "22.4E", why) < 0 ||
        job_set(job, "target", "polarisation", "V", why) < 0 ||
        job_set(job, "meter finder", "unit", "dB", why) < 0 ||
        job_set(job, "source mount", "address", "sim:hut", why) < 0 ||
        procedure_builtin("linear", procedure) < 0) {
        abort();
    }
}

/* Noise without a generator: the fractional part of multiples of an irrational number. */
static double dither(long i, double step)
{
    double turns = (double)i * step;

    return turns - floor(turns) - 0.5;
}

static void make_angles(long i, struct record *ret)
{
    double swing = sin((double)i / 4000.0);

    ret->kind = RECORD_ANGLES;
    ret->angles = (struct record_angles){.magnetic = true, .from = "mount"};
    ret->angles.deg[AXIS_AZIMUTH] = 163.3 + 8.0 * swing + 0.1 * dither(i, 0.6180339887);
    ret->angles.deg[AXIS_ELEVATION] = 35.1 + swing + 0.05 * dither(i, 0.7548776662);
    ret->angles.deg[AXIS_SKEW] = -11.5 + 0.4 * dither(i, 0.5698402910);
}

static void make_level(long i, struct record *ret)
{
    double off = 8.0 * sin((double)i / 4000.0);

    ret->kind = RECORD_LEVEL;
    ret->level = (struct record_level){.unit = LEVEL_DB, .meter = "finder"};
    ret->level.value =
        0.1 * round(10.0 * (1.0 + 12.0 * exp(-off * off)) + 6.0 * dither(i, 0.6180339887));
}

static void make_advice(long i, struct record *ret)
{
    ret->kind = RECORD_ADVICE;
    ret->advice = (struct advice){.step = "peak azimuth",
                                  .axis = AXIS_AZIMUTH,
                                  .move = i / 100 % 2 ? ADVICE_LEFT : ADVICE_RIGHT,
                                  .deg = 0.46,
                                  .turns = 0.25,
                                  .rate = 0.28,
                                  .until = UNTIL_ARRIVED,
                                  .say = "Right 0.46\u00b0, a quarter turn, slowly and evenly.",
                                  .why = "over the top and back, so that the lag cancels"};
}

/* Of fifty in a second: a fix, the time, an advice; the rest levels and angles by turns. */
static void make_record(long i, struct record *ret)
{
    *ret = (struct record){.t = (double)i / A_SECOND};
    switch (i % A_SECOND) {
    case 0:
        ret->kind = RECORD_FIX;
        ret->fix = (struct record_fix){46.6 + 1e-6 * dither(i, 0.618), 10.1, 2202.5, 4.0, 3, 9};
        break;
    case 1:
        ret->kind = RECORD_UTC;
        ret->utc.unix_s = 1778578200.0 + (double)i / A_SECOND;
        break;
    case 2:
        make_advice(i, ret);
        break;
    default:
        if (i % 2 == 0) {
            make_angles(i, ret);
        } else {
            make_level(i, ret);
        }
        break;
    }
}

static int generate(const char *path, long records)
{
    static struct job job;
    static struct procedure procedure;
    static struct log_writer log;
    struct record record;
    int r;

    set_up(&job, &procedure);
    r = log_create(&log, path, &job, &procedure);
    for (long i = 0; i < records && r == 0; i++) {
        make_record(i, &record);
        record_round(&record);
        r = log_write(&log, &record);
    }
    return log_close(&log) < 0 || r < 0 ? 1 : 0;
}

/* --- the fold, in a process of its own -------------------------------------------------------- */

static int fold(const char *path, bool into_state)
{
    static struct job job;
    static struct procedure procedure;
    static struct magnetic_model magnetic;
    static struct state state;
    struct log_reader reader;
    struct record record;
    char why[JOB_ERROR_SIZE] = "";
    int r = log_reader_open(&reader, path, &job, &procedure, why);

    if (r == 0) {
        magnetic_builtin(&magnetic);
        state_init(&state, &job, &magnetic);
        while ((r = log_reader_next(&reader, &record, why)) == 1) {
            if (into_state) {
                state_apply(&state, &record);
            }
        }
        log_reader_close(&reader);
    }
    if (r < 0) {
        fprintf(stderr, "log: %s\n", why);
        return 1;
    }
    return into_state && !(state.level.best > 0.0);
}

struct cost {
    double seconds; /* of the processor */
    long memory_kib;
    int status;
};

static struct cost run(const char *const *argv)
{
    struct cost cost = {.status = -1};
    struct rusage usage;
    int status = 0;
    pid_t pid = fork();

    if (pid == 0) {
        int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
        dup2(nowhere, STDOUT_FILENO);
        execvp(argv[0], (char *const *)argv);
        _exit(127);
    }
    while (wait4(pid, &status, 0, &usage) < 0 && errno == EINTR) {
    }
    cost.seconds = (double)usage.ru_utime.tv_sec + 1e-6 * (double)usage.ru_utime.tv_usec +
                   (double)usage.ru_stime.tv_sec + 1e-6 * (double)usage.ru_stime.tv_usec;
    cost.memory_kib = usage.ru_maxrss;
    cost.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return cost;
}

static struct cost least(const char *const *argv, int runs)
{
    struct cost best = run(argv);

    for (int i = 1; i < runs && best.status == 0; i++) {
        struct cost cost = run(argv);
        if (cost.seconds < best.seconds) {
            best = cost;
        }
    }
    return best;
}

static void print(const char *what, const struct cost *cost, long records)
{
    printf("  %-28s %12.0f %8.2f %12ld\n", what, (double)records / cost->seconds, cost->seconds,
           cost->memory_kib);
}

static int bench(const char *dir, const char *self, long records)
{
    char day[128], short_day[128];
    const char *const fold_all[] = {self, "fold", day, NULL};
    const char *const fold_some[] = {self, "fold", short_day, NULL};
    const char *const read_all[] = {self, "read", day, NULL};
    const char *const jq[] = {"jq", "-n", jq_program, day, NULL};
    struct stat file = {.st_size = 0};

    snprintf(day, sizeof day, path_format, dir, records);
    snprintf(short_day, sizeof short_day, path_format, dir, records / 100);
    if (generate(day, records) != 0 || generate(short_day, records / 100) != 0 ||
        stat(day, &file) < 0) {
        fprintf(stderr, "log: %s: can't be written\n", day);
        unlink(day);
        return 1;
    }
    struct cost folded = least(fold_all, RUNS), some = least(fold_some, RUNS);
    struct cost read = least(read_all, RUNS), yardstick = least(jq, JQ_RUNS);
    unlink(day);
    unlink(short_day);
    if (yardstick.status == 127) {
        fprintf(stderr, "log: jq is not installed\n");
        return SKIPPED;
    }
    printf("%ld records, %.0f MB            records/s      s   memory, KiB\n", records,
           (double)file.st_size * 1e-6);
    print("read and folded", &folded, records);
    print("  of a log of a hundredth", &some, records / 100);
    print("read alone", &read, records);
    print("jq, one maximum", &yardstick, records);
    double times = yardstick.seconds / folded.seconds;
    printf("  %.1f times jq: the target of %.0f is %s\n", times, target,
           times >= target ? "met" : "missed");
    return folded.status != 0 || some.status != 0 || read.status != 0 || yardstick.status != 0 ||
           times < least_accepted || folded.memory_kib > some.memory_kib + some.memory_kib / 10;
}

int main(int argc, char **argv)
{
    const char *tmp = getenv("TMPDIR");
    char dir[96];
    long records = argc == 2 ? atol(argv[1]) : DAY;
    int r;

    if (argc == 3 && (strcmp(argv[1], "fold") == 0 || strcmp(argv[1], "read") == 0)) {
        return fold(argv[2], argv[1][0] == 'f');
    }
    if (argc == 4 && strcmp(argv[1], "write") == 0) {
        return generate(argv[2], atol(argv[3]));
    }
    snprintf(dir, sizeof dir, "%.70s/peakward-bench-XXXXXX", tmp ? tmp : "/tmp");
    if (argc > 2 || records < 10000 || records > 1000000000 || !mkdtemp(dir)) {
        fprintf(stderr, "usage: log [RECORDS, 10000 and more]\n");
        return 2;
    }
    r = bench(dir, argv[0], records);
    rmdir(dir);
    return r;
}
