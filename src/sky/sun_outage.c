#include "sky/sun_outage.h"

#include <math.h>
#include <stdbool.h>

#include "sky/angle.h"
#include "sky/sun.h"
#include "sky/utc.h"

/* A Gaussian lobe falls to a half at half its width: exp(-4 ln 2 (angle / width)^2). */
static const double lobe = 4.0 * M_LN2;

/* No declination changes faster than 0.4 degrees a day (the sun's, at the equinoxes). */
static const double fastest_deg_day = 0.4;

static const double narrowest_deg = 0.1, widest_deg = 30.0;

double sun_brightness_k(double frequency_ghz)
{
    if (!(frequency_ghz >= 1.0 && frequency_ghz <= 50.0)) {
        return NAN;
    }
    return 140077.0 * pow(frequency_ghz, -2.1) + 10880.0;
}

double sun_noise_k(double gain_dbi, double gt_db)
{
    return pow(10.0, 0.1 * (gain_dbi - gt_db));
}

/* --- noise ---------------------------------------------------------------------------------- */

/* (angle / width)^2 of a direction off the boresight. */
static double widths_off(const struct sun_ear *ear, double right_deg, double up_deg)
{
    double turn = ear->turn_deg * ANGLE_RAD_PER_DEG;
    double across = right_deg * cos(turn) - up_deg * sin(turn);
    double along = right_deg * sin(turn) + up_deg * cos(turn);

    across /= ear->width_deg;
    along /= ear->height_deg;
    return across * across + along * along;
}

/*
 * The lobe's mean over the disc: rings of equal area, points evenly on each. Sixteen rings keep it
 * within a thousandth down to a beam as wide as the disc, within a hundredth to a fifth of that.
 */
static double mean_over_disc(const struct sun_ear *ear, double right_deg, double up_deg,
                             double radius_deg)
{
    enum { RINGS = 16, POINTS = 24 };
    double sum = 0.0;

    for (int ring = 0; ring < RINGS; ring++) {
        double r = radius_deg * sqrt((ring + 0.5) / RINGS);
        for (int point = 0; point < POINTS; point++) {
            double a = 2.0 * M_PI * (point + 0.5 * (ring % 2)) / POINTS;
            sum += exp(-lobe * widths_off(ear, right_deg + r * sin(a), up_deg + r * cos(a)));
        }
    }
    return sum / (RINGS * POINTS);
}

double sun_noise_rise_db(const struct sun_ear *ear, double right_deg, double up_deg,
                         double radius_deg)
{
    double disc = M_PI * radius_deg * radius_deg;
    double whole_lobe = M_PI * ear->width_deg * ear->height_deg / lobe;
    double share = mean_over_disc(ear, right_deg, up_deg, radius_deg) * disc / whole_lobe;

    return 10.0 * log10(1.0 + share * ear->sun_k / ear->noise_k);
}

/* --- the sun's passage ---------------------------------------------------------------------- */

struct passage {
    const struct look_site *site;
    const struct sun_ear *ear;
    struct look look;       /* of the satellite */
    double lon_deg;         /* earth-fixed longitude and declination of the line of sight */
    double declination_deg; /* as if drawn from the earth's centre: so far away is the sun */
    struct sun_track track;
};

/* The line of sight as a direction in the earth's frame. */
static void aim(struct passage *passage)
{
    double az = passage->look.azimuth_deg * ANGLE_RAD_PER_DEG;
    double el = passage->look.elevation_deg * ANGLE_RAD_PER_DEG;
    double lat = passage->site->lat_deg * ANGLE_RAD_PER_DEG;
    double north = cos(az) * cos(el), east = sin(az) * cos(el), up = sin(el);

    passage->declination_deg = asin(north * cos(lat) + up * sin(lat)) / ANGLE_RAD_PER_DEG;
    passage->lon_deg =
        passage->site->lon_deg + atan2(east, up * cos(lat) - north * sin(lat)) / ANGLE_RAD_PER_DEG;
}

static void sun_direction(const struct sun_track *track, double unix_s, double *ret_lon_deg,
                          double *ret_declination_deg)
{
    double km[3];

    sun_position(track, unix_s, km);
    *ret_lon_deg = atan2(km[1], km[0]) / ANGLE_RAD_PER_DEG;
    *ret_declination_deg = atan2(km[2], hypot(km[0], km[1])) / ANGLE_RAD_PER_DEG;
}

/* When, near a time, the sun crosses the line of sight's meridian. */
static double crossing_s(const struct passage *passage, double near_s)
{
    for (int i = 0; i < 3; i++) {
        double lon, declination;
        sun_direction(&passage->track, near_s, &lon, &declination);
        near_s += angle_turn_deg(passage->lon_deg, lon) * UTC_DAY_S / 360.0; /* it goes west */
    }
    return near_s;
}

/* Where the sun stands, seen along the line of sight. */
static void offset(const struct passage *passage, double unix_s, double *ret_right_deg,
                   double *ret_up_deg, double *ret_radius_deg)
{
    struct sun sun = sun_at(&passage->track, passage->site, unix_s);
    double turn = (sun.azimuth_deg - passage->look.azimuth_deg) * ANGLE_RAD_PER_DEG;
    double el = passage->look.elevation_deg * ANGLE_RAD_PER_DEG;
    double sun_el = sun.elevation_deg * ANGLE_RAD_PER_DEG;
    double right = cos(sun_el) * sin(turn);
    double up = sin(sun_el) * cos(el) - cos(sun_el) * sin(el) * cos(turn);
    double ahead = sin(sun_el) * sin(el) + cos(sun_el) * cos(el) * cos(turn);
    double angle = atan2(hypot(right, up), ahead) / ANGLE_RAD_PER_DEG;
    double scale = angle / fmax(hypot(right, up), 1e-12);

    *ret_right_deg = right * scale;
    *ret_up_deg = up * scale;
    *ret_radius_deg = sun.radius_deg;
}

