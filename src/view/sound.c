#include "view/sound.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"

extern char **environ;

enum { PATH_SIZE = 512 };

void sound_init(struct sound *sound)
{
    for (int i = 0; i < SOUND_PARTS; i++) {
        sound->parts[i].fd = -1;
        sound->parts[i].pid = 0;
    }
}

/* Beside this program (a build that is not installed), else where it is installed. */
static void find_program(char path[PATH_SIZE])
{
    ssize_t n = readlink("/proc/self/exe", path, PATH_SIZE - 32);
    char *slash;

    if (n > 0) {
        path[n] = '\0';
        slash = strrchr(path, '/');
        strcpy(slash ? slash + 1 : path, "peakward-sound");
        if (access(path, X_OK) == 0) {
            return;
        }
    }
    text_copy(path, PATH_SIZE, LIBEXEC "/peakward-sound");
}

static int start(const char *part, int other_end, pid_t *ret_pid)
{
    char path[PATH_SIZE], *argv[] = {path, (char *)part, NULL, NULL};
    posix_spawn_file_actions_t actions;
    posix_spawnattr_t attributes;
    sigset_t none;
    int r;

    find_program(path);
    if (strcmp(tongue_name(), "en") != 0) {
        argv[2] = (char *)tongue_name(); /* who reads aloud has to know how to pronounce it */
    }
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, other_end, STDIN_FILENO);
    /* what it or its libraries say must not get onto the screen */
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawnattr_init(&attributes);
    sigemptyset(&none);
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
    r = posix_spawn(ret_pid, path, &actions, &attributes, argv, environ);
    posix_spawnattr_destroy(&attributes);
    posix_spawn_file_actions_destroy(&actions);
    return -r;
}

static void stop(struct sound *sound, enum sound_part part)
{
    if (sound->parts[part].fd >= 0) {
        close(sound->parts[part].fd);
        sound->parts[part].fd = -1;
    }
    if (sound->parts[part].pid > 0) {
        /* it may hang in a driver: nobody waits for that */
        kill(sound->parts[part].pid, SIGTERM);
        waitpid(sound->parts[part].pid, NULL, WNOHANG);
        sound->parts[part].pid = 0;
    }
}

void sound_finish(struct sound *sound)
{
    for (int i = 0; i < SOUND_PARTS; i++) {
        stop(sound, (enum sound_part)i);
    }
}

/* Its end of the line is closed: it never says anything else. */
static bool has_ended(const struct sound *sound, enum sound_part part)
{
    char byte;

    return recv(sound->parts[part].fd, &byte, 1, MSG_PEEK | MSG_DONTWAIT) == 0;
}

int sound_switch(struct sound *sound, enum sound_part part, bool on)
{
    static const char *const names[SOUND_PARTS] = {"tone", "speech"};
    bool runs = sound->parts[part].fd >= 0;
    int ends[2], r;

    if (runs && on && has_ended(sound, part)) {
        stop(sound, part);
        return -EPIPE;
    }
    if (on == runs) {
        return 0;
    }
    if (!on) {
        stop(sound, part);
        return 0;
    }
    if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) < 0) {
        return -errno;
    }
    r = start(names[part], ends[1], &sound->parts[part].pid);
    close(ends[1]);
    if (r < 0) {
        close(ends[0]);
        sound->parts[part].pid = 0;
        return r;
    }
    sound->parts[part].fd = ends[0];
    return 0;
}

/* A line that finds no room is left out: the next one is as good. */
static void send_line(struct sound *sound, enum sound_part part, const char *line)
{
    if (sound->parts[part].fd >= 0) {
        send(sound->parts[part].fd, line, strlen(line), MSG_DONTWAIT | MSG_NOSIGNAL);
    }
}

void sound_level(struct sound *sound, double below_db, bool at_best)
{
    char line[SOUND_LINE_SIZE];

    if (isfinite(below_db)) {
        snprintf(line, sizeof line, "tone %.2f %d\n", below_db, at_best);
    } else {
        snprintf(line, sizeof line, "quiet\n");
    }
    send_line(sound, SOUND_TONE, line);
}

void sound_say(struct sound *sound, const char *sentences)
{
    char line[SOUND_LINE_SIZE] = "say ";

    text_append(line, sizeof line - 1, "%s", sentences);
    strcat(line, "\n");
    send_line(sound, SOUND_SPEECH, line);
}
