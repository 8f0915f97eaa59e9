#include "sky/elements.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/angle.h"
#include "sky/elements_omm.h"
#include "sky/sidereal.h"
#include "sky/utc.h"

enum { LINE_SIZE = 256, PAIR_LENGTH = 69 };

/* The text as far as it has been read. */
struct reading {
    const char *next;
    int line;             /* number of the one in `text`, from 1 */
    char text[LINE_SIZE]; /* without blanks at its end */
    char *why;
};

static int fail(struct reading *reading, const char *what)
{
    reading->why[0] = '\0';
    text_append(reading->why, ELEMENTS_WHY, _("line %d: %s"), reading->line, what);
    return -EINVAL;
}

/* 1 = there is one; 0 = the end; -EINVAL too long. Empty lines and the CR of CRLF fall away. */
static int next_line(struct reading *reading)
{
    while (*reading->next) {
        size_t n = strcspn(reading->next, "\n");
        const char *from = reading->next;

        reading->next += n + (from[n] == '\n');
        reading->line++;
        while (n > 0 && (text_is_blank(from[n - 1]) || from[n - 1] == '\r')) {
            n--;
        }
        if (n >= LINE_SIZE) {
            return fail(reading, _("too long for a line of elements"));
        }
        memcpy(reading->text, from, n);
        reading->text[n] = '\0';
        if (*text_skip_blanks(reading->text)) {
            return 1;
        }
    }
    return 0;
}

/* --- choosing ------------------------------------------------------------------------------- */

static bool is_wanted(const char *wanted, const struct elements *elements)
{
    if (strcasecmp(wanted, elements->name) == 0) {
        return true;
    }
    wanted += strspn(wanted, "0");
    return *wanted && strcasecmp(wanted, elements->catalogue) == 0;
}

static bool is_same(const struct elements *a, const struct elements *b)
{
    return strcmp(a->catalogue, b->catalogue) == 0 &&
           (*a->catalogue || strcmp(a->name, b->name) == 0);
}

void elements_choose(struct elements_choice *choice, const struct elements *elements)
{
    bool any = !choice->wanted || !*choice->wanted;

    choice->sets++;
    if (!any && !is_wanted(choice->wanted, elements)) {
        return;
    }
    if (choice->matches > 0 && !is_same(&choice->best, elements)) {
        choice->several = true;
    }
    if (choice->matches == 0 || elements->epoch_s > choice->best.epoch_s) {
        choice->best = *elements;
    }
    choice->matches++;
}

int elements_chosen(const struct elements_choice *choice, struct elements *ret,
                    char why[ELEMENTS_WHY])
{
    char shown[ELEMENTS_NAME];

    if (choice->sets == 0) {
        snprintf(why, ELEMENTS_WHY, _("no elements in it: neither two-line elements nor an OMM"));
        return -ENOENT;
    }
    if (choice->matches == 0) {
        text_sanitize(shown, sizeof shown, choice->wanted, strlen(choice->wanted));
        snprintf(why, ELEMENTS_WHY, _("no elements of \"%s\" among %zu sets"), shown, choice->sets);
        return -ENOENT;
    }
    if (choice->several) {
        snprintf(why, ELEMENTS_WHY,
                 _("elements of several satellites, %zu sets: say which by a catalogue number or a "
                   "name that only one has"),
                 choice->matches);
        return -ENOTUNIQ;
    }
    *ret = choice->best;
    return 0;
}

/* --- two-line elements ---------------------------------------------------------------------- */

/*
 * 1 99001U 26001A   26329.50000000 -.00000200  00000+0  00000+0 0  9996
 * 2 99001   3.1000  80.2000 0004000 120.0000 240.0000  1.00271000  1235
 *
 * Columns count from 1, as the report has them.
 */
struct field {
    const char *name;
    int line, first, last;
    double low, high;
    size_t offset;
};

static const struct field fields[] = {
    {N_("the inclination"), 2, 9, 16, 0.0, 180.0, offsetof(struct elements, inclination_deg)},
    {N_("the ascending node"), 2, 18, 25, 0.0, 360.0, offsetof(struct elements, node_deg)},
    {N_("the argument of perigee"), 2, 35, 42, 0.0, 360.0, offsetof(struct elements, perigee_deg)},
    {N_("the mean anomaly"), 2, 44, 51, 0.0, 360.0, offsetof(struct elements, anomaly_deg)},
    {N_("the mean motion"), 2, 53, 63, 1e-3, 20.0, offsetof(struct elements, mean_motion_rev_day)},
};

/* Columns first to last without the blanks around them. */
static void cut(const char *line, int first, int last, char ret[LINE_SIZE])
{
    const char *from = line + first - 1;
    size_t n = (size_t)(last - first + 1);

    while (n > 0 && text_is_blank(*from)) {
        from++;
        n--;
    }
    while (n > 0 && text_is_blank(from[n - 1])) {
        n--;
    }
    memcpy(ret, from, n);
    ret[n] = '\0';
}

/* A plain decimal number: the format knows no exponents but its own. */
static bool is_decimal(const char *text)
{
    return *text && text[strspn(text, "0123456789.+-")] == '\0';
}

