#include "sky/angle.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

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

/* Past blanks and one mark: a unit letter or a sign of degrees, minutes, seconds. */
static const char *skip_mark(const char *p, char letter, const char *sign, const char *other)
{
    while (isspace((unsigned char)*p)) {
        p++;
    }
    if (strncmp(p, sign, strlen(sign)) == 0) {
        return p + strlen(sign);
    }
    if (strncmp(p, other, strlen(other)) == 0) {
        return p + strlen(other);
    }
    return tolower((unsigned char)*p) == letter ? p + 1 : p;
}

static const char *read_number(const char *p, double *ret)
{
    char digits[32];
    size_t n;

    while (isspace((unsigned char)*p)) {
        p++;
    }
    n = strspn(p, "0123456789.");
    if (n == 0 || n >= sizeof digits || !isdigit((unsigned char)p[0])) {
        return NULL;
    }
    memcpy(digits, p, n);
    digits[n] = '\0';
    if (strchr(digits, '.') != strrchr(digits, '.')) {
        return NULL;
    }
    *ret = strtod(digits, NULL);
    return p + n;
}

/* Degrees, then perhaps minutes and seconds. NULL = none. */
static const char *read_parts(const char *p, double *ret_deg, int *ret_error)
{
    double parts[3] = {0.0, 0.0, 0.0};
    const char *next = read_number(p, &parts[0]);

    if (!next) {
        return NULL;
    }
    p = skip_mark(next, 'd', "\u00b0", "deg");
    if ((next = read_number(p, &parts[1])) != NULL) {
        p = skip_mark(next, 'm', "'", "\u2032");
        if ((next = read_number(p, &parts[2])) != NULL) {
            /* 's' ends seconds only where no other letter follows: it is also south */
            p = next;
            if (tolower((unsigned char)*p) == 's' && p[1] != '\0') {
                p++;
            } else {
                p = skip_mark(p, '"', "\u2033", "''");
            }
        }
    }
    *ret_error = parts[1] >= 60.0 || parts[2] >= 60.0 ? -ERANGE : 0;
    *ret_deg = parts[0] + parts[1] / 60.0 + parts[2] / 3600.0;
    return p;
}

/* `letters`: the positive and the negative one, in upper case. */
static int parse(const char *text, const char *letters, double limit, double *ret_deg)
{
    double sign = 1.0, deg;
    int error;
    const char *p = text;
    char letter;

    while (isspace((unsigned char)*p)) {
        p++;
    }
    if (*p == '-' || *p == '+') {
        sign = *p == '-' ? -1.0 : 1.0;
        p++;
    }
    p = read_parts(p, &deg, &error);
    if (!p) {
        return -EINVAL;
    }
    while (isspace((unsigned char)*p)) {
        p++;
    }
    letter = (char)toupper((unsigned char)*p);
    if (letter != '\0') {
        if (!strchr(letters, letter) || sign < 0.0) {
            return -EINVAL;
        }
        sign = letter == letters[0] ? 1.0 : -1.0;
        p++;
    }
    while (isspace((unsigned char)*p)) {
        p++;
    }
    if (*p != '\0') {
        return -EINVAL;
    }
    if (error < 0 || deg > limit) {
        return -ERANGE;
    }
    *ret_deg = sign * deg;
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
