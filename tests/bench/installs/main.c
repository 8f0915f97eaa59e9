/*
 * main.c - whole installs, thousands of them: families of scenarios, seeded, done by a simulated
 * technician with the coach and by the same one without. Prints tables and whether the targets are
 * met; exits with 1 only when it could not do its own work.
 */
#include <errno.h>
#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"
#include "coached.h"
#include "report.h"

struct options {
    int count, jobs, family; /* family: -1 = all */
    unsigned long seed;
    bool by_kit, by_step;
    const char *dump_path, *log_path;
};

static const char help[] =
    "usage: bench_peaking [OPTION]...\n"
    "Let a simulated technician do whole installs, with the coach and without.\n\n"
    "  --count N      installs of each family (500)\n"
    "  --seed N       the first seed (1)\n"
    "  --family NAME  only this one: easy, narrow, panel or arc\n"
    "  --jobs N       processes (1)\n"
    "  --by-kit       each meter, mount and hand by itself, too\n"
    "  --by-step      the coached one's steps: time, and loss when left\n"
    "  --dump FILE    a line for each install, separated by tabs; - = standard output\n"
    "  --log FILE     the one install's log, for peakward replay; needs --family and --count 1\n";

static int parse_whole(const char *name, const char *text, double least, double *ret)
{
    if (text_parse_double(text, ret) < 0 || *ret < least || *ret > 1e9 || *ret != floor(*ret)) {
        fprintf(stderr, "installs: --%s %s: not a whole number from %.0f\n", name, text, least);
        return -1;
    }
    return 0;
}

static int parse_family(const char *name, int *ret)
{
    for (int i = 0; i < FAMILIES; i++) {
        if (strcmp(name, family_name(i)) == 0) {
            *ret = i;
            return 0;
        }
    }
    fprintf(stderr, "installs: --family %s: not one of easy, narrow, panel, arc\n", name);
    return -1;
}

/* 0, 1 = help was asked for, -1. */
static int parse(int argc, char **argv, struct options *options)
{
    static const struct option table[] = {
        {"count", required_argument, NULL, 'c'},  {"seed", required_argument, NULL, 's'},
        {"family", required_argument, NULL, 'f'}, {"jobs", required_argument, NULL, 'j'},
        {"dump", required_argument, NULL, 'd'},   {"log", required_argument, NULL, 'l'},
        {"by-kit", no_argument, NULL, 'k'},       {"by-step", no_argument, NULL, 't'},
        {"help", no_argument, NULL, 'h'},         {NULL, 0, NULL, 0},
    };
    double count = 500.0, seed = 1.0, jobs = 1.0;
    int option, r = 0;

    *options = (struct options){.family = -1};
    while (r == 0 && (option = getopt_long(argc, argv, "", table, NULL)) != -1) {
        switch (option) {
        case 'c':
            r = parse_whole("count", optarg, 1.0, &count);
            break;
        case 's':
            r = parse_whole("seed", optarg, 0.0, &seed);
            break;
        case 'f':
            r = parse_family(optarg, &options->family);
            break;
        case 'j':
            r = parse_whole("jobs", optarg, 1.0, &jobs);
            break;
        case 'd':
            options->dump_path = optarg;
            break;
        case 'l':
            options->log_path = optarg;
            break;
        case 'k':
            options->by_kit = true;
            break;
        case 't':
            options->by_step = true;
            break;
        case 'h':
            return 1;
        default:
            r = -1;
        }
    }
    options->count = (int)count;
    options->seed = (unsigned long)seed;
    options->jobs = (int)jobs;
    if (r == 0 && options->log_path && (options->family < 0 || options->count != 1)) {
        fprintf(stderr, "installs: --log needs --family and --count 1\n");
        r = -1;
    }
    return r;
}

/* --- the work ------------------------------------------------------------------------------- */

static int do_install(const struct options *options, int family, uint64_t seed,
                      struct report_row *ret)
{
    static struct install install;

    *ret = (struct report_row){.family = family, .seed = seed};
    if (family_make(family, seed, &install) < 0) {
        return -1;
    }
    ret->hand = install.hand;
    memcpy(ret->kit, install.kit, sizeof ret->kit);
    ret->has_cross = install.scenario.meter.has_cross;
    return coached_install(&install, options->log_path, &ret->coached, ret->steps) < 0 ||
                   lone_install(&install, &ret->alone) < 0
               ? -1
               : 0;
}

/* Every so many'th install, each written to the pipe at once: a row is shorter than what a pipe
 * takes whole. */
