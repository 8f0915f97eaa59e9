/* now_json.c - how all stands, as an object. */
#include <math.h>

#include "session/json_line.h"
#include "view/aim.h"
#include "view/found.h"
#include "view/history.h"
#include "view/now.h"

static json_t *level_json(const struct state *state, double t)
{
    const struct level_filter *filter = &state->level.filter;

    if (!state->level.known) {
        return json_null();
    }
    return json_pack(
        "{s:o, s:o, s:o, s:o, s:o, s:s, s:o}", "value", json_line_number(state->level.value),
        "filtered", json_line_number(filter->level), "best", json_line_number(state->level.best),
        "below", json_line_number(state->level.best - filter->level), "noise",
        json_line_number(level_filter_noise(filter)), "unit", level_unit_name(state->level.unit),
        "age_s", json_line_number(t - state->level.t));
}

static json_t *axis_json(const struct face_scene *scene, double t, enum axis axis)
{
    static const char *const kinds[] = {
        [AIM_UNKNOWN] = "unknown", [AIM_OLD] = "old",        [AIM_THERE] = "there",
        [AIM_TURN] = "turn",       [AIM_BY_LEVEL] = "level", [AIM_PEAKED] = "peaked",
        [AIM_MISLED] = "misled"};
    const struct state *state = scene->state;
    double deg = state_stands_deg(state, axis);
    struct aim aim = aim_of(scene, t, axis);

    return json_pack(
        "{s:o, s:o, s:o, s:o, s:s, s:o}", "target_deg", json_line_number(state->target.deg[axis]),
        "measured_deg", json_line_number(deg), "scale_deg",
        json_line_number(job_scale_from_true(&state->job->mount.axes[axis], deg)), "best_deg",
        json_line_number(state->level.best_deg[axis]), "aim", kinds[aim.kind], "to_go_deg",
        aim.kind == AIM_THERE || aim.kind == AIM_PEAKED ? json_line_number(0.0)
                                                        : json_line_number(aim.deg));
}

static json_t *peak_json(const struct face_scene *scene)
{
    const struct peak *peak = found_peak(scene);
    bool fits = peak && peak->fit.used > 0;

    if (!peak || !found_top(peak)) {
        return json_null();
    }
    return json_pack("{s:s, s:o, s:o, s:o, s:o, s:o}", "axis", axis_name(peak->axis), "centre_deg",
                     json_line_number(fits ? peak->fit.centre_deg : NAN), "error_deg",
                     json_line_number(fits ? peak->fit.centre_error_deg : NAN), "top",
                     json_line_number(fits ? peak->fit.peak : NAN), "width_deg",
                     json_line_number(fits && !peak->fit.bracket ? peak->fit.width_deg : NAN),
                     "goal_deg", json_line_number(peak->centre_x));
}

static json_t *arc_json(const struct face_scene *scene)
{
    const struct arc *arc = found_arc(scene);
    double error, bias = found_bias_deg(scene, &error);

    return json_pack("{s:o, s:o, s:i, s:b}", "bias_deg", json_line_number(bias), "error_deg",
                     json_line_number(error), "tops", arc ? arc->top_count : 0, "matched",
                     arc && arc->matched);
}

static json_t *step_json(const struct state *state)
{
    return isnan(state->step_t)
               ? json_null()
               : json_pack("{s:s, s:i, s:i, s:o}", "name", state->step.name, "number",
                           state->step.number, "count", state->step.count, "t",
                           json_line_number(state->step_t));
}

static json_t *sources_json(const struct face_scene *scene, double t)
{
    json_t *list = json_array();

    for (size_t i = 0; i < scene->state->source_count; i++) {
        const struct state_source *source = &scene->state->sources[i];
        json_array_append_new(list, json_pack("{s:s, s:o, s:i, s:o}", "name", source->name, "rate",
                                              json_line_number(scene->history->sources[i].rate),
                                              "bad", (int)source->bad, "age_s",
                                              json_line_number(t - source->last_t)));
    }
    return list;
}

json_t *now_json(const struct face_scene *scene)
{
    const struct state *state = scene->state;
    double t = fmax(scene->t, state->t);
    json_t *now = json_pack("{s:o, s:o}", "t", json_line_number(t), "level", level_json(state, t));

    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        json_object_set_new(now, axis_name((enum axis)axis), axis_json(scene, t, (enum axis)axis));
    }
    json_object_set_new(now, "azimuth_magnetic_deg", json_line_number(aim_magnetic_deg(state)));
    json_object_set_new(now, "peak", peak_json(scene));
    json_object_set_new(now, "arc", arc_json(scene));
    json_object_set_new(now, "step", step_json(state));
    json_object_set_new(now, "sources", sources_json(scene, t));
    return now;
}
