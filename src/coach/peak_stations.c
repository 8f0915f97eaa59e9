/* Where a scale or a count tells the angle: stop and read, always coming from below. */
#include "coach/step_peak.h"

#include <math.h>

/* Stations reach half a width to each side: three would do, five are robust (docs/peaking.md). */
static const double reach = 0.5;
static const double spacing = 0.25;
/* On the flank, so that no more than this is ever moved blind (docs/peaking.md). */
static const double flank = 0.3;
static const double station_readings = 4.0;

void peak_stations_plan(const struct step_context *context, double middle)
{
    struct peak *peak = &context->coach->peak;
    double half = reach * peak->width_deg;

    peak->count = 0;
    peak->spacing_deg = spacing * peak->width_deg;
    peak->next_x = middle - half;
    peak->last_x = middle + half;
    peak_go(context, PEAK_RUNUP, peak->next_x - peak_runup_deg(context->state, peak),
            0.15 * peak->width_deg);
}

void peak_stations_go(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;

    peak_go(context, PEAK_STATION, peak->next_x, 0.1 * peak->width_deg);
}

/* The station with the highest level. */
static int best_station(const struct peak *peak)
{
    int best = 0;

    for (int i = 1; i < peak->count; i++) {
        if (peak->station[i].level > peak->station[best].level) {
            best = i;
        }
    }
    return best;
}

/* Lowest station the best: go on below it from a new runup; else one more above. */
static void extend(const struct step_context *context, int best)
{
    struct peak *peak = &context->coach->peak;

    peak->extensions++;
    if (best == 0) {
        peak_plan(context, peak->station[0].x_deg - 0.25 * peak->width_deg);
        return;
    }
    peak->last_x = peak->next_x + peak->spacing_deg;
    peak->next_x = peak->last_x;
    peak_stations_go(context);
}

/* Enough stations: the centre, or where to look on. */
static void fit_stations(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double noise = level_filter_noise(&context->state->level.filter);
    struct lobe_prior prior = peak_prior(context, noise / sqrt(station_readings));
    int best = best_station(peak);
    bool at_edge = best == 0 || best == peak->count - 1;

    if (at_edge && peak->count < PEAK_STATIONS - 1 && peak->extensions < PEAK_EXTENSIONS) {
        extend(context, best);
        return;
    }
    if (lobe_fit(peak->station, (size_t)peak->count, &prior, &peak->fit) < 0) {
        peak->fit = (struct lobe_fit){.centre_deg = peak->station[best].x_deg,
                                      .centre_error_deg = NAN,
                                      .peak = peak->station[best].level,
                                      .width_deg = peak->width_deg};
    }
    if (!level_unit_is_db(context->state->level.unit)) {
        peak->fit.peak = fmax(peak->fit.peak, peak->station[best].level);
    }
    peak_conclude(context);
}

void peak_stations_read(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    const struct dwell *dwell = &context->coach->dwell;
    double x = dwell->x_count > 0 ? dwell->x_sum / dwell->x_count
                                  : travel_position(context->state, peak->axis);

    peak->station[peak->count++] = (struct lobe_reading){.x_deg = x, .level = dwell_level(dwell)};
    if (peak->next_x + 0.5 * peak->spacing_deg < peak->last_x && peak->count < PEAK_STATIONS) {
        peak->next_x += peak->spacing_deg;
        peak_stations_go(context);
    } else {
        fit_stations(context);
    }
}

double peak_flank_deg(const struct peak *peak)
{
    return peak->passes ? 0.0 : flank * peak->fit.width_deg;
}

/* In any unit: where the stations below the centre showed the same level. NaN = none did. */
static double place_of_level(const struct peak *peak, double level)
{
    for (int i = 1; i < peak->count && peak->station[i - 1].x_deg < peak->fit.centre_deg; i++) {
        const struct lobe_reading *low = &peak->station[i - 1], *high = &peak->station[i];
        if (low->level <= level && level < high->level) {
            return low->x_deg +
                   (high->x_deg - low->x_deg) * (level - low->level) / (high->level - low->level);
        }
    }
    return NAN;
}

/* On the flank below the centre: what the level says is left, held against what was counted. */
void peak_stations_leave_flank(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double level = dwell_level(&context->coach->dwell);
    double left = peak->fit.centre_deg - place_of_level(peak, level);

    if (level_unit_is_db(context->state->level.unit)) {
        left = sqrt(peak->fit.width_deg * peak->width_deg) *
               sqrt(fmax(peak->fit.peak - level, 0.0) / 12.0);
    }
    if (left >= 0.0 && left < 0.6 * peak->fit.width_deg) {
        peak->centre_x = travel_position(context->state, peak->axis) + left;
    }
    peak_go(context, PEAK_CENTRE, peak->centre_x, 0.02 * peak->width_deg);
}
