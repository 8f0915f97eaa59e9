/*
 * now.h - how all stands at this moment, for who has no screen to look at: what the panels show, as
 * sentences or as an object. Pure.
 */
#ifndef VIEW_NOW_H
#define VIEW_NOW_H

#include <jansson.h>

#include "view/face.h"

/* One sentence at a time, UTF-8, without a line's end. */
void now_say(const struct face_scene *scene, void (*hear)(void *to, const char *sentence),
             void *to);

/*
 * What the records themselves do not say; what is not known is null:
 *
 *   t, level {value, filtered, best, below, noise, unit, age_s}
 *   azimuth, elevation, skew {target_deg, measured_deg, scale_deg, best_deg, aim, to_go_deg}
 *       aim: unknown, old, there, turn, level, peaked, misled (aim.h); to go is signed as the axis
 *       counts, for misled it is by how much the sensor or the scale is off
 *   azimuth_magnetic_deg: the target's
 *   peak {axis, centre_deg, error_deg, top, width_deg, goal_deg}: of the lobe peaked now, or last
 *   arc {bias_deg, error_deg, tops, matched}: by how much the azimuth reads too high
 *   step {name, number, count, t}, sources [{name, rate, bad, age_s}], rate a second
 *
 *   returns  a new reference
 */
json_t *now_json(const struct face_scene *scene);

#endif
