#include "command/alias.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"

void alias_of(struct alias *alias, const char *name, char *ret_name, size_t size)
{
    size_t i = 0;

    if (name[0] == '\0') {
        ret_name[0] = '\0';
        return;
    }
    while (i < alias->count && strcmp(alias->names[i], name) != 0) {
        i++;
    }
    if (i == alias->count && i < ALIAS_NAMES) {
        text_copy(alias->names[alias->count++], ALIAS_NAME_SIZE, name);
    }
    snprintf(ret_name, size, "%s %zu", alias->word, i + 1);
}
