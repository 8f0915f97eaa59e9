/* Where a sensor tells the angle: slowly over the lobe and back. */
#include "coach/step_peak.h"

#include <math.h>

/* How far to each side, how far the meter may lag behind (widths), and readings a pass. */
static const double reach = 0.65;
static const double most_lag = 0.15;
static const double readings = 18.0, uneven_readings = 26.0;
/* A neighbour nearer than this, in widths, makes the flanks uneven: it takes more to see the top.
 */
static const double too_near = 1.3;
/* Readings in motion so many times as fast as asked for are left out. */
static const double too_fast = 3.0;
static const double turn_early = 0.05;
static const double assumed_period_s = 0.5;
/* A lag that is known no better than this is not learned. */
static const double worst_lag_error_s = 0.4;
/* Where the level does not change at all it is looked further along so often. */
enum { FLAT_EXTENSIONS = 2 };

static bool has_near_neighbour(const struct lobe_prior *prior)
{
    for (int i = 0; i < prior->near_count; i++) {
        if (hypot(prior->near[i].along, prior->near[i].across) < too_near) {
            return true;
        }
    }
    return false;
}

void peak_passes_plan(const struct step_context *context, double middle)
{
    struct peak *peak = &context->coach->peak;
    double lag_s = coach_lag_s(context->coach, context->state);
    double period_s = level_filter_period_s(&context->state->level.filter);
    double reach_deg = reach * peak->width_deg;
    struct lobe_prior prior = peak_prior(context, NAN);
    double wanted = has_near_neighbour(&prior) ? uneven_readings : readings;

    peak->count = 0;
    peak->low_x = middle - reach_deg;
    peak->high_x = middle + reach_deg;
    peak->rate =
        fmin(most_lag * peak->width_deg / fmax(lag_s, 0.1),
             2.0 * reach_deg / (wanted * (isfinite(period_s) ? period_s : assumed_period_s)));
    peak_go(context, PEAK_RUNUP, peak->low_x, 0.15 * peak->width_deg);
}

/* The middle of where the meter was at its end; NaN = nowhere. */
static double plateau_middle(const struct peak *peak, double maximum)
{
    double low = NAN, high = NAN;

    for (int i = 0; i < peak->count; i++) {
        if (peak->pass[i].level >= maximum) {
            low = fmin(low, peak->pass[i].x_deg);
            high = fmax(high, peak->pass[i].x_deg);
        }
    }
    return 0.5 * (low + high);
}

/* The surest so far. */
static void learn_lag(struct coach_learned *learned, const struct two_way_fit *fit)
{
    double worst = isfinite(learned->lag_error_s) ? learned->lag_error_s : worst_lag_error_s;

    if (fit->lag_s > 0.0 && fit->lag_error_s <= worst) {
        learned->lag_s = fit->lag_s;
        learned->lag_error_s = fit->lag_error_s;
    }
}

/* There and back: the top, or where to look on. */
static void fit_passes(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    const struct job_meter *meter = job_find_meter(context->state->job, "");
    struct two_way_prior prior = {
        .lobe = peak_prior(context, level_filter_noise(&context->state->level.filter)),
        .on_structure = true,
        .lag_s = meter ? meter->lag_s : NAN,
        .fastest_deg_s = too_fast * peak->rate,
    };
    struct two_way_fit fit = {.fit.centre_deg = NAN};
    int failed = two_way_fit(peak->pass, (size_t)peak->count, &prior, &fit);
    double plateau = plateau_middle(peak, coach_saturation(context->coach, context->state));
    double place = !failed ? fit.fit.centre_deg : isfinite(plateau) ? plateau : peak->top_x;

    if ((failed || !fit.fit.left_reached || !fit.fit.right_reached) &&
        peak->extensions < (peak_is_flat(context) ? FLAT_EXTENSIONS : PEAK_EXTENSIONS)) {
        peak->extensions++;
        peak_plan(context, fmin(fmax(place, peak->low_x), peak->high_x));
        return;
    }
    if (!failed) {
        learn_lag(&context->coach->learned, &fit);
    }
    peak->fit = fit.fit;
    peak->too_fast = failed ? 0 : fit.too_fast;
    if (failed) {
        peak->fit = (struct lobe_fit){.centre_deg = place,
                                      .centre_error_deg = NAN,
                                      .peak = context->state->level.filter.level,
                                      .width_deg = peak->width_deg};
    }
    peak_conclude(context);
}

static void keep(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double x = travel_position(context->state, peak->axis);

    if (context->record->kind == RECORD_LEVEL && isfinite(x) && peak->count < PEAK_PASS) {
        peak->pass[peak->count++] = (struct two_way_reading){
            .t = context->state->t, .x_deg = x, .level = context->record->level.value};
        if (!(context->record->level.value <= peak->top)) {
            peak->top = context->record->level.value;
            peak->top_x = x;
        }
    }
}

void peak_passes_update(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double x = travel_position(context->state, peak->axis);
    double early = turn_early * peak->width_deg;

    keep(context);
    if (peak->phase == PEAK_PASS_UP && x > peak->high_x - early) {
        peak_go(context, PEAK_PASS_DOWN, peak->low_x, 0.02 * peak->width_deg);
    } else if (peak->phase == PEAK_PASS_DOWN && x < peak->low_x + early) {
        fit_passes(context);
    } else {
        travel_update(&context->coach->travel, context->state, context->record);
    }
}
