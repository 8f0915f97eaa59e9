#include "sky/sgp4_resonance.h"

#include <math.h>

static const double turn = 2.0 * M_PI;

/* The earth's turn, radians a minute, and its gravity's root in earth radii and minutes. */
static const double earth_rate = 4.37526908801129966e-3, gravity_root = 0.0743669161331734132;

/* A polynomial of the eccentricity, from the lowest power. */
static double polynomial(const double c[4], double e)
{
    return c[0] + e * (c[1] + e * (c[2] + e * c[3]));
}

/* --- a turn a day --------------------------------------------------------------------------- */

/* The lumps (2,2), (3,1) and (3,3) of the earth pull a satellite that stands still. */
static void make_day(const struct sgp4_mean *mean, struct sgp4_resonance *resonance)
{
    static const double q22 = 1.7891679e-6, q31 = 2.1460748e-6, q33 = 2.2123015e-7;
    static const double phase_31 = 0.13130908, phase_22 = 2.8843198, phase_33 = 0.37448087;
    double e2 = mean->eccentricity * mean->eccentricity, c = cos(mean->tilt), s = sin(mean->tilt);
    double nearness = pow(mean->motion / gravity_root, 2.0 / 3.0);
    double pull = 3.0 * mean->motion * mean->motion * nearness * nearness;
    double g200 = 1.0 + e2 * (-2.5 + 0.8125 * e2), g310 = 1.0 + 2.0 * e2;
    double g300 = 1.0 + e2 * (-6.0 + 6.60937 * e2), tall = 1.0 + c;
    double f220 = 0.75 * tall * tall;
    double f311 = 0.9375 * s * s * (1.0 + 3.0 * c) - 0.75 * tall;
    double f330 = 1.875 * tall * tall * tall;

    resonance->terms[0] =
        (struct sgp4_term){pull * nearness * f311 * g310 * q31, 1.0, 0.0, phase_31};
    resonance->terms[1] =
        (struct sgp4_term){2.0 * pull * f220 * g200 * q22, 2.0, 0.0, 2.0 * phase_22};
    resonance->terms[2] =
        (struct sgp4_term){3.0 * pull * nearness * f330 * g300 * q33, 3.0, 0.0, 3.0 * phase_33};
    resonance->term_count = 3;
}

/* --- half a day, long drawn out ------------------------------------------------------------- */

/* Eccentricity functions of the half-day resonance: polynomials that meet at some eccentricity. */
struct by_eccentricity {
    double g201, g211, g310, g322, g410, g422, g520, g521, g532, g533;
};

static struct by_eccentricity functions_of(double e)
{
    static const double low[][4] = {
        {3.616, -13.2470, 16.2900, 0.0},
        {-19.302, 117.3900, -228.4190, 156.5910},
        {-18.9068, 109.7927, -214.6334, 146.5816},
        {-41.122, 242.6940, -471.0940, 313.9530},
        {-146.407, 841.8800, -1629.014, 1083.4350},
        {-532.114, 3017.977, -5740.032, 3708.2760},
    };
    static const double high[][4] = {
        {-72.099, 331.819, -508.738, 266.724},         {-346.844, 1582.851, -2415.925, 1246.113},
        {-342.585, 1554.908, -2366.899, 1215.972},     {-1052.797, 4758.686, -7193.992, 3651.957},
        {-3581.690, 16178.110, -24462.770, 12422.520}, {1464.74, -4664.75, 3763.64, 0.0},
    };
    static const double highest_520[4] = {-5149.66, 29936.92, -54087.36, 31324.56};
    static const double fifth_low[][4] = {
        {-822.71072, 4568.6173, -8491.4146, 5337.524},
        {-853.66600, 4690.2500, -8624.7700, 5341.4},
        {-919.22770, 4988.6100, -9064.7700, 5542.21},
    };
    static const double fifth_high[][4] = {
        {-51752.104, 218913.95, -309468.16, 146349.42},
        {-40023.880, 170470.89, -242699.48, 115605.82},
        {-37995.780, 161616.52, -229838.20, 109377.94},
    };
    const double(*c)[4] = e <= 0.65 ? low : high;
    const double(*fifth)[4] = e < 0.7 ? fifth_low : fifth_high;

