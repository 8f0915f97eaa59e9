#include "job/job_keys.h"

#include <string.h>

#define IN_JOB(member) HOME_JOB, offsetof(struct job, member)
#define IN_NEIGHBOUR(member) HOME_NEIGHBOUR, offsetof(struct job_satellite, member)
#define IN_METER(member) HOME_METER, offsetof(struct job_meter, member)
#define IN_SOURCE(member) HOME_SOURCE, offsetof(struct job_source, member)

/* clang-format off */
#define TEXT(section, key, size, ...) {section, key, KEY_TEXT, 0, (size) - 1, NULL, __VA_ARGS__}
#define NAME(section, key, size, ...) {section, key, KEY_TEXT, 1, (size) - 1, NULL, __VA_ARGS__}
#define NUMBER(section, key, a, b, ...) {section, key, KEY_NUMBER, a, b, NULL, __VA_ARGS__}
#define WHOLE(section, key, a, b, ...) {section, key, KEY_WHOLE, a, b, NULL, __VA_ARGS__}
#define CHOICE(section, key, names, ...) {section, key, KEY_CHOICE, 0, 0, names, __VA_ARGS__}
#define OTHER(section, key, type, ...) {section, key, type, 0, 0, NULL, __VA_ARGS__}

#define AXIS(name, axis)                                                                           \
    CHOICE("mount", name "_from", "sensor scale nudges", IN_JOB(mount.axes[axis].from)),           \
    NUMBER("mount", name "_turn", 0.01, 45, IN_JOB(mount.axes[axis].turn_deg)),                    \
    NUMBER("mount", name "_scale_zero", -360, 360, IN_JOB(mount.axes[axis].scale_zero_deg)),       \
    OTHER("mount", name "_scale_sense", KEY_SENSE, IN_JOB(mount.axes[axis].scale_sense)),          \
    NUMBER("mount", name "_sensor_zero", -360, 360, IN_JOB(mount.axes[axis].sensor_zero_deg)),     \
    NUMBER("mount", name "_sensor_error", 0, 45, IN_JOB(mount.axes[axis].sensor_error_deg)),       \
    NUMBER("mount", name "_backlash", 0, 10, IN_JOB(mount.axes[axis].backlash_deg))

