#include "sky/sgp4_deep.h"

#include <math.h>

#include "sky/sidereal.h"
#include "sky/utc.h"

static const double turn = 2.0 * M_PI;

/* Sun and moon: mean motion in radians a minute, eccentricity, strength of the pull. */
static const double sun_rate = 1.19459e-5, sun_eccentricity = 0.01675, sun_pull = 2.9864797e-6;
static const double moon_rate = 1.5835218e-4, moon_eccentricity = 0.05490, moon_pull = 4.7968065e-7;

/* The ecliptic's tilt and the sun's perigee. */
static const double ecliptic_sine = 0.39785416, ecliptic_cosine = 0.91744867;
static const double sun_perigee_cosine = 0.1945905, sun_perigee_sine = -0.98088458;

/* Below three degrees of tilt the pull on the node is left out: it divides by the sine. */
static const double flat_orbit = 5.2359877e-2;

/* Below this tilt the waves go through the plane's normal instead of node and perigee (Lyddane). */
static const double steep_orbit = 0.2;

/* --- moon and sun --------------------------------------------------------------------------- */

/* How the orbit of a body lies: sines and cosines of perigee, tilt, and node counted from that of
 * the satellite. */
struct lie {
    double perigee_cosine, perigee_sine, cosine, sine, node_cosine, node_sine;
};

/* What both bodies need of the satellite's orbit. */
struct orbit {
    double motion, e, e2, beta, cosine, sine;
    double perigee_cosine, perigee_sine;
};

/* Lasting rates of e, tilt, mean anomaly, and of perigee and node together and alone. */
struct rates {
    double e, tilt, anomaly, both, node;
};

/* The distances that report and paper call z: by the satellite's own axes. */
struct pulls {
    double z1, z2, z3, z11, z12, z13, z21, z22, z23, z31, z32, z33;
    double s1, s2, s3, s4, s5, s6, s7;
};

static void project(const struct lie *lie, const struct orbit *orbit, double ret_a[11],
                    double ret_x[9])
{
    double *a = ret_a, *x = ret_x;

    a[1] =
        lie->perigee_cosine * lie->node_cosine + lie->perigee_sine * lie->cosine * lie->node_sine;
    a[3] =
        -lie->perigee_sine * lie->node_cosine + lie->perigee_cosine * lie->cosine * lie->node_sine;
    a[7] =
        -lie->perigee_cosine * lie->node_sine + lie->perigee_sine * lie->cosine * lie->node_cosine;
    a[8] = lie->perigee_sine * lie->sine;
    a[9] =
        lie->perigee_sine * lie->node_sine + lie->perigee_cosine * lie->cosine * lie->node_cosine;
    a[10] = lie->perigee_cosine * lie->sine;
    a[2] = orbit->cosine * a[7] + orbit->sine * a[8];
    a[4] = orbit->cosine * a[9] + orbit->sine * a[10];
    a[5] = -orbit->sine * a[7] + orbit->cosine * a[8];
    a[6] = -orbit->sine * a[9] + orbit->cosine * a[10];
    x[1] = a[1] * orbit->perigee_cosine + a[2] * orbit->perigee_sine;
    x[2] = a[3] * orbit->perigee_cosine + a[4] * orbit->perigee_sine;
    x[3] = -a[1] * orbit->perigee_sine + a[2] * orbit->perigee_cosine;
    x[4] = -a[3] * orbit->perigee_sine + a[4] * orbit->perigee_cosine;
    x[5] = a[5] * orbit->perigee_sine;
    x[6] = a[6] * orbit->perigee_sine;
    x[7] = a[5] * orbit->perigee_cosine;
    x[8] = a[6] * orbit->perigee_cosine;
}

static struct pulls pulls_of(const struct lie *lie, const struct orbit *orbit, double pull)
{
    double a[11], x[9], e2 = orbit->e2, beta2 = orbit->beta * orbit->beta;
    struct pulls p;