/* All digits count as themselves and a minus as 1, modulo 10. */
static int checksum(const char *line)
{
    int sum = 0;

    for (int i = 0; i < PAIR_LENGTH - 1; i++) {
        sum += line[i] >= '0' && line[i] <= '9' ? line[i] - '0' : line[i] == '-';
    }
    return sum % 10;
}

static int check_line(struct reading *reading, char number)
{
    const char *line = reading->text;
    char what[ELEMENTS_WHY];
    int sum;

    if (strlen(line) != PAIR_LENGTH) {
        snprintf(what, sizeof what, _("line %c of a pair has 69 characters, this one %zu"), number,
                 strlen(line));
        return fail(reading, what);
    }
    sum = checksum(line);
    if (line[PAIR_LENGTH - 1] != '0' + sum) {
        snprintf(what, sizeof what, _("the checksum at its end should be %d: a character is wrong"),
                 sum);
        return fail(reading, what);
    }
    return 0;
}

/* "26329.50000000": year in two digits, from 1957 on, and day of the year, 1.0 = its midnight. */
static int take_epoch(struct reading *reading, double *ret_s)
{
    struct utc_date start = {.month = 1, .day = 1};
    char text[LINE_SIZE];
    double day, year;

    cut(reading->text, 19, 20, text);
    if (!is_decimal(text) || text_parse_double(text, &year) < 0 || year < 0.0) {
        return fail(reading, _("the epoch's year, columns 19 and 20, is no number"));
    }
    cut(reading->text, 21, 32, text);
    if (!is_decimal(text) || text_parse_double(text, &day) < 0 || day < 1.0 || day >= 367.0) {
        return fail(reading, _("the epoch's day, columns 21 to 32, is not within 1 and 367"));
    }
    start.year = (int)year + (year < 57.0 ? 2000 : 1900);
    utc_join(&start, ret_s);
    *ret_s += (day - 1.0) * UTC_DAY_S;
    return 0;
}

/* " 12345-4" is 0.12345e-4. */
static int take_drag(struct reading *reading, double *ret)
{
    char text[LINE_SIZE], number[LINE_SIZE];
    const char *digits = text;
    int used;

    cut(reading->text, 54, 61, text);
    used = *digits == '-' || *digits == '+';
    digits += used;
    used = (int)strspn(digits, "0123456789");
    snprintf(number, sizeof number, "%s0.%.*se%s", *text == '-' ? "-" : "", used, digits,
             digits + used);
    if (used == 0 || (digits[used] != '-' && digits[used] != '+') || strlen(digits + used) != 2 ||
        text_parse_double(number, ret) < 0) {
        return fail(reading, _("B*, columns 54 to 61, is not written as 12345-4"));
    }
    return 0;
}

static int take_first(struct reading *reading, struct elements *elements)
{
    char text[LINE_SIZE];
    int r = check_line(reading, '1');

    if (r < 0) {
        return r;
    }
    cut(reading->text, 3, 7, text);
    text_sanitize(elements->catalogue, sizeof elements->catalogue, text + strspn(text, "0"),
                  strlen(text + strspn(text, "0")));
    cut(reading->text, 10, 17, text);
    text_sanitize(elements->designator, sizeof elements->designator, text, strlen(text));
    if (!strchr(" 02", reading->text[62])) {
        return fail(reading, _("column 63 says that it was made for another theory than SGP4"));
    }
    r = take_epoch(reading, &elements->epoch_s);
    return r < 0 ? r : take_drag(reading, &elements->drag);
}

static int take_number(struct reading *reading, const struct field *field, double *ret)
{
    char text[LINE_SIZE], what[ELEMENTS_WHY];
    double value;

    cut(reading->text, field->first, field->last, text);
    if (!is_decimal(text) || text_parse_double(text, &value) < 0 || value < field->low ||
        value > field->high) {
        snprintf(what, sizeof what, _("%s, columns %d to %d, is no number from %g to %g"),
                 _(field->name), field->first, field->last, field->low, field->high);
        return fail(reading, what);
    }
    *ret = value;
    return 0;
}

static int take_second(struct reading *reading, struct elements *elements)
{
    char text[LINE_SIZE], number[LINE_SIZE];
    int r = check_line(reading, '2');

    if (r < 0) {
        return r;
    }
    cut(reading->text, 3, 7, text);
    if (strcmp(text + strspn(text, "0"), elements->catalogue) != 0) {
        return fail(reading, _("another catalogue number than in the line before"));
    }
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
        r = take_number(reading, &fields[i],
                        (double *)(void *)((char *)elements + fields[i].offset));
        if (r < 0) {
            return r;
        }
    }
    cut(reading->text, 27, 33, text); /* digits behind the decimal point */
    snprintf(number, sizeof number, "0.%.7s", text);
    if (text[strspn(text, "0123456789")] ||
        text_parse_double(number, &elements->eccentricity) < 0) {
        return fail(reading, _("the eccentricity, columns 27 to 33, is not all digits"));
    }
    return 0;
}

