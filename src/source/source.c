#include "source/source.h"

#include <errno.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"

const struct source_ops *const source_table[] = {
    &source_gpsd, &source_keys, &source_replay, &source_serial, &source_sim, &source_tcp, NULL,
};

static bool ends_with(const char *text, const char *end)
{
    size_t n = strlen(text), m = strlen(end);

    return n >= m && strcmp(text + n - m, end) == 0;
}

/* The driver of an address, and what it makes of the rest; NULL = none. */
static const struct source_ops *find(const char *address, const char **ret_rest)
{
    for (size_t i = 0; source_table[i]; i++) {
        size_t n = strlen(source_table[i]->scheme);
        if (strncmp(address, source_table[i]->scheme, n) == 0 &&
            (address[n] == ':' || address[n] == '\0')) {
            *ret_rest = address + n + (address[n] == ':');
            return source_table[i];
        }
    }
    if (ends_with(address, ".jsonl")) {
        *ret_rest = address;
        return &source_replay;
    }
    return NULL;
}

int source_open(struct source *source, const char *address, const struct source_setup *setup,
                char why[RECORD_TEXT_SIZE])
{
    struct source opened = {.self = NULL};
    struct source_setup named = *setup;
    const char *rest;
    int r;

    *source = opened;
    opened.ops = find(address, &rest);
    if (!opened.ops) {
        text_copy(why, RECORD_TEXT_SIZE, _("no such source: it can be"));
        for (size_t i = 0; source_table[i]; i++) {
            text_append(why, RECORD_TEXT_SIZE, " %s:", source_table[i]->scheme);
        }
        return -EINVAL;
    }
    text_copy(opened.name, sizeof opened.name, setup->name ? setup->name : opened.ops->scheme);
    text_copy(opened.address, sizeof opened.address, address);
    named.name = opened.name;
    r = opened.ops->open(rest, &named, &opened.self, why);
    if (r == 0) {
        *source = opened;
    }
    return r;
}

void source_close(struct source *source)
{
    if (source->ops && source->ops->close) {
        source->ops->close(source->self);
    }
    *source = (struct source){.ops = NULL};
}
