/* plan_sun.h - the sheet's part about the sun: its shadow as a compass, and its outages. Pure. */
#ifndef COMMAND_PLAN_SUN_H
#define COMMAND_PLAN_SUN_H

#include "command/plan_aim.h"
#include "command/plan_page.h"
#include "sky/sun.h"
#include "sky/sun_outage.h"

enum { PLAN_SUN_DAYS = 40 };

struct plan_sun {
    bool known;             /* the time is one that the sun can be computed for */
    double day_s;           /* the beginning of the site's day: about its own midnight, UTC */
    struct sun_track track; /* of that day */
    struct sun now;
    double angle_deg;                 /* between the sun and the satellite, now */
    struct sun_time times[SUN_TIMES]; /* of that day */
    size_t time_count;

    bool outage_known; /* noise and beam are, and the frequency is one of the quiet sun's */
    double limit_db;   /* from this rise on it counts */
    size_t outage_count;
    struct sun_outage outages[PLAN_SUN_DAYS];
};

/*
 *   spare_db  what the link can lose before it falls back; NaN = not known: 1 dB then counts
 */
void plan_sun_make(const struct plan_aim *aim, double spare_db, struct plan_sun *ret);
void plan_sun_text(const struct plan_aim *aim, const struct plan_sun *sun,
                   const struct plan_page *page);

/* A new reference; null when not known. */
json_t *plan_sun_json(const struct plan_sun *sun);

#endif
