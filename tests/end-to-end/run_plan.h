/* run_plan.h - running `peakward plan` and keeping what it said. */
#ifndef TESTS_RUN_PLAN_H
#define TESTS_RUN_PLAN_H

#include "../unit/expect.h"
#include "../unit/scratch.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum { MOST_ARGUMENTS = 12, MOST_OUTPUT = 16384 };

static const char *program;
static char out[MOST_OUTPUT], err[MOST_OUTPUT];

static inline void load(const char *name, char *ret)
{
    FILE *file = fopen(scratch_path(name), "r");
    size_t n;

    assert_non_null(file);
    n = fread(ret, 1, MOST_OUTPUT - 1, file);
    ret[n] = '\0';
    fclose(file);
}

static inline void send_to(const char *path, int fd)
{
    int file = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);

    if (file < 0 || dup2(file, fd) < 0) {
        _exit(127);
    }
}

/* Run `peakward plan` with words parted by blanks; returns the exit status. */
static inline int run_into(const char *arguments, const char *stdout_path)
{
    char copy[1024], *rest = copy, *word, *argv[MOST_ARGUMENTS + 1] = {NULL};
    int n = 0, status;
    pid_t pid;

    snprintf(copy, sizeof copy, "peakward plan %s", arguments);
    while ((word = strsep(&rest, " ")) != NULL && n < MOST_ARGUMENTS) {
        if (*word) {
            argv[n++] = word;
        }
    }
    pid = fork();
    if (pid == 0) {
        send_to(scratch_path("err"), STDERR_FILENO);
        send_to(stdout_path ? stdout_path : scratch_path("out"), STDOUT_FILENO);
        execv(program, argv);
        _exit(127);
    }
    assert_true(pid > 0);
    while (waitpid(pid, &status, 0) < 0) {
        assert_int_equal(errno, EINTR);
    }
    assert_true(WIFEXITED(status));
    load("err", err);
    if (!stdout_path) {
        load("out", out);
    }
    return WEXITSTATUS(status);
}

static inline int run(const char *arguments)
{
    return run_into(arguments, NULL);
}

#endif
