#include "radio/radiation.h"

#include <errno.h>
#include <math.h>

#include "sky/angle.h"

static const double pi = 3.14159265358979323846;
static const double light_m_ns = 0.299792458;

/* Below this a null is as deep as any. */
static const double deepest_db = -120.0;

/* sin x / x has fallen to half power here (numerically, from the formula). */
static const double panel_half = 1.3915573782515098;

/* Half of the power, in dB. */
static const double half_power_db = 3.010299956639812;

/* A lobe stands out of its valley by this much; the grain of a measured cut does not. */
static const double rise_db = 1.0;

/* How far out lobes are looked for, in widths, and in how many steps a width. */
enum { WIDTHS = 12, STEPS = 100 };

/* --- apertures -------------------------------------------------------------------------------- */

static double line_amplitude(double x)
{
    return fabs(x) < 1e-6 ? 1.0 : sin(x) / x;
}

/* A disc fed by rim + (1 - rim)(1 - r^2): the two parts weighed by the field that each collects. */
static double disc_amplitude(double rim, double u)
{
    double taper = (1.0 - rim) / 2.0;

    if (fabs(u) < 1e-4) {
        return 1.0;
    }
    return (rim * 2.0 * j1(u) / u + taper * 8.0 * jn(2, u) / (u * u)) / (rim + taper);
}

/* Where the disc has fallen to half power, between the even feed's 1.616 and the parabola's 1.995.
 */
static double disc_half(double rim)
{
    double in = 1.5, out = 2.1;

    for (int i = 0; i < 50; i++) {
        double middle = 0.5 * (in + out);
        if (disc_amplitude(rim, middle) > sqrt(0.5)) {
            in = middle;
        } else {
            out = middle;
        }
    }
    return in;
}

static double decibels(double amplitude)
{
    double level = 20.0 * log10(fabs(amplitude));

    return level > deepest_db ? level : deepest_db;
}

/* --- measured cuts ---------------------------------------------------------------------------- */

/* A cut that has one side only is even. */
static double cut_side(const struct radiation_cut *cut, double angle_deg)
{
    bool begins_at_peak = cut->angle_deg[0] >= 0.0;
    bool ends_at_peak = cut->angle_deg[cut->count - 1] <= 0.0;

    return begins_at_peak ? fabs(angle_deg) : ends_at_peak ? -fabs(angle_deg) : angle_deg;
}

