#include "job/text_file.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"

/* All of it, in a buffer that grows: few files are near their limit. */
static int load(FILE *file, size_t most, char **ret_text, size_t *ret_n)
{
    size_t room = 65536, n = 0;
    char *text = malloc(room), *larger;

    while (text) {
        n += fread(text + n, 1, room - 1 - n, file);
        if (ferror(file)) {
            int r = -errno;
            free(text);
            return r;
        }
        if (n > most) {
            free(text);
            return -EFBIG;
        }
        if (n < room - 1) {
            text[n] = '\0';
            *ret_text = text;
            *ret_n = n;
            return 0;
        }
        room *= 2;
        larger = realloc(text, room);
        if (!larger) {
            free(text);
        }
        text = larger;
    }
    return -ENOMEM;
}

int text_file_read(const char *path, size_t most, const char *too_large, char **ret_text,
                   size_t *ret_n, char *why, size_t size)
{
    FILE *file = fopen(path, "re");
    int r = file ? load(file, most, ret_text, ret_n) : -errno;

    if (file) {
        fclose(file);
    }
    if (r < 0) {
        why[0] = '\0';
        text_append(why, size, _("%s: can't be read: %s"), path,
                    r == -EFBIG ? too_large : fault_words(-r));
    }
    return r;
}
