#include "job/job.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "job/job_keys.h"
#include "radio/beam.h"

/* Half-power width in wavelengths over size: a tapered dish 70 (common practice, no source), a
 * uniformly fed rectangle 50.8 (Balanis, Antenna Theory, from memory: 0.886 rad). */
static const double dish_factor = 70.0;
static const double panel_factor = 50.8;

void job_init(struct job *job)
{
    *job = (struct job){.site.place.height_m = 0.0};
    job->target.expected_level = NAN;
    job->target.satellite.level_db = NAN;
    job->antenna.width_m = job->antenna.height_m = NAN;
    job->antenna.frequency_ghz = NAN;
    job->antenna.beam_width_deg = job->antenna.beam_height_deg = NAN;
    job->antenna.cross_polar_db = NAN;
    for (int i = 0; i < AXIS_COUNT; i++) {
        job->mount.axes[i] = (struct job_axis){.from = JOB_FROM_SCALE,
                                               .turn_deg = NAN,
                                               .scale_sense = 1,
                                               .sensor_error_deg = NAN,
                                               .backlash_deg = NAN};
    }
    job->coach.compass_error_deg = 8.0;
}

const struct job_meter *job_find_meter(const struct job *job, const char *name)
{
    for (size_t i = 0; i < job->meter_count; i++) {
        if (strcmp(job->meters[i].name, name) == 0) {
            return &job->meters[i];
        }
    }
    return job->meter_count > 0 && name[0] == '\0' ? &job->meters[0] : NULL;
}

static double factor_of(const struct job *job)
{
    return job->antenna.kind == JOB_PANEL ? panel_factor : dish_factor;
}

double job_beam_width_deg(const struct job *job)
{
    if (isfinite(job->antenna.beam_width_deg)) {
        return job->antenna.beam_width_deg;
    }
    return beam_width_deg(job->antenna.width_m, job->antenna.frequency_ghz, factor_of(job));
}

double job_beam_height_deg(const struct job *job)
{
    double height_m = job->antenna.kind == JOB_PANEL ? job->antenna.height_m : job->antenna.width_m;

    if (isfinite(job->antenna.beam_height_deg)) {
        return job->antenna.beam_height_deg;
    }
    if (isfinite(job->antenna.beam_width_deg) && job->antenna.kind == JOB_DISH) {
        return job->antenna.beam_width_deg;
    }
    return beam_width_deg(height_m, job->antenna.frequency_ghz, factor_of(job));
}

double job_scale_from_true(const struct job_axis *axis, double true_deg)
{
    return axis->scale_zero_deg + axis->scale_sense * true_deg;
}

double job_true_from_scale(const struct job_axis *axis, double scale_deg)
{
    return (scale_deg - axis->scale_zero_deg) * axis->scale_sense;
}

void job_forget_sources(struct job *job)
{
    size_t kept = 0;

    job->source_count = 0;
    for (size_t i = 0; i < job->setting_count; i++) {
        if (strncmp(job->settings[i].section, "source", 6) != 0) {
            job->settings[kept++] = job->settings[i];
        }
    }
    job->setting_count = kept;
}

static bool has_receiver(const struct job *job)
{
    for (size_t i = 0; i < job->source_count; i++) {
        const char *address = job->sources[i].address;
        if (strncmp(address, "gpsd", 4) == 0 || strncmp(address, "sim:", 4) == 0 ||
            strncmp(address, "replay:", 7) == 0 || strncmp(address, "keys", 4) == 0) {
            return true;
        }
    }
    return false;
}

static bool has_meter(const struct job *job, const char *name)
{
    return name[0] == '\0' || job_find_meter(job, name) != NULL;
}

int job_check(const struct job *job, char why[JOB_ERROR_SIZE])
{
    const char *wrong = NULL;

    why[0] = '\0';
    if (!job->target.given) {
        wrong = "no target: [target] longitude is missing";
    } else if (!job->site.given && !has_receiver(job)) {
        wrong = "no site: [site] lat and lon are missing and no gpsd source gives a position";
    } else if (job->antenna.kind == JOB_PANEL && isfinite(job->antenna.width_m) &&
               !isfinite(job->antenna.height_m)) {
        wrong = "[antenna] kind is panel: its height is missing beside its width";
    }
    for (size_t i = 0; !wrong && i < job->source_count; i++) {
        if (job->sources[i].address[0] == '\0') {
            wrong = "a [source] has no address";
        } else if (!has_meter(job, job->sources[i].meter)) {
            text_append(why, JOB_ERROR_SIZE, "source %s: no section [meter %s]",
                        job->sources[i].address, job->sources[i].meter);
            return -EINVAL;
        }
    }
    if (wrong) {
        text_copy(why, JOB_ERROR_SIZE, wrong);
        return -EINVAL;
    }
    return 0;
}