    project(lie, orbit, a, x);
    p.z31 = 12.0 * x[1] * x[1] - 3.0 * x[3] * x[3];
    p.z32 = 24.0 * x[1] * x[2] - 6.0 * x[3] * x[4];
    p.z33 = 12.0 * x[2] * x[2] - 3.0 * x[4] * x[4];
    p.z1 = 2.0 * (3.0 * (a[1] * a[1] + a[2] * a[2]) + p.z31 * e2) + beta2 * p.z31;
    p.z2 = 2.0 * (6.0 * (a[1] * a[3] + a[2] * a[4]) + p.z32 * e2) + beta2 * p.z32;
    p.z3 = 2.0 * (3.0 * (a[3] * a[3] + a[4] * a[4]) + p.z33 * e2) + beta2 * p.z33;
    p.z11 = -6.0 * a[1] * a[5] + e2 * (-24.0 * x[1] * x[7] - 6.0 * x[3] * x[5]);
    p.z12 = -6.0 * (a[1] * a[6] + a[3] * a[5]) +
            e2 * (-24.0 * (x[2] * x[7] + x[1] * x[8]) - 6.0 * (x[3] * x[6] + x[4] * x[5]));
    p.z13 = -6.0 * a[3] * a[6] + e2 * (-24.0 * x[2] * x[8] - 6.0 * x[4] * x[6]);
    p.z21 = 6.0 * a[2] * a[5] + e2 * (24.0 * x[1] * x[5] - 6.0 * x[3] * x[7]);
    p.z22 = 6.0 * (a[4] * a[5] + a[2] * a[6]) +
            e2 * (24.0 * (x[2] * x[5] + x[1] * x[6]) - 6.0 * (x[4] * x[7] + x[3] * x[8]));
    p.z23 = 6.0 * a[4] * a[6] + e2 * (24.0 * x[2] * x[6] - 6.0 * x[4] * x[8]);
    p.s3 = pull / orbit->motion;
    p.s2 = -0.5 * p.s3 / orbit->beta;
    p.s4 = p.s3 * orbit->beta;
    p.s1 = -15.0 * orbit->e * p.s4;
    p.s5 = x[1] * x[3] + x[2] * x[4];
    p.s6 = x[2] * x[3] + x[1] * x[4];
    p.s7 = x[2] * x[4] - x[1] * x[3];
    return p;
}

/* The size of the waves; motion, eccentricity and anomaly are the body's. */
static struct sgp4_body waves_of(const struct pulls *p, double e2, double anomaly, double motion,
                                 double eccentricity)
{
    return (struct sgp4_body){
        .anomaly = anomaly,
        .motion = motion,
        .eccentricity = eccentricity,
        .e2 = 2.0 * p->s1 * p->s6,
        .e3 = 2.0 * p->s1 * p->s7,
        .i2 = 2.0 * p->s2 * p->z12,
        .i3 = 2.0 * p->s2 * (p->z13 - p->z11),
        .l2 = -2.0 * p->s3 * p->z2,
        .l3 = -2.0 * p->s3 * (p->z3 - p->z1),
        .l4 = -2.0 * p->s3 * (-21.0 - 9.0 * e2) * eccentricity,
        .g2 = 2.0 * p->s4 * p->z32,
        .g3 = 2.0 * p->s4 * (p->z33 - p->z31),
        .g4 = -18.0 * p->s4 * eccentricity,
        .h2 = -2.0 * p->s2 * p->z22,
        .h3 = -2.0 * p->s2 * (p->z23 - p->z21),
    };
}

static struct rates rates_of(const struct pulls *p, double e2, double motion)
{
    return (struct rates){
        .e = p->s1 * motion * p->s5,
        .tilt = p->s2 * motion * (p->z11 + p->z13),
        .anomaly = -motion * p->s3 * (p->z1 + p->z3 - 14.0 - 6.0 * e2),
        .both = p->s4 * motion * (p->z31 + p->z33 - 6.0),
        .node = -motion * p->s2 * (p->z21 + p->z23),
    };
}

static void add_rates(struct sgp4_deep *deep, const struct rates *rates, double tilt)
{
    double node = tilt < flat_orbit || tilt > M_PI - flat_orbit ? 0.0 : rates->node / sin(tilt);

    deep->eccentricity_rate += rates->e;
    deep->tilt_rate += rates->tilt;
    deep->lasting.anomaly += rates->anomaly;
    deep->lasting.node += node;
    deep->lasting.perigee += rates->both - cos(tilt) * node;
}

/* How the moon's orbit lies against the equator: its node goes round in 18.6 years. */
static struct lie moon_lie(double days_1900, double node, double *ret_perigee)
{
    double around = fmod(4.5236020 - 9.2422029e-4 * days_1900, turn);
    double cosine = 0.91375164 - 0.03568096 * cos(around), sine = sqrt(1.0 - cosine * cosine);
    double node_sine = 0.089683511 * sin(around) / sine;
    double node_cosine = sqrt(1.0 - node_sine * node_sine), perigee;

    *ret_perigee = 5.8351514 + 0.0019443680 * days_1900;
    perigee = *ret_perigee - around +
              atan2(ecliptic_sine * sin(around) / sine,
                    node_cosine * cos(around) + ecliptic_cosine * node_sine * sin(around));
    return (struct lie){
        .perigee_cosine = cos(perigee),
        .perigee_sine = sin(perigee),
        .cosine = cosine,
        .sine = sine,
        .node_cosine = node_cosine * cos(node) + node_sine * sin(node),
        .node_sine = sin(node) * node_cosine - cos(node) * node_sine,
    };
}

