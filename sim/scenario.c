#include "sim/scenario.h"

#include <errno.h>
#include <ini.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/tongue.h"

static const double usual_rock_widths = 0.15;

/* --- keys ----------------------------------------------------------------------------------- */

enum type { TYPE_NUMBER, TYPE_TEXT, TYPE_CHOICE };

struct key {
    const char *name;
    enum type type;
    size_t offset;
    double minimum, maximum;    /* TYPE_NUMBER */
    const char *const *choices; /* TYPE_CHOICE: ended by NULL; the index is stored in */
    size_t size;                /* of the text's room, or of the int or bool */
};

#define NUMBER(type, name, member, low, high)                                                      \
    {                                                                                              \
        name, TYPE_NUMBER, offsetof(type, member), low, high                                       \
    }
#define TEXT(type, name, member)                                                                   \
    {                                                                                              \
        name, TYPE_TEXT, offsetof(type, member), 0, 0, NULL, sizeof((type *)0)->member             \
    }
#define CHOICE(type, name, member, words)                                                          \
    {                                                                                              \
        name, TYPE_CHOICE, offsetof(type, member), 0, 0, words, sizeof((type *)0)->member          \
    }

static const char *const yes_no[] = {"no", "yes", NULL};
static const char *const waves[] = {"V", "H", "both", "circular", NULL};
static const char *const ports[] = {"V", "H", NULL};
static const char *const kinds[] = {"dish", "panel", NULL};
static const char *const reads[] = {"sensor", "scale", "nothing", NULL};
static const char *const quantities[] = {"power", "carrier", NULL};

#define SCENARIO(name, member, low, high) NUMBER(struct scenario, name, member, low, high)
#define AXIS(name, member, low, high) NUMBER(struct scenario_axis, name, member, low, high)

