#include "command/plan_exposure.h"

#include <math.h>
#include <stdio.h>

#include "base/tongue.h"
#include "radio/exposure.h"

void plan_exposure_make(const struct plan_aim *aim, struct plan_exposure *ret)
{
    const struct job *job = aim->job;
    double height = job->antenna.height_m;
    const struct exposure exposure = {
        .power_w = job->transmitter.power_w,
        .area_m2 = plan_aim_area_m2(job),
        .longest_m = fmax(job->antenna.width_m, isfinite(height) ? height : 0.0),
        .efficiency = isfinite(job->transmitter.efficiency) ? job->transmitter.efficiency : 1.0,
        .frequency_ghz = job->transmitter.frequency_ghz,
    };

    *ret = (struct plan_exposure){.surface_w_m2 = exposure_surface_w_m2(&exposure)};
    ret->known = isfinite(ret->surface_w_m2) && isfinite(exposure.frequency_ghz);
    ret->public_m = exposure_distance_m(&exposure, exposure_public_w_m2);
    ret->worker_m = exposure_distance_m(&exposure, exposure_worker_w_m2);
    ret->near_end_m = exposure_near_end_m(&exposure);
    ret->far_begin_m = exposure_far_begin_m(&exposure);
}

static void distance_text(char ret[40], double distance_m)
{
    if (distance_m > 0.0) {
        snprintf(ret, 40, _("from %.0f m on"), ceil(distance_m));
    } else {
        snprintf(ret, 40, _("everywhere beyond its face"));
    }
}

void plan_exposure_text(const struct plan_aim *aim, const struct plan_exposure *exposure,
                        const struct plan_page *page)
{
    char public_text[40], worker_text[40];

    if (!exposure->known) {
        return;
    }
    plan_page_head(page, _("CAUTION: the field in front of the antenna while it transmits"));
    plan_page_words(page, _("Never stand or reach in front of it; keep the transmitter muted until "
                            "the operator of the network says otherwise."));
    plan_page_words(page, _("At %g W there are up to %.0f W/m2 at its face."),
                    aim->job->transmitter.power_w, exposure->surface_w_m2);
    if (isfinite(exposure->public_m)) {
        distance_text(public_text, exposure->public_m);
        distance_text(worker_text, exposure->worker_m);
        plan_page_words(
            page,
            _("On its axis 10 W/m2, the limit for the public, is kept %s; 50 W/m2, that "
              "for trained workers, %s."),
            public_text, worker_text);
    }
    plan_page_words(page,
                    _("Formulas of FCC OET 65, limits of 47 CFR 1.1310 and ICNIRP 2020, whole "
                      "body. A help for planning; local rules and a survey decide."));
}

json_t *plan_exposure_json(const struct plan_exposure *exposure)
{
    json_t *object;

    if (!exposure->known) {
        return json_null();
    }
    object = json_object();
    plan_page_put(object, "surface_w_m2", exposure->surface_w_m2);
    plan_page_put(object, "public_distance_m", exposure->public_m);
    plan_page_put(object, "worker_distance_m", exposure->worker_m);
    plan_page_put(object, "near_field_end_m", exposure->near_end_m);
    plan_page_put(object, "far_field_begin_m", exposure->far_begin_m);
    return object;
}
