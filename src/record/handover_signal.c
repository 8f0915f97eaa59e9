#include "record/handover_signal.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "radio/isolation.h"
#include "sky/angle.h"

/* What an angle set by sensor or scale is right to, and an antenna's own discrimination where the
 * job does not say: common practice, no source. */
static const double set_error_deg = 0.7;
static const double usual_cross_polar_db = 30.0;
static const double least_error_deg = 0.1;

/* --- isolation ------------------------------------------------------------------------------ */

static bool measure_isolation(struct handover_fold *fold)
{
    struct handover *out = fold->out;

    if (fold->cross.count == 0 || !out->level.measured || !level_unit_is_db(out->level.unit)) {
        return false;
    }
    out->isolation.origin = HANDOVER_MEASURED;
    out->isolation.db = out->level.final - fold->cross.sum / fold->cross.count;
    snprintf(
        out->isolation.how, sizeof out->isolation.how, "%s",
        _("the wanted polarisation's level less the other's, by the meter; what lies below its "
          "noise would be more"));
    return true;
}

/* By the meter where skew was set by it, else by the angle that the mount shows. */
static double skew_error(const struct handover *out, char *how, size_t size)
{
    const struct handover_axis *skew = &out->axes[AXIS_SKEW];
    double off = angle_turn_axial_deg(skew->computed_deg, skew->found_deg);

    if (skew->lobe.fitted && !skew->lobe.by_operator_word) {
        snprintf(how, size, "%s", _("by the skew's own error as the level tells it, twice over"));
        return 2.0 * fmax(skew->lobe.centre_error_deg, least_error_deg);
    }
    if (isfinite(off) && skew->found_by != HANDOVER_COUNTED) {
        snprintf(how, size,
                 _("by how far the mount's angle is off the computed one, and %.1f° that such an "
                   "angle may be wrong by (common practice)"),
                 set_error_deg);
        return fabs(off) + set_error_deg;
    }
    return NAN;
}

static void imply_isolation(struct handover *out)
{
    double own = out->job->antenna.cross_polar_db;
    double error = skew_error(out, out->isolation.how, sizeof out->isolation.how);

    if (!isfinite(error)) {
        return;
    }
    out->isolation.origin = HANDOVER_IMPLIED;
    out->isolation.skew_error_deg = error;
    out->isolation.db = isolation_db(error, isfinite(own) ? own : usual_cross_polar_db);
}

static void end_isolation(struct handover_fold *fold)
{
    struct handover *out = fold->out;

    if (isfinite(fold->isolation_told_db)) {
        out->isolation.origin = HANDOVER_READ;
        out->isolation.db = fold->isolation_told_db;
        text_copy(out->isolation.how, sizeof out->isolation.how,
                  _("as the network's operator measured it"));
    } else if (out->job->target.polarisation == POLARISATION_CIRCULAR) {
        text_copy(out->isolation.how, sizeof out->isolation.how,
                  _("circular polarisation: no skew to set"));
    } else if (!measure_isolation(fold)) {
        imply_isolation(out);
    }
}

/* --- modulation and throughput ---------------------------------------------------------------- */

static void squeeze(const char *text, char *ret, size_t size)
{
    size_t n = 0;

    for (; *text != '\0' && n + 1 < size; text++) {
        if (isalnum((unsigned char)*text)) {
            ret[n++] = (char)tolower((unsigned char)*text);
        }
    }
    ret[n] = '\0';
}

double handover_signal_esn0_db(enum level_unit unit, const char *quantity, double level)
{
    static const char *const names[] = {"esn0", "esno", "cn", "snr"};
    char squeezed[JOB_NAME_SIZE];

    squeeze(quantity, squeezed, sizeof squeezed);
    for (size_t i = 0; unit == LEVEL_DB && i < sizeof names / sizeof *names; i++) {
        if (strcmp(squeezed, names[i]) == 0) {
            return level;
        }
    }
    return NAN;
}

static void end_link(struct handover *out)
{
    const struct job *job = out->job;
    const char *why = NULL;

    out->link.esn0_db =
        handover_signal_esn0_db(out->level.unit, out->level.quantity, out->level.final);
    if (!out->level.measured) {
        why = _("the final level was not measured");
    } else if (!isfinite(out->link.esn0_db)) {
        why = _("the meter does not show C/N or Es/N0 in dB");
    }
    if (why) {
        text_copy(out->link.why_not, sizeof out->link.why_not, why);
        return;
    }
    out->link.origin = HANDOVER_IMPLIED;
    out->link.choice = modcods_choose(job->link.standard, out->link.esn0_db, job->link.margin_db);
    if (out->link.choice.best) {
        out->link.expected_mbps =
            modcods_rate_mbps(out->link.choice.best, job->link.symbol_rate_mbd);
    }
    if (!isfinite(job->link.symbol_rate_mbd)) {
        text_copy(out->link.why_not, sizeof out->link.why_not,
                  _("the job gives no symbol rate, so no throughput follows"));
    }
}

void handover_signal_end(struct handover_fold *fold)
{
    end_isolation(fold);
    end_link(fold->out);
}