static int do_share(const struct options *options, int share, int fd)
{
    int n = 0;

    for (int family = 0; family < FAMILIES; family++) {
        for (int i = 0; i < options->count; i++) {
            struct report_row row;
            if ((options->family >= 0 && family != options->family) ||
                n++ % options->jobs != share) {
                continue;
            }
            if (do_install(options, family, options->seed + (unsigned long)i, &row) < 0 ||
                write(fd, &row, sizeof row) != (ssize_t)sizeof row) {
                return -1;
            }
        }
    }
    return 0;
}

static int start_workers(const struct options *options, int *ret_fd)
{
    int fds[2];

    if (pipe(fds) < 0) {
        return -1;
    }
    for (int share = 0; share < options->jobs; share++) {
        pid_t pid = fork();
        if (pid < 0) {
            return -1;
        }
        if (pid == 0) {
            close(fds[0]);
            _exit(do_share(options, share, fds[1]) < 0 ? 1 : 0);
        }
    }
    close(fds[1]);
    *ret_fd = fds[0];
    return 0;
}

static int read_row(int fd, struct report_row *ret)
{
    size_t got = 0;

    while (got < sizeof *ret) {
        ssize_t n = read(fd, (char *)ret + got, sizeof *ret - got);
        if (n <= 0) {
            return 0;
        }
        got += (size_t)n;
    }
    return 1;
}

/* In the order of their seeds, family by family. */
static int compare_rows(const void *a, const void *b)
{
    const struct report_row *x = a, *y = b;

    return x->family != y->family ? x->family - y->family
                                  : (x->seed > y->seed) - (x->seed < y->seed);
}

static int gather(const struct options *options, struct report_row *rows, size_t most,
                  size_t *ret_n)
{
    int fd, status;
    size_t n = 0;

    if (start_workers(options, &fd) < 0) {
        fprintf(stderr, "installs: no workers: %s\n", strerror(errno));
        return -1;
    }
    while (n < most && read_row(fd, &rows[n])) {
        n++;
    }
    close(fd);
    for (int i = 0; i < options->jobs; i++) {
        wait(&status);
    }
    qsort(rows, n, sizeof *rows, compare_rows);
    *ret_n = n;
    return n == most ? 0 : -1;
}

static int dump(const char *path, const struct report_row *rows, size_t n)
{
    FILE *file = strcmp(path, "-") == 0 ? stdout : fopen(path, "w");

    if (!file) {
        fprintf(stderr, "installs: %s: %s\n", path, strerror(errno));
        return -1;
    }
    fprintf(file, "family\tseed\thand\tkit");
    for (int i = 0; i < 2; i++) {
        static const char *const columns[] = {"finished",     "sure",      "on",       "loss dB",
                                              "right widths", "up widths", "skew deg", "time s"};
        for (size_t j = 0; j < sizeof columns / sizeof *columns; j++) {
            fprintf(file, "\t%s%s", i == 0 ? "" : "alone ", columns[j]);
        }
    }
    fputc('\n', file);
    for (size_t i = 0; i < n; i++) {
        report_line(file, &rows[i]);
    }
    return file == stdout || fclose(file) == 0 ? 0 : -1;
}

static void report(const struct options *options, const struct report_row *rows, size_t n)
{
    int missed = 0;

    for (int family = 0; family < FAMILIES; family++) {
        size_t first = 0, end;
        while (first < n && rows[first].family < family) {
            first++;
        }
        for (end = first; end < n && rows[end].family == family; end++) {
        }
        if (end > first) {
            missed += report_family(stdout, family, rows + first, end - first);
            if (options->by_step) {
                report_steps(stdout, rows + first, end - first);
            }
            if (options->by_kit) {
                report_kits(stdout, rows + first, end - first);
            }
        }
    }
    printf("\nTargets: %s (%d)\n", missed ? "NOT ALL MET" : "all met", missed);
}

int main(int argc, char **argv)
{
    struct options options;
    struct report_row *rows;
    size_t n = 0, most;
    int r = parse(argc, argv, &options);

    if (r != 0) {
        fputs(r == 1 ? help : "", stdout);
        return r == 1 ? 0 : 2;
    }
    most = (size_t)options.count * (options.family < 0 ? FAMILIES : 1);
    rows = calloc(most, sizeof *rows);
    if (!rows || family_read_all() < 0) {
        free(rows);
        return 1;
    }
    r = gather(&options, rows, most, &n);
    if (r == 0 && options.dump_path) {
        r = dump(options.dump_path, rows, n);
    }
    report(&options, rows, n);
    free(rows);
    return r < 0 ? 1 : 0;
}
