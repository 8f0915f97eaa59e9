/* Setting one key of a job by the table of keys. */
#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/spelling.h"
#include "base/text.h"
#include "base/tongue.h"
#include "job/job.h"
#include "job/job_keys.h"

/* "meter NAME" in its two parts; the name is "" in "site". */
struct section {
    char kind[JOB_NAME_SIZE], name[JOB_NAME_SIZE];
};

static const char kinds[] =
    "[site], [target], [neighbour NAME], [antenna], [link], [transmitter], [mount], [meter NAME], "
    "[source NAME], [skyline], [coach], [files]";

/* --- what is wrong, in words ---------------------------------------------------------------- */

/* A section or a key in a phrase: its text comes from outside. */
static const char *show(const char *text, char ret[JOB_NAME_SIZE])
{
    text_sanitize(ret, JOB_NAME_SIZE, text, strlen(text));
    return ret;
}

static int refuse_kind(const char *kind, char why[JOB_ERROR_SIZE])
{
    struct spelling spelling;
    char shown[JOB_NAME_SIZE];

    spelling_start(&spelling, kind);
    for (const struct job_key *row = job_keys; row->section; row++) {
        spelling_try(&spelling, row->section);
    }
    if (spelling.nearest) {
        return job_refuse(why, -EINVAL,
                          _("there is no section [%s]: is [%s] meant? allowed are %s"),
                          show(kind, shown), spelling.nearest, kinds);
    }
    return job_refuse(why, -EINVAL, _("there is no section [%s]: allowed are %s"),
                      show(kind, shown), kinds);
}

static int refuse_key(const char *kind, const char *key, const char *value,
                      char why[JOB_ERROR_SIZE])
{
    struct spelling spelling;
    char shown_key[JOB_NAME_SIZE], shown[JOB_NAME_SIZE], keys[JOB_ERROR_SIZE] = "";

    spelling_start(&spelling, key);
    for (const struct job_key *row = job_keys; row->section; row++) {
        if (strcmp(row->section, kind) == 0) {
            spelling_try(&spelling, row->key);
            text_append(keys, sizeof keys, "%s%s", keys[0] ? " " : "", row->key);
        }
    }
    if (spelling.nearest) {
        return job_refuse(why, -EINVAL, _("%s = %s: [%s] has no such key: is %s meant?"),
                          show(key, shown_key), show(value, shown), kind, spelling.nearest);
    }
    return job_refuse(why, -EINVAL, _("%s = %s: [%s] has no such key: allowed are %s"),
                      show(key, shown_key), show(value, shown), kind, keys);
}

/* --- sections -------------------------------------------------------------------------------- */

static bool is_kind(const char *kind)
{
    for (const struct job_key *row = job_keys; row->section; row++) {
        if (strcmp(row->section, kind) == 0) {
            return true;
        }
    }
    return false;
}

static int split_section(const char *text, struct section *section, char why[JOB_ERROR_SIZE])
{
    size_t n = strcspn(text, " ");
    char shown[JOB_NAME_SIZE];
    bool named;

    if (strlen(text) >= JOB_NAME_SIZE) {
        return job_refuse(why, -EINVAL,
                          _("[%s]: the name is too long, allowed are at most 63 bytes"),
                          show(text, shown));
    }
    *section = (struct section){.kind = ""};
    memcpy(section->kind, text, n);
    text_copy(section->name, sizeof section->name, text + n + strspn(text + n, " "));
    if (!is_kind(section->kind)) {
        return refuse_kind(section->kind, why);
    }
    named = strcmp(section->kind, "meter") == 0 || strcmp(section->kind, "source") == 0 ||
            strcmp(section->kind, "neighbour") == 0;
    if (section->name[0] != '\0' && !named) {
        return job_refuse(why, -EINVAL, _("[%s]: this section takes no name"), show(text, shown));
    }
    if (section->name[0] == '\0' && strcmp(section->kind, "neighbour") == 0) {
        return job_refuse(why, -EINVAL, _("[%s]: a name is missing, such as [neighbour Ibex 4]"),
                          show(text, shown));
    }
    return 0;
}

static struct job_satellite *find_neighbour(struct job *job, const char *name)
{
    struct job_satellite *neighbour = job->neighbours;

    for (size_t i = 0; i < job->neighbour_count; i++, neighbour++) {
        if (strcmp(neighbour->name, name) == 0) {
            return neighbour;
        }
    }
    if (job->neighbour_count == JOB_NEIGHBOURS) {
        return NULL;
    }
    job->neighbour_count++;
    *neighbour = (struct job_satellite){.lon_deg = NAN, .level_db = NAN};
    text_copy(neighbour->name, sizeof neighbour->name, name);
    return neighbour;
}

static struct job_meter *find_meter(struct job *job, const char *name)
{
    struct job_meter *meter = job->meters;

    for (size_t i = 0; i < job->meter_count; i++, meter++) {
        if (strcmp(meter->name, name) == 0) {
            return meter;
        }
    }
    if (job->meter_count == JOB_METERS) {
        return NULL;
    }
    job->meter_count++;
    *meter = (struct job_meter){.framing = "8N1",
                                .baud = 9600,
                                .poll_period_s = 1.0,
                                .unit = LEVEL_DB,
                                .noise = NAN,
                                .lag_s = NAN,
                                .lock_delay_s = NAN,
                                .minimum = NAN,
                                .maximum = NAN};
    text_copy(meter->name, sizeof meter->name, name);
    return meter;
}

static struct job_source *find_source(struct job *job, const char *name)
{
    struct job_source *source = job->sources;

