/*
 * How fast `plan --batch` is, and whether its memory stays flat.
 *
 *   plan PEAKWARD [POWER]     memory up to 10^POWER rows (6)
 *
 * Speed: the same sites through GeographicLib's CartConvert, which finds the position of each on
 * the ellipsoid and no more; through the batch, which adds direction, polarisation and declination,
 * into a file and into nothing. Fails when the batch is slower than CartConvert, or when its memory
 * grows by more than a tenth from 10^3 rows on.
 */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { SITES = 300000, RUNS = 3, SKIPPED = 77 };

struct cost {
    double seconds;
    long memory_kib;
    int status;
};

static double now_s(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void redirect(int from, const char *path, int flags)
{
    int fd = open(path, flags, 0600);

    if (fd < 0 || dup2(fd, from) < 0) {
        _exit(127);
    }
}

static struct cost await(pid_t pid, double start_s)
{
    struct cost cost = {.status = -1};
    struct rusage usage;
    int status;

    while (wait4(pid, &status, 0, &usage) < 0 && errno == EINTR) {
    }
    cost.seconds = now_s() - start_s;
    cost.memory_kib = usage.ru_maxrss;
    cost.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return cost;
}

static struct cost run(const char *const *argv, const char *in, const char *out)
{
    double start_s = now_s();
    pid_t pid = fork();

    if (pid == 0) {
        redirect(STDIN_FILENO, in, O_RDONLY);
        redirect(STDOUT_FILENO, out, O_WRONLY | O_CREAT | O_TRUNC);
        execvp(argv[0], (char *const *)argv);
        _exit(127);
    }
    return await(pid, start_s);
}

/* The quickest of some runs: what else the machine does only ever adds. */
static struct cost best(const char *const *argv, const char *in, const char *out)
{
    struct cost best_cost = run(argv, in, out);

    for (int i = 1; i < RUNS && best_cost.status == 0; i++) {
        struct cost cost = run(argv, in, out);
        if (cost.seconds < best_cost.seconds) {
            best_cost = cost;
        }
    }
    return best_cost;
}

/* The i-th site, spread over the globe: degrees and metres. */
static void put_site(FILE *file, long i, char between)
{
    double turn = (double)i * 0.6180339887498949, rise = (double)i * 0.7548776662466927;

    fprintf(file, "%.6f%c%.6f%c%.1f\n", 160.0 * (turn - (double)(long)turn) - 80.0, between,
            360.0 * (rise - (double)(long)rise) - 180.0, between, (double)(i % 3000));
}

static void put_sites(FILE *file, long n, char between, const char *head)
{
    fputs(head, file);
    for (long i = 0; i < n; i++) {
        put_site(file, i, between);
    }
}

static int make_file(const char *path, char between, const char *head)
{
    FILE *file = fopen(path, "w");

    if (!file) {
        return -1;
    }
    put_sites(file, SITES, between, head);
    return fclose(file);
}

/* The batch with its rows coming through a pipe; nothing of them is ever in a file. */
static struct cost run_piped(const char *const *argv, long rows)
{
    double start_s = now_s();
    int ends[2];
    FILE *file;
    pid_t pid;

    if (pipe2(ends, O_CLOEXEC) < 0 || (pid = fork()) < 0) {
        return (struct cost){.status = -1};
    }
    if (pid == 0) {
        dup2(ends[0], STDIN_FILENO);
        redirect(STDOUT_FILENO, "/dev/null", O_WRONLY);
        execv(argv[0], (char *const *)argv);
        _exit(127);
    }
    close(ends[0]);
    file = fdopen(ends[1], "w");
    put_sites(file, rows, ',', "lat,lon,height_m\n");
    fclose(file);
    return await(pid, start_s);
}

static int bench_speed(const char *const *batch, const char *dir)
{
    const char *const reference[] = {"CartConvert", NULL};
    char blanks[64], commas[64], out[64];

    snprintf(blanks, sizeof blanks, "%s/sites.txt", dir);
    snprintf(commas, sizeof commas, "%s/sites.csv", dir);
    snprintf(out, sizeof out, "%s/out.csv", dir);
    if (make_file(blanks, ' ', "") < 0 || make_file(commas, ',', "lat,lon,height_m\n") < 0) {
        return 1;
    }
    struct cost position = best(reference, blanks, "/dev/null");
    struct cost written = best(batch, commas, out);
    struct cost unwritten = best(batch, commas, "/dev/null");
    unlink(blanks);
    unlink(commas);
    unlink(out);
    if (position.status == 127) {
        return SKIPPED;
    }
    printf("%d sites, best of %d runs             sites/s\n", SITES, RUNS);
    printf("  CartConvert, the position alone   %10.0f\n", SITES / position.seconds);
    printf("  plan --batch into a file          %10.0f\n", SITES / written.seconds);
    printf("  plan --batch into nothing         %10.0f\n", SITES / unwritten.seconds);
    return position.status != 0 || written.status != 0 || written.seconds > position.seconds;
}

static int bench_memory(const char *const *batch, int power)
{
    long first_kib = 0, rows = 1;
    int bad = 0;

    printf("rows through a pipe        memory, KiB      sites/s\n");
    for (int i = 1; i <= power; i++) {
        rows *= 10;
        if (i < 3) {
            continue;
        }
        struct cost cost = run_piped(batch, rows);
        printf("  %10ld %22ld %14.0f\n", rows, cost.memory_kib, (double)rows / cost.seconds);
        first_kib = i == 3 ? cost.memory_kib : first_kib;
        bad |= cost.status != 0 || cost.memory_kib > first_kib + first_kib / 10;
    }
    return bad;
}

int main(int argc, char **argv)
{
    char dir[] = "/tmp/peakward-bench-XXXXXX";
    const char *const batch[] = {argc > 1 ? argv[1] : "peakward",
                                 "plan",
                                 "--batch",
                                 "-",
                                 "--target",
                                 "21.5E",
                                 "--pol",
                                 "V",
                                 NULL};
    int power = argc > 2 ? atoi(argv[2]) : 6, r;

    if (argc < 2 || argc > 3 || power < 3 || power > 9 || !mkdtemp(dir)) {
        fprintf(stderr, "usage: plan PEAKWARD [POWER, 3 to 9]\n");
        return 2;
    }
    r = bench_speed(batch, dir);
    rmdir(dir);
    if (r == SKIPPED) {
        fprintf(stderr, "plan: CartConvert is not installed\n");
        return SKIPPED;
    }
    return bench_memory(batch, power) | r;
}
