#include <langinfo.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command/command.h"
#include "view/glyphs.h"

enum { SAY_SIZE = 8192 };

void command_put(FILE *file, const char *text)
{
    size_t size = 4 * strlen(text) + 1; /* what stands for a character takes four at most */
    char *folded = NULL;

    if (strcmp(nl_langinfo(CODESET), "UTF-8") != 0) {
        folded = malloc(size);
    }
    if (folded) {
        glyphs_fold(folded, size, text);
    }
    fputs(folded ? folded : text, file);
    free(folded);
}

void command_say(const char *format, ...)
{
    char text[SAY_SIZE];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    command_put(stdout, text);
    fflush(stdout);
}
