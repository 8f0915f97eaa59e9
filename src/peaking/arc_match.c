#include "peaking/arc_match.h"

#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "sky/angle.h"

static const double bias_reach = 4.0; /* sd of the compass that are tried */
static const double bias_steps = 3.0; /* a peak's error */
/* Peaks of nothing listed: so many are met in a sweep on average, anywhere within these ranges. */
static const double strangers_met = 0.3, least_sweep_deg = 10.0;
static const double stranger_elevation_deg = 6.0, stranger_level_db = 20.0;
/* A receiver hardly ever names the wrong satellite. */
static const double wrong_name = 1e-4;
static const double narrow = 0.75, broad = 1.3;
static const double odd_width = 30.0; /* times likelier from a side lobe or two carriers */
static const double poor_misfit = 2.5;
enum { BIASES = 1024 };

typedef double grid[ARC_PEAKS + 1][ARC_SATELLITES + 1];

struct work {
    const struct arc_peak *peaks;
    const struct arc_satellite *satellites;
    const struct arc_prior *prior;
    int n, m, target;
    int peak[ARC_PEAKS], satellite[ARC_SATELLITES]; /* by growing azimuth */
    double reference_deg;                           /* azimuths below are relative to it */
    double peak_az[ARC_PEAKS], satellite_az[ARC_SATELLITES];
    double low, high;                           /* swept, measured */
    double likeness[ARC_PEAKS][ARC_SATELLITES]; /* but for azimuth */
    double stranger[ARC_PEAKS];
    double missed[ARC_SATELLITES];              /* at the bias at hand */
    grid match;                                 /* likelihoods at the bias at hand; [i][j] from 1 */
    grid matched_before, skipped_before, after; /* sums of weights: see sum_up() */
    double share[ARC_PEAKS][ARC_SATELLITES];
};

static double normal(double off, double sd)
{
    double z = off / sd;

    return 0.3989422804 / sd * exp(-0.5 * z * z);
}

/* --- what is alike, apart from azimuth -------------------------------------------------------- */

static void compare(struct work *work, int i, int j)
{
    const struct arc_peak *peak = &work->peaks[work->peak[i]];
    const struct arc_satellite *satellite = &work->satellites[work->satellite[j]];
    double like = 1.0;

    if (isfinite(peak->elevation_deg) && isfinite(satellite->elevation_deg)) {
        like *= normal(peak->elevation_deg - satellite->elevation_deg,
                       work->prior->elevation_error_deg);
    }
    if (isfinite(peak->level)) {
        like *= isfinite(satellite->level)
                    ? normal(peak->level - satellite->level, work->prior->level_error_db)
                    : 1.0 / stranger_level_db;
    }
    if (peak->id >= 0) {
        like *= peak->id == work->satellite[j] ? 1.0 : wrong_name;
    }
    if (peak->not_target && work->satellite[j] == work->target) {
        like *= wrong_name;
    }
    work->likeness[i][j] = like;
}

static void weigh_stranger(struct work *work, int i)
{
    const struct arc_peak *peak = &work->peaks[work->peak[i]];
    double weight = strangers_met / fmax(work->high - work->low, least_sweep_deg);

    weight /= isfinite(peak->elevation_deg) ? stranger_elevation_deg : 1.0;
    weight /= isfinite(peak->level) ? stranger_level_db : 1.0;
    weight *= peak->id >= 0 ? wrong_name : 1.0;
    if (peak->width_ratio < narrow || peak->width_ratio > broad) {
        weight *= odd_width;
    }
    work->stranger[i] = weight;
}

/* --- order ------------------------------------------------------------------------------------ */

static void insert(double *azimuths, int *order, int count, double azimuth, int index)
{
    int i = count;

    for (; i > 0 && azimuths[i - 1] > azimuth; i--) {
        azimuths[i] = azimuths[i - 1];
        order[i] = order[i - 1];
    }
    azimuths[i] = azimuth;
    order[i] = index;
}

static bool prepare(struct work *work)
{
    for (int i = 0; i < work->n; i++) {
        insert(work->peak_az, work->peak, i,
               angle_turn_deg(work->reference_deg, work->peaks[i].azimuth_deg), i);
    }
    for (int j = 0; j < work->m; j++) {
        insert(work->satellite_az, work->satellite, j,
               angle_turn_deg(work->reference_deg, work->satellites[j].azimuth_deg), j);
    }
    for (int i = 0; i < work->n; i++) {
        if (!isfinite(work->peak_az[i])) {
            return false;
        }
    }
    for (int j = 0; j < work->m; j++) {
        if (!isfinite(work->satellite_az[j])) {
            return false;
        }
    }
    work->low = angle_turn_deg(work->reference_deg, work->prior->low_deg);
    work->high = angle_turn_deg(work->reference_deg, work->prior->high_deg);
    if (!isfinite(work->low) || !isfinite(work->high) || work->high <= work->low) {
        work->low = work->peak_az[0];
        work->high = work->peak_az[work->n - 1];
    }
    for (int i = 0; i < work->n; i++) {
        weigh_stranger(work, i);
        for (int j = 0; j < work->m; j++) {
            compare(work, i, j);
        }
    }
    return true;
}

