/*
 * radiation.h - how an antenna receives off its boresight: the lobes beyond the top that beam.h
 * describes, what a neighbour gets, and the masks of the recommendations. Pure.
 *
 * Offsets are (cross-elevation, elevation) in degrees, as in beam.h: cross-elevation is the turn in
 * azimuth times the cosine of the elevation. A direction is a clock hand seen from behind the
 * antenna: 0 up, 90 to the right.
 */
#ifndef RADIO_RADIATION_H
#define RADIO_RADIATION_H

#include <stdbool.h>
#include <stddef.h>

enum { RADIATION_POINTS = 1024 };

/* A measured cut: level over angle, ascending angles; the highest level is 0 dB at angle 0. */
struct radiation_cut {
    size_t count;
    double angle_deg[RADIATION_POINTS], level_db[RADIATION_POINTS];
};

enum radiation_kind {
    RADIATION_DISH, /* a round or elliptic aperture, fed less at its rim */
    RADIATION_PANEL /* a rectangle, fed evenly */
};

struct radiation {
    enum radiation_kind kind;
    double width_deg, height_deg; /* half-power, in the antenna's own frame, > 0 */
    double turn_deg;              /* clockwise turn about the boresight, seen from behind */
    double rim;                   /* dish: amplitude at the rim against the middle, 0 to 1 */
    double half;                  /* dish: argument of its pattern at half power */
    const struct radiation_cut *width_cut, *height_cut; /* borrowed; NULL = not measured */
};

/*
 * An antenna from its half-power widths.
 *
 *   rim_db      dish: how much less the rim is fed than the middle, >= 0, in dB (10 to 12 is common
 *               practice, no source); not used for a panel
 *   width_cut   measured along the antenna's width, or NULL. A dish measured only once is taken as
 *   height_cut  the same all round, the worse side of the cut counts; a panel measured along one
 *               axis follows the even rectangle along the other
 */
struct radiation radiation_make(enum radiation_kind kind, double width_deg, double height_deg,
                                double turn_deg, double rim_db,
                                const struct radiation_cut *width_cut,
                                const struct radiation_cut *height_cut);

/*
 * Level at an offset relative to the peak.
 *
 *   returns  dB <= 0 (down to -120 in a null); NaN beyond the ends of a measured cut
 *   Source: a rectangle's sin x / x along each side; a disc's 2 J1(u)/u with the share of an even
 *   feed and 8 J2(u)/u^2 with that of a parabolic one (Balanis, Antenna Theory; Stutzman and
 *   Thiele: parabola on a pedestal; from memory). The edges of a real dish, its struts and its feed
 *   fill the nulls and raise the far lobes: hold it for a sketch beyond the first side lobe.
 */
double radiation_level_db(const struct radiation *radiation, double cross_elevation_deg,
                          double elevation_deg);

/*
 * The pointing error that costs a loss.
 *
 *   loss_db  > 0, within the main lobe
 *   returns  degrees along the direction; NaN when the pattern does not say
 */
double radiation_error_deg(const struct radiation *radiation, double direction_deg, double loss_db);

/* Full half-power width of the cut along a direction (both ways from the peak). */
double radiation_width_deg(const struct radiation *radiation, double direction_deg);

/*
 * The first side lobe along a direction.
 *
 *   returns  false, outputs untouched, when the pattern shows none within 12 widths
 */
bool radiation_side_lobe(const struct radiation *radiation, double direction_deg,
                         double *ret_offset_deg, double *ret_level_db);

/*
 * How much weaker a neighbour at an offset is received, as the least to count on: the highest level
 * within a quarter of the beam's width nearer and further counts, because no real null lies where
 * the formula says (our own choice).
 *
 *   returns  dB >= 0; NaN where the pattern does not say
 */
double radiation_discrimination_db(const struct radiation *radiation, double cross_elevation_deg,
                                   double elevation_deg);

/*
 * Make a cut of what was measured: levels relative to the highest, angles from where that stands
 * (the middle when several readings share it).
 *
 *   cut      angles ascending, any level's zero, at least 3 points
 *   returns  0; -EDOM when the cut does not fall by 3 dB to both sides of its peak (one that begins
 *            at its peak is taken as even: it needs one side only)
 */
int radiation_cut_finish(struct radiation_cut *cut);

/* Full half-power width of a finished cut. */
double radiation_cut_width_deg(const struct radiation_cut *cut);

/* Gain of an aperture in dBi: 10 log (efficiency 4 pi area / wavelength^2). Any textbook. */
double radiation_gain_dbi(double area_m2, double frequency_ghz, double efficiency);

enum radiation_mask {
    RADIATION_S465, /* Rec. ITU-R S.465-6, reference pattern, 2 to 31 GHz */
    RADIATION_S580, /* Rec. ITU-R S.580-6, design objective: 90 % of the peaks; beyond 20 degrees
                       S.465 goes on */
};

/*
 * What a mask allows at an angle off the boresight.
 *
 *   diameter_wl  the antenna's diameter in wavelengths (a rectangle: of the disc of equal area)
 *   returns      dBi; NaN nearer than the mask begins, and for S.580 with less than 50 wavelengths
 *                (that bound and the 90 % are from memory)
 */
double radiation_mask_dbi(enum radiation_mask mask, double diameter_wl, double off_deg);

#endif
