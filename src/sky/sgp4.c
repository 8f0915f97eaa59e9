#include "sky/sgp4.h"

#include <errno.h>
#include <math.h>

#include "sky/angle.h"
#include "sky/sidereal.h"
#include "sky/utc.h"

/* WGS-72 (AIAA 2006-6753, table 1). */
static const double earth_km = 6378.135, gravity_km3_s2 = 398600.8;
static const double j2 = 0.001082616, j3 = -0.00000253881, j4 = -0.00000165597;

/* Air density is taken as a power law between these heights (Spacetrack Report No. 3, section 6).
 */
static const double air_top_km = 120.0, air_bottom_km = 78.0;
static const double low_perigee_km = 156.0, lowest_perigee_km = 98.0, lowest_bottom_km = 20.0;
static const double simple_perigee_km = 220.0;

/* Below this eccentricity the terms that divide by it are left out. */
static const double round_orbit = 1e-4;

static const double deep_period_min = 225.0;
static const double turn = 2.0 * M_PI;

/* Square root of the earth's gravity in earth radii and minutes. */
static double gravity_root(void)
{
    return 60.0 / sqrt(earth_km * earth_km * earth_km / gravity_km3_s2);
}

static double axis_of(double motion)
{
    return pow(gravity_root() / motion, 2.0 / 3.0);
}

/* What of the tilt the formulas of the earth's shape take. */
struct tilt {
    double sine, cosine, square; /* square of the cosine */
    double third;                /* 3 cos^2 - 1 */
};

static struct tilt tilt_of(double angle)
{
    double c = cos(angle);

    return (struct tilt){sin(angle), c, c * c, 3.0 * c * c - 1.0};
}

/* --- making ready --------------------------------------------------------------------------- */

/* Kozai's mean motion, which elements give, to Brouwer's, which the theory takes (section 6). */
static double brouwer_motion(double kozai, double eccentricity, const struct tilt *tilt)
{
    double shape = 0.75 * j2 * tilt->third / pow(1.0 - eccentricity * eccentricity, 1.5);
    double axis = axis_of(kozai), d = shape / (axis * axis);

    axis *= 1.0 - d * (1.0 / 3.0 + d * (1.0 + 134.0 / 81.0 * d));
    return kozai / (1.0 + shape / (axis * axis));
}

/* The rates by the earth's shape, second order in J2, first in J4. */
static struct sgp4_rates shape_rates(const struct sgp4 *sgp4, double axis, const struct tilt *tilt,
                                     double *ret_node_first)
{
    double q = tilt->square, q2 = q * q, e2 = sgp4->eccentricity * sgp4->eccentricity;
    double flat = 1.0 / (axis * (1.0 - e2)), p2 = flat * flat, root = sqrt(1.0 - e2);
    double first = 1.5 * j2 * p2 * sgp4->motion, second = 0.5 * first * j2 * p2;
    double fourth = -0.46875 * j4 * p2 * p2 * sgp4->motion;

    *ret_node_first = -first * tilt->cosine;
    return (struct sgp4_rates){
        .anomaly = sgp4->motion + 0.5 * first * root * tilt->third +
                   0.0625 * second * root * (13.0 - 78.0 * q + 137.0 * q2),
        .perigee = -0.5 * first * (1.0 - 5.0 * q) +
                   0.0625 * second * (7.0 - 114.0 * q + 395.0 * q2) +
                   fourth * (3.0 - 36.0 * q + 49.0 * q2),
        .node = *ret_node_first +
                (0.5 * second * (4.0 - 19.0 * q) + 2.0 * fourth * (3.0 - 7.0 * q)) * tilt->cosine,
    };
}

/* The air as the perigee meets it. */
struct air {
    double bottom; /* s, earth radii from the centre */
    double spread; /* (q0 - s)^4 */
};

static struct air air_at(double perigee_km)
{
    double bottom_km = air_bottom_km, spread;

    if (perigee_km < low_perigee_km) {
        bottom_km = perigee_km < lowest_perigee_km ? lowest_bottom_km : perigee_km - air_bottom_km;
    }
    spread = (air_top_km - bottom_km) / earth_km;
    return (struct air){bottom_km / earth_km + 1.0, spread * spread * spread * spread};
}

