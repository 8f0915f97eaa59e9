#include "job/job.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/job_keys.h"
#include "radio/beam.h"
#include "sky/angle.h"

/* Half-power width in wavelengths over size: a tapered dish 70 (common practice, no source), a
 * uniformly fed rectangle 50.8 (Balanis, Antenna Theory, from memory: 0.886 rad). */
static const double dish_factor = 70.0;
static const double panel_factor = 50.8;

/* So it stands in records, too, whatever is spoken. */
static const char unnamed_target[] = N_("the target");

void job_init(struct job *job)
{
    *job = (struct job){.site.place.height_m = 0.0};
    text_copy(job->target.satellite.name, sizeof job->target.satellite.name, unnamed_target);
    job->target.expected_level = NAN;
    job->target.satellite.level_db = NAN;
    job->antenna.width_m = job->antenna.height_m = NAN;
    job->antenna.frequency_ghz = NAN;
    job->antenna.beam_width_deg = job->antenna.beam_height_deg = NAN;
    job->antenna.cross_polar_db = job->antenna.gain_dbi = NAN;
    job->antenna.rim_db = 10.0;
    job->target.inclination_deg = NAN;
    job->target.box_east_west_deg = job->target.box_north_south_deg = NAN;
    job->link.eirp_dbw = job->link.symbol_rate_mbd = NAN;
    job->link.gt_dbk = job->link.noise_k = job->link.isolation_db = NAN;
    job->link.rain_mm_h = job->link.rain_path_km = NAN;
    job->transmitter.power_w = job->transmitter.frequency_ghz = NAN;
    job->transmitter.efficiency = NAN;
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

bool job_target_is_named(const struct job *job)
{
    return strcmp(job->target.satellite.name, unnamed_target) != 0;
}

bool job_target_has_id(const struct job *job)
{
    return job->target.satellite.id[0] != '\0';
}

const char *job_target_name(const struct job *job)
{
    return job_target_is_named(job) ? job->target.satellite.name : _(unnamed_target);
}

bool job_names(const struct job_satellite *satellite, const char *said)
{
    return said[0] != '\0' && strcasecmp(satellite->id, said) == 0;
}

const struct job_satellite *job_find_neighbour(const struct job *job, const char *said)
{
    for (size_t i = 0; i < job->neighbour_count; i++) {
        if (job_names(&job->neighbours[i], said)) {
            return &job->neighbours[i];
        }
    }
    return NULL;
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
    double height_m = job->antenna.height_m;

    if (isfinite(job->antenna.beam_height_deg)) {
        return job->antenna.beam_height_deg;
    }
    if (job->antenna.kind == JOB_DISH && !isfinite(height_m)) { /* round */
        return job_beam_width_deg(job);
    }
    return beam_width_deg(height_m, job->antenna.frequency_ghz, factor_of(job));
}

double job_skew_deg(const struct job *job, const struct look *look)
{
    double skew = job->target.polarisation == POLARISATION_H ? look->skew_h_deg : look->skew_v_deg;

    if (job->target.polarisation == POLARISATION_CIRCULAR) {
        return NAN;
    }
    return angle_wrap_axial_deg(skew + job->target.skew_offset_deg);
}

struct skyline job_skyline(const struct job *job)
{
    return (struct skyline){.points = job->skyline,
                            .point_count = job->skyline_count,
                            .objects = job->objects,
                            .object_count = job->object_count};
}

bool job_beam(const struct job *job, double skew_deg, struct beam *ret_beam)
{
    double width = job_beam_width_deg(job), height = job_beam_height_deg(job);
    bool turned = job->mount.skew_by == JOB_SKEW_PANEL && isfinite(skew_deg);

    if (!isfinite(width) || !isfinite(height)) {
        return false;
    }
    *ret_beam = beam_make(width, height, turned ? skew_deg : 0.0);
    return true;
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
        const char *section = job->settings[i].section;
        if (strcspn(section, " ") != 6 || strncmp(section, "source", 6) != 0) {
            job->settings[kept++] = job->settings[i];
        }
    }
    job->setting_count = kept;
}

/* --- what depends on several keys ------------------------------------------------------------ */

/* A source that may tell a position: gpsd, and those that replay, type or simulate one. */
static bool may_tell_position(const char *address)
{
    static const char *const schemes[] = {"gpsd", "keys", "replay", "sim"};
    size_t n = strcspn(address, ":");

    for (size_t i = 0; i < sizeof schemes / sizeof *schemes; i++) {
        if (strlen(schemes[i]) == n && strncmp(address, schemes[i], n) == 0) {
            return true;
        }
    }
    n = strlen(address); /* a recording without its scheme */
    return n > 6 && strcmp(address + n - 6, ".jsonl") == 0;
}

static bool has_position(const struct job *job)
{
    for (size_t i = 0; i < job->source_count; i++) {
        if (may_tell_position(job->sources[i].address)) {
            return true;
        }
    }
    return job->site.given;
}

