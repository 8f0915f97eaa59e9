/*
 * Sessions that are killed at a random moment, again and again, and gone on with.
 *
 *   resumed PEAKWARD SCENARIOS INTERRUPTIONS
 *
 * The simulated technician goes through each family once undisturbed. Then the same once more, but
 * `kill -9` comes when the log has reached a random length, and every other time a random piece of
 * the log's last line is gone, too, as after a flat battery. After each interruption the log has to
 * be the beginning of the undisturbed one, byte for byte, and lack no more than the last second of
 * what was shown. Gone on with to the end it has to be the undisturbed one, but for a mark where it
 * was resumed, and replay has to give what is in it.
 */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { PATH = 512, MOST_KILLS = 3, PATIENCE_S = 60 };

static const char *const families[] = {
    "hut",   "hut-scale",    "hut-nudges", "panel",   "crowded",      "narrow",      "nameless",
    "calm",  "drifted",      "backlash",   "lag",     "rain",         "side-lobe",   "steel",
    "gusts", "turned-panel", "neighbour",  "blocked", "polarisation", "all-at-once", "bolts",
};

enum { FAMILIES = sizeof families / sizeof *families };

static const char *peakward, *scenarios;
static char dir[] = "/tmp/peakward-resumed-XXXXXX";
static char whole_log[PATH], cut_log[PATH], shown[PATH], replayed[PATH];
static int killed, completed, failures;