static const struct key site_keys[] = {
    SCENARIO("lat", site.place.lat_deg, -90, 90),
    SCENARIO("lon", site.place.lon_deg, -180, 180),
    SCENARIO("height", site.place.height_m, -500, 9000),
    SCENARIO("air", site.air, 0, 450),
    SCENARIO("declination", site.declination_deg, -180, 180),
    {NULL},
};
static const struct key satellite_keys[] = {
    NUMBER(struct scenario_satellite, "lon", lon_deg, -180, 180),
    NUMBER(struct scenario_satellite, "level", level_db, -40, 60),
    NUMBER(struct scenario_satellite, "turn", turn_deg, -90, 90),
    NUMBER(struct scenario_satellite, "overlap", overlap, 0, 1),
    CHOICE(struct scenario_satellite, "polarisation", wave, waves),
    CHOICE(struct scenario_satellite, "lockable", lockable, yes_no),
    TEXT(struct scenario_satellite, "id", id),
    {NULL},
};
static const struct key antenna_keys[] = {
    CHOICE(struct scenario, "kind", antenna.panel, kinds),
    SCENARIO("width", antenna.width_m, 0.1, 40),
    SCENARIO("height", antenna.height_m, 0.1, 40),
    SCENARIO("frequency", antenna.frequency_ghz, 0.1, 100),
    SCENARIO("beam_width", antenna.beam_width_deg, 0.01, 30),
    SCENARIO("beam_height", antenna.beam_height_deg, 0.01, 30),
    SCENARIO("cross_polar", antenna.cross_polar_db, 5, 80),
    SCENARIO("cross_polar_edge", antenna.cross_polar_edge_db, 5, 80),
    SCENARIO("floor", antenna.floor_db, -90, -20),
    {NULL},
};
static const struct key mount_keys[] = {
    SCENARIO("lean", mount.lean_deg, 0, 20),
    SCENARIO("lean_toward", mount.lean_toward_deg, 0, 360),
    {NULL},
};
static const struct key axis_keys[] = {
    AXIS("start", start_deg, -360, 360),
    AXIS("turn", turn_deg, 0.01, 360),
    AXIS("backlash", backlash_deg, 0, 10),
    AXIS("tighten", tighten_deg, -10, 10),
    AXIS("press", press_deg, 0, 10),
    AXIS("rock", rock_deg, 0, 10),
    CHOICE(struct scenario_axis, "read", read, reads),
    AXIS("scale_zero", scale_zero_deg, -360, 360),
    AXIS("scale_sense", scale_sense, -1, 1),
    AXIS("graduation", graduation_deg, 0.01, 10),
    AXIS("sensor_offset", sensor_offset_deg, -90, 90),
    AXIS("sensor_noise", sensor_noise_deg, 0, 10),
    {NULL},
};
static const struct key meter_keys[] = {
    TEXT(struct scenario, "name", meter.name),
    TEXT(struct scenario, "unit", meter.unit),
    CHOICE(struct scenario, "reads", meter.carrier, quantities),
    SCENARIO("period", meter.period_s, 0.02, 60),
    SCENARIO("lag", meter.lag_s, 0, 60),
    SCENARIO("noise", meter.noise, 0, 100),
    SCENARIO("quantum", meter.quantum, 0, 100),
    SCENARIO("floor", meter.floor_db, -40, 20),
    SCENARIO("zero", meter.zero, -1000, 1000),
    SCENARIO("slope", meter.slope, 0.001, 1000),
    SCENARIO("bend", meter.bend_db, 0, 100),
    SCENARIO("minimum", meter.minimum, -10000, 10000),
    SCENARIO("maximum", meter.maximum, -10000, 10000),
    SCENARIO("lock_threshold", meter.lock_threshold_db, -40, 60),
    SCENARIO("lock_delay", meter.lock_delay_s, 0, 60),
    CHOICE(struct scenario, "lock", meter.has_lock, yes_no),
    CHOICE(struct scenario, "cross_port", meter.has_cross, yes_no),
    {NULL},
};
static const struct key sensors_keys[] = {
    SCENARIO("period", sensors.period_s, 0.04, 60),
    SCENARIO("compass_bias", sensors.compass_bias_deg, -180, 180),
    SCENARIO("compass_swing", sensors.compass_swing_deg, 0, 45),
    SCENARIO("compass_swing_at", sensors.compass_swing_at_deg, 0, 360),
    {NULL},
};
static const struct key receiver_keys[] = {
    SCENARIO("period", receiver.period_s, 0.1, 60),
    SCENARIO("delay", receiver.delay_s, 0, 600),
    SCENARIO("noise", receiver.noise_m, 0, 1000),
    {NULL},
};
static const struct key weather_keys[] = {
    SCENARIO("fade", weather.fade_db, 0, 20),
    SCENARIO("fade_time", weather.fade_s, 0.1, 10000),
    SCENARIO("rain", weather.rain_db, 0, 60),
    SCENARIO("rain_start", weather.rain_start_s, 0, 1e6),
    SCENARIO("rain_length", weather.rain_length_s, 1, 1e6),
    SCENARIO("sway", weather.sway_deg, 0, 10),
    SCENARIO("sway_time", weather.sway_s, 0.1, 1000),
    {NULL},
};
static const struct key lesson_keys[] = {
    TEXT(struct scenario, "teaches", lesson.teaches),
    SCENARIO("hard", lesson.hard, 1, 5),
    SCENARIO("minutes", lesson.minutes, 1, 120),
    {NULL},
};
static const struct key blocked_keys[] = {
    SCENARIO("from", blocked[0].from_deg, 0, 360),
    SCENARIO("to", blocked[0].to_deg, 0, 360),
    SCENARIO("below", blocked[0].below_deg, -5, 90),
    SCENARIO("loss", blocked[0].loss_db, 0, 60),
    {NULL},
};

/* --- reading -------------------------------------------------------------------------------- */

struct reading {
    struct scenario *scenario;
    char target[SCENARIO_NAME_SIZE];
    char blocked[SCENARIO_NAME_SIZE]; /* the section at hand */
    char *why;
};

