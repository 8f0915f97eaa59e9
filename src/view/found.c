#include "view/found.h"

#include <math.h>

#include "view/history.h"

const struct peak *found_peak(const struct face_scene *scene)
{
    int step = scene->history->lobe.step;

    return scene->coach && step > 0 && step <= (int)scene->procedure->step_count &&
                   scene->procedure->steps[step - 1].act == DO_PEAK &&
                   scene->coach->peak.axis == scene->history->lobe.axis
               ? &scene->coach->peak
               : NULL;
}

bool found_top(const struct peak *peak)
{
    return peak->phase >= PEAK_RETURN;
}

const struct arc *found_arc(const struct face_scene *scene)
{
    return scene->coach && scene->coach->arc.begun ? &scene->coach->arc : NULL;
}

double found_bias_deg(const struct face_scene *scene, double *ret_error)
{
    const struct coach *coach = scene->coach;
    const struct arc *arc = found_arc(scene);
    bool measured = coach && coach->learned.sure && isfinite(coach->learned.azimuth_bias_deg);

    *ret_error = measured || !arc || !arc->matched ? NAN : arc->match.bias_error_deg;
    return measured              ? coach->learned.azimuth_bias_deg
           : arc && arc->matched ? arc->match.bias_deg
                                 : NAN;
}
