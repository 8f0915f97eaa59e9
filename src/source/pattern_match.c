#include "source/pattern.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"

enum { NUMBER_SIZE = 32 };

static const char default_lock_words[] = "1 yes on true ok lock locked";

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The end of a decimal number at s, or NULL. */
static const char *number_end(const char *s)
{
    const char *digits;
    size_t count = 0;

    if (*s == '+' || *s == '-') {
        s++;
    }
    for (; is_digit(*s); s++, count++) {
    }
    if (*s == '.') {
        for (s++; is_digit(*s); s++, count++) {
        }
    }
    if (count == 0 || *s == '.') {
        return NULL;
    }
    if (*s == 'e' || *s == 'E') {
        digits = s + 1 + (s[1] == '+' || s[1] == '-');
        if (is_digit(*digits)) {
            while (is_digit(*digits)) {
                digits++;
            }
            s = *digits == '.' ? NULL : digits;
        }
    }
    return s;
}

static void store_aux(const struct pattern *pattern, const struct pattern_element *element,
                      double value, struct pattern_reading *reading)
{
    struct record_aux *aux = &reading->aux[reading->aux_count++];
    const char *name = pattern->text + element->start;
    size_t length = strcspn(name, " ");
    const char *unit = name + length + 1;

    *aux = (struct record_aux){.value = value};
    text_sanitize(aux->name, sizeof aux->name, name, length);
    if (length + 1 < element->length) {
        text_sanitize(aux->unit, sizeof aux->unit, unit, strcspn(unit, " "));
    }
}

static const char *match_number(const struct pattern *pattern,
                                const struct pattern_element *element, const char *s,
                                struct pattern_reading *reading)
{
    char digits[NUMBER_SIZE];
    const char *end;
    double value;

    s = text_skip_blanks(s);
    end = number_end(s);
    if (!end || (size_t)(end - s) >= sizeof digits) {
        return NULL;
    }
    memcpy(digits, s, (size_t)(end - s));
    digits[end - s] = '\0';
    if (text_parse_double(digits, &value) < 0) {
        return NULL;
    }
    switch (element->field) {
    case PATTERN_FIELD_LEVEL:
        reading->level = value;
        break;
    case PATTERN_FIELD_COMPASS:
        reading->magnetic = true;
        reading->deg[AXIS_AZIMUTH] = value;
        break;
    case PATTERN_FIELD_AZIMUTH:
        reading->deg[AXIS_AZIMUTH] = value;
        break;
    case PATTERN_FIELD_ELEVATION:
        reading->deg[AXIS_ELEVATION] = value;
        break;
    case PATTERN_FIELD_SKEW:
        reading->deg[AXIS_SKEW] = value;
        break;
    case PATTERN_FIELD_AUX:
        store_aux(pattern, element, value, reading);
        break;
    default:
        break;
    }
    return end;
}

/* Is the word one of a list, words with blanks between, in any case? */
static bool in_list(const char *list, size_t list_length, const char *word, size_t length)
{
    const char *end = list + list_length;

    while (list < end) {
        size_t n = strcspn(list, " ");
        n = n < (size_t)(end - list) ? n : (size_t)(end - list);
        if (n == length && strncasecmp(list, word, n) == 0) {
            return true;
        }
        list += n + 1;
    }
    return false;
}

static const char *match_word(const struct pattern *pattern, size_t i, const char *s,
                              struct pattern_reading *reading)
{
    const struct pattern_element *element = &pattern->elements[i];
    const char *list = pattern->text + element->start;
    char stop = '\0';
    size_t length = 0, next = i + 1;

