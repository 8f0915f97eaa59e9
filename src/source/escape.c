#include "source/escape.h"

#include <ctype.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

static const char letters[] = "rnt0\\";
static const char meanings[] = "\r\n\t\0\\";

/* The byte that the escape behind a backslash stands for, and how long the escape is. */
static int decode_one(const char *escape, size_t *ret_length)
{
    const char *letter = *escape ? strchr(letters, *escape) : NULL;

    if (letter) {
        *ret_length = 1;
        return (unsigned char)meanings[letter - letters];
    }
    if (*escape == 'x' && isxdigit((unsigned char)escape[1]) &&
        isxdigit((unsigned char)escape[2])) {
        char digits[3] = {escape[1], escape[2], '\0'};
        *ret_length = 3;
        return (int)strtol(digits, NULL, 16);
    }
    return -EINVAL;
}

int escape_decode(const char *text, char *bytes, size_t size)
{
    size_t used = 0;

    while (*text) {
        int byte = (unsigned char)*text++;
        if (byte == '\\') {
            size_t length = 0;
            byte = decode_one(text, &length);
            if (byte < 0) {
                return byte;
            }
            text += length;
        }
        if (used == size) {
            return -ENOSPC;
        }
        bytes[used++] = (char)byte;
    }
    return (int)used;
}
