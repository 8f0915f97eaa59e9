/* The page's part about the antenna: where it stands, where it points, what it receives. */
#include "record/handover_text.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/handover_page.h"
#include "sky/angle.h"

static void put_site(const struct handover *h, FILE *file)
{
    char fix[96] = "", height[32];

    handover_page_head(file, _("Site and kit"));
    if (h->site.origin == HANDOVER_UNKNOWN) {
        handover_page_row(file, _("position"), _("not measured: no receiver gave one"));
        return;
    }
    if (isfinite(h->site.height_m)) {
        handover_page_row(file, _("position"), _("%.6f, %.6f, %s m above the ellipsoid"),
                          h->site.lat_deg, h->site.lon_deg,
                          handover_page_number(h->site.height_m, 0, height));
    } else {
        handover_page_row(file, _("position"), _("%.6f, %.6f, height not measured"),
                          h->site.lat_deg, h->site.lon_deg);
    }
    if (isfinite(h->site.fix_t)) {
        text_append(fix, sizeof fix, _("a %dD fix"), h->site.fix.mode);
        if (isfinite(h->site.fix.error_m)) {
            text_append(fix, sizeof fix, _(", its error stated as %.1f m"), h->site.fix.error_m);
        }
        if (h->site.fix.satellites >= 0) {
            text_append(fix, sizeof fix, _(", %d satellites"), h->site.fix.satellites);
        }
    }
    if (h->site.origin == HANDOVER_GIVEN) {
        handover_page_row(file, _("fixed by"),
                          fix[0] ? _("the job file; the receiver had %s") : _("the job file%s"),
                          fix);
    } else {
        handover_page_row(file, _("fixed by"), _("the receiver: %s, %lu in all"), fix,
                          h->site.fixes);
    }
}

static const char *mount_words(const struct job_axis *axis)
{
    static const char *const words[] = {[JOB_FROM_SENSOR] = N_("a sensor on the antenna"),
                                        [JOB_FROM_SCALE] = N_("the mount's scale, typed in"),
                                        [JOB_FROM_NUDGES] = N_("nothing: nudges were counted")};

    return _(words[axis->from]);
}

static void put_kit(const struct handover *h, FILE *file)
{
    const struct job *job = h->job;
    const struct job_meter *meter = job_find_meter(job, "");
    char size[96] = "";

    if (isfinite(job->antenna.width_m)) {
        text_append(size, sizeof size, " %.2f", job->antenna.width_m);
        if (isfinite(job->antenna.height_m)) {
            text_append(size, sizeof size, _(" by %.2f"), job->antenna.height_m);
        }
        text_append(size, sizeof size, " m");
    }
    if (isfinite(job_beam_width_deg(job))) {
        text_append(size, sizeof size, _(", beam %.2f°"), job_beam_width_deg(job));
        if (isfinite(job_beam_height_deg(job)) &&
            job_beam_height_deg(job) != job_beam_width_deg(job)) {
            text_append(size, sizeof size, _(" by %.2f°"), job_beam_height_deg(job));
        }
    }
    handover_page_row(file, _("antenna"), "%s%s",
                      job->antenna.kind == JOB_PANEL ? _("panel") : _("dish"), size);
    for (int i = 0; i < AXIS_COUNT; i++) {
        char label[48] = "";
        text_append(label, sizeof label, _("mount, %s"), axis_word((enum axis)i));
        handover_page_row(file, label, "%s", mount_words(&job->mount.axes[i]));
    }
    if (meter) {
        handover_page_row(file, _("meter"), _("%s%s%s in %s"), meter->name,
                          meter->quantity[0] ? ", " : "", meter->quantity,
                          level_unit_name(h->level.unit));
    } else {
        handover_page_row(file, _("meter"), _("none is named in the job"));
    }
    handover_page_row(file, _("procedure"), "%s", h->procedure->name);
}

static double off_deg(const struct handover *h, enum axis axis)
{
    double computed = h->axes[axis].computed_deg, found = h->axes[axis].found_deg;

    return axis == AXIS_SKEW ? angle_turn_axial_deg(computed, found)
                             : angle_turn_deg(computed, found);
}