    if (next < pattern->count && pattern->elements[next].op == PATTERN_OPTION) {
        next++;
    }
    if (next < pattern->count && pattern->elements[next].op == PATTERN_TEXT) {
        stop = pattern->text[pattern->elements[next].start];
    }
    s = text_skip_blanks(s);
    while (s[length] && !text_is_blank(s[length]) && !(stop && s[length] == stop)) {
        length++;
    }
    if (length == 0) {
        return NULL;
    }
    if (element->field == PATTERN_FIELD_ID) {
        text_sanitize(reading->id, sizeof reading->id, s, length);
    } else if (element->field == PATTERN_FIELD_LOCK) {
        reading->lock_said = true;
        reading->locked = element->length > 0
                              ? in_list(list, element->length, s, length)
                              : in_list(default_lock_words, strlen(default_lock_words), s, length);
    }
    return s + length;
}

/* Elements [from, to), none of them a skip, at s: where they end, or NULL. */
static const char *match_run(const struct pattern *pattern, size_t from, size_t to, const char *s,
                             struct pattern_reading *reading)
{
    for (size_t i = from; s && i < to; i++) {
        const struct pattern_element *element = &pattern->elements[i];
        if (element->op == PATTERN_BLANK) {
            s = text_skip_blanks(s);
        } else if (element->op == PATTERN_TEXT) {
            bool same = strncmp(s, pattern->text + element->start, element->length) == 0;
            s = same ? s + element->length : NULL;
        } else if (element->op == PATTERN_NUMBER) {
            s = match_number(pattern, element, s, reading);
        } else if (element->op == PATTERN_WORD) {
            s = match_word(pattern, i, s, reading);
        } else {
            struct pattern_reading tried = *reading;
            const char *end = match_run(pattern, i + 1, i + 1 + element->length, s, &tried);
            if (end) {
                *reading = tried;
                s = end;
            }
            i += element->length;
        }
    }
    return s;
}

/* What a skip stops at must not be the middle of a number. */
static bool inside_number(const char *line, const char *s)
{
    bool digit_before = s > line && (is_digit(s[-1]) || s[-1] == '.');

    return digit_before && (is_digit(*s) || *s == '.' || *s == '-' || *s == '+');
}

static bool match_alternative(const struct pattern *pattern, size_t from, size_t to,
                              const char *line, struct pattern_reading *reading)
{
    const char *s = line;
    bool after_skip = false;

    for (;;) {
        struct pattern_reading before = *reading;
        size_t skip = from;
        const char *end = NULL;

        while (skip < to && pattern->elements[skip].op != PATTERN_SKIP) {
            skip++;
        }
        if (after_skip && from == to) {
            return true; /* a skip at the end takes the rest */
        }
        for (;; s++) {
            *reading = before;
            end = after_skip && inside_number(line, s) ? NULL
                                                       : match_run(pattern, from, skip, s, reading);
            if (end && skip == to && *text_skip_blanks(end) != '\0') {
                end = NULL;
            }
            if (end || !after_skip || *s == '\0') {
                break;
            }
        }
        if (!end || skip == to) {
            return end != NULL;
        }
        s = end;
        from = skip + 1;
        after_skip = true;
    }
}

bool pattern_match(const struct pattern *pattern, const char *line,
                   struct pattern_reading *ret_reading)
{
    line = text_skip_blanks(line);
    for (size_t from = 0; from < pattern->count;) {
        struct pattern_reading reading = {.level = NAN, .deg = {NAN, NAN, NAN}};
        size_t to = from;

        while (to < pattern->count && pattern->elements[to].op != PATTERN_OR) {
            to++;
        }
        if (match_alternative(pattern, from, to, line, &reading)) {
            *ret_reading = reading;
            return true;
        }
        from = to + 1;
    }
    return false;
}

bool pattern_starts_with(const struct pattern *pattern, char first)
{
    for (size_t i = 0; i < pattern->count; i++) {
        const struct pattern_element *element = &pattern->elements[i];
        bool begins = i == 0 || pattern->elements[i - 1].op == PATTERN_OR;
        if (begins && element->op == PATTERN_TEXT && pattern->text[element->start] == first) {
            return true;
        }
    }
    return false;
}