static int refuse(struct reading *reading, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Keeps the first complaint; inih wants 0 for "no". */
static int refuse(struct reading *reading, const char *format, ...)
{
    if (reading->why[0] == '\0') {
        va_list args;
        va_start(args, format);
        vsnprintf(reading->why, SCENARIO_WHY_SIZE, format, args);
        va_end(args);
    }
    return 0;
}

static int set_choice(struct reading *reading, const struct key *key, void *base, const char *value)
{
    char allowed[80] = "";

    for (int i = 0; key->choices[i]; i++) {
        if (strcmp(key->choices[i], value) == 0) {
            if (key->size == sizeof(bool)) {
                *(bool *)base = i != 0;
            } else {
                *(int *)base = i;
            }
            return 1;
        }
        size_t used = strlen(allowed);
        snprintf(allowed + used, sizeof allowed - used, "%s%s", i ? ", " : "", key->choices[i]);
    }
    return refuse(reading, _("%s = %s: not one of %s"), key->name, value, allowed);
}

static int set_number(struct reading *reading, const struct key *key, double *ret,
                      const char *value)
{
    char *end;
    double number = strtod(value, &end);

    if (end == value || *end != '\0' || !(number >= key->minimum && number <= key->maximum)) {
        return refuse(reading, _("%s = %s: not a number from %g to %g"), key->name, value,
                      key->minimum, key->maximum);
    }
    *ret = number;
    return 1;
}

static int set_key(struct reading *reading, const struct key *keys, void *base, const char *name,
                   const char *value)
{
    for (const struct key *key = keys; key->name; key++) {
        if (strcmp(key->name, name) != 0) {
            continue;
        }
        char *at = (char *)base + key->offset;
        switch (key->type) {
        case TYPE_NUMBER:
            return set_number(reading, key, (double *)(void *)at, value);
        case TYPE_TEXT:
            if (strlen(value) >= key->size) {
                return refuse(reading, _("%s: longer than %zu bytes"), name, key->size - 1);
            }
            strcpy(at, value);
            return 1;
        case TYPE_CHOICE:
            return set_choice(reading, key, at, value);
        }
    }
    return refuse(reading, _("%s: no such key in this section"), name);
}

static int set_satellite(struct reading *reading, const char *satellite, const char *name,
                         const char *value)
{
    struct scenario *scenario = reading->scenario;
    size_t i = 0;

    while (i < scenario->satellite_count && strcmp(scenario->satellites[i].name, satellite) != 0) {
        i++;
    }
    if (i == SCENARIO_SATELLITES || strlen(satellite) >= SCENARIO_NAME_SIZE) {
        return refuse(reading, _("satellite %s: too many of them, or too long a name"), satellite);
    }
    if (i == scenario->satellite_count) {
        scenario->satellites[i] = (struct scenario_satellite){.lockable = true, .overlap = 1.0};
        strcpy(scenario->satellites[i].name, satellite);
        scenario->satellite_count++;
    }
    return set_key(reading, satellite_keys, &scenario->satellites[i], name, value);
}

static int set_blocked(struct reading *reading, const char *section, const char *name,
                       const char *value)
{
    struct scenario *scenario = reading->scenario;

    if (strcmp(reading->blocked, section) != 0) {
        if (scenario->blocked_count == SCENARIO_BLOCKED) {
            return refuse(reading, _("%s: more than %d blocked sectors"), section,
                          SCENARIO_BLOCKED);
        }
        snprintf(reading->blocked, sizeof reading->blocked, "%s", section);
        scenario->blocked[scenario->blocked_count++].loss_db = 30.0;
    }
    size_t stride = sizeof scenario->blocked[0] * (scenario->blocked_count - 1);
    return set_key(reading, blocked_keys, (char *)scenario + stride, name, value);
}

static int set_utc(struct reading *reading, const char *value)
{
    struct tm tm = {0};
    const char *end = strptime(value, "%Y-%m-%dT%H:%M:%SZ", &tm);

    if (!end || *end != '\0') {
        return refuse(reading, _("utc = %s: not like 2026-05-12T09:30:00Z"), value);
    }
    reading->scenario->site.utc_s = (double)timegm(&tm);
    return 1;
}

static int set_target(struct reading *reading, const char *name, const char *value)
{
    static const struct key keys[] = {
        TEXT(struct reading, "satellite", target),
        {NULL},
    };
    static const struct key port_keys[] = {
        CHOICE(struct scenario, "polarisation", receives_h, ports),
        {NULL},
    };

    if (strcmp(name, "satellite") == 0) {
        return set_key(reading, keys, reading, name, value);
    }
    return set_key(reading, port_keys, reading->scenario, name, value);
}

static int handle(void *user, const char *section, const char *name, const char *value)
{
    static const struct {
        const char *section;
        const struct key *keys;
    } plain[] = {
        {"site", site_keys},       {"antenna", antenna_keys}, {"mount", mount_keys},
        {"meter", meter_keys},     {"sensors", sensors_keys}, {"receiver", receiver_keys},
        {"weather", weather_keys}, {"lesson", lesson_keys},
    };
    static const char *const axes[WORLD_AXES] = {"mount azimuth", "mount elevation", "mount skew"};
    struct reading *reading = (struct reading *)user;

    if (strcmp(section, "site") == 0 && strcmp(name, "utc") == 0) {
        return set_utc(reading, value);
    }
    if (strcmp(section, "target") == 0) {
        return set_target(reading, name, value);
    }
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++) {
        if (strcmp(section, plain[i].section) == 0) {
            return set_key(reading, plain[i].keys, reading->scenario, name, value);
        }
    }
    for (int i = 0; i < WORLD_AXES; i++) {
        if (strcmp(section, axes[i]) == 0) {
            return set_key(reading, axis_keys, &reading->scenario->mount.axes[i], name, value);
        }
    }
    if (strncmp(section, "satellite ", 10) == 0 && section[10] != '\0') {
        return set_satellite(reading, section + 10, name, value);
    }
    if (strncmp(section, "blocked ", 8) == 0) {
        return set_blocked(reading, section, name, value);
    }
    return refuse(reading, _("[%s]: no such section"), section);
}

