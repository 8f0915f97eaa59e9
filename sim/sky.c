#include "sim/sky.h"

#include <math.h>

static const double deg_per_rad = 57.295779513082320877;

static double ratio(double db)
{
    return pow(10.0, db / 10.0);
}

/* What stands in the way, dB. */
static double blocked_db(const struct scenario *scenario, struct globe_vector toward)
{
    double azimuth = globe_azimuth_deg(toward), elevation = globe_elevation_deg(toward);
    double loss = elevation < 0.0 ? 60.0 : 0.0;

    for (size_t i = 0; i < scenario->blocked_count; i++) {
        double from = scenario->blocked[i].from_deg, to = scenario->blocked[i].to_deg;
        bool within =
            from <= to ? azimuth >= from && azimuth <= to : azimuth >= from || azimuth <= to;
        if (within && elevation < scenario->blocked[i].below_deg) {
            loss = fmax(loss, scenario->blocked[i].loss_db);
        }
    }
    return loss;
}

void sky_init(struct sky *sky, const struct scenario *scenario)
{
    *sky = (struct sky){.scenario = scenario, .aperture = scenario_aperture(scenario)};
    for (size_t i = 0; i < scenario->satellite_count; i++) {
        const struct scenario_satellite *satellite = &scenario->satellites[i];
        struct sky_source *source = &sky->sources[i];
        source->arrival =
            globe_receive(&scenario->site.place, satellite->lon_deg, scenario->site.air);
        source->power = ratio(satellite->level_db - blocked_db(scenario, source->arrival.toward));
    }
}

/* The share of one linear wave that a probe picks up: cos squared of the angle between them, both
 * seen along the boresight. */
static double linear_share(struct globe_vector wave, const struct globe_attitude *antenna,
                           double turn_deg, struct globe_vector probe)
{
    struct globe_vector turned =
        turn_deg == 0.0 ? wave : globe_turn(wave, antenna->ahead, turn_deg);
    double up = globe_dot(turned, antenna->up), right = globe_dot(turned, antenna->right);
    double along = globe_dot(turned, probe);
    double all = up * up + right * right;

    return all > 0.0 ? along * along / all : 0.0;
}

struct sky_share sky_share(const struct sky *sky, size_t satellite,
                           const struct globe_attitude *antenna)
{
    const struct scenario_satellite *sat = &sky->scenario->satellites[satellite];
    const struct globe_arrival *arrival = &sky->sources[satellite].arrival;
    bool h = sky->scenario->receives_h;
    struct globe_vector probe = h ? antenna->right : antenna->up;
    double right = deg_per_rad * asin(globe_dot(arrival->toward, antenna->right));
    double up = deg_per_rad * asin(globe_dot(arrival->toward, antenna->up));
    double pure = 1.0, leak;
    struct sky_share share;

    /* behind the antenna only what spills over is left */
    if (globe_dot(arrival->toward, antenna->ahead) <= 0.0) {
        share.pattern = ratio(sky->aperture.floor_db);
    } else {
        share.pattern = aperture_gain(&sky->aperture, right, up);
    }
    leak = aperture_leak(&sky->aperture, right, up);
    if (sat->wave == WAVE_V || sat->wave == WAVE_H) {
        pure = linear_share(sat->wave == WAVE_V ? arrival->e_v : arrival->e_h, antenna,
                            sat->turn_deg, probe);
    }
    /* on both polarisations, or circular into a matching feed, turning changes nothing */
    share.wanted = pure + (1.0 - pure) * leak;
    share.cross = sat->wave == WAVE_BOTH ? 1.0 : (1.0 - pure) + pure * leak;
    return share;
}

struct sky_power sky_receive(const struct sky *sky, const struct globe_attitude *antenna)
{
    struct sky_power power = {.strongest_of = -1};
    double strongest_overlap = 0.0;

    for (size_t i = 0; i < sky->scenario->satellite_count; i++) {
        struct sky_share share = sky_share(sky, i, antenna);
        double full = sky->sources[i].power * share.pattern;
        double wanted = full * share.wanted;
        power.carriers += wanted;
        power.others += wanted * sky->scenario->satellites[i].overlap;
        power.cross += full * share.cross;
        if (sky->scenario->satellites[i].lockable && wanted > power.strongest) {
            power.strongest = wanted;
            strongest_overlap = wanted * sky->scenario->satellites[i].overlap;
            power.strongest_of = (int)i;
        }
    }
    power.others = fmax(0.0, power.others - strongest_overlap);
    return power;
}

struct sky_power sky_faded(const struct sky_power *power, double fade_db)
{
    double left = ratio(-fade_db);
    struct sky_power faded = *power;

    faded.carriers *= left;
    faded.strongest *= left;
    faded.others *= left;
    faded.cross *= left;
    return faded;
}
