#include "command/anonymise_job.h"

#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/job_keys.h"
#include "job/procedure_file.h"

/* What becomes of a text. A key that is not listed is dropped, and so will one be that is new. */
static const struct {
    const char *section, *key;
    enum { AS_IT_IS, AS_SATELLITE, AS_CARRIER, AS_DEVICE, AS_ADDRESS } becomes;
} texts[] = {
    {"target", "name", AS_SATELLITE}, {"target", "id", AS_CARRIER},
    {"neighbour", "id", AS_CARRIER},  {"meter", "quantity", AS_IT_IS},
    {"source", "meter", AS_DEVICE},   {"source", "address", AS_ADDRESS},
};

void anonymise_names_init(struct anonymise_names *names)
{
    *names = (struct anonymise_names){
        .satellites.word = "Satellite", .carriers.word = "CARRIER", .devices.word = "device"};
}

double anonymise_longitude(double lon_deg, double east_deg)
{
    double moved = remainder(lon_deg + east_deg, 360.0);

    return round(moved * 1e8) / 1e8;
}

/* A simulated mount is named as one, without the folder of its scenario; where a real one was is
 * nobody's business. */
static void hide_address(const char *value, char ret_value[JOB_TEXT_SIZE])
{
    const char *folder = strrchr(value, '/');

    if (strncmp(value, "sim:", 4) == 0) {
        snprintf(ret_value, JOB_TEXT_SIZE, "sim:%s", folder ? folder + 1 : value + 4);
    } else {
        text_copy(ret_value, JOB_TEXT_SIZE, "keys:");
    }
}

/* True when something is left to be set. */
static bool hide_text(const char *section, const char *key, const char *value,
                      struct anonymise_names *names, char ret_value[JOB_TEXT_SIZE])
{
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        if (strcmp(texts[i].section, section) != 0 || strcmp(texts[i].key, key) != 0) {
            continue;
        }
        switch (texts[i].becomes) {
        case AS_IT_IS:
            text_copy(ret_value, JOB_TEXT_SIZE, value);
            return true;
        case AS_SATELLITE:
            alias_of(&names->satellites, value, ret_value, JOB_TEXT_SIZE);
            return true;
        case AS_CARRIER:
            alias_of(&names->carriers, value, ret_value, JOB_TEXT_SIZE);
            return true;
        case AS_DEVICE:
            alias_of(&names->devices, value, ret_value, JOB_TEXT_SIZE);
            return true;
        case AS_ADDRESS:
            hide_address(value, ret_value);
            return true;
        }
    }
    return false;
}

/* "47.5E" moved: by way of a job that has nothing else in it. */
static void move(const char *value, double east_deg, char ret_value[JOB_TEXT_SIZE])
{
    const struct job_key *row = job_keys_find("target", "longitude");
    char why[JOB_ERROR_SIZE];
    double lon_deg = NAN;

    job_key_set(row, &lon_deg, value, why); /* it was accepted before */
    snprintf(ret_value, JOB_TEXT_SIZE, "%.8f", anonymise_longitude(lon_deg, east_deg));
}

/* The value that a key gets in the copy; false = it is dropped. */
static bool hide(const char *section, const char *key, const char *value, double east_deg,
                 struct anonymise_names *names, char ret_value[JOB_TEXT_SIZE])
{
    const struct job_key *row = job_keys_find(section, key);

    switch (row ? row->type : KEY_KIT) {
    case KEY_TEXT:
        return hide_text(section, key, value, names, ret_value);
    case KEY_LONGITUDE:
        move(value, east_deg, ret_value);
        return true;
    case KEY_KIT:
        return false;
    default:
        text_copy(ret_value, JOB_TEXT_SIZE, value);
        return true;
    }
}

/* "neighbour Ibex 4" as "neighbour satellite 2"; ret_kind is "neighbour". */
static void hide_section(const char *section, struct anonymise_names *names,
                         char ret_kind[JOB_NAME_SIZE], char ret_section[JOB_NAME_SIZE + 16])
{
    size_t n = strcspn(section, " ");
    const char *name = section[n] ? section + n + 1 : "";
    char other[JOB_NAME_SIZE];

    snprintf(ret_kind, JOB_NAME_SIZE, "%.*s", (int)(n < JOB_NAME_SIZE ? n : 0), section);
    alias_of(strcmp(ret_kind, "neighbour") == 0 ? &names->satellites : &names->devices, name, other,
             sizeof other);
    snprintf(ret_section, JOB_NAME_SIZE + 16, "%.15s%s%.62s", ret_kind, other[0] ? " " : "", other);
}

int anonymise_job(const struct job *job, double east_deg, struct anonymise_names *names,
                  struct job *ret_job, char why[JOB_ERROR_SIZE])
{
    job_init(ret_job);
    /* the target is number 1 */
    if (job->target.satellite.name[0]) {
        char first[JOB_NAME_SIZE];
        alias_of(&names->satellites, job->target.satellite.name, first, sizeof first);
    }
    for (size_t i = 0; i < job->setting_count; i++) {
        char kind[JOB_NAME_SIZE], section[JOB_NAME_SIZE + 16], value[JOB_TEXT_SIZE];
        const char *key = job->settings[i].key;

        hide_section(job->settings[i].section, names, kind, section);
        if (hide(kind, key, job->settings[i].value, east_deg, names, value) &&
            job_set(ret_job, section, key, value, why) < 0) {
            return -EINVAL;
        }
    }
    return 0;
}

static bool comes_with_the_program(const struct procedure *procedure)
{
    struct procedure built_in;

    if (procedure_builtin(procedure->name, &built_in) < 0 ||
        built_in.setting_count != procedure->setting_count) {
        return false;
    }
    for (size_t i = 0; i < procedure->setting_count; i++) {
        if (strcmp(built_in.settings[i].section, procedure->settings[i].section) != 0 ||
            strcmp(built_in.settings[i].key, procedure->settings[i].key) != 0 ||
            strcmp(built_in.settings[i].value, procedure->settings[i].value) != 0) {
            return false;
        }
    }
    return true;
}

int anonymise_procedure(const struct procedure *procedure, struct procedure *ret_procedure,
                        char why[JOB_ERROR_SIZE])
{
    if (comes_with_the_program(procedure)) {
        *ret_procedure = *procedure;
        return 0;
    }
    procedure_init(ret_procedure, "own");
    for (size_t i = 0; i < procedure->setting_count; i++) {
        bool text = strcmp(procedure->settings[i].key, "text") == 0;
        if (procedure_set(ret_procedure, procedure->settings[i].section, procedure->settings[i].key,
                          text ? _("(a sentence of its own, dropped)")
                               : procedure->settings[i].value,
                          why, JOB_ERROR_SIZE) < 0) {
            return -EINVAL;
        }
    }
    return 0;
}
