/* found.h - what the coach has found and a face may show; nothing while it is silent. Pure. */
#ifndef VIEW_FOUND_H
#define VIEW_FOUND_H

#include "coach/coach.h"
#include "view/face.h"

/* What it has of the lobe that history.h keeps: peaked now, or last; NULL = nothing. */
const struct peak *found_peak(const struct face_scene *scene);

/* Whether the peak has come to a top: `centre_x` is known, and with readings used the `fit`. */
bool found_top(const struct peak *peak);

/* The satellites that it has met and compared; NULL = no search has begun. */
const struct arc *found_arc(const struct face_scene *scene);

/*
 * By how much the azimuth reads too high, degrees; NaN = not known.
 *
 *   ret_error  1 sd; NaN where it was measured at the target itself
 */
double found_bias_deg(const struct face_scene *scene, double *ret_error);

#endif
