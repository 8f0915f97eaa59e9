/* What can only be said of the whole log, once it has ended. */
#include "record/handover_fold.h"

#include <math.h>

#include "base/text.h"
#include "record/handover_signal.h"
#include "sky/angle.h"

static void end_axis(struct handover_fold *fold, enum axis axis)
{
    struct handover_axis *ret = &fold->out->axes[axis];
    const struct state *state = &fold->state;
    const struct job_axis *mount = &fold->out->job->mount.axes[axis];
    double deg = state->measured.deg[axis];

    ret->computed_deg = state->target.deg[axis];
    if (!isfinite(deg)) {
        return;
    }
    ret->found_deg = deg + state->measured.nudged_deg[axis];
    ret->found_t = state->measured.t[axis];
    ret->found_by = state->measured.nudged_deg[axis] != 0.0 ? HANDOVER_COUNTED
                    : fold->typed[axis]                     ? HANDOVER_READ
                                                            : HANDOVER_MEASURED;
    if (ret->found_by == HANDOVER_MEASURED && fold->stood[axis].count > 0 &&
        fold->out->level.measured) {
        /* one reading of a sensor jumps: the mean of those beside the final level */
        ret->found_deg =
            fold->stood[axis].first_deg + fold->stood[axis].sum_deg / fold->stood[axis].count;
        ret->found_t = fold->out->level.final_t;
    }
    if (axis == AXIS_AZIMUTH) {
        ret->found_deg = angle_wrap_deg(ret->found_deg);
    } else if (axis == AXIS_SKEW) {
        ret->found_deg = angle_wrap_axial_deg(ret->found_deg);
    }
    if (mount->from == JOB_FROM_SCALE || fold->typed[axis]) {
        ret->found_scale_deg = job_scale_from_true(mount, ret->found_deg);
    }
}

static void end_met(struct handover_fold *fold)
{
    const struct arc *arc = &fold->coach.arc;
    struct handover *out = fold->out;

    for (int i = 0; i < arc->top_count && out->met_count < HANDOVER_CARRIERS; i++) {
        struct handover_met *met = &out->met[out->met_count++];
        *met = (struct handover_met){.azimuth_deg = arc->tops[i].x,
                                     .level = arc->tops[i].level,
                                     .chosen = i == arc->chosen,
                                     .refused = arc->tops[i].refused};
        text_copy(met->name, sizeof met->name, arc_name(arc, out->job, i));
    }
}

static void end_site(struct handover_fold *fold)
{
    const struct state *state = &fold->state;
    struct handover *out = fold->out;

    if (state->site_from == SITE_NONE) {
        return;
    }
    out->site.origin = state->site_from == SITE_JOB ? HANDOVER_GIVEN : HANDOVER_MEASURED;
    out->site.lat_deg = state->site.lat_deg;
    out->site.lon_deg = state->site.lon_deg;
    /* a fix in two dimensions has none; the angles were computed for 0 m then */
    out->site.height_m =
        state->site_from == SITE_FIX && !fold->height_seen ? NAN : state->site.height_m;
    if (state->field_known) {
        out->declination_deg = state->field.declination_deg;
    }
}

static void end_level(struct handover_fold *fold)
{
    struct handover_level *level = &fold->out->level;
    const struct job_meter *meter = job_find_meter(fold->out->job, "");

    level->known = fold->state.level.known;
    level->unit = level->known ? fold->state.level.unit : meter ? meter->unit : LEVEL_DB;
    level->last = level->known ? fold->state.level.filter.level : NAN;
    if (meter) {
        text_copy(level->quantity, sizeof level->quantity, meter->quantity);
    }
    if (!level->measured) {
        level->final = level->final_error = level->final_t = NAN;
        level->final_readings = 0;
    }
    level->below_best = level->best - level->final;
    level->below_expected = level->expected - level->final;
}

/* What happened before the first clock is dated by it. */
static void date(double *utc_s, double t, double offset_s)
{
    if (!isfinite(*utc_s)) {
        *utc_s = t + offset_s;
    }
}

static void end_dates(struct handover_fold *fold)
{
    struct handover *out = fold->out;

    out->begun_utc_s = fold->first_offset_s;
    for (size_t i = 0; i < out->procedure->step_count; i++) {
        date(&out->steps[i].ended_utc_s, out->steps[i].ended_t, fold->first_offset_s);
    }
    for (int i = 0; i < out->note_count; i++) {
        date(&out->notes[i].utc_s, out->notes[i].t, fold->first_offset_s);
    }
}

void handover_fold_finish(struct handover_fold *fold)
{
    struct handover *out = fold->out;
    const struct coach_learned *learned = &fold->coach.learned;
    size_t last = out->procedure->step_count - 1;

    out->finished = out->procedure->step_count > 0 && out->steps[last].ending >= HANDOVER_DONE &&
                    out->steps[last].ending <= HANDOVER_SKIPPED;
    for (size_t i = 0; i < fold->state.source_count; i++) {
        out->refused += fold->state.sources[i].bad;
    }
    end_site(fold);
    end_level(fold);
    for (int i = 0; i < AXIS_COUNT; i++) {
        end_axis(fold, (enum axis)i);
    }
    end_met(fold);
    end_dates(fold);
    out->bias_deg = learned->azimuth_bias_deg;
    out->identity.sure = learned->sure;
    text_copy(out->identity.grounds, sizeof out->identity.grounds, learned->grounds);
    text_copy(out->identity.lock_id, sizeof out->identity.lock_id,
              fold->state.lock.locked ? fold->state.lock.id : "");
    handover_signal_end(fold);
}
