/*
 * draw.h - one install is drawn by lot: what really is goes into its scenario, what is believed of
 * it into its job. The ranges are common practice, no source.
 */
#ifndef BENCH_DRAW_H
#define BENCH_DRAW_H

#include "family.h"

struct draw {
    struct install *install;
    struct sim_random random;
    double beam_deg[WORLD_AXES]; /* half-power width on the scale of the axis */
    double target_deg[WORLD_AXES];
    bool failed;
};

double draw_between(struct draw *draw, double low, double high);

/* size or -size. */
double draw_either(struct draw *draw, double size);

/* Normal, cut at two standard deviations. */
double draw_about(struct draw *draw, double mean, double sd);

bool draw_chance(struct draw *draw, double share);

/* Set a key of the job; a complaint is printed once and kept in `failed`. */
void draw_tell(struct draw *draw, const char *section, const char *key, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* One word more for the install's kit. */
void draw_add_to_kit(struct draw *draw, const char *word);

/* Another place up to so far off, with the declination there. */
void draw_site(struct draw *draw, double lat_by, double lon_by);

/* Where the target stands and how wide the beam is; the site and the sky are settled. */
void draw_find_target(struct draw *draw);

/* Where it begins, play, threads, flex; and fading, rain and wind. */
void draw_mount(struct draw *draw);
void draw_weather(struct draw *draw);

/* What tells the angle of an axis: a sensor; a printed scale; nothing built in, so that the first
 * angle is set by a hand compass or a spirit level, and then the bolt's turns are counted. */
void draw_sensor(struct draw *draw, int axis, double noise_deg, double offset_sd_deg);
void draw_scale(struct draw *draw, int axis, double graduation_deg, double zero_sd_deg);
void draw_nothing(struct draw *draw, int axis, double graduation_deg, double zero_sd_deg);
void draw_tell_from(struct draw *draw);

void draw_compass(struct draw *draw, double bias_deg);

/* A meter as it stands in the scenario, told to the job as its data sheet would. */
void draw_tell_meter(struct draw *draw, const char *unit);

/* Fast, lagging or coarse in dB; slow or saturating in percent. */
void draw_any_meter(struct draw *draw);

/* In some a second port: the skew can be set by the null of the other polarisation. */
void draw_cross_port(struct draw *draw, double share);

#endif
