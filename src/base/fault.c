#include "base/fault.h"

#include <errno.h>
#include <stddef.h>
#include <string.h>

#include "base/tongue.h"

/* What a session on a mast may meet; the rest is rare enough to be left to strerror(). */
static const struct {
    int error;
    const char *words;
} faults[] = {
    {EPERM, N_("Operation not permitted")},
    {ENOENT, N_("No such file or directory")},
    {EIO, N_("Input/output error")},
    {ENXIO, N_("No such device or address")},
    {ENOMEM, N_("Cannot allocate memory")},
    {EACCES, N_("Permission denied")},
    {EBUSY, N_("Device or resource busy")},
    {EEXIST, N_("File exists")},
    {ENODEV, N_("No such device")},
    {ENOTDIR, N_("Not a directory")},
    {EISDIR, N_("Is a directory")},
    {EINVAL, N_("Invalid argument")},
    {EMFILE, N_("Too many open files")},
    {ENOTTY, N_("Inappropriate ioctl for device")},
    {EFBIG, N_("File too large")},
    {ENOSPC, N_("No space left on device")},
    {EROFS, N_("Read-only file system")},
    {EPIPE, N_("Broken pipe")},
    {ENAMETOOLONG, N_("File name too long")},
    {ELOOP, N_("Too many levels of symbolic links")},
    {EMSGSIZE, N_("Message too long")},
    {ENETUNREACH, N_("Network is unreachable")},
    {ECONNRESET, N_("Connection reset by peer")},
    {ETIMEDOUT, N_("Connection timed out")},
    {ECONNREFUSED, N_("Connection refused")},
    {EHOSTUNREACH, N_("No route to host")},
    {EDQUOT, N_("Disk quota exceeded")},
};

const char *fault_words(int error)
{
    for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
        if (faults[i].error == error) {
            return _(faults[i].words);
        }
    }
    return strerror(error);
}
