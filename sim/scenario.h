/*
 * scenario.h - what the simulated world is like: an INI file as plain data. The file format is
 * described in docs/simulator.md. Levels are in dB over the noise floor of the whole reception.
 */
#ifndef SIM_SCENARIO_H
#define SIM_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>

#include "sim/aperture.h"
#include "sim/globe.h"

enum {
    SCENARIO_NAME_SIZE = 64,
    SCENARIO_LESSON_SIZE = 128,
    SCENARIO_SATELLITES = 32,
    SCENARIO_BLOCKED = 16,
    SCENARIO_WHY_SIZE = 256,
    SCENARIO_PATH_SIZE = 4096,
};

enum world_axis { WORLD_AZIMUTH, WORLD_ELEVATION, WORLD_SKEW, WORLD_AXES };

enum scenario_wave { WAVE_V, WAVE_H, WAVE_BOTH, WAVE_CIRCULAR };

/* How the technician learns an axis's angle. */
enum scenario_read { READ_SENSOR, READ_SCALE, READ_NOTHING };

struct scenario_satellite {
    char name[SCENARIO_NAME_SIZE];
    double lon_deg;
    double level_db; /* received at the peak with the right skew */
    enum scenario_wave wave;
    double turn_deg;             /* its polarisation frame is turned by this, clockwise */
    bool lockable;               /* a receiver can lock to its carrier */
    double overlap;              /* share of its power that falls into another's channel, 0..1 */
    char id[SCENARIO_NAME_SIZE]; /* what the receiver then says; "" = says nothing */
};

struct scenario_axis {
    double start_deg; /* what the mount's own angle is at first */
    double turn_deg;  /* per turn of the bolt, > 0 */
    double backlash_deg;
    double tighten_deg; /* what fastening its bolts does to it */
    double press_deg;   /* how far a hand that turns the bolt bends it, the way it turns */
    double rock_deg;    /* how far a firm hand on the antenna's edge bends it, either way */
    enum scenario_read read;
    double scale_zero_deg; /* scale = zero + sense * the mount's own angle */
    double scale_sense;
    double graduation_deg; /* of the printed scale */
    double sensor_offset_deg;
    double sensor_noise_deg;
};

struct scenario {
    char name[SCENARIO_NAME_SIZE];
    struct {
        struct globe_site place;
        double air;             /* refractivity, N units */
        double declination_deg; /* of the magnetic field there and then */
        double utc_s;           /* UTC at the start, since 1970 */
    } site;
    struct scenario_satellite satellites[SCENARIO_SATELLITES];
    size_t satellite_count;
    size_t target;   /* index: the one that is wanted */
    bool receives_h; /* the port that the meter hangs on: H, else V */
    struct {
        bool panel;
        double width_m, height_m, frequency_ghz;
        double beam_width_deg, beam_height_deg; /* 0 = from the size */
        double cross_polar_db, cross_polar_edge_db, floor_db;
    } antenna;
    struct {
        double lean_deg, lean_toward_deg; /* the mast is out of plumb */
        struct scenario_axis axes[WORLD_AXES];
    } mount;
    struct {
        char name[SCENARIO_NAME_SIZE]; /* of its profile in the job */
        char unit[SCENARIO_NAME_SIZE]; /* "dB", "dBm", "dBuV", "percent", "V", "raw" */
        bool carrier;                  /* reads the strongest carrier over noise and interference,
                                          else all power over noise */
        double period_s, lag_s, noise, quantum; /* noise and quantum in the meter's unit */
        double floor_db;                        /* carrier: what it makes of noise alone */
        double zero, slope, bend_db; /* reading = zero + slope * dB; bent, if bend_db > 0:
                                        zero + slope * bend * (1 - exp(-dB / bend)) */
        double minimum, maximum;     /* of the readings */
        double lock_threshold_db, lock_delay_s;
        bool has_lock, has_cross;
    } meter;
    struct {
        double period_s; /* of the sensors on the antenna */
        double compass_bias_deg, compass_swing_deg, compass_swing_at_deg;
    } sensors;
    struct {
        double period_s, delay_s, noise_m;
    } receiver;
    struct {
        double fade_db, fade_s; /* slow fading: standard deviation and correlation time */
        double rain_db, rain_start_s, rain_length_s;
        double sway_deg, sway_s; /* wind, on azimuth and elevation: as fading */
    } weather;
    struct {
        double from_deg, to_deg, below_deg, loss_db;
    } blocked[SCENARIO_BLOCKED];
    size_t blocked_count;
    struct {
        char teaches[SCENARIO_LESSON_SIZE]; /* "" = not meant for practice */
        double hard;                        /* 1 easy to 5 nasty */
        double minutes;                     /* that a practised hand may take */
    } lesson;
};

/*
 * Where a scenario is: a path as it stands, or a name that is looked for among the installed
 * scenarios, then above the running program in share/peakward/scenarios (installed somewhere else)
 * and in sim/scenarios (not installed).
 *
 *   returns  0; -ENOENT
 */
int scenario_find(const char *name, char ret_path[SCENARIO_PATH_SIZE]);

/*
 * Read a scenario.
 *
 *   returns  0; -errno when it can't be read, -EINVAL when it is wrong; why says FILE:LINE
 */
int scenario_read(const char *path, struct scenario *ret_scenario, char why[SCENARIO_WHY_SIZE]);

/* The antenna as its patterns see it. */
struct aperture scenario_aperture(const struct scenario *scenario);

#endif
