/* Setting one key of a job by the table of keys. */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "job/ini_file.h"
#include "job/job.h"
#include "job/job_keys.h"
#include "sky/angle.h"

/* --- finding where it goes ------------------------------------------------------------------ */

/* "meter NAME" -> section "meter", name "NAME"; "site" -> "site", "". */
static void split_section(const char *text, char *section, size_t section_size, char *name,
                          size_t name_size)
{
    size_t n = strcspn(text, " \t");
    char head[JOB_NAME_SIZE + 16];

    text_copy(head, sizeof head, text);
    if (n < sizeof head) {
        head[n] = '\0';
    }
    text_copy(section, section_size, head);
    text_copy(name, name_size, text + n + strspn(text + n, " \t"));
}

static void meter_init(struct job_meter *meter)
{
    *meter = (struct job_meter){.baud = 9600,
                                .framing = "8N1",
                                .poll_period_s = 1.0,
                                .unit = LEVEL_DB,
                                .noise = NAN,
                                .lag_s = NAN,
                                .lock_delay_s = NAN,
                                .minimum = NAN,
                                .maximum = NAN};
}

/* The array element of a named section, made when it is new; NULL = no room. */
static void *find_element(struct job *job, const char *section, const char *name)
{
    if (strcmp(section, "meter") == 0) {
        for (size_t i = 0; i < job->meter_count; i++) {
            if (strcmp(job->meters[i].name, name) == 0) {
                return &job->meters[i];
            }
        }
        if (job->meter_count == JOB_METERS) {
            return NULL;
        }
        meter_init(&job->meters[job->meter_count]);
        text_copy(job->meters[job->meter_count].name, JOB_NAME_SIZE, name);
        return &job->meters[job->meter_count++];
    }
    if (strcmp(section, "source") == 0) {
        for (size_t i = 0; i < job->source_count; i++) {
            if (strcmp(job->sources[i].name, name) == 0) {
                return &job->sources[i];
            }
        }
        if (job->source_count == JOB_SOURCES) {
            return NULL;
        }
        job->sources[job->source_count] = (struct job_source){.address = ""};
        text_copy(job->sources[job->source_count].name, JOB_NAME_SIZE, name);
        return &job->sources[job->source_count++];
    }
    if (strcmp(section, "neighbour") == 0) {
        for (size_t i = 0; i < job->neighbour_count; i++) {
            if (strcmp(job->neighbours[i].name, name) == 0) {
                return &job->neighbours[i];
            }
        }
        if (job->neighbour_count == JOB_NEIGHBOURS) {
            return NULL;
        }
        job->neighbours[job->neighbour_count] =
            (struct job_satellite){.lon_deg = NAN, .level_db = NAN};
        text_copy(job->neighbours[job->neighbour_count].name, JOB_NAME_SIZE, name);
        return &job->neighbours[job->neighbour_count++];
    }
    return job;
}

static const struct job_key *find_key(const char *section, const char *key)
{
    for (const struct job_key *row = job_keys; row->section; row++) {
        if (strcmp(row->section, section) == 0 && strcmp(row->key, key) == 0) {
            return row;
        }
    }
    return NULL;
}

/* --- what is wrong, in words ---------------------------------------------------------------- */

/* Edit distance, for a hint after a slip of the keys. */
static int distance(const char *a, const char *b)
{
    int row[64];
    size_t n = strlen(b);

    if (n >= sizeof row / sizeof *row) {
        return 99;
    }
    for (size_t j = 0; j <= n; j++) {
        row[j] = (int)j;
    }
    for (size_t i = 1; a[i - 1] != '\0'; i++) {
        int diagonal = row[0];
        row[0] = (int)i;
        for (size_t j = 1; j <= n; j++) {
            int cost = diagonal + (a[i - 1] != b[j - 1]);
            diagonal = row[j];
            row[j] = row[j] + 1 < cost ? row[j] + 1 : cost;
            row[j] = row[j - 1] + 1 < row[j] ? row[j - 1] + 1 : row[j];
        }
    }
    return row[n];
}

static int refuse_key(const char *section, const char *key, char why[JOB_ERROR_SIZE])
{
    const char *nearest = NULL;
    bool section_known = false;
    int best = 4;

    for (const struct job_key *row = job_keys; row->section; row++) {
        if (strcmp(row->section, section) == 0) {
            int d = distance(key, row->key);
            section_known = true;
            if (d < best) {
                best = d;
                nearest = row->key;
            }
        }
    }
    why[0] = '\0';
    if (!section_known) {
        text_append(why, JOB_ERROR_SIZE,
                    "[%s]: no such section; allowed are site, target, neighbour NAME, antenna, "
                    "mount, meter NAME, source NAME, skyline, coach, files",
                    section);
    } else if (nearest) {
        text_append(why, JOB_ERROR_SIZE, "[%s] has no key %s; is %s meant?", section, key, nearest);
    } else {
        text_append(why, JOB_ERROR_SIZE, "[%s] has no key %s; allowed are", section, key);
        for (const struct job_key *row = job_keys; row->section; row++) {
            if (strcmp(row->section, section) == 0) {
                text_append(why, JOB_ERROR_SIZE, " %s", row->key);
            }
        }
    }
    return -EINVAL;
}

