#include "coach/arc.h"

#include <math.h>
#include <string.h>

#include "coach/peak.h"
#include "sky/angle.h"
#include "sky/skyline.h"

/* Tops nearer than this along the azimuth, in widths, are the same one met again. */
static const double same_widths = 0.45;
static const double same_line_heights = 0.2;
static const double place_known_widths = 0.35;
static const double guessed_width_deg = 2.0;
/* How far below its top a carrier is still met, and how sharply that ends; common practice, no
 * source. */
static const double met_db = 9.0, met_sd_db = 2.5;
/* Carriers of one sky, seen by one antenna, differ by this; levels of a pass are good to less. */
static const double level_error_db = 3.0;
/* What is of the other polarisation only is hardly ever met. */
static const double crossed_hidden = 0.97, walled_hidden = 0.9;
/* A neighbour may be silent in the band, or have nothing that this receiver can lock to. */
static const double silent_hidden = 0.15;
static const double missed = 0.05, sure = 0.98;
/* Of an elevation as the kit tells it, and of one that was peaked; 1 sd, common practice. */
static const double sensor_elevation_sd = 0.25, other_elevation_sd = 0.6, peaked_sd = 0.2;
static const double sensor_azimuth_sd = 0.3, told_azimuth_sd = 0.5;

static bool is_sensed(const struct state *state, enum axis axis)
{
    return state->job->mount.axes[axis].from == JOB_FROM_SENSOR;
}

void arc_begin(struct arc *arc, const struct state *state, double origin_x, double elevation_x)
{
    double elevation = state->target.deg[AXIS_ELEVATION];
    double skew = state->target.deg[AXIS_SKEW];
    struct beam beam = beam_make(guessed_width_deg, guessed_width_deg, 0.0);

    *arc = (struct arc){.begun = true, .origin_x = origin_x, .chosen = -1};
    job_beam(state->job, skew, &beam);
    arc->width_deg = beam_azimuth_width_deg(&beam, elevation);
    arc->height_deg = beam_elevation_width_deg(&beam);
    arc->elevation_error =
        is_sensed(state, AXIS_ELEVATION) ? sensor_elevation_sd : other_elevation_sd;
    if (state->job->mount.axes[AXIS_ELEVATION].from == JOB_FROM_NUDGES) {
        arc->elevation_offset = elevation_x - elevation;
    }
}

/* --- what was met ----------------------------------------------------------------------------- */

/* The centre between two lines, by how much stronger one was: both on the same parabola. */
static double between_lines(const struct arc *arc, const struct sweep_peak *a,
                            const struct sweep_peak *b, double unit_per_db)
{
    double apart = b->elevation - a->elevation;
    double stronger_db = (a->level - b->level) / unit_per_db;

    return 0.5 * (a->elevation + b->elevation) -
           stronger_db * arc->height_deg * arc->height_deg / (24.0 * apart);
}

static void put_together(const struct arc *arc, struct sweep_peak *old,
                         const struct sweep_peak *top, double unit_per_db)
{
    double apart = fabs(top->elevation - old->elevation);
    bool refused = old->refused;
    double elevation = old->peaked_elevation;
    char id[RECORD_NAME_SIZE];

    memcpy(id, old->id[0] ? old->id : top->id, sizeof id);
    if (apart > same_line_heights * arc->height_deg && apart < 2.0 * arc->height_deg &&
        !isfinite(elevation)) {
        elevation = between_lines(arc, old, top, unit_per_db);
    }
    if (top->level > old->level) {
        *old = *top;
    }
    old->peaked_elevation = elevation;
    old->refused = refused;
    memcpy(old->id, id, sizeof id);
}

int arc_add(struct arc *arc, const struct state *state, const struct sweep_peak *top)
{
    for (int i = 0; i < arc->top_count; i++) {
        if (fabs(arc->tops[i].x - top->x) < same_widths * arc->width_deg) {
            double level = fmax(top->level, arc->tops[i].level);
            put_together(arc, &arc->tops[i], top, peak_unit_per_db(state, level));
            return i;
        }
    }
    if (arc->top_count == SWEEP_PEAKS) {
        return -1;
    }
    arc->tops[arc->top_count] = *top;
    return arc->top_count++;
}

