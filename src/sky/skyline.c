#include "sky/skyline.h"

#include <math.h>

#include "sky/angle.h"

/* Twice the effective earth radius: 4/3 of 6371 km. */
static const double drop_m = 2.0 * 4.0 / 3.0 * 6371e3;

/* Two azimuths this close are one: far below what anybody can measure. */
static const double same_deg = 1e-9;

static double higher(double a, double b)
{
    return fmax(a, b); /* the one that is known, where the other is NaN */
}

double skyline_object_deg(const struct skyline_object *object)
{
    double d = object->distance_m;

    return d > 0.0 ? atan2(object->top_m - d * d / drop_m, d) / ANGLE_RAD_PER_DEG : NAN;
}

static double half_width_deg(const struct skyline_object *object)
{
    double half = 0.5 * object->width_m;

    return half > 0.0 ? atan2(half, object->distance_m) / ANGLE_RAD_PER_DEG : 0.0;
}

static const struct skyline_point *next_point(const struct skyline *skyline, size_t i)
{
    return &skyline->points[i + 1 < skyline->point_count ? i + 1 : 0];
}

/* The edge between a point and the next: NaN outside of it and where nobody looked. */
static double segment_deg(const struct skyline *skyline, size_t i, double azimuth_deg)
{
    const struct skyline_point *a = &skyline->points[i], *b = next_point(skyline, i);
    double gap = angle_wrap_deg(b->azimuth_deg - a->azimuth_deg);
    double along = angle_wrap_deg(azimuth_deg - a->azimuth_deg);

    if (along <= 0.0) {
        return gap <= 0.0 ? fmax(a->elevation_deg, b->elevation_deg) : a->elevation_deg;
    }
    if (gap > SKYLINE_GAP_DEG || along > gap) {
        return NAN;
    }
    return a->elevation_deg + (b->elevation_deg - a->elevation_deg) * along / gap;
}

double skyline_elevation_deg(const struct skyline *skyline, double azimuth_deg)
{
    double highest = NAN;

    if (!isfinite(azimuth_deg)) {
        return NAN;
    }
    for (size_t i = 0; i < skyline->point_count; i++) {
        highest = higher(highest, segment_deg(skyline, i, azimuth_deg));
    }
    for (size_t i = 0; i < skyline->object_count; i++) {
        const struct skyline_object *object = &skyline->objects[i];
        double off = fabs(angle_turn_deg(object->azimuth_deg, azimuth_deg));
        if (off <= half_width_deg(object) + same_deg) {
            highest = higher(highest, skyline_object_deg(object));
        }
    }
    return highest;
}

/* --- walking along it ----------------------------------------------------------------------- */

/* A stretch of azimuth clockwise from a start, and an elevation to compare with. */
struct walk {
    const struct skyline *skyline;
    double from_deg, elevation_deg;
};

/* The nearer of the best and a candidate beyond `past`, all counted clockwise from the start. */
static double nearer(const struct walk *walk, double past, double best, double azimuth_deg)
{
    double along = angle_wrap_deg(azimuth_deg - walk->from_deg);

    return along > past + same_deg && along < best ? along : best;
}

/* Where the edge from a point to the next reaches the walk's elevation. NaN: nowhere. */
static double crossing_deg(const struct walk *walk, size_t i)
{
    const struct skyline_point *a = &walk->skyline->points[i], *b = next_point(walk->skyline, i);
    double share = (walk->elevation_deg - a->elevation_deg) / (b->elevation_deg - a->elevation_deg);

    if (!(share > 0.0 && share < 1.0)) {
        return NAN;
    }
    return a->azimuth_deg + share * angle_wrap_deg(b->azimuth_deg - a->azimuth_deg);
}

/* The next place beyond `past` where anything changes, at most `end`. */
static double next_change(const struct walk *walk, double past, double end)
{
    double best = end;

    for (size_t i = 0; i < walk->skyline->point_count; i++) {
        best = nearer(walk, past, best, walk->skyline->points[i].azimuth_deg);
        best = nearer(walk, past, best, crossing_deg(walk, i));
    }
    for (size_t i = 0; i < walk->skyline->object_count; i++) {
        const struct skyline_object *object = &walk->skyline->objects[i];
        double half = half_width_deg(object);
        best = nearer(walk, past, best, object->azimuth_deg - half);
        best = nearer(walk, past, best, object->azimuth_deg + half);
    }
    return best;
}