static void take_name(const char *line, struct elements *elements)
{
    const char *name = text_skip_blanks(line);

    name = name[0] == '0' && text_is_blank(name[1]) ? text_skip_blanks(name + 1) : name;
    text_sanitize(elements->name, sizeof elements->name, name, strlen(name));
}

static int read_pairs(struct reading *reading, struct elements_choice *choice)
{
    struct elements elements = {.name = ""};
    int r;

    while ((r = next_line(reading)) > 0) {
        if (strncmp(reading->text, "1 ", 2) != 0) {
            if (strncmp(reading->text, "2 ", 2) == 0) {
                return fail(reading, _("line 2 of a pair without a line 1 before it"));
            }
            take_name(reading->text, &elements);
            continue;
        }
        r = take_first(reading, &elements);
        if (r < 0) {
            return r;
        }
        r = next_line(reading);
        if (r == 0 || (r > 0 && strncmp(reading->text, "2 ", 2) != 0)) {
            return fail(reading, _("line 2 of a pair should stand here"));
        }
        r = r < 0 ? r : take_second(reading, &elements);
        if (r < 0) {
            return r;
        }
        elements_choose(choice, &elements);
        elements = (struct elements){.name = ""};
    }
    return r;
}

/* --- OMM in KVN ----------------------------------------------------------------------------- */

static const char omm_first_key[] = "CCSDS_OMM_VERS";

static int finish_message(struct reading *reading, const struct elements_omm *omm,
                          struct elements_choice *choice)
{
    struct elements elements;
    char what[ELEMENTS_WHY];

    if (elements_omm_finish(omm, &elements, what) < 0) {
        return fail(reading, what);
    }
    elements_choose(choice, &elements);
    return 0;
}

/* "KEY = VALUE [unit]"; a comment has no equals sign that counts. */
static int read_messages(struct reading *reading, struct elements_choice *choice)
{
    struct elements_omm omm;
    bool begun = false;
    int r;

    elements_omm_start(&omm);
    while ((r = next_line(reading)) > 0) {
        char *key = reading->text + strspn(reading->text, " \t"), *equals = strchr(key, '=');
        char what[ELEMENTS_WHY];
        size_t n;

        if (strncmp(key, "COMMENT", 7) == 0) {
            continue;
        }
        if (!equals) {
            return fail(reading, _("neither KEY = VALUE nor a COMMENT"));
        }
        for (n = (size_t)(equals - key); n > 0 && text_is_blank(key[n - 1]); n--) {
        }
        key[n] = '\0';
        if (strcmp(key, omm_first_key) == 0) {
            if (begun && (r = finish_message(reading, &omm, choice)) < 0) {
                return r;
            }
            elements_omm_start(&omm);
            begun = true;
        } else if (elements_omm_set(&omm, key, equals + 1, what) < 0) {
            return fail(reading, what);
        }
    }
    return r < 0 ? r : finish_message(reading, &omm, choice);
}

int elements_parse(const char *text, const char *wanted, struct elements *ret,
                   char why[ELEMENTS_WHY])
{
    struct reading reading = {.next = text, .why = why};
    struct elements_choice choice = {.wanted = wanted};
    int r;

    if (strstr(text, omm_first_key)) {
        r = read_messages(&reading, &choice);
    } else {
        r = read_pairs(&reading, &choice);
    }
    return r < 0 ? r : elements_chosen(&choice, ret, why);
}

/* --- standing nearly still ------------------------------------------------------------------ */

/*
 * The node goes back and the perigee forward by the earth's flattening, J2 = 1.082616e-3
 * (Spacetrack Report No. 3, section 6, first order): together with the mean motion they make the
 * turn that is compared with the earth's.
 */
int elements_figure_eight(const struct elements *elements, struct figure_eight *ret)
{
    static const double most_deg_day = 5.0, earth_deg_day = 360.98564737, j2 = 1.082616e-3;
    double flat = 1.5 * j2 * pow(look_earth_wgs84.radius_km / look_earth_wgs84.orbit_km, 2.0);
    double tilt = elements->inclination_deg * ANGLE_RAD_PER_DEG;
    double turn_deg_day = 360.0 * elements->mean_motion_rev_day *
                          (1.0 + flat * (2.0 - 2.5 * sin(tilt) * sin(tilt) - cos(tilt)));
    double drift_deg_day = turn_deg_day - earth_deg_day;

    if (!(fabs(drift_deg_day) <= most_deg_day)) {
        return -EDOM;
    }
    *ret = (struct figure_eight){
        .lon_deg =
            angle_turn_deg(sidereal_greenwich_rad(elements->epoch_s) / ANGLE_RAD_PER_DEG,
                           elements->node_deg + elements->perigee_deg + elements->anomaly_deg),
        .drift_deg_day = drift_deg_day,
        .epoch_s = elements->epoch_s,
        .inclination_deg = elements->inclination_deg,
        .node_deg = elements->node_deg,
        .eccentricity = elements->eccentricity,
        .perigee_deg = elements->perigee_deg,
    };
    return 0;
}
