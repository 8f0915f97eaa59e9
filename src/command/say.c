#include <langinfo.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "command/command.h"
#include "view/glyphs.h"

enum { SAY_SIZE = 1024 };

void command_say(const char *format, ...)
{
    char text[SAY_SIZE], folded[2 * SAY_SIZE];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    if (strcmp(nl_langinfo(CODESET), "UTF-8") != 0) {
        glyphs_fold(folded, sizeof folded, text);
        fputs(folded, stdout);
    } else {
        fputs(text, stdout);
    }
    fflush(stdout);
}
