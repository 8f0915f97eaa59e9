/* The values of a job's keys: reading them, and saying what is allowed. */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/job_keys.h"
#include "sky/angle.h"

/* "dish panel" as "dish or panel". */
static void list_choices(char text[JOB_ALLOWED_SIZE], const char *names)
{
    char name[JOB_NAME_SIZE];

    for (const char *p = names; *p; p += strspn(p, " ")) {
        size_t n = strcspn(p, " ");
        snprintf(name, sizeof name, "%.*s", (int)n, p);
        p += n;
        tongue_list(text, JOB_ALLOWED_SIZE, name, *p == '\0');
    }
}

static void list_units(char text[JOB_ALLOWED_SIZE])
{
    for (int i = 0; i < LEVEL_UNIT_COUNT; i++) {
        tongue_list(text, JOB_ALLOWED_SIZE, level_unit_name((enum level_unit)i),
                    i == LEVEL_UNIT_COUNT - 1);
    }
}

void job_key_allowed(const struct job_key *row, char ret_text[JOB_ALLOWED_SIZE])
{
    ret_text[0] = '\0';
    switch (row->type) {
    case KEY_TEXT:
        text_append(ret_text, JOB_ALLOWED_SIZE, _("a text of %.0f to %.0f bytes"), row->a, row->b);
        break;
    case KEY_NUMBER:
        text_append(ret_text, JOB_ALLOWED_SIZE, _("a number from %.7g to %.7g"), row->a, row->b);
        break;
    case KEY_WHOLE:
        text_append(ret_text, JOB_ALLOWED_SIZE, _("a whole number from %.0f to %.0f"), row->a,
                    row->b);
        break;
    case KEY_CHOICE:
        list_choices(ret_text, row->names);
        break;
    case KEY_SENSE:
        text_copy(ret_text, JOB_ALLOWED_SIZE, _("1 or -1"));
        break;
    case KEY_LATITUDE:
        text_copy(ret_text, JOB_ALLOWED_SIZE,
                  _("a latitude from -90 to 90, such as 46.6 or 46d36mN"));
        break;
    case KEY_LONGITUDE:
        text_copy(ret_text, JOB_ALLOWED_SIZE,
                  _("a longitude from -180 to 180, such as 21.5E or -12"));
        break;
    case KEY_POLARISATION:
        text_copy(ret_text, JOB_ALLOWED_SIZE, _("V, H or circular"));
        break;
    case KEY_UNIT:
        list_units(ret_text);
        break;
    case KEY_FRAMING:
        text_copy(ret_text, JOB_ALLOWED_SIZE,
                  _("7 or 8 bits, N, E or O for parity, 1 or 2 stop bits, such as 8N1"));
        break;
    case KEY_POINT:
        text_copy(ret_text, JOB_ALLOWED_SIZE,
                  _("azimuth from 0 to 360 and elevation from -90 to 90, such as 140 12.5"));
        break;
    case KEY_OBJECT:
        text_copy(ret_text, JOB_ALLOWED_SIZE,
                  _("azimuth from 0 to 360, metres of distance, metres of height above the antenna "
                    "and, if known, of width, such as 140 25 8 4"));
        break;
    case KEY_KIT:
        text_copy(ret_text, JOB_ALLOWED_SIZE, _("the name of a section of the kit file"));
        break;
    }
}

int job_refuse(char why[JOB_ERROR_SIZE], int error, const char *format, ...)
{
    char text[2 * JOB_ERROR_SIZE];
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    text_copy(why, JOB_ERROR_SIZE, text);
    return error;
}

int job_key_refuse(const struct job_key *row, const char *value, char why[JOB_ERROR_SIZE])
{
    char shown[JOB_TEXT_SIZE], allowed[JOB_ALLOWED_SIZE];

    text_sanitize(shown, sizeof shown, value, strlen(value));
    job_key_allowed(row, allowed);
    return job_refuse(why, -EINVAL, _("%s = %s: allowed is %s"), row->key,
                      shown[0] ? shown : _("(nothing)"), allowed);
}

/* --- one reader a type; each 0 or -EINVAL ---------------------------------------------------- */

static int read_text(const struct job_key *row, char *place, const char *value)
{
    if (strlen(value) < (size_t)row->a || strlen(value) > (size_t)row->b) {
        return -EINVAL;
    }
    text_copy(place, (size_t)row->b + 1, value);
    return 0;
}

static int read_number(const struct job_key *row, double *place, const char *value)
{
    double number;

    if (text_parse_double(value, &number) < 0 || number < row->a || number > row->b) {
        return -EINVAL;
    }
    *place = number;
    return 0;
}

