#include "source/nmea.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/text.h"

enum {
    BODY_SIZE =
        256, /* the standard allows 82 characters; transducer lists exceed it in the field */
    FIELDS = 64,
    ADDRESS_LENGTH = 5, /* two letters of the talker, three of the sentence */
};

struct fields {
    char body[BODY_SIZE]; /* the text between $ and *, commas replaced by NULs */
    const char *at[FIELDS];
    size_t count;
};

bool nmea_is_sentence(const char *line)
{
    return line[0] == '$' || line[0] == '!';
}

static int hex_value(char c)
{
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    c = (char)toupper((unsigned char)c);
    return c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
}

/* The checksum is the XOR of all characters between $ and *, neither included. */
static int check_sum(const char *line, const char *star)
{
    unsigned sum = 0;

    for (const char *p = line + 1; p < star; p++) {
        sum ^= (unsigned char)*p;
    }
    if (hex_value(star[1]) < 0 || hex_value(star[2]) < 0 ||
        (unsigned)(hex_value(star[1]) << 4 | hex_value(star[2])) != sum) {
        return -EBADMSG;
    }
    return star[3 + strspn(star + 3, " \t")] == '\0' ? 0 : -EBADMSG;
}

static int split(const char *line, struct fields *fields)
{
    const char *star = strchr(line, '*');
    size_t length;

    if (!star || check_sum(line, star) < 0) {
        return -EBADMSG;
    }
    length = (size_t)(star - line) - 1;
    if (length >= sizeof fields->body) {
        return -EINVAL;
    }
    memcpy(fields->body, line + 1, length);
    fields->body[length] = '\0';
    fields->at[0] = fields->body;
    fields->count = 1;
    for (char *p = fields->body; *p; p++) {
        if (*p == ',') {
            if (fields->count == FIELDS) {
                return -EINVAL;
            }
            *p = '\0';
            fields->at[fields->count++] = p + 1;
        }
    }
    return 0;
}

/* A field's text; one that is not there is empty. */
static const char *field(const struct fields *fields, size_t i)
{
    return i < fields->count ? fields->at[i] : "";
}

/* A number, NaN where the field is empty. */
static int number(const struct fields *fields, size_t i, double *ret_value)
{
    if (field(fields, i)[0] == '\0') {
        *ret_value = NAN;
        return 0;
    }
    return text_parse_double(field(fields, i), ret_value);
}

/* A heading with the letter that says from which north. */
static int heading(const struct fields *fields, const char *letter, double *ret_deg)
{
    double deg;

    if (number(fields, 1, &deg) < 0) {
        return -EINVAL;
    }
    if (isnan(deg)) {
        return 0;
    }
    if (strcmp(field(fields, 2), letter) != 0) {
        return -EINVAL;
    }
    if (deg < 0.0 || deg > 360.0) {
        return -ERANGE;
    }
    *ret_deg = fmod(deg, 360.0);
    return 0;
}

/* An angle whose letter says east (positive) or west; NaN where it is empty. */
static int east_or_west(const struct fields *fields, size_t i, double *ret_deg)
{
    double deg;

    if (number(fields, i, &deg) < 0) {
        return -EINVAL;
    }
    if (isnan(deg)) {
        *ret_deg = NAN;
        return 0;
    }
    if (fabs(deg) > 180.0) {
        return -ERANGE;
    }
    if (strcmp(field(fields, i + 1), "E") == 0) {
        *ret_deg = deg;
    } else if (strcmp(field(fields, i + 1), "W") == 0) {
        *ret_deg = -deg;
    } else {
        return -EINVAL;
    }
    return 0;
}

static double wrap(double deg)
{
    deg = fmod(deg, 360.0);
    return deg < 0.0 ? deg + 360.0 : deg;
}

/* $HCHDG,98.3,0.0,E,12.6,W: 1 sensor, 2-3 deviation, 4-5 variation.
 * Magnetic heading = sensor + deviation east; true = magnetic + variation east. */