static int refuse_value(const char *key, const char *value, const char *allowed,
                        char why[JOB_ERROR_SIZE])
{
    why[0] = '\0';
    text_append(why, JOB_ERROR_SIZE, "%s = %s: allowed is %s", key, value[0] ? value : "(nothing)",
                allowed);
    return -EINVAL;
}

/* --- one setter a type ---------------------------------------------------------------------- */

static int set_text(const struct job_key *row, char *place, const char *value,
                    char why[JOB_ERROR_SIZE])
{
    if (strlen(value) >= (size_t)row->a) {
        char allowed[48];
        snprintf(allowed, sizeof allowed, "a text of at most %d bytes", (int)row->a - 1);
        return refuse_value(row->key, value, allowed, why);
    }
    text_copy(place, (size_t)row->a, value);
    return 0;
}

static int parse_number(const struct job_key *row, const char *value, double *ret,
                        char why[JOB_ERROR_SIZE])
{
    double number;

    if (text_parse_double(value, &number) < 0 || number < row->a || number > row->b) {
        char allowed[80];
        snprintf(allowed, sizeof allowed, "a number from %g to %g", row->a, row->b);
        return refuse_value(row->key, value, allowed, why);
    }
    *ret = number;
    return 0;
}

/* Index of a word among names parted by blanks, or -1. */
static int find_choice(const char *names, const char *value)
{
    size_t length = strlen(value);
    int i = 0;

    for (const char *p = names; *p; i++) {
        size_t n = strcspn(p, " ");
        if (n == length && strncasecmp(p, value, n) == 0) {
            return i;
        }
        p += n + (p[n] == ' ');
    }
    return -1;
}

static int set_choice(const struct job_key *row, void *place, const char *value,
                      char why[JOB_ERROR_SIZE])
{
    int choice = find_choice(row->names, value);

    if (choice < 0) {
        char allowed[120] = "one of ";
        text_append(allowed, sizeof allowed, "%s", row->names);
        return refuse_value(row->key, value, allowed, why);
    }
    if (row->type == KEY_INTEGER) {
        *(int *)place = atoi(row->names + (choice == 0 ? 0 : strcspn(row->names, " ") + 1));
    } else {
        /* every enum of the job counts from 0 in the order of its names */
        memcpy(place, &choice, sizeof choice);
    }
    return 0;
}

static int set_integer(const struct job_key *row, int *place, const char *value,
                       char why[JOB_ERROR_SIZE])
{
    double number;
    char allowed[80];

    if (row->names) {
        return find_choice(row->names, value) < 0 && strcmp(value, "1") == 0
                   ? (*place = 1, 0)
                   : set_choice(row, place, value, why);
    }
    if (parse_number(row, value, &number, why) < 0 || number != floor(number)) {
        snprintf(allowed, sizeof allowed, "a whole number from %.0f to %.0f", row->a, row->b);
        return refuse_value(row->key, value, allowed, why);
    }
    *place = (int)number;
    return 0;
}

static int set_framing(char place[8], const char *value, char why[JOB_ERROR_SIZE])
{
    if (strlen(value) != 3 || !strchr("78", value[0]) ||
        !strchr("NEO", toupper((unsigned char)value[1])) || !strchr("12", value[2])) {
        return refuse_value("framing", value, "7 or 8, N, E or O, 1 or 2, such as 8N1", why);
    }
    snprintf(place, 8, "%c%c%c", value[0], toupper((unsigned char)value[1]), value[2]);
    return 0;
}

static int add_point(struct job *job, const char *value, char why[JOB_ERROR_SIZE])
{
    double azimuth, elevation;
    size_t i = job->skyline_count;
    char extra;

    if (sscanf(value, "%lf %lf %c", &azimuth, &elevation, &extra) != 2 || !(azimuth >= 0.0) ||
        azimuth > 360.0 || !(elevation >= -90.0) || elevation > 90.0) {
        return refuse_value("point", value,
                            "azimuth from 0 to 360 and elevation from -90 to 90, such as 140 12.5",
                            why);
    }
    if (i == JOB_SKYLINE_POINTS) {
        return refuse_value("point", value, "no more than 64 points", why);
    }
    while (i > 0 && job->skyline[i - 1].azimuth_deg > azimuth) {
        job->skyline[i] = job->skyline[i - 1];
        i--;
    }
    job->skyline[i].azimuth_deg = azimuth;
    job->skyline[i].elevation_deg = elevation;
    job->skyline_count++;
    return 0;
}

