#include "record/fingerprint.h"

#include <errno.h>
#include <fcntl.h>
#include <nettle/base16.h>
#include <nettle/sha2.h>
#include <sys/stat.h>
#include <unistd.h>

static int digest_all(int fd, struct sha256_ctx *sha, uint64_t *ret_bytes)
{
    uint8_t buffer[65536];
    ssize_t n;

    *ret_bytes = 0;
    while ((n = read(fd, buffer, sizeof buffer)) != 0) {
        if (n < 0 && errno == EINTR) {
            continue;
        }
        if (n < 0) {
            return -errno;
        }
        sha256_update(sha, (size_t)n, buffer);
        *ret_bytes += (uint64_t)n;
    }
    return 0;
}

int fingerprint_file(const char *path, char ret_hex[FINGERPRINT_SIZE], uint64_t *ret_bytes)
{
    uint8_t digest[SHA256_DIGEST_SIZE];
    struct sha256_ctx sha;
    struct stat status;
    uint64_t bytes;
    /* opening a pipe must not wait for its other end */
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK), r;

    if (fd < 0) {
        return -errno;
    }
    sha256_init(&sha);
    r = fstat(fd, &status) < 0    ? -errno
        : S_ISREG(status.st_mode) ? digest_all(fd, &sha, &bytes)
        : S_ISDIR(status.st_mode) ? -EISDIR
                                  : -EINVAL;
    close(fd);
    if (r == 0) {
        sha256_digest(&sha, sizeof digest, digest);
        base16_encode_update(ret_hex, sizeof digest, digest);
        ret_hex[FINGERPRINT_SIZE - 1] = '\0';
        *ret_bytes = bytes;
    }
    return r;
}