    return (struct by_eccentricity){
        .g201 = -0.306 - (e - 0.64) * 0.440,
        .g211 = polynomial(c[0], e),
        .g310 = polynomial(c[1], e),
        .g322 = polynomial(c[2], e),
        .g410 = polynomial(c[3], e),
        .g422 = polynomial(c[4], e),
        .g520 = polynomial(e > 0.715 ? highest_520 : c[5], e),
        .g521 = polynomial(fifth[0], e),
        .g532 = polynomial(fifth[1], e),
        .g533 = polynomial(fifth[2], e),
    };
}

static void make_half_day(const struct sgp4_mean *mean, struct sgp4_resonance *resonance)
{
    static const double root22 = 1.7891679e-6, root32 = 3.7393792e-7, root44 = 7.3636953e-9,
                        root52 = 1.1428639e-7, root54 = 2.1765803e-9;
    static const double p22 = 5.7686396, p32 = 0.95240898, p44 = 1.8014998, p52 = 1.0508330,
                        p54 = 4.4108898;
    double c = cos(mean->tilt), s = sin(mean->tilt), c2 = c * c, s2 = s * s;
    double nearness = pow(mean->motion / gravity_root, 2.0 / 3.0);
    double second = 3.0 * mean->motion * mean->motion * nearness * nearness;
    double third = second * nearness, fourth = third * nearness, fifth = fourth * nearness;
    double f220 = 0.75 * (1.0 + 2.0 * c + c2), f221 = 1.5 * s2;
    double f321 = 1.875 * s * (1.0 - 2.0 * c - 3.0 * c2);
    double f322 = -1.875 * s * (1.0 + 2.0 * c - 3.0 * c2);
    double f441 = 35.0 * s2 * f220, f442 = 39.3750 * s2 * s2;
    double f522 =
        9.84375 * s * (s2 * (1.0 - 2.0 * c - 5.0 * c2) + 0.33333333 * (-2.0 + 4.0 * c + 6.0 * c2));
    double f523 = s * (4.92187512 * s2 * (-2.0 - 4.0 * c + 10.0 * c2) +
                       6.56250012 * (1.0 + 2.0 * c - 3.0 * c2));
    double f542 = 29.53125 * s * (2.0 - 8.0 * c + c2 * (-12.0 + 8.0 * c + 10.0 * c2));
    double f543 = 29.53125 * s * (-2.0 - 8.0 * c + c2 * (12.0 + 8.0 * c - 10.0 * c2));
    struct by_eccentricity g = functions_of(mean->eccentricity);
    const struct sgp4_term terms[SGP4_RESONANCE_TERMS] = {
        {second * root22 * f220 * g.g201, 1.0, 2.0, p22},
        {second * root22 * f221 * g.g211, 1.0, 0.0, p22},
        {third * root32 * f321 * g.g310, 1.0, 1.0, p32},
        {third * root32 * f322 * g.g322, 1.0, -1.0, p32},
        {2.0 * fourth * root44 * f441 * g.g410, 2.0, 2.0, p44},
        {2.0 * fourth * root44 * f442 * g.g422, 2.0, 0.0, p44},
        {fifth * root52 * f522 * g.g520, 1.0, 1.0, p52},
        {fifth * root52 * f523 * g.g532, 1.0, -1.0, p52},
        {2.0 * fifth * root54 * f542 * g.g521, 2.0, 1.0, p54},
        {2.0 * fifth * root54 * f543 * g.g533, 2.0, -1.0, p54},
    };

    for (int i = 0; i < SGP4_RESONANCE_TERMS; i++) {
        resonance->terms[i] = terms[i];
    }
    resonance->term_count = SGP4_RESONANCE_TERMS;
}

