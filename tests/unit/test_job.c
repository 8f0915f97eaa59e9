#include "expect.h"

#include <errno.h>
#include <string.h>

#include "job/job.h"
#include "job/job_keys.h"

static struct job job, rebuilt;

static int begin(void **state)
{
    (void)state;
    job_init(&job);
    return 0;
}

static int set(const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE] = "";
    int r = job_set(&job, section, key, value, why);

    if (r < 0) {
        print_error("%s\n", why);
    }
    return r;
}

/* --- every key ------------------------------------------------------------------------------- */

/* A value for each key, and what must be found where: told apart from the table under test. */
static const struct every {
    const char *section, *key, *value;
    const void *place;
    char kind; /* d double, i int or enum, s text, - nothing to see */
    double number;
} every[] = {
    {"site", "name", "Rescue hut", job.site.name, 's', 0},
    {"site", "lat", "46d36mN", &job.site.place.lat_deg, 'd', 46.6},
    {"site", "lon", "10.1", &job.site.place.lon_deg, 'd', 10.1},
    {"site", "height", "2200", &job.site.place.height_m, 'd', 2200},
    {"target", "name", "Ptarmigan 1", job.target.satellite.name, 's', 0},
    {"target", "longitude", "22.4W", &job.target.satellite.lon_deg, 'd', -22.4},
    {"target", "polarisation", "H", &job.target.polarisation, 'i', POLARISATION_H},
    {"target", "skew_offset", "-3.5", &job.target.skew_offset_deg, 'd', -3.5},
    {"target", "expected_level", "13", &job.target.expected_level, 'd', 13},
    {"target", "id", "PTARMIGAN", job.target.satellite.id, 's', 0},
    {"target", "inclination", "1.5", &job.target.inclination_deg, 'd', 1.5},
    {"target", "box_east_west", "0.1", &job.target.box_east_west_deg, 'd', 0.1},
    {"target", "box_north_south", "0.05", &job.target.box_north_south_deg, 'd', 0.05},
    {"target", "elements", "slots.txt", job.target.elements, 's', 0},
    {"target", "elements_name", "PTARMIGAN 1", job.target.elements_name, 's', 0},
    {"neighbour Ibex 4", "longitude", "25.1E", &job.neighbours[0].lon_deg, 'd', 25.1},
    {"neighbour Ibex 4", "level", "-2", &job.neighbours[0].level_db, 'd', -2},
    {"neighbour Ibex 4", "polarisation", "both", &job.neighbours[0].carriers, 'i',
     JOB_CARRIERS_BOTH},
    {"neighbour Ibex 4", "id", "IBEX", job.neighbours[0].id, 's', 0},
    {"antenna", "kit", "small", NULL, '-', 0},
    {"antenna", "kind", "panel", &job.antenna.kind, 'i', JOB_PANEL},
    {"antenna", "diameter", "0.75", &job.antenna.width_m, 'd', 0.75},
    {"antenna", "width", "0.6", &job.antenna.width_m, 'd', 0.6},
    {"antenna", "height", "0.35", &job.antenna.height_m, 'd', 0.35},
    {"antenna", "frequency", "11.7", &job.antenna.frequency_ghz, 'd', 11.7},
    {"antenna", "beam_width", "2.4", &job.antenna.beam_width_deg, 'd', 2.4},
    {"antenna", "beam_height", "3.6", &job.antenna.beam_height_deg, 'd', 3.6},
    {"antenna", "cross_polar", "34", &job.antenna.cross_polar_db, 'd', 34},
    {"antenna", "rim", "12", &job.antenna.rim_db, 'd', 12},
    {"antenna", "gain", "38.4", &job.antenna.gain_dbi, 'd', 38.4},
    {"antenna", "pattern", "width.txt", job.antenna.pattern, 's', 0},
    {"antenna", "pattern_height", "height.txt", job.antenna.pattern_height, 's', 0},
    {"link", "eirp", "51", &job.link.eirp_dbw, 'd', 51},
    {"link", "symbol_rate", "27.5", &job.link.symbol_rate_mbd, 'd', 27.5},
    {"link", "gt", "16.4", &job.link.gt_dbk, 'd', 16.4},
    {"link", "noise_temperature", "140", &job.link.noise_k, 'd', 140},
    {"link", "rain", "20", &job.link.rain_mm_h, 'd', 20},
    {"link", "rain_path", "3", &job.link.rain_path_km, 'd', 3},
    {"link", "margin", "1.5", &job.link.margin_db, 'd', 1.5},
    {"link", "standard", "DVB-S2X", &job.link.standard, 'i', MODCODS_S2X},
    {"link", "isolation", "30", &job.link.isolation_db, 'd', 30},
    {"transmitter", "power", "4", &job.transmitter.power_w, 'd', 4},
    {"transmitter", "frequency", "14.25", &job.transmitter.frequency_ghz, 'd', 14.25},
    {"transmitter", "efficiency", "0.65", &job.transmitter.efficiency, 'd', 0.65},
#define ROW(key, value, member, axis, kind, number)                                                \
    {                                                                                              \
        "mount", key, value, &job.mount.axes[axis].member, kind, number                            \
    }
#define AXIS(name, axis)                                                                           \
    ROW(name "_from", "nudges", from, axis, 'i', JOB_FROM_NUDGES),                                 \
        ROW(name "_turn", "1.5", turn_deg, axis, 'd', 1.5),                                        \
        ROW(name "_scale_zero", "-22", scale_zero_deg, axis, 'd', -22),                            \
        ROW(name "_scale_sense", "-1", scale_sense, axis, 'i', -1),                                \
        ROW(name "_sensor_zero", "3.2", sensor_zero_deg, axis, 'd', 3.2),                          \
        ROW(name "_sensor_error", "0.06", sensor_error_deg, axis, 'd', 0.06),                      \
        ROW(name "_backlash", "0.2", backlash_deg, axis, 'd', 0.2)
    AXIS("azimuth", AXIS_AZIMUTH),
    AXIS("elevation", AXIS_ELEVATION),
    AXIS("skew", AXIS_SKEW),
    {"mount", "skew_by", "none", &job.mount.skew_by, 'i', JOB_SKEW_NONE},
    {"meter finder", "kit", "small", NULL, '-', 0},
    {"meter finder", "baud", "115200", &job.meters[0].baud, 'i', 115200},
    {"meter finder", "framing", "7E2", job.meters[0].framing, 's', 0},
    {"meter finder", "pattern", "SNR={level}[dB]", job.meters[0].pattern, 's', 0},
    {"meter finder", "poll", "?\\r\\n", job.meters[0].poll, 's', 0},
    {"meter finder", "poll_period", "0.5", &job.meters[0].poll_period_s, 'd', 0.5},
    {"meter finder", "unit", "dBm", &job.meters[0].unit, 'i', LEVEL_DBM},
    {"meter finder", "quantity", "C/N", job.meters[0].quantity, 's', 0},
    {"meter finder", "noise", "0.15", &job.meters[0].noise, 'd', 0.15},
    {"meter finder", "lag", "0.6", &job.meters[0].lag_s, 'd', 0.6},
    {"meter finder", "lock_delay", "2", &job.meters[0].lock_delay_s, 'd', 2},
    {"meter finder", "minimum", "-70", &job.meters[0].minimum, 'd', -70},
    {"meter finder", "maximum", "-20", &job.meters[0].maximum, 'd', -20},
    {"source mount", "address", "serial:/dev/ttyUSB0", job.sources[0].address, 's', 0},
    {"source mount", "meter", "finder", job.sources[0].meter, 's', 0},
    {"skyline", "point", "140 12.5", &job.skyline[0].elevation_deg, 'd', 12.5},
    {"skyline", "object", "140 25 8 4", &job.objects[0].distance_m, 'd', 25},
    {"coach", "procedure", "linear", job.coach.procedure, 's', 0},
    {"coach", "compass_error", "6", &job.coach.compass_error_deg, 'd', 6},
    {"files", "magnetic_model", "/srv/field.cof", job.files.magnetic_model, 's', 0},
};

