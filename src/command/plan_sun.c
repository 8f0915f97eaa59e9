#include "command/plan_sun.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/tongue.h"
#include "sky/utc.h"

/* The earth turns a degree in 240 seconds. */
static const double s_per_deg = 240.0;

/* A rise of the noise that a meter shows; less than half of it can't be told from the weather. */
static const double shown_db = 1.0, least_db = 0.5;

/* --- numbers ------------------------------------------------------------------------------------
 */

static void add_outages(const struct plan_aim *aim, double spare_db, struct plan_sun *ret)
{
    const struct job *job = aim->job;
    const struct sun_ear ear = {.width_deg = aim->radiation.width_deg,
                                .height_deg = aim->radiation.height_deg,
                                .turn_deg = aim->turn_deg,
                                .noise_k = plan_aim_noise_k(job),
                                .sun_k = sun_brightness_k(job->antenna.frequency_ghz)};

    ret->limit_db = isfinite(spare_db) ? fmax(spare_db, least_db) : shown_db;
    ret->outage_known = aim->has_beam && isfinite(ear.noise_k) && isfinite(ear.sun_k);
    if (ret->outage_known) {
        size_t n = sun_outage_season(&job->site.place, job->target.satellite.lon_deg, &ear,
                                     aim->unix_s, ret->limit_db, ret->outages, PLAN_SUN_DAYS);
        ret->outage_count = n < PLAN_SUN_DAYS ? n : PLAN_SUN_DAYS;
    }
}

void plan_sun_make(const struct plan_aim *aim, double spare_db, struct plan_sun *ret)
{
    const struct look_site *site = &aim->job->site.place;
    double shift_s = site->lon_deg * s_per_deg;

    *ret = (struct plan_sun){.known = false};
    ret->day_s = utc_midnight(aim->unix_s + shift_s) - shift_s;
    if (sun_track_make(ret->day_s, &ret->track) < 0) {
        return;
    }
    ret->known = true;
    ret->now = sun_at(&ret->track, site, aim->unix_s);
    ret->angle_deg = look_angle_deg(ret->now.azimuth_deg, ret->now.elevation_deg,
                                    aim->row->look.azimuth_deg, aim->row->look.elevation_deg);
    ret->time_count = sun_in_azimuth(&ret->track, site, aim->row->look.azimuth_deg, ret->times);
    add_outages(aim, spare_db, ret);
}

/* --- text ---------------------------------------------------------------------------------------
 */

/* "10:31:15" of a time; with = 5 for "10:31". */
static void clock_text(char ret[UTC_TEXT_SIZE], double unix_s, size_t with)
{
    char text[UTC_TEXT_SIZE];

    utc_format(unix_s, 0, text);
    snprintf(ret, UTC_TEXT_SIZE, "%.*s", (int)with, strlen(text) > 11 ? text + 11 : "");
}

static void day_text(char ret[UTC_TEXT_SIZE], double unix_s)
{
    utc_format(unix_s, -2, ret);
}

static void shadow_rows(const struct plan_sun *sun, const struct plan_page *page)
{
    char clock[UTC_TEXT_SIZE];

    for (size_t i = 0; i < sun->time_count; i++) {
        const struct sun_time *time = &sun->times[i];
        clock_text(clock, time->unix_s, 8);
        plan_page_row(page, i == 0 ? _("plumb's shadow") : "", clock, "UTC",
                      time->behind ? _("points at the satellite, %.2f deg/min")
                                   : _("points away from the satellite, %.2f deg/min"),
                      fabs(time->rate_deg_min));
    }
    if (sun->time_count == 0) {
        plan_page_words(page, _("On this day no shadow lies in the satellite's azimuth."));
    }
}

