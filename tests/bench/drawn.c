/*
 * What the pages of many logs cost, against their text in the same run.
 *
 *   drawn PEAKWARD SCENARIOS
 *
 * One session on the simulated mount, reported a hundred times: as text, a process each; as a PDF
 * of 1, 10 and 100 pages. Fails when a page takes more than four times the processor that its text
 * takes, or when a hundred pages take a quarter more memory than one.
 */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { LOGS = 100, PATH = 512 };

struct cost {
    double seconds; /* of a processor */
    long memory_kib;
    int status;
};

static char dir[] = "/tmp/peakward-bench-XXXXXX";
static char logs[LOGS][PATH];

static double seconds_of(const struct timeval *t)
{
    return (double)t->tv_sec + 1e-6 * (double)t->tv_usec;
}

static struct cost run(const char *const *argv)
{
    struct cost cost = {.status = -1};
    struct rusage usage;
    pid_t pid = fork();
    int status;

    if (pid == 0) {
        int nothing = open("/dev/null", O_RDWR);
        dup2(nothing, STDIN_FILENO);
        dup2(nothing, STDOUT_FILENO);
        dup2(nothing, STDERR_FILENO);
        execv(argv[0], (char *const *)argv);
        _exit(127);
    }
    while (wait4(pid, &status, 0, &usage) < 0 && errno == EINTR) {
    }
    cost.seconds = seconds_of(&usage.ru_utime) + seconds_of(&usage.ru_stime);
    cost.memory_kib = usage.ru_maxrss;
    cost.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return cost;
}

static int make_logs(const char *peakward, const char *scenarios)
{
    char job[PATH], source[PATH];
    const char *argv[] = {peakward, "peak",    "--job", job,     "--source", source,
                          "--json", "--speed", "max",   "--log", logs[0],    NULL};

    snprintf(job, sizeof job, "%s/hut.job", scenarios);
    snprintf(source, sizeof source, "sim:%s/hut.scenario?hand=careful&seed=5", scenarios);
    for (int i = 0; i < LOGS; i++) {
        snprintf(logs[i], sizeof logs[i], "%s/%d.jsonl", dir, i);
    }
    if (run(argv).status != 0) {
        return -1;
    }
    for (int i = 1; i < LOGS; i++) {
        if (link(logs[0], logs[i]) < 0) {
            return -1;
        }
    }
    return 0;
}

static void drop_logs(void)
{
    for (int i = 0; i < LOGS; i++) {
        unlink(logs[i]);
    }
    rmdir(dir);
}

static struct cost run_texts(const char *peakward)
{
    struct cost all = {.status = 0};

    for (int i = 0; i < LOGS; i++) {
        const char *argv[] = {peakward, "report", logs[i], NULL};
        struct cost one = run(argv);
        all.seconds += one.seconds;
        all.memory_kib = one.memory_kib > all.memory_kib ? one.memory_kib : all.memory_kib;
        all.status |= one.status;
    }
    return all;
}

static struct cost run_pages(const char *peakward, int n, long *ret_bytes)
{
    char pdf[PATH];
    const char *argv[LOGS + 5] = {peakward, "report"};
    struct stat stat_of;
    struct cost cost;

    snprintf(pdf, sizeof pdf, "%s/all.pdf", dir);
    for (int i = 0; i < n; i++) {
        argv[2 + i] = logs[i];
    }
    argv[2 + n] = "-o";
    argv[3 + n] = pdf;
    cost = run(argv);
    *ret_bytes = stat(pdf, &stat_of) == 0 ? (long)stat_of.st_size : 0;
    unlink(pdf);
    return cost;
}

static void print(const char *what, int n, const struct cost *cost, long bytes)
{
    printf("  %-16s %6d %14.1f %14ld %12.1f\n", what, n, 1e3 * cost->seconds / n, cost->memory_kib,
           (double)bytes / 1e3 / n);
}

int main(int argc, char **argv)
{
    static const int counts[] = {1, 10, LOGS};
    struct cost texts, pages[3];
    long bytes;
    int bad;

    if (argc != 3 || !mkdtemp(dir)) {
        fprintf(stderr, "usage: drawn PEAKWARD SCENARIOS\n");
        return 2;
    }
    if (make_logs(argv[1], argv[2]) < 0) {
        drop_logs();
        fprintf(stderr, "drawn: no log\n");
        return 1;
    }
    texts = run_texts(argv[1]);
    bad = texts.status;
    printf("                     logs   processor, ms    memory, KiB    kB a page\n");
    print("text", LOGS, &texts, 0);
    for (int i = 0; i < 3; i++) {
        pages[i] = run_pages(argv[1], counts[i], &bytes);
        bad |= pages[i].status != 0 || bytes == 0;
        print("PDF", counts[i], &pages[i], bytes);
    }
    drop_logs();
    printf("a page takes %.1f times its text\n", pages[2].seconds / texts.seconds);
    bad |= pages[2].seconds > 4.0 * texts.seconds;
    bad |= pages[2].memory_kib > pages[0].memory_kib + pages[0].memory_kib / 4;
    return bad ? 1 : 0;
}
