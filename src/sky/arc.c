#include "sky/arc.h"

#include <math.h>

#include "sky/angle.h"

static struct arc_neighbour compare(const struct look *target, const struct look *look,
                                    double height_m)
{
    return (struct arc_neighbour){
        .look = *look,
        .azimuth_deg = angle_turn_deg(target->azimuth_deg, look->azimuth_deg),
        .elevation_deg = look->elevation_deg - target->elevation_deg,
        .skew_v_deg = angle_turn_axial_deg(target->skew_v_deg, look->skew_v_deg),
        .skew_h_deg = angle_turn_axial_deg(target->skew_h_deg, look->skew_h_deg),
        .angle_deg = look_angle_deg(target->azimuth_deg, target->elevation_deg, look->azimuth_deg,
                                    look->elevation_deg),
        .visible = look->elevation_deg + look_refraction_deg(look->elevation_deg, height_m) >= 0.0,
    };
}

size_t arc_neighbours(const struct look_earth *earth, const struct look_site *site,
                      double target_lon_deg, const struct arc_slot *slots, size_t n,
                      double within_deg, struct arc_neighbour *ret)
{
    struct look target = look_at_geostationary(earth, site, target_lon_deg);
    size_t count = 0;

    if (!isfinite(target.range_km)) {
        return 0;
    }
    for (size_t i = 0; i < n; i++) {
        double lon_deg = angle_turn_deg(target_lon_deg, slots[i].lon_deg);
        struct arc_neighbour neighbour;
        struct look look;
        size_t at = count;

        if (!(fabs(lon_deg) <= within_deg)) {
            continue;
        }
        look = look_at_geostationary(earth, site, slots[i].lon_deg);
        neighbour = compare(&target, &look, site->height_m);
        neighbour.name = slots[i].name;
        neighbour.slot = i;
        neighbour.lon_deg = lon_deg;
        for (; at > 0 && ret[at - 1].azimuth_deg > neighbour.azimuth_deg; at--) {
            ret[at] = ret[at - 1];
        }
        ret[at] = neighbour;
        count++;
    }
    return count;
}

struct arc_sweep arc_sweep_order(const struct arc_neighbour *neighbours, size_t n, bool from_left,
                                 double reach_deg)
{
    struct arc_sweep sweep = {-1, -1, 0};

    for (size_t k = 0; k < n; k++) {
        int i = (int)(from_left ? k : n - 1 - k);
        double way = from_left ? neighbours[i].azimuth_deg : -neighbours[i].azimuth_deg;

        if (way >= 0.0) {
            break;
        }
        if (!neighbours[i].visible || !(fabs(neighbours[i].elevation_deg) <= reach_deg)) {
            continue;
        }
        sweep.first = sweep.count == 0 ? i : sweep.first;
        sweep.before = i;
        sweep.count++;
    }
    return sweep;
}