void arc_swept(struct arc *arc, double elevation, double from_x, double to_x)
{
    double low = fmin(from_x, to_x), high = fmax(from_x, to_x);
    struct arc_line *line = &arc->lines[arc->line_count > 0 ? arc->line_count - 1 : 0];

    if (!isfinite(low) || !isfinite(high) || !isfinite(elevation)) {
        return;
    }
    if (arc->line_count == 0 ||
        fabs(line->elevation - elevation) > same_line_heights * arc->height_deg) {
        if (arc->line_count == ARC_LINES) {
            return;
        }
        line = &arc->lines[arc->line_count++];
        *line = (struct arc_line){.elevation = elevation, .low = low, .high = high};
    }
    line->low = fmin(line->low, low);
    line->high = fmax(line->high, high);
}

bool arc_is_refused(const struct arc *arc, double x)
{
    for (int i = 0; i < arc->refused_count; i++) {
        if (fabs(arc->refused_x[i] - x) < same_widths * arc->width_deg) {
            return true;
        }
    }
    return false;
}

void arc_refuse(struct arc *arc, double x)
{
    if (arc->chosen >= 0) {
        arc->tops[arc->chosen].refused = true;
    }
    if (isfinite(x) && arc->refused_count < SWEEP_PEAKS) {
        arc->refused_x[arc->refused_count++] = x;
    }
}

void arc_forget(struct arc *arc, int top)
{
    arc->top_count--;
    memmove(&arc->tops[top], &arc->tops[top + 1],
            (size_t)(arc->top_count - top) * sizeof arc->tops[0]);
    arc->chosen = -1;
    arc->matched = false;
}

/* --- what should be there --------------------------------------------------------------------- */

static double longest_line(const struct arc *arc)
{
    double longest = 0.0;

    for (int i = 0; i < arc->line_count; i++) {
        longest = fmax(longest, arc->lines[i].high - arc->lines[i].low);
    }
    return longest;
}

/* How far a satellite stands above or below the nearest line that was swept at length. */
static double off_lines(const struct arc *arc, double elevation)
{
    double nearest = INFINITY, longest = longest_line(arc);

    for (int i = 0; i < arc->line_count; i++) {
        const struct arc_line *line = &arc->lines[i];
        if (line->high - line->low >= 0.5 * longest) {
            nearest = fmin(nearest, fabs(line->elevation - arc->elevation_offset - elevation));
        }
    }
    return isfinite(nearest) ? nearest : 0.0;
}

static bool is_crossed(const struct job *job, const struct job_satellite *satellite)
{
    return (satellite->carriers == JOB_CARRIERS_V && job->target.polarisation == POLARISATION_H) ||
           (satellite->carriers == JOB_CARRIERS_H && job->target.polarisation == POLARISATION_V);
}

static bool is_walled(const struct job *job, double azimuth, double elevation)
{
    struct skyline skyline = job_skyline(job);

    return skyline_elevation_deg(&skyline, azimuth) > elevation;
}

static struct arc_satellite expect(const struct arc *arc, const struct state *state,
                                   const struct job_satellite *satellite, double highest)
{
    struct look look = look_at_geostationary(&look_earth_wgs84, &state->site, satellite->lon_deg);
    double elevation =
        look.elevation_deg + look_refraction_deg(look.elevation_deg, state->site.height_m);
    double off = off_lines(arc, elevation), height2 = arc->height_deg * arc->height_deg;
    double loss = 12.0 * off * off / height2;
    double spread = hypot(met_sd_db, 24.0 * off / height2 * arc->elevation_error);
    double seen = 0.5 * erfc((loss - met_db) / (spread * sqrt(2.0)));
    double stronger = isfinite(satellite->level_db) ? satellite->level_db : 0.0;

    if (is_crossed(state->job, satellite)) {
        seen *= 1.0 - crossed_hidden;
    }
    if (satellite != &state->job->target.satellite) {
        seen *= 1.0 - silent_hidden;
    }
    if (is_walled(state->job, look.azimuth_deg, elevation)) {
        seen *= 1.0 - walled_hidden;
    }
    return (struct arc_satellite){.azimuth_deg = look.azimuth_deg,
                                  .elevation_deg = elevation,
                                  .level = highest + stronger - loss,
                                  .hidden = fmin(1.0 - seen, 0.995)};
}

static int named(const struct arc *arc, const struct job *job, const char *id)
{
    for (int j = 0; j < arc->slot_count; j++) {
        if (job_names(arc->slot[j] < 0 ? &job->target.satellite : &job->neighbours[arc->slot[j]],
                      id)) {
            return j;
        }
    }
    return -1;
}