static int check_places(const struct job *job, char why[JOB_ERROR_SIZE])
{
    if (!job->target.given) {
        return job_refuse(why, -EINVAL, _("no target: [target] longitude is missing"));
    }
    if (!job->target.polarisation_given) {
        return job_refuse(why, -EINVAL,
                          _("[target] polarisation is missing: allowed is V, H or circular"));
    }
    if (job->site.parts == 1 || job->site.parts == 2) {
        return job_refuse(why, -EINVAL, _("[site] %s is missing beside %s"),
                          job->site.parts == 1 ? "lon" : "lat",
                          job->site.parts == 1 ? "lat" : "lon");
    }
    if (!has_position(job)) {
        return job_refuse(
            why, -EINVAL,
            _("no site: [site] lat and lon are missing and no gpsd source gives a position"));
    }
    for (size_t i = 0; i < job->neighbour_count; i++) {
        if (!isfinite(job->neighbours[i].lon_deg)) {
            return job_refuse(why, -EINVAL, _("[neighbour %s] longitude is missing"),
                              job->neighbours[i].name);
        }
    }
    return 0;
}

static bool was_set(const struct job *job, const char *section, const char *key)
{
    for (size_t i = 0; i < job->setting_count; i++) {
        if (strcmp(job->settings[i].section, section) == 0 &&
            strcmp(job->settings[i].key, key) == 0) {
            return true;
        }
    }
    return false;
}

static int check_antenna(const struct job *job, char why[JOB_ERROR_SIZE])
{
    bool panel = job->antenna.kind == JOB_PANEL;
    bool width = isfinite(job->antenna.width_m), height = isfinite(job->antenna.height_m);
    bool beam = isfinite(job->antenna.beam_width_deg) && isfinite(job->antenna.beam_height_deg);
    bool diameter = was_set(job, "antenna", "diameter");

    if (panel && diameter) {
        return job_refuse(why, -EINVAL,
                          _("[antenna] diameter is for a dish: a panel has width and height"));
    }
    if (diameter && (was_set(job, "antenna", "width") || height)) {
        return job_refuse(why, -EINVAL,
                          _("[antenna] diameter is for a round dish: "
                            "give either it or width and height"));
    }
    if (height && !width) {
        return job_refuse(why, -EINVAL, _("[antenna] width is missing beside height"));
    }
    if (panel && width && !height) {
        return job_refuse(why, -EINVAL,
                          _("[antenna] height is missing beside width: a panel has both"));
    }
    if (panel && isfinite(job->antenna.beam_width_deg) != isfinite(job->antenna.beam_height_deg)) {
        return job_refuse(why, -EINVAL,
                          _("[antenna] a panel has beam_width and beam_height: one is missing"));
    }
    if (width && !isfinite(job->antenna.frequency_ghz) && !beam &&
        !isfinite(job->antenna.beam_width_deg)) {
        return job_refuse(why, -EINVAL,
                          _("[antenna] frequency is missing: the beam follows from the antenna's "
                            "size and the frequency"));
    }
    return 0;
}

static int check_link(const struct job *job, char why[JOB_ERROR_SIZE])
{
    if (isfinite(job->link.rain_mm_h) != isfinite(job->link.rain_path_km)) {
        return job_refuse(why, -EINVAL, _("[link] %s is missing beside %s"),
                          isfinite(job->link.rain_mm_h) ? "rain_path" : "rain",
                          isfinite(job->link.rain_mm_h) ? "rain" : "rain_path");
    }
    if (isfinite(job->transmitter.power_w) && !isfinite(job->transmitter.frequency_ghz)) {
        return job_refuse(why, -EINVAL, _("[transmitter] frequency is missing beside power"));
    }
    return 0;
}

/* "meter finder", or "meter" where it has no name. */
static const char *section_of(const char *kind, const char *name, char ret[JOB_NAME_SIZE + 16])
{
    snprintf(ret, JOB_NAME_SIZE + 16, "%s%s%s", kind, name[0] ? " " : "", name);
    return ret;
}

static int check_meters(const struct job *job, char why[JOB_ERROR_SIZE])
{
    char section[JOB_NAME_SIZE + 16];

    for (size_t i = 0; i < job->meter_count; i++) {
        const struct job_meter *meter = &job->meters[i];
        if (meter->minimum >= meter->maximum) { /* false when one is not given */
            return job_refuse(why, -EINVAL, _("[%s] minimum %g is not below maximum %g"),
                              section_of("meter", meter->name, section), meter->minimum,
                              meter->maximum);
        }
    }
    for (size_t i = 0; i < job->source_count; i++) {
        const struct job_source *source = &job->sources[i];
        if (source->address[0] == '\0') {
            return job_refuse(why, -EINVAL, _("[%s] address is missing"),
                              section_of("source", source->name, section));
        }
        if (source->meter[0] != '\0' && !job_find_meter(job, source->meter)) {
            return job_refuse(why, -EINVAL, _("[%s] meter = %s: there is no section [meter %s]"),
                              section_of("source", source->name, section), source->meter,
                              source->meter);
        }
    }
    return 0;
}

int job_check(const struct job *job, char why[JOB_ERROR_SIZE])
{
    int r = check_places(job, why);

    if (r == 0) {
        r = check_antenna(job, why);
    }
    if (r == 0) {
        r = check_link(job, why);
    }
    return r < 0 ? r : check_meters(job, why);
}