    for (size_t i = 0; i < job->source_count; i++, source++) {
        if (strcmp(source->name, name) == 0) {
            return source;
        }
    }
    if (job->source_count == JOB_SOURCES) {
        return NULL;
    }
    job->source_count++;
    *source = (struct job_source){.address = ""};
    text_copy(source->name, sizeof source->name, name);
    return source;
}

/* The memory that the keys of a section go into, made when it is new; NULL = no room. */
static void *find_home(struct job *job, enum job_key_home home, const char *name)
{
    switch (home) {
    case HOME_JOB:
        return job;
    case HOME_NEIGHBOUR:
        return find_neighbour(job, name);
    case HOME_METER:
        return find_meter(job, name);
    case HOME_SOURCE:
        return find_source(job, name);
    }
    return NULL;
}

/* --- the way in ------------------------------------------------------------------------------ */

static int refuse_one_more(char why[JOB_ERROR_SIZE], enum job_key_home home)
{
    switch (home) {
    case HOME_NEIGHBOUR:
        return job_refuse(why, -ENOSPC, _("one neighbour too many: allowed are at most %d"),
                          JOB_NEIGHBOURS);
    case HOME_METER:
        return job_refuse(why, -ENOSPC, _("one meter too many: allowed are at most %d"),
                          JOB_METERS);
    default:
        return job_refuse(why, -ENOSPC, _("one source too many: allowed are at most %d"),
                          JOB_SOURCES);
    }
}

static int add_object(struct job *job, const char *value, char why[JOB_ERROR_SIZE])
{
    if (job->object_count == JOB_SKYLINE_OBJECTS) {
        return job_refuse(why, -ENOSPC,
                          _("one object on the skyline too many: allowed are at most %d"),
                          JOB_SKYLINE_OBJECTS);
    }
    return job_key_parse_object(value, &job->objects[job->object_count++]);
}

static int add_point(struct job *job, const char *value, char why[JOB_ERROR_SIZE])
{
    size_t i = job->skyline_count;
    double azimuth, elevation;

    if (i == JOB_SKYLINE_POINTS) {
        return job_refuse(why, -ENOSPC,
                          _("one point of the skyline too many: allowed are at most %d"),
                          JOB_SKYLINE_POINTS);
    }
    job_key_parse_point(value, &azimuth, &elevation);
    for (; i > 0 && job->skyline[i - 1].azimuth_deg > azimuth; i--) {
        job->skyline[i] = job->skyline[i - 1];
    }
    job->skyline[i].azimuth_deg = azimuth;
    job->skyline[i].elevation_deg = elevation;
    job->skyline_count++;
    return 0;
}

static void note_given(struct job *job, const struct job_key *row)
{
    if (strcmp(row->section, "target") == 0) {
        job->target.given |= strcmp(row->key, "longitude") == 0;
        job->target.polarisation_given |= strcmp(row->key, "polarisation") == 0;
    }
    if (strcmp(row->section, "site") == 0) {
        bool lat = strcmp(row->key, "lat") == 0, lon = strcmp(row->key, "lon") == 0;
        job->site.parts |= (lat ? 1u : 0u) | (lon ? 2u : 0u);
        job->site.given = job->site.parts == 3;
    }
}

static void remember(struct job *job, const char *section, const char *key, const char *value)
{
    size_t i = job->setting_count++;

    text_copy(job->settings[i].section, sizeof job->settings[i].section, section);
    text_copy(job->settings[i].key, sizeof job->settings[i].key, key);
    text_copy(job->settings[i].value, sizeof job->settings[i].value, value);
}

/* Set a value whose row is known: home, value, and what follows from it. */
static int set_row(struct job *job, const struct job_key *row, const char *name, const char *value,
                   char why[JOB_ERROR_SIZE])
{
    char *home = find_home(job, row->home, name);
    int r;

    if (!home) {
        return refuse_one_more(why, row->home);
    }
    r = job_key_set(row, home + row->offset, value, why);
    if (r == 0 && row->type == KEY_POINT) {
        r = add_point(job, value, why);
    }
    if (r == 0 && row->type == KEY_OBJECT) {
        r = add_object(job, value, why);
    }
    if (r == 0) {
        note_given(job, row);
    }
    return r;
}

int job_set(struct job *job, const char *section_text, const char *key, const char *value,
            char why[JOB_ERROR_SIZE])
{
    size_t neighbours = job->neighbour_count, meters = job->meter_count;
    size_t sources = job->source_count;
    char shown[JOB_NAME_SIZE];
    const struct job_key *row;
    struct section section;
    int r = split_section(section_text, &section, why);

    if (r < 0) {
        return r;
    }
    row = job_keys_find(section.kind, key);
    if (!row) {
        return refuse_key(section.kind, key, value, why);
    }
    if (strlen(value) >= JOB_TEXT_SIZE) {
        return job_key_refuse(row, value, why);
    }
    if (!text_is_clean(section_text) || !text_is_clean(value)) {
        /* a job also comes from the log of a stranger, and its words go to the screen */
        return job_refuse(why, -EINVAL,
                          _("%s: control characters and bytes that are no UTF-8 are refused"),
                          show(key, shown));
    }
    if (job->setting_count == JOB_SETTINGS) {
        return job_refuse(why, -ENOSPC, _("one setting too many: allowed are at most %d"),
                          JOB_SETTINGS);
    }
    r = set_row(job, row, section.name, value, why);
    if (r < 0) { /* a section that was begun by this key is gone again */
        job->neighbour_count = neighbours;
        job->meter_count = meters;
        job->source_count = sources;
    } else if (row->type != KEY_KIT) {
        remember(job, section_text, key, value);
    }
    return r;
}