static void fail(const char *family, int seed, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void fail(const char *family, int seed, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    printf("FAILED: %s, seed %d, after %d interruptions: ", family, seed, killed);
    vprintf(format, arguments);
    putchar('\n');
    va_end(arguments);
    failures++;
}

/* xorshift64 (Marsaglia 2003, "Xorshift RNGs", triple 13, 7, 17) */
static long below(long limit)
{
    static uint64_t random_state = 88172645463325252ull;

    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return (long)(random_state % (uint64_t)limit);
}

/* --- files ----------------------------------------------------------------------------------- */

struct text {
    char *bytes; /* owned, a NUL behind them */
    size_t size;
};

static struct text slurp(const char *path)
{
    struct text text = {.bytes = NULL};
    FILE *file = fopen(path, "r");
    struct stat info = {.st_size = 0};

    if (file && fstat(fileno(file), &info) == 0) {
        text.bytes = malloc((size_t)info.st_size + 1);
        text.size = fread(text.bytes, 1, (size_t)info.st_size, file);
        text.bytes[text.size] = '\0';
    }
    if (file) {
        fclose(file);
    }
    return text;
}

/* Whole lines only, without the marks that resuming leaves: what is left is moved together. */
static void strip(struct text *text)
{
    size_t kept = 0;

    for (size_t at = 0; at < text->size;) {
        const char *line = text->bytes + at;
        const char *end = memchr(line, '\n', text->size - at);
        size_t n = end ? (size_t)(end - line) + 1 : 0;
        if (n == 0) {
            break;
        }
        at += n;
        if (!memmem(line, n, "\"mark\":{\"text\":\"cut off here", 28)) {
            memmove(text->bytes + kept, line, n);
            kept += n;
        }
    }
    text->size = kept;
    text->bytes[kept] = '\0';
}

/* The time of the last whole line; 0 when there is none. */
static double last_t(const struct text *text)
{
    size_t end = text->size;

    while (end > 0 && text->bytes[end - 1] != '\n') {
        end--;
    }
    for (size_t at = end > 0 ? end - 1 : 0; at > 0; at--) {
        if (text->bytes[at - 1] == '\n' || at == 1) {
            double t = 0.0;
            const char *line = text->bytes + (at == 1 ? 0 : at);
            return sscanf(line, "{\"t\":%lf", &t) == 1 ? t : 0.0;
        }
    }
    return 0.0;
}

static long size_of(const char *path)
{
    struct stat info;

    return stat(path, &info) == 0 ? (long)info.st_size : 0;
}

/* --- the program ----------------------------------------------------------------------------- */

static pid_t start(const char *const *argv, const char *out)
{
    pid_t pid = fork();

    if (pid == 0) {
        int in = open("/dev/null", O_RDONLY);
        int to = open(out, O_WRONLY | O_CREAT | O_TRUNC, 0600);
        int nowhere = open("/dev/null", O_WRONLY);
        dup2(in, STDIN_FILENO);
        dup2(to, STDOUT_FILENO);
        dup2(nowhere, STDERR_FILENO);
        execv(argv[0], (char *const *)argv);
        _exit(127);
    }
    return pid;
}

static pid_t start_session(const char *family, int seed, const char *log, bool resume)
{
    char job[PATH], source[PATH];
    const char *const first[] = {peakward, "peak",    "--job", job,     "--source", source,
                                 "--json", "--speed", "max",   "--log", log,        NULL};
    const char *const again[] = {peakward, "peak",    "--resume", log,
                                 "--json", "--speed", "max",      NULL};

    snprintf(job, sizeof job, "%s/%s.job", scenarios, family);
    snprintf(source, sizeof source, "sim:%s/%s.scenario?hand=careful&seed=%d", scenarios, family,
             seed);
    return start(resume ? again : first, shown);
}

static int await(pid_t pid)
{
    int status = 0;

    while (waitpid(pid, &status, 0) < 0 && errno == EINTR) {
    }
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/* Kill it once the log is so long. True: it was still at work. */
static bool kill_at(pid_t pid, const char *log, long size)
{
    time_t until = time(NULL) + PATIENCE_S;
    int status;

    while (size_of(log) < size && time(NULL) < until) {
        if (waitpid(pid, &status, WNOHANG) == pid) {
            return false;
        }
    }
    kill(pid, SIGKILL);
    while (waitpid(pid, &status, 0) < 0 && errno == EINTR) {
    }
    return WIFSIGNALED(status);
}

/* --- the checks ------------------------------------------------------------------------------ */

static void check_cut(const char *family, int seed, const struct text *whole)
{
    struct text cut = slurp(cut_log), seen = slurp(shown);
    double lost_s = last_t(&seen) - last_t(&cut);

    if (lost_s > 1.0) {
        fail(family, seed, "%.3f s are lost", lost_s);
    }
    strip(&cut);
    if (cut.size > whole->size || memcmp(cut.bytes, whole->bytes, cut.size) != 0) {
        fail(family, seed, "the log is not the beginning of the undisturbed one");
    }
    free(cut.bytes);
    free(seen.bytes);
}

static void check_end(const char *family, int seed, const struct text *whole)
{
    const char *const argv[] = {peakward, "replay", cut_log, "--json", NULL};
    struct text end = slurp(cut_log), again;
    const char *records;

    if (await(start(argv, replayed)) != 0) {
        fail(family, seed, "the log can't be replayed");
    }
    again = slurp(replayed);
    records = memchr(end.bytes, '\n', end.size);
    if (!records || strcmp(records + 1, again.bytes) != 0) {
        fail(family, seed, "replay gives something else than is in the log");
    }
    strip(&end);
    if (end.size != whole->size || memcmp(end.bytes, whole->bytes, end.size) != 0) {
        fail(family, seed, "it ends otherwise than undisturbed");
    }
    free(end.bytes);
    free(again.bytes);
}

/* A flat battery: a piece of the last line, and no more, is gone. */
static void tear(void)
{
    struct text cut = slurp(cut_log);
    size_t line = cut.size > 1 ? cut.size - 1 : 0;

    while (line > 0 && cut.bytes[line - 1] != '\n') {
        line--;
    }
    if (line > 0 && truncate(cut_log, (off_t)(line + (size_t)below((long)(cut.size - line)))) < 0) {
        perror(cut_log);
    }
    free(cut.bytes);
}

static void interrupt_one(const char *family, int seed)
{
    struct text whole;
    int status = await(start_session(family, seed, whole_log, false));

    whole = slurp(whole_log);
    if (status != 0 && status != 1) {
        fail(family, seed, "undisturbed it ends with %d", status);
    }
    for (int i = 0; i < MOST_KILLS; i++) {
        long from = i == 0 ? 0 : size_of(cut_log);
        pid_t pid = start_session(family, seed, cut_log, i > 0);
        if (!kill_at(pid, cut_log, from + 1 + below((long)whole.size - from + 1))) {
            break;
        }
        if (size_of(cut_log) == 0 || !memchr(whole.bytes, '\n', (size_t)size_of(cut_log))) {
            unlink(cut_log); /* not even the head: there is nothing to go on with */
            pid = start_session(family, seed, cut_log, false);
            await(pid);
            break;
        }
        killed++;
        check_cut(family, seed, &whole);
        if (below(2) == 0) {
            tear();
        }
        if (size_of(cut_log) >= (long)whole.size) {
            break;
        }
    }
    int end = await(start_session(family, seed, cut_log, true));
    if (end != status) {
        fail(family, seed, "gone on with it ends with %d, undisturbed with %d", end, status);
    }
    check_end(family, seed, &whole);
    completed++;
    free(whole.bytes);
    unlink(whole_log);
    unlink(cut_log);
}

int main(int argc, char **argv)
{
    int wanted = argc == 4 ? atoi(argv[3]) : 0, seed = 1;

    setbuf(stdout, NULL);
    if (wanted < 1 || !mkdtemp(dir)) {
        fprintf(stderr, "usage: resumed PEAKWARD SCENARIOS INTERRUPTIONS\n");
        return 2;
    }
    peakward = argv[1];
    scenarios = argv[2];
    snprintf(whole_log, sizeof whole_log, "%s/whole.jsonl", dir);
    snprintf(cut_log, sizeof cut_log, "%s/cut.jsonl", dir);
    snprintf(shown, sizeof shown, "%s/shown", dir);
    snprintf(replayed, sizeof replayed, "%s/replayed", dir);
    for (int i = 0; killed < wanted && i < 10 * wanted && failures < 5; i++) {
        seed += i % FAMILIES == 0;
        interrupt_one(families[i % FAMILIES], seed);
    }
    unlink(shown);
    unlink(replayed);
    rmdir(dir);
    printf("%d interruptions in %d sessions of %d families, %d failures\n", killed, completed,
           completed < FAMILIES ? completed : FAMILIES, failures);
    return failures > 0 || killed < wanted;
}