static int set_value(struct job *job, const struct job_key *row, void *element, const char *value,
                     char why[JOB_ERROR_SIZE])
{
    char *place = (char *)element + row->offset;

    switch (row->type) {
    case KEY_TEXT:
        return set_text(row, place, value, why);
    case KEY_NUMBER:
        return parse_number(row, value, (double *)(void *)place, why);
    case KEY_INTEGER:
        return set_integer(row, (int *)(void *)place, value, why);
    case KEY_CHOICE:
        return set_choice(row, place, value, why);
    case KEY_LATITUDE:
        return angle_parse_latitude(value, (double *)(void *)place) == 0
                   ? 0
                   : refuse_value(row->key, value,
                                  "a latitude from -90 to 90, such as 46.6 or 46d36mN", why);
    case KEY_LONGITUDE:
        return angle_parse_longitude(value, (double *)(void *)place) == 0
                   ? 0
                   : refuse_value(row->key, value,
                                  "a longitude from -180 to 180, such as 21.5E or -12", why);
    case KEY_POLARISATION:
        return polarisation_parse(value, (enum polarisation *)(void *)place)
                   ? 0
                   : refuse_value(row->key, value, "V, H or circular", why);
    case KEY_UNIT:
        return level_unit_parse(value, (enum level_unit *)(void *)place)
                   ? 0
                   : refuse_value(row->key, value, "one of dB dBm dBuV percent V raw", why);
    case KEY_FRAMING:
        return set_framing(place, value, why);
    case KEY_POINT:
        return add_point(job, value, why);
    case KEY_KIT:
        return 0;
    }
    return -EINVAL;
}

/* --- the way in ----------------------------------------------------------------------------- */

static int remember(struct job *job, const char *section, const char *key, const char *value,
                    char why[JOB_ERROR_SIZE])
{
    size_t i = job->setting_count;

    if (i == JOB_SETTINGS) {
        text_copy(why, JOB_ERROR_SIZE, "too many settings");
        return -ENOSPC;
    }
    text_copy(job->settings[i].section, sizeof job->settings[i].section, section);
    text_copy(job->settings[i].key, sizeof job->settings[i].key, key);
    text_copy(job->settings[i].value, sizeof job->settings[i].value, value);
    job->setting_count++;
    return 0;
}

static void note_given(struct job *job, const char *section, const char *key)
{
    if (strcmp(section, "target") == 0 && strcmp(key, "longitude") == 0) {
        job->target.given = true;
    }
    if (strcmp(section, "site") == 0) {
        bool lat = strcmp(key, "lat") == 0, lon = strcmp(key, "lon") == 0;
        job->site.parts |= (lat ? 1 : 0) | (lon ? 2 : 0);
        job->site.given = job->site.parts == 3;
    }
    if (job->target.satellite.name[0] == '\0') {
        text_copy(job->target.satellite.name, JOB_NAME_SIZE, "the target");
    }
}

static bool is_named(const char *section)
{
    return strcmp(section, "meter") == 0 || strcmp(section, "source") == 0 ||
           strcmp(section, "neighbour") == 0;
}

int job_set(struct job *job, const char *section_text, const char *key, const char *value,
            char why[JOB_ERROR_SIZE])
{
    char section[JOB_NAME_SIZE + 16], name[JOB_NAME_SIZE];
    const struct job_key *row;
    void *element;
    int r;

    if (strlen(section_text) >= JOB_NAME_SIZE || strlen(value) >= JOB_TEXT_SIZE) {
        text_copy(why, JOB_ERROR_SIZE, "");
        text_append(why, JOB_ERROR_SIZE, "[%.60s] %.30s: the name or value is too long",
                    section_text, key);
        return -EINVAL;
    }
    split_section(section_text, section, sizeof section, name, sizeof name);
    row = find_key(section, key);
    if (!row) {
        return refuse_key(section, key, why);
    }
    if (name[0] != '\0' && !is_named(section)) {
        text_copy(why, JOB_ERROR_SIZE, "");
        text_append(why, JOB_ERROR_SIZE, "[%s] takes no name", section);
        return -EINVAL;
    }
    element = find_element(job, section, name);
    if (!element) {
        text_copy(why, JOB_ERROR_SIZE, "");
        text_append(why, JOB_ERROR_SIZE, "[%s]: one too many", section_text);
        return -ENOSPC;
    }
    r = set_value(job, row, element, value, why);
    if (r == 0 && row->type != KEY_KIT) {
        note_given(job, section, key);
        r = remember(job, section_text, key, value, why);
    }
    return r;
}