/* Higher powers of the drag, for orbits that it doesn't bring down at once. */
static void make_drag_powers(struct sgp4 *sgp4, double axis, double xi, double bottom)
{
    double c1 = sgp4->c1, c1c1 = c1 * c1, step;

    sgp4->d2 = 4.0 * axis * xi * c1c1;
    step = sgp4->d2 * xi * c1 / 3.0;
    sgp4->d3 = (17.0 * axis + bottom) * step;
    sgp4->d4 = 0.5 * step * axis * xi * (221.0 * axis + 31.0 * bottom) * c1;
    sgp4->t3 = sgp4->d2 + 2.0 * c1c1;
    sgp4->t4 = 0.25 * (3.0 * sgp4->d3 + c1 * (12.0 * sgp4->d2 + 10.0 * c1c1));
    sgp4->t5 = 0.2 * (3.0 * sgp4->d4 + 12.0 * c1 * sgp4->d3 + 6.0 * sgp4->d2 * sgp4->d2 +
                      15.0 * c1c1 * (2.0 * sgp4->d2 + c1c1));
}

/* The drag's coefficients c1 to c5 and what follows from them (section 6). */
static void make_drag(struct sgp4 *sgp4, double axis, const struct tilt *tilt, double node_first)
{
    double e = sgp4->eccentricity, beta2 = 1.0 - e * e, n = sgp4->motion;
    struct air air = air_at((axis * (1.0 - e) - 1.0) * earth_km);
    double xi = 1.0 / (axis - air.bottom), eta = axis * e * xi, eta2 = eta * eta, ee = e * eta;
    double psi2 = fabs(1.0 - eta2), dense = air.spread * xi * xi * xi * xi;
    double denser = dense / pow(psi2, 3.5), flat = j2 * xi / psi2;
    double c2 = denser * n *
                (axis * (1.0 + 1.5 * eta2 + ee * (4.0 + eta2)) +
                 0.375 * flat * tilt->third * (8.0 + 3.0 * eta2 * (8.0 + eta2)));
    double c3 = e > round_orbit ? -2.0 * dense * xi * j3 / j2 * n * tilt->sine / e : 0.0;
    double wave = 1.0 + eta * cos(sgp4->anomaly);

    sgp4->eta = eta;
    sgp4->c1 = sgp4->drag * c2;
    sgp4->c4 = 2.0 * n * denser * axis * beta2 *
               (eta * (2.0 + 0.5 * eta2) + e * (0.5 + 2.0 * eta2) -
                flat / axis *
                    (-3.0 * tilt->third * (1.0 - 2.0 * ee + eta2 * (1.5 - 0.5 * ee)) +
                     0.75 * (1.0 - tilt->square) * (2.0 * eta2 - ee * (1.0 + eta2)) *
                         cos(2.0 * sgp4->perigee)));
    sgp4->c5 = 2.0 * denser * axis * beta2 * (1.0 + 2.75 * (eta2 + ee) + ee * eta2);
    sgp4->perigee_drag = sgp4->drag * c3 * cos(sgp4->perigee);
    sgp4->anomaly_drag = e > round_orbit ? -2.0 / 3.0 * dense * sgp4->drag / ee : 0.0;
    sgp4->node_drag = 3.5 * beta2 * node_first * sgp4->c1;
    sgp4->start_cube = wave * wave * wave;
    sgp4->start_sine = sin(sgp4->anomaly);
    sgp4->t2 = 1.5 * sgp4->c1;
    if (!sgp4->simple) {
        make_drag_powers(sgp4, axis, xi, air.bottom);
    }
}

int sgp4_make(const struct elements *elements, struct sgp4 *ret)
{
    struct sgp4 sgp4 = {
        .epoch_s = elements->epoch_s,
        .eccentricity = elements->eccentricity,
        .tilt = elements->inclination_deg * ANGLE_RAD_PER_DEG,
        .node = elements->node_deg * ANGLE_RAD_PER_DEG,
        .perigee = elements->perigee_deg * ANGLE_RAD_PER_DEG,
        .anomaly = elements->anomaly_deg * ANGLE_RAD_PER_DEG,
        .drag = elements->drag,
    };
    double kozai = elements->mean_motion_rev_day * turn / 1440.0, axis, node_first;
    struct tilt tilt = tilt_of(sgp4.tilt);
    struct sgp4_rates rates;

    if (!(sgp4.eccentricity >= 0.0 && sgp4.eccentricity < 1.0) ||
        !(elements->mean_motion_rev_day >= 1e-3)) {
        return -EDOM;
    }
    sgp4.motion = brouwer_motion(kozai, sgp4.eccentricity, &tilt);
    axis = axis_of(sgp4.motion);
    if (!isfinite(axis)) {
        return -EDOM;
    }
    sgp4.deep = turn / sgp4.motion >= deep_period_min;
    sgp4.simple =
        sgp4.deep || axis * (1.0 - sgp4.eccentricity) < simple_perigee_km / earth_km + 1.0;
    rates = shape_rates(&sgp4, axis, &tilt, &node_first);
    sgp4.anomaly_rate = rates.anomaly;
    sgp4.perigee_rate = rates.perigee;
    sgp4.node_rate = rates.node;
    make_drag(&sgp4, axis, &tilt, node_first);
    if (sgp4.deep) {
        const struct sgp4_mean mean = {sgp4.motion, sgp4.eccentricity, sgp4.tilt,
                                       sgp4.node,   sgp4.perigee,      sgp4.anomaly};
        sgp4_deep_make(sgp4.epoch_s, &mean, &rates, &sgp4.pull);
    }
    *ret = sgp4;
    return 0;
}