/* Names that the job does not know are of no target. */
static struct arc_peak met(const struct arc *arc, const struct state *state,
                           const struct sweep_peak *top, double unit_per_db)
{
    bool peaked = isfinite(top->peaked_elevation);
    int id = named(arc, state->job, top->id);

    return (struct arc_peak){
        .azimuth_deg = state->target.deg[AXIS_AZIMUTH] + top->x - arc->origin_x,
        .elevation_deg = top->peaked_elevation - arc->elevation_offset,
        .level = peaked ? NAN : top->level / unit_per_db,
        .width_ratio = top->width_deg / arc->width_deg,
        .id = id,
        .not_target = top->refused ||
                      (top->id[0] != '\0' && id < 0 && state->job->target.satellite.id[0] != '\0'),
    };
}

static struct arc_prior prior_of(const struct arc *arc, const struct state *state)
{
    bool sensed = is_sensed(state, AXIS_AZIMUTH);
    double low = INFINITY, high = -INFINITY, there = state->target.deg[AXIS_AZIMUTH];

    for (int i = 0; i < arc->line_count; i++) {
        low = fmin(low, arc->lines[i].low);
        high = fmax(high, arc->lines[i].high);
    }
    return (struct arc_prior){
        .bias_sd_deg = fmax(state->job->coach.compass_error_deg, 0.1),
        .azimuth_error_deg =
            hypot(0.1 * arc->width_deg, sensed ? sensor_azimuth_sd : told_azimuth_sd),
        .elevation_error_deg = hypot(peaked_sd, 0.5 * arc->elevation_error),
        .level_error_db = level_error_db,
        .missed = missed,
        .low_deg = there + low - arc->origin_x,
        .high_deg = there + high - arc->origin_x,
        .sure = sure,
    };
}

void arc_compare(struct arc *arc, const struct state *state)
{
    struct arc_satellite satellites[ARC_SATELLITES];
    struct arc_peak peaks[SWEEP_PEAKS];
    struct arc_prior prior = prior_of(arc, state);
    double highest = -INFINITY, unit_per_db;

    for (int i = 0; i < arc->top_count; i++) {
        highest = fmax(highest, arc->tops[i].level);
    }
    unit_per_db = peak_unit_per_db(state, highest);
    arc->slot_count = 0;
    for (int i = -1; i < (int)state->job->neighbour_count; i++) {
        const struct job_satellite *satellite =
            i < 0 ? &state->job->target.satellite : &state->job->neighbours[i];
        struct arc_satellite it = expect(arc, state, satellite, highest / unit_per_db);
        if (it.elevation_deg > 0.0 || i < 0) {
            satellites[arc->slot_count] = it;
            arc->slot_elevation[arc->slot_count] = it.elevation_deg;
            arc->slot[arc->slot_count++] = i;
        }
    }
    for (int i = 0; i < arc->top_count; i++) {
        peaks[i] = met(arc, state, &arc->tops[i], unit_per_db);
    }
    arc->matched = arc_match(peaks, (size_t)arc->top_count, satellites, (size_t)arc->slot_count, 0,
                             &prior, &arc->match) == 0;
}

/* --- what follows ----------------------------------------------------------------------------- */

int arc_likeliest(const struct arc *arc, double *ret_probability)
{
    int top = arc->matched ? arc->match.target_peak : -1;

    *ret_probability = 0.0;
    if (top < 0 || arc->tops[top].refused) {
        return -1;
    }
    *ret_probability = arc->match.target_probability;
    return top;
}

double arc_target_x(const struct arc *arc)
{
    double probability;

    if (!arc->matched || arc->match.bias_error_deg > place_known_widths * arc->width_deg) {
        return NAN;
    }
    return arc_likeliest(arc, &probability) >= 0 ? NAN : arc->origin_x + arc->match.bias_deg;
}

double arc_target_elevation(const struct arc *arc, const struct state *state)
{
    double sum = 0.0;
    int count = 0;

    for (int i = 0; i < arc->top_count && arc->matched; i++) {
        int satellite = arc->match.satellite[i];
        if (satellite >= 0 && arc->match.probability[i] > sure &&
            isfinite(arc->tops[i].peaked_elevation)) {
            sum += arc->tops[i].peaked_elevation - arc->slot_elevation[satellite];
            count++;
        }
    }
    return state->target.deg[AXIS_ELEVATION] + (count > 0 ? sum / count : arc->elevation_offset);
}

const char *arc_name(const struct arc *arc, const struct job *job, int top)
{
    int satellite =
        arc->matched && top >= 0 && top < arc->top_count ? arc->match.satellite[top] : -1;

    if (satellite < 0 || arc->match.probability[top] < 0.5) {
        return "";
    }
    return arc->slot[satellite] < 0 ? job_target_name(job)
                                    : job->neighbours[arc->slot[satellite]].name;
}