/* --- the sum over assignments ----------------------------------------------------------------- */

static void weigh(struct work *work, double bias)
{
    const struct arc_prior *prior = work->prior;

    for (int j = 0; j < work->m; j++) {
        double at = work->satellite_az[j] + bias;
        bool swept = at > work->low && at < work->high;
        double met = (1.0 - prior->missed) * (1.0 - work->satellites[work->satellite[j]].hidden);
        work->missed[j] = swept ? 1.0 - met : 1.0;
        for (int i = 0; i < work->n; i++) {
            work->match[i + 1][j + 1] = met * work->likeness[i][j] *
                                        normal(work->peak_az[i] - at, prior->azimuth_error_deg);
        }
    }
}

/*
 * Every assignment once: between two matches satellites are missed first, strangers are met then.
 * matched_before[i][j]: weight of all ways to deal with i peaks and j satellites that end with a
 * match or a miss; skipped_before: that end with a stranger; after: of all ways to go on from a
 * match. Returns the weight of all ways.
 */
static double sum_up(struct work *work)
{
    grid skipped_after;
    int n = work->n, m = work->m;

    for (int i = 0; i <= n; i++) {
        for (int j = 0; j <= m; j++) {
            double matched = i == 0 && j == 0 ? 1.0 : 0.0, skipped = 0.0;
            if (i > 0 && j > 0) {
                matched +=
                    (work->matched_before[i - 1][j - 1] + work->skipped_before[i - 1][j - 1]) *
                    work->match[i][j];
            }
            if (j > 0) {
                matched += work->matched_before[i][j - 1] * work->missed[j - 1];
            }
            if (i > 0) {
                skipped = (work->matched_before[i - 1][j] + work->skipped_before[i - 1][j]) *
                          work->stranger[i - 1];
            }
            work->matched_before[i][j] = matched;
            work->skipped_before[i][j] = skipped;
        }
    }
    for (int i = n; i >= 0; i--) {
        for (int j = m; j >= 0; j--) {
            double on = i == n && j == m ? 1.0 : 0.0;
            if (i < n && j < m) {
                on += work->match[i + 1][j + 1] * work->after[i + 1][j + 1];
            }
            if (i < n) {
                on += work->stranger[i] * skipped_after[i + 1][j];
            }
            skipped_after[i][j] = on;
            work->after[i][j] = on + (j < m ? work->missed[j] * work->after[i][j + 1] : 0.0);
        }
    }
    return work->matched_before[n][m] + work->skipped_before[n][m];
}

/* Weight of all assignments in which sorted peak i comes from sorted satellite j (both from 0). */
static double weight_of(const struct work *work, int i, int j)
{
    return (work->matched_before[i][j] + work->skipped_before[i][j]) * work->match[i + 1][j + 1] *
           work->after[i + 1][j + 1];
}

static int bias_count(const struct arc_prior *prior)
{
    double count = 2.0 * bias_reach * prior->bias_sd_deg * bias_steps / prior->azimuth_error_deg;

    return (int)fmin(fmax(ceil(count), 8.0), BIASES - 1) + 1;
}

static double bias_at(const struct arc_prior *prior, int k, int count)
{
    return bias_reach * prior->bias_sd_deg * (2.0 * k / (count - 1) - 1.0);
}

/* Adds up the shares over all biases; false when nothing has any weight. */
static bool spread_over_biases(struct work *work)
{
    int count = bias_count(work->prior);
    double all = 0.0;

    for (int k = 0; k < count; k++) {
        double bias = bias_at(work->prior, k, count);
        double before = normal(bias, work->prior->bias_sd_deg);
        weigh(work, bias);
        all += before * sum_up(work);
        for (int i = 0; i < work->n; i++) {
            for (int j = 0; j < work->m; j++) {
                work->share[i][j] += before * weight_of(work, i, j);
            }
        }
    }
    for (int i = 0; i < work->n && all > 0.0; i++) {
        for (int j = 0; j < work->m; j++) {
            work->share[i][j] /= all;
        }
    }
    return all > 0.0;
}