static int read_whole(const struct job_key *row, int *place, const char *value)
{
    double number;

    if (read_number(row, &number, value) < 0 || number != floor(number)) {
        return -EINVAL;
    }
    *place = (int)number;
    return 0;
}

static int read_choice(const struct job_key *row, void *place, const char *value)
{
    size_t length = strlen(value);
    int i = 0;

    for (const char *p = row->names; *p; p += strspn(p, " "), i++) {
        size_t n = strcspn(p, " ");
        if (n == length && strncasecmp(p, value, n) == 0) {
            _Static_assert(sizeof(enum job_axis_from) == sizeof i, "enums are as large as int");
            memcpy(place, &i, sizeof i);
            return 0;
        }
        p += n;
    }
    return -EINVAL;
}

static int read_sense(int *place, const char *value)
{
    bool minus = strcmp(value, "-1") == 0;

    if (!minus && strcmp(value, "1") != 0 && strcmp(value, "+1") != 0) {
        return -EINVAL;
    }
    *place = minus ? -1 : 1;
    return 0;
}

static int read_framing(char place[8], const char *value)
{
    char parity = (char)toupper((unsigned char)(value[0] ? value[1] : '\0'));

    if (strlen(value) != 3 || !strchr("78", value[0]) || !strchr("NEO", parity) ||
        !strchr("12", value[2])) {
        return -EINVAL;
    }
    snprintf(place, 8, "%c%c%c", value[0], parity, value[2]);
    return 0;
}

/* Numbers parted by blanks, at most `room`. How many, or -EINVAL. */
static int read_numbers(const char *value, double *ret, int room)
{
    char copy[128], *rest = copy, *word;
    int n = 0;

    if (strlen(value) >= sizeof copy) {
        return -EINVAL;
    }
    text_copy(copy, sizeof copy, value);
    while ((word = strsep(&rest, " \t")) != NULL) {
        if (*word && (n == room || text_parse_double(word, &ret[n++]) < 0)) {
            return -EINVAL;
        }
    }
    return n;
}

int job_key_parse_object(const char *value, struct skyline_object *ret)
{
    double v[4] = {NAN, NAN, NAN, NAN};

    if (read_numbers(value, v, 4) < 3 || !(v[0] >= 0.0 && v[0] <= 360.0) ||
        !(v[1] >= 0.1 && v[1] <= 1e5) || !(fabs(v[2]) <= 1e4) || v[3] < 0.0 || v[3] > 1e4) {
        return -EINVAL;
    }
    *ret = (struct skyline_object){v[0], v[1], v[2], v[3]};
    return 0;
}

int job_key_parse_point(const char *value, double *ret_azimuth_deg, double *ret_elevation_deg)
{
    double v[2];

    if (read_numbers(value, v, 2) != 2 || v[0] < 0.0 || v[0] > 360.0 || v[1] < -90.0 ||
        v[1] > 90.0) {
        return -EINVAL;
    }
    *ret_azimuth_deg = v[0];
    *ret_elevation_deg = v[1];
    return 0;
}

static int read_value(const struct job_key *row, void *place, const char *value)
{
    double azimuth, elevation;
    struct skyline_object object;

    switch (row->type) {
    case KEY_TEXT:
        return read_text(row, place, value);
    case KEY_NUMBER:
        return read_number(row, place, value);
    case KEY_WHOLE:
        return read_whole(row, place, value);
    case KEY_CHOICE:
        return read_choice(row, place, value);
    case KEY_SENSE:
        return read_sense(place, value);
    case KEY_LATITUDE:
        return angle_parse_latitude(value, place);
    case KEY_LONGITUDE:
        return angle_parse_longitude(value, place);
    case KEY_POLARISATION:
        return polarisation_parse(value, place) ? 0 : -EINVAL;
    case KEY_UNIT:
        return level_unit_parse(value, place) ? 0 : -EINVAL;
    case KEY_FRAMING:
        return read_framing(place, value);
    case KEY_POINT:
        return job_key_parse_point(value, &azimuth, &elevation);
    case KEY_OBJECT:
        return job_key_parse_object(value, &object);
    case KEY_KIT:
        return value[0] ? 0 : -EINVAL;
    }
    return -EINVAL;
}

int job_key_set(const struct job_key *row, void *place, const char *value, char why[JOB_ERROR_SIZE])
{
    return read_value(row, place, value) < 0 ? job_key_refuse(row, value, why) : 0;
}
