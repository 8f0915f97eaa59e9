#include <langinfo.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "base/text.h"
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

int command_columns(void)
{
    struct winsize size;

    return isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 ? size.ws_col : 0;
}

/* One line of text, its end included, on as many as it takes. */
static void append_wrapped(char wrapped[SAY_SIZE], const char *line, size_t size, int indent,
                           int cols)
{
    int col = 0;

    while (size > 0) {
        size_t blanks = strspn(line, " "), n = blanks + strcspn(line + blanks, " \n");
        char word[SAY_SIZE];
        n = n < size ? n : size;
        snprintf(word, sizeof word, "%.*s", (int)n, line);
        if (col > indent && col + glyphs_columns(word) > cols) {
            text_append(wrapped, SAY_SIZE, "\n%*s%s", indent, "", word + blanks);
            col = indent + glyphs_columns(word + blanks);
        } else {
            text_append(wrapped, SAY_SIZE, "%s", word);
            col += glyphs_columns(word);
        }
        line += n;
        size -= n;
        if (size > 0 && *line == '\n') {
            text_append(wrapped, SAY_SIZE, "\n");
            break;
        }
    }
}

void command_say_wrapped(int indent, int room, const char *format, ...)
{
    char text[SAY_SIZE], wrapped[SAY_SIZE] = "";
    int cols = command_columns() - room;
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    for (const char *line = text; *line && cols > 2 * indent;) {
        size_t size = strcspn(line, "\n");
        size += line[size] == '\n';
        append_wrapped(wrapped, line, size, indent, cols);
        line += size;
    }
    command_say("%s", wrapped[0] ? wrapped : text);
}
