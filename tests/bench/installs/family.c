#include "draw.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- families ------------------------------------------------------------------------------- */

static void vary_easy(struct draw *draw)
{
    draw_site(draw, 5.0, 8.0);
    draw_find_target(draw);
    draw_mount(draw);
    draw_sensor(draw, WORLD_AZIMUTH, 0.06, 0.0);
    draw_sensor(draw, WORLD_ELEVATION, 0.03, 0.2);
    draw_sensor(draw, WORLD_SKEW, 0.2, 0.3);
    draw_compass(draw, draw_about(draw, 0.0, 5.0));
    draw_any_meter(draw);
    draw_cross_port(draw, 0.25);
}

static void vary_narrow(struct draw *draw)
{
    double which = random_uniform(&draw->random);

    draw_site(draw, 5.0, 5.0);
    draw_find_target(draw);
    draw_mount(draw);
    draw_scale(draw, WORLD_SKEW, 2.0, 0.3);
    if (which < 0.5) {
        draw_add_to_kit(draw, "scales");
        draw_scale(draw, WORLD_AZIMUTH, 1.0, 3.0);
        draw_scale(draw, WORLD_ELEVATION, 0.5, 0.3);
    } else if (which < 0.8) {
        draw_add_to_kit(draw, "nudges");
        draw_nothing(draw, WORLD_AZIMUTH, 1.0, 3.0);
        draw_nothing(draw, WORLD_ELEVATION, 0.5, 0.3);
    } else {
        draw_add_to_kit(draw, "nudges+level");
        draw_nothing(draw, WORLD_AZIMUTH, 1.0, 3.0);
        draw_sensor(draw, WORLD_ELEVATION, 0.03, 0.2);
    }
    draw_any_meter(draw);
    draw_cross_port(draw, 0.25);
}

static void vary_panel(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;

    draw_site(draw, 1.0, 1.0); /* so that the skew stays about 44 degrees */
    draw_find_target(draw);
    draw_mount(draw);
    scenario->mount.axes[WORLD_SKEW].start_deg = 44.0 + draw_between(draw, -25.0, 25.0);
    draw_sensor(draw, WORLD_AZIMUTH, 0.08, 0.0);
    draw_sensor(draw, WORLD_ELEVATION, 0.03, 0.2);
    draw_sensor(draw, WORLD_SKEW, 0.2, 0.3);
    draw_compass(draw, draw_about(draw, 0.0, 5.0));
    if (draw_chance(draw, 0.5)) {
        draw_add_to_kit(draw, "power");
        scenario->meter.noise = draw_between(draw, 0.1, 0.3);
        scenario->meter.lag_s = draw_between(draw, 0.2, 0.8);
        scenario->meter.period_s = draw_between(draw, 0.25, 0.5);
        scenario->meter.lock_delay_s = draw_between(draw, 1.0, 3.0);
        draw_tell_meter(draw, "dBuV");
    } else {
        /* a beam that wide takes its neighbours in; their carriers lie beside the wanted one,
         * mostly */
        for (size_t i = 0; i < scenario->satellite_count; i++) {
            scenario->satellites[i].overlap = draw_between(draw, 0.0, 0.2);
        }
        scenario->meter.carrier = true;
        scenario->meter.floor_db = 0.0;
        draw_any_meter(draw);
    }
}

/* Another sky of the same crowd: gaps of 2 to 3 degrees mostly, the target near its middle. */
static void vary_sky(struct draw *draw)
{
    static const char *const birds[] = {"Petrel", "Fulmar", "Gannet", "Kittiwake", "Guillemot",
                                        "Puffin", "Skua",   "Tern",   "Dunlin",    "Razorbill"};
    enum { BIRDS = sizeof birds / sizeof *birds, ARC = 2 * BIRDS };
    struct scenario *scenario = &draw->install->scenario;
    double lon = draw->install->scenario.site.place.lon_deg + draw_between(draw, -15.0, 15.0);

    scenario->satellite_count = ARC;
    scenario->target = ARC / 2;
    for (int way = -1; way <= 1; way += 2) {
        double at = lon;
        for (int i = ARC / 2; i >= 0 && i < ARC; i += way) {
            struct scenario_satellite *satellite = &scenario->satellites[i];
            double which = random_uniform(&draw->random);
            *satellite = (struct scenario_satellite){.lon_deg = 0.1 * round(10.0 * at),
                                                     .level_db = draw_about(draw, 13.0, 1.2),
                                                     .wave = which < 0.4   ? WAVE_V
                                                             : which < 0.8 ? WAVE_H
                                                                           : WAVE_BOTH,
                                                     .lockable = draw_chance(draw, 0.85),
                                                     .overlap = draw_between(draw, 0.0, 0.5)};
            snprintf(satellite->name, sizeof satellite->name, "%s %d", birds[i % BIRDS],
                     1 + i / BIRDS);
            at += way * (draw_chance(draw, 0.6) ? draw_between(draw, 1.9, 3.1)
                                                : draw_between(draw, 3.0, 5.0));
        }
    }
    scenario->satellites[scenario->target].lockable = true;
    scenario->receives_h = scenario->satellites[scenario->target].wave == WAVE_H;
}

