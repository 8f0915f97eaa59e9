/*
 * identification.c - which satellite is which in crowded skies: how often peaks met in one sweep
 * are named rightly, with an unknown compass bias. Exits with 1 when a figure is beyond its target.
 */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "chance.h"
#include "peaking/arc_match.h"
#include "sky/angle.h"
#include "sky/look.h"

static const double wrong_target = 0.005; /* of all skies: sure and wrong */
static const double right_target = 0.97; /* of those with the target among the peaks: sure, right */
enum { SKIES = 400, MIDDLE = 11, LISTED = 23 };

struct setting {
    const char *name;
    double bias_sd, azimuth_error, window;
    bool elevations, stranger;
    bool judged; /* against right_target; wrong_target holds for all */
};

struct tally {
    int met, right, wrong, missing, open;
    double bias_squares;
};

/* An invented sky: gaps of 2 to 3 degrees mostly, seen from latitude 20 to 55. */
static void make_sky(struct chance *chance, struct arc_satellite *satellites)
{
    struct look_site site = {.lat_deg = chance_even(chance, 20.0, 55.0), .lon_deg = 10.0};
    double at = chance_even(chance, -55.0, -15.0);

    for (int i = 0; i < LISTED; i++) {
        struct look look = look_at_geostationary(&look_earth_wgs84, &site, site.lon_deg + at);
        satellites[i] = (struct arc_satellite){look.azimuth_deg, look.elevation_deg, NAN};
        at += chance_even(chance, 0.0, 1.0) < 0.6 ? chance_even(chance, 1.9, 3.1)
                                                  : chance_even(chance, 3.0, 7.0);
    }
}

static void one_sky(const struct setting *setting, struct chance *chance, struct tally *tally)
{
    struct arc_satellite satellites[LISTED];
    struct arc_peak peaks[ARC_PEAKS];
    struct arc_match match;
    double bias = chance_normal(chance, setting->bias_sd), target;
    struct arc_prior prior = {.bias_sd_deg = setting->bias_sd,
                              .azimuth_error_deg = setting->azimuth_error,
                              .elevation_error_deg = 0.1,
                              .level_error_db = 3.0,
                              .missed = 0.05,
                              .sure = 0.98};
    size_t n = 0;
    int truth = -1;

    make_sky(chance, satellites);
    target = satellites[MIDDLE].azimuth_deg;
    prior.low_deg = target - setting->window;
    prior.high_deg = target + setting->window;
    for (int i = 0; i < LISTED && n < ARC_PEAKS - 1; i++) {
        double azimuth = satellites[i].azimuth_deg + bias;
        double elevation = satellites[i].elevation_deg + chance_normal(chance, 0.1);
        if (fabs(angle_turn_deg(target, azimuth)) > setting->window ||
            chance_even(chance, 0.0, 1.0) < 0.05) {
            continue;
        }
        truth = i == MIDDLE ? (int)n : truth;
        azimuth += chance_normal(chance, setting->azimuth_error);
        peaks[n++] = (struct arc_peak){angle_wrap_deg(azimuth),
                                       setting->elevations ? elevation : NAN, NAN, NAN, -1};
    }
    if (setting->stranger) {
        double azimuth = target + chance_even(chance, -setting->window, setting->window);
        double elevation = satellites[MIDDLE].elevation_deg + chance_even(chance, -2.0, 2.0);
        peaks[n++] = (struct arc_peak){angle_wrap_deg(azimuth),
                                       setting->elevations ? elevation : NAN, NAN, NAN, -1};
    }
    if (arc_match(peaks, n, satellites, LISTED, MIDDLE, &prior, &match) < 0) {
        return;
    }
    tally->met += truth >= 0;
    tally->missing += match.doubt == ARC_MISSING;
    tally->open += match.doubt == ARC_AMBIGUOUS || match.doubt == ARC_POOR_FIT;
    if (match.doubt == ARC_SURE && match.target_peak == truth) {
        tally->right++;
        tally->bias_squares += (match.bias_deg - bias) * (match.bias_deg - bias);
    } else if (match.doubt == ARC_SURE) {
        tally->wrong++;
    }
}

int main(void)
{
    static const struct setting settings[] = {
        {"as met by hand", 5.0, 0.3, 14.0, true, false, true},
        {"a bad compass", 8.0, 0.3, 22.0, true, false, true},
        {"with a stranger", 5.0, 0.3, 14.0, true, true, true},
        {"no elevations", 5.0, 0.3, 14.0, false, false, false},
        {"rough azimuths", 5.0, 1.0, 14.0, true, false, false},
        {"window too narrow", 8.0, 0.3, 6.0, true, false, false},
    };
    int beyond = 0;

    printf("%d crowded skies each: peaks within a window of azimuth, 5 %% missed\n"
           "                    target met  sure, right  sure, wrong  not met, said so  left open  "
           "bias error\n",
           SKIES);
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++) {
        struct chance chance = {300 + i};
        struct tally tally = {0};
        bool failed;
        for (int sky = 0; sky < SKIES; sky++) {
            one_sky(&settings[i], &chance, &tally);
        }
        failed = tally.wrong > wrong_target * SKIES ||
                 (settings[i].judged && tally.right < right_target * tally.met);
        beyond += failed;
        printf("%-18s %11d %12d %12d %17d %10d %8.2f deg%s\n", settings[i].name, tally.met,
               tally.right, tally.wrong, tally.missing, tally.open,
               sqrt(tally.bias_squares / tally.right), failed ? "  BEYOND TARGET" : "");
    }
    printf("Targets: sure and wrong <= %.1f %% of all, sure and right >= %.0f %% of those met "
           "(first three): %s\n",
           100.0 * wrong_target, 100.0 * right_target, beyond ? "BEYOND" : "kept");
    return beyond ? 1 : 0;
}
