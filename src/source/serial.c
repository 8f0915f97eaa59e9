/* serial.c - a meter or a sensor on a serial port, unplugged and plugged in again at any time. */
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <termios.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "source/lines.h"

/* NMEA 0183's own speed, for a sensor without a profile. */
enum { NMEA_BAUD = 4800 };

struct serial {
    struct lines lines;
    char device[JOB_TEXT_SIZE];
    unsigned baud;
    tcflag_t framing; /* the CSIZE, PARENB, PARODD and CSTOPB bits */
};

/* "8N1" as termios has it. */
static int parse_framing(const char *text, tcflag_t *ret_flags)
{
    tcflag_t flags;

    if (strlen(text) != 3) {
        return -EINVAL;
    }
    switch (text[0]) {
    case '7':
        flags = CS7;
        break;
    case '8':
        flags = CS8;
        break;
    default:
        return -EINVAL;
    }
    if (text[1] == 'E' || text[1] == 'O') {
        flags |= PARENB | (text[1] == 'O' ? PARODD : 0);
    } else if (text[1] != 'N') {
        return -EINVAL;
    }
    if (text[2] == '2') {
        flags |= CSTOPB;
    } else if (text[2] != '1') {
        return -EINVAL;
    }
    *ret_flags = flags;
    return 0;
}

/* --- the device ----------------------------------------------------------------------------- */

static int refuse(const char *device, int error, char why[RECORD_TEXT_SIZE])
{
    const char *phrase;

    switch (error) {
    case EACCES:
        phrase = _("no permission: add yourself to the group dialout (sudo usermod -aG dialout "
                   "$USER), then log in again");
        break;
    case ENOENT:
    case ENXIO:
    case ENODEV:
    case EIO:
        phrase = _("not there: is it plugged in?");
        break;
    case EBUSY:
    case EWOULDBLOCK:
        phrase = _("in use by another program");
        break;
    case ENOTTY:
        phrase = _("not a serial port");
        break;
    default:
        phrase = fault_words(error);
    }
    why[0] = '\0';
    text_append(why, RECORD_TEXT_SIZE, "%s: %s", device, phrase);
    return -error;
}

static int set_line(const struct serial *self, int fd)
{
    struct termios settings, got;

    if (tcgetattr(fd, &settings) < 0) {
        return -errno;
    }
    cfmakeraw(&settings);
    settings.c_cflag &= ~(tcflag_t)(CSIZE | PARENB | PARODD | CSTOPB | CRTSCTS);
    settings.c_cflag |= CLOCAL | CREAD | self->framing;
    if (cfsetspeed(&settings, self->baud) < 0 || tcsetattr(fd, TCSANOW, &settings) < 0 ||
        tcgetattr(fd, &got) < 0) {
        return -errno;
    }
    /* tcsetattr is content when any one of the settings took */
    if (cfgetospeed(&got) != cfgetospeed(&settings)) {
        return -EINVAL;
    }
    tcflush(fd, TCIFLUSH);
    return 0;
}

static int begin(const void *where, char why[RECORD_TEXT_SIZE])
{
    const struct serial *self = where;
    int fd = open(self->device, O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    int r;

    if (fd < 0) {
        return refuse(self->device, errno, why);
    }
    if (!isatty(fd)) {
        r = -ENOTTY;
    } else if (flock(fd, LOCK_EX | LOCK_NB) < 0) {
        /* let go by the kernel even after kill -9, unlike TIOCEXCL on a pseudo-terminal */
        r = -errno;
    } else {
        r = set_line(self, fd);
    }
    if (r < 0) {
        close(fd);
        return refuse(self->device, -r, why);
    }
    return fd;
}

static const struct feed_ops feed_ops = {
    .open = begin,
    .gone = N_("unplugged or switched off"),
    .silent =
        N_("the port is open, but no line that is understood: is the device on, are baud rate and "
           "pattern right?"),
};

/* --- the source ----------------------------------------------------------------------------- */

static int set_up(struct serial *self, const char *address, const struct source_setup *setup,
                  char why[RECORD_TEXT_SIZE])
{
    const char *framing = setup->meter ? setup->meter->framing : "8N1";
    struct termios settings = {0};

    why[0] = '\0';
    if (address[0] == '\0' || strlen(address) >= sizeof self->device) {
        text_append(why, RECORD_TEXT_SIZE, _("name the port, like serial:/dev/ttyUSB0"));
        return -EINVAL;
    }
    text_copy(self->device, sizeof self->device, address);
    self->baud = setup->meter && setup->meter->baud > 0 ? (unsigned)setup->meter->baud : NMEA_BAUD;
    if (cfsetspeed(&settings, self->baud) < 0) {
        text_append(why, RECORD_TEXT_SIZE,
                    _("baud %u is not a speed that serial ports know (4800, 9600, 19200, 38400, "
                      "57600, 115200, ...)"),
                    self->baud);
        return -EINVAL;
    }
    if (parse_framing(framing, &self->framing) < 0) {
        text_append(why, RECORD_TEXT_SIZE, _("framing '%s' is not like 8N1, 7E1 or 8N2"), framing);
        return -EINVAL;
    }
    return lines_init(&self->lines, &feed_ops, self, setup, why);
}

static int serial_open(const char *address, const struct source_setup *setup, void **ret_self,
                       char why[RECORD_TEXT_SIZE])
{
    struct serial *self = calloc(1, sizeof *self);
    int r;

    if (!self) {
        text_copy(why, RECORD_TEXT_SIZE, _("out of memory"));
        return -ENOMEM;
    }
    r = set_up(self, address, setup, why);
    if (r < 0) {
        free(self);
        return r;
    }
    *ret_self = self;
    return 0;
}

static int serial_fd(const void *self)
{
    return lines_fd(&((const struct serial *)self)->lines);
}

static double serial_wake(const void *self)
{
    return lines_wake(&((const struct serial *)self)->lines);
}

static int serial_read(void *self, double t, struct record *ret)
{
    return lines_read(&((struct serial *)self)->lines, t, ret);
}

static void serial_close(void *self)
{
    struct serial *serial = self;

    if (serial) {
        lines_finish(&serial->lines);
        free(serial);
    }
}

const struct source_ops source_serial = {
    .scheme = "serial",
    .open = serial_open,
    .fd = serial_fd,
    .wake = serial_wake,
    .read = serial_read,
    .close = serial_close,
};
