#include "command/mend.h"

#include <errno.h>
#include <grp.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"

static bool has_scheme(const char *address, const char *scheme)
{
    size_t n = strlen(scheme);

    return strncmp(address, scheme, n) == 0 && address[n] == ':';
}

static int count_readings(const struct mend_heard *heard)
{
    int all = 0;

    for (int kind = 0; kind < RECORD_KIND_COUNT; kind++) {
        all += kind != RECORD_SOURCE ? heard->counts[kind] : 0;
    }
    return all;
}

/* A port that may not be opened: whose it is, and how to become one of them. */
static void mend_permission(const struct stat *status, char mend[MEND_SIZE])
{
    const struct group *group = getgrgid(status->st_gid);
    const char *name = group ? group->gr_name : "dialout";

    if ((status->st_mode & (S_IRGRP | S_IWGRP)) == (S_IRGRP | S_IWGRP)) {
        text_append(mend, MEND_SIZE,
                    _("not allowed to open it: sudo usermod -aG %s $USER, then log in again"),
                    name);
    } else {
        text_append(mend, MEND_SIZE,
                    _("not allowed to open it, nor is its group %s: plug it in again; if that does "
                      "not help, a udev rule has to give it to the group dialout"),
                    name);
    }
}

void mend_port(const char *device, char ret_mend[MEND_SIZE])
{
    struct stat status;

    ret_mend[0] = '\0';
    if (stat(device, &status) < 0) {
        text_append(ret_mend, MEND_SIZE,
                    _("%s is not there: plug the meter in; the ports that are there stand above"),
                    device);
    } else if (access(device, R_OK | W_OK) < 0 && errno == EACCES) {
        mend_permission(&status, ret_mend);
    } else {
        text_append(ret_mend, MEND_SIZE, "%s",
                    _("it can't be opened: does another program have it?"));
    }
}

static void mend_serial(const char *device, const struct job_meter *meter,
                        const struct mend_heard *heard, char mend[MEND_SIZE])
{
    if (heard->bad > 0) {
        text_append(
            mend, MEND_SIZE,
            _("lines come, but they don't fit: is the pattern right, and is the speed really "
              "%d baud %s?"),
            meter ? meter->baud : 0, meter ? meter->framing : "");
    } else if (heard->down && access(device, R_OK | W_OK) < 0) {
        mend_port(device, mend);
    } else {
        text_append(mend, MEND_SIZE,
                    meter && meter->poll[0]
                        ? _("no line came: is the meter on, and set to send; is it %d baud %s?")
                        : _("no line came: is the meter on, and set to send; is it %d baud %s; "
                            "does it have to be asked (the key poll)?"),
                    meter ? meter->baud : 0, meter ? meter->framing : "");
    }
}

static void mend_gpsd(const struct mend_heard *heard, char mend[MEND_SIZE])
{
    text_append(mend, MEND_SIZE, "%s",
                heard->down ? _("gpsd does not answer: sudo systemctl start gpsd (sudo apt-get "
                                "install gpsd), or see the address")
                : count_readings(heard) == 0
                    ? _("gpsd runs, but no receiver speaks: is it plugged in, and named in "
                        "/etc/default/gpsd?")
                    : _("no position yet: the receiver needs a free view of the sky, a cold one "
                        "some minutes"));
}

bool mend_find(const char *address, const struct job_meter *meter, const struct mend_heard *heard,
               char ret_mend[MEND_SIZE])
{
    bool no_fix = heard->counts[RECORD_FIX] > 0 && heard->last[RECORD_FIX].fix.mode < 2;
    bool works = count_readings(heard) > 0 && !heard->down;

    ret_mend[0] = '\0';
    if (works && !no_fix) {
        return true;
    }
    if (has_scheme(address, "gpsd")) {
        mend_gpsd(heard, ret_mend);
    } else if (has_scheme(address, "serial")) {
        mend_serial(address + strlen("serial:"), meter, heard, ret_mend);
    } else if (has_scheme(address, "tcp")) {
        text_append(ret_mend, MEND_SIZE, "%s",
                    heard->bad > 0 ? _("lines come, but they don't fit: is the pattern right?")
                                   : _("is that the address, is the other end switched on?"));
    } else if (has_scheme(address, "keys")) {
        return true; /* nothing is heard of it before something is typed */
    }
    return works;
}
