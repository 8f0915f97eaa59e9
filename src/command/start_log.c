#include "command/start_log.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"

/* All that are missing. 0, or why the last of them can't be made. */
static int make_folders(char *path)
{
    int r = 0;

    for (char *p = path + 1; *p; p++) {
        if (*p == '/') {
            *p = '\0';
            if (mkdir(path, 0755) == 0 || errno == EEXIST) {
                r = 0;
            } else if (r == 0) {
                r = -errno; /* what fails below is for the same reason */
            }
            *p = '/';
        }
    }
    return r;
}

/* $XDG_STATE_HOME/peakward/DATE-TIME.jsonl, as the XDG base directories have it. */
static int default_log_path(char *path, size_t size)
{
    int r;
    const char *state = getenv("XDG_STATE_HOME"), *home = getenv("HOME");
    time_t now = time(NULL);
    struct tm utc;
    char stamp[32];

    gmtime_r(&now, &utc);
    strftime(stamp, sizeof stamp, "%Y%m%d-%H%M%S", &utc);
    if (state && state[0] == '/') {
        snprintf(path, size, "%s/peakward/%s", state, stamp);
    } else {
        snprintf(path, size, "%s/.local/state/peakward/%s", home ? home : ".", stamp);
    }
    r = make_folders(path);
    for (int i = 1; i < 100; i++) {
        size_t n = strlen(path);
        snprintf(path + n, size - n, i == 1 ? ".jsonl" : "-%d.jsonl", i);
        if (access(path, F_OK) != 0) {
            break;
        }
        path[n] = '\0';
    }
    return r;
}

int start_log(struct engine *engine, const char *path)
{
    int r = 0;

    if (path) {
        text_copy(engine->log_path, sizeof engine->log_path, path);
    } else {
        r = default_log_path(engine->log_path, sizeof engine->log_path);
    }
    if (r == 0) {
        r = log_create(&engine->log, engine->log_path, &engine->job, &engine->procedure);
    }
    if (r < 0) {
        command_complain(engine->log_path,
                         r == -EEXIST ? _("there is a log already") : fault_words(-r),
                         r == -EEXIST ? _("give another name, or go on with it by --resume")
                                      : _("give another place with --log"));
        return -EINVAL;
    }
    return 0;
}

int end_log(struct engine *engine, int status)
{
    int r = log_close(&engine->log);

    if (r == 0 && engine->log.lost == 0) {
        return status;
    }
    command_complain(engine->log_path,
                     r < 0 ? fault_words(-r) : _("for a while it could not be written"),
                     _("the log lacks a part of the session"));
    return EXIT_NOT_DONE;
}