enum { EVERY = sizeof every / sizeof *every };

static void expect_found(const struct every *row, const void *place)
{
    double number;
    int whole;

    switch (row->kind) {
    case 'd':
        memcpy(&number, place, sizeof number);
        expect_near(number, row->number, 1e-12);
        break;
    case 'i':
        memcpy(&whole, place, sizeof whole);
        assert_int_equal(whole, (int)row->number);
        break;
    case 's':
        assert_string_equal(place, row->value);
        break;
    }
}

static void every_key_is_set_and_read_back(void **state)
{
    (void)state;
    for (int i = 0; i < EVERY; i++) {
        job_init(&job);
        assert_int_equal(set(every[i].section, every[i].key, every[i].value), 0);
        expect_found(&every[i], every[i].place);
    }
    job_init(&job); /* all together, none disturbs another */
    for (int i = 0; i < EVERY; i++) {
        assert_int_equal(set(every[i].section, every[i].key, every[i].value), 0);
    }
    for (int i = 0; i < EVERY; i++) {
        if (strcmp(every[i].key, "diameter") != 0) { /* another name of width */
            expect_found(&every[i], every[i].place);
        }
    }
}

static void no_key_of_the_table_is_left_out_above(void **state)
{
    (void)state;
    for (const struct job_key *row = job_keys; row->section; row++) {
        bool found = false;
        for (int i = 0; i < EVERY; i++) {
            size_t n = strlen(row->section);
            found |= strncmp(every[i].section, row->section, n) == 0 &&
                     strchr(" ", every[i].section[n]) && strcmp(every[i].key, row->key) == 0;
        }
        if (!found) {
            print_error("no test sets [%s] %s\n", row->section, row->key);
        }
        assert_true(found);
    }
}

