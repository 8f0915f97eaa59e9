/* alias.h - other names for names: the same one for the same name each time. No I/O. */
#ifndef COMMAND_ALIAS_H
#define COMMAND_ALIAS_H

#include <stddef.h>

enum { ALIAS_NAMES = 96, ALIAS_NAME_SIZE = 64 };

struct alias {
    const char *word; /* "satellite" gives "satellite 1", "satellite 2"; borrowed */
    char names[ALIAS_NAMES][ALIAS_NAME_SIZE];
    size_t count;
};

/*
 * What a name is called instead; "" stays "". Names beyond ALIAS_NAMES share one.
 *
 *   ret_name  room for size bytes; may be the name itself
 */
void alias_of(struct alias *alias, const char *name, char *ret_name, size_t size);

#endif