static void tell_sky(struct draw *draw)
{
    const struct scenario *scenario = &draw->install->scenario;

    for (size_t i = 0; i < scenario->satellite_count; i++) {
        const struct scenario_satellite *satellite = &scenario->satellites[i];
        char section[JOB_NAME_SIZE] = "target";
        if (i == scenario->target) {
            draw_tell(draw, section, "name", "%s", satellite->name);
            draw_tell(draw, section, "polarisation", "%s", scenario->receives_h ? "H" : "V");
        } else {
            snprintf(section, sizeof section, "neighbour %.40s", satellite->name);
            draw_tell(draw, section, "polarisation", "%s",
                      satellite->wave == WAVE_V   ? "V"
                      : satellite->wave == WAVE_H ? "H"
                                                  : "both");
        }
        draw_tell(draw, section, "longitude", "%.1f%c", fabs(satellite->lon_deg),
                  satellite->lon_deg < 0.0 ? 'W' : 'E');
    }
}

/* A wall to one side, high enough to hide what stands behind it, and in the job's skyline. */
static void build_wall(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;
    double way = draw_either(draw, 1.0), near = draw_between(draw, 8.0, 20.0);
    double a = draw->target_deg[WORLD_AZIMUTH] + way * near, b = a + way * 40.0;
    double from = fmin(a, b), to = fmax(a, b), below = draw->target_deg[WORLD_ELEVATION] + 6.0;

    draw_add_to_kit(draw, "wall");
    scenario->blocked_count = 1;
    scenario->blocked[0].from_deg = from;
    scenario->blocked[0].to_deg = to;
    scenario->blocked[0].below_deg = below;
    scenario->blocked[0].loss_db = 30.0;
    draw_tell(draw, "skyline", "point", "%.1f 0", from - 0.5);
    draw_tell(draw, "skyline", "point", "%.1f %.1f", from, below);
    draw_tell(draw, "skyline", "point", "%.1f %.1f", to, below);
    draw_tell(draw, "skyline", "point", "%.1f 0", to + 0.5);
}

static void vary_arc(struct draw *draw)
{
    draw_site(draw, 10.0, 10.0);
    vary_sky(draw);
    tell_sky(draw);
    draw_find_target(draw);
    draw_mount(draw);
    if (draw_chance(draw, 0.3)) {
        build_wall(draw);
    }
    draw_sensor(draw, WORLD_AZIMUTH, 0.06, 0.0);
    draw_sensor(draw, WORLD_ELEVATION, 0.03, 0.1);
    draw_sensor(draw, WORLD_SKEW, 0.2, 0.3);
    draw_compass(draw, draw_either(draw, 8.0));
    draw_any_meter(draw);
}

static const struct family {
    const char *name, *title, *base;
    void (*vary)(struct draw *draw);
    bool new_sky; /* the job's target and neighbours are made anew */
} families[FAMILIES] = {
    {"easy", "an easy dish: 0.75 m, sensors on all axes", "hut", vary_easy},
    {"narrow", "a narrow dish: 1.8 m, scales or counted turns", "narrow", vary_narrow},
    {"panel", "a rectangular panel turned 44 degrees, sensors", "panel", vary_panel},
    {"arc", "a crowded arc: compass 8 degrees off, no carrier has a name", "nameless", vary_arc,
     true},
};

static struct scenario base_scenarios[FAMILIES];
static struct job base_jobs[FAMILIES];

const char *family_name(int family)
{
    return families[family].name;
}

const char *family_title(int family)
{
    return families[family].title;
}

/* The job file, without what is made anew for every seed. */
static int read_job(const char *path, bool new_sky, struct job *ret, char why[JOB_ERROR_SIZE])
{
    static struct job file;
    int r;

    job_init(&file);
    job_init(ret);
    r = job_read(&file, path, why);
    for (size_t i = 0; i < file.setting_count && r == 0; i++) {
        const char *section = file.settings[i].section;
        bool sky = strcmp(section, "target") == 0 || strncmp(section, "neighbour ", 10) == 0 ||
                   strcmp(section, "skyline") == 0;
        if (!(sky && new_sky)) {
            r = job_set(ret, section, file.settings[i].key, file.settings[i].value, why);
        }
    }
    return r;
}

int family_read_all(void)
{
    for (int i = 0; i < FAMILIES; i++) {
        char path[512], why[JOB_ERROR_SIZE] = "";
        snprintf(path, sizeof path, SCENARIOS "/%s.scenario", families[i].base);
        if (scenario_read(path, &base_scenarios[i], why) < 0) {
            fprintf(stderr, "installs: %s\n", why);
            return -1;
        }
        snprintf(path, sizeof path, SCENARIOS "/%s.job", families[i].base);
        if (read_job(path, families[i].new_sky, &base_jobs[i], why) < 0) {
            fprintf(stderr, "installs: %s\n", why);
            return -1;
        }
    }
    return 0;
}

static enum technician_model draw_hand(struct draw *draw)
{
    double which = random_uniform(&draw->random);

    return which < 0.5 ? TECHNICIAN_CAREFUL : which < 0.8 ? TECHNICIAN_HASTY : TECHNICIAN_CLUMSY;
}

int family_make(int family, uint64_t seed, struct install *ret)
{
    struct draw draw = {.install = ret};
    char why[JOB_ERROR_SIZE] = "";

    *ret = (struct install){.family = family, .seed = seed};
    ret->scenario = base_scenarios[family];
    ret->job = base_jobs[family];
    ret->sheet.span_deg = 2.0 * ret->job.coach.compass_error_deg;
    random_seed(&draw.random, seed, 2000 + (uint64_t)family);
    ret->hand = draw_hand(&draw);
    families[family].vary(&draw);
    draw_tell_from(&draw);
    draw_weather(&draw);
    if (!draw.failed && job_check(&ret->job, why) < 0) {
        fprintf(stderr, "installs: %s %llu: %s\n", families[family].name, (unsigned long long)seed,
                why);
        draw.failed = true;
    }
    return draw.failed ? -1 : 0;
}
