#include "source/guess.h"

#include <errno.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

/* Bytes of a number that begins here; 0 = none. "C5" is a name, not a number. */
static size_t number_size(const char *line, size_t at)
{
    size_t n = at;

    if (at > 0 && (is_letter(line[at - 1]) || is_digit(line[at - 1]))) {
        return 0;
    }
    n += line[n] == '-' || line[n] == '+';
    if (!is_digit(line[n])) {
        return 0;
    }
    n += strspn(line + n, "0123456789");
    if (line[n] == '.' && is_digit(line[n + 1])) {
        n += 1 + strspn(line + n + 1, "0123456789");
    }
    return n - at;
}

/* Whether the text before this place ends in "lock", "LOCK=", "lock: ". */
static bool follows_lock(const char *line, size_t at)
{
    while (at > 0 && strchr(" =:", line[at - 1])) {
        at--;
    }
    return at >= 4 && strncasecmp(line + at - 4, "lock", 4) == 0;
}

int guess_pattern(const char *line, char ret_pattern[PATTERN_TEXT_SIZE])
{
    char pattern[2 * PATTERN_TEXT_SIZE] = "";
    bool has_level = false, has_lock = false;

    for (size_t i = 0; line[i];) {
        size_t n = number_size(line, i), word = 0;
        bool begins = i == 0 || !is_letter(line[i - 1]);
        const char *field = NULL;
        while (is_letter(line[i + word]) || is_digit(line[i + word])) {
            word++;
        }
        if (begins && word > 0 && !has_lock && follows_lock(line, i)) {
            field = "{lock}";
            has_lock = true;
            n = word;
        } else if (n > 0) {
            field = has_level ? "{number}" : "{level}";
            has_level = true;
        }
        if (field) {
            text_append(pattern, sizeof pattern, "%s", field);
            i += n;
        } else {
            text_append(pattern, sizeof pattern, "%s%c", strchr("{}[]|\\", line[i]) ? "\\" : "",
                        line[i]);
            i++;
        }
    }
    if (!has_level) {
        return -ENODATA;
    }
    if (strlen(pattern) >= PATTERN_TEXT_SIZE) {
        return -ENOSPC;
    }
    text_copy(ret_pattern, PATTERN_TEXT_SIZE, pattern);
    return 0;
}