static double widths_off_at(const struct passage *passage, double unix_s)
{
    double right, up, radius;

    offset(passage, unix_s, &right, &up, &radius);
    return widths_off(passage->ear, right, up);
}

static double rise_at(const struct passage *passage, double unix_s)
{
    double right, up, radius;

    offset(passage, unix_s, &right, &up, &radius);
    return sun_noise_rise_db(passage->ear, right, up, radius);
}

/* The nearest approach by the golden section, in the beam's own measure. */
static double peak_s(const struct passage *passage, double near_s)
{
    const double share = 0.5 * (sqrt(5.0) - 1.0);
    double low = near_s - 3600.0, high = near_s + 3600.0;

    while (high - low > 0.5) {
        double step = share * (high - low);
        if (widths_off_at(passage, high - step) < widths_off_at(passage, low + step)) {
            high = low + step;
        } else {
            low = high - step;
        }
    }
    return 0.5 * (low + high);
}

/* When the rise passes the limit, between its peak and a time at which it is below. */
static double edge_s(const struct passage *passage, double inside_s, double outside_s,
                     double limit_db)
{
    while (fabs(outside_s - inside_s) > 0.5) {
        double middle_s = 0.5 * (inside_s + outside_s);
        if (rise_at(passage, middle_s) >= limit_db) {
            inside_s = middle_s;
        } else {
            outside_s = middle_s;
        }
    }
    return 0.5 * (inside_s + outside_s);
}

/* False when the sun stays too far off that day. */
static bool outage_at(const struct passage *passage, double near_s, double limit_db,
                      struct sun_outage *ret)
{
    static const double longest_s = 3.0 * 3600.0; /* either side: 45 degrees of the sun's way */
    double peak = peak_s(passage, near_s), right, up, radius, rise;

    offset(passage, peak, &right, &up, &radius);
    rise = sun_noise_rise_db(passage->ear, right, up, radius);
    if (!(rise >= limit_db)) {
        return false;
    }
    *ret = (struct sun_outage){
        .start_s = edge_s(passage, peak, peak - longest_s, limit_db),
        .peak_s = peak,
        .end_s = edge_s(passage, peak, peak + longest_s, limit_db),
        .rise_db = rise,
        .angle_deg = hypot(right, up),
    };
    return true;
}

/* How far from the boresight the sun can be and still reach the limit; negative: it never does. */
static double reach_deg(const struct sun_ear *ear, double limit_db)
{
    static const double largest_radius_deg = 0.272;
    double widest = fmax(ear->width_deg, ear->height_deg);
    double most_k = ear->noise_k * (pow(10.0, 0.1 * limit_db) - 1.0);
    double share = M_PI * largest_radius_deg * largest_radius_deg * lobe / M_PI /
                   (ear->width_deg * ear->height_deg) * ear->sun_k / most_k;

    /* the disc's near edge counts for all of it, and as if it filled the lobe's top */
    return share > 1.0 ? widest * sqrt(log(share) / lobe) + largest_radius_deg : -1.0;
}

static bool is_sound(const struct sun_ear *ear, double limit_db)
{
    return ear->width_deg >= narrowest_deg && ear->width_deg <= widest_deg &&
           ear->height_deg >= narrowest_deg && ear->height_deg <= widest_deg &&
           isfinite(ear->turn_deg) && ear->noise_k > 0.0 && isfinite(ear->noise_k) &&
           ear->sun_k >= 0.0 && isfinite(ear->sun_k) && limit_db > 0.0;
}

size_t sun_outage_season(const struct look_site *site, double sat_lon_deg,
                         const struct sun_ear *ear, double from_s, double limit_db,
                         struct sun_outage *ret, size_t room)
{
    struct passage passage = {
        .site = site,
        .ear = ear,
        .look = look_at_geostationary(&look_earth_wgs84, site, sat_lon_deg),
    };
    double reach, day_s = from_s;
    size_t count = 0;

    if (!is_sound(ear, limit_db) || !(passage.look.elevation_deg >= 0.0)) {
        return 0;
    }
    reach = reach_deg(ear, limit_db);
    aim(&passage);
    while (reach >= 0.0 && day_s < from_s + 366.0 * UTC_DAY_S) {
        struct sun_outage outage;
        double near_s, lon, declination, away;

        if (sun_track_make(day_s, &passage.track) < 0) {
            break;
        }
        near_s = crossing_s(&passage, day_s + 0.5 * UTC_DAY_S);
        sun_direction(&passage.track, near_s, &lon, &declination);
        away = fabs(declination - passage.declination_deg) - reach;
        if (away > 0.0 || !outage_at(&passage, near_s, limit_db, &outage) ||
            outage.peak_s < from_s) {
            if (count > 0) {
                break;
            }
        } else {
            if (count < room) {
                ret[count] = outage;
            }
            count++;
        }
        /* from here on the passage lies in the middle of the day's track */
        day_s = near_s + (fmax(1.0, floor(away / fastest_deg_day)) - 0.5) * UTC_DAY_S;
    }
    return count;
}