static void put_axis(const struct handover *h, enum axis axis, FILE *file)
{
    const struct handover_axis *a = &h->axes[axis];
    char text[400] = "", number[32];

    if (axis == AXIS_SKEW && h->job->target.polarisation == POLARISATION_CIRCULAR) {
        handover_page_row(file, _("skew"), _("none: circular polarisation"));
        return;
    }
    text_append(text, sizeof text, _("computed %s°"),
                isfinite(a->computed_deg) ? handover_page_number(a->computed_deg, 2, number)
                                          : _("not known,"));
    if (!isfinite(a->found_deg)) {
        text_append(text, sizeof text, _("; found: not measured, nothing on the mount tells it"));
    } else {
        text_append(text, sizeof text, _("; the mount shows %s°"),
                    handover_page_number(a->found_deg, 2, number));
        if (isfinite(a->found_scale_deg)) {
            text_append(text, sizeof text, _(" (%.1f° on its scale)"), a->found_scale_deg);
        }
        text_append(text, sizeof text, ", %s", _(handover_origin_name(a->found_by)));
        if (isfinite(off_deg(h, axis))) {
            text_append(text, sizeof text, _(", %+.2f° off"),
                        handover_page_round(off_deg(h, axis), 2));
        }
    }
    handover_page_row(file, axis_word(axis), "%s", text);
}

static void put_angles(const struct handover *h, FILE *file)
{
    handover_page_head(file, _("Angles (azimuth true, elevation as it appears)"));
    for (int i = 0; i < AXIS_COUNT; i++) {
        put_axis(h, (enum axis)i, file);
    }
    if (isfinite(h->declination_deg)) {
        handover_page_row(file, _("declination"), _("%+.2f°, computed"), h->declination_deg);
    }
    if (isfinite(h->bias_deg)) {
        handover_page_row(file, _("azimuth's error"),
                          _("the mount's azimuth was %+.2f° off when the target was known"),
                          h->bias_deg);
    } else {
        handover_page_row(file, _("azimuth's error"), _("not measured"));
    }
    for (int i = 0; i < h->met_count; i++) {
        const struct handover_met *met = &h->met[i];
        handover_page_row(file, i == 0 ? _("carriers met") : "",
                          _("%.1f %s at azimuth %.2f° as shown: %s%s"), met->level,
                          level_unit_symbol(h->level.unit, true), met->azimuth_deg,
                          met->name[0] ? met->name : _("not told apart"),
                          met->chosen    ? _(", gone to")
                          : met->refused ? _(", refused")
                                         : "");
    }
}

static const char *lobe_words(enum handover_lobe_by by)
{
    static const char *const words[] = {
        [HANDOVER_LOBE_PASSES] = N_("swept there and back"),
        [HANDOVER_LOBE_STATIONS] = N_("read at places"),
        [HANDOVER_LOBE_DROP] = N_("equal drops to both sides"),
        [HANDOVER_LOBE_NULL] = N_("the other polarisation's null"),
    };

    return _(words[by]);
}

static void put_lobe(const struct handover *h, enum axis axis, FILE *file)
{
    const struct handover_lobe *lobe = &h->axes[axis].lobe;
    const char *unit = level_unit_symbol(h->level.unit, true);
    char text[480] = "", number[32];

    if (!lobe->known) {
        handover_page_row(file, axis_word(axis), _("not measured%s%s"),
                          lobe->why_not[0] ? ": " : "", lobe->why_not);
        return;
    }
    text_append(text, sizeof text, _("%s, %d readings: "), lobe_words(lobe->by), lobe->read);
    if (lobe->fitted) {
        text_append(text, sizeof text,
                    lobe->true_angles ? _("middle at %.2f°") : _("middle at %.2f° turned"),
                    handover_page_round(lobe->centre_deg, 2));
        if (isfinite(lobe->centre_error_deg)) {
            text_append(text, sizeof text, " \u00b1 %.2f\u00b0", lobe->centre_error_deg);
        }
        if (isfinite(lobe->top_level)) {
            text_append(text, sizeof text,
                        lobe->by == HANDOVER_LOBE_NULL ? _(", null %s %s") : _(", top %s %s"),
                        handover_page_number(lobe->top_level, 2, number), unit);
        }
        if (isfinite(lobe->width_deg) && !lobe->bracket) {
            text_append(text, sizeof text, _(", half-power width %.2f°"), lobe->width_deg);
            if (isfinite(lobe->expected_width_deg)) {
                text_append(text, sizeof text, _(" (expected %.2f°)"), lobe->expected_width_deg);
            }
        }
    } else {
        text_append(text, sizeof text, _("no curve fits%s%s"), lobe->why_not[0] ? ": " : "",
                    lobe->why_not);
    }
    if (isfinite(lobe->level)) {
        text_append(text, sizeof text, _("; %s %s read there"),
                    handover_page_number(lobe->level, 2, number), unit);
    } else if (axis != AXIS_SKEW) {
        text_append(text, sizeof text, "%s",
                    lobe->by_operator_word
                        ? _("; the level there was not measured, the operator went on")
                        : _("; the level there was not measured"));
    }
    handover_page_row(file, axis_word(axis), "%s", text);
}

