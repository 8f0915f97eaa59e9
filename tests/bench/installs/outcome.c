#include "outcome.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double main_lobe = 1.0, side_lobes = 3.0; /* half-power widths */
static const double last_turn = 0.1;                   /* half-power widths */
static const double rad = 3.14159265358979323846 / 180.0;
static const double within = 0.7; /* readings about 6 dB down still tell of the centre */

static double widths_off(const struct world *world, size_t satellite)
{
    double beams[2];

    world_off_beams(world, satellite, beams);
    return hypot(beams[0], beams[1]);
}

/* By steps along both axes, halved when none leads up. */
static double loss_at_meter_top(const struct world *world)
{
    static const double way[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    double at[2] = {0.0, 0.0}, best = world_level_beside_db(world, 0.0, 0.0);

    for (double step = 0.1; step > 0.001;) {
        bool better = false;
        for (int i = 0; i < 4 && !better; i++) {
            double right = at[0] + step * way[i][0], up = at[1] + step * way[i][1];
            double level = world_level_beside_db(world, right, up);
            if (level > best) {
                best = level;
                at[0] = right;
                at[1] = up;
                better = true;
            }
        }
        step *= better ? 1.0 : 0.5;
    }
    return 12.0 * (at[0] * at[0] + at[1] * at[1]);
}

void outcome_look(const struct world *world, struct outcome *ret)
{
    const struct scenario *scenario = world_scenario(world);
    struct world_truth truth = world_truth(world);
    double nearest = main_lobe;

    world_off_beams(world, scenario->target, ret->off_beams);
    ret->loss_db = truth.pointing_loss_db;
    ret->meter_top_db = loss_at_meter_top(world);
    ret->skew_deg = fabs(truth.error_deg[WORLD_SKEW]);
    ret->where = widths_off(world, scenario->target) < side_lobes ? ON_SIDE_LOBE : ON_NOTHING;
    ret->satellite[0] = '\0';
    for (size_t i = 0; i < scenario->satellite_count; i++) {
        double off = widths_off(world, i);
        if (off < nearest) {
            nearest = off;
            ret->where = i == scenario->target ? ON_TARGET : ON_NEIGHBOUR;
            snprintf(ret->satellite, sizeof ret->satellite, "%s", scenario->satellites[i].name);
        }
    }
}

void outcome_begin_steps(const struct procedure *procedure,
                         struct outcome_step ret[PROCEDURE_STEPS])
{
    for (size_t i = 0; i < PROCEDURE_STEPS; i++) {
        ret[i] = (struct outcome_step){.entered_t = NAN, .loss_db = NAN, .off_beams = {NAN, NAN}};
        if (i < procedure->step_count) {
            snprintf(ret[i].name, sizeof ret[i].name, "%.*s", OUTCOME_NAME_SIZE - 1,
                     procedure->steps[i].name);
        }
    }
}

void outcome_pass_step(const struct world *world, double t, bool enters, struct outcome_step *step)
{
    if (isfinite(step->entered_t)) {
        step->took_s += t - step->entered_t;
    }
    step->entered_t = enters ? t : NAN;
    if (enters) {
        step->turns++;
    } else {
        world_off_beams(world, world_scenario(world)->target, step->off_beams);
        step->loss_db = world_truth(world).pointing_loss_db;
    }
}

double outcome_unseen_db(const struct world *world, double hand_error, struct sim_random *random)
{
    const struct scenario *scenario = world_scenario(world);
    struct aperture aperture = scenario_aperture(scenario);
    double elevation_deg = world_truth(world).target_deg[WORLD_ELEVATION];
    double loss = 0.0;

    for (int i = 0; i < WORLD_SKEW; i++) {
        const struct scenario_axis *axis = &scenario->mount.axes[i];
        double width =
            i == WORLD_ELEVATION && aperture.panel
                ? aperture.height_deg
                : aperture.width_deg / (i == WORLD_AZIMUTH ? cos(elevation_deg * rad) : 1.0);
        double off = axis->tighten_deg / width + last_turn * hand_error * random_normal(random);
        loss += axis->read == READ_SENSOR ? 0.0 : 12.0 * off * off;
    }
    return loss;
}

void bound_init(struct bound *bound, const struct scenario *scenario)
{
    double quantum = scenario->meter.quantum, bend = scenario->meter.bend_db;
    double top = scenario->satellites[scenario->target].level_db;
    double slope = scenario->meter.slope * (bend > 0.0 ? exp(-top / bend) : 1.0);
    double noise = scenario->meter.noise;

    *bound = (struct bound){.noise_db = sqrt(noise * noise + quantum * quantum / 12.0) / slope};
}

void bound_add(struct bound *bound, const struct world *world)
{
    double beams[2];

    world_off_beams(world, world_scenario(world)->target, beams);
    if (hypot(beams[0], beams[1]) < within) {
        double by[3] = {24.0 * beams[0], 24.0 * beams[1], 1.0};
        for (int i = 0; i < 3; i++) {
            for (int j = 0; j < 3; j++) {
                bound->fisher[i][j] += by[i] * by[j] / (bound->noise_db * bound->noise_db);
            }
        }
    }
}

double bound_loss_db(const struct bound *bound, struct sim_random *random)
{
    const double(*f)[3] = bound->fisher;
    /* the height is no matter: what is left of the centre's part without it */
    double xx = f[0][0] - f[0][2] * f[0][2] / f[2][2], yy = f[1][1] - f[1][2] * f[1][2] / f[2][2];
    double xy = f[0][1] - f[0][2] * f[1][2] / f[2][2], determinant = xx * yy - xy * xy;
    double a = random_normal(random), b = random_normal(random), x, y;

    if (!(f[2][2] > 0.0) || !(determinant > 0.0)) {
        return NAN;
    }
    /* covariance = inverse = L L' with L lower triangular */
    x = sqrt(yy / determinant) * a;
    y = -xy / sqrt(yy * determinant) * a + b / sqrt(yy);
    return 12.0 * (x * x + y * y);
}
