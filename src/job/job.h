/*
 * job.h - what is to be done, with what: the job as the program sees it. The struct is plain data;
 * job_set() is the one way in, shared by the job file, the command line and the log's header.
 */
#ifndef JOB_JOB_H
#define JOB_JOB_H

#include <stdbool.h>
#include <stddef.h>

#include "base/axis.h"
#include "peaking/level.h"
#include "radio/beam.h"
#include "radio/modcods.h"
#include "radio/polarisation.h"
#include "sky/look.h"
#include "sky/skyline.h"

enum {
    JOB_NAME_SIZE = 64,
    JOB_TEXT_SIZE = 160,
    JOB_NEIGHBOURS = 32,
    JOB_METERS = 4,
    JOB_SOURCES = 8,
    JOB_SKYLINE_POINTS = 64,
    JOB_SKYLINE_OBJECTS = 32,
    JOB_SETTINGS = 384,
};

/* Where an axis's angle comes from. */
enum job_axis_from {
    JOB_FROM_SENSOR, /* a sensor on the antenna reports it live */
    JOB_FROM_SCALE,  /* the operator reads the mount's scale and types it */
    JOB_FROM_NUDGES, /* nothing: the operator keys each nudge of the bolt */
};

enum job_skew_by { JOB_SKEW_FEED, JOB_SKEW_PANEL, JOB_SKEW_NONE };

enum job_antenna_kind { JOB_DISH, JOB_PANEL };

/* Which linear polarisation a neighbour's carriers near the frequency have. */
enum job_carriers { JOB_CARRIERS_UNKNOWN, JOB_CARRIERS_V, JOB_CARRIERS_H, JOB_CARRIERS_BOTH };

struct job_satellite {
    char name[JOB_NAME_SIZE];
    double lon_deg;
    double level_db;            /* neighbours: strength against the target; NaN = not known */
    enum job_carriers carriers; /* neighbours */
    char id[JOB_NAME_SIZE];     /* what the receiver says of its carrier; "" = not known */
};

struct job_axis {
    enum job_axis_from from;
    double turn_deg;         /* degrees of this axis per turn of its bolt, > 0; NaN = not known */
    double scale_zero_deg;   /* the scale's reading where the true angle is 0 (see below) */
    int scale_sense;         /* +1 or -1: scale = scale_zero + sense * true */
    double sensor_zero_deg;  /* added to what the sensor says */
    double sensor_error_deg; /* 1 sigma of one reading; NaN = not known */
    double backlash_deg;     /* expected play; NaN = not known */
};

struct job_meter {
    char name[JOB_NAME_SIZE];
    char pattern[JOB_TEXT_SIZE]; /* line pattern, see peakward-job(5); "" = NMEA only */
    char framing[8];             /* "8N1" */
    int baud;
    char poll[JOB_TEXT_SIZE]; /* command to send, escapes decoded later; "" = none */
    double poll_period_s;
    enum level_unit unit;
    char quantity[JOB_NAME_SIZE]; /* "C/N"; "" = not known */
    double noise;                 /* sd of one reading in the meter's unit; NaN = estimate live */
    double lag_s;                 /* first-order lag; NaN = not known */
    double lock_delay_s;          /* how late the lock lamp is; NaN = not known */
    double minimum, maximum; /* readings outside are faults; at the limits saturated; NaN = none */
};

struct job_source {
    char address[JOB_TEXT_SIZE]; /* "gpsd://localhost:2947", "serial:/dev/ttyUSB0", ... */
    char meter[JOB_NAME_SIZE];   /* profile for its lines; "" = the first meter */
    char name[JOB_NAME_SIZE];
};