/* --- at a time ------------------------------------------------------------------------------ */

/* Mean elements t minutes after the epoch, all that lasts included, and the semi-major axis. 0 or
 * -EDOM. */
static int mean_at(const struct sgp4 *sgp4, double t, struct sgp4_mean *ret, double *ret_axis)
{
    double even = sgp4->anomaly + sgp4->anomaly_rate * t; /* as if there were no drag */
    struct sgp4_mean mean = {
        .motion = sgp4->motion,
        .eccentricity = sgp4->eccentricity,
        .tilt = sgp4->tilt,
        .node = sgp4->node + sgp4->node_rate * t + sgp4->node_drag * t * t,
        .perigee = sgp4->perigee + sgp4->perigee_rate * t,
        .anomaly = even,
    };
    double shrink = 1.0 - sgp4->c1 * t, rounder = sgp4->drag * sgp4->c4 * t;
    double gain = sgp4->t2 * t * t, axis;

    if (!sgp4->simple) {
        double wave = 1.0 + sgp4->eta * cos(even);
        double shift =
            sgp4->perigee_drag * t + sgp4->anomaly_drag * (wave * wave * wave - sgp4->start_cube);
        mean.anomaly += shift;
        mean.perigee -= shift;
        shrink -= t * t * (sgp4->d2 + t * (sgp4->d3 + t * sgp4->d4));
        rounder += sgp4->drag * sgp4->c5 * (sin(mean.anomaly) - sgp4->start_sine);
        gain += t * t * t * (sgp4->t3 + t * (sgp4->t4 + t * sgp4->t5));
    }
    if (sgp4->deep) {
        sgp4_deep_secular(&sgp4->pull, t, &mean);
    }
    axis = axis_of(mean.motion) * shrink * shrink;
    mean.motion = gravity_root() / pow(axis, 1.5);
    mean.eccentricity -= rounder;
    if (!(mean.motion > 0.0 && mean.eccentricity >= -0.001 && mean.eccentricity < 1.0)) {
        return -EDOM;
    }
    mean.eccentricity = fmax(mean.eccentricity, 1e-6);
    mean.anomaly += sgp4->motion * gain;
    *ret = mean;
    *ret_axis = axis;
    return 0;
}

/* The waves of the earth's unevenness north and south (J3): e cos and e sin of the perigee, and the
 * argument of latitude by mean motion. */
struct long_wave {
    double ex, ey, latitude;
};

static struct long_wave long_wave(const struct sgp4_mean *mean, double axis,
                                  const struct tilt *tilt)
{
    /* straight against the earth's turn the divisor vanishes, and so does the sine before it */
    double beside = fmax(1.0 + tilt->cosine, 1.5e-12);
    double share = 1.0 / (axis * (1.0 - mean->eccentricity * mean->eccentricity));
    double pear = j3 / j2 * tilt->sine;
    double ex = mean->eccentricity * cos(mean->perigee);
    double along = -0.25 * pear * (3.0 + 5.0 * tilt->cosine) / beside;

    return (struct long_wave){
        .ex = ex,
        .ey = mean->eccentricity * sin(mean->perigee) - 0.5 * pear * share,
        .latitude = fmod(mean->anomaly + mean->perigee + share * along * ex, turn),
    };
}

/* Kepler's equation in e cos and e sin: eccentric anomaly and perigee together. Newton's steps are
 * kept short, or an orbit long drawn out would not converge. */
static double kepler(const struct long_wave *wave)
{
    double u = wave->latitude;

    for (int i = 0; i < 10; i++) {
        double s = sin(u), c = cos(u);
        double step = (wave->latitude - wave->ey * c + wave->ex * s - u) /
                      (1.0 - c * wave->ex - s * wave->ey);
        u += fmin(fmax(step, -0.95), 0.95);
        if (fabs(step) < 1e-12) {
            break;
        }
    }
    return u;
}

