/* A meter that is at its end over the top: the level says nothing there, but both edges of the flat
 * top are flanks like others, and the middle between them is the top. */
#include "coach/step_peak.h"

#include <math.h>

/* Where to look for an edge, from the outermost clipped reading, and how far off an edge may have
 * been read to tell it, in widths. */
static const double stride = 0.4, reach = 0.6;
/* Below the edge to read the flank; and how far down a flank is looked for. */
static const double below_edge = 0.1, least_flank = 0.3, most_flank = 0.6;
/* Unseen, several short turns err less than a long one. Common practice, no source. */
static const double stroke = 0.15;

bool peak_is_clipped(const struct step_context *context)
{
    const struct walk *walk = &context->coach->peak.walk;

    return walk->stop[walk->count - 1].level >= step_end_level(context);
}

double peak_missing_edge_deg(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;
    const struct walk *walk = &peak->walk;
    double most = step_end_level(context), at = 0.0, x[WALK_STOPS];
    double low = INFINITY, high = -INFINITY, below = -INFINITY, above = INFINITY;

    for (int i = 0; i < walk->count; i++) {
        x[i] = at += walk->stop[i].told_deg;
        if (walk->stop[i].level >= most) {
            low = fmin(low, at);
            high = fmax(high, at);
        }
    }
    for (int i = 0; i < walk->count; i++) {
        if (walk->stop[i].level < most) {
            below = x[i] < low ? fmax(below, x[i]) : below;
            above = x[i] > high ? fmin(above, x[i]) : above;
        }
    }
    if (above - high > reach * peak->width_deg) {
        return high + stride * peak->width_deg - at;
    }
    return low - below > reach * peak->width_deg ? low - stride * peak->width_deg - at : 0.0;
}

double peak_clipped_flank_deg(const struct peak *peak)
{
    double widths = peak->flat_deg / peak->width_deg + below_edge;

    return (fmin(fmax(widths, least_flank), most_flank) + peak->deeper) * peak->width_deg;
}

void peak_clipped_climb(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double here = travel_position(context->state, peak->axis);
    double step = stroke * peak->width_deg;

    if (peak->centre_x - here > 1.5 * step) {
        peak_go(context, PEAK_STROKE, here + step, 0.3 * step);
    } else {
        peak_stations_finish(context);
    }
}
