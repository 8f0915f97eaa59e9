#include "view/words_line.h"

#include <errno.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"

enum { SHOWN_SIZE = 48 };

static void skip_blanks(struct words_line *line)
{
    line->rest += strspn(line->rest, " ");
}

char *words_line_next(struct words_line *line)
{
    char *word;

    skip_blanks(line);
    word = line->rest;
    line->rest += strcspn(line->rest, " ");
    if (*line->rest != '\0') {
        *line->rest++ = '\0';
    }
    return word;
}

void words_line_peek(const struct words_line *line, char word[WORDS_LINE_SIZE])
{
    const char *start = line->rest + strspn(line->rest, " ");
    size_t n = strcspn(start, " ");

    memcpy(word, start, n);
    word[n] = '\0';
}

char *words_line_rest(struct words_line *line)
{
    size_t n;

    skip_blanks(line);
    n = strlen(line->rest);
    while (n > 0 && line->rest[n - 1] == ' ') {
        line->rest[--n] = '\0';
    }
    return line->rest;
}

int words_line_refuse(struct words_line *line, const char *found, const char *wrong,
                      const char *wanted)
{
    char shown[SHOWN_SIZE];

    line->why[0] = '\0';
    if (found[0] == '\0') {
        text_append(line->why, RECORD_TEXT_SIZE, "%s", wanted);
    } else {
        text_copy(shown, sizeof shown, found);
        text_append(line->why, RECORD_TEXT_SIZE, _("'%s%s' %s: %s"), shown,
                    strlen(found) >= sizeof shown ? "..." : "", wrong, wanted);
    }
    return -EINVAL;
}

int words_line_end(struct words_line *line, const char *after)
{
    const char *more = words_line_rest(line);
    char wanted[80] = "";

    if (more[0] == '\0') {
        return 0;
    }
    text_append(wanted, sizeof wanted, _("nothing follows %s"), after);
    return words_line_refuse(line, more, _("is too much"), wanted);
}

int words_line_number(struct words_line *line, const char *word, const char *wanted,
                      double *ret_number)
{
    if (text_parse_double(word, ret_number) == 0) {
        return 0;
    }
    return words_line_refuse(
        line, word, strchr(word, ',') ? _("needs a decimal point") : _("is not a number"), wanted);
}

bool words_line_is_one_of(const char *word, const char *const *names)
{
    for (; *names; names++) {
        if (strcasecmp(word, *names) == 0) {
            return true;
        }
    }
    return false;
}
