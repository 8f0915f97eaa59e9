/*
 * skyline.h - what stands in the way of the beam. Pure.
 *
 * Azimuths are true and elevations as an eye or a clinometer at the antenna finds them, refraction
 * included: so compare them with the target's apparent elevation.
 */
#ifndef SKY_SKYLINE_H
#define SKY_SKYLINE_H

#include <stdbool.h>
#include <stddef.h>

/* A point on the edge of hills, roofs and trees. */
struct skyline_point {
    double azimuth_deg, elevation_deg;
};

/* One thing alone: a tree, a mast, a chimney. */
struct skyline_object {
    double azimuth_deg; /* of its middle */
    double distance_m;  /* > 0 */
    double top_m;       /* above the antenna, not above its own foot; negative = below */
    double width_m;     /* across the line of sight; NaN = not known, counts as a line */
};

/*
 * Between neighbouring points the edge is straight, also from the last over north to the first; two
 * points at one azimuth make a wall. Points more than SKYLINE_GAP_DEG apart have nothing known
 * between them: nobody looked there. Objects stand out of the edge where they are higher, alone
 * where there is no edge.
 */
struct skyline {
    const struct skyline_point *points; /* borrowed; ascending azimuth within [0, 360] */
    size_t point_count;
    const struct skyline_object *objects; /* borrowed; any order */
    size_t object_count;
};

#define SKYLINE_GAP_DEG 90.0

/*
 * How high the skyline reaches at an azimuth.
 *
 *   returns  degrees within [-90, 90]; at a wall its top; NaN = not known
 */
double skyline_elevation_deg(const struct skyline *skyline, double azimuth_deg);

/*
 * The elevation of an object's top: its height over its distance, less the drop of the earth's
 * curve, distance^2 / (2 k R) with R = 6371 km and k = 4/3 for the average bending of rays in air
 * (ITU-R P.834, effective earth radius; from memory). The drop is 0.06 m at 1 km, 5.9 m at 10 km.
 */
double skyline_object_deg(const struct skyline_object *object);

struct skyline_clearance {
    double edge_deg;    /* the beam's lower edge */
    double skyline_deg; /* the highest of what is known within the beam's width; NaN = nothing is */
    double azimuth_deg; /* where that is, [0, 360); NaN likewise */
    double clearance_deg; /* edge less skyline: negative = in the beam; NaN likewise */
    bool complete;        /* the skyline is known over the whole width */
};

/*
 * How far the beam passes above the skyline. The beam counts as a box about the target, which errs
 * to the safe side: a round beam is narrower at its lower edge.
 *
 *   elevation_deg    apparent
 *   half_width_deg   half the beam's width on the azimuth scale, >= 0
 *   half_height_deg  half its width in elevation, >= 0
 */
struct skyline_clearance skyline_clear(const struct skyline *skyline, double azimuth_deg,
                                       double elevation_deg, double half_width_deg,
                                       double half_height_deg);

struct skyline_span {
    double from_deg, to_deg; /* clockwise from the first to the second, [0, 360) each */
};

/*
 * Where the skyline reaches up to an elevation: which parts of a sweep look at stone and leaves.
 *
 *   from_deg, width_deg  from this azimuth clockwise over this much, 0 < width <= 360
 *   ret                  room for at most `room` spans, clockwise in order
 *   returns              how many spans there are, also when not all found room. An object that is
 *                        a line and parts not known are in none.
 */
size_t skyline_blocked(const struct skyline *skyline, double elevation_deg, double from_deg,
                       double width_deg, struct skyline_span *ret, size_t room);

/*
 * The greatest height above the antenna's middle that an obstacle at a distance may have (or grow
 * to) and still stay below the beam.
 *
 *   distance_m       > 0, along the ground
 *   elevation_deg    apparent, of the target, below 90
 *   half_height_deg  half the beam's width in elevation, >= 0
 *   aperture_m       height of the antenna: close by, the beam is still as thick as that; 0 or NaN
 * = leave this out returns          metres, negative = lower than the antenna; NaN for input out of
 * range Accuracy: geometry. Leaves weaken a signal that only brushes them: allow for wind and
 * growth.
 */
double skyline_room_m(double distance_m, double elevation_deg, double half_height_deg,
                      double aperture_m);

#endif