/* Mean and sd of the bias over the assignments with sorted peak i from satellite j; over all with
 * i < 0. */
static void find_bias(struct work *work, int i, int j, struct arc_match *ret)
{
    int count = bias_count(work->prior);
    double sum = 0.0, first = 0.0, second = 0.0;

    for (int k = 0; k < count; k++) {
        double bias = bias_at(work->prior, k, count), weight;
        weigh(work, bias);
        weight = sum_up(work);
        weight = normal(bias, work->prior->bias_sd_deg) * (i < 0 ? weight : weight_of(work, i, j));
        sum += weight;
        first += weight * bias;
        second += weight * bias * bias;
    }
    ret->bias_deg = first / sum;
    ret->bias_error_deg = sqrt(fmax(second / sum - ret->bias_deg * ret->bias_deg, 0.0));
}

/* --- the answer ------------------------------------------------------------------------------- */

static void name_peaks(const struct work *work, struct arc_match *ret)
{
    for (int i = 0; i < work->n; i++) {
        int best = 0, at = work->peak[i];
        double named = 0.0;
        for (int j = 0; j < work->m; j++) {
            named += work->share[i][j];
            best = work->share[i][j] > work->share[i][best] ? j : best;
        }
        ret->satellite[at] = work->satellite[best];
        ret->probability[at] = work->share[i][best];
        if (1.0 - named > work->share[i][best]) {
            ret->satellite[at] = -1;
            ret->probability[at] = 1.0 - named;
            ret->strangers++;
        }
    }
}

/* Root-mean-square of the errors of the peaks that were named, at the bias found. */
static double misfit(const struct work *work, const struct arc_match *match)
{
    double sum = 0.0;
    int count = 0;

    for (int i = 0; i < work->n; i++) {
        const struct arc_peak *peak = &work->peaks[i];
        const struct arc_satellite *satellite;
        double z;
        if (match->satellite[i] < 0) {
            continue;
        }
        satellite = &work->satellites[match->satellite[i]];
        z = (angle_turn_deg(satellite->azimuth_deg, peak->azimuth_deg) - match->bias_deg) /
            work->prior->azimuth_error_deg;
        sum += z * z;
        count++;
        if (isfinite(peak->elevation_deg) && isfinite(satellite->elevation_deg)) {
            z = (peak->elevation_deg - satellite->elevation_deg) / work->prior->elevation_error_deg;
            sum += z * z;
            count++;
        }
    }
    return count > 0 ? sqrt(sum / count) : NAN;
}

static enum arc_doubt judge(const struct work *work, const struct arc_match *match)
{
    if (match->strangers * 2 > work->n || match->misfit > poor_misfit) {
        return ARC_POOR_FIT;
    }
    if (match->target_probability >= work->prior->sure) {
        return ARC_SURE;
    }
    return match->missing_probability > 0.5 ? ARC_MISSING : ARC_AMBIGUOUS;
}

static void answer(struct work *work, int target, struct arc_match *ret)
{
    struct arc_match match = {.target_peak = -1};
    int t = 0, best = 0;
    double met = 0.0;

    while (work->satellite[t] != target) {
        t++;
    }
    name_peaks(work, &match);
    for (int i = 0; i < work->n; i++) {
        met += work->share[i][t];
        best = work->share[i][t] > work->share[best][t] ? i : best;
    }
    match.missing_probability = fmax(1.0 - met, 0.0);
    match.target_probability = work->share[best][t];
    if (match.target_probability > match.missing_probability) {
        match.target_peak = work->peak[best];
    }
    find_bias(work, match.target_peak < 0 ? -1 : best, t, &match);
    match.misfit = misfit(work, &match);
    match.doubt = judge(work, &match);
    *ret = match;
}

int arc_match(const struct arc_peak *peaks, size_t n, const struct arc_satellite *satellites,
              size_t m, int target, const struct arc_prior *prior, struct arc_match *ret)
{
    struct work work = {.peaks = peaks, .satellites = satellites, .prior = prior};

    if (n == 0 || m == 0) {
        return -ENODATA;
    }
    if (n > ARC_PEAKS || m > ARC_SATELLITES || target < 0 || (size_t)target >= m) {
        return -EINVAL;
    }
    work.n = (int)n;
    work.m = (int)m;
    work.target = target;
    work.reference_deg = satellites[target].azimuth_deg;
    if (!prepare(&work)) {
        return -EINVAL;
    }
    if (!spread_over_biases(&work)) {
        return -EDOM;
    }
    answer(&work, target, ret);
    return 0;
}