static int parse_hdg(const struct fields *fields, struct nmea_attitude *attitude)
{
    double sensor, deviation, variation;
    int r;

    if (number(fields, 1, &sensor) < 0) {
        return -EINVAL;
    }
    r = east_or_west(fields, 2, &deviation);
    if (r == 0) {
        r = east_or_west(fields, 4, &variation);
    }
    if (r < 0 || isnan(sensor)) {
        return r;
    }
    if (sensor < 0.0 || sensor > 360.0) {
        return -ERANGE;
    }
    attitude->magnetic_deg = wrap(sensor + (isnan(deviation) ? 0.0 : deviation));
    attitude->true_deg = wrap(attitude->magnetic_deg + variation);
    return 0;
}

/* $YXXDR,A,2.5,D,PTCH,A,-1.3,D,ROLL: groups of type, value, unit, name. */
static int parse_xdr(const struct fields *fields, struct nmea_attitude *attitude)
{
    if ((fields->count - 1) % 4 != 0) {
        return -EINVAL;
    }
    for (size_t i = 1; i < fields->count; i += 4) {
        const char *name = field(fields, i + 3);
        bool roll = strcmp(name, "ROLL") == 0;
        bool pitch = strcmp(name, "PTCH") == 0 || strcmp(name, "PITCH") == 0;
        double deg;

        if (!(roll || pitch) || strcmp(field(fields, i), "A") != 0 ||
            strcmp(field(fields, i + 2), "D") != 0) {
            continue;
        }
        if (number(fields, i + 1, &deg) < 0) {
            return -EINVAL;
        }
        if (fabs(deg) > 180.0) {
            return -ERANGE;
        }
        *(roll ? &attitude->roll_deg : &attitude->pitch_deg) = deg;
    }
    return 0;
}

int nmea_parse(const char *line, struct nmea_attitude *ret_attitude)
{
    struct nmea_attitude attitude = {NAN, NAN, NAN, NAN};
    struct fields fields;
    const char *sentence;
    int r;

    if (!nmea_is_sentence(line)) {
        return -EINVAL;
    }
    r = split(line, &fields);
    if (r < 0) {
        return r;
    }
    if (line[0] != '$' || strlen(fields.at[0]) != ADDRESS_LENGTH) {
        return 0;
    }
    sentence = fields.at[0] + 2;
    if (strcmp(sentence, "HDT") == 0) {
        r = heading(&fields, "T", &attitude.true_deg);
    } else if (strcmp(sentence, "HDM") == 0) {
        r = heading(&fields, "M", &attitude.magnetic_deg);
    } else if (strcmp(sentence, "HDG") == 0) {
        r = parse_hdg(&fields, &attitude);
    } else if (strcmp(sentence, "XDR") == 0) {
        r = parse_xdr(&fields, &attitude);
    }
    if (r < 0) {
        return r;
    }
    if (isnan(attitude.true_deg) && isnan(attitude.magnetic_deg) && isnan(attitude.pitch_deg) &&
        isnan(attitude.roll_deg)) {
        return 0;
    }
    *ret_attitude = attitude;
    return 1;
}

int nmea_to_angles(const struct nmea_attitude *attitude, const char *from,
                   struct record_angles *ret_angles)
{
    bool magnetic = !isnan(attitude->magnetic_deg);

    if (fabs(attitude->pitch_deg) > 90.0) {
        return -ERANGE;
    }
    *ret_angles = (struct record_angles){.magnetic = magnetic};
    ret_angles->deg[AXIS_AZIMUTH] = magnetic ? attitude->magnetic_deg : attitude->true_deg;
    ret_angles->deg[AXIS_ELEVATION] = attitude->pitch_deg;
    ret_angles->deg[AXIS_SKEW] = attitude->roll_deg;
    text_copy(ret_angles->from, sizeof ret_angles->from, from);
    return 0;
}
