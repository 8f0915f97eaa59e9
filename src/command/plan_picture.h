/*
 * plan_picture.h - the sky as it is seen along the antenna: skyline, arc with the satellites, the
 * sun's way on the day. As text for 80 columns, and as a drawing (SVG) for printing.
 */
#ifndef COMMAND_PLAN_PICTURE_H
#define COMMAND_PLAN_PICTURE_H

#include <stdio.h>

#include "command/plan_aim.h"
#include "command/plan_page.h"
#include "command/plan_sun.h"

enum { PLAN_PICTURE_ARC = 161, PLAN_PICTURE_SUN = 145 };

/* Right of the middle and above the horizon, in degrees, refraction included. */
struct plan_picture_point {
    double right_deg, up_deg;
};

struct plan_picture_mark {
    const char *name; /* borrowed from the job */
    struct plan_picture_point at;
};

struct plan_picture {
    const struct job *job; /* borrowed */
    double middle_deg;     /* the target's azimuth; 60 degrees to both sides are shown */
    double top_deg;        /* the highest elevation shown; the lowest is 0 */
    struct plan_picture_point arc[PLAN_PICTURE_ARC]; /* a degree of longitude apart */
    size_t sun_count;                                /* ten minutes apart, 0 = not known */
    struct plan_picture_point sun[PLAN_PICTURE_SUN];
    double sun_s; /* the time of the first */
    struct plan_picture_mark target, neighbours[JOB_NEIGHBOURS];
    size_t neighbour_count;
};

extern const double plan_picture_half_deg;

void plan_picture_make(const struct plan_aim *aim, const struct plan_sun *sun,
                       struct plan_picture *ret);

void plan_picture_text(const struct plan_picture *picture, const struct plan_page *page);

/* A whole SVG document. Errors are left in the file's flag. */
void plan_picture_svg(const struct plan_picture *picture, FILE *file);

/* How high the skyline is at so many degrees right of the middle; NaN = not known. */
double plan_picture_skyline_deg(const struct plan_picture *picture, double right_deg);

#endif