struct job {
    struct {
        bool given;
        unsigned parts; /* bit 0 lat, bit 1 lon: given when both are */
        struct look_site place;
        char name[JOB_NAME_SIZE];
    } site;
    struct {
        bool given;
        struct job_satellite satellite;
        bool polarisation_given;
        enum polarisation polarisation;
        double skew_offset_deg; /* a satellite whose polarisation frame is turned, clockwise */
        double expected_level;  /* what the meter should show at the peak; NaN = not known */
        double inclination_deg; /* of its orbit; NaN = not known, and so the next two */
        double box_east_west_deg, box_north_south_deg; /* half widths of its station keeping */
        char elements[JOB_TEXT_SIZE];                  /* a file of its elements; "" = none */
        char elements_name[JOB_NAME_SIZE];             /* which of the file; "" = the only one */
    } target;
    struct job_satellite neighbours[JOB_NEIGHBOURS];
    size_t neighbour_count;
    struct {
        enum job_antenna_kind kind;
        double width_m, height_m; /* a dish without a height is round; NaN = not known */
        double frequency_ghz;
        double beam_width_deg, beam_height_deg; /* half-power; NaN = compute from size */
        double cross_polar_db; /* the antenna's own discrimination; NaN = not known */
        double rim_db;         /* a dish's feed at its rim against the middle, >= 0 */
        double gain_dbi;       /* NaN = not known */
        char pattern[JOB_TEXT_SIZE], pattern_height[JOB_TEXT_SIZE]; /* measured cuts; "" = none */
    } antenna;
    struct {
        struct job_axis axes[AXIS_COUNT];
        enum job_skew_by skew_by;
    } mount;
    struct job_meter meters[JOB_METERS];
    size_t meter_count;
    struct job_source sources[JOB_SOURCES];
    size_t source_count;
    struct skyline_point skyline[JOB_SKYLINE_POINTS]; /* ascending azimuth */
    size_t skyline_count;
    struct skyline_object objects[JOB_SKYLINE_OBJECTS];
    size_t object_count;
    struct {
        double eirp_dbw; /* of the carrier, towards the site; NaN = not known, all of these */
        double symbol_rate_mbd; /* million symbols a second */
        double gt_dbk, noise_k; /* of the station in clear sky */
        double rain_mm_h, rain_path_km;
        double margin_db;    /* to be kept beyond an ideal receiver; default 0 */
        double isolation_db; /* between the polarisations, as the operator demands it */
        enum modcods_standard standard;
    } link;
    struct {
        double power_w; /* at the antenna; NaN = not known */
        double frequency_ghz, efficiency;
    } transmitter;
    struct {
        char procedure[JOB_TEXT_SIZE]; /* built-in name or file; "" = by polarisation */
        double compass_error_deg;      /* 1 sigma of absolute azimuth; default 8 */
    } coach;
    struct {
        char magnetic_model[JOB_TEXT_SIZE]; /* a .COF file; "" = the built-in model */
    } files;

    /* Everything that was set, in order: enough to build the job again (the log's header). */
    struct {
        char section[JOB_NAME_SIZE + 16], key[32], value[JOB_TEXT_SIZE];
    } settings[JOB_SETTINGS];
    size_t setting_count;
};

enum { JOB_ERROR_SIZE = 512 };

/* Every default in its place. */
void job_init(struct job *job);

/*
 * Set one key.
 *
 *   section   "site", "target", "neighbour NAME", "antenna", "link", "transmitter", "mount",
 *             "meter NAME", "source NAME", "skyline", "coach", "files"
 *   why       on failure a phrase: key, the value found, what is allowed
 *   returns   0; -EINVAL the section, key or value is wrong; -ENOSPC one too many; the job is
 *             unchanged then
 */
int job_set(struct job *job, const char *section, const char *key, const char *value,
            char why[JOB_ERROR_SIZE]);

/*
 * Read a job file. A `kit = NAME` key in [antenna] or [meter NAME] reads that section's keys from
 * $XDG_CONFIG_HOME/peakward/kit (see peakward-job(5)).
 *
 *   returns   0; -EINVAL with why = "FILE:LINE: ..." ; -errno when it can't be read, why filled too
 */
int job_read(struct job *job, const char *path, char why[JOB_ERROR_SIZE]);

/* Drop the sources set so far (flags on the command line replace them), from settings too. */
void job_forget_sources(struct job *job);

/* What depends on several keys: nothing missing, nothing contradictory. 0 or -EINVAL and why. */
int job_check(const struct job *job, char why[JOB_ERROR_SIZE]);

/* The meter profile of a name ("" = the first), or NULL. */
const struct job_meter *job_find_meter(const struct job *job, const char *name);

/* The target's name; without one "the target", in the language that is spoken. */
const char *job_target_name(const struct job *job);
bool job_target_is_named(const struct job *job);

/* Whether it is known what a receiver says that is locked to the target. */
bool job_target_has_id(const struct job *job);

/* Whether what a receiver says names the satellite: capitals do not matter, "" names none. */
bool job_names(const struct job_satellite *satellite, const char *said);

/* The neighbour that it names, or NULL. */
const struct job_satellite *job_find_neighbour(const struct job *job, const char *said);

/* Half-power widths in the antenna's own frame from what is given, in degrees; NaN = not known. */
double job_beam_width_deg(const struct job *job);
double job_beam_height_deg(const struct job *job);

/*
 * The wanted polarisation's skew at a site: V or H of the look, with the target's offset.
 *
 *   returns  degrees in (-90, 90], clockwise seen from behind; NaN for circular polarisation
 */
double job_skew_deg(const struct job *job, const struct look *look);

/*
 * The antenna's beam as it lies on the mount's axes: turned by the skew where the whole panel is.
 *
 *   skew_deg  NaN = not turned
 *   returns   false, *ret_beam untouched, when the widths are not known
 */
bool job_beam(const struct job *job, double skew_deg, struct beam *ret_beam);

/* What stands around the site; borrowed from the job. */
struct skyline job_skyline(const struct job *job);

/* True angle to scale reading and back, on one axis. */
double job_scale_from_true(const struct job_axis *axis, double true_deg);
double job_true_from_scale(const struct job_axis *axis, double scale_deg);

#endif
