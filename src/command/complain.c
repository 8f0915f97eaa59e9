#include "command/command.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"

void command_complain(const char *what, const char *why, const char *what_to_do)
{
    char text[1024] = "", safe[1024];

    text_append(text, sizeof text, "peakward: %s", what);
    if (why) {
        text_append(text, sizeof text, ": %s", why);
    }
    if (what_to_do) {
        text_append(text, sizeof text, ": %s", what_to_do);
    }
    /* names and values come from anywhere: no byte of them drives the terminal */
    text_sanitize(safe, sizeof safe, text, strlen(text));
    command_put(stderr, safe);
    fputc('\n', stderr);
}