size_t skyline_blocked(const struct skyline *skyline, double elevation_deg, double from_deg,
                       double width_deg, struct skyline_span *ret, size_t room)
{
    const struct walk walk = {skyline, from_deg, elevation_deg};
    double past = 0.0, end = fmin(width_deg, 360.0);
    bool before = false;
    size_t count = 0;

    if (!isfinite(from_deg) || !(width_deg > 0.0) || isnan(elevation_deg)) {
        return 0;
    }
    while (past < end) {
        double next = next_change(&walk, past, end);
        double reach = skyline_elevation_deg(skyline, from_deg + 0.5 * (past + next));
        bool here = reach >= elevation_deg;
        if (here && !before) {
            count++;
            if (count <= room) {
                ret[count - 1].from_deg = angle_wrap_deg(from_deg + past);
            }
        }
        if (here && count <= room) {
            ret[count - 1].to_deg = angle_wrap_deg(from_deg + next);
        }
        before = here;
        past = next;
    }
    return count;
}

/* --- the beam ------------------------------------------------------------------------------- */

static void look_there(const struct skyline *skyline, double azimuth_deg,
                       struct skyline_clearance *clearance)
{
    double reach = skyline_elevation_deg(skyline, azimuth_deg);

    if (reach > clearance->skyline_deg || (isnan(clearance->skyline_deg) && !isnan(reach))) {
        clearance->skyline_deg = reach;
        clearance->azimuth_deg = angle_wrap_deg(azimuth_deg);
    }
}

struct skyline_clearance skyline_clear(const struct skyline *skyline, double azimuth_deg,
                                       double elevation_deg, double half_width_deg,
                                       double half_height_deg)
{
    double end = fmin(2.0 * half_width_deg, 360.0), past = 0.0;
    const struct walk walk = {skyline, azimuth_deg - 0.5 * end, NAN};
    struct skyline_clearance clearance = {
        .edge_deg = elevation_deg - half_height_deg,
        .skyline_deg = NAN,
        .azimuth_deg = NAN,
        .complete = true,
    };

    if (!isfinite(azimuth_deg) || !(half_width_deg >= 0.0)) {
        clearance.complete = false;
        end = past;
    } else {
        /* the middle first: of equal heights it is the one to name */
        look_there(skyline, azimuth_deg, &clearance);
        look_there(skyline, walk.from_deg, &clearance);
        clearance.complete = !isnan(skyline_elevation_deg(skyline, azimuth_deg));
    }
    while (past < end) {
        double next = next_change(&walk, past, end);
        double middle = walk.from_deg + 0.5 * (past + next);
        if (isnan(skyline_elevation_deg(skyline, middle))) {
            clearance.complete = false;
        }
        look_there(skyline, walk.from_deg + next, &clearance);
        past = next;
    }
    for (size_t i = 0; i < skyline->object_count; i++) { /* lines without a width */
        double at = skyline->objects[i].azimuth_deg;
        if (angle_wrap_deg(at - walk.from_deg) <= end) {
            look_there(skyline, at, &clearance);
        }
    }
    clearance.clearance_deg = clearance.edge_deg - clearance.skyline_deg;
    return clearance;
}

double skyline_room_m(double distance_m, double elevation_deg, double half_height_deg,
                      double aperture_m)
{
    double e = elevation_deg * ANGLE_RAD_PER_DEG, half = half_height_deg * ANGLE_RAD_PER_DEG;
    double height;

    if (!(distance_m > 0.0) || !(fabs(elevation_deg) < 90.0) ||
        !(half_height_deg >= 0.0 && elevation_deg - half_height_deg > -90.0)) {
        return NAN;
    }
    height = distance_m * tan(e - half);
    if (aperture_m > 0.0) {
        height = fmin(height, distance_m * tan(e) - 0.5 * aperture_m / cos(e));
    }
    return height + distance_m * distance_m / drop_m;
}