const struct job_key job_keys[] = {
    TEXT("site", "name", JOB_NAME_SIZE, IN_JOB(site.name)),
    OTHER("site", "lat", KEY_LATITUDE, IN_JOB(site.place.lat_deg)),
    OTHER("site", "lon", KEY_LONGITUDE, IN_JOB(site.place.lon_deg)),
    NUMBER("site", "height", -500, 9000, IN_JOB(site.place.height_m)),

    NAME("target", "name", JOB_NAME_SIZE, IN_JOB(target.satellite.name)),
    OTHER("target", "longitude", KEY_LONGITUDE, IN_JOB(target.satellite.lon_deg)),
    OTHER("target", "polarisation", KEY_POLARISATION, IN_JOB(target.polarisation)),
    NUMBER("target", "skew_offset", -90, 90, IN_JOB(target.skew_offset_deg)),
    NUMBER("target", "expected_level", -1e6, 1e6, IN_JOB(target.expected_level)),
    TEXT("target", "id", JOB_NAME_SIZE, IN_JOB(target.satellite.id)),
    NUMBER("target", "inclination", 0, 20, IN_JOB(target.inclination_deg)),
    NUMBER("target", "box_east_west", 0, 5, IN_JOB(target.box_east_west_deg)),
    NUMBER("target", "box_north_south", 0, 5, IN_JOB(target.box_north_south_deg)),
    TEXT("target", "elements", JOB_TEXT_SIZE, IN_JOB(target.elements)),
    TEXT("target", "elements_name", JOB_NAME_SIZE, IN_JOB(target.elements_name)),

    OTHER("neighbour", "longitude", KEY_LONGITUDE, IN_NEIGHBOUR(lon_deg)),
    NUMBER("neighbour", "level", -60, 60, IN_NEIGHBOUR(level_db)),
    CHOICE("neighbour", "polarisation", "unknown V H both", IN_NEIGHBOUR(carriers)),
    TEXT("neighbour", "id", JOB_NAME_SIZE, IN_NEIGHBOUR(id)),

    OTHER("antenna", "kit", KEY_KIT, IN_JOB(antenna)),
    CHOICE("antenna", "kind", "dish panel", IN_JOB(antenna.kind)),
    NUMBER("antenna", "diameter", 0.05, 40, IN_JOB(antenna.width_m)),
    NUMBER("antenna", "width", 0.05, 40, IN_JOB(antenna.width_m)),
    NUMBER("antenna", "height", 0.05, 40, IN_JOB(antenna.height_m)),
    NUMBER("antenna", "frequency", 0.5, 100, IN_JOB(antenna.frequency_ghz)),
    NUMBER("antenna", "beam_width", 0.01, 60, IN_JOB(antenna.beam_width_deg)),
    NUMBER("antenna", "beam_height", 0.01, 60, IN_JOB(antenna.beam_height_deg)),
    NUMBER("antenna", "cross_polar", 0, 80, IN_JOB(antenna.cross_polar_db)),
    NUMBER("antenna", "rim", 0, 30, IN_JOB(antenna.rim_db)),
    NUMBER("antenna", "gain", 0, 80, IN_JOB(antenna.gain_dbi)),
    TEXT("antenna", "pattern", JOB_TEXT_SIZE, IN_JOB(antenna.pattern)),
    TEXT("antenna", "pattern_height", JOB_TEXT_SIZE, IN_JOB(antenna.pattern_height)),

    NUMBER("link", "eirp", -20, 100, IN_JOB(link.eirp_dbw)),
    NUMBER("link", "symbol_rate", 0.001, 2000, IN_JOB(link.symbol_rate_mbd)),
    NUMBER("link", "gt", -50, 60, IN_JOB(link.gt_dbk)),
    NUMBER("link", "noise_temperature", 1, 10000, IN_JOB(link.noise_k)),
    NUMBER("link", "rain", 0, 300, IN_JOB(link.rain_mm_h)),
    NUMBER("link", "rain_path", 0, 50, IN_JOB(link.rain_path_km)),
    NUMBER("link", "margin", 0, 20, IN_JOB(link.margin_db)),
    CHOICE("link", "standard", "DVB-S2 DVB-S2X", IN_JOB(link.standard)),
    NUMBER("link", "isolation", 0, 60, IN_JOB(link.isolation_db)),

    NUMBER("transmitter", "power", 0, 10000, IN_JOB(transmitter.power_w)),
    NUMBER("transmitter", "frequency", 0.5, 100, IN_JOB(transmitter.frequency_ghz)),
    NUMBER("transmitter", "efficiency", 0.05, 1, IN_JOB(transmitter.efficiency)),

    AXIS("azimuth", AXIS_AZIMUTH),
    AXIS("elevation", AXIS_ELEVATION),
    AXIS("skew", AXIS_SKEW),
    CHOICE("mount", "skew_by", "feed panel none", IN_JOB(mount.skew_by)),

    OTHER("meter", "kit", KEY_KIT, IN_METER(name)),
    WHOLE("meter", "baud", 50, 4000000, IN_METER(baud)),
    OTHER("meter", "framing", KEY_FRAMING, IN_METER(framing)),
    TEXT("meter", "pattern", JOB_TEXT_SIZE, IN_METER(pattern)),
    TEXT("meter", "poll", JOB_TEXT_SIZE, IN_METER(poll)),
    NUMBER("meter", "poll_period", 0.02, 60, IN_METER(poll_period_s)),
    OTHER("meter", "unit", KEY_UNIT, IN_METER(unit)),
    TEXT("meter", "quantity", JOB_NAME_SIZE, IN_METER(quantity)),
    NUMBER("meter", "noise", 0, 1000, IN_METER(noise)),
    NUMBER("meter", "lag", 0, 30, IN_METER(lag_s)),
    NUMBER("meter", "lock_delay", 0, 120, IN_METER(lock_delay_s)),
    NUMBER("meter", "minimum", -1e6, 1e6, IN_METER(minimum)),
    NUMBER("meter", "maximum", -1e6, 1e6, IN_METER(maximum)),

    NAME("source", "address", JOB_TEXT_SIZE, IN_SOURCE(address)),
    TEXT("source", "meter", JOB_NAME_SIZE, IN_SOURCE(meter)),

    OTHER("skyline", "point", KEY_POINT, IN_JOB(skyline)),
    OTHER("skyline", "object", KEY_OBJECT, IN_JOB(objects)),

    TEXT("coach", "procedure", JOB_TEXT_SIZE, IN_JOB(coach.procedure)),
    NUMBER("coach", "compass_error", 0.1, 180, IN_JOB(coach.compass_error_deg)),

    TEXT("files", "magnetic_model", JOB_TEXT_SIZE, IN_JOB(files.magnetic_model)),
    {.section = NULL},
};
/* clang-format on */

const struct job_key *job_keys_find(const char *section, const char *key)
{
    for (const struct job_key *row = job_keys; row->section; row++) {
        if (strcmp(row->section, section) == 0 && strcmp(row->key, key) == 0) {
            return row;
        }
    }
    return NULL;
}