/* --- along the way -------------------------------------------------------------------------- */

void sgp4_resonance_make(double sidereal, const struct sgp4_mean *mean,
                         const struct sgp4_rates *shape, const struct sgp4_rates *lasting,
                         struct sgp4_resonance *ret)
{
    /* motions that resonate, radians a minute (section 8) */
    static const double day_low = 0.0034906585, day_high = 0.0052359877;
    static const double half_low = 8.26e-3, half_high = 9.24e-3, half_eccentricity = 0.5;
    double node_rate = shape->node + lasting->node - earth_rate;
    double anomaly_rate = shape->anomaly + lasting->anomaly - mean->motion;

    *ret = (struct sgp4_resonance){
        .kind = SGP4_NO_RESONANCE,
        .perigee = mean->perigee,
        .perigee_rate = shape->perigee,
        .sidereal = sidereal,
        .motion = mean->motion,
    };
    if (mean->motion > day_low && mean->motion < day_high) {
        ret->kind = SGP4_DAY;
        ret->longitude = fmod(mean->anomaly + mean->node + mean->perigee - sidereal, turn);
        ret->longitude_rate = anomaly_rate + node_rate + shape->perigee + lasting->perigee;
        make_day(mean, ret);
    } else if (mean->motion >= half_low && mean->motion <= half_high &&
               mean->eccentricity >= half_eccentricity) {
        ret->kind = SGP4_HALF_DAY;
        ret->longitude = fmod(mean->anomaly + 2.0 * (mean->node - sidereal), turn);
        ret->longitude_rate = anomaly_rate + 2.0 * node_rate;
        make_half_day(mean, ret);
    }
}

/* How the pulls change the motion: the first and the second derivative by time. */
static void pull_at(const struct sgp4_resonance *resonance, double t, double longitude,
                    double speed, double *ret_first, double *ret_second)
{
    double perigee = resonance->perigee + resonance->perigee_rate * t;

    *ret_first = *ret_second = 0.0;
    for (int i = 0; i < resonance->term_count; i++) {
        const struct sgp4_term *term = &resonance->terms[i];
        double angle = term->turns * longitude + term->perigee_turns * perigee - term->phase;
        *ret_first += term->size * sin(angle);
        *ret_second += term->size * term->turns * cos(angle) * speed;
    }
}

/*
 * Euler-Maclaurin steps of half a day from the epoch on, each time anew: so nothing is kept between
 * calls, and a year costs 730 steps.
 */
void sgp4_resonance_apply(const struct sgp4_resonance *resonance, double t, struct sgp4_mean *mean)
{
    static const double step_min = 720.0, farthest_min = 1440.0 * 365.25 * 50.0;
    double at = 0.0, longitude = resonance->longitude, motion = resonance->motion;
    double sidereal = fmod(resonance->sidereal + t * earth_rate, turn), rest, left;

    if (resonance->kind == SGP4_NO_RESONANCE) {
        return;
    }
    if (!(fabs(t) <= farthest_min)) {
        mean->motion = NAN; /* no elements are good for so long, and the steps would not end */
        return;
    }
    do {
        double first, second, speed = motion + resonance->longitude_rate;
        pull_at(resonance, at, longitude, speed, &first, &second);
        rest = t - at;
        left = fmin(fmax(rest, -step_min), step_min);
        longitude += left * (speed + 0.5 * first * left);
        motion += left * (first + 0.5 * second * left);
        at += left;
    } while (fabs(rest) > step_min);
    mean->motion = motion;
    if (resonance->kind == SGP4_DAY) {
        mean->anomaly = longitude - mean->node - mean->perigee + sidereal;
    } else {
        mean->anomaly = longitude - 2.0 * mean->node + 2.0 * sidereal;
    }
}