/* Straight between the points. */
static double cut_level(const struct radiation_cut *cut, double angle_deg)
{
    double angle = cut_side(cut, angle_deg);
    size_t low = 0, high = cut->count - 1;

    if (!(angle >= cut->angle_deg[low] && angle <= cut->angle_deg[high])) {
        return NAN;
    }
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (cut->angle_deg[middle] <= angle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    double share = (angle - cut->angle_deg[low]) / (cut->angle_deg[high] - cut->angle_deg[low]);
    return cut->level_db[low] + share * (cut->level_db[high] - cut->level_db[low]);
}

/* Both sides of a cut at an angle off its peak: the worse one. */
static double worse_level(const struct radiation_cut *cut, double off_deg)
{
    return fmax(cut_level(cut, off_deg), cut_level(cut, -off_deg));
}

/* Where one side has fallen to half power, seen from the peak; NaN = it does not. */
static double cut_half(const struct radiation_cut *cut, int side)
{
    double last = 0.0, last_db = 0.0;

    for (size_t i = 0; i < cut->count; i++) {
        size_t at = side > 0 ? i : cut->count - 1 - i;
        double angle = cut->angle_deg[at] * side;
        if (angle <= 0.0) {
            continue;
        }
        if (cut->level_db[at] <= -half_power_db) {
            return last +
                   (angle - last) * (-half_power_db - last_db) / (cut->level_db[at] - last_db);
        }
        last = angle;
        last_db = cut->level_db[at];
    }
    return NAN;
}

double radiation_cut_width_deg(const struct radiation_cut *cut)
{
    double right = cut_half(cut, 1), left = cut_half(cut, -1);

    return cut->angle_deg[0] >= 0.0                ? 2.0 * right
           : cut->angle_deg[cut->count - 1] <= 0.0 ? 2.0 * left
                                                   : left + right;
}

int radiation_cut_finish(struct radiation_cut *cut)
{
    size_t first = 0, last = 0;

    for (size_t i = 1; i < cut->count; i++) {
        if (cut->level_db[i] > cut->level_db[first]) {
            first = last = i;
        } else if (cut->level_db[i] == cut->level_db[first]) {
            last = i;
        }
    }
    double top_db = cut->level_db[first];
    double middle_deg = 0.5 * (cut->angle_deg[first] + cut->angle_deg[last]);
    if (first == 0 || last == cut->count - 1) { /* one side only: its end is the peak */
        middle_deg = cut->angle_deg[first == 0 ? 0 : last];
    }
    for (size_t i = 0; i < cut->count; i++) {
        cut->level_db[i] -= top_db;
        cut->angle_deg[i] -= middle_deg;
    }
    return isfinite(radiation_cut_width_deg(cut)) ? 0 : -EDOM;
}

/* --- the antenna ------------------------------------------------------------------------------ */

struct radiation radiation_make(enum radiation_kind kind, double width_deg, double height_deg,
                                double turn_deg, double rim_db,
                                const struct radiation_cut *width_cut,
                                const struct radiation_cut *height_cut)
{
    double rim = pow(10.0, -rim_db / 20.0);

    return (struct radiation){.kind = kind,
                              .width_deg = width_deg,
                              .height_deg = height_deg,
                              .turn_deg = turn_deg,
                              .rim = rim,
                              .half = kind == RADIATION_DISH ? disc_half(rim) : NAN,
                              .width_cut = width_cut,
                              .height_cut = height_cut};
}

static double panel_level(const struct radiation *r, double across, double along)
{
    double x = 2.0 * panel_half * across / r->width_deg;
    double y = 2.0 * panel_half * along / r->height_deg;
    double width = r->width_cut ? cut_level(r->width_cut, across) : decibels(line_amplitude(x));
    double height = r->height_cut ? cut_level(r->height_cut, along) : decibels(line_amplitude(y));

    return width + height;
}

static double dish_level(const struct radiation *r, double across, double along)
{
    /* one measured cut stands for all directions, stretched where the dish is not round */
    double stretched = along * r->width_deg / r->height_deg;
    double off = hypot(across, along);

    if (r->width_cut && r->height_cut && off > 0.0) {
        double share = across * across / (off * off);
        return share * cut_level(r->width_cut, across < 0.0 ? -off : off) +
               (1.0 - share) * cut_level(r->height_cut, along < 0.0 ? -off : off);
    }
    if (r->width_cut) {
        return worse_level(r->width_cut, hypot(across, stretched));
    }
    if (r->height_cut) {
        return worse_level(r->height_cut, hypot(across * r->height_deg / r->width_deg, along));
    }
    return decibels(
        disc_amplitude(r->rim, 2.0 * r->half * hypot(across, stretched) / r->width_deg));
}

double radiation_level_db(const struct radiation *radiation, double x, double y)
{
    double c = cos(radiation->turn_deg * ANGLE_RAD_PER_DEG);
    double s = sin(radiation->turn_deg * ANGLE_RAD_PER_DEG);
    double across = c * x - s * y, along = s * x + c * y;
    double level = radiation->kind == RADIATION_PANEL ? panel_level(radiation, across, along)
                                                      : dish_level(radiation, across, along);

    return level < deepest_db ? deepest_db : level;
}

/* --- along a direction ------------------------------------------------------------------------ */

static double level_along(const struct radiation *r, double direction_deg, double off_deg)
{
    double direction = direction_deg * ANGLE_RAD_PER_DEG;

    return radiation_level_db(r, off_deg * sin(direction), off_deg * cos(direction));
}

static double step_of(const struct radiation *r)
{
    return fmin(r->width_deg, r->height_deg) / STEPS;
}

static int most_steps(const struct radiation *r)
{
    double ratio = fmax(r->width_deg, r->height_deg) / fmin(r->width_deg, r->height_deg);

    return (int)(fmin(ratio, 100.0) * WIDTHS * STEPS);
}

double radiation_error_deg(const struct radiation *radiation, double direction_deg, double loss_db)
{
    double step = step_of(radiation), in = 0.0, valley = 0.0;

    for (int i = 1; i <= most_steps(radiation); i++) {
        double out = step * i, level = level_along(radiation, direction_deg, out);
        if (isnan(level) || level > valley + rise_db) {
            return NAN; /* not measured, or the main lobe has ended */
        }
        valley = fmin(valley, level);
        if (level > -loss_db) {
            in = out;
            continue;
        }
        for (int k = 0; k < 50; k++) {
            double middle = 0.5 * (in + out);
            if (level_along(radiation, direction_deg, middle) > -loss_db) {
                in = middle;
            } else {
                out = middle;
            }
        }
        return in;
    }
    return NAN;
}

double radiation_width_deg(const struct radiation *radiation, double direction_deg)
{
    return radiation_error_deg(radiation, direction_deg, half_power_db) +
           radiation_error_deg(radiation, direction_deg + 180.0, half_power_db);
}

bool radiation_side_lobe(const struct radiation *radiation, double direction_deg,
                         double *ret_offset_deg, double *ret_level_db)
{
    double step = step_of(radiation), valley = 0.0, top = deepest_db, at = NAN;

    for (int i = 1; i <= most_steps(radiation); i++) {
        double level = level_along(radiation, direction_deg, step * i);
        if (isnan(level)) {
            return false;
        }
        if (isnan(at)) {
            valley = fmin(valley, level);
        }
        if (level > top && level > valley + rise_db) {
            top = level;
            at = step * i;
        } else if (!isnan(at) && level < top - rise_db) {
            *ret_offset_deg = at;
            *ret_level_db = top;
            return true;
        }
    }
    return false;
}

double radiation_discrimination_db(const struct radiation *radiation, double x, double y)
{
    double off = hypot(x, y), direction = atan2(x, y) / ANGLE_RAD_PER_DEG;
    double reach = 0.25 * radiation_width_deg(radiation, direction), best = deepest_db;

    if (!isfinite(reach)) {
        return NAN;
    }
    for (int i = -10; i <= 10; i++) {
        double level = level_along(radiation, direction, fmax(0.0, off + reach * i / 10.0));
        if (isnan(level)) {
            return NAN;
        }
        best = fmax(best, level);
    }
    return fabs(best);
}

/* --- gain and masks --------------------------------------------------------------------------- */

double radiation_gain_dbi(double area_m2, double frequency_ghz, double efficiency)
{
    double wavelength_m = light_m_ns / frequency_ghz;

    return 10.0 * log10(efficiency * 4.0 * pi * area_m2 / (wavelength_m * wavelength_m));
}

double radiation_mask_dbi(enum radiation_mask mask, double diameter_wl, double off_deg)
{
    double begin = diameter_wl >= 50.0 ? fmax(1.0, 100.0 / diameter_wl)
                                       : fmax(2.0, 114.0 * pow(diameter_wl, -1.09));

    if (!(off_deg >= begin && off_deg <= 180.0) ||
        (mask == RADIATION_S580 && !(diameter_wl >= 50.0))) {
        return NAN;
    }
    if (off_deg >= 48.0) {
        return -10.0;
    }
    double top = mask == RADIATION_S580 && off_deg <= 20.0 ? 29.0 : 32.0;
    return top - 25.0 * log10(off_deg);
}
