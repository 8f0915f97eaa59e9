#include "peaking/search_plan.h"

#include <math.h>

#include "base/known.h"
#include "sky/angle.h"

static const double usual_fall_db = 6.0, usual_period_s = 0.5, usual_lag_s = 0.8;
static const double usual_fastest_deg_s = 3.0;
static const double neighbours_each_side = 2.0;
static const double enough = 0.98;
static const double between_lines_s =
    5.0; /* to set the next elevation; common practice, no source */

/* Chance of a normal elevation between two offsets. */
static double chance_between(double low, double high, double sd)
{
    return 0.5 * (erf(high / (sd * sqrt(2.0))) - erf(low / (sd * sqrt(2.0))));
}

/*
 * The lobe down to D dB is the ellipse d'Qd <= D / 12. A line at elevation y meets it within
 * y^2 det Q / Qxx <= D / 12, along a chord of 2 sqrt((D / 12 - y^2 det Q / Qxx) / Qxx).
 */
static void lay_lines(const struct search_job *job, struct search_plan *plan)
{
    const struct beam *beam = &job->beam;
    double depth = known_or(job->fall_db, usual_fall_db) / 12.0;
    double reach = sqrt(depth * beam->xx / (beam->xx * beam->yy - beam->xy * beam->xy));
    double scale = 1.0 / cos(job->elevation_deg * ANGLE_RAD_PER_DEG);
    double total = 0.0, mean = 0.0;

    plan->step_deg = sqrt(2.0) * reach;
    plan->chord_deg = 2.0 * sqrt(0.5 * depth / beam->xx) * scale;
    for (int line = 0; line < SEARCH_LINES && total < enough; line++) {
        /* 0, +1, -1, +2, -2 */
        int steps = line % 2 ? (line + 1) / 2 : -line / 2;
        double middle = steps * plan->step_deg, half = 0.5 * plan->step_deg;
        double found = chance_between(middle - half, middle + half, job->elevation_sd_deg);
        plan->offset_deg[line] = middle;
        total += found;
        mean += found * (line + 0.5);
        plan->covered[line] = total;
        plan->lines = line + 1;
    }
    plan->expected_s = mean / total;
}

struct search_plan search_plan_make(const struct search_job *job)
{
    struct search_plan plan = {0};
    double period_s = known_or(job->period_s, usual_period_s);
    double answer_s = period_s + 2.0 * known_or(job->lag_s, usual_lag_s);

    lay_lines(job, &plan);
    if (job->lock_s > 0.0) {
        answer_s = job->lock_s + period_s;
    }
    plan.rate_deg_s =
        fmin(plan.chord_deg / answer_s, known_or(job->fastest_deg_s, usual_fastest_deg_s));
    plan.span_deg = job->compass_deg + neighbours_each_side * job->neighbour_deg;
    plan.line_s = 2.0 * plan.span_deg / plan.rate_deg_s + between_lines_s;
    plan.longest_s = plan.lines * plan.line_s;
    plan.expected_s *= plan.line_s;
    return plan;
}