static void put_level(const struct handover *h, FILE *file)
{
    const struct handover_level *level = &h->level;
    const char *unit = level_unit_symbol(level->unit, true);
    char clock[32], number[32], error[32];

    handover_page_head(file, _("Level"));
    if (!level->known) {
        handover_page_row(file, _("final"), _("not measured: no meter told a level"));
        return;
    }
    if (level->measured) {
        handover_page_row(file, _("final"), _("%s %s ± %s, from %d readings, at %s"),
                          handover_page_number(level->final, 2, number), unit,
                          isfinite(level->final_error)
                              ? handover_page_number(level->final_error, 2, error)
                              : _("an error not known"),
                          level->final_readings, handover_page_clock(level->final_t, clock));
    } else {
        handover_page_row(
            file, _("final"),
            _("not measured (the meter's last level was %s %s, whatever was being done)"),
            handover_page_number(level->last, 2, number), unit);
    }
    if (isfinite(level->best)) {
        handover_page_row(file, _("best since search"), _("%s %s surely reached, at %s"),
                          handover_page_number(level->best, 2, number), unit,
                          handover_page_clock(level->best_t, clock));
    }
    if (isfinite(level->below_best)) {
        handover_page_row(file, _("final below best"), "%s %s",
                          handover_page_number(level->below_best, 2, number), unit);
    }
    if (isfinite(level->expected)) {
        handover_page_row(file, _("expected"),
                          isfinite(level->below_expected)
                              ? _("%.2f %s by the job; the final level is below it by %s")
                              : _("%.2f %s by the job%s"),
                          level->expected, unit,
                          isfinite(level->below_expected)
                              ? handover_page_number(level->below_expected, 2, number)
                              : "");
    }
}

static void put_signal(const struct handover *h, FILE *file)
{
    const struct modcods_choice *choice = &h->link.choice;

    if (isfinite(h->isolation.db)) {
        handover_page_row(file, _("isolation"), _("%s: %.1f dB, %s"),
                          _(handover_origin_name(h->isolation.origin)), h->isolation.db,
                          h->isolation.how);
    } else {
        handover_page_row(file, _("isolation"), _("not measured%s%s"),
                          h->isolation.how[0] ? ": " : "", h->isolation.how);
    }
    if (!isfinite(h->link.esn0_db)) {
        handover_page_row(file, _("modulation"), _("not known: %s"), h->link.why_not);
    } else if (!choice->best) {
        handover_page_row(file, _("modulation"), _("none holds at an Es/N0 of %.1f dB"),
                          h->link.esn0_db);
    } else {
        handover_page_row(file, _("modulation"),
                          _("%s would hold with %.1f dB to spare (Es/N0 %.1f dB)"),
                          choice->best->name, choice->spare_db, h->link.esn0_db);
        if (isfinite(h->link.expected_mbps)) {
            handover_page_row(file, _("throughput"), _("%.1f Mbit/s to be expected at most"),
                              h->link.expected_mbps);
        } else {
            handover_page_row(file, _("throughput"), _("not known: %s"), h->link.why_not);
        }
    }
    if (h->speed.origin == HANDOVER_UNKNOWN) {
        handover_page_row(file, _("speed test"), _("not measured"));
        return;
    }
    if (isfinite(h->speed.down_mbps)) {
        handover_page_row(file, _("speed test"), _("%.1f Mbit/s down, %s"), h->speed.down_mbps,
                          h->speed.how);
    }
    if (isfinite(h->speed.up_mbps)) {
        handover_page_row(file, _("speed test"), _("%.1f Mbit/s up, %s"), h->speed.up_mbps,
                          h->speed.how);
    }
}

static void put_identity(const struct handover *h, FILE *file)
{
    handover_page_row(file, _("satellite"), "%s",
                      h->identity.grounds[0] ? h->identity.grounds
                      : h->identity.sure     ? _("it is the target")
                                             : _("not measured: nothing told which one it is"));
    if (h->identity.lock_id[0]) {
        handover_page_row(file, _("receiver names"), "%s", h->identity.lock_id);
    }
}

void handover_text_antenna(const struct handover *handover, FILE *file)
{
    put_site(handover, file);
    put_kit(handover, file);
    put_angles(handover, file);
    handover_page_head(file, _("Lobes"));
    for (int i = 0; i < AXIS_COUNT; i++) {
        put_lobe(handover, (enum axis)i, file);
    }
    put_level(handover, file);
    handover_page_head(file, _("Satellite and signal"));
    put_identity(handover, file);
    put_signal(handover, file);
}
