#include "record/whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static int write_all(int fd, const char *bytes, size_t size)
{
    while (size > 0) {
        ssize_t n = write(fd, bytes, size);
        if (n < 0 && errno != EINTR) {
            return -errno;
        }
        if (n > 0) {
            bytes += n;
            size -= (size_t)n;
        }
    }
    return 0;
}

/* As fopen() would have made it, or as the file that is replaced. */
static mode_t wanted_mode(const char *path)
{
    struct stat status;
    mode_t mask;

    if (stat(path, &status) == 0) {
        return status.st_mode & 07777;
    }
    mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

static int close_after(int fd, int r)
{
    return close(fd) < 0 && r == 0 ? -errno : r;
}

static int replace(const char *path, const void *bytes, size_t size)
{
    char beside[PATH_MAX];
    int n = snprintf(beside, sizeof beside, "%s.XXXXXX", path), fd, r;

    if (n >= (int)sizeof beside) {
        return -ENAMETOOLONG;
    }
    fd = mkostemp(beside, O_CLOEXEC);
    if (fd < 0) {
        return -errno;
    }
    r = write_all(fd, bytes, size);
    if (r == 0 && (fchmod(fd, wanted_mode(path)) < 0 || fsync(fd) < 0)) {
        r = -errno;
    }
    r = close_after(fd, r);
    if (r == 0 && rename(beside, path) < 0) {
        r = -errno;
    }
    if (r < 0) {
        unlink(beside);
    }
    return r;
}

int whole_file_write(const char *path, const void *bytes, size_t size)
{
    char target[PATH_MAX];
    struct stat status;
    int fd;

    if (stat(path, &status) < 0) {
        return replace(path, bytes, size);
    }
    if (S_ISREG(status.st_mode)) {
        /* a link stays one: what it leads to is replaced */
        return realpath(path, target) ? replace(target, bytes, size) : -errno;
    }
    fd = open(path, O_WRONLY | O_CLOEXEC);
    return fd < 0 ? -errno : close_after(fd, write_all(fd, bytes, size));
}