static void set_defaults(struct scenario *scenario)
{
    *scenario = (struct scenario){
        .site = {.air = 315.0, .utc_s = 1778578200.0},
        .antenna = {.width_m = 0.75,
                    .height_m = 0.75,
                    .frequency_ghz = 11.7,
                    .cross_polar_db = 35.0,
                    .cross_polar_edge_db = 25.0,
                    .floor_db = -42.0},
        .meter = {.name = "meter",
                  .unit = "dB",
                  .period_s = 0.5,
                  .lag_s = 0.8,
                  .noise = 0.2,
                  .quantum = 0.1,
                  .slope = 1.0,
                  .minimum = -10000.0,
                  .maximum = 10000.0,
                  .lock_threshold_db = 4.0,
                  .lock_delay_s = 2.0,
                  .has_lock = true},
        .sensors = {.period_s = 0.2},
        .receiver = {.period_s = 1.0, .delay_s = 2.0, .noise_m = 2.0},
        .weather = {.fade_s = 30.0, .rain_length_s = 60.0, .sway_s = 2.0},
        .lesson = {.hard = 1.0, .minutes = 10.0},
    };
    for (int i = 0; i < WORLD_AXES; i++) {
        scenario->mount.axes[i] = (struct scenario_axis){
            .turn_deg = 1.0, .rock_deg = NAN, .scale_sense = 1.0, .graduation_deg = 1.0};
    }
}

/* Where the file does not say how far a firm hand bends the antenna: as mounts usually do, which
 * are built the stiffer the narrower their beam is. Common practice, no source. */
static void fill_rock(struct scenario *scenario)
{
    struct aperture aperture = scenario_aperture(scenario);

    for (int i = 0; i < WORLD_AXES; i++) {
        double *deg = &scenario->mount.axes[i].rock_deg;
        *deg = isfinite(*deg) ? *deg : usual_rock_widths * aperture.width_deg;
    }
}