static void outage_words(const struct plan_sun *sun, const struct plan_page *page)
{
    const struct sun_outage *deepest = sun->outages;
    char from[UTC_TEXT_SIZE], to[UTC_TEXT_SIZE], day[UTC_TEXT_SIZE], start[UTC_TEXT_SIZE],
        end[UTC_TEXT_SIZE];

    if (sun->outage_count == 0) {
        plan_page_words(page,
                        _("The sun behind the satellite raises the noise by less than %.1f dB: "
                          "no outages."),
                        sun->limit_db);
        return;
    }
    for (size_t i = 1; i < sun->outage_count; i++) {
        if (sun->outages[i].rise_db > deepest->rise_db) {
            deepest = &sun->outages[i];
        }
    }
    day_text(from, sun->outages[0].peak_s);
    day_text(to, sun->outages[sun->outage_count - 1].peak_s);
    day_text(day, deepest->peak_s);
    clock_text(start, deepest->start_s, 8);
    clock_text(end, deepest->end_s, 8);
    plan_page_words(page,
                    _("Sun outages (noise up by %.1f dB or more) daily from %s to %s, the deepest "
                      "on %s from %s to %s UTC: %.1f dB. It is no fault and passes by itself."),
                    sun->limit_db, from, to, day, start, end, deepest->rise_db);
}

void plan_sun_text(const struct plan_aim *aim, const struct plan_sun *sun,
                   const struct plan_page *page)
{
    char clock[UTC_TEXT_SIZE];

    if (!sun->known) {
        return;
    }
    plan_page_head(page, _("Sun: never look into it, nor along the antenna at it"));
    clock_text(clock, aim->unix_s, 5);
    if (sun->now.elevation_deg > -1.0) {
        plan_page_number(page, _("azimuth now"), sun->now.azimuth_deg, 2, _("deg"),
                         _("%s UTC; %.1f high, %.0f from the satellite"), clock,
                         sun->now.elevation_deg, sun->angle_deg);
    } else {
        plan_page_words(page, _("At %s UTC it is below the horizon."), clock);
    }
    shadow_rows(sun, page);
    if (sun->outage_known) {
        outage_words(sun, page);
    }
}

/* --- JSON ---------------------------------------------------------------------------------------
 */

static json_t *outages_json(const struct plan_sun *sun)
{
    json_t *list = json_array();

    for (size_t i = 0; i < sun->outage_count; i++) {
        json_t *object = json_object();
        plan_page_put_time(object, "start", sun->outages[i].start_s);
        plan_page_put_time(object, "peak", sun->outages[i].peak_s);
        plan_page_put_time(object, "end", sun->outages[i].end_s);
        plan_page_put(object, "rise_db", sun->outages[i].rise_db);
        plan_page_put(object, "angle_deg", sun->outages[i].angle_deg);
        json_array_append_new(list, object);
    }
    return list;
}

json_t *plan_sun_json(const struct plan_sun *sun)
{
    json_t *object, *shadows;

    if (!sun->known) {
        return json_null();
    }
    object = json_object();
    plan_page_put(object, "azimuth_deg", sun->now.azimuth_deg);
    plan_page_put(object, "elevation_deg", sun->now.elevation_deg);
    plan_page_put(object, "angle_deg", sun->angle_deg);
    shadows = json_array();
    for (size_t i = 0; i < sun->time_count; i++) {
        json_t *shadow = json_object();
        plan_page_put_time(shadow, "time", sun->times[i].unix_s);
        plan_page_put(shadow, "sun_elevation_deg", sun->times[i].elevation_deg);
        plan_page_put(shadow, "rate_deg_min", sun->times[i].rate_deg_min);
        plan_page_put_flag(shadow, "points_at_satellite", sun->times[i].behind);
        json_array_append_new(shadows, shadow);
    }
    json_object_set_new(object, "shadows", shadows);
    plan_page_put(object, "outage_limit_db", sun->outage_known ? sun->limit_db : NAN);
    json_object_set_new(object, "outages", sun->outage_known ? outages_json(sun) : json_null());
    return object;
}