static void make_bodies(double epoch_s, const struct sgp4_mean *mean, struct sgp4_deep *deep)
{
    static const double days_before_1970 = 25567.5; /* from 1899-12-31 12:00 */
    double days = epoch_s / UTC_DAY_S + days_before_1970, moon_perigee;
    const struct orbit orbit = {
        .motion = mean->motion,
        .e = mean->eccentricity,
        .e2 = mean->eccentricity * mean->eccentricity,
        .beta = sqrt(1.0 - mean->eccentricity * mean->eccentricity),
        .cosine = cos(mean->tilt),
        .sine = sin(mean->tilt),
        .perigee_cosine = cos(mean->perigee),
        .perigee_sine = sin(mean->perigee),
    };
    const struct lie sun = {
        .perigee_cosine = sun_perigee_cosine,
        .perigee_sine = sun_perigee_sine,
        .cosine = ecliptic_cosine,
        .sine = ecliptic_sine,
        .node_cosine = cos(mean->node),
        .node_sine = sin(mean->node),
    };
    struct lie moon = moon_lie(days, mean->node, &moon_perigee);
    struct pulls by_sun = pulls_of(&sun, &orbit, sun_pull);
    struct pulls by_moon = pulls_of(&moon, &orbit, moon_pull);
    struct rates rates = rates_of(&by_sun, orbit.e2, sun_rate);

    deep->sun = waves_of(&by_sun, orbit.e2, fmod(6.2565837 + 0.017201977 * days, turn), sun_rate,
                         sun_eccentricity);
    deep->moon =
        waves_of(&by_moon, orbit.e2, fmod(4.7199672 + 0.22997150 * days - moon_perigee, turn),
                 moon_rate, moon_eccentricity);
    add_rates(deep, &rates, mean->tilt);
    rates = rates_of(&by_moon, orbit.e2, moon_rate);
    add_rates(deep, &rates, mean->tilt);
}

void sgp4_deep_make(double epoch_s, const struct sgp4_mean *mean, const struct sgp4_rates *shape,
                    struct sgp4_deep *ret)
{
    *ret = (struct sgp4_deep){.tilt_rate = 0.0};
    make_bodies(epoch_s, mean, ret);
    sgp4_resonance_make(sidereal_greenwich_rad(epoch_s), mean, shape, &ret->lasting,
                        &ret->resonance);
}

void sgp4_deep_secular(const struct sgp4_deep *deep, double t, struct sgp4_mean *mean)
{
    mean->eccentricity += deep->eccentricity_rate * t;
    mean->tilt += deep->tilt_rate * t;
    mean->node += deep->lasting.node * t;
    mean->perigee += deep->lasting.perigee * t;
    mean->anomaly += deep->lasting.anomaly * t;
    sgp4_resonance_apply(&deep->resonance, t, mean);
}

/* --- the waves ------------------------------------------------------------------------------ */

/* The waves of a moment, in e, tilt, mean longitude, perigee and node together, and node alone
 * times the sine of the tilt. */
struct waves {
    double e, tilt, longitude, both, node;
};

static void add_waves(const struct sgp4_body *body, double t, struct waves *waves)
{
    double mean = body->anomaly + body->motion * t;
    double s = sin(mean + 2.0 * body->eccentricity * sin(mean));
    double c = cos(mean + 2.0 * body->eccentricity * sin(mean));
    double f2 = 0.5 * s * s - 0.25, f3 = -0.5 * s * c;

    waves->e += body->e2 * f2 + body->e3 * f3;
    waves->tilt += body->i2 * f2 + body->i3 * f3;
    waves->longitude += body->l2 * f2 + body->l3 * f3 + body->l4 * s;
    waves->both += body->g2 * f2 + body->g3 * f3 + body->g4 * s;
    waves->node += body->h2 * f2 + body->h3 * f3;
}

/* Nearly in the equator's plane node and perigee lose their meaning: the plane's normal is moved
 * instead, and the mean longitude kept (Lyddane's way, section 8). */
static void move_normal(const struct waves *waves, struct sgp4_mean *mean)
{
    double sine = sin(mean->tilt), cosine = cos(mean->tilt);
    double sn = sin(mean->node), cn = cos(mean->node);
    double a = sine * sn + waves->node * cn + waves->tilt * cosine * sn;
    double b = sine * cn - waves->node * sn + waves->tilt * cosine * cn;
    double old = fmod(mean->node, turn);
    double longitude = mean->anomaly + mean->perigee + cosine * old + waves->longitude +
                       waves->both - waves->tilt * old * sine;

    mean->node = atan2(a, b);
    if (fabs(old - mean->node) > M_PI) {
        mean->node += mean->node < old ? turn : -turn;
    }
    mean->anomaly += waves->longitude;
    mean->perigee = longitude - mean->anomaly - cosine * mean->node;
}

void sgp4_deep_periodic(const struct sgp4_deep *deep, double t, struct sgp4_mean *mean)
{
    struct waves waves = {0.0};

    add_waves(&deep->sun, t, &waves);
    add_waves(&deep->moon, t, &waves);
    mean->tilt += waves.tilt;
    mean->eccentricity += waves.e;
    if (mean->tilt >= steep_orbit) {
        double node = waves.node / sin(mean->tilt);
        mean->perigee += waves.both - cos(mean->tilt) * node;
        mean->node += node;
        mean->anomaly += waves.longitude;
    } else {
        move_normal(&waves, mean);
    }
}