static int find_target(struct reading *reading)
{
    struct scenario *scenario = reading->scenario;

    for (size_t i = 0; i < scenario->satellite_count; i++) {
        if (strcmp(scenario->satellites[i].name, reading->target) == 0) {
            scenario->target = i;
            return 1;
        }
    }
    return refuse(reading, _("[target] satellite = %s: no such [satellite NAME] section"),
                  reading->target);
}

int scenario_read(const char *path, struct scenario *ret_scenario, char why[SCENARIO_WHY_SIZE])
{
    struct scenario scenario;
    char complaint[SCENARIO_WHY_SIZE] = "";
    struct reading reading = {.scenario = &scenario, .why = complaint};
    const char *slash = strrchr(path, '/');
    FILE *file = fopen(path, "re");
    int line;

    if (!file) {
        int error = errno;
        snprintf(why, SCENARIO_WHY_SIZE, "%s: %s", path, fault_words(error));
        return -error;
    }
    set_defaults(&scenario);
    snprintf(scenario.name, sizeof scenario.name, "%s", slash ? slash + 1 : path);
    scenario.name[strcspn(scenario.name, ".")] = '\0';
    line = ini_parse_file(file, handle, &reading);
    fclose(file);
    if (line != 0) {
        refuse(&reading, _("not a line of the form key = value"));
    } else if (!find_target(&reading)) {
        line = 1;
    }
    if (line != 0) {
        snprintf(why, SCENARIO_WHY_SIZE, "%.120s:%d: %.120s", path, line, complaint);
        return -EINVAL;
    }
    fill_rock(&scenario);
    *ret_scenario = scenario;
    return 0;
}

/* --- finding -------------------------------------------------------------------------------- */

static bool is_there(char *path, const char *directory, const char *between, const char *name)
{
    int n = snprintf(path, SCENARIO_PATH_SIZE, "%s%s%s.scenario", directory, between, name);

    return n > 0 && n < SCENARIO_PATH_SIZE && access(path, R_OK) == 0;
}

int scenario_find(const char *name, char ret_path[SCENARIO_PATH_SIZE])
{
    char path[SCENARIO_PATH_SIZE], above[SCENARIO_PATH_SIZE];

    if (access(name, R_OK) == 0 && strlen(name) < SCENARIO_PATH_SIZE) {
        strcpy(ret_path, name);
        return 0;
    }
    if (strchr(name, '/')) {
        return -ENOENT;
    }
    if (is_there(path, PEAKWARD_DATADIR, "/scenarios/", name)) {
        strcpy(ret_path, path);
        return 0;
    }
    ssize_t n = readlink("/proc/self/exe", above, sizeof above - 1);
    if (n <= 0) {
        return -ENOENT;
    }
    above[n] = '\0';
    for (char *slash = strrchr(above, '/'); slash; slash = strrchr(above, '/')) {
        *slash = '\0';
        if (is_there(path, above, "/sim/scenarios/", name) ||
            is_there(path, above, "/share/peakward/scenarios/", name)) {
            strcpy(ret_path, path);
            return 0;
        }
    }
    return -ENOENT;
}

struct aperture scenario_aperture(const struct scenario *scenario)
{
    bool panel = scenario->antenna.panel;
    double frequency = scenario->antenna.frequency_ghz;
    double width = scenario->antenna.beam_width_deg, height = scenario->antenna.beam_height_deg;

    return (struct aperture){
        .panel = panel,
        .width_deg =
            width > 0 ? width : aperture_width_deg(panel, scenario->antenna.width_m, frequency),
        .height_deg =
            height > 0 ? height : aperture_width_deg(panel, scenario->antenna.height_m, frequency),
        .floor_db = scenario->antenna.floor_db,
        .cross_polar_db = scenario->antenna.cross_polar_db,
        .cross_polar_edge_db = scenario->antenna.cross_polar_edge_db,
    };
}
