/*
 * keys.c - no cable at all: the operator types angles off the mount's scales and levels off a
 * meter.
 *
 * The command turns the operator's words into records and applies them itself, whatever the sources
 * are, so this source has nothing to read. It exists so that a job can say that nothing else is
 * expected, and so that the session has a source to show as up.
 */
#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/text.h"
#include "base/tongue.h"
#include "source/source.h"

struct keys {
    bool said;
    char name[RECORD_NAME_SIZE];
};

static int keys_open(const char *address, const struct source_setup *setup, void **ret_self,
                     char why[RECORD_TEXT_SIZE])
{
    struct keys *self;

    if (address[0] != '\0') {
        text_copy(why, RECORD_TEXT_SIZE, _("nothing follows keys:"));
        return -EINVAL;
    }
    self = calloc(1, sizeof *self);
    if (!self) {
        text_copy(why, RECORD_TEXT_SIZE, _("out of memory"));
        return -ENOMEM;
    }
    text_copy(self->name, sizeof self->name, setup->name);
    *ret_self = self;
    return 0;
}

static int keys_fd(const void *self)
{
    (void)self;
    return -1;
}

static double keys_wake(const void *self)
{
    return ((const struct keys *)self)->said ? INFINITY : 0.0;
}

static int keys_read(void *self, double t, struct record *ret)
{
    struct keys *keys = self;

    if (keys->said) {
        return 0;
    }
    keys->said = true;
    *ret = (struct record){.t = t, .kind = RECORD_SOURCE, .source.status = SOURCE_UP};
    text_copy(ret->source.name, sizeof ret->source.name, keys->name);
    return 1;
}

static void keys_close(void *self)
{
    free(self);
}

const struct source_ops source_keys = {
    .scheme = "keys",
    .open = keys_open,
    .fd = keys_fd,
    .wake = keys_wake,
    .read = keys_read,
    .close = keys_close,
};