/* Within the plane of the orbit: radius, angle from the node, and the speeds along both. */
struct plane {
    double radius, angle, node, tilt, out, along;
};

/* The waves of a turn by the earth's flattening, first order in J2. */
static struct plane short_wave(const struct sgp4_mean *mean, double axis, const struct tilt *tilt,
                               const struct long_wave *wave, double u)
{
    double s = sin(u), c = cos(u), ex = wave->ex, ey = wave->ey;
    double e_cos = ex * c + ey * s, e_sin = ex * s - ey * c, e2 = ex * ex + ey * ey;
    double p = axis * (1.0 - e2), r = axis * (1.0 - e_cos), beta = sqrt(1.0 - e2);
    double share = e_sin / (1.0 + beta);
    double sin_u = axis / r * (s - ey - ex * share), cos_u = axis / r * (c - ex + ey * share);
    double sin_2u = 2.0 * sin_u * cos_u, cos_2u = 1.0 - 2.0 * sin_u * sin_u;
    double k1 = 0.5 * j2 / p, k2 = k1 / p, across = 1.0 - tilt->square;
    double speed = mean->motion * k1 / gravity_root();

    return (struct plane){
        .radius = r * (1.0 - 1.5 * k2 * beta * tilt->third) + 0.5 * k1 * across * cos_2u,
        .angle = atan2(sin_u, cos_u) - 0.25 * k2 * (7.0 * tilt->square - 1.0) * sin_2u,
        .node = mean->node + 1.5 * k2 * tilt->cosine * sin_2u,
        .tilt = mean->tilt + 1.5 * k2 * tilt->cosine * tilt->sine * cos_2u,
        .out = sqrt(axis) * e_sin / r - speed * across * sin_2u,
        .along = sqrt(p) / r + speed * (across * cos_2u + 1.5 * tilt->third),
    };
}

/* Out of the plane of the orbit into that of the equator. */
static void place(const struct plane *plane, double ret_km[3], double ret_km_s[3])
{
    double cn = cos(plane->node), sn = sin(plane->node), ct = cos(plane->tilt),
           st = sin(plane->tilt);
    double c = cos(plane->angle), s = sin(plane->angle);
    const double out[3] = {c * cn - s * ct * sn, c * sn + s * ct * cn, s * st};
    const double on[3] = {-s * cn - c * ct * sn, -s * sn + c * ct * cn, c * st};
    double km_s = earth_km * gravity_root() / 60.0;

    for (int k = 0; k < 3; k++) {
        ret_km[k] = plane->radius * out[k] * earth_km;
        if (ret_km_s) {
            ret_km_s[k] = (plane->out * out[k] + plane->along * on[k]) * km_s;
        }
    }
}

int sgp4_at(const struct sgp4 *sgp4, double unix_s, double ret_km[3], double ret_km_s[3])
{
    double t = (unix_s - sgp4->epoch_s) / 60.0, axis;
    struct sgp4_mean mean;
    struct long_wave wave;
    struct plane plane;
    struct tilt tilt;
    int r = mean_at(sgp4, t, &mean, &axis);

    if (r < 0) {
        return r;
    }
    if (sgp4->deep) {
        sgp4_deep_periodic(&sgp4->pull, t, &mean);
        if (mean.tilt < 0.0) { /* the same plane, its nodes exchanged */
            mean.tilt = -mean.tilt;
            mean.node += M_PI;
            mean.perigee -= M_PI;
        }
        if (!(mean.eccentricity >= 0.0 && mean.eccentricity <= 1.0)) {
            return -EDOM;
        }
    }
    tilt = tilt_of(mean.tilt);
    wave = long_wave(&mean, axis, &tilt);
    if (!(wave.ex * wave.ex + wave.ey * wave.ey < 1.0)) {
        return -EDOM;
    }
    plane = short_wave(&mean, axis, &tilt, &wave, kepler(&wave));
    if (!(plane.radius >= 1.0)) {
        return -ERANGE;
    }
    place(&plane, ret_km, ret_km_s);
    return 0;
}

int sgp4_earth_fixed(const struct sgp4 *sgp4, double unix_s, double ret_km[3])
{
    double km[3];
    int r = sgp4_at(sgp4, unix_s, km, NULL);

    if (r == 0) {
        sidereal_to_earth(unix_s, km, ret_km);
    }
    return r;
}