static void the_settings_build_the_same_job_again(void **state)
{
    char why[JOB_ERROR_SIZE] = "";

    (void)state;
    for (int i = 0; i < EVERY; i++) {
        assert_int_equal(set(every[i].section, every[i].key, every[i].value), 0);
    }
    assert_int_equal(job.setting_count, EVERY - 2); /* kits are left out: their keys stand there */
    job_init(&rebuilt);
    for (size_t i = 0; i < job.setting_count; i++) {
        assert_int_equal(job_set(&rebuilt, job.settings[i].section, job.settings[i].key,
                                 job.settings[i].value, why),
                         0);
        assert_string_equal(rebuilt.settings[i].value, job.settings[i].value);
    }
    for (int i = 0; i < EVERY; i++) {
        if (every[i].place && strcmp(every[i].key, "diameter") != 0) {
            expect_found(&every[i],
                         (const char *)&rebuilt + ((const char *)every[i].place - (char *)&job));
        }
    }
    assert_true(rebuilt.site.given && rebuilt.target.given && rebuilt.target.polarisation_given);
}

/* --- values ---------------------------------------------------------------------------------- */

static void what_is_refused_is_named_with_what_is_allowed(void **state)
{
    static const struct {
        const char *section, *key, *value, *want;
    } rows[] = {
        {"antenna", "diameter", "big", "diameter = big: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "", "diameter = (nothing): allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "0,75", "diameter = 0,75: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "nan", "diameter = nan: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "inf", "diameter = inf: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "0x1", "diameter = 0x1: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "1e999", "diameter = 1e999: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "75 cm", "diameter = 75 cm: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "41", "diameter = 41: allowed is a number from 0.05 to 40"},
        {"antenna", "diameter", "-1", "diameter = -1: allowed is a number from 0.05 to 40"},
        {"antenna", "kind", "horn", "kind = horn: allowed is dish or panel"},
        {"antenna", "kind", "dish panel", "kind = dish panel: allowed is dish or panel"},
        {"antenna", "kit", "", "kit = (nothing): allowed is the name of a section of the kit file"},
        {"antenna", "colour", "red",
         "colour = red: [antenna] has no such key: allowed are kit kind diameter width height "
         "frequency beam_width beam_height cross_polar rim gain pattern pattern_height"},
        {"antenna", "beamwidth", "2",
         "beamwidth = 2: [antenna] has no such key: is beam_width "
         "meant?"},
        {"mount", "azimuth_scale_sense", "0", "azimuth_scale_sense = 0: allowed is 1 or -1"},
        {"mount", "skew_from", "guess", "skew_from = guess: allowed is sensor, scale or nudges"},
        {"meter m", "baud", "9600.5",
         "baud = 9600.5: allowed is a whole number from 50 to 4000000"},
        {"meter m", "baud", "10", "baud = 10: allowed is a whole number from 50 to 4000000"},
        {"meter m", "framing", "8X1",
         "framing = 8X1: allowed is 7 or 8 bits, N, E or O for "
         "parity, 1 or 2 stop bits, such as 8N1"},
        {"meter m", "framing", "8N",
         "framing = 8N: allowed is 7 or 8 bits, N, E or O for "
         "parity, 1 or 2 stop bits, such as 8N1"},
        {"meter m", "unit", "furlong",
         "unit = furlong: allowed is dB, dBm, dBuV, percent, V or raw"},
        {"meter m", "minimum", "1e7",
         "minimum = 1e7: allowed is a number from -1000000 to 1000000"},
        {"target", "polarisation", "diagonal",
         "polarisation = diagonal: allowed is V, H or circular"},
        {"target", "longitude", "200",
         "longitude = 200: allowed is a longitude from -180 to 180, such as 21.5E or -12"},
        {"target", "name", "", "name = (nothing): allowed is a text of 1 to 63 bytes"},
        {"target", "longtitude", "22",
         "longtitude = 22: [target] has no such key: is longitude meant?"},
        {"site", "lat", "91",
         "lat = 91: allowed is a latitude from -90 to 90, such as 46.6 or 46d36mN"},
        {"site", "name", "0123456789012345678901234567890123456789012345678901234567890123",
         "name = 0123456789012345678901234567890123456789012345678901234567890123: allowed is a "
         "text of 0 to 63 bytes"},
        {"site", "name", "\033[2J",
         "name: control characters and bytes that are no UTF-8 are refused"},
        {"neighbour \xff", "id", "X",
         "id: control characters and bytes that are no UTF-8 are refused"},
        {"antenna", "diameter", "\033[2J",
         "diameter: control characters and bytes that are no UTF-8 are refused"},
        {"antenna", "\033[2J", "1",
         "?[2J = 1: [antenna] has no such key: allowed are kit kind diameter width height "
         "frequency beam_width beam_height cross_polar rim gain pattern pattern_height"},
        {"skyline", "point", "140",
         "point = 140: allowed is azimuth from 0 to 360 and elevation "
         "from -90 to 90, such as 140 12.5"},
        {"skyline", "point", "370 1",
         "point = 370 1: allowed is azimuth from 0 to 360 and "
         "elevation from -90 to 90, such as 140 12.5"},
        {"skyline", "object", "140 25",
         "object = 140 25: allowed is azimuth from 0 to 360, metres of distance, metres of height "
         "above the antenna and, if known, of width, such as 140 25 8 4"},
        {"skyline", "object", "140 0 8",
         "object = 140 0 8: allowed is azimuth from 0 to 360, metres of distance, metres of height "
         "above the antenna and, if known, of width, such as 140 25 8 4"},
        {"skyline", "point", "1 2 3",
         "point = 1 2 3: allowed is azimuth from 0 to 360 and "
         "elevation from -90 to 90, such as 140 12.5"},
        {"skyline", "point", "nan 2",
         "point = nan 2: allowed is azimuth from 0 to 360 and "
         "elevation from -90 to 90, such as 140 12.5"},
        {"Site", "lat", "1",
         "there is no section [Site]: is [site] meant? allowed are [site], [target], [neighbour "
         "NAME], [antenna], [link], [transmitter], [mount], [meter NAME], [source NAME], "
         "[skyline], [coach], [files]"},
        {"weather", "rain", "1",
         "there is no section [weather]: allowed are [site], [target], [neighbour NAME], "
         "[antenna], [link], [transmitter], [mount], [meter NAME], [source NAME], [skyline], "
         "[coach], [files]"},
        {"antenna big", "diameter", "1", "[antenna big]: this section takes no name"},
        {"neighbour", "longitude", "1",
         "[neighbour]: a name is missing, such as [neighbour Ibex 4]"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char why[JOB_ERROR_SIZE] = "";
        assert_int_equal(job_set(&job, rows[i].section, rows[i].key, rows[i].value, why), -EINVAL);
        assert_string_equal(why, rows[i].want);
    }
    /* and nothing of it left a trace */
    assert_int_equal(job.setting_count + job.meter_count + job.neighbour_count, 0);
    assert_int_equal(job.skyline_count, 0);
    expect_near(job.antenna.width_m, NAN, 0);
    assert_string_equal(job.site.name, "");
    assert_false(job.target.given || job.target.polarisation_given);
}

static void a_range_holds_its_ends_and_nothing_beyond(void **state)
{
    (void)state;
    for (const struct job_key *row = job_keys; row->section; row++) {
        char section[32], value[40], why[JOB_ERROR_SIZE] = "";
        bool whole = row->type == KEY_WHOLE;
        double step = whole ? 1.0 : 1e-6 * (row->b - row->a);

        if (row->type != KEY_NUMBER && !whole) {
            continue;
        }
        snprintf(section, sizeof section, "%s%s", row->section,
                 row->home == HOME_JOB ? "" : " one");
        for (int end = 0; end < 4; end++) {
            double base = end % 2 ? row->b : row->a;
            double beyond = end < 2 ? 0.0 : end % 2 ? step : -step;
            snprintf(value, sizeof value, "%.12g", base + beyond);
            assert_int_equal(job_set(&job, section, row->key, value, why), end < 2 ? 0 : -EINVAL);
        }
    }
}

static void a_text_fits_whole_or_is_refused(void **state)
{
    (void)state;
    for (const struct job_key *row = job_keys; row->section; row++) {
        char value[JOB_TEXT_SIZE + 8], section[32], why[JOB_ERROR_SIZE];

        if (row->type != KEY_TEXT) {
            continue;
        }
        snprintf(section, sizeof section, "%s%s", row->section,
                 row->home == HOME_JOB ? "" : " one");
        memset(value, 'x', sizeof value);
        value[(size_t)row->b] = '\0';
        assert_int_equal(set(section, row->key, value), 0);
        assert_string_equal(job.settings[job.setting_count - 1].value, value);
        value[(size_t)row->b] = 'x';
        value[(size_t)row->b + 1] = '\0';
        assert_int_equal(job_set(&job, section, row->key, value, why), -EINVAL);
    }
}

static void spellings_of_the_trade_are_understood(void **state)
{
    (void)state;
    assert_int_equal(set("antenna", "kind", "Panel"), 0);
    assert_int_equal(job.antenna.kind, JOB_PANEL);
    assert_int_equal(set("mount", "skew_scale_sense", "+1"), 0);
    assert_int_equal(job.mount.axes[AXIS_SKEW].scale_sense, 1);
    assert_int_equal(set("target", "polarisation", "vertical"), 0);
    assert_int_equal(job.target.polarisation, POLARISATION_V);
    assert_int_equal(set("meter", "framing", "8n1"), 0);
    assert_string_equal(job.meters[0].framing, "8N1");
    assert_int_equal(set("meter", "unit", "db\xc2\xb5V"), 0);
    assert_int_equal(job.meters[0].unit, LEVEL_DBUV);
}

/* --- sections -------------------------------------------------------------------------------- */

static void sections_of_one_name_are_one(void **state)
{
    (void)state;
    set("meter a", "baud", "4800");
    set("meter b", "baud", "19200");
    set("meter a", "lag", "0.5");
    assert_int_equal(job.meter_count, 2);
    assert_int_equal(job.meters[0].baud, 4800);
    expect_near(job.meters[0].lag_s, 0.5, 0);
    assert_ptr_equal(job_find_meter(&job, "b"), &job.meters[1]);
    assert_ptr_equal(job_find_meter(&job, ""), &job.meters[0]);
    assert_null(job_find_meter(&job, "c"));
}

static void what_a_receiver_says_names_a_satellite_in_any_case(void **state)
{
    char why[JOB_ERROR_SIZE];

    (void)state;
    job_init(&job);
    assert_false(job_target_has_id(&job));
    assert_false(job_names(&job.target.satellite, "")); /* nothing said names nothing */
    assert_int_equal(job_set(&job, "target", "id", "WREN", why), 0);
    assert_int_equal(job_set(&job, "neighbour Finch", "longitude", "5.2E", why), 0);
    assert_null(job_find_neighbour(&job, ""));
    assert_int_equal(job_set(&job, "neighbour Finch", "id", "FINCH-3", why), 0);
    assert_true(job_target_has_id(&job));
    assert_true(job_names(&job.target.satellite, "Wren"));
    assert_false(job_names(&job.target.satellite, "WREN 2"));
    assert_ptr_equal(job_find_neighbour(&job, "finch-3"), &job.neighbours[0]);
    assert_null(job_find_neighbour(&job, "WREN"));
}

static void one_too_many_is_refused(void **state)
{
    static const struct {
        const char *section, *key, *value, *want;
        int most;
    } rows[] = {
        {"meter ", "baud", "9600", "one meter too many: allowed are at most 4", JOB_METERS},
        {"source ", "address", "keys:", "one source too many: allowed are at most 8", JOB_SOURCES},
        {"neighbour ", "level", "1", "one neighbour too many: allowed are at most 32",
         JOB_NEIGHBOURS},
        {"skyline", "point", "1 1", "one point of the skyline too many: allowed are at most 64",
         JOB_SKYLINE_POINTS},
        {"coach", "compass_error", "8", "one setting too many: allowed are at most 384",
         JOB_SETTINGS},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char section[32], why[JOB_ERROR_SIZE] = "";
        job_init(&job);
        for (int n = 0; n <= rows[i].most; n++) {
            size_t used = strlen(rows[i].section);
            snprintf(section, sizeof section, "%s", rows[i].section);
            if (section[used - 1] == ' ') {
                snprintf(section + used, sizeof section - used, "%d", n);
            }
            assert_int_equal(job_set(&job, section, rows[i].key, rows[i].value, why),
                             n < rows[i].most ? 0 : -ENOSPC);
        }
        assert_string_equal(why, rows[i].want);
    }
}

static void the_skyline_is_kept_in_order_of_azimuth(void **state)
{
    static const double want[][2] = {{0, 3}, {90, 1}, {90, 5}, {180, 2}};

    (void)state;
    set("skyline", "point", "180 2");
    set("skyline", "point", "90 1");
    set("skyline", "point", "0 3");
    set("skyline", "point", "90 5"); /* a wall: same azimuth, later one behind */
    assert_int_equal(job.skyline_count, 4);
    for (int i = 0; i < 4; i++) {
        expect_near(job.skyline[i].azimuth_deg, want[i][0], 0);
        expect_near(job.skyline[i].elevation_deg, want[i][1], 0);
    }
}

static void sources_are_forgotten_with_their_settings(void **state)
{
    (void)state;
    set("meter finder", "unit", "dB");
    set("source a", "address", "keys:");
    set("source", "address", "gpsd:");
    set("coach", "compass_error", "5");
    job_forget_sources(&job);
    assert_int_equal(job.source_count, 0);
    assert_int_equal(job.setting_count, 2);
    assert_string_equal(job.settings[0].section, "meter finder");
    assert_string_equal(job.settings[1].section, "coach");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(every_key_is_set_and_read_back, begin),
        cmocka_unit_test(no_key_of_the_table_is_left_out_above),
        cmocka_unit_test_setup(the_settings_build_the_same_job_again, begin),
        cmocka_unit_test_setup(what_is_refused_is_named_with_what_is_allowed, begin),
        cmocka_unit_test_setup(a_range_holds_its_ends_and_nothing_beyond, begin),
        cmocka_unit_test_setup(a_text_fits_whole_or_is_refused, begin),
        cmocka_unit_test_setup(spellings_of_the_trade_are_understood, begin),
        cmocka_unit_test_setup(sections_of_one_name_are_one, begin),
        cmocka_unit_test(what_a_receiver_says_names_a_satellite_in_any_case),
        cmocka_unit_test_setup(one_too_many_is_refused, begin),
        cmocka_unit_test_setup(the_skyline_is_kept_in_order_of_azimuth, begin),
        cmocka_unit_test_setup(sources_are_forgotten_with_their_settings, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
