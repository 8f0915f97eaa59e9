#include "sky/angle.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

double angle_wrap_deg(double deg)
{
    double wrapped = fmod(deg, 360.0);

    if (wrapped < 0.0) {
        wrapped += 360.0;
    }
    /* a tiny negative angle rounds up to a full turn */
    return wrapped >= 360.0 ? 0.0 : wrapped;
}

double angle_turn_deg(double from, double to)
{
    double turn = remainder(to - from, 360.0);

    return turn == -180.0 ? 180.0 : turn;
}

double angle_wrap_axial_deg(double deg)
{
    double wrapped = remainder(deg, 180.0);

    return wrapped == -90.0 ? 90.0 : wrapped;
}

double angle_turn_axial_deg(double from, double to)
{
    return angle_wrap_axial_deg(to - from);
}

/* --- spellings ------------------------------------------------------------------------------ */

/* What stands after each part: a letter, or a sign as keyboards, phones and documents have it. */
static const struct mark {
    char letter;
    const char *signs[6];
} marks[3] = {
    {'d', {"\u00b0", "\u00ba", "deg"}},
    {'m', {"'", "\u2032", "\u2019", "min"}},
    {'s', {"\"", "\u2033", "\u201d", "''", "\u2032\u2032", "sec"}},
};

/* A spelling taken apart. */
struct spelt {
    double parts[3]; /* degrees, minutes, seconds */
    int count;
    bool lettered; /* minutes are marked by a letter, so seconds will be, too */
    bool ends_in_s;
    bool has_sign;
    double sign;
};

static const char *skip_blanks(const char *p)
{
    while (isspace((unsigned char)*p)) {
        p++;
    }
    return p;
}

/* Past a sign of the part, or NULL where none stands. */
static const char *skip_sign(const char *p, const struct mark *mark)
{
    const char *longest = NULL;

    for (size_t i = 0; i < sizeof mark->signs / sizeof *mark->signs && mark->signs[i]; i++) {
        size_t n = strlen(mark->signs[i]);
        if (strncasecmp(p, mark->signs[i], n) == 0 && (!longest || p + n > longest)) {
            longest = p + n;
        }
    }
    return longest;
}

/* Digits with at most one point among them. NULL = not a number. */
static const char *read_number(const char *p, double *ret, bool *ret_whole)
{
    char digits[32];
    size_t whole = strspn(p, "0123456789"), n = whole;

    if (p[n] == '.') {
        n += 1 + strspn(p + n + 1, "0123456789");
    }
    if (whole == 0 || n >= sizeof digits) {
        return NULL;
    }
    memcpy(digits, p, n);
    digits[n] = '\0';
    *ret = strtod(digits, NULL);
    *ret_whole = n == whole;
    return p + n;
}

/* Past the mark of a part, if there is one. */
static const char *read_mark(const char *p, struct spelt *spelt)
{
    const struct mark *mark = &marks[spelt->count];
    const char *blank = skip_blanks(p), *after = skip_sign(blank, mark);

    if (after || tolower((unsigned char)*blank) != mark->letter) {
        return skip_blanks(after ? after : p);
    }
    after = skip_blanks(blank + 1);
    if (mark->letter == 's' && *after == '\0') {
        /* a last "s" is south, but in "33d52m30s" it may well be seconds */
        if (!spelt->lettered || blank > p) {
            return blank;
        }
        spelt->ends_in_s = true;
    }
    spelt->lettered = mark->letter == 'm' || spelt->lettered;
    return after;
}

/* Degrees, then perhaps minutes, then perhaps seconds. Only the last may have decimals. */
static const char *read_parts(const char *p, struct spelt *spelt)
{
    bool whole = true;

    while (spelt->count < 3 && isdigit((unsigned char)*p)) {
        if (!whole || !(p = read_number(p, &spelt->parts[spelt->count], &whole))) {
            return NULL;
        }
        p = read_mark(p, spelt);
        spelt->count++;
    }
    return spelt->count > 0 ? p : NULL;
}

/* The letter of a half of the globe, or '\0'; `letters` are the positive and the negative one. */
static char read_half(const char **p, const char *letters)
{
    char letter = (char)toupper((unsigned char)**p);

    if (letter == '\0' || !strchr(letters, letter)) {
        return '\0';
    }
    *p = skip_blanks(*p + 1);
    return letter;
}

static const char *read_sign(const char *p, struct spelt *spelt)
{
    static const char minus[] = "\u2212"; /* as documents print it */

    spelt->sign = 1.0;
    if (*p == '-' || *p == '+') {
        spelt->has_sign = true;
        spelt->sign = *p == '-' ? -1.0 : 1.0;
        return p + 1;
    }
    if (strncmp(p, minus, sizeof minus - 1) == 0) {
        spelt->has_sign = true;
        spelt->sign = -1.0;
        return p + sizeof minus - 1;
    }
    return p;
}

static int parse(const char *text, const char *letters, double limit, double *ret_deg)
{
    struct spelt spelt = {.count = 0};
    const char *p = skip_blanks(text);
    char before = read_half(&p, letters), behind;
    double deg;

    p = read_parts(read_sign(p, &spelt), &spelt);
    if (!p) {
        return -EINVAL;
    }
    behind = read_half(&p, letters);
    if (*p != '\0' || (before && behind) || (spelt.has_sign && (before || behind))) {
        return -EINVAL;
    }
    if (spelt.ends_in_s && letters[1] == 'S' && !spelt.has_sign && !before) {
        return -EINVAL; /* seconds or south: too far apart for a guess */
    }
    if (before == letters[1] || behind == letters[1]) {
        spelt.sign = -1.0;
    }
    deg = spelt.parts[0] + spelt.parts[1] / 60.0 + spelt.parts[2] / 3600.0;
    if (spelt.parts[1] >= 60.0 || spelt.parts[2] >= 60.0 || deg > limit) {
        return -ERANGE;
    }
    *ret_deg = spelt.sign * deg;
    return 0;
}

int angle_parse_longitude(const char *text, double *ret_deg)
{
    return parse(text, "EW", 180.0, ret_deg);
}

int angle_parse_latitude(const char *text, double *ret_deg)
{
    return parse(text, "NS", 90.0, ret_deg);
}
